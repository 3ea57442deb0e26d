"""What each state puts on the four pads, whatever stacks stand under them. Statics in V."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import copysign, hypot, inf, tan
from typing import Any

from underset.records.policy import Policy
from underset.setting.numbers import BayNumbers, Shelf, VehicleNumbers
from underset.setting.place import ARM_PLACES
from underset.setting.result import ArmSetting, Residuals, Setting
from underset.setting.stand_loads import with_stand_loads
from underset.setting.state import State
from underset.statics import (
    Item,
    Total,
    contact_loads,
    edge_forms,
    hull,
    load_forms,
    mean_ranges,
    residuals,
    sum_ranges,
    total,
    unloading_height,
    warp_pattern,
    warp_range,
)
from underset.units import G0

Point = tuple[float, float]
Form = tuple[float, float, float]
Span = tuple[float, float, float]
"""Least, nominal, greatest."""


@dataclass(frozen=True, slots=True)
class Footing:
    """What the four pads give, whatever stands on them: contact places in V and their forms."""

    pads: tuple[Point, Point, Point, Point]
    forms: tuple[Form, ...]
    pattern: tuple[float, ...]
    warp: float
    edges: tuple[Form, ...]
    up: float
    friction: float
    stiffness: float
    twist: float
    roll: float
    arm_limits: tuple[float, ...]
    limits_from: str
    ratings: tuple[float, ...]
    point_limits: tuple[float | None, ...]
    unsure: Point
    """How far points may stand off their places, m: together they move the CG by as much."""
    up_tol: float = 0.0

    def above(self, height: float) -> float:
        """How far a height lies above the pads, m; below them negative, in either case at worst."""
        lever = height - self.up
        return lever + copysign(self.up_tol, lever)


def footing(
    vehicle: VehicleNumbers, bay: BayNumbers, shelf: Shelf, policy: Policy, setting: Setting
) -> Footing:
    """Contact places and what follows from them. Raises InputError when the pads stand in line."""
    points = next(p for p in vehicle.point_sets if p.id == setting.point_set).points
    pads = tuple(
        (p.place[0] + (a.along if p.runs_along else 0.0), p.place[1])
        for p, a in zip(points, setting.arms, strict=True)
    )
    forms = load_forms(pads)
    stiff, twist = policy["pad_stiffness_high"], vehicle.twist[1]
    difference = bay.carriage_difference
    carriage = policy["level_carriage"] if difference is None else difference
    warp = warp_range(pads, policy["level_pad"], (stiff,) * 4, twist, carriage)
    limits = tuple(_arm_limit(bay, policy, a) for a in setting.arms)
    return Footing(
        pads=pads,  # type: ignore[arg-type]
        forms=forms,
        pattern=warp_pattern(pads),
        warp=warp,
        edges=edge_forms(hull(pads)),
        up=sum(p.up for p in points) / 4,
        friction=_friction(shelf, policy, setting),
        stiffness=stiff,
        twist=twist,
        roll=carriage / bay.carriage_span,
        arm_limits=limits,
        limits_from="plate" if None not in bay.arm_limits else "a quarter of the rated capacity",
        ratings=tuple(_rating(shelf, a) for a in setting.arms),
        point_limits=tuple(p.limit for p in points),
        unsure=(max(p.place_tol[0] for p in points), max(p.place_tol[1] for p in points)),
        up_tol=sum(p.up_tol for p in points) / 4,
    )


def _arm_limit(bay: BayNumbers, policy: Policy, arm: ArmSetting) -> float:
    own = bay.arm_limits[ARM_PLACES.index(arm.arm)]
    return own if own is not None else policy["arm_share"] * bay.rated * G0


def _rating(shelf: Shelf, arm: ArmSetting) -> float:
    return min((shelf.types[i].rating * G0 for i in arm.stack_ids), default=inf)


def _friction(shelf: Shelf, policy: Policy, setting: Setting) -> float:
    tops = [shelf.types[a.stack_ids[-1]] for a in setting.arms if a.stack]
    clean = bool(tops) and all(t.clean_rubber for t in tops)
    return policy["friction_clean"] if clean else policy["friction"]


@dataclass(frozen=True, slots=True)
class Borne:
    """One state on the pads: everything that follows from the ledger and the contact places."""

    state: State
    items: tuple[Item, ...]
    whole: Total
    carried: Total
    spans: tuple[Span, ...]  # of each pad's load, N
    weight: float  # nominal, N
    shift: Point  # greatest shift of the CG by points off their places and unlevel carriages, m
    left: Residuals
    front: Span  # share of the front pads
    edges: tuple[Span, ...]  # distance of the CG from each edge, m
    righting: tuple[float, ...]  # least moment that holds the vehicle down about each edge, N m
    turning: float  # least grip against turning about the CG, before friction, N m
    level: tuple[float, int, int]  # unevenness that empties a pad, m; pad moved, pad emptied


def bear(
    states: Sequence[State], foot: Footing, kept: dict[object, Any] | None = None
) -> tuple[Borne, ...]:
    """Every state on the lift; steps that change nothing that bears are worked out once.

    `kept` holds what each ledger adds up to, which no footing changes.
    """
    done: dict[object, Borne] = {}
    kept = {} if kept is None else kept
    found = []
    for state in with_stand_loads(states, foot.forms):
        if state.lifted:
            key = (state.items, state.supports)
            if key in done:
                found.append(replace(done[key], state=state))
            else:
                done[key] = _borne(state, foot, kept)
                found.append(done[key])
    return tuple(found)


def _borne(state: State, foot: Footing, kept: dict[object, Any]) -> Borne:
    items, whole, carried = ledger_of(state, kept)
    shift = shift_of(whole, carried, foot)
    edges = [(a, b, c, 0.0) for a, b, c in foot.edges]
    turn, against = _turn(foot, carried)
    sums = sum_ranges(items, [*_shares(foot), *edges, turn])
    loads, rights, turning = sums[:4], sums[4:-1], sums[-1]
    spans = _pad_spans(loads, foot, carried, shift)
    weight = carried.mass * G0
    (a1, b1, c1), (a2, b2, c2) = foot.forms[:2]
    front, *inside = mean_ranges(items, [(a1 + a2, b1 + b2, c1 + c2, 0.0), *edges])
    told = [nominal for _, nominal, _ in spans]
    return Borne(
        state=state,
        items=items,
        whole=whole,
        carried=carried,
        spans=spans,
        weight=weight,
        shift=shift,
        left=Residuals(*residuals(foot.pads, told, weight, carried.cg[:2])),
        front=front,
        edges=tuple(inside),
        righting=_righting(rights, foot, carried, shift),
        turning=G0 * turning[0] - against,
        level=_level(foot, tuple(told)),
    )


Ledger = tuple[tuple[Item, ...], Total, Total]
"""Entries that bear, what the vehicle weighs, and what the pads carry of it."""


def ledger_of(state: State, kept: dict[object, Any]) -> Ledger:
    """What a state's ledger adds up to: the same wherever the vehicle stands."""
    key = ("ledger", state.items, state.supports)
    found: Ledger | None = kept.get(key)
    if found is None:
        items, whole = state.items + state.supports_as_items(), total(state.items)
        found = kept[key] = (items, whole, total(items) if state.supports else whole)
    return found


