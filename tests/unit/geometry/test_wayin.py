"""The way in, in scenes small enough to see."""

from __future__ import annotations

from math import asin, pi, radians

import pytest

from underset.errors import InputError
from underset.geometry import Arm, ArmProfile, Blocked, Path, Polygon, has_way_in, rectangle, way_in

ARM = Arm((0.0, 0.0), 0.0, 1, radians(-20), radians(100), 0.6, 1.2)
THIN: ArmProfile = ((0.0, 0.03, 0.0, -0.1),)
TIP = 0.05
PARKED = (radians(90), 0.6)


def go(
    goal: tuple[float, float],
    low: tuple[Polygon, ...] = (),
    tip: tuple[Polygon, ...] = (),
    gap: float = 0.02,
) -> Path | Blocked:
    found = way_in(ARM, PARKED, goal, THIN, TIP, low, tip, gap)
    assert has_way_in(ARM, PARKED, goal, THIN, TIP, low, tip, gap) == isinstance(found, Path)
    return found


def ring(swing: float, inner: float, outer: float, half: float) -> Polygon:
    """A box across the way at one swing (degrees), from one distance to another."""
    from math import cos, sin

    middle, angle = 0.5 * (inner + outer), radians(swing)
    return rectangle((middle * cos(angle), middle * sin(angle)), angle, outer - inner, 2 * half)


def test_nothing_in_the_way_swing_first_then_push_out() -> None:
    goal = (0.2, 0.9)
    assert go(goal) == Path((PARKED, (0.2, 0.6), goal))


def test_an_arm_parked_pushed_out_is_pulled_in_first() -> None:
    parked, goal = (radians(90), 0.8), (0.2, 0.9)
    found = way_in(ARM, parked, goal, THIN, TIP, (), (), 0.02)
    assert found == Path((parked, (parked[0], 0.6), (0.2, 0.6), goal))


def test_an_arm_already_there_stays() -> None:
    assert go(PARKED) == Path((PARKED,))


def test_a_tyre_beyond_the_retracted_tip_is_passed() -> None:
    assert isinstance(go((0.2, 0.9), (ring(45, 0.68, 1.0, 0.1),)), Path)


def test_a_tyre_that_reaches_in_blocks_and_is_named() -> None:
    """The tip passes at 0.65 and keeps 0.02: a box from 0.66 on is too near."""
    found = go((0.2, 0.9), (ring(10, 1.4, 1.6, 0.1), ring(45, 0.66, 1.0, 0.1)))
    assert isinstance(found, Blocked)
    assert found.obstacle == 1
    assert radians(45) < found.swing < radians(60)
    assert found.proved


def test_what_stops_only_the_tip_is_passed_with_the_arm_over_it() -> None:
    """A low zone across the retracted tip: push out first, swing over it, and pull in again."""
    zone = ring(45, 0.4, 0.8, 0.08)
    found = go((0.2, 0.7), tip=(zone,))
    assert isinstance(found, Path)
    assert max(reach for _, reach in found.corners) >= 0.87
    assert len(found.corners) == 4
    blocked = go((0.2, 0.7), low=(zone,))
    assert isinstance(blocked, Blocked)
    assert blocked.obstacle == 0


def test_a_tip_obstacle_counts_on_after_the_low_ones() -> None:
    across = ring(45, 0.4, 1.3, 0.08)
    found = go((0.2, 0.7), (ring(10, 1.4, 1.6, 0.1),), (across,))
    assert isinstance(found, Blocked)
    assert found.obstacle == 1


def test_an_outer_and_an_inner_gate_need_pushing_out_between() -> None:
    gates = (ring(60, 0.4, 0.75, 0.03), ring(25, 0.95, 1.4, 0.03))
    found = go((0.0, 0.9), tip=gates)
    assert isinstance(found, Path)
    assert max(reach for swing, reach in found.corners if swing > radians(55)) >= 0.82
    closed = go((0.0, 0.9), tip=(*gates, ring(25, 0.4, 0.9, 0.03)))
    assert isinstance(closed, Blocked)
    assert closed.proved


def test_the_goal_may_have_to_be_passed_and_come_back_to() -> None:
    """A bar before the goal reaches in from outside; behind it there is room to push out."""
    bar = ring(30, 0.4, 0.9, 0.02)
    low_wall = ring(10, 0.8, 0.82, 0.1)
    found = go((radians(10), 0.7), tip=(bar, low_wall))
    assert isinstance(found, Path)
    assert min(swing for swing, _ in found.corners) < radians(10) - 0.05


def test_a_blocked_goal_and_a_blocked_parking_place() -> None:
    on_goal = ring(20, 0.85, 0.95, 0.02)
    found = go((radians(20), 0.9), (ring(60, 1.3, 1.5, 0.1),), (on_goal,))
    assert found == Blocked(1, radians(20))
    parked = go((0.0, 0.9), (ring(90, 0.55, 0.7, 0.02),))
    assert parked == Blocked(0, PARKED[0])


