"""`python -m underset`: the command line."""

from __future__ import annotations

import sys

from underset.cli import main

if __name__ == "__main__":
    sys.exit(main())
