"""Outlines, arms as strips and discs, by hand."""

from __future__ import annotations

from math import cos, inf, pi, sin, sqrt

import pytest

from underset.errors import InputError
from underset.geometry import (
    ArmProfile,
    Polygon,
    clip_convex,
    convex_distance,
    convex_pieces,
    disc_polygon,
    disc_to_polygon,
    highest_under,
    is_convex,
    polygon_distance,
    strip,
    strip_to_polygon,
    strip_to_strip,
)

UNIT: Polygon = ((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0))
ANGLE: Polygon = ((0.0, 0.0), (2.0, 0.0), (2.0, 1.0), (1.0, 1.0), (1.0, 2.0), (0.0, 2.0))
PROFILE: ArmProfile = ((0.0, 0.05, -0.02, -0.08), (0.30, 0.08, 0.01, -0.10))


def square(x: float, y: float, size: float = 1.0) -> Polygon:
    return ((x, y), (x + size, y), (x + size, y + size), (x, y + size))


@pytest.mark.parametrize(
    ("other", "far"),
    [
        (square(3.0, 0.0), 2.0),  # side to side
        (square(2.0, 2.0), sqrt(2)),  # corner to corner
        (square(1.0, 0.0), 0.0),  # touching
        (square(0.2, 0.2, 0.1), 0.0),  # one inside the other
        (((2.0, 0.5), (3.0, 0.0), (3.0, 1.0)), 1.0),  # corner to side
        (UNIT[::-1], 0.0),  # the same, the other way round
    ],
)
def test_distance_of_convex_outlines(other: Polygon, far: float) -> None:
    assert convex_distance(UNIT, other) == pytest.approx(far)
    assert convex_distance(other, UNIT) == pytest.approx(far)


def test_an_angle_is_cut_and_measured_into_its_corner() -> None:
    assert is_convex(UNIT)
    assert not is_convex(ANGLE)
    assert all(is_convex(piece) for piece in convex_pieces(ANGLE))
    assert convex_pieces(UNIT) == (UNIT,)
    assert polygon_distance(ANGLE, square(1.4, 1.3, 0.2)) == pytest.approx(0.3)
    assert polygon_distance(ANGLE[::-1], square(0.2, 0.2, 0.1)) == 0.0


@pytest.mark.parametrize(
    "outline",
    [
        ((0.0, 0.0), (1.0, 1.0), (1.0, 0.0), (0.0, 1.0)),
        ((0.0, 0.0), (2.0, 0.0), (1.0, 1.0), (0.0, 2.0), (1.0, 1.0), (0.5, 1.5)),
        tuple([(cos(0.8 * pi * i), sin(0.8 * pi * i)) for i in range(5)]),  # a star of five points
    ],
)
def test_an_outline_that_meets_itself_is_refused(outline: Polygon) -> None:
    assert not is_convex(outline)
    with pytest.raises(InputError, match="does not meet itself"):
        convex_pieces(outline)


def test_clipping() -> None:
    common = clip_convex(UNIT, square(0.5, 0.5)[::-1])
    assert sorted(common) == [(0.5, 0.5), (0.5, 1.0), (1.0, 0.5), (1.0, 1.0)]
    assert clip_convex(UNIT, square(5.0, 5.0)) == ()


def test_a_strip_widens_to_the_last_station_and_runs_on_to_the_pivot() -> None:
    outer, inner = strip((0.0, 0.0), 0.0, 1.0, PROFILE)
    assert outer[0] == ((0.7, -0.08), (1.0, -0.05), (1.0, 0.05), (0.7, 0.08))
    assert outer[1] == (0.01, -0.02, -0.02, 0.01)
    assert inner[0] == ((0.0, -0.08), (0.7, -0.08), (0.7, 0.08), (0.0, 0.08))
    assert inner[1] == (0.01, 0.01, 0.01, 0.01)


