"""Tyres, arms past them, doors and rise, by hand."""

from __future__ import annotations

from math import acos, asin, atan2, hypot, pi, radians, sqrt

import pytest

from underset.errors import InputError
from underset.geometry import (
    Arm,
    Polygon,
    arm_to_polygon,
    door_opening,
    rectangle,
    tyre_rectangle,
)


def size(outline: Polygon) -> tuple[float, float]:
    return (outline[1][0] - outline[0][0], outline[2][1] - outline[1][1])


def test_a_tyre_is_a_chord_long_below_its_hub() -> None:
    """R 0.3, at 0.12 m: R - h = 0.18, half chord 0.24 (a 3-4-5 triangle)."""
    assert size(tyre_rectangle((0.0, 0.0), 0.0, 0.2, 0.6, 0.12)) == pytest.approx((0.48, 0.2))
    assert size(tyre_rectangle((0.0, 0.0), 0.0, 0.2, 0.6, 0.3)) == pytest.approx((0.6, 0.2))
    assert size(tyre_rectangle((0.0, 0.0), 0.0, 0.2, 0.6, 0.5)) == pytest.approx((0.6, 0.2))
    assert size(tyre_rectangle((0.0, 0.0), 0.0, 0.2, 0.6, 0.0)) == pytest.approx((0.0, 0.2))


def test_a_tyre_stands_where_it_is_put() -> None:
    tyre = tyre_rectangle((1.0, 0.7), pi / 2, 0.2, 0.6, 0.3)
    assert tyre[0] == pytest.approx((1.1, 0.4))
    assert tyre[2] == pytest.approx((0.9, 1.0))
    assert rectangle((1.0, 0.7), pi / 2, 0.6, 0.2) == tyre


def test_a_height_below_the_floor_is_refused() -> None:
    with pytest.raises(InputError, match="height above floor"):
        tyre_rectangle((0.0, 0.0), 0.0, 0.2, 0.6, -0.01)


def test_an_arm_passes_beside_a_tyre() -> None:
    arm = Arm((0.0, 1.3), -pi / 2, 1, 0.0, 1.5, 0.6, 1.2)
    tyre = rectangle((0.5, 0.8), 0.0, 0.6, 0.2)
    profile = ((0.0, 0.05, 0.0, -0.1),)
    assert arm_to_polygon(arm, 0.0, 1.0, profile, tyre) == pytest.approx(0.15)
    assert arm_to_polygon(arm, radians(45), 1.0, profile, tyre) == 0.0
    assert arm_to_polygon(arm, radians(90), 1.0, profile, tyre) == pytest.approx(0.35)


# --- doors ----------------------------------------------------------------------------------------

HINGE = (0.0, 0.0)
COLUMN: Polygon = ((0.6, 0.5), (0.8, 0.5), (0.8, 1.5), (0.6, 1.5))


def opening(length: float = 1.1, gap: float = 0.0, *obstacles: Polygon) -> float:
    return door_opening(HINGE, 0.0, 1, length, 1.2, obstacles or (COLUMN,), gap)


def test_a_door_stops_at_the_nearest_corner() -> None:
    """The leaf's line meets the corner (0.8, 0.5) first: tan = 5 / 8."""
    assert opening() == pytest.approx(atan2(0.5, 0.8))


def test_a_gap_is_kept_from_the_corner() -> None:
    corner = hypot(0.8, 0.5)
    assert opening(gap=0.05) == pytest.approx(atan2(0.5, 0.8) - asin(0.05 / corner))


def test_a_short_door_meets_the_side_with_its_end() -> None:
    """Length 0.9 < 0.943 to the near corner: its end meets the side y = 0.5 of the column."""
    assert opening(length=0.9) == pytest.approx(asin(0.5 / 0.9))
    assert opening(length=0.9, gap=0.02) == pytest.approx(asin(0.48 / 0.9))


def test_a_short_door_meets_the_circle_about_a_corner_with_its_end() -> None:
    """A corner 20 mm beyond the door's end and a gap of 50 mm: a triangle of three known sides."""
    point: Polygon = ((0.0, 1.02), (0.3, 2.0), (-0.3, 2.0))
    cosine = (1.02**2 + 1.0 - 0.05**2) / (2 * 1.02)
    stop = door_opening(HINGE, radians(30), 1, 1.0, 1.5, (point,), 0.05)
    assert stop == pytest.approx(radians(60) - acos(cosine))


def test_a_door_shorter_than_the_way_opens_fully() -> None:
    assert opening(length=0.7) == 1.2
    assert door_opening(HINGE, 0.0, 1, 1.0, 1.2, (), 0.05) == 1.2


def test_a_door_that_opens_the_other_way() -> None:
    below: Polygon = tuple([(x, -y) for x, y in COLUMN])
    assert door_opening(HINGE, 0.0, -1, 1.1, 1.2, (below,), 0.0) == pytest.approx(atan2(0.5, 0.8))
    assert door_opening(HINGE, 0.0, 1, 1.1, 1.2, (below,), 0.0) == 1.2


def test_the_nearest_of_several_obstacles_counts() -> None:
    low: Polygon = ((0.9, 0.2), (1.0, 0.2), (0.95, 0.3))
    assert opening(1.1, 0.0, COLUMN, low) == pytest.approx(atan2(0.2, 1.0))


def test_a_door_that_stands_too_near_when_closed_does_not_open() -> None:
    beside: Polygon = ((0.4, 0.03), (0.6, 0.03), (0.5, 0.2))
    assert opening(1.1, 0.05, beside) == 0.0
    assert opening(1.1, 0.0, ((0.4, -0.1), (0.6, -0.1), (0.5, 0.2))) == 0.0


def test_a_door_moves_away_from_what_it_just_touches() -> None:
    behind: Polygon = ((0.2, -0.05), (0.8, -0.05), (0.8, -0.4), (0.2, -0.4))
    assert opening(1.1, 0.05, behind) == 1.2


# --- height and width -----------------------------------------------------------------------------


def test_a_half_chord_is_the_root_of_the_power_of_the_point() -> None:
    for height in (0.05, 0.1, 0.2):
        length, _ = size(tyre_rectangle((0.0, 0.0), 0.0, 0.2, 0.64, height))
        assert length / 2 == pytest.approx(sqrt(height * (0.64 - height)))
