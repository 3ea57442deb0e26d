"""Checks of clearance: arms, pads, way in, doors, roof, space round the vehicle. Plan in L."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations
from math import hypot, inf
from typing import Any

from underset.geometry import (
    Arm,
    ArmProfile,
    Blocked,
    Path,
    Polygon,
    Pose,
    Strip,
    apply,
    apply_all,
    disc_to_polygon,
    door_opening,
    grown,
    has_way_in,
    highest_under,
    strip,
    strip_to_polygon,
    strip_to_strip,
    tyre_rectangle,
    way_in,
)
from underset.records.policy import Policy
from underset.setting.checks import at_best, at_least, not_known, yes
from underset.setting.numbers import (
    AdapterNumbers,
    BayNumbers,
    DoorNumbers,
    Shelf,
    VehicleNumbers,
    ZoneNumbers,
)
from underset.setting.place import ARM_PLACES, Stop
from underset.setting.result import ArmSetting, Check, Setting, Status
from underset.setting.state import State

Box = tuple[float, float, float, float]
"""Least x, greatest x, least y, greatest y."""

_Place = tuple[float, float]
_Task = tuple[
    Arm, _Place, _Place, ArmProfile, float, tuple[Polygon, ...], tuple[Polygon, ...], float
]

QUICK = 4
"""Decision: halvings of a way asked quickly, as at the ends of a window, where a narrow way may
count as blocked: the window is then a few millimetres shorter, and the search several times."""

Known = dict[tuple[int, int], tuple[float | None, float]]
"""By arm and zone: the highest part of the arm below the zone, and the distance beside it."""


@dataclass(frozen=True, slots=True)
class Layout:
    """Shapes of one setting in L, made once for all clearance checks."""

    setting: Setting
    pose: Pose
    heading: float
    strips: tuple[Strip | None, ...]
    tops: tuple[float, ...]
    tyres: tuple[Polygon, ...] | None
    zones: tuple[tuple[ZoneNumbers, Polygon], ...] | None
    heads: tuple[AdapterNumbers, ...]
    vehicle: VehicleNumbers
    shelf: Shelf
    strip_boxes: tuple[Box, ...]
    tyre_boxes: tuple[Box, ...]
    zone_boxes: tuple[Box, ...]
    known: Known


@dataclass(frozen=True, slots=True)
class _Plan:
    """What of a layout the stop and the arms in plan decide, whatever stacks stand on them."""

    pose: Pose
    strips: tuple[Strip | None, ...]
    tops: tuple[float, ...]
    zones: tuple[tuple[ZoneNumbers, Polygon], ...] | None
    strip_boxes: tuple[Box, ...]
    zone_boxes: tuple[Box, ...]
    known: Known


def layout(
    setting: Setting,
    vehicle: VehicleNumbers,
    bay: BayNumbers,
    shelf: Shelf,
    kept: dict[object, Any] | None = None,
) -> Layout:
    """Arms as strips, tyres and zones carried to L; `kept` holds what no stack changes."""
    key = ("layout", _in_plan(setting))
    plan: _Plan | None = None if kept is None else kept.get(key)
    if plan is None:
        plan = _plan(setting, vehicle, bay)
    if kept is not None:
        kept[key] = plan
    tyres = tyres_in_L(vehicle, plan.pose, setting.seat + max(plan.tops))
    return Layout(
        setting=setting,
        pose=plan.pose,
        heading=plan.pose.yaw,
        strips=plan.strips,
        tops=plan.tops,
        tyres=tyres,
        zones=plan.zones,
        heads=tuple([shelf.types[a.stack[-1].adapter] for a in setting.arms if a.stack]),
        vehicle=vehicle,
        shelf=shelf,
        strip_boxes=plan.strip_boxes,
        tyre_boxes=tuple([box(t) for t in tyres or ()]),
        zone_boxes=plan.zone_boxes,
        known=plan.known,
    )


def _plan(setting: Setting, vehicle: VehicleNumbers, bay: BayNumbers) -> _Plan:
    pose = Stop(setting.heading, setting.spot, setting.sideways, setting.yaw).pose
    strips, tops = [], []
    for a in setting.arms:
        index = ARM_PLACES.index(a.arm)
        arm, profile = bay.arms[index], bay.profiles[index]
        angle = arm.inward + arm.turn * a.swing
        strips.append(strip(arm.pivot, angle, a.reach, profile) if profile else None)
        tops.append(max((s[2] for s in profile), default=0.0) if profile else 0.0)
    zones = vehicle.zones
    placed = None if zones is None else tuple([(z, apply_all(pose, z.outline)) for z in zones])
    return _Plan(
        pose=pose,
        strips=tuple(strips),
        tops=tuple(tops),
        zones=placed,
        strip_boxes=tuple([box([p for slab, _ in s or () for p in slab]) for s in strips]),
        zone_boxes=tuple([box(outline) for _, outline in placed or ()]),
        known={},
    )


def tyres_in_L(
    vehicle: VehicleNumbers, pose: Pose, height: float, *, standing: bool = False
) -> tuple[Polygon, ...] | None:
    """Tyres as arms at `height` meet them, on the floor or hanging; None when not given."""
    if vehicle.tyres is None:
        return None
    # Off the floor the wheels hang lower by the droop, so the arm meets them nearer the hub.
    droop = vehicle.droop if vehicle.droop is not None else inf
    droop = 0.0 if standing else droop
    return tuple(
        tyre_rectangle(
            apply(pose, t.centre),
            pose.yaw,
            t.width,
            t.diameter + t.grown[2],
            min(height + droop, (t.diameter + t.grown[2]) / 2),
            t.grown[:2],
        )
        for t in vehicle.tyres
    )


Kept = dict[object, tuple[Check, ...]]
"""Checks by the stop and the arms in plan alone: no stack changes them."""


def clearance_checks(
    plan: Layout, vehicle: VehicleNumbers, bay: BayNumbers, policy: Policy, kept: Kept
) -> Iterator[Check]:
    """Everything the arms, pads and the parked vehicle must stand clear of."""
    gap, key = policy["gap_arm"], _in_plan(plan.setting)
    if key not in kept:
        kept[key] = (*_arms_in_plan(plan, bay, gap), _drive_through(vehicle, bay, policy),
                     *clear_space(plan, vehicle, bay, policy))  # fmt: skip
    *arms, through, around = kept[key]
    if None in plan.strips:
        yield not_known("arm_tyre", "arm profile not given")
        yield not_known("arm_zone", "arm profile not given")
    else:
        yield _arm_tyre(plan, gap)
        yield _arm_zone(plan, gap)
    yield from arms
    yield from _pad_zone(plan, gap)
    yield through
    yield around


def _in_plan(setting: Setting) -> object:
    stop = (setting.point_set, setting.heading, setting.spot, setting.sideways, setting.yaw)
    return "in plan", stop, tuple([(a.arm, a.swing, a.reach, a.pad) for a in setting.arms])


def _arms_in_plan(plan: Layout, bay: BayNumbers, gap: float) -> Iterator[Check]:
    """Arms to one another and to the column across."""
    column = _arm_column(plan, bay, gap)
    if None in plan.strips:
        yield not_known("arm_arm", "arm profile not given")
        yield at_best(column, "arm profile not given")
    else:
        yield _arm_arm(plan, gap)
        yield column


def box(points: Sequence[tuple[float, float]]) -> Box:
    """The upright rectangle round some points; an empty one lies nowhere near anything."""
    if not points:
        return (inf, -inf, inf, -inf)
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return (min(xs), max(xs), min(ys), max(ys))


def apart(a: Box, b: Box) -> float:
    """Distance between two boxes: never more than the distance between what is in them."""
    dx = max(b[0] - a[1], a[0] - b[1], 0.0)
    dy = max(b[2] - a[3], a[2] - b[3], 0.0)
    return hypot(dx, dy)


def _arm_tyre(plan: Layout, gap: float) -> Check:
    if plan.tyres is None:
        return not_known("arm_tyre", "tyres not given")
    nearest, corner = inf, ""
    for a, s, around in zip(plan.setting.arms, plan.strips, plan.strip_boxes, strict=True):
        assert s is not None
        for tyre, there in zip(plan.tyres, plan.tyre_boxes, strict=True):
            if apart(around, there) < nearest:
                room = min(strip_to_polygon(s, tyre), disc_to_polygon(a.pad, 0.0, tyre))
                nearest, corner = min((nearest, corner), (room, a.corner))
    return at_least("arm_tyre", nearest, gap, where=corner)


def _arm_zone(plan: Layout, gap: float) -> Check:
    """Least room between an arm and a zone: below it where it passes under, beside it elsewhere."""
    if plan.zones is None:
        return not_known("arm_zone", "underbody zones not given")
    worst, corner, zone_id = inf, "", ""
    for i, around in enumerate(plan.strip_boxes):
        for j, there in enumerate(plan.zone_boxes):
            if apart(around, there) >= worst:
                continue
            room = _zone_room(plan, i, j, gap)
            if room < worst:
                worst, corner = room, plan.setting.arms[i].corner
                zone_id = plan.zones[j][0].id
    if worst == inf:
        return yes("arm_zone", ok=True, note=("no zone near the arms",))
    return at_least("arm_zone", worst, gap, where=corner, note=("zone", zone_id))


def _zone_room(plan: Layout, arm: int, j: int, gap: float) -> float:
    """Room between an arm and a zone: beside it or below it, whichever is more."""
    assert plan.zones is not None
    zone, seat = plan.zones[j][0], plan.setting.seat
    below = zone.underside - (seat + plan.tops[arm]) if zone.pass_under else -inf
    if below >= 2 * gap:
        return inf if below > 4 * gap else below
    under, beside = _meeting(plan, arm, j)
    if under is None:
        return max(below, beside)
    return zone.underside - (seat + under) if zone.pass_under else 0.0


def _meeting(plan: Layout, arm: int, j: int) -> tuple[float | None, float]:
    """Highest part of an arm below a zone and the distance beside it: no seat changes them."""
    found = plan.known.get((arm, j))
    if found is None:
        s, outline = plan.strips[arm], (plan.zones or ())[j][1]
        assert s is not None
        under = highest_under(s, outline)
        beside = strip_to_polygon(s, outline) if under is None else 0.0
        found = plan.known[arm, j] = (under, beside)
    return found


def greatest_touch_seat(plan: Layout, gap: float) -> float:
    """Greatest seat height at touch at which every arm keeps `gap` below or beside every zone.

    -inf where an arm stands in a zone it may not pass under; inf where nothing is known or near.
    Exact: an arm's place in plan does not change with the seat.
    """
    if plan.zones is None or None in plan.strips:
        return inf
    greatest = inf
    for i, (top, around) in enumerate(zip(plan.tops, plan.strip_boxes, strict=True)):
        for j, ((zone, _), there) in enumerate(zip(plan.zones, plan.zone_boxes, strict=True)):
            if zone.underside - top - gap >= greatest and zone.pass_under:
                continue
            if apart(around, there) < gap:
                greatest = min(greatest, _seat_below(plan, i, j, gap))
    return greatest


def _seat_below(plan: Layout, arm: int, j: int, gap: float) -> float:
    assert plan.zones is not None
    zone, (under, beside) = plan.zones[j][0], _meeting(plan, arm, j)
    if under is None and beside >= gap:
        return inf
    if not zone.pass_under:
        return -inf
    return zone.underside - (plan.tops[arm] if under is None else under) - gap


def _arm_arm(plan: Layout, gap: float) -> Check:
    nearest, pair = inf, ""
    rows = zip(plan.setting.arms, plan.strips, plan.strip_boxes, strict=True)
    for (a, s, here), (b, t, there) in combinations(rows, 2):
        assert s is not None and t is not None
        if apart(here, there) >= nearest:
            continue
        room = strip_to_strip(s, t)
        nearest, pair = min((nearest, pair), (room, f"{a.corner}-{b.corner}"))
    return at_least("arm_arm", nearest, gap, where=pair)


def _arm_column(plan: Layout, bay: BayNumbers, gap: float) -> Check:
    # An arm's own column is the lift maker's affair: swing and reach limits keep it clear.
    nearest, corner = inf, ""
    for a, s, around in zip(plan.setting.arms, plan.strips, plan.strip_boxes, strict=True):
        left = a.arm.startswith("left")
        for column in bay.columns:
            if (sum(y for _, y in column) > 0.0) == left:
                continue
            room = disc_to_polygon(a.pad, 0.0, column)
            near = s is not None and apart(around, box(column)) < room
            room = min(room, strip_to_polygon(s, column)) if near and s is not None else room
            nearest, corner = min((nearest, corner), (room, a.corner))
    return at_least("arm_column", nearest, gap, where=corner)


def _pad_zone(plan: Layout, gap: float) -> Iterator[Check]:
    """Pads and stacks beside zones lower than the bearing face; high voltage always beside."""
    if plan.zones is None:
        yield not_known("pad_zone", "underbody zones not given")
        return
    worst, corner, zone_id, wanted, unsaid = inf, "", "", gap, ("", "")
    for a, head in zip(plan.setting.arms, plan.heads, strict=False):
        if head.width is None:
            yield not_known("pad_zone", "pad width not given", head.label, where=a.corner)
            return
        face = a.stack[-1].top
        for zone, outline in plan.zones:
            if zone.touch or (zone.underside >= face and not zone.high_voltage):
                continue
            edges = zone.high_voltage and not head.edges_near_battery
            need = 2 * gap if edges and head.raised_edges else gap
            room = disc_to_polygon(a.pad, head.width / 2, outline)
            if edges and head.raised_edges is None and room < 2 * gap:
                unsaid = (a.corner, head.label)
            if room - need < worst - wanted:
                worst, corner, zone_id, wanted = room, a.corner, zone.id, need
    if worst == inf:
        yield yes("pad_zone", ok=True, note=("no zone near the pads",))
    else:
        check = at_least("pad_zone", worst, wanted, where=corner, note=("zone", zone_id))
        asked = not_known("pad_zone", "raised edges not stated", unsaid[1], where=unsaid[0])
        yield asked if unsaid[0] and check.status is not Status.STOPS else check


# --- way in ------------------------------------------------------------------------------------


def ways_in(
    plan: Layout, bay: BayNumbers, gap: float, kept: dict[object, Any], *, quick: bool = False
) -> Iterator[Check]:
    """Each arm from parked to set at lowest height, the other arm of its side parked or set.

    Asked quickly, a narrow way may count as blocked.
    """
    if not traceable(plan, bay):
        missing = "tyres not given" if plan.tyres is None else "way in cannot be traced"
        yield not_known("way_in", missing)
        return
    for head in plan.heads:
        if head.width is None:
            yield not_known("way_in", "pad width not given", head.label)
            return
    blocked = False
    for a in plan.setting.arms:
        if not comes_in(plan, bay, a, gap, kept, quick=quick):
            blocked = True
            yield yes("way_in", ok=False, where=a.corner, note=("way in blocked", a.arm))
    if not blocked:
        yield yes("way_in", ok=True)


def traceable(plan: Layout, bay: BayNumbers) -> bool:
    """Whether all is given that a way in is traced with."""
    given = plan.tyres is not None and plan.zones is not None
    return given and None not in plan.strips and None not in bay.parked


def comes_in(
    plan: Layout,
    bay: BayNumbers,
    a: ArmSetting,
    gap: float,
    kept: dict[object, Any],
    *,
    quick: bool = False,
) -> bool:
    """Whether one arm comes to its place and its stack stands clear there; figures all given."""
    task = _task(plan, bay, a, gap)
    key = (task, quick) if quick and task not in kept else task
    if key not in kept:
        kept[key] = has_way_in(*task, QUICK) if quick else has_way_in(*task)
    return bool(kept[key]) and _stack_stands_clear(plan, a, gap)


def _discs(plan: Layout, a: ArmSetting) -> Iterator[tuple[float, float]]:
    """Half width and upper face of every piece that is wider than all above it, topmost first.

    Decision: a piece without a width (a spacer) counts as no wider than what stands on it.
    """
    widest = 0.0
    for piece in reversed(a.stack):
        half = (plan.shelf.types[piece.adapter].width or 0.0) / 2
        if half > widest:
            widest = half
            yield half, piece.top


def _wider_below(plan: Layout, a: ArmSetting, radius: float, height: float) -> float:
    """How much wider than `radius` a stack is above a height over the seat; m."""
    seat = plan.setting.seat
    return max([half - radius for half, face in _discs(plan, a) if face - seat > height] + [0.0])


def _stack_stands_clear(plan: Layout, a: ArmSetting, gap: float) -> bool:
    """Whether the whole stack keeps the gap where it is set: a tall one from the tyre's widest
    place, and a pad below a narrower block from zones lower than the pad.
    """
    for half, face in _discs(plan, a):
        for tyre in tyres_in_L(plan.vehicle, plan.pose, face) or ():
            if disc_to_polygon(a.pad, half, tyre) < gap:
                return False
        if face < a.stack[-1].top and not all(
            zone.touch or zone.underside >= face or disc_to_polygon(a.pad, half, outline) >= gap
            for zone, outline in plan.zones or ()
        ):
            return False
    return True


def path_past(
    plan: Layout, bay: BayNumbers, a: ArmSetting, b: ArmSetting, at_rest: bool, gap: float
) -> Path | Blocked:
    """Path of arm `a` past arm `b` of the same side, which is at rest or set already."""
    index = ARM_PLACES.index(b.arm)
    other, parked, profile = bay.arms[index], bay.parked[index], bay.profiles[index]
    beside = plan.strips[plan.setting.arms.index(b)]
    assert profile is not None and parked is not None and beside is not None
    if at_rest:
        angle = other.inward + other.turn * parked
        beside = strip(other.pivot, angle, other.reach_low, profile)
    return path_in(plan, bay, a, gap, tuple(slab for slab, _ in beside))


def path_in(
    plan: Layout, bay: BayNumbers, a: ArmSetting, gap: float, beside: tuple[Polygon, ...] = ()
) -> Path | Blocked:
    """Path of one arm from its parked place past tyres, zones and `beside`, or what blocks it."""
    return way_in(*_task(plan, bay, a, gap, beside))


def _task(
    plan: Layout, bay: BayNumbers, a: ArmSetting, gap: float, beside: tuple[Polygon, ...] = ()
) -> _Task:
    """What the way in of one arm is asked with: arm, places, body, what is in its way, gap."""
    index = ARM_PLACES.index(a.arm)
    arm, profile, parked = bay.arms[index], bay.profiles[index], bay.parked[index]
    assert profile is not None and parked is not None and plan.tyres is not None
    head = plan.heads[plan.setting.arms.index(a)]
    radius = (head.width or 0.0) / 2
    stack = a.stack[-1].top - plan.setting.seat - a.screw
    top = max(s[2] for s in profile)

    def wheels(height: float) -> tuple[Polygon, ...]:
        # Decision: arms are swung in and out while the vehicle stands on its wheels; wheels that
        # hang count in the final place alone.
        return tyres_in_L(plan.vehicle, plan.pose, bay.seat_low + height, standing=True) or ()

    low, tip = [*wheels(top), *beside], []
    for zone, outline in plan.zones or ():
        if zone.underside < bay.seat_low + top + gap or not zone.pass_under:
            low.append(outline)
        elif zone.underside < bay.seat_low + stack + gap:
            more = _wider_below(plan, a, radius, zone.underside - bay.seat_low - gap)
            tip.append(grown(outline, more) if more else outline)
    if stack > top:
        tip += wheels(stack)
    goal = (a.swing, a.reach)
    start = (parked, arm.reach_low)
    return arm, start, goal, profile, radius, tuple(low), tuple(tip), gap


# --- the vehicle in the bay --------------------------------------------------------------------


def _drive_through(vehicle: VehicleNumbers, bay: BayNumbers, policy: Policy) -> Check:
    width = vehicle.width_mirrors
    if width is None:
        return not_known("drive_through", "width with mirrors not given")
    between = min(bay.column_faces, bay.drive_through or inf)
    return at_least(
        "drive_through", (between - width) / 2, policy["gap_mirror"],
        inputs=(("between the columns", between, "m"), ("width with mirrors", width, "m")),
    )  # fmt: skip


def clear_space(
    plan: Layout, vehicle: VehicleNumbers, bay: BayNumbers, policy: Policy
) -> Iterator[Check]:
    """Room from the vehicle's outline to what stands ahead, behind, left and right."""
    if vehicle.outline is None:
        yield not_known("clear_space", "length, width or overhang not given")
        return
    front, rear, half = vehicle.outline
    body = apply_all(plan.pose, ((front, half), (front, -half), (rear, half), (rear, -half)))
    xs, ys = [p[0] for p in body], [p[1] for p in body]
    ends = (("ahead", max(xs)), ("behind", -min(xs)), ("left", max(ys)), ("right", -min(ys)))
    worst: tuple[float, str] = (inf, "")
    for free, (where, reached) in zip(bay.free, ends, strict=True):
        if free == "none":
            continue
        if not isinstance(free, float):
            yield not_known("clear_space", "free space not given", where=where)
            return
        worst = min(worst, (free - reached, where))
    if worst[0] < inf:
        yield at_least("clear_space", worst[0], policy["clear_space"], where=worst[1])
    else:
        yield yes("clear_space", ok=True)


