"""Pushes, tables and balance of a state against moments worked out by hand.

One tonne stands on four pads of a rectangle, everything exact and level: its middle lies 0.74 m
from the front and rear edges and 0.72 m from the sides, so every force is a lever times the weight.
"""

from __future__ import annotations

from dataclasses import replace
from math import hypot

import pytest

from tests.judge_cases import bay, head, placed, plain_case, points, policy_with, vehicle
from underset.setting.bearing import bearing_checks
from underset.setting.borne import footing
from underset.setting.evaluate import evaluate
from underset.setting.numbers import CgBasis, PointSetNumbers, VehicleNumbers
from underset.setting.result import Check, Status
from underset.setting.stand_loads import with_stand_loads
from underset.setting.state import PushCase, State, Support
from underset.statics import Item, load_forms
from underset.units import G0

W = 1000.0 * G0
MIDDLE = -1.34
UP = 0.21  # of the pads
FAR = hypot(0.74, 0.72)  # of each pad from the middle
AHEAD, BACK, LEFT, RIGHT = (1.0, 0.0, 0.0), (-1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, -1.0, 0.0)
Direction = tuple[float, float, float]


def car(x: float = MIDDLE, y: float = 0.0, **more: object) -> VehicleNumbers:
    kerb = Item("kerb vehicle", 1000.0, 0.0, (x, y, 0.71), (0.0, 0.0, 0.0))
    return vehicle(kerb, **more)


def checks(
    car: VehicleNumbers,
    pushes: tuple[PushCase, ...] = (),
    supports: tuple[Support, ...] = (),
    friction: float = 100.0,
    **figures: float,
) -> dict[str, Check]:
    """Load checks of one state; no warp, no roll, and by default far too much grip to slide."""
    exact = {"level_pad": 0.0, "level_carriage": 0.0, "friction_clean": friction, **figures}
    assert car.kerb is not None
    states = (State("set", "as it stands", (car.kerb,), supports, pushes),)
    case = plain_case(car, states=states, policy=policy_with(**exact))
    return {c.name: c for c in bearing_checks(case, placed(case))}


def borne(
    direction: Direction | None,
    up: float,
    place: tuple[float, float | None] | None = (MIDDLE, 0.0),
    friction: float = 100.0,
    car: VehicleNumbers = car(),  # noqa: B008
) -> float:
    """Push of a step that the vehicle bears, N, found from its ratio to a push of 200 N."""
    push = PushCase("pull", 200.0, UP + up, direction, place)
    check = checks(car, (push,), friction=friction)["job_push"]
    assert check.demand is not None
    names, values, units = zip(*check.inputs, strict=True)
    assert names == ("force of the step", "force borne", "height above the pads")
    assert values == pytest.approx((200.0, check.demand * 200.0, up))
    assert units == ("N", "N", "m")
    assert check.note == ("push of the step", "pull")
    return check.demand * 200.0


# --- tipping and unloading ------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("direction", "edge"), [(LEFT, 0.72), (RIGHT, 0.72), (AHEAD, 0.74), (BACK, 0.74)]
)
def test_a_push_tips_over_the_edge_it_points_to(direction: Direction, edge: float) -> None:
    assert borne(direction, 1.0) == pytest.approx(W * edge)
    assert borne(direction, 0.5) == pytest.approx(W * edge / 0.5)


def test_off_the_middle_the_lighter_pad_empties_first() -> None:
    """CG 0.44 m from the front edge, 1.04 from the rear, 0.62 from the left, 0.1 m off the middle.

    A pair carries W edge / span; the lighter of its pads empties before the pair does, by as much
    as the pair's load is off its own middle: W (edge - off span / width).
    """
    off = car(-1.04, 0.1)
    assert borne(AHEAD, 1.0, car=off) == pytest.approx(W * (0.44 - 0.1 * 1.48 / 1.44))
    assert borne(AHEAD, 0.5, car=off) == pytest.approx(W * (0.44 - 0.1 * 1.48 / 1.44) / 0.5)
    assert borne(BACK, 1.0, car=off) == pytest.approx(W * (1.04 - 0.1 * 1.48 / 1.44))
    assert borne(LEFT, 1.0, car=off) == pytest.approx(W * (0.62 - 0.3 * 1.44 / 1.48))


