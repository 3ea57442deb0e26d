"""Checks of placing: arms, zones, parking, stacks, screws, papers and intake."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from itertools import product
from math import hypot

from underset.records.policy import Policy
from underset.setting.checks import Inputs, at_least, at_most, not_known, yes
from underset.setting.numbers import (
    AdapterNumbers,
    BayNumbers,
    PointNumbers,
    PointSetNumbers,
    Shelf,
    VehicleNumbers,
)
from underset.setting.place import ARM_PLACES, HEADINGS, Stop, can_reach, served_by
from underset.setting.result import ArmSetting, Check, Setting, Status
from underset.setting.standing import Standing
from underset.sources import Age

SLACK = 1e-6  # m or rad: what rounding may move without meaning anything


def placing_checks(
    setting: Setting,
    vehicle: VehicleNumbers,
    points: PointSetNumbers,
    bay: BayNumbers,
    policy: Policy,
    kept: dict[object, Check],
) -> Iterator[Check]:
    """Whether the arms stand as they must, and how far the vehicle may stop off the spot.

    `kept` holds what the stop alone decides, while the stacks change.
    """
    allowed = HEADINGS if bay.approach == "either way" else HEADINGS[:1]
    yield yes("approach", setting.heading in allowed, note=("heading", setting.heading))
    yield from _plate_limits(vehicle, bay)
    yield _reach(setting, bay)
    yield _tooth(setting, points, bay)
    yield _zone(setting, points)
    yield _parking_along(setting, points, policy)
    stop = (setting.heading, setting.spot, setting.sideways, setting.yaw)
    key = ("parked", points.id, stop)
    if key not in kept:
        kept[key] = _parking_across(setting, points, bay, policy)
    yield kept[key]


def arm_checks(
    setting: Setting, points: PointSetNumbers, bay: BayNumbers, shelf: Shelf, policy: Policy
) -> Iterator[Check]:
    """The checks of the arms themselves: reach, tooth, zone, point on the pad, fit of the stack."""
    stacks = [[shelf.types[i] for i in a.stack_ids] for a in setting.arms]
    yield _reach(setting, bay)
    yield _tooth(setting, points, bay)
    yield _zone(setting, points)
    yield _on_pad(setting, points, stacks, policy)
    yield _fit(setting, points, bay, stacks)


def _plate_limits(vehicle: VehicleNumbers, bay: BayNumbers) -> Iterator[Check]:
    low, high = bay.wheelbase_limits
    if low is not None or high is not None:
        unsure = vehicle.wheelbase_tol
        ok = (low or 0.0) <= vehicle.wheelbase - unsure + SLACK
        ok = ok and vehicle.wheelbase + unsure - SLACK <= (high if high is not None else 1e9)
        inputs = (
            ("wheelbase", vehicle.wheelbase, "m"),
            ("least", low if low is not None else "no limit", "m"),
            ("greatest", high if high is not None else "no limit", "m"),
        )
        yield yes("wheelbase", ok, inputs=inputs)
    if bay.width_high is not None:
        if vehicle.width is None:
            yield not_known("width", "vehicle width not given")
        else:
            yield at_most("width", vehicle.width, bay.width_high)


def _reach(setting: Setting, bay: BayNumbers) -> Check:
    spare, corner = 1e9, ""
    for a in setting.arms:
        arm = bay.arms[ARM_PLACES.index(a.arm)]
        room = min(a.reach - arm.reach_low, arm.reach_high - a.reach)
        spare, corner = min((spare, corner), (room, a.corner))
    return at_least("arm_reach", spare, 0.0, where=corner)


def _tooth(setting: Setting, points: PointSetNumbers, bay: BayNumbers) -> Check:
    if bay.restraint is None:
        return yes("arm_tooth", ok=False, note=("no arm restraint",))
    if not bay.tooth_offset_known:
        return _unknown_offset(setting, points, bay)
    for a in setting.arms:
        arm = bay.arms[ARM_PLACES.index(a.arm)]
        inside = arm.swing_low - SLACK <= a.swing <= arm.swing_high + SLACK
        if not inside or not _meshes(a, bay):
            return yes("arm_tooth", ok=False, where=a.corner, note=("off the teeth",))
    return yes("arm_tooth", ok=True)


def _meshes(arm: ArmSetting, bay: BayNumbers) -> bool:
    pitch, offset = getattr(bay.restraint, "pitch", None), getattr(bay.restraint, "offset", 0.0)
    if pitch is None:
        return True
    return arm.tooth is not None and abs(offset + arm.tooth * pitch - arm.swing) <= SLACK


def _unknown_offset(setting: Setting, points: PointSetNumbers, bay: BayNumbers) -> Check:
    """What no tooth is nearer than, carried to the pad: within every zone, or not known.

    Some tooth stands within half a pitch of a swing; near the end of the arm's swing, where there
    may be none beyond, within a pitch less what is left to the end.
    """
    if bay.pitch is None:
        return not_known("arm_tooth", "tooth pitch not given")
    for a, p in zip(setting.arms, points.points, strict=True):
        arm = bay.arms[ARM_PLACES.index(a.arm)]
        left = min(a.swing - arm.swing_low, arm.swing_high - a.swing)
        error = a.reach * max(bay.pitch / 2, bay.pitch - left)
        room = min(p.zone.along - abs(a.along), p.zone.across - abs(a.across))
        if error > room:
            return not_known(
                "arm_tooth", "tooth offset not given", where=a.corner,
                inputs=(("half a pitch at the pad", error, "m"), ("room in the zone", room, "m")),
            )  # fmt: skip
    return yes("arm_tooth", ok=False, otherwise=Status.WATCH, note=("tooth offset covered",))


def _zone(setting: Setting, points: PointSetNumbers) -> Check:
    worst, corner = 0.0, ""
    inputs: Inputs = ()
    for a, p in zip(setting.arms, points.points, strict=True):
        used = max(_part(a.along, p.zone.along), _part(a.across, p.zone.across))
        if used >= worst:
            worst, corner = used, a.corner
            inputs = (("along", a.along, "m"), ("across", a.across, "m"))
    return at_most(
        "point_zone",
        worst if worst > 1.0 + SLACK else min(worst, 1.0),
        1.0,
        where=corner,
        inputs=inputs,
    )


def _part(offset: float, half: float) -> float:
    if abs(offset) <= SLACK:
        return 0.0
    return abs(offset) / half if half > 0.0 else 1e6


def _parking_along(setting: Setting, points: PointSetNumbers, policy: Policy) -> Check:
    low, high = setting.window
    room = min(setting.spot - low, high - setting.spot)
    unsure = max(p.place_tol[0] for p in points.points)
    inputs = (("window from", low, "m"), ("window to", high, "m"),
              ("points known to ±", unsure, "m"))  # fmt: skip
    if unsure > 0.0 and room < unsure - SLACK:
        return not_known("parking_along", "points not known well enough", inputs=inputs)
    wanted = policy["park_along"] + unsure
    return at_least("parking_along", room, 0.0, watch=wanted, inputs=inputs)


def _parking_across(
    setting: Setting, points: PointSetNumbers, bay: BayNumbers, policy: Policy
) -> Check:
    """Every corner of the parking tolerance along, across and in heading, arms set anew."""
    along, across, yaw = policy["park_along"], policy["park_across"], policy["park_yaw"]
    for dx, dy, turn in product((along, -along), (across, -across), (yaw, -yaw)):
        stop = Stop(setting.heading, setting.spot + dx, setting.sideways + dy, setting.yaw + turn)
        rows = zip(served_by(setting.heading), points.points, setting.arms, strict=True)
        for index, point, arm in rows:
            if not can_reach(bay, index, point, stop, arm.swing):
                return yes(
                    "parking_across", ok=False, otherwise=Status.WATCH, where=point.corner,
                    note=("parked off the line",),
                    inputs=(("along", dx, "m"), ("sideways", dy, "m"), ("yaw", turn, "rad")),
                )  # fmt: skip
    return yes("parking_across", ok=True)


# --- stacks ------------------------------------------------------------------------------------


def stack_checks(
    setting: Setting,
    vehicle: VehicleNumbers,
    points: PointSetNumbers,
    bay: BayNumbers,
    shelf: Shelf,
    policy: Policy,
) -> Iterator[Check]:
    """Whether the pieces fit, may be used, are there, and can level the four pads."""
    stacks = [[shelf.types[i] for i in a.stack_ids] for a in setting.arms]
    yield _fit(setting, points, bay, stacks)
    yield _on_pad(setting, points, stacks, policy)
    yield _stock(setting, shelf)
    yield from _height(setting, points, bay, stacks)
    used = {t.id: t for stack in stacks for t in stack}
    yield _all(used, "maker_rated", lambda t: t.maker_rated)
    if bay.approved:
        yield _all(used, "approved", lambda t: t.id in bay.approved)
    yield _cradles(used, vehicle)
    yield _special(setting, vehicle)
    yield _inspected(used, policy)
    yield _screws(points, stacks)
    room = min(setting.seat - bay.seat_low, bay.seat_high - setting.seat)
    yield at_least("seat_height", room, 0.0, inputs=(("seat at touch", setting.seat, "m"),))


def fits(
    stack: list[AdapterNumbers], interface: str, point: PointNumbers, across: float
) -> tuple[str, ...]:
    """Why a stack does not fit seat and point, as a note; empty when it does.

    A note beginning with "?" means that a figure is missing.
    """
    if not stack:
        return ("no stack",)
    below = interface
    for piece in stack:
        if piece.below != below:
            return ("interface does not match", piece.label, below)
        below = piece.above or ""
    if not _ordered(stack):
        return ("pieces out of order", stack[-1].label)
    top = stack[-1]
    if point.contact not in top.contacts:
        return ("contact not served", top.label, point.contact)
    return _slot(top, point, across) if point.contact == "pinch weld" else ()


def _ordered(stack: list[AdapterNumbers]) -> bool:
    """Spacers, then one head, then perhaps one block."""
    roles = [p.role for p in stack]
    if roles and roles[-1] == "block":
        roles = roles[:-1]
    return bool(roles) and roles[-1] == "head" and all(r == "spacer" for r in roles[:-1])


def _slot(top: AdapterNumbers, point: PointNumbers, across: float) -> tuple[str, ...]:
    if top.slot is None or top.slot_depth is None:
        return ("no slot for the flange", top.label)
    if point.flange_thickness is None or point.flange_depth is None:
        return ("?flange not measured", point.corner)
    if top.slot < point.flange_thickness + 2 * abs(across) - SLACK:
        return ("slot too narrow", top.label)
    return () if top.slot_depth >= point.flange_depth - SLACK else ("slot too shallow", top.label)


def _fit(
    setting: Setting, points: PointSetNumbers, bay: BayNumbers, stacks: list[list[AdapterNumbers]]
) -> Check:
    missing: tuple[str, ...] = ()
    where = ""
    for a, p, stack in zip(setting.arms, points.points, stacks, strict=True):
        why = fits(stack, bay.interface, p, a.across)
        if why and not why[0].startswith("?"):
            return yes("stack_fit", ok=False, where=a.corner, note=why)
        if why and not missing:
            missing, where = (why[0][1:], *why[1:]), a.corner
    return not_known("stack_fit", *missing, where=where) if missing else yes("stack_fit", ok=True)


def _on_pad(
    setting: Setting,
    points: PointSetNumbers,
    stacks: list[list[AdapterNumbers]],
    policy: Policy,
) -> Check:
    # Decision: along a rail or weld the load follows the pad, so only the offset across counts.
    worst, corner = 0.0, ""
    for a, p, stack in zip(setting.arms, points.points, stacks, strict=True):
        if not stack or stack[-1].width is None:
            label = stack[-1].label if stack else "?"
            return not_known("point_on_pad", "pad width not given", label, where=a.corner)
        off = abs(a.across) if p.runs_along else hypot(a.along, a.across)
        worst, corner = max((worst, corner), (off / (stack[-1].width / 2), a.corner))
    return at_most("point_on_pad", worst, 1.0, watch=policy["point_watch"], where=corner)


def _stock(setting: Setting, shelf: Shelf) -> Check:
    for name, wanted in Counter(i for a in setting.arms for i in a.stack_ids).items():
        have = shelf.types[name].count
        if wanted > have:
            inputs = (("wanted", float(wanted), "1"), ("in service here", float(have), "1"))
            note = ("too few pieces", shelf.types[name].label)
            return yes("stack_stock", ok=False, note=note, inputs=inputs)
    return yes("stack_stock", ok=True)


def _height(
    setting: Setting, points: PointSetNumbers, bay: BayNumbers, stacks: list[list[AdapterNumbers]]
) -> Iterator[Check]:
    tallest, corner = max((p.up - setting.seat, p.corner) for p in points.points)
    if bay.greatest_stack is not None:
        yield at_most("stack_height", tallest, bay.greatest_stack, where=corner)
    elif any(t.role != "head" for stack in stacks for t in stack):
        # A head comes with the lift; spacers and blocks make it taller than it left the works.
        yield not_known("stack_height", "greatest stack height not given")


def _all(used: dict[str, AdapterNumbers], name: str, rule: object) -> Check:
    assert callable(rule)
    bad = [t.label for t in used.values() if not rule(t)]
    return yes(name, not bad, note=(name, ", ".join(bad)) if bad else ())


def _cradles(used: dict[str, AdapterNumbers], vehicle: VehicleNumbers) -> Check:
    cradles = [t.label for t in used.values() if t.cradle]
    if cradles and vehicle.battery is None:
        return not_known("cradle_battery", "propulsion not given")
    note = ("cradle under a battery vehicle",) if cradles and vehicle.battery else ()
    return yes("cradle_battery", not note, note=note)


def _special(setting: Setting, vehicle: VehicleNumbers) -> Check:
    wanted = vehicle.special_adapter
    if wanted == "not given":
        return not_known("special_adapter", "special adapter not stated")
    if wanted == "none":
        return yes("special_adapter", ok=True)
    ok = all(wanted in a.stack_ids for a in setting.arms)
    return yes("special_adapter", ok, note=("special adapter demanded", wanted))


def _inspected(used: dict[str, AdapterNumbers], policy: Policy) -> Check:
    general = policy["adapter_inspection"] / MONTH
    worst: Check | None = None
    for t in used.values():
        if t.inspected_months is None:
            return not_known("adapter_inspected", "adapter inspection not on file", t.label)
        limit = t.interval_months or general
        if t.inspected_months < 0.0:
            return not_known("adapter_inspected", "dated ahead", t.label)
        check = at_most("adapter_inspected", t.inspected_months, limit, note=("piece", t.label))
        if worst is None or (check.margin or 0.0) < (worst.margin or 0.0):
            worst = check
    return worst or yes("adapter_inspected", ok=True)


MONTH = 30.4375 * 86400.0


def _screws(points: PointSetNumbers, stacks: list[list[AdapterNumbers]]) -> Check:
    """Room left on the screws when every point is off by its tolerance the wrong way."""
    fixed = [sum(t.height for t in s) for s in stacks]
    travel = [sum(t.travel for t in s) for s in stacks]
    rows = list(zip(points.points, fixed, travel, strict=True))
    room, nominal, where = min(travel), min(travel), ""
    for i, (p, h, _) in enumerate(rows):
        for j, (q, k, screw) in enumerate(rows):
            if i != j:
                plain = (p.up - h) - (q.up - k - screw)
                nominal = min(nominal, plain)
                room, where = min((room, where), (plain - p.up_tol - q.up_tol, p.corner))
    return at_least("screw_range", room, 0.0, nominal=nominal, where=where)


# --- papers and intake -------------------------------------------------------------------------


def paper_checks(
    vehicle: VehicleNumbers,
    points: PointSetNumbers,
    bay: BayNumbers,
    policy: Policy,
    standing: Standing,
) -> Iterator[Check]:
    """Service, examination, daily check, authorisation, floor, age of the lifting-point source."""
    out = standing.lifts_out.get(bay.id)
    yield yes("lift_service", out is None, note=("out of service", out) if out else ())
    for defect in standing.lift_defects.get(bay.id, ()):
        note = ("defect reported", defect)
        yield yes("lift_service", ok=False, otherwise=Status.WATCH, note=note)
    yield _examined(bay, policy, standing)
    if standing.require_daily_check:
        yield yes("daily_check", standing.checked_today(bay.id), note=("no daily check today",))
    if standing.require_authorisation:
        yield _authorised(bay, standing)
    yield _source_age(vehicle, points, policy, standing)
    yield _floor(bay)


def _examined(bay: BayNumbers, policy: Policy, standing: Standing) -> Check:
    interval = bay.interval_months or policy["examination"] / MONTH
    day = standing.examined.get(bay.id)
    if day is None:
        return not_known("lift_examined", "examination not on file")
    if day > standing.today:
        return not_known("lift_examined", "dated ahead")
    return at_most("lift_examined", Age(day, standing.today).months, interval)


def _authorised(bay: BayNumbers, standing: Standing) -> Check:
    may = standing.may_lift(bay.lift_kind)
    if may is None:
        return not_known("authorised", "nobody named")
    return yes("authorised", may, note=("not authorised", bay.lift_kind))


def _source_age(
    vehicle: VehicleNumbers, points: PointSetNumbers, policy: Policy, standing: Standing
) -> Check:
    inputs = (("source", points.source, ""),)
    doubt = standing.sources_doubted.get(vehicle.id, {}).get(points.id)
    if doubt is not None:
        return yes("source_age", ok=False, note=("source doubted", doubt), inputs=inputs)
    day = standing.source_checked_on(vehicle.id, points.id)
    if day is None:
        return not_known("source_age", "source has no date", inputs=inputs)
    if day > standing.today:
        return not_known("source_age", "dated ahead", inputs=inputs)
    if not points.looked_up:
        return not_known("source_age", "source not looked up", inputs=inputs)
    months = Age(day, standing.today).months
    return at_most("source_age", months, policy["source_age"] / MONTH, inputs=inputs)


def _floor(bay: BayNumbers) -> Check:
    answers = (bay.floor_level, bay.floor_certificate)
    if "no" in answers:
        return yes("floor", ok=False, note=("floor not certified",))
    return (
        not_known("floor", "floor not known") if "not known" in answers else yes("floor", ok=True)
    )


_WANTED = {
    "rust_at_points": ("no",),
    "repair_at_points": ("no",),
    "hidden_payload": ("no",),
    "person_in_vehicle": ("no",),
    "air_suspension_in_lift_mode": ("yes", "not fitted"),
    "entered_straight": ("yes",),
}


def intake_checks(answers: tuple[tuple[str, str], ...], air: str = "not asked") -> Iterator[Check]:
    """What was asked at the vehicle; an unanswered question is not known, nor is air suspension
    that is fitted by the vehicle's record and not fitted by the answer.
    """
    given = dict(answers)
    for question, good in _WANTED.items():
        answer = given.get(question, "not asked")
        if answer == "not asked":
            yield not_known(question, "not asked")
        elif answer == "not fitted" and air == "yes":
            yield not_known(question, "fitted by the record")
        else:
            soft = Status.WATCH if question == "entered_straight" else Status.STOPS
            yield yes(question, answer in good, otherwise=soft, note=("answered", answer))