def door_checks(
    plan: Layout, vehicle: VehicleNumbers, bay: BayNumbers, policy: Policy, state: State | None
) -> Iterator[Check]:
    """Greatest opening of each door; one that a step opens should open fully."""
    if vehicle.doors is None:
        yield not_known("door", "doors not given")
        return
    for door in vehicle.doors:
        opened = state is not None and door.id in state.doors
        if state is None or opened:
            angle = greatest_opening(plan, door, bay, policy)
            full = door.opens if opened else policy["door_exit"]
            least = min(policy["door_exit"], door.opens)
            yield at_least("door", angle, least, watch=min(full, door.opens), where=door.id)


def greatest_opening(plan: Layout, door: DoorNumbers, bay: BayNumbers, policy: Policy) -> float:
    """Greatest angle of a door, rad, that keeps its leaf the gap away from both columns."""
    return door_opening(
        apply(plan.pose, door.hinge), door.closed + plan.heading, door.turn, door.length,
        door.opens, bay.columns, policy["gap_door"],
    )  # fmt: skip


def greatest_seat(
    plan: Layout, vehicle: VehicleNumbers, bay: BayNumbers, policy: Policy, tops: tuple[float, ...]
) -> float | None:
    """Greatest usable seat height under ceiling and stop bar; None when a height is missing."""
    if vehicle.roof is None:
        return None
    obstacle = inf
    for over in (bay.ceiling, bay.stop_bar[0] if isinstance(bay.stop_bar, tuple) else bay.stop_bar):
        if over == "none":
            continue
        if not isinstance(over, float):
            return None
        obstacle = min(obstacle, over)
    highest = max((vehicle.roof, *tops))
    return min(bay.seat_high, obstacle - policy["gap_roof"] - highest + plan.setting.seat)


