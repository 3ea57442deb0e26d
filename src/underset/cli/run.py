"""Start of the command line: one place that turns errors into messages and exit codes."""

from __future__ import annotations

import sys
from collections.abc import Sequence

from underset.errors import AppError, InternalError

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
    except Exception as slip:  # noqa: BLE001  (Decision: the outermost edge)
        return _our_slip(slip)
    return int(code or 0)


def _our_slip(slip: Exception) -> int:
    """Tell an error nobody foresaw in one line; UNDERSET_TRACE=1 shows where it arose."""
    import os
    import traceback

    if os.environ.get("UNDERSET_TRACE"):
        traceback.print_exc()
    told = f"{type(slip).__name__}: {slip}".splitlines()[0][:200]
    print(
        f"underset: our own slip, nothing was decided ({told}). Please report it with the input.",
        file=sys.stderr,
    )
    return InternalError.exit_code
