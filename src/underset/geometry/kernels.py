"""Inner arithmetic of this package: plain functions on floats and on tuples and lists of floats.

Decision: no dataclass, dictionary or type test appears here, so that a batch engine can compile the
same source unchanged: load the module a second time and replace each function by its compiled form
(they find one another through the module's names). This one holds arms, teeth and windows;
outline_kernels holds outlines, strips, doors and the way in.

An arm is the tuple (pivot_x, pivot_y, inward, turn, swing_low, swing_high, reach_low, reach_high)
in metres and radians; `inward` is the absolute angle of swing zero, `turn` is +1.0 where the swing
grows counter-clockwise and -1.0 where it grows clockwise. Teeth are (pitch, offset). A zone is
(along, across), half lengths on the axes in use.
"""

from __future__ import annotations

from math import asin, atan2, ceil, cos, floor, hypot, inf, pi, sin, sqrt

Floats = tuple[float, ...]
Pair = tuple[float, float]

SLACK = 1e-9
"""Rounding slack on closed limits, in metres or radians."""

PLACE_SLACK = 2e-9
"""Decision: placing forgives twice what a window forgives: every end of a window can be placed."""

FULL = 2.0 * pi


# --- linkage: teeth, reach and zone -------------------------------------------------------------


def swing_towards(arm: Floats, dx: float, dy: float) -> float:
    """Swing that points along (dx, dy), wrapped to within half a turn of mid-range."""
    middle = 0.5 * (arm[4] + arm[5])
    swing = arm[3] * (atan2(dy, dx) - arm[2])
    return swing - FULL * floor((swing - middle) / FULL + 0.5)


def tooth_range(arm: Floats, teeth: Pair) -> tuple[int, int]:
    """First and last tooth number whose swing lies within the limits (closed)."""
    first = ceil((arm[4] - SLACK - teeth[1]) / teeth[0])
    last = floor((arm[5] + SLACK - teeth[1]) / teeth[0])
    return (first, last)


def reach_band(offset: float, rate: float, half: float, low: float, high: float) -> Pair:
    """Reaches r in [low, high] with |offset + r * rate| <= half; low above high where none."""
    if abs(rate) < 1e-12:
        return (low, high) if abs(offset + low * rate) <= half else (1.0, 0.0)
    a = (-half - offset) / rate
    b = (half - offset) / rate
    if b < a:
        a, b = b, a
    return (a if a > low else low, b if b < high else high)


def reach_in_zone(arm: Floats, swing: float, point: Pair, zone: Pair) -> Pair:
    """Reaches that put the pad within the zone about the point; low above high where none."""
    angle = arm[2] + arm[3] * swing
    first = reach_band(arm[0] - point[0], cos(angle), zone[0] + PLACE_SLACK, arm[6], arm[7])
    return reach_band(arm[1] - point[1], sin(angle), zone[1] + PLACE_SLACK, first[0], first[1])


def zone_reach(arm: Floats, swing: float, point: Pair, zone: Pair) -> float:
    """Reach at which the pad is least off the point, measured in half lengths of the zone.

    The least of (along / tau_along)^2 + (across / tau_across)^2 over r, written without division by
    a half length, so that a zone of zero width is allowed.
    """
    angle = arm[2] + arm[3] * swing
    ux = cos(angle)
    uy = sin(angle)
    wx = zone[1] * zone[1]
    wy = zone[0] * zone[0]
    if wx * ux * ux + wy * uy * uy < 1e-18:
        wx = wy = 1.0
    dx = point[0] - arm[0]
    dy = point[1] - arm[1]
    return (wx * dx * ux + wy * dy * uy) / (wx * ux * ux + wy * uy * uy)


def zone_error(error: float, half: float) -> float:
    """Square of an error in half lengths; rounding in a zone of no width counts zero."""
    return (error / half) * (error / half) if half > PLACE_SLACK else 0.0


def teeth_near(arm: Floats, teeth: Pair, point: Pair, zone: Pair) -> tuple[int, int]:
    """Teeth whose line can pass the zone at all: |pad - point| bounds the angle between the two."""
    first, last = tooth_range(arm, teeth)
    dx = point[0] - arm[0]
    dy = point[1] - arm[1]
    distance = hypot(dx, dy)
    diagonal = hypot(zone[0], zone[1]) + 2.0 * PLACE_SLACK
    spread = asin(diagonal / distance) + SLACK if diagonal < distance else pi
    if spread + 0.5 * (arm[5] - arm[4]) >= pi - teeth[0]:
        return (first, last)
    swing = swing_towards(arm, dx, dy)
    near = ceil((swing - spread - teeth[1]) / teeth[0])
    far = floor((swing + spread - teeth[1]) / teeth[0])
    return (max(first, near), min(last, far))