def overhead_check(
    plan: Layout,
    vehicle: VehicleNumbers,
    bay: BayNumbers,
    policy: Policy,
    states: tuple[State, ...],
) -> Check:
    """Usable seat height against the greatest the job asks for, open lids included.

    The tyres must come off the floor too: that takes the droop, which is never less than nothing.
    """
    usable = greatest_seat(plan, vehicle, bay, policy, ())
    if usable is None:
        return not_known("overhead", "roof, ceiling or stop bar not given")
    lids = {lid.id for lid in vehicle.lids or ()}
    if any(set(state.lids) - lids for state in states if state.lifted):
        return not_known("overhead", "lid not given")
    # Decision: a droop or a roof load that nobody gave counts as none here, which can only make a
    # stop come later; `at_best` then lets nothing but a stop stand.
    least = plan.setting.seat + (vehicle.droop or 0.0) + policy["touch_clearance"]
    room, wanted, name, kind = usable - least, least, "", usable
    for state in states:
        if not state.lifted:
            continue
        seat = max(least, state.seat or 0.0, _asked(plan, vehicle, state))
        tops = _lid_tops(vehicle, state)
        here = greatest_seat(plan, vehicle, bay, policy, (*tops, state.top or 0.0))
        if here is not None and here - seat < room:
            room, wanted, name, kind = here - seat, seat, state.label, here
    note = ("state", name) if name else ()
    check = at_least("overhead", kind, wanted, note=note, inputs=(("room", room, "m"),))
    return at_best(check, *_missing_overhead(vehicle, states))


def _missing_overhead(vehicle: VehicleNumbers, states: tuple[State, ...]) -> tuple[str, ...]:
    """What has to be known of the vehicle besides its roof: a note, empty when all of it is.

    A load whose middle lies above every height given rises higher by nobody knows how much.
    """
    if vehicle.droop is None:
        return ("droop not given",)
    if not vehicle.roof_load_known:
        return ("roof load not given",)
    above = any(s.top is not None and s.top > (vehicle.roof or 0.0) for s in states if s.lifted)
    return ("height of the load not given",) if above else ()


def _asked(plan: Layout, vehicle: VehicleNumbers, state: State) -> float:
    if state.tyre_clearance is None:
        return 0.0
    return plan.setting.seat + (vehicle.droop or 0.0) + state.tyre_clearance


def _lid_tops(vehicle: VehicleNumbers, state: State) -> tuple[float, ...]:
    return tuple(lid.height for lid in vehicle.lids or () if lid.id in state.lids)
