"""Sheets to print and fill in with tape and plumb line: one view, as PDF and as a page to print."""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass

from underset.card.html import page_css, template
from underset.card.pdf import compiled


@dataclass(frozen=True, slots=True)
class MeasureTable:
    """A table to fill in: heads, and rows whose first cells are printed and whose rest is empty."""

    title: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    wide_first: bool = True


@dataclass(frozen=True, slots=True)
class MeasureSheet:
    """One sheet: all words and numbers come finished."""

    language: str
    title: str
    how: str
    drawing: str
    drawing_note: str
    who: tuple[str, ...]
    tables: tuple[MeasureTable, ...]
    advice: str
    workshop: str
    tool: str


def measure_pdf(sheet: MeasureSheet) -> bytes:
    """The sheet on as many A4 pages as it takes. Raises RenderError when it cannot be set."""
    view = {k: v for k, v in asdict(sheet).items() if k != "drawing"}
    inputs = {"view": json.dumps(view, ensure_ascii=False), "drawing": sheet.drawing}
    return compiled("measure.typ", inputs, "pdf")


def measure_html(sheet: MeasureSheet) -> str:
    """The sheet as one page that needs nothing else."""
    return template("measure.html").render(sheet=sheet, css=page_css("measure.css"))
