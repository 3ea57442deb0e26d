"""Pad loads and stability of one state: ledger in, checks out. Statics in V, CG reported in L."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import hypot, inf, tan

from underset.errors import InputError
from underset.geometry import Pose, apply
from underset.records.policy import Policy
from underset.setting.checks import at_best, at_least, at_most, not_known, yes
from underset.setting.numbers import BayNumbers, Shelf, VehicleNumbers
from underset.setting.result import (
    ArmSetting,
    Check,
    PadLoad,
    Residuals,
    Setting,
    StandLoad,
    StateResult,
    Status,
)
from underset.setting.stand_loads import STAND, with_stand_loads
from underset.setting.state import PushCase, State, Support
from underset.statics import (
    Item,
    Total,
    contact_loads,
    edge_forms,
    hull,
    load_forms,
    mean_range,
    residuals,
    sum_range,
    total,
    unloading_height,
    warp_pattern,
    warp_range,
)
from underset.units import G0

Point = tuple[float, float]
Form = tuple[float, float, float]
ARM_ORDER = ("left_front", "right_front", "left_rear", "right_rear")


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
    )


def _arm_limit(bay: BayNumbers, policy: Policy, arm: ArmSetting) -> float:
    own = bay.arm_limits[ARM_ORDER.index(arm.arm)]
    return own if own is not None else policy["arm_share"] * bay.rated * G0


def _rating(shelf: Shelf, arm: ArmSetting) -> float:
    return min((shelf.types[i].rating * G0 for i in arm.stack_ids), default=inf)


def _friction(shelf: Shelf, policy: Policy, setting: Setting) -> float:
    tops = (shelf.types[a.stack_ids[-1]] for a in setting.arms if a.stack)
    clean = all(t.clean_rubber for t in tops)
    return policy["friction_clean"] if clean else policy["friction"]


@dataclass(frozen=True, slots=True)
class _Loaded:
    """One state's numbers on one footing."""

    state: State
    items: tuple[Item, ...]
    carried: Total
    spans: tuple[tuple[float, float, float], ...]  # low, nominal, high of each pad, N
    weight: float  # nominal, N
    shift: Point  # greatest shift of the CG by points off their places and unlevel carriages, m


@dataclass(frozen=True, slots=True)
class Judged:
    """One state on one footing, wherever the vehicle stands: everything but its place in L."""

    state: State
    whole: Total
    carried: Total
    pads: tuple[PadLoad, PadLoad, PadLoad, PadLoad]
    residuals: Residuals
    checks: tuple[Check, ...]


def judge_states(
    states: tuple[State, ...],
    foot: Footing,
    vehicle: VehicleNumbers,
    bay: BayNumbers,
    policy: Policy,
    setting: Setting,
) -> tuple[Judged, ...]:
    """Every state on the lift; steps that change nothing that bears or pushes are judged once."""
    done: dict[object, Judged] = {}
    found = []
    for state in with_stand_loads(states, foot.forms):
        if state.lifted:
            key = (state.items, state.supports, state.pushes, state.refusals, state.moves_lift)
            if key not in done:
                done[key] = judge_state(state, foot, vehicle, bay, policy, setting)
            found.append(replace(done[key], state=state))
    return tuple(found)


def judge_state(
    state: State,
    foot: Footing,
    vehicle: VehicleNumbers,
    bay: BayNumbers,
    policy: Policy,
    setting: Setting,
) -> Judged:
    """Pad loads, residuals and all load and stability checks of one state but the CG window's."""
    items = state.items + state.supports_as_items()
    whole = total(state.items)
    carried = total(items) if state.supports else whole
    shift = shift_of(whole, foot)
    spans = _pad_spans(items, foot, carried, shift)
    loaded = _Loaded(state, items, carried, spans, carried.mass * G0, shift)
    left = residuals(foot.pads, _linear(items, foot), loaded.weight, carried.cg[:2])
    return Judged(
        state=state,
        whole=whole,
        carried=carried,
        pads=tuple([PadLoad(n, low, high) for low, n, high in spans]),  # type: ignore[arg-type]
        residuals=Residuals(*left),
        checks=tuple(_as_known(_checks(loaded, foot, vehicle, bay, policy, setting), vehicle)),
    )


