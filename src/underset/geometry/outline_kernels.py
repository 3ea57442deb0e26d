"""Inner arithmetic of outlines, strips, doors and the way in; see kernels for the ground rules.

A polygon is a tuple (or list) of (x, y), first point not repeated. A profile is a tuple of stations
(from_tip, half_width, top, bottom) from the tip inward. A slab is one trapezoid of an arm along its
axis: (x_inner, half width, top, x_outer, half width, top).
"""

# Decision: the innermost loops compare instead of calling min and max, a sixth of a plan's calls.
# ruff: noqa: PLR1730

from __future__ import annotations

from collections.abc import Sequence
from math import acos, asin, atan2, cos, floor, hypot, inf, pi, sin, sqrt

Floats = tuple[float, ...]
Pair = tuple[float, float]
Outline = Sequence[Pair]
Quad = tuple[Pair, Pair, Pair, Pair]

SLACK = 1e-9
"""Rounding slack on distances, in metres."""

FULL = 2.0 * pi


# --- convex outlines ----------------------------------------------------------------------------


def area_twice(polygon: Outline) -> float:
    """Twice the signed area: positive where the outline runs counter-clockwise."""
    total = 0.0
    px, py = polygon[-1]
    for x, y in polygon:
        total += px * y - x * py
        px = x
        py = y
    return total


def extent(polygon: Outline) -> tuple[float, float, float, float]:
    """Least and greatest x, least and greatest y."""
    near = low = inf
    far = high = -inf
    for x, y in polygon:
        if x < near:
            near = x
        if x > far:
            far = x
        if y < low:
            low = y
        if y > high:
            high = y
    return (near, far, low, high)


def point_segment(p: Pair, a: Pair, b: Pair) -> float:
    """Squared distance from a point to the segment a-b."""
    ex = b[0] - a[0]
    ey = b[1] - a[1]
    dx = p[0] - a[0]
    dy = p[1] - a[1]
    length = ex * ex + ey * ey
    if length > 0.0:
        t = min(max((dx * ex + dy * ey) / length, 0.0), 1.0)
        dx -= t * ex
        dy -= t * ey
    return dx * dx + dy * dy


def inside(p: Pair, polygon: Outline) -> bool:
    """Whether a point lies in a simple polygon; a point on the outline may count either way."""
    x, y = p
    found = False
    ax, ay = polygon[-1]
    for bx, by in polygon:
        if (ay > y) != (by > y) and x < ax + (y - ay) / (by - ay) * (bx - ax):
            found = not found
        ax = bx
        ay = by
    return found


def point_outline(p: Pair, polygon: Outline) -> float:
    """Distance from a point to a filled simple polygon; 0 inside."""
    if inside(p, polygon):
        return 0.0
    least = point_segment(p, polygon[-1], polygon[0])
    for i in range(1, len(polygon)):
        least = min(least, point_segment(p, polygon[i - 1], polygon[i]))
    return sqrt(least)


def side_of(a: Pair, b: Pair, p: Pair) -> float:
    """Positive where p lies left of the line from a to b."""
    return (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0])


def segments_gap(a: Pair, b: Pair, c: Pair, d: Pair) -> float:
    """Squared distance between the segments a-b and c-d; 0 where they cross or touch."""
    if side_of(a, b, c) * side_of(a, b, d) < 0.0 and side_of(c, d, a) * side_of(c, d, b) < 0.0:
        return 0.0
    first = min(point_segment(a, c, d), point_segment(b, c, d))
    return min(first, point_segment(c, a, b), point_segment(d, a, b))


def segment_outline(a: Pair, b: Pair, polygon: Outline) -> float:
    """Distance from the segment a-b to a filled simple polygon; 0 where they meet."""
    if inside(a, polygon):
        return 0.0
    least = segments_gap(a, b, polygon[-1], polygon[0])
    for i in range(1, len(polygon)):
        least = min(least, segments_gap(a, b, polygon[i - 1], polygon[i]))
    return sqrt(least)


def corners_to_side(p: Pair, q: Pair, outline: Outline) -> float:
    """Least squared distance from an outline's corners to the segment p-q (of some length)."""
    px, py = p
    ex = q[0] - px
    ey = q[1] - py
    length = ex * ex + ey * ey
    least = inf
    for x, y in outline:
        dx = x - px
        dy = y - py
        t = dx * ex + dy * ey
        if t >= length:
            dx -= ex
            dy -= ey
            off = dx * dx + dy * dy
        elif t > 0.0:
            off = dx * ey - dy * ex
            off = off * off / length
        else:
            off = dx * dx + dy * dy
        if off < least:
            least = off
    return least


