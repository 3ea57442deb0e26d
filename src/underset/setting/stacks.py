"""Checks of the stacks: fit of pieces, slot and point, stock, height, inspection, screws."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from math import hypot

from underset.records.policy import Policy
from underset.setting.checks import MONTH, SLACK, at_least, at_most, not_known, yes
from underset.setting.numbers import (
    AdapterNumbers,
    BayNumbers,
    PointNumbers,
    PointSetNumbers,
    Shelf,
    VehicleNumbers,
)
from underset.setting.result import Check, Setting


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
    yield stack_fit(setting, points, bay, stacks)
    yield point_on_pad(setting, points, stacks, policy)
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


def stack_fit(
    setting: Setting, points: PointSetNumbers, bay: BayNumbers, stacks: list[list[AdapterNumbers]]
) -> Check:
    """Whether the pieces of every stack fit the seat, one another and the lifting point."""
    missing: tuple[str, ...] = ()
    where = ""
    for a, p, stack in zip(setting.arms, points.points, stacks, strict=True):
        why = fits(stack, bay.interface, p, a.across)
        if why and not why[0].startswith("?"):
            return yes("stack_fit", ok=False, where=a.corner, note=why)
        if why and not missing:
            missing, where = (why[0][1:], *why[1:]), a.corner
    return not_known("stack_fit", *missing, where=where) if missing else yes("stack_fit", ok=True)


def point_on_pad(
    setting: Setting,
    points: PointSetNumbers,
    stacks: list[list[AdapterNumbers]],
    policy: Policy,
) -> Check:
    """Whether every point bears on the inner part of its pad."""
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
