"""Coverage, what to buy, which lift and the day's board, with the way down to setting and card.

A study may take longer than a page: the page then says how far it is and asks again.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated
from urllib.parse import urlencode

from fastapi import APIRouter, Query
from fastapi.responses import HTMLResponse, Response

from underset.app import studying, wording
from underset.app.study_desk import Working
from underset.errors import InputError
from underset.web.forms import figure_or_none
from underset.web.page import show
from underset.web.visit import Visit, Visitor

router = APIRouter(include_in_schema=False)
Figure = Annotated[str, Query(max_length=20)]
BAD_REQUEST = 422


@dataclass(frozen=True, slots=True)
class WorkingView:
    """A study at work: seconds so far, how many of how many; asked again at `path`."""

    seconds: int
    done: int
    total: int
    path: str


@dataclass(frozen=True, slots=True)
class BuyingView:
    """Answers in lines under the form that asks; `problem` when a figure was none."""

    lines: tuple[str, ...]
    picture: str
    budget: str
    share: str
    problem: str = ""


@dataclass(frozen=True, slots=True)
class LiftChoiceView:
    """What one more of each lift would add, beside the others or in place of one."""

    lines: tuple[str, ...]
    picture: str
    bays: tuple[tuple[str, str], ...]
    replaced: str


@router.get("/studies.css")
def studies_css() -> Response:
    """Style rules of the studies' pictures."""
    headers = {"Cache-Control": "max-age=3600"}
    return Response(studying.styles(), media_type="text/css", headers=headers)


@router.get("/coverage", response_class=HTMLResponse)
def coverage(visit: Visitor) -> HTMLResponse:
    """Which bay takes which vehicle."""
    told = studying.shown_coverage(visit.shop, visit.units, visit.language)
    return _shown(visit, "coverage", "/coverage", told)


@router.get("/day", response_class=HTMLResponse)
def day(visit: Visitor) -> HTMLResponse:
    """The day's board."""
    return _shown(visit, "day", "/day", studying.shown_day(visit.shop, visit.units, visit.language))


@router.get("/buying", response_class=HTMLResponse)
def buying(visit: Visitor, budget: Figure = "", share: Figure = "") -> HTMLResponse:
    """What to buy: every choice worth having, or the best for a budget or a share in percent."""
    try:
        wanted = (
            figure_or_none("share", share, 0.0, 100.0),
            figure_or_none("budget", budget, 0.0, 1.0e12),
        )
    except InputError as error:
        view = BuyingView((), "", budget, share, wording.refused(error, visit.language))
        return show(
            visit, "buying.html", view, title="buying.title", here="coverage", code=BAD_REQUEST
        )
    part = None if wanted[0] is None else wanted[0] / 100.0
    told = studying.shown_buying(visit.shop, (part, wanted[1]), visit.units, visit.language)
    if isinstance(told, Working):
        asked = urlencode({"budget": budget, "share": share})
        return _shown(visit, "buying", f"/buying?{asked}", told)
    return _shown(visit, "buying", "", BuyingView(told.lines, told.picture, budget, share))


@router.get("/lift-choice", response_class=HTMLResponse)
def lift_choice(visit: Visitor, replace: Annotated[str, Query(max_length=63)] = "") -> HTMLResponse:
    """Which lift adds most, with the figure that matters."""
    told = studying.shown_lifts(visit.shop, replace, visit.units, visit.language)
    if isinstance(told, Working):
        path = f"/lift-choice?{urlencode({'replace': replace})}"
        return _shown(visit, "lift_choice", path, told)
    bays = tuple((k, b.label) for k, b in sorted(visit.shop.workshop().bays.items()))
    view = LiftChoiceView(told.lines, told.picture, bays, replace)
    return _shown(visit, "lift_choice", "", view)


def _shown(visit: Visit, name: str, path: str, told: object) -> HTMLResponse:
    """The page of a study, or the one that says that it is at work."""
    here = "day" if name == "day" else "coverage"
    if isinstance(told, Working):
        view = WorkingView(int(told.seconds), told.done, told.total, path)
        return show(visit, "working.html", view, title=f"{name}.title", here=here)
    return show(visit, f"{name}.html", told, title=f"{name}.title", here=here)
