"""The page of errors and exit codes."""

from __future__ import annotations

from docs.generators._words import code, first_sentence, table
from underset import errors


def page() -> str:
    kinds = [errors.AppError, *_below(errors.AppError)]
    rows = [
        (code(kind.__name__), code(kind.__mro__[1].__name__), kind.exit_code, first_sentence(kind))
        for kind in kinds
    ]
    return f"""# Errors and exit codes

Everything that can go wrong is one of these. A vehicle that cannot be set is not an error but a
result. The last base of the tree is `{errors.AppError.__name__}`: catching it catches all.

{table(["error", "a kind of", "exit code", "meaning"], rows)}
"""


def _below(kind: type[errors.AppError]) -> list[type[errors.AppError]]:
    found = []
    for one in sorted(kind.__subclasses__(), key=lambda child: child.__name__):
        if one.__module__ == errors.__name__:
            found += [one, *_below(one)]
    return found


PAGES = {"reference/errors.md": page}