def test_the_gap_is_kept_to_the_millimetre_and_touching_it_is_allowed() -> None:
    """Straight past a corner: a box that begins just the tip's 0.05 and the gap's 0.02 farther."""
    for inner, free in ((0.6705, True), (0.67, True), (0.6695, False)):
        disc = ring(45, inner, 1.0, 0.0005)
        assert isinstance(go((0.2, 0.9), (disc,)), Path) == free


def test_with_no_gap_asked_the_arm_still_does_not_go_through() -> None:
    for inner, outer in ((0.5, 1.0), (0.3, 0.4)):  # in the tip's way; in the arm's way alone
        assert isinstance(go((0.2, 0.9), (ring(45, inner, outer, 0.01),), gap=0.0), Blocked)
    assert isinstance(go((0.2, 0.9), (ring(45, 0.66, 1.0, 0.1),), gap=0.0), Path)


def test_a_wider_root_blocks_where_the_tip_has_passed() -> None:
    """Beside the goal's line stands a post; the root, at 0.12, comes to it as the arm goes out."""
    post = rectangle((0.5, 0.16), 0.0, 0.02, 0.02)
    stout: ArmProfile = ((0.0, 0.03, 0.0, -0.1), (0.5, 0.03, 0.0, -0.1), (0.7, 0.14, 0.0, -0.1))
    arm = Arm((0.0, 0.0), 0.0, 1, radians(-60), radians(5), 0.6, 1.3)
    parked = (radians(-60), 0.6)
    assert isinstance(way_in(arm, parked, (0.0, 0.9), stout, TIP, (post,), (), 0.02), Path)
    found = way_in(arm, parked, (0.0, 1.25), stout, TIP, (post,), (), 0.02)
    assert isinstance(found, Blocked)


def test_an_angle_shaped_outline_leaves_its_corner_free() -> None:
    """An L of two walls; the way leads through what its hull would cover."""
    walls: Polygon = (
        (0.75, 0.10), (1.40, 0.10), (1.40, 1.40), (0.10, 1.40), (0.10, 1.25), (1.25, 1.25),
        (1.25, 0.20), (0.75, 0.20),
    )  # fmt: skip
    assert isinstance(go((radians(30), 0.9), (walls,)), Path)
    hull: Polygon = ((0.75, 0.10), (1.40, 0.10), (1.40, 1.40), (0.10, 1.40), (0.10, 1.25))
    assert isinstance(go((radians(30), 0.9), (hull,)), Blocked)


def test_a_clockwise_arm_sees_the_mirror_image() -> None:
    arm = Arm((0.0, 0.0), 0.0, -1, ARM.swing_low, ARM.swing_high, 0.6, 1.2)
    tyre = tuple([(x, -y) for x, y in ring(45, 0.66, 1.0, 0.1)])
    found = way_in(arm, PARKED, (0.2, 0.9), THIN, TIP, (tyre,), (), 0.02)
    assert isinstance(found, Blocked)
    assert radians(45) < found.swing < radians(60)


def test_the_swing_at_which_the_way_closes() -> None:
    """The tip's circle meets the thickened edge of a box that reaches right across the way."""
    found = go((0.2, 0.9), (ring(45, 0.3, 1.5, 0.0001),))
    assert isinstance(found, Blocked)
    # Nearest the pivot the arm's side comes first, 0.03 wide and 0.3 out; the tip is at 0.6.
    closes = asin(0.05 / 0.3)
    assert found.swing == pytest.approx(radians(45) + closes, abs=radians(0.02))


def test_places_a_little_out_of_the_limits_still_count() -> None:
    parked = (radians(120), 0.5)
    found = way_in(ARM, parked, (0.2, 0.9), THIN, TIP, (), (), 0.02)
    assert found == Path((parked, (parked[0], 0.6), (0.2, 0.6), (0.2, 0.9)))


def test_impossible_figures_are_refused() -> None:
    with pytest.raises(InputError, match="zero or more"):
        way_in(ARM, PARKED, (0.0, 0.9), THIN, -0.01, (), (), 0.02)
    with pytest.raises(InputError, match="at least one station"):
        way_in(ARM, PARKED, (0.0, 0.9), (), TIP, (), (), 0.02)
    with pytest.raises(InputError, match="zero or more"):
        has_way_in(ARM, PARKED, (0.0, 0.9), THIN, TIP, (), (), -0.02)


def test_a_full_turn_of_obstacles_behind_the_pivot_is_no_matter() -> None:
    behind = rectangle((-0.6, 0.0), 0.0, 0.5, 2.0)
    arm = Arm((0.0, 0.0), 0.0, 1, radians(-60), radians(60), 0.6, 1.2)
    found = way_in(arm, (radians(60), 0.6), (0.0, 1.0), THIN, TIP, (behind,), (), 0.02)
    assert found == Path(((radians(60), 0.6), (0.0, 0.6), (0.0, 1.0)))
    assert pi > arm.swing_high
