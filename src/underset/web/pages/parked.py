"""As parked: a form for where the vehicle really stands, and what can be done there."""

from __future__ import annotations

from dataclasses import dataclass
from math import radians
from typing import Annotated

from fastapi import APIRouter, Query
from fastapi.responses import HTMLResponse, Response

from underset.app import bookkeeping, stops, wording
from underset.app import parked as use
from underset.app.parked import ParkedShown
from underset.app.planning import Wish
from underset.app.stops import Stood
from underset.errors import InputError, said
from underset.web.forms import (
    Key,
    Name,
    Words,
    done,
    figure,
    figure_or_none,
    fresh_key,
    signs,
)
from underset.web.page import show
from underset.web.visit import Visit, Visitor
from underset.web.words import words_in

router = APIRouter(include_in_schema=False)
Word = Annotated[str, Query(max_length=63)]
Figure = Annotated[str, Query(max_length=20)]
Places = Annotated[list[str] | None, Query(max_length=8)]
COLUMNS = ("left", "left", "right", "right")
# Where a tape is held first: nose in, the vehicle's left side is beside the left column.
FIRST = {
    "nose-in": ("LF tyre", "LR tyre", "RF tyre", "RR tyre"),
    "tail-in": ("RR tyre", "RF tyre", "LR tyre", "LF tyre"),
}
PER_UNIT = {"metric": 0.001, "inch": 0.0254}
UNIT = {"metric": "mm", "inch": "in"}


@dataclass(frozen=True, slots=True)
class TapeRow:
    """One row of the form: column, place, what was typed."""

    column: str
    place: str
    typed: str


@dataclass(frozen=True, slots=True)
class ParkedView:
    """The form as it was sent, and what came of it."""

    wish: Wish
    vehicle: str
    bay: str
    job: str
    mark: str
    unit: str
    heading: str
    typed: tuple[tuple[str, str], ...]
    rows: tuple[TapeRow, ...]
    places: tuple[str, ...]
    found: ParkedShown | None
    problem: str
    key: str
    done: int
    signs: dict[str, str]


@dataclass(frozen=True, slots=True)
class Typed:
    """What was typed, in the visitor's units."""

    heading: str
    spot: str
    sideways: str
    yaw: str
    rows: tuple[TapeRow, ...]

    @property
    def given(self) -> bool:
        """Whether anything was sent at all."""
        return bool(self.spot.strip() or any(r.typed.strip() for r in self.rows))


@router.get("/parked", response_class=HTMLResponse)
def parked(
    visit: Visitor, vehicle: Word, bay: Word, job: Word = "", heading: Word = "nose-in",
    points: Word = "", spot: Figure = "", sideways: Figure = "", yaw: Figure = "",
    place: Places = None, read: Places = None, done: int = 0,
) -> HTMLResponse:  # fmt: skip
    """The form, and the answer once something was typed."""
    if heading not in FIRST:
        raise InputError("heading", heading, said("one of {known}", known=", ".join(FIRST)))
    wish = Wish(vehicle, job or None, (bay,), point_set=points or None)
    typed = Typed(heading, spot, sideways, yaw, _rows(heading, place or [], read or []))
    found, problem = None, ""
    try:
        found = _found(visit, wish, typed) if typed.given else None
    except InputError as error:
        problem = _refused(visit, error)
    view = _view(visit, wish, typed, (found, problem, done))
    return show(visit, "parked.html", view, title="parked.title", here="today")


def _refused(visit: Visit, error: InputError) -> str:
    words = words_in(visit.language)
    name = words.get(f"parked.{error.field}", error.field).format(unit=UNIT[visit.units])
    corner, _, place = error.field.partition(" ")
    if f"corner.{corner}" in words and f"place.{place}" in words:
        name = f"{words[f'corner.{corner}']}: {words[f'place.{place}']}"
    told = InputError(name, error.value, error.allowed, error.remedy)
    return wording.refused(told, visit.language)


def _rows(heading: str, place: list[str], read: list[str]) -> tuple[TapeRow, ...]:
    places = place if len(place) == len(COLUMNS) else FIRST[heading]
    typed = read if len(read) == len(COLUMNS) else [""] * len(COLUMNS)
    return tuple(TapeRow(*row) for row in zip(COLUMNS, places, typed, strict=True))


def _found(visit: Visit, wish: Wish, typed: Typed) -> ParkedShown:
    unit = PER_UNIT[visit.units]
    readings = tuple(
        stops.reading(r.place, r.column, figure(r.place, r.typed, 0.0, 10.0 / unit) * unit)
        for r in typed.rows
        if r.typed.strip()
    )
    past = _read("spot", typed.spot, 8.0, unit)
    side = _read("sideways", typed.sideways, 1.0, unit)
    yaw = _read("yaw", typed.yaw, radians(10.0), radians(1.0))
    stood = Stood(typed.heading, past, side, yaw, readings=readings)
    return use.parked(visit.shop, wish, stood, visit.person or None, (visit.units, visit.language))


def _read(name: str, text: str, most: float, unit: float) -> float | None:
    """A figure in SI."""
    typed = figure_or_none(name, text, -most / unit, most / unit)
    return None if typed is None else typed * unit


def _view(
    visit: Visit, wish: Wish, typed: Typed, told: tuple[ParkedShown | None, str, int]
) -> ParkedView:
    shop, bay = visit.shop.workshop(), wish.bays[0]
    job = shop.jobs.get(wish.job or "")
    figures = (("spot", typed.spot), ("sideways", typed.sideways), ("yaw", typed.yaw))
    return ParkedView(
        wish, shop.vehicle(wish.vehicle).label, shop.bay(bay).label, job.label if job else "",
        use.mark_of(visit.shop, bay)[0], UNIT[visit.units], typed.heading, figures, typed.rows,
        use.tape_places(visit.shop, wish), told[0], told[1], fresh_key(), told[2], signs(),
    )  # fmt: skip


@router.post("/parked")
def keep(
    visit: Visitor, key: Key, vehicle: Name, bay: Name, spot: Name, sideways: Name, yaw: Name,
    back: Words = "",
) -> Response:  # fmt: skip
    """Write the stop down in the book, in metres and radians."""
    visit.may("technician", "lead")
    said = {
        **{"vehicle": vehicle, "bay": bay, "spot": figure("spot", spot, -8.0, 8.0)},
        "sideways": figure("sideways", sideways, -1.0, 1.0),
        "yaw": figure("yaw", yaw, -0.5, 0.5),
    }
    line = bookkeeping.say(visit.shop, "parked as", said, visit.by, key)
    return done(f"/book/{line.seq}", line)
