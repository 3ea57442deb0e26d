"""A swing arm as a polar linkage: pivot, swing, reach, restraint, and where its pad stands."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, hypot, sin

from underset.geometry import kernels
from underset.geometry.poses import Point, rotate


@dataclass(frozen=True, slots=True)
class Arm:
    """One arm in plan. Metres, radians.

    `inward` is the absolute angle of swing zero (from +x, counter-clockwise); `turn` is +1 where
    the swing grows counter-clockwise and -1 where it grows clockwise. Limits are closed.
    """

    pivot: Point
    inward: float
    turn: int
    swing_low: float
    swing_high: float
    reach_low: float
    reach_high: float

    def numbers(self) -> tuple[float, ...]:
        """The arm as the kernels take it."""
        return (
            self.pivot[0],
            self.pivot[1],
            self.inward,
            float(self.turn),
            self.swing_low,
            self.swing_high,
            self.reach_low,
            self.reach_high,
        )


@dataclass(frozen=True, slots=True)
class Teeth:
    """A toothed restraint: it holds only at swings offset + k * pitch (radians, pitch > 0)."""

    pitch: float
    offset: float


@dataclass(frozen=True, slots=True)
class Free:
    """A restraint that holds at every swing."""


Restraint = Teeth | Free


@dataclass(frozen=True, slots=True)
class Zone:
    """Usable zone about a lifting point: half lengths on the axes of the frame in use (metres)."""

    along: float
    across: float


@dataclass(frozen=True, slots=True)
class Placement:
    """An arm set under a point; `along` and `across` are pad minus point; tooth None if free."""

    tooth: int | None
    swing: float
    reach: float
    pad: Point
    along: float
    across: float


def tooth_swings(arm: Arm, teeth: Teeth) -> tuple[tuple[int, float], ...]:
    """Every (tooth number, swing) within the arm's closed swing limits, in rising order."""
    first, last = kernels.tooth_range(arm.numbers(), (teeth.pitch, teeth.offset))
    return tuple([(k, teeth.offset + k * teeth.pitch) for k in range(first, last + 1)])


def pad_place(arm: Arm, swing: float, reach: float) -> Point:
    """Pad centre: pivot + reach * u(inward + turn * swing)."""
    angle = arm.inward + arm.turn * swing
    return (arm.pivot[0] + reach * cos(angle), arm.pivot[1] + reach * sin(angle))


def aim(arm: Arm, point: Point) -> tuple[float, float]:
    """(swing, reach) that put the pad on the point, whether or not the limits allow them.

    The swing is the one within half a turn of the middle of the arm's range.
    """
    dx, dy = point[0] - arm.pivot[0], point[1] - arm.pivot[1]
    return (kernels.swing_towards(arm.numbers(), dx, dy), hypot(dx, dy))


def turned(arm: Arm, angle: float, about: Point = (0.0, 0.0)) -> Arm:
    """The arm turned counter-clockwise about a place; -yaw gives it in a yawed vehicle's axes."""
    x, y = rotate((arm.pivot[0] - about[0], arm.pivot[1] - about[1]), angle)
    return Arm(
        (about[0] + x, about[1] + y),
        arm.inward + angle,
        arm.turn,
        arm.swing_low,
        arm.swing_high,
        arm.reach_low,
        arm.reach_high,
    )


def reaches(arm: Arm, swing: float, point: Point, zone: Zone) -> bool:
    """Whether some reach on this swing, which the arm can take, brings the pad within the zone."""
    low, high = kernels.reach_in_zone(arm.numbers(), swing, point, (zone.along, zone.across))
    return low <= high


def best_placement(arm: Arm, restraint: Restraint, point: Point, zone: Zone) -> Placement | None:
    """Pad place nearest to a lifting point that the restraint holds and the zone allows, or None.

    With teeth: the tooth and reach of least (along / tau_along)^2 + (across / tau_across)^2; on one
    tooth that is the projection of the point on the arm's line, measured in half lengths and held
    within limits and zone. Ties go to the lower |tooth|. Free: the point itself if it is in range,
    else the nearest place of the arm's sector that lies within the zone.
    """
    numbers, size = arm.numbers(), (zone.along, zone.across)
    tooth: int | None
    if isinstance(restraint, Teeth):
        found, tooth, swing, reach = kernels.best_tooth(
            numbers, (restraint.pitch, restraint.offset), point, size
        )
    else:
        found, swing, reach = kernels.nearest_in_sector(numbers, point, size)
        tooth = None
    if not found:
        return None
    pad = pad_place(arm, swing, reach)
    return Placement(tooth, swing, reach, pad, pad[0] - point[0], pad[1] - point[1])


SWINGS = 7  # looked at where a restraint holds anywhere


def other_placements(
    arm: Arm, restraint: Restraint, point: Point, zone: Zone
) -> tuple[Placement, ...]:
    """Places of the pad within the zone, nearest to the point first: a raster, not all of them.

    Every tooth, or some swings where none is needed, each with its nearest, middle and farthest
    reach, the outer two a little within. Nearness as in `best_placement`.
    """
    size, found = (zone.along, zone.across), []
    for tooth, swing in _swings(arm, restraint, point, zone):
        low, high = kernels.reach_in_zone(arm.numbers(), swing, point, size)
        for part in (0.02, 0.5, 0.98) if high - low > 1e-6 else ():
            reach = low + part * (high - low)
            pad = pad_place(arm, swing, reach)
            found.append(Placement(tooth, swing, reach, pad, pad[0] - point[0], pad[1] - point[1]))
    half = (max(zone.along, 1e-9), max(zone.across, 1e-9))
    return tuple(sorted(found, key=lambda p: (p.along / half[0]) ** 2 + (p.across / half[1]) ** 2))


def _swings(
    arm: Arm, restraint: Restraint, point: Point, zone: Zone
) -> list[tuple[int | None, float]]:
    if isinstance(restraint, Teeth):
        return list(tooth_swings(arm, restraint))
    corners = [
        (point[0] + i * zone.along, point[1] + j * zone.across) for i in (-1, 1) for j in (-1, 1)
    ]
    aimed = [aim(arm, at)[0] for at in corners]
    low, high = max(min(aimed), arm.swing_low), min(max(aimed), arm.swing_high)
    return [(None, low + (high - low) * k / (SWINGS - 1)) for k in range(SWINGS) if low <= high]
