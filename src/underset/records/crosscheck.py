"""Fields against each other: what one record must keep, and what the records of a workshop must.

Only contradictions stand here (a name that is not there, a corner given twice). What merely looks
odd is in `plausibility`.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from typing import Any, Final

from underset.errors import InputError, said
from underset.records.adapter import Adapter
from underset.records.base import Record, Sourced
from underset.records.job import (
    AddLoad,
    Close,
    Job,
    MoveLoad,
    Open,
    PutOn,
    RemoveLoad,
    StandAway,
    StandSet,
    TakeOff,
)
from underset.records.lift import Bay
from underset.records.outline import meets_itself
from underset.records.vehicle import Corner, Vehicle
from underset.records.workshop import Workshop, WorkshopFile
from underset.units import Quantity

Complaints = Iterator[InputError]

LID_WORDS: Final = ("all doors", "bonnet", "boot lid", "tailgate")


def within(record: Record) -> list[InputError]:
    """Contradictions inside one record."""
    found = list(_sources(record)) if isinstance(record, Sourced) else []
    for kind, check in _CHECKS:
        if isinstance(record, kind):
            found.extend(check(record))
    return found


def between(shop: Workshop) -> list[InputError]:
    """Contradictions between the records of a workshop."""
    return [
        *_visits(shop),
        *_people_at(shop),
        *_jobs(shop),
        *_bays(shop),
        *_lots(shop),
        *_rings(shop),
    ]


def figures(record: Any, path: str = "") -> Iterator[tuple[str, Quantity]]:
    """Every quantity in a record with its path, in the order of the fields."""
    if isinstance(record, Quantity):
        yield path, record
    elif isinstance(record, Record):
        for name in type(record).model_fields:
            yield from figures(getattr(record, name), f"{path}.{name}" if path else name)
    elif isinstance(record, tuple):
        for i, item in enumerate(record):
            yield from figures(item, f"{path}[{i}]")


# --- one record -----------------------------------------------------------------------------------


def _sources(record: Sourced) -> Complaints:
    listed = ", ".join(record.sources) or "none"
    allowed = said("sources listed here are {listed}", listed=listed)
    remedy = "Add a table [sources.NAME]."
    if record.source and record.source not in record.sources:
        yield InputError("source", record.source, allowed, remedy)
    for path, figure in figures(record):
        if figure.source and figure.source not in record.sources:
            yield InputError(f"{path}.source", figure.source, allowed, remedy)


def _vehicle(vehicle: Vehicle) -> Complaints:
    for i, points in enumerate(vehicle.point_sets):
        corners = [p.corner for p in points.points]
        if sorted(corners) != sorted(Corner):
            given = ", ".join(corners)
            yield InputError(f"point_sets[{i}].points", given, "each of LF, RF, LR, RR once")
        if points.source and points.source not in vehicle.sources:
            listed = ", ".join(vehicle.sources) or "none"
            yield InputError(
                f"point_sets[{i}].source",
                points.source,
                said("sources are {listed}", listed=listed),
            )
    yield from _twice("point_sets", (p.id for p in vehicle.point_sets))
    yield from _twice("zones", (z.id for z in vehicle.zones or ()))
    yield from _twice("doors and lids", _opening_ids(vehicle))
    yield from _twice("components", (c.id for c in vehicle.components))
    yield from _twice("stand_places", (s.id for s in vehicle.stand_places))
    for part in ("zones", "stand_places"):
        for i, place in enumerate(getattr(vehicle, part) or ()):
            yield from _outline(f"{part}[{i}].outline", place.outline)


def _outline(field: str, outline: tuple[tuple[Quantity, Quantity], ...]) -> Complaints:
    """Corners in order round it: else nobody can tell what lies inside."""
    if meets_itself([(aft.value, side.value) for aft, side in outline]):
        shown = "; ".join(f"{aft.text}, {side.text}" for aft, side in outline)
        allowed = "an outline whose sides neither cross nor touch"
        yield InputError(field, shown, allowed, "Give its corners in order; check their signs.")


def _bay(bay: Bay) -> Complaints:
    sides = [c.side for c in bay.columns]
    if sorted(sides) != ["left", "right"]:
        yield InputError("columns", ", ".join(sides), "one column is left and one right")
    low, high = bay.seat.lowest, bay.seat.highest
    if high.value <= low.value:
        yield InputError(
            "seat.highest", high.text, said("above the lowest seat, {low}", low=low.text)
        )
    for name, arm in zip(type(bay.arms).model_fields, bay.arms.in_order(), strict=True):
        pairs = (("swing", arm.swing_low, arm.swing_high), ("reach", arm.reach_low, arm.reach_high))
        for what, least, most in pairs:
            if most.value < least.value:
                allowed = said("not less than {what}_low, {least}", what=what, least=least.text)
                yield InputError(f"arms.{name}.{what}_high", most.text, allowed, _TURNED)
    split = bay.plate.split_high
    if split not in ("not given", "none") and not _is_ratio(split):
        allowed = 'a split is written as two numbers, such as "3:1", or "not given"'
        yield InputError("plate.split_high", split, allowed)


_TURNED: Final = "The two limits may have been swapped."
_RATIO: Final = re.compile(
    r"\s*([0-9]{1,3}(?:\.[0-9]{1,3})?)\s*:\s*([0-9]{1,3}(?:\.[0-9]{1,3})?)\s*"
)


def _is_ratio(text: str) -> bool:
    found = _RATIO.fullmatch(text)
    return found is not None and min(float(found[1]), float(found[2])) > 0.0


def _adapter(adapter: Adapter) -> Complaints:
    if adapter.role == "spacer" and adapter.above is None:
        yield InputError("above", "nothing", "a spacer names the interface on its upper side")
    if adapter.role == "block" and adapter.above is not None:
        yield InputError("above", adapter.above, "a block is the last piece: nothing stands on it")
    if adapter.role == "head" and adapter.above == adapter.below:
        allowed = "a head carries the vehicle: heads cannot stand on one another"
        yield InputError("above", adapter.above, allowed)
    if adapter.role == "spacer" and adapter.contacts:
        given = ", ".join(adapter.contacts)
        yield InputError("contacts", given, "a spacer touches no vehicle: leave contacts out")


def _about(about: WorkshopFile) -> Complaints:
    yield from _twice("people", (p.id for p in about.people))


def _job_alone(job: Job) -> Complaints:
    """Loads and stands come before they are moved or go away; parts come off before they go on."""
    loads: set[str] = set()
    stands: set[str] = set()
    off: set[str] = set()
    for i, step in enumerate(job.steps):
        path = f"steps[{i}]"
        if isinstance(step, AddLoad):
            yield from _new(f"{path}.id", step.id, loads, "load")
        elif isinstance(step, RemoveLoad):
            yield from _known(f"{path}.id", step.id, loads, "loads put in before")
            loads.discard(step.id)
        elif isinstance(step, StandSet):
            yield from _new(f"{path}.id", step.id, stands, "stand")
        elif isinstance(step, StandAway):
            yield from _known(f"{path}.id", step.id, stands, "stands set before")
            stands.discard(step.id)
        elif isinstance(step, TakeOff):
            yield from _new(f"{path}.component", step.component, off, "part already off,")
        elif isinstance(step, PutOn):
            off.discard(step.component)


_CHECKS: Final[tuple[tuple[type[Record], Callable[[Any], Complaints]], ...]] = (
    (Vehicle, _vehicle),
    (Bay, _bay),
    (Adapter, _adapter),
    (Job, _job_alone),
    (WorkshopFile, _about),
)


# --- the workshop ---------------------------------------------------------------------------------


def _visits(shop: Workshop) -> Complaints:
    for name in shop.about.visits:
        if name not in shop.vehicles:
            yield _not_on_file(f"visits.{name}", name, shop.vehicles, "workshop.toml")


def _people_at(shop: Workshop) -> Complaints:
    kinds = sorted({b.lift_kind for b in shop.bays.values()})
    for i, person in enumerate(shop.about.people):
        for kind in person.authorised_for:
            if kind not in kinds:
                path = f"people[{i}].authorised_for"
                yield _not_on_file(path, kind, kinds, "workshop.toml")


def _jobs(shop: Workshop) -> Complaints:
    for name, job in shop.jobs.items():
        place = f"jobs/{name}.toml"
        vehicle = shop.vehicles.get(job.vehicle)
        if vehicle is None:
            yield _not_on_file("vehicle", job.vehicle, shop.vehicles, place)
        else:
            yield from (c.at(place) for c in _job_on(job, vehicle))


def _job_on(job: Job, vehicle: Vehicle) -> Complaints:
    """Components, doors and lids a job names are the vehicle's; a part is off before it goes on."""
    on = {c.id: c.on for c in vehicle.components}
    for i, step in enumerate(job.steps):
        path = f"steps[{i}]"
        if isinstance(step, TakeOff | PutOn):
            off = isinstance(step, TakeOff)
            if step.component not in on:
                yield _not_on_file(f"{path}.component", step.component, on)
            elif on[step.component] is not off:
                allowed = "this part is off at this step" if off else "this part is still on"
                yield InputError(f"{path}.component", step.component, allowed)
            else:
                on[step.component] = not off
        elif isinstance(step, Open | Close):
            yield from _opening(f"{path}.what", step.what, vehicle)
        elif isinstance(step, MoveLoad):
            loads = {s.id for s in job.steps[:i] if isinstance(s, AddLoad)}
            yield from _known(f"{path}.id", step.id, loads | set(on), "loads and components")


