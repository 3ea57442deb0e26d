"""Plans, plans of the book, bays in order, the setting at one stop, cards."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from fastapi import APIRouter, Depends, Query
from fastapi.responses import Response

from underset.app import Wish, kept_plans, plain, ranked_bays, rendering
from underset.web.api.shapes import (
    BayOut,
    IdPath,
    Json,
    KeepIn,
    KeptPlanOut,
    MaybeQuery,
    NameQuery,
    PlanAgainOut,
    ThereOut,
    WishIn,
)
from underset.web.pages.setting import Asked, asked, with_points
from underset.web.visit import Visitor

router = APIRouter(tags=["plans"])
MEDIA = {"pdf": "application/pdf", "svg": "image/svg+xml", "html": "text/html; charset=utf-8"}
CardKind = Annotated[Literal["pdf", "svg", "html"], Query()]
CARDS: dict[int | str, dict[str, Any]] = {
    200: {"content": {m.partition(";")[0]: {} for m in MEDIA.values()}}
}


@router.post("/plan")
def plan(visit: Visitor, told: WishIn) -> Json:
    """Plan a lift: the best setting with states, hold points, refusals and remedies."""
    made = visit.shop.plan(_wish(told), visit.person or None)
    return plain.plan_data(made, visit.units, visit.language)


def _wish(told: WishIn) -> Wish:
    return Wish(
        told.vehicle, told.job, tuple(told.bays), told.heading, told.point_set, told.remedies
    )


@router.post("/plans", status_code=201)
def keep(visit: Visitor, told: KeepIn) -> KeptPlanOut:
    """Keep the plan of now in the book with all it was made from, once under one key."""
    visit.may("technician", "lead")
    name = kept_plans.keep(visit.shop, _wish(told), visit.by, key=told.key)
    return _kept(visit, name)


@router.get("/plans/{id}")
def kept(visit: Visitor, id: IdPath) -> KeptPlanOut:
    """A plan of the book as it was written down; the book lists them as `plan made`."""
    return _kept(visit, id)


def _kept(visit: Visitor, name: str) -> KeptPlanOut:
    found = kept_plans.kept_plan(visit.shop, name)
    return KeptPlanOut.model_validate(plain.kept_plan_data(found))


@router.get("/plans/{id}/again")
def again(visit: Visitor, id: IdPath) -> PlanAgainOut:
    """The plan made again from the records and papers of then: what this version finds otherwise.

    503 for a plan that this version cannot read; `/plans/{id}` can still be read.
    """
    found = kept_plans.plan_again(visit.shop, id)
    return PlanAgainOut.model_validate(plain.plan_again_data(found))


@router.get("/plans/{id}/card", response_class=Response, responses=CARDS)
def card_of_then(visit: Visitor, id: IdPath, kind: CardKind = "pdf") -> Response:
    """The card of a plan of the book, with the figures of then; a difference stands on it."""
    found = kept_plans.plan_again(visit.shop, id)
    told = kept_plans.card_again(found, visit.units, visit.language, f".{kind}")
    return Response(told, media_type=MEDIA[kind])


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
    kind: CardKind = "pdf",
) -> Response:
    """The card of a plan; no bay named: the best one."""
    wish = Wish(vehicle, job or None, (bay,) if bay else ())
    made = visit.shop.plan(wish, visit.person or None)
    shop, day = visit.shop.workshop(), visit.shop.day().isoformat()
    told = rendering.card(shop, made, day, visit.units, visit.language, f".{kind}")
    return Response(told, media_type=MEDIA[kind])