def best_tooth(arm: Floats, teeth: Pair, point: Pair, zone: Pair) -> tuple[bool, int, float, float]:
    """Best tooth for a point: (found, tooth, swing, reach) of least error in half lengths.

    Ties within 1e-12 go to the tooth nearer to zero, then to the lower number.
    """
    first, last = teeth_near(arm, teeth, point, zone)
    found = False
    tooth = 0
    best_swing = best_reach = least = 0.0
    for k in range(first, last + 1):
        swing = teeth[1] + k * teeth[0]
        low, high = reach_in_zone(arm, swing, point, zone)
        if low > high:
            continue
        reach = min(max(zone_reach(arm, swing, point, zone), low), high)
        angle = arm[2] + arm[3] * swing
        error = zone_error(arm[0] + reach * cos(angle) - point[0], zone[0]) + zone_error(
            arm[1] + reach * sin(angle) - point[1], zone[1]
        )
        tied = abs(error - least) <= 1e-12 and abs(k) < abs(tooth)
        if not found or error < least - 1e-12 or tied:
            found, tooth, best_swing, best_reach, least = True, k, swing, reach, error
    return (found, tooth, best_swing, best_reach)


def tooth_window(arm: Floats, swing: float, point: Pair, zone: Pair) -> Pair:
    """Shifts s for which the pad on this swing can stand in the zone about (point.x + s, point.y).

    One closed interval: the reaches whose y lies in the zone's band, carried to x and widened by
    the half length along. Low above high where there is none.
    """
    angle = arm[2] + arm[3] * swing
    return ray_window(arm, (cos(angle), sin(angle)), point, zone)


def ray_window(arm: Floats, ray: Pair, point: Pair, zone: Pair) -> Pair:
    """`tooth_window` of an arm along a direction (cosine, sine)."""
    ux, uy = ray
    low, high = reach_band(arm[1] - point[1], uy, zone[1], arm[6], arm[7])
    if low > high:
        low, high = reach_band(arm[1] - point[1], uy, zone[1] + SLACK, arm[6], arm[7])
    if low > high:
        return (1.0, 0.0)
    a = arm[0] + low * ux
    b = arm[0] + high * ux
    return (min(a, b) - zone[0] - point[0], max(a, b) + zone[0] - point[0])


# --- linkage without teeth: the annular sector of a free arm ------------------------------------


def in_sector(arm: Floats, x: float, y: float) -> bool:
    """Whether the place (x, y), measured from the pivot, lies in the sector the pad can reach."""
    reach = hypot(x, y)
    if reach < arm[6] - SLACK or reach > arm[7] + SLACK:
        return False
    swing = swing_towards(arm, x, y)
    slack = SLACK * (1.0 + 1.0 / max(reach, SLACK))
    return arm[4] - slack <= swing <= arm[5] + slack


def in_zone(x: float, y: float, point: Pair, zone: Pair) -> bool:
    """Whether (x, y) lies in the zone about the point; a reach held to its slack still counts."""
    slack = PLACE_SLACK + SLACK
    return abs(x - point[0]) <= zone[0] + slack and abs(y - point[1]) <= zone[1] + slack


def sector_places(arm: Floats, point: Pair, zone: Pair) -> list[Pair]:
    """Places (swing, reach) where a free arm's nearest pad can be, if the point is out of range.

    The sector meets the zone nearest to the point on a straight side (the projection, held within
    the zone), on an arc in line with the pivot, or where an arc crosses a side of the zone.
    """
    dx = point[0] - arm[0]
    dy = point[1] - arm[1]
    places = [(swing_towards(arm, dx, dy), arm[6])]
    places.append((places[0][0], arm[7]))
    for swing in (arm[4], arm[5]):
        low, high = reach_in_zone(arm, swing, point, zone)
        angle = arm[2] + arm[3] * swing
        reach = min(max(dx * cos(angle) + dy * sin(angle), low), high)
        places.append((swing, reach))
    for reach in (arm[6], arm[7]):
        for side in (-1.0, 1.0):
            x = dx + side * zone[0]
            y = dy + side * zone[1]
            across = sqrt(max(reach * reach - x * x, 0.0))
            along = sqrt(max(reach * reach - y * y, 0.0))
            for sign in (-1.0, 1.0):
                places.append((swing_towards(arm, x, sign * across), reach))
                places.append((swing_towards(arm, sign * along, y), reach))
    return places


