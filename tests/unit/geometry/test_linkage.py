"""Arms: teeth, aiming, turning and placing, by hand."""

from __future__ import annotations

from math import atan, cos, hypot, pi, radians, sin, sqrt

import pytest

from underset.geometry import (
    Arm,
    Free,
    Placement,
    Teeth,
    Zone,
    aim,
    best_placement,
    pad_place,
    tooth_swings,
    turned,
)

LEFT_FRONT = Arm((0.18, 1.30), -pi / 2, 1, radians(-15), radians(100), 0.60, 1.15)
ALONG_X = Arm((0.0, 0.0), 0.0, 1, radians(-90), radians(90), 0.5, 1.0)


def test_swing_zero_points_straight_inward() -> None:
    assert pad_place(LEFT_FRONT, 0.0, 1.0) == pytest.approx((0.18, 0.30))
    assert pad_place(LEFT_FRONT, pi / 2, 1.0) == pytest.approx((1.18, 1.30))


def test_a_mirrored_arm_swings_the_other_way() -> None:
    right = Arm((0.18, -1.30), pi / 2, -1, radians(-15), radians(100), 0.60, 1.15)
    assert pad_place(right, pi / 2, 1.0) == pytest.approx((1.18, -1.30))


def test_aim_gives_the_swing_nearest_to_the_range() -> None:
    swing, reach = aim(LEFT_FRONT, (0.18 + 0.6, 1.30 - 0.8))
    assert (swing, reach) == pytest.approx((atan(0.75), 1.0))
    behind = Arm((0.0, 0.0), 0.0, 1, radians(170), radians(200), 0.5, 1.0)
    assert aim(behind, (-1.0, -0.1))[0] == pytest.approx(pi + atan(0.1))


def test_teeth_within_closed_limits() -> None:
    arm = Arm((0.0, 0.0), 0.0, 1, radians(-10), radians(10), 0.5, 1.0)
    teeth = tooth_swings(arm, Teeth(radians(5), 0.0))
    assert [k for k, _ in teeth] == [-2, -1, 0, 1, 2]
    assert [s for _, s in teeth] == pytest.approx([radians(5 * k) for k in range(-2, 3)])
    assert [k for k, _ in tooth_swings(arm, Teeth(radians(5), radians(2)))] == [-2, -1, 0, 1]
    assert tooth_swings(arm, Teeth(radians(50), radians(20))) == ()


def test_turning_an_arm_keeps_its_pad_with_it() -> None:
    arm = turned(LEFT_FRONT, pi / 2, about=(1.0, 0.0))
    assert arm.pivot == pytest.approx((1.0 - 1.30, 0.18 - 1.0))
    x, y = pad_place(LEFT_FRONT, 0.4, 0.9)
    assert pad_place(arm, 0.4, 0.9) == pytest.approx((1.0 - y, x - 1.0))


def test_on_a_tooth_the_reach_is_the_projection_in_half_lengths() -> None:
    """Tooth at 45 degrees, point 4 mm off it: least (a / 2)^2 + (c / 1)^2 along (1, 1)."""
    arm = Arm((0.0, 0.0), 0.0, 1, radians(45), radians(45), 0.5, 1.0)
    point = (0.5, 0.504)
    placed = best_placement(arm, Teeth(radians(45), 0.0), point, Zone(0.02, 0.01))
    assert placed is not None
    # a = u - 0.5, c = u - 0.504: d/du of a^2 / 4 + c^2 gives a = -4 c, so c = -0.8 mm.
    assert placed.along == pytest.approx(0.0032)
    assert placed.across == pytest.approx(-0.0008)
    assert placed.reach == pytest.approx(0.5032 * sqrt(2))
    assert placed.tooth == 1


def test_a_limit_of_reach_holds_the_pad_back() -> None:
    zone = Zone(0.03, 0.03)
    placed = best_placement(ALONG_X, Teeth(radians(10), 0.0), (1.02, 0.0), zone)
    assert placed is not None
    assert (placed.tooth, placed.reach) == (0, 1.0)
    assert placed.pad == (1.0, 0.0)
    assert placed.along == pytest.approx(-0.02)
    assert best_placement(ALONG_X, Teeth(radians(10), 0.0), (1.0301, 0.0), zone) is None


def test_between_two_teeth_neither_may_do() -> None:
    zone = Zone(0.05, 0.05)
    point = (0.8 * cos(radians(5)), 0.8 * sin(radians(5)))
    assert best_placement(ALONG_X, Teeth(radians(10), 0.0), point, zone) is None
    assert best_placement(ALONG_X, Teeth(radians(5), 0.0), point, zone) is not None


def test_every_tooth_is_looked_at_when_the_point_is_at_the_pivot() -> None:
    """The angle to the point says nothing then; a wide zone may still hold the retracted pad."""
    arm = Arm((0.0, 0.0), 0.0, 1, radians(-90), radians(90), 0.05, 1.0)
    placed = best_placement(arm, Teeth(radians(30), 0.0), (0.0, 0.0), Zone(0.1, 0.06))
    assert placed is not None
    assert placed.tooth == 0
    assert placed.reach == 0.05


def test_a_range_of_swings_of_nearly_a_turn() -> None:
    arm = Arm((0.0, 0.0), 0.0, 1, radians(-179), radians(179), 0.5, 1.0)
    for degrees in (-178, -90, 0, 178):
        point = (0.7 * cos(radians(degrees)), 0.7 * sin(radians(degrees)))
        placed = best_placement(arm, Teeth(radians(2), 0.0), point, Zone(0.01, 0.01))
        assert placed is not None
        assert placed.tooth == degrees / 2


def test_a_free_arm_takes_the_point_itself() -> None:
    placed = best_placement(ALONG_X, Free(), (0.6, 0.3), Zone(0.01, 0.01))
    assert placed == Placement(
        None,
        pytest.approx(atan(0.5)),
        pytest.approx(hypot(0.6, 0.3)),
        pytest.approx((0.6, 0.3)),
        pytest.approx(0.0, abs=1e-12),
        pytest.approx(0.0, abs=1e-12),
    )


@pytest.mark.parametrize(
    ("point", "pad"),
    [
        ((1.02, 0.0), (1.0, 0.0)),  # beyond the reach: straight back
        ((0.48, 0.0), (0.5, 0.0)),  # inside the least reach: straight out
        ((-0.02, 0.7), (0.0, 0.7)),  # past the swing limit: square to it
        ((-0.02, 1.01), (0.0, 1.0)),  # past both: the corner
    ],
)
def test_a_free_arm_out_of_range_stands_at_the_nearest_place(
    point: tuple[float, float], pad: tuple[float, float]
) -> None:
    placed = best_placement(ALONG_X, Free(), point, Zone(0.03, 0.03))
    assert placed is not None
    assert placed.pad == pytest.approx(pad, abs=1e-9)


def test_a_free_arm_may_have_to_slide_along_its_arc_to_meet_the_zone() -> None:
    """Point 20 mm beyond the arc at 45 degrees, zone long along x only: the crossing counts."""
    far = 1.02 / sqrt(2)
    placed = best_placement(ALONG_X, Free(), (far, far), Zone(0.06, 0.01))
    assert placed is not None
    assert placed.across == pytest.approx(-0.01)
    assert hypot(*placed.pad) == pytest.approx(1.0)
    assert best_placement(ALONG_X, Free(), (far, far), Zone(0.01, 0.01)) is None
