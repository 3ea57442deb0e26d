"""Clearances of a plain case with every arm straight across, each distance by hand.

Pivots at (±0.18, ±1.30), arms 0.80 m long: pads at (±0.18, ±0.50). An arm is 45 mm wide each way at
its tip, its top level with the seat up to 0.25 m from the tip and 20 mm higher from 0.60 m on.
"""

from __future__ import annotations

from dataclasses import replace
from math import cos, inf, pi, radians, sin

import pytest

from tests.judge_cases import bay, head, placed, plain_case, policy_with, vehicle
from underset.geometry import Path, Polygon
from underset.setting.clear import (
    Layout,
    apart,
    clearance_checks,
    door_checks,
    greatest_opening,
    greatest_touch_seat,
    layout,
    overhead_check,
    path_past,
    ways_in,
)
from underset.setting.evaluate import Case
from underset.setting.numbers import DoorNumbers, LidNumbers, VehicleNumbers, ZoneNumbers
from underset.setting.result import ArmSetting, Check, Setting, Status
from underset.setting.state import State

PLAIN = plain_case()
SPOT = 1.2
SEAT = 0.13


def across(arm: ArmSetting, reach: float = 0.8) -> ArmSetting:
    x = 0.18 if arm.corner.endswith("F") else -0.18
    y = 1.30 - reach if arm.corner.startswith("L") else reach - 1.30
    return replace(arm, swing=0.0, reach=reach, pad=(x, y))


BASE = placed(PLAIN, SPOT)
SETTING = replace(BASE, arms=tuple(across(a) for a in BASE.arms))  # type: ignore[arg-type]


def zone(x: tuple[float, float], y: tuple[float, float], under: float, **more: bool) -> ZoneNumbers:
    """A zone given by its place in the bay; by default it may be passed under and not touched."""
    (x0, x1), (y0, y1) = x, y
    outline = tuple((px - SPOT, py) for px, py in ((x0, y0), (x1, y0), (x1, y1), (x0, y1)))
    kinds = {"touch": False, "pass_under": True, "high_voltage": False} | more
    return ZoneNumbers("z", "line", outline, under, **kinds)


def plan(car: VehicleNumbers, case: Case = PLAIN, setting: Setting = SETTING) -> Layout:
    return layout(setting, car, case.bay, case.shelf)


def checks(car: VehicleNumbers, case: Case = PLAIN, setting: Setting = SETTING) -> dict[str, Check]:
    made = plan(car, case, setting)
    return {c.name: c for c in clearance_checks(made, car, case.bay, case.policy, {})}


# --- boxes ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("other", "distance"),
    [
        ((3.0, 4.0, 0.0, 1.0), 2.0),
        ((-4.0, -3.0, 0.0, 1.0), 3.0),
        ((0.0, 1.0, 5.0, 6.0), 4.0),
        ((0.0, 1.0, -6.0, -5.0), 5.0),
        ((4.0, 5.0, 5.0, 6.0), 5.0),
        ((0.5, 2.0, 0.5, 2.0), 0.0),
        ((inf, -inf, inf, -inf), inf),
    ],
)
def test_how_far_boxes_are_apart(other: tuple[float, float, float, float], distance: float) -> None:
    box = (0.0, 1.0, 0.0, 1.0)
    assert apart(box, other) == pytest.approx(distance)
    assert apart(other, box) == pytest.approx(distance)


# --- zones ----------------------------------------------------------------------------------------

BEYOND_THE_TIP = ((0.10, 0.26), (0.2, 0.4))
OVER_THE_TIP = ((0.10, 0.26), (0.6, 0.7))
OVER_THE_SLOPE = ((0.10, 0.26), (0.9, 1.0))
SLOPE = 0.02 * (0.5 - 0.25) / (0.6 - 0.25)