def test_below_the_pads_a_push_turns_the_other_way() -> None:
    """A pull forward under the pads lifts the front: its pair carries W 1.04 / 1.48."""
    off = car(-1.04)
    assert borne(AHEAD, -0.1, (-1.04, 0.0), car=off) == pytest.approx(W * 1.04 / 0.1)
    assert borne(BACK, -0.1, (-1.04, 0.0), car=off) == pytest.approx(W * 0.44 / 0.1)
    aside = car(y=0.1)
    assert borne(LEFT, -0.1, (MIDDLE, 0.1), car=aside) == pytest.approx(W * 0.82 / 0.1)
    assert borne(RIGHT, -0.1, (MIDDLE, 0.1), car=aside) == pytest.approx(W * 0.62 / 0.1)


def test_any_direction_is_the_worst_of_all() -> None:
    """Across a corner a push empties one pad alone: W/4 over the slope of its share."""
    slope = hypot(1.0 / 2.96, 1.0 / 2.88)
    assert borne(None, 1.0) == pytest.approx(W / 4.0 / slope)
    assert borne(None, -1.0) == pytest.approx(W / 4.0 / slope)


def test_a_standing_push_at_the_roof() -> None:
    found = checks(car(roof=1.71))
    tip, unload = found["push_tip"], found["push_unload"]
    assert tip.demand == pytest.approx(W * 0.72 / 1.5)
    assert unload.demand == pytest.approx(W / 4.0 / hypot(1.0 / 2.96, 1.0 / 2.88) / 1.5)


def test_where_the_roof_is_below_the_sill_the_sill_counts() -> None:
    assert checks(car(roof=0.3, sill=1.21))["push_tip"].demand == pytest.approx(W * 0.72)
    assert checks(car(roof=0.71, sill=None))["push_tip"].demand == pytest.approx(W * 0.72 / 0.5)


def test_outside_the_pads_nothing_holds_it() -> None:
    found = checks(car(-0.4))
    assert (found["push_tip"].demand, found["push_unload"].demand) == (0.0, 0.0)
    assert found["cg_edge"].demand == pytest.approx(-0.2)


def test_at_the_height_of_the_pads_nothing_tips() -> None:
    found = checks(car(roof=UP, sill=None))
    assert found["push_tip"].demand == pytest.approx(1e6)
    assert found["push_unload"].demand == pytest.approx(1e6)


# --- sliding and turning --------------------------------------------------------------------------


def lever(direction: Direction | None, place: object, car: VehicleNumbers = car()) -> float:  # noqa: B008
    """Lever of a push at the pads' height, from the grip that it leaves: mu = 0.5."""
    force = borne(direction, 0.0, place, 0.5, car)  # type: ignore[arg-type]
    return FAR * (0.5 * W / force - 1.0)


@pytest.mark.parametrize(
    ("direction", "place", "expected"),
    [
        (None, (MIDDLE + 0.3, 0.4), 0.5),
        (None, (MIDDLE - 0.3, -0.4), 0.5),
        (LEFT, (MIDDLE + 0.3, 0.4), 0.3),
        (AHEAD, (MIDDLE + 0.3, 0.4), 0.4),
        ((0.6, 0.8, 0.0), (MIDDLE + 0.3, -0.4), 0.3 * 0.8 + 0.4 * 0.6),
        (LEFT, (MIDDLE - 1.0, None), 1.0),
        (AHEAD, (MIDDLE - 1.0, None), 0.87),
        (None, (MIDDLE - 1.0, None), hypot(1.0, 0.87)),
        (LEFT, None, 0.8 + 1.34),
    ],
)
def test_the_lever_of_a_push(direction: Direction | None, place: object, expected: float) -> None:
    assert lever(direction, place) == pytest.approx(expected)


