"""What is on file: vehicles, bays, adapters, jobs, the workshop, its policy; and its standing."""

from __future__ import annotations

from fastapi import APIRouter

from underset.app import plain
from underset.web.api.shapes import IdPath, Json, Kind, ListedOut, RecordIn, RecordOut
from underset.web.visit import Visitor

router = APIRouter(tags=["records"])
LEAD_ONLY = ("bay", "workshop", "policy")


@router.get("/records/{kind}")
def listed(visit: Visitor, kind: Kind) -> list[ListedOut]:
    """All records of a kind, without their content."""
    return [ListedOut.model_validate(plain.listed_data(x)) for x in visit.shop.listed(kind)]


@router.get("/records/{kind}/{id}")
def record(visit: Visitor, kind: Kind, id: IdPath) -> RecordOut:
    """One record with its version."""
    return RecordOut.model_validate(plain.record_data(visit.shop.record(kind, id)))


@router.put("/records/{kind}/{id}")
def save(visit: Visitor, kind: Kind, id: IdPath, told: RecordIn) -> RecordOut:
    """Store a record over the version it was made from; 409 when another one is on file."""
    visit.may(*(("lead",) if kind in LEAD_ONLY else ("technician", "lead")))
    kept = plain.save_record(visit.shop, (kind, id), told.record, told.version, visit.by)
    return RecordOut.model_validate(kept)


@router.get("/standing")
def standing(visit: Visitor) -> Json:
    """What the book says today: out of service, examined, checked, authorised, confirmed."""
    return plain.standing_data(visit.shop, visit.person or None)