# What rolls or tips with the height of the CG. Nobody's height is taken as on the floor, where a
# vehicle rolls and tips least: `at_best` then lets nothing but a stop stand.
_NEED_HEIGHT = frozenset({
    "arm_load", "adapter_load", "point_load", "pad_split", "least_pad", "cg_edge", "push_tip",
    "push_unload", "job_push", "table_push",
})  # fmt: skip


def _as_known(checks: Iterator[Check], vehicle: VehicleNumbers) -> Iterator[Check]:
    for check in checks:
        if vehicle.height_known or check.name not in _NEED_HEIGHT:
            yield check
        else:
            yield at_best(check, "cg height not known")


def shift_of(whole: Total, foot: Footing) -> Point:
    """How far the CG may stand off beside its own tolerance, m along and across.

    Points that stand off by d shift it by no more than the greatest d, since the sum of F d is what
    the moments miss; carriages at different heights roll it sideways by height times angle.
    """
    sway = max(0.0, whole.cg_high[2] - foot.up) * tan(foot.roll)
    return foot.unsure[0], foot.unsure[1] + sway


def state_result(judged: Judged, bay: BayNumbers, pose: Pose) -> StateResult:
    """A judged state carried to where the vehicle stands in L."""
    state, whole = judged.state, judged.whole
    low, high = box_in_L(whole, pose)
    x, y = apply(pose, whole.cg[:2])
    return StateResult(
        name=state.name,
        label=state.label,
        mass=whole.mass,
        mass_low=whole.mass_low,
        mass_high=whole.mass_high,
        cg=(x, y, whole.cg[2]),
        cg_low=(*low, whole.cg_low[2]),
        cg_high=(*high, whole.cg_high[2]),
        cg_vehicle=whole.cg,
        pads=judged.pads,
        supports=tuple(
            StandLoad(s.name, apply(pose, s.place), -s.place[0], s.place[1], s.force, s.kind)
            for s in state.supports
        ),
        residuals=judged.residuals,
        checks=(*judged.checks, _window(judged.carried, bay, pose)),
    )


def on_the_floor(state: State, pose: Pose) -> StateResult:
    """A state before the lift takes the load: its ledger, no pad loads, nothing to judge."""
    whole = total(state.items)
    low, high = box_in_L(whole, pose)
    empty = PadLoad(0.0, 0.0, 0.0)
    return StateResult(
        state.name, state.label, whole.mass, whole.mass_low, whole.mass_high,
        (*apply(pose, whole.cg[:2]), whole.cg[2]), (*low, whole.cg_low[2]),
        (*high, whole.cg_high[2]),
        whole.cg, (empty,) * 4, (), Residuals(0.0, 0.0, 0.0), (), lifted=False,
    )  # fmt: skip


def moved(b: float, c: float, shift: Point) -> float:
    """Most by which a form b x + c y changes under a shift of the CG."""
    return abs(b) * shift[0] + abs(c) * shift[1]


def _linear(items: tuple[Item, ...], foot: Footing) -> tuple[float, ...]:
    return tuple(
        G0 * sum(i.mass * (a + b * i.place[0] + c * i.place[1]) for i in items)
        for a, b, c in foot.forms
    )


def _pad_spans(
    items: tuple[Item, ...], foot: Footing, carried: Total, shift: Point
) -> tuple[tuple[float, float, float], ...]:
    """Least, nominal and greatest load of each pad, N, over masses, places, level and shift.

    Springs under a rigid body plus warp are exact while every pad presses; a pad that would pull
    is set to zero and the others get the three-pad loads of the nominal ledger at least.
    """
    spans = []
    for (a, b, c), n in zip(foot.forms, foot.pattern, strict=True):
        low, nominal, high = sum_range(items, (a, b, c, 0.0))
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


def box_in_L(whole: Total, pose: Pose) -> tuple[Point, Point]:
    """Least and greatest corner, in L, of the box in which the CG lies (m)."""
    corners = [
        apply(pose, (x, y))
        for x in (whole.cg_low[0], whole.cg_high[0])
        for y in (whole.cg_low[1], whole.cg_high[1])
    ]
    xs, ys = [p[0] for p in corners], [p[1] for p in corners]
    return (min(xs), min(ys)), (max(xs), max(ys))


