"""Pad loads and stability of one state: ledger in, checks out. Statics in V, CG reported in L."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import hypot, inf

from underset.errors import InputError
from underset.geometry import Pose, apply
from underset.records.policy import Policy
from underset.setting.borne import Borne as Borne
from underset.setting.borne import Footing as Footing
from underset.setting.borne import bear as bear
from underset.setting.borne import footing as footing
from underset.setting.borne import moved as moved
from underset.setting.borne import pad_spans
from underset.setting.borne import shift_of as shift_of
from underset.setting.checks import at_best, at_least, at_most, not_known, yes
from underset.setting.numbers import BayNumbers, VehicleNumbers
from underset.setting.place import ARM_PLACES
from underset.setting.result import (
    Check,
    PadLoad,
    Residuals,
    Setting,
    StandLoad,
    StateResult,
    Status,
    told_of,
)
from underset.setting.stand_loads import STAND
from underset.setting.state import PushCase, State, Support
from underset.statics import Total, total
from underset.units import G0

Point = tuple[float, float]
Form = tuple[float, float, float]
ARM_ORDER = ARM_PLACES


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
    states: Sequence[Borne],
    foot: Footing,
    vehicle: VehicleNumbers,
    bay: BayNumbers,
    policy: Policy,
    setting: Setting,
) -> tuple[Judged, ...]:
    """Every state on the lift, as `bear` gives them; what changes no check is judged once."""
    done: dict[object, Judged] = {}
    found = []
    for borne in states:
        state = borne.state
        key = (state.items, state.supports, state.pushes, state.moves_lift)
        if key in done:
            found.append(replace(done[key], state=state))
            continue
        checks = _checks(borne, foot, vehicle, bay, policy, setting)
        known = tuple(checks if vehicle.height_known else _as_known(checks))
        done[key] = _judged(borne, known)
        found.append(done[key])
    return tuple(found)


def _judged(borne: Borne, checks: tuple[Check, ...]) -> Judged:
    """Pad loads, residuals and all load and stability checks of one state but the CG window's."""
    return Judged(
        state=borne.state,
        whole=borne.whole,
        carried=borne.carried,
        pads=tuple([PadLoad(n, low, high) for low, n, high in borne.spans]),  # type: ignore[arg-type]
        residuals=borne.left,
        checks=checks,
    )


# What rolls or tips with the height of the CG. Nobody's height is taken as on the floor, where a
# vehicle rolls and tips least: `at_best` then lets nothing but a stop stand.
_NEED_HEIGHT = frozenset({
    "arm_load", "adapter_load", "point_load", "pad_split", "least_pad", "cg_edge", "push_tip",
    "push_unload", "job_push", "table_push",
})  # fmt: skip


def _as_known(checks: Iterator[Check]) -> Iterator[Check]:
    for check in checks:
        if check.name not in _NEED_HEIGHT:
            yield check
        else:
            yield at_best(check, "cg height not known")


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
        checks=judged.checks + told_of((_window(judged.carried, bay, pose),), state.name),
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
    loaded: Borne,
    foot: Footing,
    vehicle: VehicleNumbers,
    bay: BayNumbers,
    policy: Policy,
    setting: Setting,
) -> Iterator[Check]:
    yield _balance(vehicle)
    yield from _limits(loaded, foot, bay, setting)
    yield _split(loaded, foot, bay, policy)
    yield _heavy_end(loaded, bay, policy, setting)
    yield _least_pad(loaded, foot, policy)
    yield _level(loaded, policy, setting)
    yield _edge(loaded, foot, policy)
    yield from _standing_push(loaded, foot, vehicle, policy)
    for push in loaded.state.pushes:
        yield _job_push(push, loaded, foot, vehicle)
    for support in loaded.state.supports:
        yield from _table(support, loaded, foot)
        if support.kind == STAND:
            yield from _stand(support, loaded.state)


def _balance(vehicle: VehicleNumbers) -> Check:
    basis = vehicle.basis
    told = (("mass from", basis.mass, ""), ("CG along from", basis.aft, ""),
            ("CG across from", basis.side, ""), ("CG height from", basis.height, ""))  # fmt: skip
    if not vehicle.height_known:
        return not_known("balance", "cg height not known", inputs=told)
    if basis.clash:
        return not_known("balance", "weights clash", inputs=told)
    if basis.estimated:
        note = ("balance is an estimate", ", ".join(basis.estimated))
        return yes("balance", ok=False, otherwise=Status.WATCH, note=note, inputs=told)
    return yes("balance", ok=True, inputs=told)