@pytest.mark.parametrize(
    ("place", "under", "passing", "room"),
    [
        (BEYOND_THE_TIP, 0.12, False, 0.1),  # beside, the tip's face at y = 0.5
        (BEYOND_THE_TIP, 0.12, True, 0.1),
        (OVER_THE_TIP, 0.17, True, 0.17 - SEAT),  # below, where the arm is level
        (OVER_THE_TIP, 0.17, False, 0.0),
        (OVER_THE_SLOPE, 0.17, True, 0.17 - SEAT - SLOPE),
        (OVER_THE_TIP, 0.10, True, 0.10 - SEAT),  # the arm would cut into it
    ],
)
def test_room_between_an_arm_and_a_zone(
    place: tuple[tuple[float, float], tuple[float, float]], under: float, passing: bool, room: float
) -> None:
    found = checks(vehicle(zones=(zone(*place, under, pass_under=passing),)))["arm_zone"]
    assert found.demand == pytest.approx(room)
    assert (found.where, found.note) == ("LF", ("zone", "z"))


def test_a_zone_far_above_is_no_concern() -> None:
    found = checks(vehicle(zones=(zone(*OVER_THE_TIP, 0.9),)))["arm_zone"]
    assert found.note == ("no zone near the arms",)


@pytest.mark.parametrize(
    ("place", "under", "passing", "seat"),
    [
        (OVER_THE_TIP, 0.17, True, 0.17 - 0.025),
        (OVER_THE_SLOPE, 0.17, True, 0.17 - SLOPE - 0.025),
        (OVER_THE_TIP, 0.17, False, -inf),
        (BEYOND_THE_TIP, 0.17, False, inf),
        (((0.10, 0.26), (0.2, 0.48)), 0.17, False, -inf),  # beside, but nearer than the gap
        (((0.10, 0.26), (0.2, 0.48)), 0.17, True, 0.17 - 0.02 - 0.025),
    ],
)
def test_the_greatest_seat_at_touch(
    place: tuple[tuple[float, float], tuple[float, float]], under: float, passing: bool, seat: float
) -> None:
    car = vehicle(zones=(zone(*place, under, pass_under=passing),))
    assert greatest_touch_seat(plan(car), 0.025) == pytest.approx(seat)


def test_a_zone_in_the_corner_of_an_arms_box_bounds_no_seat() -> None:
    """The arm runs slantwise from (0.18, 1.30) to (0.63, 0.64): its box holds a zone 0.2 m off."""
    car = vehicle(zones=(zone((0.20, 0.25), (0.65, 0.70), 0.17, pass_under=False),))
    assert greatest_touch_seat(plan(car, setting=BASE), 0.025) == inf


def test_nothing_known_bounds_no_seat() -> None:
    assert greatest_touch_seat(plan(vehicle(zones=None)), 0.025) == inf
    assert greatest_touch_seat(plan(vehicle(zones=())), 0.025) == inf


# --- pads and zones -------------------------------------------------------------------------------

NEAR_THE_PAD = ((0.30, 0.50), (0.4, 0.6))  # 0.12 m from the pad's middle, 0.06 m from its edge


@pytest.mark.parametrize(
    ("under", "more", "limit"),
    [
        (0.15, {}, 0.025),
        (0.15, {"touch": True}, None),
        (0.30, {}, None),  # above the bearing face at 0.21 m
        (0.30, {"high_voltage": True}, 0.025),
        (0.30, {"high_voltage": True, "touch": True}, None),
    ],
)
def test_a_pad_beside_a_zone(under: float, more: dict[str, bool], limit: float | None) -> None:
    case = plain_case(policy=policy_with(gap_arm=0.025))
    found = checks(vehicle(zones=(zone(*NEAR_THE_PAD, under, **more),)), case)["pad_zone"]
    if limit is None:
        assert found.note == ("no zone near the pads",)
    else:
        assert (found.demand, found.limit) == (pytest.approx(0.06), pytest.approx(limit))
        assert (found.where, found.note) == ("LF", ("zone", "z"))


