"""Lifts: standing, daily check, defects, examination, out of service and back."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, Response

from underset.app import bookkeeping, papers
from underset.app.bookkeeping import Line
from underset.app.papers import DAILY_ITEMS, LiftPapers
from underset.web.forms import Day, Key, Name, Words, done, fresh_key, signs
from underset.web.page import show
from underset.web.visit import Visit, Visitor

router = APIRouter(include_in_schema=False)
LAST = 12


@dataclass(frozen=True, slots=True)
class LiftsView:
    """All lifts."""

    lifts: tuple[LiftPapers, ...]
    signs: dict[str, str]


@dataclass(frozen=True, slots=True)
class LiftView:
    """One lift, its forms and the last that was written about it."""

    lift: LiftPapers
    today: str
    key: str
    done: int
    lines: tuple[Line, ...]
    signs: dict[str, str]


@dataclass(frozen=True, slots=True)
class CheckView:
    """The form of the daily check."""

    lift: LiftPapers
    items: tuple[str, ...]
    today: str
    key: str


@router.get("/lifts", response_class=HTMLResponse)
def lifts(visit: Visitor) -> HTMLResponse:
    """Every lift and its standing."""
    view = LiftsView(papers.lifts(visit.shop), signs())
    return show(visit, "lifts.html", view, title="lifts", here="lifts")


@router.get("/lifts/{bay}", response_class=HTMLResponse)
def lift(visit: Visitor, bay: str, done: int = 0) -> HTMLResponse:
    """One lift."""
    found = papers.lift(visit.shop, bay)
    lines = bookkeeping.search(visit.shop, bookkeeping.Asked(subject=f"bay/{bay}"), LAST).lines
    day = visit.shop.day().isoformat()
    view = LiftView(found, day, fresh_key(), done, lines, signs())
    return show(visit, "lift.html", view, title=found.label, here="lifts")


@router.get("/lifts/{bay}/check", response_class=HTMLResponse)
def check_form(visit: Visitor, bay: str) -> HTMLResponse:
    """The daily check, item by item."""
    day = visit.shop.day().isoformat()
    view = CheckView(papers.lift(visit.shop, bay), DAILY_ITEMS, day, fresh_key())
    return show(visit, "lift_check.html", view, title="lifts.check", here="lifts")


@router.post("/lifts/{bay}/check")
async def check(visit: Visitor, request: Request, bay: str) -> Response:
    """Write the daily check down; an item that nobody looked at refuses it."""
    from fastapi.concurrency import run_in_threadpool

    form = {k: v for k, v in (await request.form()).items() if isinstance(v, str)}
    return await run_in_threadpool(_checked, visit, bay, form)


def _checked(visit: Visit, bay: str, form: dict[str, str]) -> Response:
    visit.may("technician", "lead", "inspector")
    items = {item: form.get(f"item-{item}", "not looked at") for item in DAILY_ITEMS}
    said = {
        **{"bay": bay, "on": visit.shop.day(), "items": items},
        **{"fit": "not in order" not in items.values(), "note": form.get("note", "")},
    }
    return _said(visit, bay, "daily check", said, form.get("key", ""))


@router.post("/lifts/{bay}/defect")
def defect(visit: Visitor, bay: str, key: Key, text: Words, stops_use: Name = "yes") -> Response:
    """Report something wrong; what stops use puts the lift out of service at once."""
    visit.may("technician", "lead", "inspector")
    said = {
        **{"thing": "bay", "id": bay, "defect": f"defect-{key}"},
        **{"text": text, "stops_use": stops_use == "yes"},
    }
    return _said(visit, bay, "defect reported", said, key)


@router.post("/lifts/{bay}/cleared")
def cleared(visit: Visitor, bay: str, key: Key, defect: Name, how: Words) -> Response:
    """A defect was mended."""
    visit.may("lead", "inspector")
    said = {"thing": "bay", "id": bay, "defect": defect, "how": how}
    return _said(visit, bay, "defect cleared", said, key)


@router.post("/lifts/{bay}/out")
def out(visit: Visitor, bay: str, key: Key, reason: Words) -> Response:
    """Take the lift out of service."""
    visit.may("technician", "lead", "inspector")
    said = {"thing": "bay", "id": bay, "reason": reason}
    return _said(visit, bay, "taken out of service", said, key)


@router.post("/lifts/{bay}/back")
def back(visit: Visitor, bay: str, key: Key, reason: Words) -> Response:
    """Return the lift to service; open defects and examinations not passed still stop it."""
    visit.may("lead", "inspector")
    said = {"thing": "bay", "id": bay, "reason": reason}
    return _said(visit, bay, "returned to service", said, key)


@router.post("/lifts/{bay}/examination")
def examination(
    visit: Visitor, bay: str, key: Key, on: Day, by: Name, passed: Name, why: Name = "periodic",
    note: Words = "",
) -> Response:  # fmt: skip
    """Write an examination by a qualified person down."""
    visit.may("inspector")
    said = {
        **{"bay": bay, "on": bookkeeping.day_in(on, "on"), "by": by, "passed": passed == "yes"},
        **{"why": why, "note": note},
    }
    return _said(visit, bay, "examination", said, key)


def _said(visit: Visit, bay: str, kind: str, said: Mapping[str, object], key: str) -> Response:
    papers.lift(visit.shop, bay)
    return done(f"/lifts/{bay}", bookkeeping.say(visit.shop, kind, said, visit.by, key))