@pytest.mark.parametrize("y", [0.1, -0.1])
def test_a_lever_is_counted_from_the_cg(y: float) -> None:
    """Anywhere across the vehicle: half its width, and as much more as the CG stands aside."""
    assert lever(AHEAD, (MIDDLE, 0.4), car(y=y)) * turning(y) == pytest.approx(0.4 - y)
    assert lever(AHEAD, (MIDDLE, None), car(y=y)) * turning(y) == pytest.approx(0.87 + 0.1)


def turning(y: float) -> float:
    """Mean distance of the load from a CG aside, against that from the middle."""
    left, right = 0.5 + y / 1.44, 0.5 - y / 1.44
    mean = left * hypot(0.74, 0.72 - y) + right * hypot(0.74, 0.72 + y)
    return mean / FAR


def test_the_farther_end_counts() -> None:
    assert lever(LEFT, None, car(outline=(0.5, -3.4, 0.87))) == pytest.approx(3.4 - 1.34)


def test_straight_through_the_middle_only_friction_counts() -> None:
    assert borne(AHEAD, 0.0, friction=0.5) == pytest.approx(0.5 * W)


def test_a_standing_push_slides_at_the_farther_end() -> None:
    slide = checks(car(), friction=0.5)["push_slide"]
    assert slide.demand == pytest.approx(1.0 / (1.0 / (0.5 * W) + 2.14 / (0.5 * W * FAR)))


def test_without_an_outline_the_lever_is_the_least_it_can_be() -> None:
    """Then only a stop stands: a vehicle is at least as long as its wheelbase."""
    bare = car(outline=None)
    known = [(LEFT, (MIDDLE, 0.0)), (AHEAD, (MIDDLE, 0.0)), (LEFT, (MIDDLE, None))]
    unknown = [(AHEAD, (MIDDLE, None)), (None, (MIDDLE, None)), (None, None), (LEFT, None)]
    for cases, told in ((known, Status.HOLDS), (unknown, Status.NOT_KNOWN)):
        for direction, place in cases:
            push = PushCase("pull", 200.0, UP, direction, place)
            assert checks(bare, (push,), friction=0.5)["job_push"].status is told
    assert checks(bare, friction=0.5)["push_slide"].status is Status.NOT_KNOWN
    slides = checks(bare, friction=0.01)["push_slide"]
    assert slides.status is Status.STOPS
    assert slides.demand == pytest.approx(1.0 / (1.0 / (0.01 * W) + 1.34 / (0.01 * W * FAR)))
    push = PushCase("pull", 200.0, UP, None, (MIDDLE - 0.5, None))
    stops = checks(bare, (push,), friction=0.01)["job_push"]
    assert stops.demand == pytest.approx(0.01 * W / (1.0 + 0.5 / FAR) / 200.0)
    ahead = checks(car(-1.0, outline=None), friction=0.001)["push_slide"]
    assert {name: value for name, value, _ in ahead.inputs}["lever"] == pytest.approx(1.6)


@pytest.mark.parametrize(
    ("force", "told"),
    [(0.30, Status.HOLDS), (0.40, Status.WATCH), (0.70, Status.WATCH), (0.74, Status.STOPS)],
)
def test_a_push_of_a_step_wants_twice_its_force(force: float, told: Status) -> None:
    """Borne: 0.72 W at one metre."""
    push = PushCase("pull", force * W, UP + 1.0, LEFT, (MIDDLE, 0.0))
    assert checks(car(), (push,))["job_push"].status is told


# --- pushes up and down ---------------------------------------------------------------------------


def vertical(up: float, x: float, y: float | None = 0.0) -> Check:
    push = PushCase("lever", 200.0, 0.5, (0.0, 0.0, up), (x, y))
    return checks(car(), (push,))["job_push"]


def test_a_push_up_in_the_middle_takes_the_whole_weight() -> None:
    demand = vertical(1.0, MIDDLE).demand
    assert demand == pytest.approx(W / 200.0)


def test_a_push_up_at_the_front_pads_takes_what_they_carry() -> None:
    assert vertical(1.0, -0.6).demand == pytest.approx(W / 2.0 / 200.0)


