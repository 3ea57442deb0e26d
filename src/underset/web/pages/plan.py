"""Bays ranked for one vehicle and job, with the reasons; cards to print."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated
from urllib.parse import urlencode

from fastapi import APIRouter, Form, Query
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from underset.app import card_prints, kept_plans, rendering
from underset.app.planning import Planned, Wish
from underset.app.ranking import BayRank, ranked_bays
from underset.errors import InputError, said
from underset.web.forms import Key, fresh_key
from underset.web.page import show
from underset.web.visit import Visit, Visitor

router = APIRouter(include_in_schema=False)
Name = Annotated[str, Query(max_length=63)]
Word = Annotated[str, Form(max_length=63)]
MEDIA = {"pdf": "application/pdf", "svg": "image/svg+xml", "html": "text/html; charset=utf-8"}


@dataclass(frozen=True, slots=True)
class PlanView:
    """Bays in order, each with its verdict and where to go on; a run starts once under `key`."""

    vehicle: str
    vehicle_id: str
    job: str
    job_id: str
    bays: tuple[BayRank, ...]
    links: dict[str, str]
    key: str


@router.get("/plan", response_class=HTMLResponse)
def plan(visit: Visitor, vehicle: Name, job: Name = "") -> HTMLResponse:
    """Every bay for this vehicle and job, best first."""
    planned = planned_for(visit, vehicle, job)
    shop = visit.shop.workshop()
    bays = ranked_bays(shop, planned, visit.units, visit.language)
    links = {b.bay: _link(planned, b.bay) for b in bays}
    record = shop.jobs.get(job)
    view = PlanView(
        shop.vehicle(vehicle).label, vehicle, record.label if record else "", job, bays, links,
        fresh_key(),
    )  # fmt: skip
    return show(visit, "plan.html", view, title="plan.title", here="today")


def planned_for(visit: Visit, vehicle: str, job: str, bay: str = "") -> Planned:
    """The plan as the visitor would get it from the command line."""
    wish = Wish(vehicle, job or None, (bay,) if bay else ())
    return visit.shop.plan(wish, visit.person or None)


def _link(planned: Planned, bay: str) -> str:
    best = planned.by_bay[bay].best
    told = {"vehicle": planned.wish.vehicle, "job": planned.wish.job or "", "bay": bay}
    if best is not None:
        s = best.setting
        told |= {"heading": s.heading, "points": s.point_set, "spot": f"{s.spot:.4f}"}
    return f"/setting?{urlencode(told)}"


@router.get("/card.{kind}")
def card(visit: Visitor, kind: str, vehicle: Name, bay: Name = "", job: Name = "") -> Response:
    """The card of a plan as PDF, SVG or HTML."""
    known(kind)
    planned = planned_for(visit, vehicle, job, bay)
    day = visit.shop.day().isoformat()
    made = rendering.card(
        visit.shop.workshop(), planned, day, visit.units, visit.language, f".{kind}"
    )
    return printed(made, vehicle, kind)


@router.post("/card.{kind}")
def card_printed(
    visit: Visitor, kind: str, vehicle: Word, bay: Word = "", job: Word = ""
) -> RedirectResponse:
    """Keep the plan, write down that its card is printed, and lead to that card."""
    wish = Wish(vehicle, job or None, (bay,) if bay else ())
    name = card_prints.print_new(visit.shop, wish, known(kind), visit.by)
    return RedirectResponse(f"/book/plan/{name}/card.{kind}", status_code=303)


def known(kind: str) -> str:
    """The ending of a card's address; InputError for one that no card has."""
    if kind not in MEDIA:
        raise InputError("kind", kind, said("one of {known}", known=", ".join(MEDIA)))
    return kind


def printed(card: bytes, name: str, kind: str) -> Response:
    """A card as an answer; as a page it carries its style with it."""
    headers = {"Content-Disposition": f'inline; filename="underset-{name}.{kind}"'}
    if kind == "html":
        headers["Content-Security-Policy"] = (
            "default-src 'none'; style-src 'unsafe-inline'; img-src data:"
        )
    return Response(card, media_type=MEDIA[kind], headers=headers)


@router.post("/plan/keep")
def keep(
    visit: Visitor, vehicle: Word, key: Key, bay: Word = "", job: Word = ""
) -> RedirectResponse:
    """Keep this plan in the book, once under one key, and lead to its entry."""
    visit.may("technician", "lead")
    wish = Wish(vehicle, job or None, (bay,) if bay else ())
    name = kept_plans.keep(visit.shop, wish, visit.by, key=key)
    return RedirectResponse(
        f"/book/{kept_plans.kept_plan(visit.shop, name).event.seq}", status_code=303
    )


@router.get("/working.html")
def working(visit: Visitor, vehicle: Name, bay: Name = "", job: Name = "") -> Response:
    """The working of a plan as a page of its own."""
    planned = planned_for(visit, vehicle, job, bay)
    day = visit.shop.day().isoformat()
    made = rendering.working(
        visit.shop.workshop(), planned, day, visit.units, visit.language, ".html"
    )
    policy = "default-src 'none'; style-src 'unsafe-inline'; img-src data:"
    return Response(made, media_type=MEDIA["html"], headers={"Content-Security-Policy": policy})


@router.get("/plan/", include_in_schema=False)
def plan_slash() -> RedirectResponse:
    """One address for one page."""
    return RedirectResponse("/")
