"""Vehicles: the list with unfinished forms, and one vehicle with its drawing, sources, versions."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from fastapi import APIRouter, Query
from fastapi.responses import HTMLResponse

from underset.app import entry, vehicles, wording
from underset.app.vehicles import VehicleLine, VehiclePage
from underset.web.page import show
from underset.web.visit import Visitor
from underset.web.words import words_in

router = APIRouter(include_in_schema=False)
Part = Annotated[str, Query(max_length=120)]


@dataclass(frozen=True, slots=True)
class DraftLine:
    """One unfinished form."""

    id: str
    version: int
    label: str
    person: str
    at: str


@dataclass(frozen=True, slots=True)
class VehiclesView:
    """The list."""

    part: str
    lines: tuple[VehicleLine, ...]
    drafts: tuple[DraftLine, ...]


@dataclass(frozen=True, slots=True)
class VehicleView:
    """One vehicle's page."""

    page: VehiclePage
    stored: bool
    looks: tuple[str, ...]


def drawing_words(language: str) -> dict[str, str]:
    """The words that stand in a vehicle's drawing."""
    words = words_in(language)
    zones = {
        f"zone.{k.removeprefix('choice.')}": w for k, w in words.items() if k.startswith("choice.")
    }
    return zones | {
        "title": words["entry.drawing"],
        "told": words["entry.drawing_told"],
        "front": words["entry.front"],
        "left": words["entry.left"],
    }


@router.get("/vehicles", response_class=HTMLResponse)
def listed(visit: Visitor, part: Part = "") -> HTMLResponse:
    """All vehicles, or those whose name holds a part."""
    drafts = tuple(
        DraftLine(d.id, d.version, str(d.body.get("fields", {}).get("label", "")), d.person,
                  f"{d.at:%Y-%m-%d %H:%M} UTC")
        for d in entry.drafts(visit.shop)
    )  # fmt: skip
    view = VehiclesView(part, vehicles.vehicle_lines(visit.shop, part), drafts)
    return show(visit, "vehicles.html", view, title="vehicles.title", here="vehicles")


@router.get("/vehicles/{id}", response_class=HTMLResponse)
def one(visit: Visitor, id: str, stored: int = 0) -> HTMLResponse:
    """One vehicle."""
    page = vehicles.vehicle_page(visit.shop, id, drawing_words(visit.language))
    looks = tuple(wording.doubted(c, visit.language) for c in page.looks)
    view = VehicleView(page, stored > 0, looks)
    return show(visit, "vehicle.html", view, title=page.record.label, here="vehicles")
