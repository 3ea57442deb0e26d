"""What looks wrong in a job, and in a workshop as a whole."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from typing import Final

from underset.errors import said
from underset.records.base import Sourced
from underset.records.job import (
    AddLoad,
    Job,
    Lower,
    MoveLoad,
    Push,
    Raise,
    StandSet,
    Step,
    TablePush,
)
from underset.records.plausibility.common import (
    POLICY,
    PRACTICE,
    Bound,
    Complaint,
    given,
    outside,
)
from underset.records.policy import DEFAULT_POLICY
from underset.records.vehicle import Vehicle
from underset.records.workshop import Workshop
from underset.units import Quantity

_SEAT: Final = Bound(0.05, 2.4, PRACTICE)
_WORKING: Final = Bound(0.3, 2.2, PRACTICE)
_UP: Final = Bound(0.05, 3.6, PRACTICE)
_OFF_FLOOR: Final = Bound(0.02, 0.4, PRACTICE)
_FURTHEST: Final = 4.0  # times a threshold's default, up or down, shop policy
_LOAD: Final = Bound(0.5, 1500.0, POLICY)
_PUSH: Final = Bound(40.0, 1500.0, POLICY)  # one person braced reaches some 750 N
_TABLE: Final = Bound(50.0, 20_000.0, POLICY)
_HOURS: Final = Bound(60.0, 5 * 24 * 3600.0, POLICY)
_OLDEST: Final = date(1950, 1, 1)


def job_complaints(job: Job) -> Iterator[Complaint]:
    """Heights, forces, masses and times of the steps."""
    for i, step in enumerate(job.steps):
        yield from _step(f"steps[{i}]", step)
    yield from outside("working_height", job.working_height, _WORKING, "working height")
    if job.duration is not None:
        yield from outside("duration", job.duration, _HOURS, "duration of a job", "duration")


def _step(field: str, step: Step) -> Iterator[Complaint]:
    if isinstance(step, AddLoad | MoveLoad | Push):
        yield from outside(f"{field}.up", step.up, _UP, "height of a load or a push")
    if isinstance(step, Raise):
        what = "room below the tyres at the first hold point"
        yield from outside(f"{field}.tyre_clearance", step.tyre_clearance, _OFF_FLOOR, what)
    if isinstance(step, Raise | Lower):
        yield from outside(f"{field}.seat", step.seat, _SEAT, "seat height of a lift")
    elif isinstance(step, AddLoad):
        yield from outside(f"{field}.mass", step.mass, _LOAD, "a load put in", "mass")
    elif isinstance(step, Push):
        yield from outside(f"{field}.force", step.force, _PUSH, "a push or pull by hand", "force")
    elif isinstance(step, TablePush):
        yield from outside(f"{field}.force", step.force, _TABLE, "push of a table or jack", "force")
    elif isinstance(step, StandSet):
        yield from outside(f"{field}.preload", step.preload, _TABLE, "preload of a stand", "force")


def shop_complaints(shop: Workshop) -> Iterator[Complaint]:
    """What only several records together show."""
    yield from _places(shop)
    yield from _interfaces(shop)
    yield from _days(shop)
    yield from _answers(shop)
    yield from _people(shop)
    yield from _policy(shop)


def _places(shop: Workshop) -> Iterator[Complaint]:
    """Loads and stands of a job stand within the vehicle it names."""
    for name, job in shop.jobs.items():
        vehicle = shop.vehicles.get(job.vehicle)
        if vehicle is None:
            continue
        for i, step in enumerate(job.steps):
            if not isinstance(step, AddLoad | MoveLoad | Push | TablePush | StandSet):
                continue
            at = given(step.aft, step.side)
            if at is not None and not _on(vehicle, *at):
                yield Complaint(
                    f"steps[{i}].aft", f"{step.aft}, {step.side}",
                    "a place outside the vehicle", "aft is positive rearward of the front axle",
                    "Measure again.", place=f"jobs/{name}.toml",
                )  # fmt: skip


def _on(vehicle: Vehicle, aft: float, side: float) -> bool:
    s = vehicle.sizes
    front = -s.overhang_front.value if isinstance(s.overhang_front, Quantity) else -1.4
    rear = front + s.length.value if isinstance(s.length, Quantity) else s.wheelbase.value + 2.2
    half = s.width.value / 2 if isinstance(s.width, Quantity) else 1.3
    return front - 0.1 <= aft <= rear + 0.1 and abs(side) <= half + 0.1


def _interfaces(shop: Workshop) -> Iterator[Complaint]:
    """Each seat should be met by a head that somebody may use; each spacer's upper side, too."""
    owned = [a for a in shop.adapters.values() if a.maker_rated]
    heads = {a.below for a in owned if a.role == "head"}
    spacers = {a.below: a.above for a in owned if a.role == "spacer"}
    for name, bay in shop.bays.items():
        seat = bay.seat.interface
        if seat not in heads and spacers.get(seat) not in heads:
            yield Complaint(
                "seat.interface", seat, "no head on file fits this seat",
                "interface spelt in two ways", "Compare with `below` of the adapters.",
                place=f"bays/{name}.toml",
            )  # fmt: skip