def nearest_in_sector(arm: Floats, point: Pair, zone: Pair) -> tuple[bool, float, float]:
    """(found, swing, reach) of a free arm's pad nearest to the point and within its zone."""
    dx = point[0] - arm[0]
    dy = point[1] - arm[1]
    if in_sector(arm, dx, dy):
        swing = min(max(swing_towards(arm, dx, dy), arm[4]), arm[5])
        return (True, swing, min(max(hypot(dx, dy), arm[6]), arm[7]))
    found = False
    best_swing = best_reach = least = 0.0
    for swing, reach in sector_places(arm, point, zone):
        angle = arm[2] + arm[3] * swing
        x = reach * cos(angle)
        y = reach * sin(angle)
        if not (in_sector(arm, x, y) and in_zone(arm[0] + x, arm[1] + y, point, zone)):
            continue
        off = hypot(x - dx, y - dy)
        if not found or off < least - SLACK:
            found, best_swing, best_reach, least = True, swing, reach, off
    return (found, best_swing, best_reach)


def column_meets_sector(arm: Floats, x: float, low: float, high: float) -> bool:
    """Whether the upright segment from (x, low) to (x, high), from the pivot, meets the sector."""
    if in_sector(arm, x, low) or in_sector(arm, x, high):
        return True
    for reach in (arm[6], arm[7]):
        if abs(x) <= reach:
            y = sqrt(reach * reach - x * x)
            if low <= y <= high and in_sector(arm, x, y):
                return True
            if low <= -y <= high and in_sector(arm, x, -y):
                return True
    for swing in (arm[4], arm[5]):
        ux = cos(arm[2] + arm[3] * swing)
        if abs(ux) > 1e-12:
            y = x / ux * sin(arm[2] + arm[3] * swing)
            if low <= y <= high and in_sector(arm, x, y):
                return True
    return False


def sector_corners(arm: Floats, low: float, high: float) -> list[Pair]:
    """Places, from the pivot, where the sector cut to low <= y <= high can begin or end in x."""
    corners = []
    for reach in (arm[6], arm[7]):
        corners.append((reach, 0.0))
        corners.append((-reach, 0.0))
        for y in (low, high):
            if abs(y) <= reach:
                x = sqrt(reach * reach - y * y)
                corners.append((x, y))
                corners.append((-x, y))
    for swing in (arm[4], arm[5]):
        ux = cos(arm[2] + arm[3] * swing)
        uy = sin(arm[2] + arm[3] * swing)
        corners.append((arm[6] * ux, arm[6] * uy))
        corners.append((arm[7] * ux, arm[7] * uy))
        if abs(uy) > 1e-12:
            corners.append((low / uy * ux, low))
            corners.append((high / uy * ux, high))
    return corners


def next_above(values: list[float], x: float) -> float:
    """Least of the values above x; inf where none is."""
    least = inf
    for value in values:
        if x < value < least:
            least = value
    return least


def sector_windows(arm: Floats, point: Pair, zone: Pair) -> list[Pair]:
    """Shifts s for which a free arm's pad can stand in the zone about (point.x + s, point.y).

    The sector cut by the band |y - point.y| <= across, carried to x. Its ends are corners of that
    shape; two neighbouring corners are joined where the upright half-way between them meets it.
    """
    low = point[1] - zone[1] - arm[1]
    high = point[1] + zone[1] - arm[1]
    ends = []
    for x, y in sector_corners(arm, low, high):
        if low - SLACK <= y <= high + SLACK and in_sector(arm, x, y):
            ends.append(x)
    windows: list[Pair] = []
    shift = arm[0] - point[0]
    x = start = next_above(ends, -inf)
    while x < inf:
        after = next_above(ends, x)
        if after == inf or not column_meets_sector(arm, 0.5 * (x + after), low, high):
            windows.append((start + shift - zone[0], x + shift + zone[0]))
            start = after
        x = after
    return windows