def facing_gap(a: Outline, turn: float, b: Outline) -> float:
    """Least squared distance from b's corners to the sides of convex a that have all of b outside.

    -1 where no side of a parts the two. `turn` is the sign of a's area.
    """
    least = -1.0
    px, py = a[-1]
    for qx, qy in a:
        ex = qx - px
        ey = qy - py
        apart = True
        for x, y in b:
            if ((x - px) * ey - (y - py) * ex) * turn <= 0.0:
                apart = False
                break
        if apart:
            off = corners_to_side((px, py), (qx, qy), b)
            least = off if least < 0.0 else min(least, off)
        px = qx
        py = qy
    return least


def convex_gap(a: Outline, b: Outline) -> float:
    """Distance between two convex polygons in any order of turning; 0 where they meet.

    Two convex outlines apart are parted by a side of one of them, and their nearest points lie on
    such a side and a corner of the other (the nearest corner of b - a to the origin always has a
    neighbouring side that faces the origin). Two segments in one line have no such side: every pair
    of sides is compared then.
    """
    area_a = area_twice(a)
    area_b = area_twice(b)
    one = facing_gap(a, 1.0 if area_a >= 0.0 else -1.0, b)
    two = facing_gap(b, 1.0 if area_b >= 0.0 else -1.0, a)
    if one < 0.0 and two < 0.0:
        if area_a != 0.0 or area_b != 0.0:
            return 0.0
        one = segments_gap(a[-1], a[0], b[-1], b[0])
        for i in range(len(a)):
            for j in range(len(b)):
                one = min(one, segments_gap(a[i - 1], a[i], b[j - 1], b[j]))
        return sqrt(one)
    if one < 0.0 or 0.0 <= two < one:
        return sqrt(two)
    return sqrt(one)


def clip_half(subject: list[Pair], a: Pair, b: Pair) -> list[Pair]:
    """Part of an outline left of (or on) the line from a to b."""
    kept: list[Pair] = []
    for i in range(len(subject)):
        p = subject[i - 1]
        q = subject[i]
        sp = side_of(a, b, p)
        sq = side_of(a, b, q)
        if (sp > 0.0 and sq < 0.0) or (sp < 0.0 and sq > 0.0):
            t = sp / (sp - sq)
            kept.append((p[0] + t * (q[0] - p[0]), p[1] + t * (q[1] - p[1])))
        if sq >= 0.0:
            kept.append(q)
    return kept


def clip(subject: Outline, convex: Outline) -> list[Pair]:
    """Part of an outline inside a convex one: one half-plane after another."""
    kept = [subject[i] for i in range(len(subject))]
    clockwise = area_twice(convex) < 0.0
    for i in range(len(convex)):
        a = convex[i - 1]
        b = convex[i]
        if a[0] != b[0] or a[1] != b[1]:
            kept = clip_half(kept, b, a) if clockwise else clip_half(kept, a, b)
    return kept


def segment_inside(a: Pair, b: Pair, convex: Outline) -> Pair:
    """Parameters (from, to) of the part of a-b inside a counter-clockwise convex outline."""
    first = 0.0
    last = 1.0
    p = convex[-1]
    for q in convex:
        sa = side_of(p, q, a)
        sb = side_of(p, q, b)
        if sa < 0.0 and sb < 0.0:
            return (1.0, 0.0)
        if sa < 0.0:
            first = max(first, sa / (sa - sb))
        elif sb < 0.0:
            last = min(last, sa / (sa - sb))
        p = q
    return (first, last)


# --- arms as strips -----------------------------------------------------------------------------


def slab(reach: float, outer: Floats, inner: Floats) -> Floats:
    """Trapezoid between two stations of a profile, along the arm's axis from the pivot.

    (x_inner, half width, top, x_outer, half width, top); the part behind the pivot is cut off.
    """
    far = reach - outer[0]
    near = reach - inner[0]
    if near >= 0.0:
        return (near, inner[1], inner[2], far, outer[1], outer[2])
    t = far / (far - near)
    width = outer[1] + t * (inner[1] - outer[1])
    return (0.0, width, outer[2] + t * (inner[2] - outer[2]), far, outer[1], outer[2])