def test_raised_edges_stand_twice_as_far_from_high_voltage() -> None:
    car = vehicle(zones=(zone(*NEAR_THE_PAD, 0.30, high_voltage=True),))
    for more, limit in (
        ({"raised_edges": True}, 0.08),
        ({"raised_edges": False}, 0.04),
        ({"raised_edges": True, "edges_near_battery": True}, 0.04),
    ):
        case = plain_case(types=(head(**more),), policy=policy_with(gap_arm=0.04))
        assert checks(car, case)["pad_zone"].limit == pytest.approx(limit)
    unsaid = plain_case(types=(head(raised_edges=None),), policy=policy_with(gap_arm=0.04))
    found = checks(car, unsaid)["pad_zone"]
    assert (found.status, found.where) == (Status.NOT_KNOWN, "LF")
    assert found.note == ("raised edges not stated", "pad")


# --- columns, tyres, arms -------------------------------------------------------------------------


def test_the_column_across_counts_not_an_arms_own() -> None:
    """Inner faces at y = ±1.40; one arm reaches 0.1 m farther over the middle."""
    found = checks(vehicle())["arm_column"]
    assert found.demand == pytest.approx(1.9)
    longer = replace(SETTING, arms=tuple(
        across(a, 0.9) if a.corner == "RF" else a for a in SETTING.arms
    ))  # fmt: skip
    found = checks(vehicle(), setting=longer)["arm_column"]
    assert (found.demand, found.where) == (pytest.approx(1.8), "RF")


def test_arms_of_one_side_stand_beside_each_other() -> None:
    """Pivots 0.36 m apart, widest 60 mm each way from 0.60 m behind the tip on."""
    found = checks(vehicle())["arm_arm"]
    assert (found.demand, found.where) == (pytest.approx(0.24), "LF-LR")


@pytest.mark.parametrize(
    ("free", "room", "where"),
    [
        ((2.7, 3.0, 3.0, 3.0), 0.7, "ahead"),
        ((3.0, 2.7, 3.0, 3.0), 0.7, "behind"),
        ((3.0, 3.0, 1.37, 3.0), 0.5, "left"),
        ((3.0, 3.0, 3.0, 1.37), 0.5, "right"),
        (("none", 3.0, "none", "none"), 1.0, "behind"),
    ],
)
def test_clear_space_round_the_vehicle(
    free: tuple[float | str, ...], room: float, where: str
) -> None:
    """Spot 1.2, front 0.8 m ahead of the axle and rear 3.2 m behind: from 2.0 to -2.0, ±0.87."""
    found = checks(vehicle(), plain_case(place=bay(free=free)))["clear_space"]
    assert (found.demand, found.where) == (pytest.approx(room), where)


# --- ways in --------------------------------------------------------------------------------------

BARE = vehicle(tyres=(), zones=())


def left_arms(front: tuple[float, float], rear: tuple[float, float]) -> Setting:
    """The left arms at (swing, reach)."""
    lf, rf, lr, rr = SETTING.arms
    placed_arms = []
    for arm, (swing, reach), x, turn in ((lf, front, 0.18, 1.0), (lr, rear, -0.18, -1.0)):
        angle = -pi / 2 + turn * swing
        pad = (x + reach * cos(angle), 1.30 + reach * sin(angle))
        placed_arms.append(replace(arm, swing=swing, reach=reach, pad=pad))
    return replace(SETTING, arms=(placed_arms[0], rf, placed_arms[1], rr))


def passes(setting: Setting, at_rest: bool, parked: float) -> bool:
    """Whether the left front arm comes in past the left rear one."""
    place = bay(parked=(radians(95.0), radians(95.0), parked, radians(95.0)))
    made = plan(BARE, plain_case(BARE, place), setting)
    lf, _, lr, _ = setting.arms
    return isinstance(path_past(made, place, lf, lr, at_rest, 0.025), Path)


def test_an_arm_comes_past_one_at_rest_but_not_past_one_set_across_its_place() -> None:
    """The rear arm set 15 degrees forward at full length ends beside the front one's pad."""
    crossed = left_arms((0.0, 1.1), (radians(-15.0), 1.15))
    assert passes(crossed, at_rest=True, parked=radians(95.0))
    assert not passes(crossed, at_rest=False, parked=radians(95.0))


def test_an_arm_at_rest_stands_where_it_is_parked() -> None:
    """Parked 0.2 rad forward it ends where the front arm, set 15 degrees rearward, has to lie."""
    slanted = left_arms((radians(-15.0), 0.8), (radians(90.0), 0.8))
    assert not passes(slanted, at_rest=True, parked=-0.2)
    assert passes(slanted, at_rest=True, parked=radians(95.0))
    assert passes(slanted, at_rest=False, parked=-0.2)


