"""Today: bays and their standing, and where a plan begins."""

from __future__ import annotations

from dataclasses import dataclass

from fastapi import APIRouter
from fastapi.responses import HTMLResponse

from underset.app import runs
from underset.web.page import show
from underset.web.visit import Visit, Visitor

router = APIRouter(include_in_schema=False)


@dataclass(frozen=True, slots=True)
class BayLine:
    """One bay as the page shows it."""

    id: str
    label: str
    kind: str
    rated: str
    out: str
    defects: tuple[str, ...]
    examined: str


@dataclass(frozen=True, slots=True)
class RunLine:
    """A run that has not ended."""

    id: str
    label: str
    bay: str
    person: str
    since: str


@dataclass(frozen=True, slots=True)
class TodayView:
    """The page of the day."""

    day: str
    bays: tuple[BayLine, ...]
    vehicles: tuple[tuple[str, str], ...]
    jobs: tuple[tuple[str, str, str], ...]
    runs: tuple[RunLine, ...]


@router.get("/", response_class=HTMLResponse)
def today(visit: Visitor) -> HTMLResponse:
    """The page of the day."""
    return show(visit, "today.html", today_view(visit), title="today", here="today")


def today_view(visit: Visit) -> TodayView:
    """What the page of the day shows."""
    shop = visit.shop.workshop()
    standing = visit.shop.standing(visit.person or None)
    bays = tuple(
        BayLine(
            name, bay.label, bay.lift_kind, str(bay.plate.rated), standing.lifts_out.get(name, ""),
            standing.lift_defects.get(name, ()),
            standing.examined[name].isoformat() if name in standing.examined else "",
        )
        for name, bay in sorted(shop.bays.items())
    )  # fmt: skip
    vehicles = tuple(
        (k, v.label) for k, v in sorted(shop.vehicles.items(), key=lambda x: x[1].label)
    )
    jobs = tuple((k, j.vehicle, j.label) for k, j in sorted(shop.jobs.items()))
    return TodayView(visit.shop.day().isoformat(), bays, vehicles, jobs, _runs(visit))


def _runs(visit: Visit) -> tuple[RunLine, ...]:
    shop = visit.shop.workshop()
    labels = {k: v.label for k, v in (*shop.vehicles.items(), *shop.bays.items())}
    names = {p.id: p.name for p in shop.about.people}
    return tuple(
        RunLine(
            w.id, labels.get(w.vehicle, w.vehicle), labels.get(w.bay, w.bay),
            names.get(w.person, w.person), f"{w.at:%Y-%m-%d %H:%M} UTC",
        )
        for w in runs.waiting(visit.shop)
    )  # fmt: skip