def _limits(loaded: Borne, foot: Footing, bay: BayNumbers, setting: Setting) -> Iterator[Check]:
    carried, down = loaded.carried, _pressing(loaded.state)
    yield at_most(
        "rated_load", carried.mass_high * G0 + down, bay.rated * G0, nominal=loaded.weight,
        inputs=(("mass", carried.mass, "kg"), ("greatest mass", carried.mass_high, "kg")),
    )  # fmt: skip
    more = [_pushed_on(loaded.state, form, foot) for form in foot.forms]
    spans = [(low, mean, high + m) for (low, mean, high), m in zip(loaded.spans, more, strict=True)]
    rows = zip(setting.arms, spans, foot.arm_limits, strict=True)
    arm, span, limit = max(rows, key=lambda r: r[1][2] / r[2])
    yield at_most(
        "arm_load", span[2], limit, nominal=span[1], where=arm.corner,
        inputs=(("limit from", foot.limits_from, ""),),
    )  # fmt: skip
    weakest = zip(setting.arms, spans, foot.ratings, strict=True)
    arm, span, limit = max(weakest, key=lambda r: r[1][2] / r[2])
    if limit < inf:
        yield at_most("adapter_load", span[2], limit, nominal=span[1], where=arm.corner)
    for arm, span, own in zip(setting.arms, spans, foot.point_limits, strict=True):
        if own is not None:
            yield at_most("point_load", span[2], own, nominal=span[1], where=arm.corner)


def _pressing(state: State) -> float:
    """The greatest push straight down of a step, N."""
    return max([p.force for p in state.pushes if p.direction and p.direction[2] < -0.5] + [0.0])


def _pushed_on(state: State, form: tuple[float, float, float], foot: Footing) -> float:
    """What the worst push of a step puts on one pad besides its load, N."""
    a, b, c = form
    most = 0.0
    for push in state.pushes:
        height = foot.above(push.up)
        if push.direction is None:
            most = max(most, push.force * abs(height) * hypot(b, c))
        elif abs(push.direction[2]) < 0.5:
            x, y, _ = push.direction
            most = max(most, push.force * height * (b * x + c * y))
        elif push.place is not None and push.place[1] is not None:
            share = a + b * push.place[0] + c * push.place[1]
            most = max(most, -push.direction[2] * push.force * share)
    return most


def split_limit(bay: BayNumbers, policy: Policy) -> tuple[float, str]:
    """Greatest share of either pad pair, and whose rule it is: the plate's goes first."""
    head, _, tail = bay.split_text.partition(":")
    if tail:
        larger, smaller = max(float(head), float(tail)), min(float(head), float(tail))
        return larger / (larger + smaller), f"plate, {bay.split_text}"
    narrow = bay.rated <= policy["split_boundary"]
    rule = policy.threshold("split_narrow" if narrow else "split_wide")
    return rule.value, rule.source


def _split(loaded: Borne, foot: Footing, bay: BayNumbers, policy: Policy) -> Check:
    low, share, high = loaded.front
    (_, b1, c1), (_, b2, c2) = foot.forms[:2]
    allowance = moved(b1 + b2, c1 + c2, loaded.shift)
    # On pads that stand skew the warp force of uneven levels moves load from end to end as well.
    skew = foot.warp * abs(foot.pattern[0] + foot.pattern[1])
    allowance += skew / (loaded.carried.mass_low * G0)
    worst = max(high + allowance, 1.0 - low + allowance)
    limit, source = split_limit(bay, policy)
    return at_most(
        "pad_split", worst, limit, nominal=max(share, 1.0 - share),
        where="front" if high + low > 1.0 else "rear", sources=(source,),
        inputs=(("front share", share, "1"), ("front share, least", low, "1"),
                ("front share, greatest", high, "1"), ("rated capacity", bay.rated, "kg")),
    )  # fmt: skip


def _heavy_end(loaded: Borne, bay: BayNumbers, policy: Policy, setting: Setting) -> Check:
    front_arm = ARM_ORDER.index(setting.arms[0].arm)
    rear_arm = ARM_ORDER.index(setting.arms[2].arm)
    front, rear = bay.arms[front_arm].reach_high, bay.arms[rear_arm].reach_high
    share = (loaded.spans[0][1] + loaded.spans[1][1]) / max(loaded.weight, 1.0)
    inputs = (("front arms reach", front, "m"), ("rear arms reach", rear, "m"),
              ("front share", share, "1"))  # fmt: skip
    equal = abs(front - rear) <= policy["heavy_arms"]
    even = abs(share - 0.5) <= policy["heavy_share"]
    right = equal or even or (share > 0.5) == (front < rear)
    return yes("heavy_end", right, otherwise=Status.WATCH, inputs=inputs)


def _least_pad(loaded: Borne, foot: Footing, policy: Policy) -> Check:
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


def _level(loaded: Borne, policy: Policy, setting: Setting) -> Check:
    height, raised, emptied = loaded.level
    height = min(height, 1.0)
    corner = setting.arms[raised].corner
    threads = [p.travel and p.turns and p.screw / p.turns for p in setting.arms[raised].stack]
    thread = next((t for t in threads if t), None)
    turns = (("turns of its screw", height / thread, "1"),) if thread else ()
    return at_least(
        "level", height, policy["level_pad"], watch=2 * policy["level_pad"], where=corner,
        inputs=(("pad lifted clear", setting.arms[emptied].corner, ""), *turns),
    )  # fmt: skip