def test_a_push_down_on_the_overhang_lifts_the_rear() -> None:
    """About the front pads: W 0.74 = F 0.6 at the front axle."""
    assert vertical(-1.0, 0.0).demand == pytest.approx(W * 0.74 / 0.6 / 200.0)


def test_a_push_down_between_the_pads_lifts_nothing() -> None:
    assert vertical(-1.0, MIDDLE).demand == pytest.approx(1e6 / 200.0)


def test_a_push_up_nobody_knows_where() -> None:
    found = vertical(1.0, MIDDLE, None)
    assert found.status is Status.NOT_KNOWN
    assert found.note == ("place of the push not given", "lever")
    push = PushCase("lever", 200.0, 0.5, (0.0, 0.0, 1.0), None)
    assert checks(car(), (push,))["job_push"].status is Status.NOT_KNOWN


# --- tables and stands ----------------------------------------------------------------------------


def test_a_table_may_push_with_what_the_pads_carry_without_it() -> None:
    table = Support("table", (-0.6, 0.0), 1000.0, 50.0, "table")
    check = checks(car(), supports=(table,))["table_push"]
    assert check.demand == pytest.approx(W / 2.0)
    assert check.limit == pytest.approx(1050.0)


@pytest.mark.parametrize(("tol", "told"), [(400.0, Status.HOLDS), (500.0, Status.WATCH)])
def test_a_stand_stays_loaded(tol: float, told: Status) -> None:
    stand = Support("stand", (MIDDLE, 0.0), 500.0, tol, "stand")
    found = checks(car(), supports=(stand,))
    assert found["stand_firm"].status is told
    assert "stand_moves" not in found


def test_what_a_table_carries_the_pads_do_not() -> None:
    """700 kg are left; their moment about the front pads is W 0.74 - 300 g 1.0."""
    table = Support("table", (-1.6, 0.0), 300.0 * G0, 0.0, "table")
    found = checks(car(), supports=(table,))
    assert found["rated_load"].demand == pytest.approx(700.0 * G0)
    rear = (0.74 - 0.3) / 1.48
    assert found["pad_split"].nominal == pytest.approx(max(rear, 0.7 - rear) / 0.7)


# --- shares and limits ----------------------------------------------------------------------------


def test_shares_of_a_cg_off_the_middle() -> None:
    """Front 1.04/1.48; its left pad 0.1/1.44 of a half more than an even share."""
    found = checks(car(-1.04, 0.1))
    front, across = 1.04 / 1.48, 0.1 / 1.44
    assert found["pad_split"].demand == pytest.approx(front)
    assert found["pad_split"].where == "front"
    assert checks(car(-1.64))["pad_split"].where == "rear"
    least = (1.0 - front) / 2.0 - across / 2.0
    assert found["least_pad"].demand == pytest.approx(least)
    assert found["least_pad"].where == "RR"
    assert found["arm_load"].demand == pytest.approx(W * (front / 2.0 + across / 2.0))
    assert found["arm_load"].where == "LF"
    assert found["cg_edge"].demand == pytest.approx(0.44)


@pytest.mark.parametrize(
    ("text", "rated", "limit"),
    [
        ("3:2", 4000.0, 0.6),
        ("1:3", 4000.0, 0.75),
        ("not given", 3500.0, 0.6),
        ("not given", 3501.0, 0.75),
    ],
)
def test_the_plate_then_the_capacity_limits_the_split(
    text: str, rated: float, limit: float
) -> None:
    """DGUV Information 208-015: 3:2 up to 3,500 kg, 3:1 above, unless the plate says otherwise."""
    case = plain_case(car(), bay(split_text=text, rated=rated))
    check = next(c for c in bearing_checks(case, placed(case)) if c.name == "pad_split")
    assert check.limit == pytest.approx(limit)


