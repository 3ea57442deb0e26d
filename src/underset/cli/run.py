"""Start of the command line: one place that turns errors into messages and exit codes."""

from __future__ import annotations

import sys
from collections.abc import Sequence

from underset.errors import AppError

INTERRUPTED = 130


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; errors meant for people are printed, never a trace."""
    from typer.exceptions import Abort, Exit, TyperException

    from underset.cli.commands import app

    try:
        code = app(args=list(arguments) if arguments is not None else None, standalone_mode=False)
    except Exit as leaving:
        return leaving.exit_code
    except Abort:
        return INTERRUPTED
    except TyperException as error:
        if error.format_message():  # without arguments typer has shown its help already
            print(f"underset: {error.format_message()}", file=sys.stderr)
        return error.exit_code
    except AppError as error:
        print(f"underset: {error.message}", file=sys.stderr)
        return error.exit_code
    except BrokenPipeError:
        return 0
    except KeyboardInterrupt:
        return INTERRUPTED
    return int(code or 0)