def _opening(path: str, what: str, vehicle: Vehicle) -> Complaints:
    if what in LID_WORDS:
        return
    if vehicle.doors is None or vehicle.lids is None:
        return  # not known which openings it has: the judge says so
    ids = _opening_ids(vehicle)
    if what not in ids:
        yield _not_on_file(path, what, [*ids, *LID_WORDS])


def _opening_ids(vehicle: Vehicle) -> list[str]:
    return [*(d.id for d in vehicle.doors or ()), *(x.id for x in vehicle.lids or ())]


def _bays(shop: Workshop) -> Complaints:
    for name, bay in shop.bays.items():
        for adapter in bay.adapters_approved:
            if adapter not in shop.adapters:
                place = f"bays/{name}.toml"
                yield _not_on_file("adapters_approved", adapter, shop.adapters, place)


def _lots(shop: Workshop) -> Complaints:
    places = ["shelf", *shop.bays]
    for name, adapter in shop.adapters.items():
        for i, lot in enumerate(adapter.lots):
            if lot.where not in places:
                yield _not_on_file(f"lots[{i}].where", lot.where, places, f"adapters/{name}.toml")


def _rings(shop: Workshop) -> Complaints:
    """Spacers that lead through other interfaces back to their own would let a stack grow for ever.

    A spacer with the same interface on both sides is the usual kind; how many may stand in one
    stack is a policy.
    """
    leads: dict[str, set[str]] = {}
    for a in shop.adapters.values():
        if a.role == "spacer" and a.above and a.above != a.below:
            leads.setdefault(a.below, set()).add(a.above)
    for name, a in shop.adapters.items():
        changes = a.role == "spacer" and a.above and a.above != a.below
        if changes and a.below in _reached(a.above or "", leads):
            value, allowed = f"{a.below} to {a.above}", "spacers do not lead back to an interface"
            place = f"adapters/{name}.toml"
            yield InputError("above", value, allowed, "Other spacers close the ring.", place=place)


def _reached(start: str, leads: dict[str, set[str]]) -> set[str]:
    seen: set[str] = set()
    todo = [start]
    while todo:
        here = todo.pop()
        if here not in seen:
            seen.add(here)
            todo.extend(leads.get(here, ()))
    return seen


# --- sentences ------------------------------------------------------------------------------------


def _twice(field: str, ids: Iterable[str]) -> Complaints:
    for name, count in Counter(ids).items():
        if count > 1:
            yield InputError(field, name, said("each id once, here {count} times", count=count))


def _new(path: str, name: str, seen: set[str], what: str) -> Complaints:
    if name in seen:
        yield InputError(path, name, said("a {what} of this name is there already", what=what))
    seen.add(name)


def _known(path: str, name: str, known: set[str], what: str) -> Complaints:
    if name not in known:
        yield InputError(
            path, name, said("{what}: {known}", what=what, known=", ".join(sorted(known)) or "none")
        )


def _not_on_file(path: str, name: str, known: Iterable[str], place: str = "") -> InputError:
    listed = ", ".join(known) or "none"
    return InputError(path, name, said("on file are {listed}", listed=listed), place=place)