def test_the_window_on_the_plate_is_counted_in_the_bay() -> None:
    """Spot 1.2: the CG stands at -0.14 in L, 0.26 m inside a window of 0.4 m either way."""
    check = checks(car())["cg_window"]
    assert check.demand == pytest.approx(0.26)
    assert check.nominal == pytest.approx(0.26)
    unsure = car()
    assert unsure.kerb is not None
    wide = replace(unsure, kerb=replace(unsure.kerb, place_tol=(0.05, 0.0, 0.0)))
    assert checks(wide)["cg_window"].demand == pytest.approx(0.21)
    assert checks(wide)["cg_window"].nominal == pytest.approx(0.26)


def skew() -> PointSetNumbers:
    """The left rear pad farther back: the pads stand skew."""
    base = points()
    lf, rf, lr, rr = base.points
    return replace(base, points=(lf, rf, replace(lr, place=(-2.58, 0.72)), rr))


def test_on_skew_pads_unevenness_moves_the_split() -> None:
    even = checks(car(), level_pad=0.004)["pad_split"]
    on_skew = checks(car(point_sets=(skew(),)), level_pad=0.004)["pad_split"]
    plain = checks(car(point_sets=(skew(),)))["pad_split"]
    assert even.demand == pytest.approx(0.5)
    assert on_skew.demand is not None and plain.demand is not None
    assert on_skew.demand > plain.demand + 1e-3
    assert on_skew.nominal == pytest.approx(plain.nominal)


# --- level, warp and points off their places ------------------------------------------------------

K = 1.0e6  # N/m of each pad


def springs(**more: float) -> dict[str, float]:
    return {"pad_stiffness_high": K, **more}


def test_the_lightest_pad_is_the_first_to_lift_clear() -> None:
    """A stiff body on a rectangle: raising one pad by h moves K h / 4 between the diagonals.

    RR carries least, half of W 0.44 / 1.48 less half of W 0.1 / 1.44.
    """
    stiff = car(-1.04, 0.1, twist=(1.0e15, 1.0e15))
    found = checks(stiff, **springs())["level"]
    lightest = W * (0.44 / 1.48 - 0.1 / 1.44) / 2.0
    assert found.demand == pytest.approx(4.0 * lightest / K, rel=1e-6)
    told = {name: value for name, value, _ in found.inputs}
    assert told["pad lifted clear"] == "RR"
    assert found.where in ("LF", "RF", "LR")


def test_the_lightest_pad_of_the_other_diagonal() -> None:
    """CG aside to the right: LR carries least."""
    stiff = car(-1.04, -0.1, twist=(1.0e15, 1.0e15))
    found = checks(stiff, **springs())["level"]
    assert found.demand == pytest.approx(4.0 * W * (0.44 / 1.48 - 0.1 / 1.44) / 2.0 / K, rel=1e-6)
    assert {n: v for n, v, _ in found.inputs}["pad lifted clear"] == "LR"


def test_on_any_four_pads_the_least_unevenness_counts() -> None:
    """Warp goes with n, the triangles of the other three pads; a pad raised or lowered by h moves
    K h n_i n_j / sum n^2 at pad j: the least h that empties one, over all pairs.
    """
    places = ((-0.6, 0.72), (-0.6, -0.72), (-2.58, 0.72), (-2.08, -0.4))
    base = points()
    odd = replace(
        base,
        points=tuple(replace(p, place=at) for p, at in zip(base.points, places, strict=True)),  # type: ignore[arg-type]
    )
    stiff = car(-1.3, point_sets=(odd,), twist=(1.0e15, 1.0e15))
    case = plain_case(stiff, policy=policy_with(**springs(level_pad=0.0, level_carriage=0.0)))
    judged = evaluate(case, placed(case), complete=False)
    loads = [p.nominal for p in judged.states[0].pads]
    n = []
    for i in range(4):
        (ax, ay), (bx, by), (cx, cy) = (p for k, p in enumerate(places) if k != i)
        n.append(abs((bx - ax) * (cy - ay) - (by - ay) * (cx - ax)))
    least = min(load / size for load, size in zip(loads, n, strict=True))
    wanted = sum(k * k for k in n) / K * least / max(n)
    level = next(c for c in judged.checks if c.name == "level")
    assert level.demand == pytest.approx(wanted, rel=1e-6)