def _checks(
    loaded: _Loaded,
    foot: Footing,
    vehicle: VehicleNumbers,
    bay: BayNumbers,
    policy: Policy,
    setting: Setting,
) -> Iterator[Check]:
    yield _balance(vehicle)
    yield from _limits(loaded, foot, bay, setting)
    yield _split(loaded, foot, bay, policy)
    yield _heavy_end(loaded, foot, bay, setting)
    yield _least_pad(loaded, foot, policy)
    yield _level(loaded, foot, policy, setting)
    yield _edge(loaded, foot, policy)
    yield from _standing_push(loaded, foot, vehicle, policy)
    for push in loaded.state.pushes:
        yield _job_push(push, loaded, foot, vehicle)
    for support in loaded.state.supports:
        yield from _table(support, loaded, foot, vehicle)
        if support.kind == STAND:
            yield from _stand(support, loaded.state)
    for name, text in loaded.state.refusals:
        yield yes(name, ok=False, note=(text,))


def _balance(vehicle: VehicleNumbers) -> Check:
    basis = vehicle.basis
    told = (("mass from", basis.mass, ""), ("CG along from", basis.aft, ""),
            ("CG across from", basis.side, ""), ("CG height from", basis.height, ""))  # fmt: skip
    if not vehicle.height_known:
        return not_known("balance", "cg height not known", inputs=told)
    if basis.estimated:
        note = ("balance is an estimate", ", ".join(basis.estimated))
        return yes("balance", ok=False, otherwise=Status.WATCH, note=note, inputs=told)
    return yes("balance", ok=True, inputs=told)


def _limits(loaded: _Loaded, foot: Footing, bay: BayNumbers, setting: Setting) -> Iterator[Check]:
    carried = loaded.carried
    yield at_most(
        "rated_load", carried.mass_high * G0, bay.rated * G0, nominal=loaded.weight,
        inputs=(("mass", carried.mass, "kg"), ("greatest mass", carried.mass_high, "kg")),
    )  # fmt: skip
    rows = zip(setting.arms, loaded.spans, foot.arm_limits, strict=True)
    arm, span, limit = max(rows, key=lambda r: r[1][2] / r[2])
    yield at_most(
        "arm_load", span[2], limit, nominal=span[1], where=arm.corner,
        inputs=(("limit from", foot.limits_from, ""),),
    )  # fmt: skip
    weakest = zip(setting.arms, loaded.spans, foot.ratings, strict=True)
    arm, span, limit = max(weakest, key=lambda r: r[1][2] / r[2])
    if limit < inf:
        yield at_most("adapter_load", span[2], limit, nominal=span[1], where=arm.corner)
    for arm, span, own in zip(setting.arms, loaded.spans, foot.point_limits, strict=True):
        if own is not None:
            yield at_most("point_load", span[2], own, nominal=span[1], where=arm.corner)


def split_limit(bay: BayNumbers, policy: Policy) -> tuple[float, str]:
    """Greatest share of either pad pair, and whose rule it is: the plate's goes first."""
    head, _, tail = bay.split_text.partition(":")
    if tail:
        larger, smaller = max(float(head), float(tail)), min(float(head), float(tail))
        return larger / (larger + smaller), f"plate, {bay.split_text}"
    narrow = bay.rated <= policy["split_boundary"]
    rule = policy.threshold("split_narrow" if narrow else "split_wide")
    return rule.value, rule.source


def _split(loaded: _Loaded, foot: Footing, bay: BayNumbers, policy: Policy) -> Check:
    (a1, b1, c1), (a2, b2, c2) = foot.forms[:2]
    form = (a1 + a2, b1 + b2, c1 + c2, 0.0)
    low, share, high = mean_range(loaded.items, form)
    allowance = moved(form[1], form[2], loaded.shift)
    worst = max(high + allowance, 1.0 - low + allowance)
    limit, source = split_limit(bay, policy)
    return at_most(
        "pad_split", worst, limit, nominal=max(share, 1.0 - share),
        where="front" if high + low > 1.0 else "rear", sources=(source,),
        inputs=(("front share", share, "1"), ("front share, least", low, "1"),
                ("front share, greatest", high, "1"), ("rated capacity", bay.rated, "kg")),
    )  # fmt: skip


