"""Spot windows of one arm and of four, by hand."""

from __future__ import annotations

from math import pi, radians, sqrt

import pytest

from tests.geometry_cases import lift
from underset.geometry import (
    Arm,
    ArmWindow,
    Free,
    Piece,
    SpotWindow,
    Teeth,
    Zone,
    arm_windows,
    spot_windows,
)

INWARD = Arm((0.0, 1.3), -pi / 2, 1, 0.0, radians(60), 0.6, 1.2)


def test_a_tooth_straight_inward_has_a_window_as_wide_as_the_zone() -> None:
    windows = arm_windows(INWARD, Teeth(radians(90), 0.0), (-1.0, 0.5), Zone(0.03, 0.02))
    assert windows == (ArmWindow(pytest.approx(0.97), pytest.approx(1.03), 0, 0.0),)


def test_a_slanting_tooth_adds_what_the_reach_gives_across() -> None:
    """At 30 degrees, across +-20 mm is +-20 * tan 30 mm along; then the zone's own 30 mm."""
    windows = arm_windows(INWARD, Teeth(radians(30), 0.0), (0.0, 0.6), Zone(0.03, 0.02))
    tilted = windows[1]
    middle, half = 0.7 / sqrt(3), 0.02 / sqrt(3) + 0.03
    assert (tilted.tooth, tilted.swing) == (1, radians(30))
    assert (tilted.low, tilted.high) == pytest.approx((middle - half, middle + half))


def test_the_reach_limit_cuts_a_window() -> None:
    """Straight reach 0.6 leaves only the lower half of a band about y = 0.71."""
    cut = Arm((0.0, 1.3), -pi / 2, 1, radians(30), radians(30), 0.6 * 2 / sqrt(3), 1.2)
    (window,) = arm_windows(cut, Teeth(radians(30), 0.0), (0.0, 0.71), Zone(0.0, 0.02))
    assert window.low == pytest.approx(0.6 / sqrt(3))
    assert window.high == pytest.approx((1.3 - 0.69) / sqrt(3))


def test_a_tooth_along_the_bay_works_for_all_its_reach() -> None:
    along = Arm((0.0, 0.7), 0.0, 1, 0.0, 0.0, 0.6, 1.2)
    (window,) = arm_windows(along, Teeth(0.1, 0.0), (0.0, 0.71), Zone(0.0, 0.01))
    assert (window.low, window.high) == pytest.approx((0.6, 1.2))
    assert arm_windows(along, Teeth(0.1, 0.0), (0.0, 0.7101), Zone(0.0, 0.01)) == ()


def test_a_free_arm_has_one_window_or_two() -> None:
    """Full annulus of radii 0.5 and 1: past the inner circle one chord, across it two."""
    ring = Arm((0.0, 0.0), 0.0, 1, -pi, pi, 0.5, 1.0)
    zone = Zone(0.0, 0.0)
    (whole,) = arm_windows(ring, Free(), (0.0, 0.6), zone)
    assert (whole.low, whole.high) == pytest.approx((-0.8, 0.8))
    left, right = arm_windows(ring, Free(), (0.0, 0.3), zone)
    inner, outer = sqrt(0.25 - 0.09), sqrt(1 - 0.09)
    assert (left.low, left.high) == pytest.approx((-outer, -inner))
    assert (right.low, right.high) == pytest.approx((inner, outer))
    wide = arm_windows(ring, Free(), (0.0, 0.3), Zone(0.45, 0.0))
    assert [(w.low, w.high) for w in wide] == [pytest.approx((-outer - 0.45, outer + 0.45))]


def test_a_free_arm_out_of_the_band_has_none() -> None:
    assert arm_windows(INWARD, Free(), (0.0, 1.2), Zone(0.1, 0.05)) == ()


def four(*spans: tuple[float, float, int | None]) -> tuple[ArmWindow, ...]:
    return tuple([ArmWindow(low, high, tooth, None) for low, high, tooth in spans])


def test_pieces_split_where_a_tooth_begins_or_ends() -> None:
    arms = (
        four((0.0, 1.0, 4), (0.8, 2.0, 5)),
        four((0.5, 3.0, 1)),
        four((0.0, 3.0, None)),
        four((0.0, 1.5, 7), (2.5, 3.0, 8)),
    )
    (window,) = spot_windows(arms, ((-1.0, 9.0),))
    assert window == SpotWindow(
        0.5,
        1.5,
        (
            Piece(0.5, 0.8, ((4,), (1,), (None,), (7,))),
            Piece(0.8, 1.0, ((4, 5), (1,), (None,), (7,))),
            Piece(1.0, 1.5, ((5,), (1,), (None,), (7,))),
        ),
    )


def test_limits_cut_windows_and_may_be_several() -> None:
    arms = (four((0.0, 3.0, 0)),) * 4
    windows = spot_windows(arms, ((2.0, 5.0), (-1.0, 1.0)))
    assert [(w.low, w.high) for w in windows] == [(0.0, 1.0), (2.0, 3.0)]
    assert spot_windows(arms, ()) == ()


def test_windows_that_touch_in_one_spot_leave_that_spot() -> None:
    arms = (four((0.0, 1.0, 0)), four((1.0, 2.0, 0)), four((0.0, 2.0, 1)), four((0.0, 2.0, 1)))
    assert spot_windows(arms, ((-9.0, 9.0),)) == (
        SpotWindow(1.0, 1.0, (Piece(1.0, 1.0, ((0,), (0,), (1,), (1,))),)),
    )


def test_touching_teeth_of_one_arm_join_into_one_window() -> None:
    arms = (four((0.0, 1.0, 0), (1.0, 2.0, 1)), *((four((0.0, 2.0, 5)),) * 3))
    (window,) = spot_windows(arms, ((-9.0, 9.0),))
    assert [(p.low, p.high) for p in window.pieces] == [(0.0, 1.0), (1.0, 2.0)]


def test_pieces_with_the_same_teeth_are_one() -> None:
    arms = (four((0.0, 1.0, None), (1.0, 2.0, None)), *((four((0.0, 2.0, 5)),) * 3))
    (window,) = spot_windows(arms, ((-9.0, 9.0),))
    assert [(p.low, p.high) for p in window.pieces] == [(0.0, 2.0)]


def test_one_arm_without_a_tooth_leaves_nothing() -> None:
    arms = ((), *((four((0.0, 2.0, 5)),) * 3))
    assert spot_windows(arms, ((-9.0, 9.0),)) == ()


def test_an_everyday_lift_behaves_as_workshops_know_it() -> None:
    """Free arms: a whole stretch of the bay. Teeth of 4 degrees: some windows, none of it wide."""
    points = ((-0.60, 0.72), (-0.60, -0.72), (-2.08, 0.72), (-2.08, -0.72))
    zone = Zone(0.02, 0.015)
    widths = {}
    for restraint in (Free(), Teeth(radians(4), 0.0)):
        arms = [arm_windows(a, restraint, p, zone) for a, p in zip(lift(), points, strict=True)]
        windows = spot_windows(tuple(arms), ((0.0, 3.0),))
        widths[type(restraint)] = [w.high - w.low for w in windows]
    assert len(widths[Free]) == 1
    assert widths[Free][0] > 0.8
    assert 3 <= len(widths[Teeth]) <= 30
    assert all(0.005 < w < 0.5 for w in widths[Teeth])
