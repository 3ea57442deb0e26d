"""Clearances in plan and height: arms past tyres and zones, doors past columns, roof and ceiling.

Metres and radians. A distance of 0 means that two outlines meet.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from underset.errors import InputError
from underset.geometry import outline_kernels as kernels
from underset.geometry.poses import Point, Pose, apply_all
from underset.geometry.strips import ArmProfile, Polygon, check_profile, convex_pieces

if TYPE_CHECKING:
    from underset.geometry.linkage import Arm


def rectangle(centre: Point, yaw: float, length: float, width: float) -> Polygon:
    """A rectangle in plan, `length` along its own +x, counter-clockwise from rear right."""
    x, y = 0.5 * length, 0.5 * width
    return apply_all(Pose(centre[0], centre[1], yaw), ((-x, -y), (x, -y), (x, y), (-x, y)))


def tyre_rectangle(
    centre: Point,
    yaw: float,
    width: float,
    diameter: float,
    height: float,
    grown: tuple[float, float] = (0.0, 0.0),
) -> Polygon:
    """Outline in plan of a tyre as met by something that stands `height` above the floor.

    Its length is the chord 2 * sqrt(R^2 - (R - height)^2) of the wheel at that height, and the full
    diameter at the hub and above: what lies below the tyre's widest place meets it there. `grown`
    is what is added all round, along and across, for a tyre not known to the millimetre.
    """
    if height < 0.0:
        raise InputError("height above floor", height, "zero or more metres")
    along, across = grown
    return rectangle(
        centre, yaw, kernels.chord(diameter, height) + 2.0 * along, width + 2.0 * across
    )


def arm_to_polygon(
    arm: Arm, swing: float, reach: float, profile: ArmProfile, polygon: Polygon
) -> float:
    """Distance in plan from an arm in one place to a simple polygon; 0 where they meet."""
    check_profile(profile)
    angle = arm.inward + arm.turn * swing
    slabs = kernels.slabs(reach, profile)
    return min(
        [
            kernels.arm_gap(slabs, kernels.in_arm_axes(piece, arm.pivot, angle))
            for piece in convex_pieces(polygon)
        ]
    )


def door_opening(  # noqa: PLR0913 - decision: a leaf is five figures
    hinge: Point,
    closed_angle: float,
    turn: int,
    length: float,
    greatest: float,
    obstacles: tuple[Polygon, ...],
    gap: float,
) -> float:
    """Greatest opening (rad, from closed, up to `greatest`) at which a door leaf keeps `gap`.

    The leaf is a line of `length` from the hinge; closed it lies along `closed_angle` and opens
    counter-clockwise where `turn` is +1. Exact: it can first come too near only where its line
    touches the circle of radius `gap` about a corner, or its end crosses such a circle or a side
    shifted by `gap`. 0 where the closed leaf already stands too near.
    """
    door = (hinge[0], hinge[1], closed_angle, float(turn), length)
    stops = [kernels.door_stop(door, greatest, polygon, gap) for polygon in obstacles]
    return min(stops, default=greatest)
