"""The book: pages of events, one event, and what a person may write down."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Path, Query

from underset.app import bookkeeping, plain
from underset.errors import InputError
from underset.web.api.shapes import EventIn, EventOut, EventsOut, MaybeQuery
from underset.web.visit import Visitor

router = APIRouter(tags=["book"])
_ALL, _LEAD, _INSPECTOR = ("technician", "lead", "inspector"), ("lead", "inspector"), ("inspector",)
# Decision: what the app itself writes (plans, runs, records, accounts) is never taken as a claim.
WHO_MAY_SAY: dict[str, tuple[str, ...]] = {
    **dict.fromkeys(("daily check", "defect reported", "taken out of service", "remark"), _ALL),
    **dict.fromkeys(("weighing", "source re-checked", "adapter inspection"), _ALL),
    **dict.fromkeys(("defect cleared", "returned to service"), _LEAD),
    **dict.fromkeys(("training", "authorisation given", "authorisation withdrawn"), _LEAD),
    "examination": _INSPECTOR,
}
Subject = Annotated[str, Query(pattern=r"^([a-z]{1,20}/[a-z0-9][a-z0-9-]{0,62})?$")]


@router.get("/book")
def events(
    visit: Visitor,
    kind: Annotated[str, Query(max_length=40)] = "",
    subject: Subject = "",
    person: MaybeQuery = "",
    after: Annotated[str, Query(max_length=120, pattern=r"^[ -~]*$")] = "",
    limit: Annotated[int, Query(ge=1, le=200)] = 50,
) -> EventsOut:
    """Events, newest first; `after` is the cursor of the page before."""
    wanted = bookkeeping.Asked(kind, subject, person, None, after)
    page = bookkeeping.search(visit.shop, wanted, limit)
    told = [EventOut.model_validate(plain.line_data(x)) for x in page.lines]
    return EventsOut(events=told, more=page.more)


@router.get("/book/{seq}")
def event(visit: Visitor, seq: Annotated[int, Path(ge=1, le=2_000_000_000)]) -> EventOut:
    """One event by its number."""
    return EventOut.model_validate(plain.line_data(bookkeeping.event(visit.shop, seq)))


@router.post("/book", status_code=201)
def say(visit: Visitor, told: EventIn) -> EventOut:
    """Write something down. Under the same key it counts once, however often it is sent."""
    if told.kind not in WHO_MAY_SAY:
        raise InputError("kind", told.kind, f"people write down {', '.join(WHO_MAY_SAY)}")
    visit.may(*WHO_MAY_SAY[told.kind])
    line = bookkeeping.say(visit.shop, told.kind, told.said, visit.by, told.key)
    return EventOut.model_validate(plain.line_data(line))
