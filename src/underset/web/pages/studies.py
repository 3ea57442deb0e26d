"""Coverage and the day's board, with the way down to the setting and the card."""

from __future__ import annotations

from dataclasses import dataclass

from fastapi import APIRouter
from fastapi.responses import HTMLResponse

from underset.app import studying
from underset.web.page import show
from underset.web.visit import Visitor

router = APIRouter(include_in_schema=False)


@dataclass(frozen=True, slots=True)
class CoverageView:
    """The table of vehicles and bays."""

    served: int
    share: str
    bays: tuple[str, ...]
    rows: tuple[studying.CoverRow, ...]


@dataclass(frozen=True, slots=True)
class DayView:
    """The board as a list, and what is not on it."""

    headline: str
    slots: tuple[studying.DaySlot, ...]
    refused: tuple[str, ...]


@router.get("/coverage", response_class=HTMLResponse)
def coverage(visit: Visitor) -> HTMLResponse:
    """Which bay takes which vehicle."""
    told = studying.shown_coverage(visit.shop, visit.units, visit.language)
    view = CoverageView(told.served, told.share, told.bays, told.rows)
    return show(visit, "coverage.html", view, title="coverage.title", here="coverage")


@router.get("/day", response_class=HTMLResponse)
def day(visit: Visitor) -> HTMLResponse:
    """The day's board."""
    told = studying.shown_day(visit.shop, visit.units, visit.language)
    view = DayView(told.headline, told.slots, told.refused)
    return show(visit, "day.html", view, title="day.title", here="day")