def _heavy_end(loaded: _Loaded, foot: Footing, bay: BayNumbers, setting: Setting) -> Check:
    front_arm = ARM_ORDER.index(setting.arms[0].arm)
    rear_arm = ARM_ORDER.index(setting.arms[2].arm)
    front, rear = bay.arms[front_arm].reach_high, bay.arms[rear_arm].reach_high
    share = (loaded.spans[0][1] + loaded.spans[1][1]) / max(loaded.weight, 1.0)
    inputs = (("front arms reach", front, "m"), ("rear arms reach", rear, "m"),
              ("front share", share, "1"))  # fmt: skip
    # Decision: arms within 50 mm count as equal, and a share within 2 % of one half as even.
    equal = abs(front - rear) <= 0.05 or abs(share - 0.5) <= 0.02
    right = equal or (share > 0.5) == (front < rear)
    return yes("heavy_end", right, otherwise=Status.WATCH, inputs=inputs)


def _least_pad(loaded: _Loaded, foot: Footing, policy: Policy) -> Check:
    i = min(range(4), key=lambda k: loaded.spans[k][0])
    low, nominal, _ = loaded.spans[i]
    weight = loaded.carried.mass_high * G0
    return at_least(
        "least_pad", low / weight, policy["least_pad_stop"], watch=policy["least_pad_watch"],
        nominal=nominal / loaded.weight, where=("LF", "RF", "LR", "RR")[i],
        inputs=(("least load", low, "N"), ("weight", weight, "N"),
                ("warp force over the level tolerance", foot.warp, "N"),
                ("pad stiffness", foot.stiffness, "N/m"),
                ("body twist stiffness", foot.twist, "N m/rad")),
    )  # fmt: skip


def _level(loaded: _Loaded, foot: Footing, policy: Policy, setting: Setting) -> Check:
    nominal = tuple(n for _, n, _ in loaded.spans)
    stiff = (foot.stiffness,) * 4
    height, raised, emptied = min(
        unloading_height(foot.pads, nominal, stiff, foot.twist, lowered=x) for x in (False, True)
    )
    height = min(height, 1.0)
    corner = setting.arms[raised].corner
    threads = [p.travel and p.turns and p.screw / p.turns for p in setting.arms[raised].stack]
    thread = next((t for t in threads if t), None)
    turns = (("turns of its screw", height / thread, "1"),) if thread else ()
    return at_least(
        "level", height, policy["level_pad"], watch=2 * policy["level_pad"], where=corner,
        inputs=(("pad lifted clear", setting.arms[emptied].corner, ""), *turns),
    )  # fmt: skip


def _edge(loaded: _Loaded, foot: Footing, policy: Policy) -> Check:
    worst, nominal = inf, inf
    for a, b, c in foot.edges:
        low, mean, _ = mean_range(loaded.items, (a, b, c, 0.0))
        worst = min(worst, low - moved(b, c, loaded.shift))
        nominal = min(nominal, mean)
    return at_least(
        "cg_edge", worst, policy["edge_stop"], watch=policy["edge_watch"], nominal=nominal,
        inputs=(("shift along by points off their places", loaded.shift[0], "m"),
                ("shift across, with unlevel carriages", loaded.shift[1], "m")),
    )  # fmt: skip


def _window(carried: Total, bay: BayNumbers, pose: Pose) -> Check:
    if bay.cg_window is None:
        note = ("no CG window on the plate",)
        return yes("cg_window", ok=False, otherwise=Status.WATCH, note=note)
    low, high = bay.cg_window
    (x_low, _), (x_high, _) = box_in_L(carried, pose)
    x, _ = apply(pose, carried.cg[:2])
    room = min(x_low - low, high - x_high)
    return at_least(
        "cg_window", room, 0.0, nominal=min(x - low, high - x),
        inputs=(("CG in L", x, "m"), ("window from", low, "m"), ("window to", high, "m")),
    )  # fmt: skip