def _days(shop: Workshop) -> Iterator[Complaint]:
    """Days that lie ahead of the workshop's day, or long before there were such records."""
    today = shop.about.today
    for place, field, day in _dated(shop):
        if today is not None and day > today:
            looks = said("a day after today, {today}", today=today.isoformat())
            slip = "day and month swapped, or the wrong year"
            yield Complaint(field, day.isoformat(), looks, slip, "Look again.", place=place)
        elif day < _OLDEST:
            yield Complaint(field, day.isoformat(), "a day before 1950", "year", "", place=place)


def _answers(shop: Workshop) -> Iterator[Complaint]:
    for folder in ("vehicles", "jobs"):
        for name, record in getattr(shop, folder).items():
            if shop.about.today is not None:
                told = old_answers(record, shop.about.today)
                yield from (replace(c, place=f"{folder}/{name}.toml") for c in told)


def old_answers(record: Vehicle | Job, today: date) -> Iterator[Complaint]:
    """Who sits in a vehicle or what it carries is asked anew before each lift."""
    asked = record.intake.asked_on if record.intake else None
    if asked is not None and asked < today:
        looks = said("answers of {days} days ago", days=(today - asked).days)
        slip, remedy = "answers of an earlier visit", "Ask again at the vehicle."
        yield Complaint("intake.asked_on", asked.isoformat(), looks, slip, remedy, POLICY)


def _dated(shop: Workshop) -> Iterator[tuple[str, str, date]]:
    tables = ("vehicles", "bays", "adapters", "jobs")
    for folder in tables:
        for name, record in getattr(shop, folder).items():
            place = f"{folder}/{name}.toml"
            yield from ((place, field, day) for field, day in _of_record(record) if day)
    for i, person in enumerate(shop.about.people):
        if person.trained:
            yield "workshop.toml", f"people[{i}].trained", person.trained


def _of_record(record: Sourced) -> Iterator[tuple[str, date | None]]:
    for name, source in record.sources.items():
        yield f"sources.{name}.date", source.date
    for path in ("inspection.examined", "plate.made", "intake.asked_on"):
        head, tail = path.split(".")
        yield path, getattr(getattr(record, head, None), tail, None)
    for i, lot in enumerate(getattr(record, "lots", ())):
        yield f"lots[{i}].inspected", lot.inspected


def _people(shop: Workshop) -> Iterator[Complaint]:
    kinds = {k for p in shop.about.people for k in p.authorised_for}
    for name, bay in shop.bays.items():
        if shop.about.people and bay.lift_kind not in kinds:
            yield Complaint(
                "lift_kind", bay.lift_kind, "nobody is authorised for this kind of lift",
                "spelt in two ways", "See people in workshop.toml.", place=f"bays/{name}.toml",
            )  # fmt: skip


def _policy(shop: Workshop) -> Iterator[Complaint]:
    """Thresholds far from the default: a shop may set them so, a slip of the pen may too."""
    usual = {t.name: t.value for t in DEFAULT_POLICY.thresholds}
    for t in shop.policy.thresholds:
        ratio = t.value / usual[t.name] if usual[t.name] else 1.0
        if not 1 / _FURTHEST <= ratio <= _FURTHEST:
            looks = said("{times:.3g} times what stands in the default policy", times=ratio)
            slip, remedy = "a decimal place, or another unit", "Look again."
            yield Complaint(t.name, t.text, looks, slip, remedy, place="policy.toml")
