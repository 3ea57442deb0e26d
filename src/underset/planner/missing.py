"""What is not given and keeps a check from being answered: record, field, why, how to find it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from underset.planner.missing_words import HOW_DE, HOW_EN
from underset.setting.evaluate import Case
from underset.setting.result import Check, Evaluation, Missing, Status
from underset.setting.wording import note_text

AXLES = "weights.front, weights.rear"
TOO_WIDE = "estimate too wide"  # the judge's note where only the far end of an estimate stops


@dataclass(frozen=True, slots=True)
class Need:
    """A field that would answer a check: kind of record, field, and the key of how to find it."""

    record: str
    field: str
    how: str


def missing(case: Case, evaluation: Evaluation, language: str = "en") -> tuple[Missing, ...]:
    """Every figure and answer that a check of this evaluation misses, once each.

    Estimates of mass and balance come last: nothing is missing, but weighing would narrow them.
    """
    found: dict[tuple[str, str], Missing] = {}
    for check in evaluation.checks:
        if check.status is Status.NOT_KNOWN or _is_estimate(check):
            for need in needs(case, check):
                made = told(case, need, note_text(check, language), language)
                found.setdefault((made.record, made.field), made)
    return tuple(found.values())


def needs(case: Case, check: Check) -> tuple[Need, ...]:
    """The fields that would answer a check; a check that misses nothing has none."""
    if _is_estimate(check):
        return (Need("vehicle", AXLES, "axles"),)
    if check.status is not Status.NOT_KNOWN or not check.note:
        return ()
    if check.note[0] == "not asked":
        return (Need("vehicle", f"intake.{check.name}", "ask"),)
    find = _NEEDS.get(check.note[0])
    return tuple(find(case, check)) if find else ()


def told(case: Case, need: Need, why: str, language: str = "en") -> Missing:
    """A need as people read it: the record with its id, and how to find the figure."""
    how = HOW_DE if language == "de" else HOW_EN
    named = {"vehicle": case.vehicle.id, "bay": case.bay.id, "job": case.job or ""}
    name = f"{need.record} {named[need.record]}" if need.record in named else need.record
    return Missing(name, need.field, why, how[need.how])


def _is_estimate(check: Check) -> bool:
    return check.name == "balance" and check.note[:1] == ("balance is an estimate",)


# --- which fields, by the judge's note -----------------------------------------------------------


def _one(record: str, field: str, how: str) -> Callable[[Case, Check], Iterator[Need]]:
    def needs_of(case: Case, check: Check) -> Iterator[Need]:
        yield Need(record, field, how)

    return needs_of


def _roof_and_room(case: Case, check: Check) -> Iterator[Need]:
    if case.vehicle.roof is None:
        yield Need("vehicle", "sizes.height", "tape")
    if case.bay.ceiling is None:
        yield Need("bay", "surroundings.ceiling", "bay")
    if case.bay.stop_bar is None:
        yield Need("bay", "surroundings.stop_bar", "bay")


def _free_space(case: Case, check: Check) -> Iterator[Need]:
    yield Need("bay", f"surroundings.free_{check.where}", "bay")


def _way_in(case: Case, check: Check) -> Iterator[Need]:
    if case.vehicle.zones is None:
        yield Need("vehicle", "zones", "under")
    if None in case.bay.profiles:
        yield Need("bay", "arms.profile", "arms")
    if None in case.bay.parked:
        yield Need("bay", "arms.parked_swing", "parked")


def _outline(case: Case, check: Check) -> Iterator[Need]:
    if case.vehicle.width is None:
        yield Need("vehicle", "sizes.width", "tape")
    yield Need("vehicle", "sizes.length, sizes.overhang_front", "tape")


def _adapter_of(case: Case, check: Check, field: str, how: str) -> Iterator[Need]:
    labels = {t.label: t.id for t in case.shelf.types.values()}
    name = labels.get(check.note[1], "") if len(check.note) > 1 else ""
    yield Need(f"adapter {name}".strip(), field, how)


def _inspection(case: Case, check: Check) -> Iterator[Need]:
    yield from _adapter_of(case, check, "lots.inspected", "adapter")


def _dated_ahead(case: Case, check: Check) -> Iterator[Need]:
    if check.name == "adapter_inspected":
        yield from _inspection(case, check)
    elif check.name == "lift_examined":
        yield Need("bay", "inspection.examined", "papers")
    else:
        yield Need("vehicle", "sources.date", "source")


def _pad_width(case: Case, check: Check) -> Iterator[Need]:
    yield from _adapter_of(case, check, "width", "head")


def _edges(case: Case, check: Check) -> Iterator[Need]:
    yield from _adapter_of(case, check, "raised_edges", "head")


def _flange(case: Case, check: Check) -> Iterator[Need]:
    yield Need(
        "vehicle", f"point_sets.points.{check.where}.flange_thickness, flange_depth", "flange"
    )


def _floor(case: Case, check: Check) -> Iterator[Need]:
    for field in ("floor_level", "floor_certificate"):
        if getattr(case.bay, field) == "not known":
            yield Need("bay", f"surroundings.{field}", "papers")


def _height(case: Case, check: Check) -> Iterator[Need]:
    if case.vehicle.roof is None:
        yield Need("vehicle", "sizes.height", "tape")
    else:
        yield Need("vehicle", "balance.height", "height")


_NEEDS: dict[str, Callable[[Case, Check], Iterator[Need]]] = {
    "mass or balance not known": _one("vehicle", AXLES, "axles"),
    TOO_WIDE: _one("vehicle", AXLES, "axles"),
    "weights clash": _one("vehicle", AXLES, "axles"),
    "cg height not known": _height,
    "roof height not given": _one("vehicle", "sizes.height", "tape"),
    "vehicle width not given": _one("vehicle", "sizes.width", "tape"),
    "width with mirrors not given": _one("vehicle", "sizes.width_mirrors", "tape"),
    "tyres not given": _one(
        "vehicle", "sizes.track_front, track_rear, tyre_width, tyre_diameter", "tape"
    ),
    "underbody zones not given": _one("vehicle", "zones", "under"),
    "doors not given": _one("vehicle", "doors", "doors"),
    "droop not given": _one("vehicle", "suspension.droop_front, droop_rear", "droop"),
    "roof load not given": _one("vehicle", "roof_load_height", "tape"),
    "height of the load not given": _one("vehicle", "roof_load_height", "tape"),
    "place of the push not given": _one("job", "steps.aft, side", "tape"),
    "lid not given": _one("vehicle", "lids", "doors"),
    "length, width or overhang not given": _outline,
    "points not known well enough": _one("vehicle", "point_sets.points", "points"),
    "flange not measured": _flange,
    "propulsion not given": _one("vehicle", "propulsion", "maker"),
    "special adapter not stated": _one("vehicle", "special_adapter", "maker"),
    "source has no date": _one("vehicle", "sources.date", "source"),
    "source not looked up": _one("vehicle", "sources", "source"),
    "fitted by the record": _one("vehicle", "intake.air_suspension_in_lift_mode", "ask"),
    "dated ahead": _dated_ahead,
    "pad width not given": _pad_width,
    "raised edges not stated": _edges,
    "adapter inspection not on file": _inspection,
    "tooth pitch not given": _one("bay", "restraint.pitch", "pitch"),
    "tooth offset not given": _one("bay", "restraint.offset", "teeth"),
    "greatest stack height not given": _one("bay", "seat.greatest_stack", "plate"),
    "arm profile not given": _one("bay", "arms.profile", "arms"),
    "way in cannot be traced": _way_in,
    "free space not given": _free_space,
    "roof, ceiling or stop bar not given": _roof_and_room,
    "examination not on file": _one("bay", "inspection.examined", "papers"),
    "floor not known": _floor,
    "nobody named": _one("workshop", "people", "person"),
}
