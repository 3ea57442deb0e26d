"""Rendering: a plan as verdict, card, working or JSON, in the shop's units and language."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from underset.app.plan_words import plan_in
from underset.app.planning import Planned
from underset.errors import InputError
from underset.records.workshop import Workshop

if TYPE_CHECKING:
    from underset.card.view import CardView

Json = dict[str, Any]
CARD_KINDS = (".pdf", ".svg", ".html")
WORKING_KINDS = (".md", ".html", ".pdf")


def about(workshop: Workshop, planned: Planned, day: str) -> Any:
    """Labels that the result does not know of itself."""
    from underset.card.build import About

    wish, best = planned.wish, planned.plan.best
    job = workshop.jobs.get(wish.job or "")
    only = wish.bays[0] if len(wish.bays) == 1 else ""
    bay = best.setting.bay if best else only
    return About(
        vehicle=workshop.vehicle(wish.vehicle).label,
        bay=workshop.bay(bay).label if bay else "",
        job=job.label if job else "",
        workshop=workshop.about.name,
        date=day,
        parked=planned.parked,
    )


def verdict(workshop: Workshop, planned: Planned, day: str, units: str, language: str) -> str:
    """The readable verdict."""
    from underset.card.text import verdict_text

    return verdict_text(_view(workshop, planned, day, units, language))


def _view(workshop: Workshop, planned: Planned, day: str, units: str, language: str) -> CardView:
    """The view in a language, signed as the plan itself is, which knows no language."""
    from underset.card.build import build_view

    told = _signed(workshop, planned, day)
    return build_view(plan_in(planned, language), told, units=units, language=language)


def _signed(workshop: Workshop, planned: Planned, day: str) -> Any:
    from underset.card.record import plan_digest

    return replace(about(workshop, planned, day), digest=plan_digest(planned.plan))


def card(
    workshop: Workshop, planned: Planned, day: str, units: str, language: str, kind: str
) -> bytes:
    """The card as .pdf, .svg or .html. Raises InputError for another ending."""
    _allowed("--card", kind, CARD_KINDS)
    return _drawn(_view(workshop, planned, day, units, language), kind)


def card_of_then(
    workshop: Workshop, planned: Planned, day: str, look: tuple[str, str, str], result: Json
) -> bytes:
    """The card of a plan that was written down, signed as its `result` of then was.

    `look` is units, language and ending. Raises InputError for another ending.
    """
    from underset.card.build import build_view
    from underset.card.record import document_digest

    units, language, kind = look
    _allowed("card", kind, CARD_KINDS)
    told = replace(about(workshop, planned, day), digest=document_digest(result))
    view = build_view(planned.plan, told, units=units, language=language)
    return _drawn(replace(view, tool=result["tool"]), kind)


def _drawn(view: CardView, kind: str) -> bytes:
    from underset.card.html import render_html
    from underset.card.pdf import render_pdf, render_svg

    if kind == ".pdf":
        return render_pdf(view)
    render: Callable[[Any], str] = render_svg if kind == ".svg" else render_html
    return render(view).encode()


def working(
    workshop: Workshop, planned: Planned, day: str, units: str, language: str, kind: str
) -> bytes:
    """The working as .md, .html or .pdf. Raises InputError for another ending."""
    from underset.card.working import working_view
    from underset.card.working_pages import working_html, working_pdf, working_text

    _allowed("--working", kind, WORKING_KINDS)
    told = _signed(workshop, planned, day)
    view = working_view(plan_in(planned, language), told, units=units, language=language)
    if kind == ".pdf":
        return working_pdf(view)
    render: Callable[[Any], str] = working_text if kind == ".md" else working_html
    return render(view).encode()


def as_json(planned: Planned, units: str, language: str) -> str:
    """The result as schema-checked JSON text."""
    from underset.card.record import plan_json

    told = plan_json(plan_in(planned, language), units=units, language=language)
    return json.dumps(told, indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def _allowed(option: str, kind: str, kinds: tuple[str, ...]) -> None:
    if kind not in kinds:
        raise InputError(option, kind or "no ending", f"a file ending in {', '.join(kinds)}")


def ending(path: Path) -> str:
    """The ending that says what to render."""
    return path.suffix.lower()
