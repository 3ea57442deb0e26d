"""What the page makers share: tables and running text in Markdown."""

from __future__ import annotations

import inspect
from collections.abc import Iterable, Sequence


def table(heads: Sequence[str], rows: Iterable[Sequence[object]]) -> str:
    """A Markdown table; a cell's bars and line breaks are made harmless."""
    lines = [_row(heads), _row(["---"] * len(heads)), *map(_row, rows)]
    return "\n".join(lines)


def _row(cells: Sequence[object]) -> str:
    texts = (" ".join(str(cell).replace("|", "\\|").split()) for cell in cells)
    return "| " + " | ".join(texts) + " |"


def code(text: object) -> str:
    return f"`{text}`"


def first_sentence(thing: object) -> str:
    """The first paragraph of a docstring on one line; empty when there is none of its own."""
    return " ".join((inspect.getdoc(thing) or "").split("\n\n")[0].split())
