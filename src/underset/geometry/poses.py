"""Plane poses: position and yaw of one frame in another, and what follows from them.

Frames: L (lift: origin on the floor midway between the columns, +x drive-in direction, +y left)
and V (vehicle: origin on the floor under the front axle middle, +x forward, +y left). Metres and
radians, angles positive counter-clockwise seen from above.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, pi, sin

Point = tuple[float, float]
"""A place in plan (x, y) in metres."""


@dataclass(frozen=True, slots=True)
class Pose:
    """Pose of one frame in another: `X_AB` holds the origin of B and the yaw of B, both in A."""

    x: float
    y: float
    yaw: float


def rotate(point: Point, angle: float) -> Point:
    """Turn a vector counter-clockwise by `angle`."""
    c, s = cos(angle), sin(angle)
    return (c * point[0] - s * point[1], s * point[0] + c * point[1])


def apply(pose: Pose, point: Point) -> Point:
    """Place of a point of B in A: p_AP = X_AB @ p_BP."""
    x, y = rotate(point, pose.yaw)
    return (pose.x + x, pose.y + y)


def apply_all(pose: Pose, points: tuple[Point, ...]) -> tuple[Point, ...]:
    """Place many points of B in A (an outline, say) with one sine and cosine."""
    c, s = cos(pose.yaw), sin(pose.yaw)
    return tuple([(pose.x + c * x - s * y, pose.y + s * x + c * y) for x, y in points])


def vehicle_pose(spot: float, sideways: float, yaw: float, tail_in: bool) -> Pose:
    """X_LV of a vehicle: front axle centre at (spot, sideways), half a turn more if tail-in."""
    return Pose(spot, sideways, yaw + (pi if tail_in else 0.0))


def mirrored(point: Point) -> Point:
    """The same place on the other side of the drive-in line (y changes sign)."""
    return (point[0], -point[1])