def _standing_push(
    loaded: _Loaded, foot: Footing, vehicle: VehicleNumbers, policy: Policy
) -> Iterator[Check]:
    wanted = policy["push_force"] * policy["push_factor"]
    if vehicle.roof is None:
        for name in ("push_tip", "push_unload"):
            yield not_known(name, "roof height not given")
    else:
        height = max(vehicle.roof - foot.up, vehicle.sill - foot.up if vehicle.sill else 0.0)
        above = (("height above the pads", height, "m"),)
        yield at_least("push_tip", _tip(loaded, foot, height), wanted, inputs=above)
        force, pad = _empties(loaded, foot, height)
        corner = ("LF", "RF", "LR", "RR")[pad]
        yield at_least("push_unload", force, wanted, where=corner, inputs=above)
    arm, missing = _lever(loaded, vehicle)
    inputs = (("friction", foot.friction, "1"), ("lever", arm, "m"))
    slides = at_least("push_slide", _slide(loaded, foot, arm), wanted, inputs=inputs)
    yield at_best(slides, *missing)


_FAR = 1.0e6  # N: a push that no one can give; stands for "cannot happen"


def _tip(loaded: _Loaded, foot: Footing, height: float, toward: Point | None = None) -> float:
    """Least horizontal push at `height` above the pads that tips, worst corner, N: W m / h."""
    if height <= 0.0:
        return _FAR
    force = _FAR
    weight = loaded.carried.mass_high * G0
    for a, b, c in foot.edges:
        low = G0 * sum_range(loaded.items, (a, b, c, 0.0))[0]
        low -= weight * moved(b, c, loaded.shift)
        into = 1.0 if toward is None else -(b * toward[0] + c * toward[1])
        if into > 1e-12:
            force = min(force, low / (height * into))
    return max(0.0, force)


def _empties(
    loaded: _Loaded, foot: Footing, height: float, toward: Point | None = None
) -> tuple[float, int]:
    """Least horizontal push that empties a pad, worst corner, and the pad."""
    best = (_FAR, 0)
    for i, ((low, _, _), (_, b, c)) in enumerate(zip(loaded.spans, foot.forms, strict=True)):
        slope = hypot(b, c) if toward is None else -(b * toward[0] + c * toward[1])
        if slope * height > 1e-12:
            best = min(best, (max(0.0, low) / (slope * height), i))
    return best


def _slide(loaded: _Loaded, foot: Footing, lever: float) -> float:
    """Least horizontal push at `lever` from the CG that slides or turns the vehicle on its pads.

    Sliding alone takes mu W, turning alone mu sum F r; between the two the true limit lies outside
    the straight line, so the line is on the safe side.
    """
    x, y = loaded.carried.cg[:2]
    far = [hypot(px - x, py - y) for px, py in foot.pads]
    a, b, c = (sum(r * f[k] for r, f in zip(far, foot.forms, strict=True)) for k in range(3))
    warp = foot.warp * abs(sum(r * n for r, n in zip(far, foot.pattern, strict=True)))
    grip = foot.friction * loaded.carried.mass_low * G0
    turn = foot.friction * (G0 * sum_range(loaded.items, (a, b, c, 0.0))[0] - warp)
    return 0.0 if min(grip, turn) <= 0.0 else 1.0 / (1.0 / grip + lever / turn)


_Lever = tuple[float, tuple[str, ...]]
"""A lever, m, and what is missing: then the lever is the least it can be."""

_NO_OUTLINE = ("length, width or overhang not given",)


def _lever(loaded: _Loaded, vehicle: VehicleNumbers) -> _Lever:
    """Lever of a push at the farther end; a vehicle is at least as long as its wheelbase."""
    x = loaded.carried.cg[0]
    if vehicle.outline is None:
        return max(-x, x + vehicle.wheelbase), _NO_OUTLINE
    front, rear = vehicle.outline[:2]
    return max(front - x, x - rear), ()