def test_a_strip_is_cut_at_the_pivot() -> None:
    """Pulled in to half the first taper, the root has the width and top found there."""
    (only,) = strip((0.0, 0.0), 0.0, 0.15, PROFILE)
    assert only[0] == (
        pytest.approx((0.0, -0.065)),
        (0.15, -0.05),
        (0.15, 0.05),
        pytest.approx((0.0, 0.065)),
    )
    assert only[1] == pytest.approx((-0.005, -0.02, -0.02, -0.005))
    assert strip((0.0, 0.0), 0.0, 0.0, PROFILE) == ()


def test_a_strip_turns_with_its_arm() -> None:
    (_, inner) = strip((0.2, 1.3), -pi / 2, 1.0, PROFILE)
    assert inner[0][0] == pytest.approx((0.2 - 0.08, 1.3))
    assert inner[0][2] == pytest.approx((0.2 + 0.08, 0.6))


def test_a_station_beyond_the_pad_is_a_nose() -> None:
    (only,) = strip((0.0, 0.0), 0.0, 1.0, ((-0.06, 0.05, 0.0, -0.1),))
    assert only[0][1] == (1.06, -0.05)


def test_a_sudden_step_in_width() -> None:
    stepped: ArmProfile = ((0.0, 0.05, 0.0, 0.0), (0.2, 0.05, 0.0, 0.0), (0.2, 0.1, 0.0, 0.0))
    outer, inner = strip((0.0, 0.0), 0.0, 1.0, stepped)
    assert outer[0][0] == (0.8, -0.05)
    assert inner[0][1] == (0.8, -0.1)


@pytest.mark.parametrize(
    ("profile", "word"),
    [
        ((), "at least one station"),
        (((0.0, -0.1, 0.0, 0.0),), "zero or more"),
        (((0.3, 0.1, 0.0, 0.0), (0.0, 0.1, 0.0, 0.0)), "from the tip to the root"),
        (((0.0, 0.1, 0.0, 0.0), (0.3, 0.08, 0.0, 0.0)), "do not shrink"),
    ],
)
def test_a_profile_out_of_order_is_refused(profile: ArmProfile, word: str) -> None:
    with pytest.raises(InputError, match=word):
        strip((0.0, 0.0), 0.0, 1.0, profile)


def test_distances_of_strips() -> None:
    arm = strip((0.0, 0.0), 0.0, 1.0, PROFILE)
    assert strip_to_polygon(arm, square(1.2, -0.5)) == pytest.approx(0.2)
    assert strip_to_polygon(arm, square(0.2, 0.18)) == pytest.approx(0.1)
    assert strip_to_polygon(arm, square(0.2, -0.5)) == 0.0
    other = strip((0.0, 0.5), 0.0, 0.6, PROFILE)
    assert strip_to_strip(arm, other) == pytest.approx(0.5 - 0.16)
    assert strip_to_polygon((), UNIT) == inf


def test_highest_under_a_zone() -> None:
    """Top rises from -20 mm at the tip to +10 mm 0.3 m in: 1 mm each centimetre."""
    arm = strip((0.0, 0.0), 0.0, 1.0, PROFILE)
    assert highest_under(arm, square(0.85, -0.5)) == pytest.approx(-0.005)
    assert highest_under(arm, square(-0.5, -0.5)) == pytest.approx(0.01)
    assert highest_under(arm, square(0.9, -0.01, 0.02)) == pytest.approx(-0.01)
    assert highest_under(arm, square(0.5, 0.09)) is None
    hook: Polygon = ((0.8, -1.0), (0.9, -1.0), (0.9, 0.5), (0.2, 0.5), (0.2, 0.4), (0.8, 0.4))
    assert highest_under(arm, hook) == pytest.approx(0.0)


def test_discs() -> None:
    assert disc_to_polygon((2.0, 0.5), 0.3, UNIT) == pytest.approx(0.7)
    assert disc_to_polygon((0.5, 0.5), 0.1, UNIT) == 0.0
    assert disc_to_polygon((1.2, 0.5), 0.3, UNIT) == 0.0
    outline = disc_polygon((0.0, 0.0), 1.0, sides=4)
    assert max(x for x, _ in outline) == pytest.approx(1.0)
