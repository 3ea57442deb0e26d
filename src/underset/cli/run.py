"""Start of the command line: one place that turns errors into messages and exit codes."""

from __future__ import annotations

import sys
from collections.abc import Sequence

from underset.errors import AppError

INTERRUPTED = 130


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; errors meant for people are printed, never a trace."""
    import click

    from underset.cli.commands import app

    try:
        code = app(args=list(arguments) if arguments is not None else None, standalone_mode=False)
    except click.exceptions.Exit as leaving:
        return leaving.exit_code
    except click.exceptions.Abort:
        return INTERRUPTED
    except click.ClickException as error:
        error.show()
        return error.exit_code
    except AppError as error:
        print(f"underset: {error.message}", file=sys.stderr)
        return error.exit_code
    except BrokenPipeError:
        return 0
    except KeyboardInterrupt:
        return INTERRUPTED
    return int(code or 0)
