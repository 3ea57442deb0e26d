"""Frames and poses, by hand."""

from __future__ import annotations

from math import pi

import pytest

from underset.geometry import (
    Pose,
    apply,
    apply_all,
    mirrored,
    rotate,
    vehicle_pose,
)


def test_nose_in_a_point_behind_the_axle_lies_before_the_spot() -> None:
    X_LV = vehicle_pose(spot=1.2, sideways=0.05, yaw=0.0, tail_in=False)
    assert apply(X_LV, (-0.6, 0.72)) == pytest.approx((0.6, 0.77))


def test_tail_in_left_and_right_change_sides() -> None:
    X_LV = vehicle_pose(spot=-1.2, sideways=0.05, yaw=0.0, tail_in=True)
    assert apply(X_LV, (-0.6, 0.72)) == pytest.approx((-0.6, -0.67))


def test_yaw_turns_about_the_front_axle() -> None:
    X_LV = vehicle_pose(1.0, 0.0, pi / 6, tail_in=False)
    assert apply(X_LV, (0.0, 0.0)) == (1.0, 0.0)
    assert apply(X_LV, (-1.0, 0.0)) == pytest.approx((1.0 - 0.75**0.5, -0.5))


def test_many_points_at_once_and_small_helpers() -> None:
    pose = Pose(1.0, 2.0, pi / 2)
    assert apply_all(pose, ((1.0, 0.0), (0.0, 1.0)))[1] == pytest.approx((0.0, 2.0))
    assert rotate((1.0, 0.0), pi / 2) == pytest.approx((0.0, 1.0))
    assert mirrored((0.3, 0.7)) == (0.3, -0.7)