def test_warp_spreads_the_loads_both_ways() -> None:
    """One diagonal 1 mm too high, the other as much too low: K 0.001 more and less on each pad."""
    stiff = car(twist=(1.0e15, 1.0e15))
    found = checks(stiff, **springs(level_pad=0.001))
    warp = K * 0.001
    assert found["arm_load"].demand == pytest.approx(W / 4.0 + warp, rel=1e-6)
    assert found["least_pad"].demand == pytest.approx((W / 4.0 - warp) / W, rel=1e-6)


def test_on_a_trapezoid_warp_takes_grip_against_turning() -> None:
    """Rear pads at 0.5 m: the pattern goes with 1/width, 0.5 : 0.72 of the rear's at the front.

    With the CG in the middle the signs of a diagonal cancel, and warp takes nothing off sum F r;
    0.1 m aside it does.
    """
    base = points()
    lf, rf, lr, rr = base.points
    narrow = replace(
        base,
        points=(lf, rf, *(replace(p, place=(p.place[0], y)) for p, y in ((lr, 0.5), (rr, -0.5)))),
    )
    y = 0.1
    stiff = car(y=y, point_sets=(narrow,), twist=(1.0e15, 1.0e15))
    plain = checks(stiff, friction=0.5, **springs())["push_slide"].demand
    warped = checks(stiff, friction=0.5, **springs(level_pad=0.001))
    n = (0.5 / 0.72, -0.5 / 0.72, -1.0, 1.0)
    far = [hypot(0.74, side - y) for side in (0.72, -0.72, 0.5, -0.5)]
    moved = sum(r * k for r, k in zip(far, n, strict=True))
    alpha = told(warped["least_pad"])["warp force over the level tolerance"]
    assert isinstance(alpha, float) and plain is not None
    turn = 2.14 / (1.0 / plain - 1.0 / (0.5 * W))
    less = turn - 0.5 * alpha * abs(moved)
    assert warped["push_slide"].demand == pytest.approx(1.0 / (1.0 / (0.5 * W) + 2.14 / less))


def test_where_warp_takes_all_the_grip_nothing_holds_against_turning() -> None:
    stiff = car(-1.0, 0.3, point_sets=(skew(),), twist=(1.0e15, 1.0e15))
    found = checks(stiff, friction=0.5, **springs(level_pad=0.5))["push_slide"]
    assert found.demand == 0.0


def test_points_off_their_places_spread_the_loads() -> None:
    """All points d off along: the CG is off by d, W d / 2.96 on each pad; across W d / 2.88."""
    d = 0.01
    for tol, extra in (((d, 0.0), d / 2.96), ((0.0, d), d / 2.88), ((d, d), d / 2.96 + d / 2.88)):
        found = checks(car(point_sets=(points(place_tol=tol),)))
        assert found["arm_load"].demand == pytest.approx(W * (0.25 + extra))
        assert found["arm_load"].nominal == pytest.approx(W * 0.25)
        assert found["least_pad"].demand == pytest.approx(0.25 - extra)
    found = checks(car(point_sets=(points(place_tol=(d, 0.0)),)))
    assert found["cg_edge"].demand == pytest.approx(0.72)
    assert found["pad_split"].demand == pytest.approx(0.5 + d / 1.48)
    assert found["push_tip"].demand == pytest.approx(W * 0.72 / (1.48 - UP))


def test_unlevel_carriages_roll_the_weight_aside() -> None:
    """CG 0.5 m above the pads, carriages 26 mm apart over 2.6 m: 5 mm aside."""
    found = checks(car(), level_carriage=0.026)
    told = {name: value for name, value, _ in found["cg_edge"].inputs}
    assert told["shift along by points off their places"] == 0.0
    assert told["shift across, with unlevel carriages"] == pytest.approx(0.005, rel=1e-4)
    assert found["cg_edge"].demand == pytest.approx(0.72 - 0.005, rel=1e-4)


