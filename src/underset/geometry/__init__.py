"""Plane geometry of arms, vehicles and clearances: numbers in, numbers out.

Metres and radians, angles counter-clockwise from +x, z up. Nothing here knows a record.
"""

from underset.geometry.intervals import (
    Interval,
    Union,
    contains,
    intersect,
    measure,
    nearest,
    subtract,
    union,
)
from underset.geometry.linkage import (
    Arm,
    Free,
    Placement,
    Restraint,
    Teeth,
    Zone,
    aim,
    best_placement,
    pad_place,
    tooth_swings,
    turned,
)
from underset.geometry.poses import (
    Point,
    Pose,
    apply,
    apply_all,
    compose,
    in_vehicle_axes,
    invert,
    mirrored,
    rotate,
    vehicle_pose,
)
from underset.geometry.windows import (
    ArmWindow,
    Piece,
    SpotWindow,
    arm_windows,
    spot_windows,
)

__all__ = [
    "Arm",
    "ArmWindow",
    "Free",
    "Interval",
    "Piece",
    "Placement",
    "Point",
    "Pose",
    "Restraint",
    "SpotWindow",
    "Teeth",
    "Union",
    "Zone",
    "aim",
    "apply",
    "apply_all",
    "arm_windows",
    "best_placement",
    "compose",
    "contains",
    "in_vehicle_axes",
    "intersect",
    "invert",
    "measure",
    "mirrored",
    "nearest",
    "pad_place",
    "rotate",
    "spot_windows",
    "subtract",
    "tooth_swings",
    "turned",
    "union",
    "vehicle_pose",
]
