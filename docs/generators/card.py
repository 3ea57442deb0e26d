"""The page of what a card and a working may show."""

from __future__ import annotations

from dataclasses import fields, is_dataclass

import underset.card.view as declared
from docs.generators._words import code, first_sentence, table


def kinds() -> list[type]:
    """The declared views and what they hold, in the order they are written down."""
    found = [k for k in vars(declared).values() if isinstance(k, type) and is_dataclass(k)]
    return [k for k in found if k.__module__ == declared.__name__]


def section(kind: type) -> str:
    """One kind with its fields."""
    rows = [(code(f.name), f.metadata["help"]) for f in fields(kind)]
    return f"## {kind.__name__}\n\n{first_sentence(kind)}\n\n{table(['field', 'holds'], rows)}"


def page() -> str:
    sections = "\n\n".join(section(kind) for kind in kinds())
    return f"""# What a card shows

PDF, SVG page, HTML page and plain text of a card are written from one `CardView`, the working from
one `WorkingView`. Nothing else reaches a page; figures are rounded once, when the view is made.

{sections}
"""


PAGES = {"reference/card.md": page}