def test_a_pad_that_would_pull_carries_nothing() -> None:
    """CG at the corner of the middle: springs would pull the far pad, so three carry the weight."""
    found = checks(car(-0.9, 0.5))
    assert found["least_pad"].demand == 0.0
    assert found["least_pad"].where == "RR"


# --- what a check tells ---------------------------------------------------------------------------


def told(check: Check) -> dict[str, object]:
    return {name: value for name, value, _ in check.inputs}


def test_what_stands_beside_the_figures() -> None:
    found = checks(car(roof=1.71), friction=0.5)
    above = pytest.approx(1.5)
    assert told(found["push_tip"]) == {"height above the pads": above}
    assert told(found["push_unload"]) == {"height above the pads": above}
    assert told(found["push_slide"]) == {"friction": 0.5, "lever": pytest.approx(2.14)}
    assert told(found["heavy_end"])["front share"] == pytest.approx(0.5)
    assert told(found["cg_window"]) == pytest.approx(
        {"CG in L": -0.14, "window from": -0.4, "window to": 0.4}
    )
    assert told(found["balance"]) == {
        "mass from": "axles", "CG along from": "axles", "CG across from": "scales",
        "CG height from": "measured",
    }  # fmt: skip
    assert told(found["arm_load"]) == {"limit from": "a quarter of the rated capacity"}
    assert found["arm_load"].limit == pytest.approx(4000.0 * G0 / 4.0)
    assert checks(car(roof=UP, sill=None))["push_unload"].where == "LF"
    assert set(told(found["least_pad"])) == {
        "least load", "weight", "warp force over the level tolerance", "pad stiffness",
        "body twist stiffness",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("heading", "low", "high"),
    [
        ("nose-in", (-0.15, 0.08, 0.68), (-0.13, 0.12, 0.74)),
        ("tail-in", (2.53, -0.12, 0.68), (2.55, -0.08, 0.74)),
    ],
)
def test_where_the_cg_may_lie_in_the_bay(
    heading: str, low: tuple[float, ...], high: tuple[float, ...]
) -> None:
    """Spot 1.2: 1.34 m behind it nose-in, ahead of it tail-in; ± 10, 20 and 30 mm."""
    kerb = Item("kerb vehicle", 1000.0, 0.0, (MIDDLE, 0.1, 0.71), (0.01, 0.02, 0.03))
    case = plain_case(vehicle(kerb))
    state = evaluate(case, replace(placed(case), heading=heading), complete=False).states[0]
    assert state.cg_low == pytest.approx(low)
    assert state.cg_high == pytest.approx(high)


def test_a_share_is_of_the_nominal_loads() -> None:
    unsure = replace(car(-1.04).kerb, mass_tol=100.0)  # type: ignore[type-var]
    found = checks(vehicle(unsure))
    assert told(found["heavy_end"])["front share"] == pytest.approx(1.04 / 1.48)


def test_arms_with_their_own_limits_are_held_to_the_plate() -> None:
    case = plain_case(car(), bay(arm_limits=(9000.0, 9000.0, 8000.0, 9000.0)))
    check = next(c for c in bearing_checks(case, placed(case)) if c.name == "arm_load")
    assert (check.limit, check.where) == (8000.0, "LR")
    assert told(check) == {"limit from": "plate"}


def test_one_pad_not_clean_takes_the_lower_friction() -> None:
    for clean, friction in ((True, 0.7), (False, 0.3)):
        figures = {"friction_clean": 0.7, "friction": 0.3}
        case = plain_case(car(), types=(head(clean_rubber=clean),), policy=policy_with(**figures))
        check = next(c for c in bearing_checks(case, placed(case)) if c.name == "push_slide")
        assert told(check)["friction"] == friction


def test_a_plate_without_a_window_wants_watching() -> None:
    case = plain_case(car(), bay(cg_window=None))
    check = next(c for c in bearing_checks(case, placed(case)) if c.name == "cg_window")
    assert (check.status, check.note) == (Status.WATCH, ("no CG window on the plate",))


