"""The command line."""

from __future__ import annotations

from underset.cli.run import main

__all__ = ["main"]
