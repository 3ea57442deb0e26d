"""Plans, bays in order, the setting at one stop, cards."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from fastapi import APIRouter, Depends, Query
from fastapi.responses import Response

from underset.app import Wish, plain, ranked_bays, rendering
from underset.web.api.shapes import BayOut, Json, MaybeQuery, NameQuery, ThereOut, WishIn
from underset.web.pages.setting import Asked, asked, with_points
from underset.web.visit import Visitor

router = APIRouter(tags=["plans"])
MEDIA = {"pdf": "application/pdf", "svg": "image/svg+xml", "html": "text/html; charset=utf-8"}
CARDS: dict[int | str, dict[str, Any]] = {
    200: {"content": {m.partition(";")[0]: {} for m in MEDIA.values()}}
}


@router.post("/plan")
def plan(visit: Visitor, told: WishIn) -> Json:
    """Plan a lift: the best setting with states, hold points, refusals and remedies."""
    wish = Wish(
        told.vehicle, told.job, tuple(told.bays), told.heading, told.point_set, told.remedies
    )
    made = visit.shop.plan(wish, visit.person or None)
    return plain.plan_data(made, visit.units, visit.language)


@router.get("/bays")
def bays(visit: Visitor, vehicle: NameQuery, job: MaybeQuery = "") -> list[BayOut]:
    """Every bay for a vehicle and job, best first, with reasons."""
    made = visit.shop.plan(Wish(vehicle, job or None), visit.person or None)
    ranked = ranked_bays(visit.shop.workshop(), made, visit.units, visit.language)
    return [BayOut.model_validate(plain.plain(b)) for b in ranked]


@router.get("/setting")
def setting(visit: Visitor, asked: Annotated[Asked, Depends(asked)]) -> ThereOut:
    """The setting at one stop, judged; where no arm reaches, which corners."""
    held = with_points(visit, asked)
    there = visit.shop.at(held.wish, held.at, visit.person or None)
    return ThereOut.model_validate(plain.there_data(there, visit.units, visit.language))


@router.get("/card", response_class=Response, responses=CARDS)
def card(
    visit: Visitor,
    vehicle: NameQuery,
    bay: MaybeQuery = "",
    job: MaybeQuery = "",
    kind: Annotated[Literal["pdf", "svg", "html"], Query()] = "pdf",
) -> Response:
    """The card of a plan; no bay named: the best one."""
    wish = Wish(vehicle, job or None, (bay,) if bay else ())
    made = visit.shop.plan(wish, visit.person or None)
    shop, day = visit.shop.workshop(), visit.shop.day().isoformat()
    told = rendering.card(shop, made, day, visit.units, visit.language, f".{kind}")
    return Response(told, media_type=MEDIA[kind])