@pytest.mark.parametrize(
    ("under", "passing", "free"),
    [
        (0.13, True, False),  # lowest seat 0.10 and top 0.02, gap 0.025: 0.145 is wanted
        (0.15, True, True),  # the pad, higher, does not come that near to the pivot
        (0.50, False, False),
    ],
)
def test_an_arm_swings_in_at_lowest_height(under: float, passing: bool, free: bool) -> None:
    """A zone 0.2 to 0.4 m from the pivot, which the arm sweeps over on its way in."""
    over = zone((0.35, 0.50), (1.10, 1.20), under, pass_under=passing)
    car = vehicle(tyres=(), zones=(over,))
    found = list(ways_in(plan(car), PLAIN.bay, 0.025, {}))
    told = [(c.status, c.where, c.note) for c in found]
    blocked = (Status.STOPS, "LF", ("way in blocked", "left_front"))
    assert told == ([(Status.HOLDS, "", ())] if free else [blocked])


# --- what is missing is not known, and nothing else -----------------------------------------------


@pytest.mark.parametrize(
    ("car", "place", "unknown"),
    [
        (vehicle(), bay(), set()),
        (vehicle(zones=None), bay(), {"arm_zone", "pad_zone", "way_in"}),
        (vehicle(tyres=None), bay(), {"arm_tyre", "way_in"}),
        (vehicle(), bay(parked=(None, 1.0, 1.0, 1.0)), {"way_in"}),
        (
            vehicle(),
            bay(profiles=(None, *bay().profiles[1:])),
            {"arm_tyre", "arm_zone", "arm_arm", "arm_column", "way_in"},
        ),
        (vehicle(width_mirrors=None), bay(), {"drive_through"}),
        (vehicle(outline=None), bay(), {"clear_space"}),
    ],
)
def test_only_what_needs_a_figure_is_not_known(
    car: VehicleNumbers, place: object, unknown: set[str]
) -> None:
    case = plain_case(car, place)  # type: ignore[arg-type]
    made = plan(car, case)
    found = [
        *clearance_checks(made, car, case.bay, case.policy, {}),
        *ways_in(made, case.bay, 0.025, {}),
    ]
    assert {c.name for c in found if c.status is Status.NOT_KNOWN} == unknown
    notes = {note for c in found if c.name in unknown for note in c.note}
    assert notes <= {
        "underbody zones not given", "tyres not given", "way in cannot be traced",
        "arm profile not given", "width with mirrors not given",
        "length, width or overhang not given",
    }  # fmt: skip


# --- doors ----------------------------------------------------------------------------------------

DOOR = DoorNumbers("door", (-0.5, 0.87), pi, -1, 0.9, 1.1)


def turned(polygon: Polygon, by: float) -> Polygon:
    return tuple((x * cos(by) - y * sin(by), x * sin(by) + y * cos(by)) for x, y in polygon)


def opening(setting: Setting, columns: tuple[Polygon, Polygon]) -> float:
    case = plain_case(vehicle(doors=(DOOR,)), bay(columns=columns))
    made = plan(case.vehicle, case, setting)
    return greatest_opening(made, DOOR, case.bay, case.policy)


def wall(y: float) -> tuple[Polygon, Polygon]:
    """A long wall on the left, and another far off on the right."""
    left = ((-3.0, y), (3.0, y), (3.0, y + 0.1), (-3.0, y + 0.1))
    return left, tuple((x, -9.0 - v) for x, v in left)


def test_a_door_with_room_opens_all_the_way() -> None:
    assert opening(SETTING, wall(5.0)) == pytest.approx(1.1)


def test_a_door_stops_at_a_wall() -> None:
    """Hinge 0.87 m off the middle, leaf 0.9 m: its end is 0.45 m out at 30 degrees."""
    gap = PLAIN.policy["gap_door"]
    assert opening(SETTING, wall(0.87 + 0.45 + gap)) == pytest.approx(pi / 6.0)