def slabs(reach: float, profile: Sequence[Floats]) -> list[Floats]:
    """Trapezoids of an arm at one reach from tip to pivot; the last width runs to the root."""
    found: list[Floats] = []
    for i in range(len(profile)):
        outer = profile[i]
        if reach - outer[0] <= 0.0:
            break
        inner: Floats = (reach, outer[1], outer[2], outer[3])
        if i + 1 < len(profile):
            inner = profile[i + 1]
        if inner[0] > outer[0]:
            found.append(slab(reach, outer, inner))
    return found


def slab_outline(piece: Floats, pivot: Pair, ux: float, uy: float) -> Quad:
    """Corners of a trapezoid: inner right, outer right, outer left, inner left (ccw)."""
    x0 = pivot[0] + piece[0] * ux
    y0 = pivot[1] + piece[0] * uy
    x1 = pivot[0] + piece[3] * ux
    y1 = pivot[1] + piece[3] * uy
    w0 = piece[1]
    w1 = piece[4]
    return (
        (x0 + w0 * uy, y0 - w0 * ux),
        (x1 + w1 * uy, y1 - w1 * ux),
        (x1 - w1 * uy, y1 + w1 * ux),
        (x0 - w0 * uy, y0 + w0 * ux),
    )


def slab_top(corners: Outline, tops: Floats, p: Pair) -> float:
    """Top of a trapezoid at a place: linear along the axis from the inner to the outer end."""
    ax = 0.5 * (corners[0][0] + corners[3][0])
    ay = 0.5 * (corners[0][1] + corners[3][1])
    ex = 0.5 * (corners[1][0] + corners[2][0]) - ax
    ey = 0.5 * (corners[1][1] + corners[2][1]) - ay
    length = ex * ex + ey * ey
    if length == 0.0:
        return max(tops[0], tops[1])
    t = min(max(((p[0] - ax) * ex + (p[1] - ay) * ey) / length, 0.0), 1.0)
    return tops[0] + t * (tops[1] - tops[0])


def slab_highest(corners: Outline, tops: Floats, zone: Outline) -> Pair:
    """(1, greatest top of a trapezoid within a simple zone outline), or (0, 0) if apart.

    The top is linear, so its greatest value stands at a corner of the common part: an end of a
    piece of the zone's outline inside the trapezoid, or a corner of the trapezoid inside the zone.
    """
    found = 0.0
    highest = 0.0
    if facing_gap(corners, 1.0, zone) >= 0.0:
        return (found, highest)
    a = zone[-1]
    for b in zone:
        first, last = segment_inside(a, b, corners)
        if first <= last:
            for t in (first, last):
                p = (a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1]))
                top = slab_top(corners, tops, p)
                highest = top if found == 0.0 else max(highest, top)
                found = 1.0
        a = b
    for i in range(4):
        if inside(corners[i], zone):
            highest = tops[i] if found == 0.0 else max(highest, tops[i])
            found = 1.0
    return (found, highest)


# --- doors --------------------------------------------------------------------------------------


def chord(diameter: float, height: float) -> float:
    """Length of a wheel's chord at a height above the floor; the full diameter above the hub."""
    radius = 0.5 * diameter
    if height >= radius:
        return diameter
    rise = radius - max(height, 0.0)
    return 2.0 * sqrt(radius * radius - rise * rise)


def circle_segment(radius: float, a: Pair, b: Pair) -> list[float]:
    """Absolute angles at which a circle about the origin crosses the segment a-b."""
    angles: list[float] = []
    ex = b[0] - a[0]
    ey = b[1] - a[1]
    length = ex * ex + ey * ey
    if length == 0.0:
        return angles
    middle = -(a[0] * ex + a[1] * ey) / length
    root = (radius * radius - a[0] * a[0] - a[1] * a[1]) / length + middle * middle
    if root < 0.0:
        return angles
    for t in (middle - sqrt(root), middle + sqrt(root)):
        if 0.0 <= t <= 1.0:
            angle = atan2(a[1] + t * ey, a[0] + t * ex)
            angles.append(angle)
    return angles