def test_a_stand_tells_its_least_and_greatest_load() -> None:
    stand = Support("stand", (MIDDLE, 0.0), 500.0, 100.0, "stand")
    assert told(checks(car(), supports=(stand,))["stand_firm"]) == {
        "least load": 400.0, "greatest load": 600.0,
    }  # fmt: skip


# --- a stand as the job goes on -------------------------------------------------------------------

FORMS = load_forms(((0.74, 0.72), (0.74, -0.72), (-0.74, 0.72), (-0.74, -0.72)))
BODY = Item("body", 1000.0, 0.0, (0.0, 0.0, 0.5))


def followed(part: Item, *supports: Support) -> Support:
    """The stand in the middle, set at 500 ± 50 N, once a part is off."""
    stand = Support("stand", (0.0, 0.0), 500.0, 50.0, "stand")
    states = (
        State("set", "set", (BODY,), (stand,)),
        State("off", "off", (BODY, part), (stand, *supports)),
    )
    return with_stand_loads(states, FORMS)[1].supports[0]


@pytest.mark.parametrize(
    ("mass", "low", "high"),
    [
        (-20.0, 450.0 - 20.0 * G0, 550.0),
        (-100.0, 0.0, 550.0),
        (20.0, 450.0, 550.0 + 20.0 * G0),
    ],
)
def test_a_stand_takes_between_nothing_and_all_of_what_comes_off_over_it(
    mass: float, low: float, high: float
) -> None:
    """Soft it keeps its preload; rigid, in the middle, it takes the whole change."""
    found = followed(Item("part", mass, 0.0, (0.0, 0.0, 0.5)))
    assert found.force - found.force_tol == pytest.approx(low)
    assert found.force + found.force_tol == pytest.approx(high)


def test_a_table_put_up_relieves_a_stand_and_another_stand_is_left_aside() -> None:
    nothing = Item("part", 1e-9, 0.0, (0.0, 0.0, 0.5))
    table = Support("table", (0.0, 0.0), 100.0, 0.0, "table")
    found = followed(nothing, table)
    assert found.force - found.force_tol == pytest.approx(350.0)
    assert found.force + found.force_tol == pytest.approx(550.0)
    other = followed(nothing, Support("other", (0.0, 0.0), 100.0, 0.0, "stand"))
    assert (other.force, other.force_tol) == (pytest.approx(500.0), pytest.approx(50.0))


# --- an estimate too wide to tell -----------------------------------------------------------------


@pytest.mark.parametrize(
    ("mass", "told"),
    [(3900.0, Status.NOT_KNOWN), (4100.0, Status.STOPS), (3700.0, Status.HOLDS)],
)
def test_what_only_the_far_end_of_an_estimate_stops_is_not_known(mass: float, told: Status) -> None:
    """Rated 4,000 kg, the mass an estimate to 200 kg."""
    basis = CgBasis("prior", "axles", "scales", "measured", ("mass",))
    kerb = Item("kerb vehicle", mass, 200.0, (MIDDLE, 0.0, 0.71))
    case = plain_case(vehicle(kerb, basis=basis))
    check = next(c for c in evaluate(case, placed(case)).checks if c.name == "rated_load")
    assert check.status is told
    assert check.note == (("estimate too wide",) if told is Status.NOT_KNOWN else ())
    sure = replace(case, vehicle=vehicle(kerb))
    check = next(c for c in evaluate(sure, placed(sure)).checks if c.name == "rated_load")
    assert check.status is (Status.HOLDS if told is Status.HOLDS else Status.STOPS)


def test_a_height_over_the_pads_counts_at_the_worst_of_the_points_heights() -> None:
    """Points at 210 ± 4 mm: 790 mm above them may be 794, 110 mm below them 114."""
    case = plain_case(vehicle(point_sets=(points(up_tol=0.004),)))
    foot = footing(case.vehicle, case.bay, case.shelf, case.policy, placed(case))
    assert foot.above(1.0) == pytest.approx(0.794)
    assert foot.above(0.1) == pytest.approx(-0.114)