@pytest.mark.parametrize("yaw", [0.1, -0.2])
def test_bay_and_vehicle_turned_together_open_a_door_as_far(yaw: float) -> None:
    left, right = wall(0.87 + 0.45 + PLAIN.policy["gap_door"])
    askew = replace(SETTING, spot=SPOT * cos(yaw), sideways=SPOT * sin(yaw), yaw=yaw)
    found = opening(askew, (turned(left, yaw), turned(right, yaw)))
    assert found == pytest.approx(pi / 6.0)


def test_a_door_that_a_step_opens_wants_its_full_opening() -> None:
    gap = PLAIN.policy["gap_door"]
    case = plain_case(
        vehicle(doors=(DOOR,)), bay(columns=wall(0.87 + 0.45 + gap)),
        policy=policy_with(door_exit=0.5),
    )  # fmt: skip
    made = plan(case.vehicle, case)
    state = State("open", "open", (), doors=("door",))
    (parked,) = door_checks(made, case.vehicle, case.bay, case.policy, None)
    (opened,) = door_checks(made, case.vehicle, case.bay, case.policy, state)
    assert (parked.status, opened.status) == (Status.HOLDS, Status.WATCH)
    shut = replace(state, doors=())
    assert list(door_checks(made, case.vehicle, case.bay, case.policy, shut)) == []


# --- overhead -------------------------------------------------------------------------------------


def overhead(*states: State, **more: object) -> Check:
    """Roof at 1.48 m, seat at touch 0.13 m, droop 0.08 m, gap below the ceiling 0.1 m."""
    car = vehicle(**more)
    policy = policy_with(gap_roof=0.1, touch_clearance=0.15)
    place = bay(ceiling=3.2)
    made = plan(car, plain_case(car, place))
    return overhead_check(made, car, place, policy, states)


def test_the_least_height_takes_the_tyres_off_the_floor() -> None:
    found = overhead(State("set", "set", ()))
    assert found.limit == pytest.approx(0.13 + 0.08 + 0.15)
    assert found.demand == pytest.approx(3.2 - 0.1 - 1.48 + 0.13)


def test_the_state_with_least_room_is_named() -> None:
    """Raised to 1.2 m, the bonnet up to 1.9 m: usable 3.2 - 0.1 - 1.9 + 0.13 = 1.33 m."""
    lid = LidNumbers("bonnet", "bonnet", -0.2, 1.9)
    high = State("up", "raised", (), lids=("bonnet",), seat=1.2)
    found = overhead(State("set", "set", (), seat=1.6), high, lids=(lid,))
    assert (found.demand, found.limit) == (pytest.approx(1.33), pytest.approx(1.2))
    assert found.note == ("state", "raised")
    assert {n: v for n, v, _ in found.inputs}["room"] == pytest.approx(0.13)
    lowered = replace(high, lifted=False, seat=9.0)
    assert overhead(State("set", "set", ()), lowered, lids=(lid,)).status is Status.HOLDS


def test_a_clearance_below_the_tyres_is_added_to_touch_and_droop() -> None:
    found = overhead(State("work", "work", (), tyre_clearance=0.6))
    assert found.limit == pytest.approx(0.13 + 0.08 + 0.6)


@pytest.mark.parametrize(
    ("top", "status"), [(1.40, Status.HOLDS), (1.48, Status.HOLDS), (1.50, Status.NOT_KNOWN)]
)
def test_a_load_above_the_roof_rises_nobody_knows_how_high(top: float, status: Status) -> None:
    assert overhead(State("set", "set", (), top=top)).status is status


@pytest.mark.parametrize("more", [{"droop": None}, {"roof_load_known": False}, {"roof": None}])
def test_what_must_be_known_overhead(more: dict[str, object]) -> None:
    assert overhead(State("set", "set", ()), **more).status is Status.NOT_KNOWN
    unknown = State("up", "up", (), lids=("bonnet",))
    assert overhead(State("set", "set", ()), unknown).note == ("lid not given",)
    assert overhead(replace(unknown, lifted=False)).status is Status.HOLDS