def corner_angles(length: float, p: Pair, gap: float) -> list[float]:
    """Absolute angles at which a leaf from the origin begins or ends to be too near a corner.

    Either the leaf's line touches the circle of radius gap about the corner, or the leaf's end
    crosses that circle.
    """
    angles: list[float] = []
    away = hypot(p[0], p[1])
    if away <= gap:
        return angles
    middle = atan2(p[1], p[0])
    spread = asin(gap / away)
    angles.append(middle - spread)
    angles.append(middle + spread)
    if abs(away - length) <= gap and length > 0.0:
        cosine = (away * away + length * length - gap * gap) / (2.0 * away * length)
        spread = acos(min(max(cosine, -1.0), 1.0))
        angles.append(middle - spread)
        angles.append(middle + spread)
    return angles


def leaf_angles(length: float, polygon: list[Pair], gap: float) -> list[float]:
    """Every absolute angle at which a leaf hinged at the origin can begin to be too near."""
    angles: list[float] = []
    for i in range(len(polygon)):
        a = polygon[i - 1]
        b = polygon[i]
        angles.extend(corner_angles(length, a, gap))
        side = hypot(b[0] - a[0], b[1] - a[1])
        if side > 0.0:
            nx = gap * (b[1] - a[1]) / side
            ny = gap * (a[0] - b[0]) / side
            for sign in (-1.0, 1.0):
                p = (a[0] + sign * nx, a[1] + sign * ny)
                q = (b[0] + sign * nx, b[1] + sign * ny)
                angles.extend(circle_segment(length, p, q))
    return angles


def leaf_gap(door: Floats, opening: float, polygon: Outline) -> float:
    """Distance from a door leaf, opened by an angle, to a filled simple polygon."""
    angle = door[2] + door[3] * opening
    hinge = (door[0], door[1])
    end = (door[0] + door[4] * cos(angle), door[1] + door[4] * sin(angle))
    return segment_outline(hinge, end, polygon)


def next_opening(door: Floats, angles: Sequence[float], here: float, greatest: float) -> float:
    """Least opening beyond `here` at which a door points along one of the angles; or greatest."""
    least = greatest
    for angle in angles:
        opening = door[3] * (angle - door[2])
        opening -= FULL * floor(opening / FULL)
        if here < opening < least:
            least = opening
    return least


def door_stop(door: Floats, greatest: float, polygon: Outline, gap: float) -> float:
    """Greatest opening up to which a leaf keeps `gap` from one simple polygon; 0 where none does.

    `door` is (hinge_x, hinge_y, closed angle, turn, length). The distance can fall below the gap
    only at one of finitely many openings; between two of them it stays on one side.
    """
    hinge = (door[0], door[1])
    if point_outline(hinge, polygon) >= door[4] + gap:
        return greatest
    if leaf_gap(door, 0.0, polygon) < gap - SLACK:
        return 0.0
    local = [(x - door[0], y - door[1]) for x, y in polygon]
    angles = leaf_angles(door[4], local, gap)
    here = 0.0
    while here < greatest:
        after = next_opening(door, angles, here, greatest)
        apart = leaf_gap(door, 0.5 * (here + after), polygon)
        if apart < gap - SLACK or apart == 0.0:
            return here
        here = after
    return greatest


# --- the way in: reaches that an obstacle stops, seen along the arm's axis -----------------------


def side_crossings(a: Pair, b: Pair, y: float, radius: float) -> Pair:
    """Least and greatest x at which the line at height y crosses a side shifted by +-radius."""
    low = inf
    high = -inf
    ex = b[0] - a[0]
    ey = b[1] - a[1]
    if ey == 0.0:
        return (low, high)
    side = radius / hypot(ex, ey)
    for sign in (-side, side):
        t = (y - a[1] + sign * ex) / ey
        if 0.0 <= t <= 1.0:
            x = a[0] + t * ex + sign * ey
            if x < low:
                low = x
            if x > high:
                high = x
    return (low, high)


def ray_blocked(polygon: Outline, y: float, radius: float) -> Pair:
    """Open interval of x for which (x, y) is nearer than `radius` to a convex polygon.

    Low at or above high where there is none. The thickened polygon is convex, so the interval runs
    from the least to the greatest crossing with its corner circles and shifted sides. A side that
    lies wholly more than `radius` above or below the line is passed over.
    """
    low = inf
    high = -inf
    ax, ay = polygon[-1]
    ay -= y
    for b in polygon:
        bx = b[0]
        by = b[1] - y
        if (ay > radius and by > radius) or (ay < -radius and by < -radius):
            ax = bx
            ay = by
            continue
        off = radius * radius - ay * ay
        if off > 0.0:
            half = sqrt(off)
            if ax - half < low:
                low = ax - half
            if ax + half > high:
                high = ax + half
        first, last = side_crossings((ax, ay), (bx, by), 0.0, radius)
        if first < low:
            low = first
        if last > high:
            high = last
        ax = bx
        ay = by
    return (low, high)