def _push_lever(push: PushCase, loaded: _Loaded, vehicle: VehicleNumbers) -> _Lever:
    """Greatest lever of a horizontal push about the CG.

    Where its place across is not given, it may act anywhere across the vehicle.
    """
    if push.place is None:
        return _lever(loaded, vehicle)
    x, y = loaded.carried.cg[:2]
    missing: tuple[str, ...] = ()
    along = abs(push.place[0] - x)
    if push.place[1] is not None:
        across = abs(push.place[1] - y)
    elif vehicle.outline is not None:
        across = vehicle.outline[2] + abs(y)
    else:
        across, missing = 0.0, _NO_OUTLINE
    if push.direction is None:
        return hypot(along, across), missing
    ahead, left, _ = push.direction
    return along * abs(left) + across * abs(ahead), missing if ahead else ()


_WAYS = {
    "forward": (1.0, 0.0),
    "rearward": (-1.0, 0.0),
    "left": (0.0, 1.0),
    "right": (0.0, -1.0),
}


def _job_push(push: PushCase, loaded: _Loaded, foot: Footing, vehicle: VehicleNumbers) -> Check:
    """Force the vehicle bears in this direction against the force of the step."""
    missing: tuple[str, ...] = ()
    if push.direction is not None and abs(push.direction[2]) > 0.5:
        if push.place is None or push.place[1] is None:
            return not_known("job_push", "place of the push not given", push.label)
        bears = _vertical(push.direction[2], (push.place[0], push.place[1]), loaded, foot)
    else:
        toward = None if push.direction is None else push.direction[:2]
        height = push.up - foot.up
        lever, missing = _push_lever(push, loaded, vehicle)
        bears = min(
            _tip(loaded, foot, height, toward),
            _empties(loaded, foot, abs(height), _flip(toward, height))[0],
            _slide(loaded, foot, lever),
        )
    check = at_least(
        "job_push", bears / push.force, 1.0, watch=2.0,
        inputs=(("force of the step", push.force, "N"), ("force borne", bears, "N"),
                ("height above the pads", push.up - foot.up, "m")),
        note=("push of the step", push.label),
    )  # fmt: skip
    return at_best(check, *missing)


def _flip(toward: Point | None, height: float) -> Point | None:
    if toward is None or height >= 0.0:
        return toward
    return -toward[0], -toward[1]


def _vertical(up: float, place: Point, loaded: _Loaded, foot: Footing) -> float:
    return _emptied_by(place, loaded.spans, foot, 1.0 if up > 0.0 else -1.0)


def _emptied_by(
    place: Point, spans: tuple[tuple[float, float, float], ...], foot: Footing, sign: float
) -> float:
    force = _FAR
    for (low, _, _), (a, b, c) in zip(spans, foot.forms, strict=True):
        share = sign * (a + b * place[0] + c * place[1])
        if share > 1e-12:
            force = min(force, max(0.0, low) / share)
    return force


def _table(
    support: Support, loaded: _Loaded, foot: Footing, vehicle: VehicleNumbers
) -> Iterator[Check]:
    """The push from below that would empty a pad, against the push in use."""
    others = tuple(i for i in loaded.items if i.name != support.name)
    spans = _pad_spans(others, foot, total(others), loaded.shift)
    yield at_least(
        "table_push", _emptied_by(support.place, spans, foot, 1.0),
        support.force + support.force_tol, note=("table push of the step", support.name),
        inputs=(("push in use", support.force, "N"),),
    )  # fmt: skip


def _stand(support: Support, state: State) -> Iterator[Check]:
    """A stand must stay loaded, and the lift must not move on it."""
    low = support.force - support.force_tol
    inputs = (("least load", low, "N"), ("greatest load", support.force + support.force_tol, "N"))
    firm, note = low > 0.0, ("stand may come loose", support.name)
    yield yes("stand_firm", firm, otherwise=Status.WATCH, note=() if firm else note, inputs=inputs)
    if state.moves_lift:
        yield yes("stand_moves", ok=False, note=("lift moves on a stand", support.name))


def unknown_loads() -> tuple[Check, ...]:
    """What is said of loads and stability when mass or CG are not known."""
    names = ("balance", "rated_load", "arm_load", "pad_split", "least_pad", "cg_edge", "cg_window",
             "push_tip", "push_unload", "push_slide")  # fmt: skip
    return tuple(not_known(n, "mass or balance not known") for n in names)


def in_line_refusal(error: InputError) -> Check:
    """Four pads in one line carry nothing safely."""
    return yes("balance", ok=False, note=("pads in one line", error.allowed))
