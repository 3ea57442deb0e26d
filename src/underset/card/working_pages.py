"""The working as Markdown, HTML and PDF."""

from __future__ import annotations

import json
from dataclasses import asdict

from underset.card import svg
from underset.card.badge import badge_style, badge_svg
from underset.card.html import page_css, template
from underset.card.pdf import compiled
from underset.card.view import Block, Formula, Heading, Items, Para, Table, WorkingView


def working_text(view: WorkingView) -> str:
    """Markdown (CommonMark with tables), also pleasant as plain text."""
    head = [f"# {_plain(view.title)}", f"**{view.status.word.upper()}**: {_plain(view.verdict)}"]
    if view.invented:
        head.append(f"**{_plain(view.invented)}**")
    head.append(f"> {_plain(view.advice)}")
    parts = [*head, *(_markdown(b) for b in view.blocks), "---", _plain(view.tool)]
    return "\n\n".join(parts) + "\n"


def _markdown(block: Block) -> str:
    match block:
        case Heading(level, text):
            return f"{'#' * level} {_plain(text)}"
        case Para(text):
            return _plain(text)
        case Formula(label, text):
            return f"{_plain(label)}: `{text.replace('`', chr(39))}`"
        case Items(items):
            return "\n".join(f"- {_plain(item)}" for item in items)
        case Table(heads, rows):
            return _markdown_table(heads, rows)


def _markdown_table(heads: tuple[str, ...], rows: tuple[tuple[str, ...], ...]) -> str:
    lines = [heads, tuple("---" for _ in heads), *rows]
    return "\n".join(f"| {' | '.join(_plain(cell) for cell in line)} |" for line in lines)


_MARKS = str.maketrans({c: f"\\{c}" for c in "\\`*_<>|[]#"} | {"\n": " "})


def _plain(text: str) -> str:
    """Text whose characters mean nothing to Markdown."""
    return text.translate(_MARKS)


def working_html(view: WorkingView) -> str:
    """One page that needs nothing else."""
    art = {
        "css": svg.variables() + badge_style("bare") + page_css("card.css"),
        "badge": badge_svg(view.status.key, theme="bare"),
    }
    return template("working.html").render(work=view, blocks=_typed(view), art=art)


def working_pdf(view: WorkingView) -> bytes:
    """As many A4 pages as it takes. Raises RenderError when they cannot be set."""
    data = asdict(view) | {"blocks": _typed(view)}
    inputs = {"view": json.dumps(data, ensure_ascii=False), "badge": badge_svg(view.status.key)}
    return compiled("working.typ", inputs, "pdf")


def _typed(view: WorkingView) -> list[dict[str, object]]:
    """Blocks as plain data with their kind."""
    return [{"kind": type(b).__name__.lower(), **asdict(b)} for b in view.blocks]