def shift_of(whole: Total, carried: Total, foot: Footing) -> Point:
    """How far the CG of what is carried may stand off beside its own tolerance, m along and across.

    Points that stand off by d shift it by no more than the greatest d, since the sum of F d is what
    the moments miss; carriages at different heights roll it sideways by height times angle. The
    whole vehicle leans, whatever part of it stands on a table or stands.
    """
    sway = max(0.0, foot.above(whole.cg_high[2])) * tan(foot.roll)
    if carried is not whole:
        sway *= whole.mass_high / carried.mass_low
    return foot.unsure[0], foot.unsure[1] + sway


def moved(b: float, c: float, shift: Point) -> float:
    """Most by which a form b x + c y changes under a shift of the CG."""
    return abs(b) * shift[0] + abs(c) * shift[1]


def _shares(foot: Footing) -> list[tuple[float, float, float, float]]:
    return [(a, b, c, 0.0) for a, b, c in foot.forms]


def pad_spans(
    items: tuple[Item, ...], foot: Footing, carried: Total, shift: Point
) -> tuple[Span, ...]:
    """Least, nominal and greatest load of each pad, N, over masses, places, level and shift.

    Springs under a rigid body plus warp are exact while every pad presses; a pad that would pull
    is set to zero and the others get the three-pad loads of the nominal ledger at least.
    """
    return _pad_spans(sum_ranges(items, _shares(foot)), foot, carried, shift)


def _pad_spans(
    sums: Sequence[Span], foot: Footing, carried: Total, shift: Point
) -> tuple[Span, ...]:
    spans = []
    rows = zip(sums, foot.forms, foot.pattern, strict=True)
    for (low, nominal, high), (_, b, c), n in rows:
        extra = foot.warp * abs(n) + G0 * carried.mass_high * moved(b, c, shift)
        spans.append((G0 * low - extra, G0 * nominal, G0 * high + extra))
    if min(s[0] for s in spans) >= 0.0:
        return tuple(spans)
    # A weight that stands outside the pads has no loads: what the springs would give is shown, cut
    # at nothing, and the margin to the edge stops.
    pressed = contact_loads(foot.pads, carried.mass * G0, carried.cg[:2]) or tuple(
        max(0.0, n) for _, n, _ in spans
    )
    tripod = max(high for _, _, high in spans) - min(0.0, min(low for low, _, _ in spans))
    return tuple(
        (max(0.0, low), load, max(high, load, tripod if low < 0.0 else high))
        for (low, _, high), load in zip(spans, pressed, strict=True)
    )


def _righting(
    sums: Sequence[Span], foot: Footing, carried: Total, shift: Point
) -> tuple[float, ...]:
    heavy = carried.mass_high * G0
    return tuple(
        G0 * low - heavy * moved(b, c, shift)
        for (low, _, _), (_, b, c) in zip(sums, foot.edges, strict=True)
    )


def _turn(foot: Footing, carried: Total) -> tuple[tuple[float, float, float, float], float]:
    """Loads times their distance from the CG as a form, and what warp may take off their sum."""
    x, y = carried.cg[:2]
    far = [hypot(px - x, py - y) for px, py in foot.pads]
    a, b, c = (sum(r * f[k] for r, f in zip(far, foot.forms, strict=True)) for k in range(3))
    warp = foot.warp * abs(sum(r * n for r, n in zip(far, foot.pattern, strict=True)))
    return (a, b, c, 0.0), warp


def _level(foot: Footing, nominal: tuple[float, ...]) -> tuple[float, int, int]:
    stiff = (foot.stiffness,) * 4
    return min(
        unloading_height(foot.pads, nominal, stiff, foot.twist, lowered=x) for x in (False, True)
    )
