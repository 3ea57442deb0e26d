"""Arms brought under points: which arm serves which corner, and where its pad then stands."""

from __future__ import annotations

from dataclasses import dataclass

from underset import geometry
from underset.geometry import (
    Arm,
    ArmWindow,
    Free,
    Interval,
    Placement,
    Point,
    Pose,
    Restraint,
    SpotWindow,
    Teeth,
    apply,
    arm_windows,
    best_placement,
    reaches,
    rotate,
    spot_windows,
    turned,
    vehicle_pose,
)
from underset.setting.numbers import BayNumbers, PointNumbers, PointSetNumbers

NOSE_IN, TAIL_IN = "nose-in", "tail-in"
HEADINGS = (NOSE_IN, TAIL_IN)
ARM_PLACES = ("left_front", "right_front", "left_rear", "right_rear")
# Corner order LF RF LR RR -> index of the arm that serves it; a vehicle turned by pi meets the
# arms diagonally across.
_SERVED = {NOSE_IN: (0, 1, 2, 3), TAIL_IN: (3, 2, 1, 0)}


def served_by(heading: str) -> tuple[int, int, int, int]:
    """Index of the arm under each corner, corners in the order LF, RF, LR, RR."""
    return _SERVED[heading]


@dataclass(frozen=True, slots=True)
class Stop:
    """Where a vehicle stands in L: heading, spot, sideways, yaw."""

    heading: str
    spot: float
    sideways: float = 0.0
    yaw: float = 0.0

    @property
    def pose(self) -> Pose:
        """Pose of V in L."""
        return vehicle_pose(self.spot, self.sideways, self.yaw, self.heading == TAIL_IN)


def restraint_of(bay: BayNumbers) -> Restraint:
    """The restraint to search with; a missing one as stepless, which the judge stops."""
    return bay.restraint if bay.restraint is not None else Free()


def under(bay: BayNumbers, arm_index: int, point: PointNumbers, stop: Stop) -> tuple[Arm, Point]:
    """An arm and the point that it serves at a stop, both turned so that x is the vehicle's own."""
    arm, at = bay.arms[arm_index], apply(stop.pose, point.place)
    if stop.yaw == 0.0:
        return arm, at
    return turned(arm, -stop.yaw), rotate(at, -stop.yaw)


def placement(bay: BayNumbers, arm_index: int, point: PointNumbers, stop: Stop) -> Placement | None:
    """Best place of one arm's pad under one point; `along` and `across` come out in V's axes."""
    arm, at = under(bay, arm_index, point, stop)
    found = best_placement(arm, restraint_of(bay), at, point.zone)
    return None if found is None else _in_L(found, stop)


def other_placements(
    bay: BayNumbers, arm_index: int, point: PointNumbers, stop: Stop
) -> tuple[Placement, ...]:
    """Other places of one arm's pad within a point's zone, nearest first, as `placement` gives."""
    arm, at = under(bay, arm_index, point, stop)
    found = geometry.other_placements(arm, restraint_of(bay), at, point.zone)
    return tuple(_in_L(p, stop) for p in found)


def _in_L(found: Placement, stop: Stop) -> Placement:
    sign = -1.0 if stop.heading == TAIL_IN else 1.0
    pad = rotate(found.pad, stop.yaw) if stop.yaw != 0.0 else found.pad
    return Placement(
        found.tooth, found.swing, found.reach, pad, sign * found.along, sign * found.across
    )


def can_reach(
    bay: BayNumbers, arm_index: int, point: PointNumbers, stop: Stop, swing: float
) -> bool:
    """Whether `placement` finds a place at a stop; `swing` is tried first where it can be."""
    if _takes(bay, arm_index, swing):
        arm, at = under(bay, arm_index, point, stop)
        if reaches(arm, swing, at, point.zone):
            return True
    return placement(bay, arm_index, point, stop) is not None


def _takes(bay: BayNumbers, arm_index: int, swing: float) -> bool:
    """Whether an arm can stand at a swing: within its limits, and on a tooth where it has teeth."""
    arm, restraint = bay.arms[arm_index], bay.restraint
    if not arm.swing_low <= swing <= arm.swing_high:
        return False
    if not isinstance(restraint, Teeth):
        return True
    tooth = round((swing - restraint.offset) / restraint.pitch)
    return swing == restraint.offset + tooth * restraint.pitch


def placements(
    bay: BayNumbers, points: PointSetNumbers, stop: Stop
) -> tuple[Placement | None, ...]:
    """Placements of the arms under LF, RF, LR, RR; None where an arm cannot reach its point."""
    served = _SERVED[stop.heading]
    return tuple(
        placement(bay, arm, point, stop) for arm, point in zip(served, points.points, strict=True)
    )


def windows_by_corner(
    bay: BayNumbers, points: PointSetNumbers, stop: Stop
) -> tuple[tuple[ArmWindow, ...], ...]:
    """Intervals of travel along the vehicle's own axis, from this stop, for each corner."""
    restraint = restraint_of(bay)
    rows = []
    for index, point in zip(_SERVED[stop.heading], points.points, strict=True):
        arm, at = under(bay, index, point, stop)
        rows.append(arm_windows(arm, restraint, at, point.zone))
    return tuple(rows)


def windows(
    bay: BayNumbers,
    points: PointSetNumbers,
    heading: str,
    limits: tuple[Interval, ...],
) -> tuple[SpotWindow, ...]:
    """Every spot window of one heading and point set, exact, vehicle straight and in the middle."""
    return spot_windows(windows_by_corner(bay, points, Stop(heading, 0.0)), limits)