def corner_limit(station: Floats, polygon: Outline, gap: float) -> float:
    """Least reach at which either corner of a profile's station comes nearer than gap."""
    limit = inf
    for y in (-station[1], station[1]):
        low, high = ray_blocked(polygon, y, gap)
        if low < high and high > 0.0:
            limit = min(limit, max(low, 0.0) + station[0])
    return limit


def flank_limit(outer: Floats, inner: Floats, polygon: Outline, gap: float) -> float:
    """Least reach at which the side between two stations comes nearer than gap to a corner."""
    ef = inner[0] - outer[0]
    ew = inner[1] - outer[1]
    limit = inf
    if ew <= 0.0:
        return limit
    side = gap / hypot(ef, ew)
    for x, y in polygon:
        t = (abs(y) - outer[1] - side * ef) / ew
        if 0.0 <= t <= 1.0:
            back = outer[0] + t * ef
            reach = x + back - side * ew
            if reach - back >= 0.0:
                limit = min(limit, reach)
    return limit


def root_limit(profile: tuple[Floats, ...], polygon: Outline, gap: float) -> float:
    """Least reach at which the arm's end at the pivot, growing wider, comes nearer than gap."""
    swapped = [(y, x) for x, y in polygon]
    low, high = ray_blocked(swapped, 0.0, gap)
    if low >= high:
        return inf
    width = 0.0 if low < 0.0 < high else min(abs(low), abs(high))
    if width <= profile[0][1]:
        return max(profile[0][0], 0.0)
    for i in range(1, len(profile)):
        if width <= profile[i][1]:
            step = profile[i][1] - profile[i - 1][1]
            t = (width - profile[i - 1][1]) / step
            return profile[i - 1][0] + t * (profile[i][0] - profile[i - 1][0])
    return inf


def arm_limit(profile: tuple[Floats, ...], polygon: Outline, gap: float) -> float:
    """Reach beyond which an arm along +x from the origin is nearer than gap to a convex polygon.

    A profile that never narrows towards the root makes the arm at a shorter reach a part of the arm
    at a longer one, so one limit says it all. First contact is a station's corner with the outline,
    a side of the arm with a corner of the outline, the tip's face, or the end at the pivot.
    """
    widest = profile[-1][1] + gap
    near, far, right, left = extent(polygon)
    if right >= widest or left <= -widest or far <= -gap:
        return inf
    limit = root_limit(profile, polygon, gap) if near < gap else inf
    for x, y in polygon:
        if abs(y) <= profile[0][1] and x - gap >= 0.0:
            limit = min(limit, x + profile[0][0] - gap)
    # Nothing at or behind a station touches sooner than this plus its distance from the tip.
    ahead = max(near - gap, 0.0)
    for i in range(len(profile)):
        wider = i == 0 or profile[i][1] > profile[i - 1][1]
        if i > 0 and wider:
            limit = min(limit, flank_limit(profile[i - 1], profile[i], polygon, gap))
        if ahead + profile[i][0] >= limit:
            break
        if wider:
            limit = min(limit, corner_limit(profile[i], polygon, gap))
    return limit


def in_arm_axes(polygon: Outline, pivot: Pair, angle: float) -> list[Pair]:
    """An outline seen from the pivot along the arm."""
    c = cos(angle)
    s = sin(angle)
    x0, y0 = pivot
    return [((x - x0) * c + (y - y0) * s, (y - y0) * c - (x - x0) * s) for x, y in polygon]


def arm_gap(pieces: list[Floats], polygon: Outline) -> float:
    """Distance from an arm's slabs along +x from the origin to a convex polygon there.

    A slab whose box is farther than the nearest slab so far is passed over.
    """
    near, far, low, high = extent(polygon)
    least = inf
    for x0, w0, _, x1, w1, _ in pieces:
        width = max(w0, w1)
        dx = max(near - x1, x0 - far, 0.0)
        dy = max(low - width, -width - high, 0.0)
        if dx * dx + dy * dy < least * least:
            corners = ((x0, -w0), (x1, -w1), (x1, w1), (x0, w0))
            least = min(least, convex_gap(corners, polygon))
    return least