def _edge(loaded: Borne, foot: Footing, policy: Policy) -> Check:
    worst, nominal = inf, inf
    for (_, b, c), (low, mean, _) in zip(foot.edges, loaded.edges, strict=True):
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
    loaded: Borne, foot: Footing, vehicle: VehicleNumbers, policy: Policy
) -> Iterator[Check]:
    wanted = policy["push_force"] * policy["push_factor"]
    if vehicle.roof is None:
        for name in ("push_tip", "push_unload"):
            yield not_known(name, "roof height not given")
    else:
        height = max(foot.above(vehicle.roof), foot.above(vehicle.sill) if vehicle.sill else 0.0)
        above = (("height above the pads", height, "m"),)
        lacks = () if vehicle.roof_load_known else ("roof load not given",)
        tip = at_least("push_tip", _tip(loaded, foot, height), wanted, inputs=above)
        yield at_best(tip, *lacks)
        force, pad = _empties(loaded, foot, height)
        corner = ("LF", "RF", "LR", "RR")[pad]
        unload = at_least("push_unload", force, wanted, where=corner, inputs=above)
        yield at_best(unload, *lacks)
    arm, missing = _lever(loaded, vehicle)
    inputs = (("friction", foot.friction, "1"), ("lever", arm, "m"))
    slides = at_least("push_slide", _slide(loaded, foot, arm), wanted, inputs=inputs)
    yield at_best(slides, *missing)


_FAR = 1.0e6  # N: a push that no one can give; stands for "cannot happen"


def _tip(loaded: Borne, foot: Footing, height: float, toward: Point | None = None) -> float:
    """Least horizontal push at `height` above the pads that tips, worst corner, N: W m / h."""
    if height <= 0.0:
        return _FAR
    force = _FAR
    for (_, b, c), low in zip(foot.edges, loaded.righting, strict=True):
        into = 1.0 if toward is None else -(b * toward[0] + c * toward[1])
        if into > 1e-12:
            force = min(force, low / (height * into))
    return max(0.0, force)


def _empties(
    loaded: Borne, foot: Footing, height: float, toward: Point | None = None
) -> tuple[float, int]:
    """Least horizontal push that empties a pad, worst corner, and the pad."""
    best = (_FAR, 0)
    for i, ((low, _, _), (_, b, c)) in enumerate(zip(loaded.spans, foot.forms, strict=True)):
        slope = hypot(b, c) if toward is None else -(b * toward[0] + c * toward[1])
        if slope * height > 1e-12:
            best = min(best, (max(0.0, low) / (slope * height), i))
    return best


def _slide(loaded: Borne, foot: Footing, lever: float) -> float:
    """Least horizontal push at `lever` from the CG that slides or turns the vehicle on its pads.

    Sliding alone takes mu W, turning alone mu sum F r; between the two the true limit lies outside
    the straight line, so the line is on the safe side.
    """
    grip = foot.friction * loaded.carried.mass_low * G0
    turn = foot.friction * loaded.turning
    return 0.0 if min(grip, turn) <= 0.0 else 1.0 / (1.0 / grip + lever / turn)


_Lever = tuple[float, tuple[str, ...]]
"""A lever, m, and what is missing: then the lever is the least it can be."""

_NO_OUTLINE = ("length, width or overhang not given",)


def _lever(loaded: Borne, vehicle: VehicleNumbers) -> _Lever:
    """Lever of a push at the farther end; a vehicle is at least as long as its wheelbase."""
    x = loaded.carried.cg[0]
    if vehicle.outline is None:
        return max(-x, x + vehicle.wheelbase), _NO_OUTLINE
    front, rear = vehicle.outline[:2]
    return max(front - x, x - rear), ()


def _push_lever(push: PushCase, loaded: Borne, vehicle: VehicleNumbers) -> _Lever:
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


def _job_push(push: PushCase, loaded: Borne, foot: Footing, vehicle: VehicleNumbers) -> Check:
    """Force the vehicle bears in this direction against the force of the step."""
    missing: tuple[str, ...] = ()
    if push.direction is not None and abs(push.direction[2]) > 0.5:
        if push.place is None or push.place[1] is None:
            return not_known("job_push", "place of the push not given", push.label)
        bears = _vertical(push.direction[2], (push.place[0], push.place[1]), loaded, foot)
    else:
        toward = None if push.direction is None else push.direction[:2]
        height = foot.above(push.up)
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


def _vertical(up: float, place: Point, loaded: Borne, foot: Footing) -> float:
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


def _table(support: Support, loaded: Borne, foot: Footing) -> Iterator[Check]:
    """The push from below that would empty a pad, against the push in use."""
    others = tuple(i for i in loaded.items if i.name != support.name)
    spans = pad_spans(others, foot, total(others), loaded.shift)
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
