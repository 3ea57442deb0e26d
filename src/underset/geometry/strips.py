"""Outlines in plan, arms as tapered strips, stacks as discs: distances and what lies under what.

Polygons are tuples of points, first point not repeated, turning either way. Lengths in metres.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import cos, inf, pi, sin

from underset.errors import InputError
from underset.geometry import outline_kernels as kernels
from underset.geometry.poses import Point

Polygon = tuple[Point, ...]
"""A simple outline in plan, first point not repeated."""

Station = tuple[float, float, float, float]
"""(from_tip, half_width, top, bottom): distance inward from the pad centre (negative beyond it),
half width, and heights of the arm's top and bottom over the seat (+ up)."""

ArmProfile = tuple[Station, ...]
"""Stations from the tip inward, linear in between; the last one runs on to the root."""

Tops = tuple[float, float, float, float]
"""Height of the arm's top over the seat at each corner of a slab."""

Slab = tuple[Polygon, Tops]
"""A trapezoid of an arm (inner right, outer right, outer left, inner left) and its tops."""

Strip = tuple[Slab, ...]
"""An arm in plan, from the tip inward."""


def convex_distance(a: Polygon, b: Polygon) -> float:
    """Distance between two convex polygons; 0 where they overlap or touch."""
    return kernels.convex_gap(a, b)


def is_convex(polygon: Polygon) -> bool:
    """Whether an outline turns one way only, and once round (straight corners allowed)."""
    hair = 1e-12  # square metres: rounding on a straight corner is no bend
    left = right = False
    turns, heading = 0, 0.0
    ax, ay = polygon[-2]
    bx, by = polygon[-1]
    for cx, cy in polygon:
        bend = (bx - ax) * (cy - by) - (by - ay) * (cx - bx)
        left = left or bend > hair
        right = right or bend < -hair
        ahead = cx - bx
        if ahead != 0.0:
            turns += ahead * heading < 0.0
            heading = ahead
        ax, ay, bx, by = bx, by, cx, cy
    return not (left and right) and turns <= 2


def convex_pieces(polygon: Polygon) -> tuple[Polygon, ...]:
    """Convex polygons that together fill a simple one; a convex one stays whole.

    By cutting ears off (every simple polygon has two). Raises InputError for an outline that
    meets itself: it does not say what lies inside.
    """
    if len(polygon) <= 3 or is_convex(polygon):
        return (polygon,)
    polygon = tuple(c for i, c in enumerate(polygon) if c != polygon[i - 1])  # closed by hand
    ears = None if _meets_itself(polygon) else _ears_off(polygon)
    if ears is None:
        raise InputError(
            "outline", polygon, "an outline that does not meet itself", "Check the corners."
        )
    return ears


def _ears_off(polygon: Polygon) -> tuple[Polygon, ...] | None:
    rest = list(polygon if kernels.area_twice(polygon) > 0.0 else polygon[::-1])
    pieces: list[Polygon] = []
    while len(rest) > 3 and not is_convex(tuple(rest)):
        ear = next((i for i in range(len(rest)) if _is_ear(rest, i)), None)
        if ear is None:
            return None
        pieces.append((rest[ear - 1], rest[ear], rest[(ear + 1) % len(rest)]))
        del rest[ear]
    return (*pieces, tuple(rest))


def _meets_itself(polygon: Polygon) -> bool:
    """Whether two sides that are not neighbours cross or touch."""
    count = len(polygon)
    return any(
        kernels.segments_gap(polygon[i - 1], polygon[i], polygon[j - 1], polygon[j]) == 0.0
        for i in range(count)
        for j in range(i + 2, count if i else count - 1)
    )


def _is_ear(rest: list[Point], i: int) -> bool:
    a, b, c = rest[i - 1], rest[i], rest[(i + 1) % len(rest)]
    if kernels.side_of(a, b, c) <= 0.0:
        return False
    return not any(
        kernels.side_of(a, b, p) >= 0.0
        and kernels.side_of(b, c, p) >= 0.0
        and kernels.side_of(c, a, p) >= 0.0
        for p in rest
        if p not in (a, b, c)
    )


def polygon_distance(a: Polygon, b: Polygon) -> float:
    """Distance between two simple polygons, filled; 0 where they overlap or touch."""
    return min(kernels.convex_gap(p, q) for p in convex_pieces(a) for q in convex_pieces(b))


def clip_convex(subject: Polygon, convex: Polygon) -> Polygon:
    """Part of a polygon inside a convex one; empty where there is none.

    A subject that is not convex may fall apart: its parts then hang together by edges of no width.
    """
    return tuple(kernels.clip(subject, convex))


def check_profile(profile: ArmProfile) -> None:
    """Refuse a profile that is empty, out of order, of negative width, or narrower to the root."""
    if not profile:
        raise InputError("arm profile", profile, "at least one station", "Measure the arm's tip.")
    for station in profile:
        if station[1] < 0.0:
            raise InputError("half width", station[1], "zero or more metres")
    for outer, inner in pairwise(profile):
        if inner[0] < outer[0]:
            raise InputError("from_tip", inner[0], "stations in order from the tip to the root")
        if inner[1] < outer[1]:
            raise InputError(
                "half width",
                inner[1],
                "widths that do not shrink from the tip towards the root",
                "Give the widest width met so far.",
            )


def strip(pivot: Point, angle: float, reach: float, profile: ArmProfile) -> Strip:
    """The arm in plan at an absolute angle and reach: slabs from the tip inward to the pivot."""
    check_profile(profile)
    ux, uy = cos(angle), sin(angle)
    return tuple(
        [
            (tuple(kernels.slab_outline(s, pivot, ux, uy)), (s[2], s[5], s[5], s[2]))
            for s in kernels.slabs(reach, profile)
        ]
    )


def strip_to_polygon(arm: Strip, polygon: Polygon) -> float:
    """Distance from an arm in plan to a simple polygon; 0 where they meet, inf for no arm."""
    return _least_gap([s for s, _ in arm], convex_pieces(polygon))


def strip_to_strip(a: Strip, b: Strip) -> float:
    """Distance between two arms in plan; 0 where they meet."""
    return _least_gap([s for s, _ in a], [p for p, _ in b])


def _least_gap(some: Sequence[Polygon], others: Sequence[Polygon]) -> float:
    """Least distance between convex pieces; pairs whose boxes lie farther apart are passed over."""
    least = inf
    around = [kernels.extent(p) for p in others]
    for s in some:
        near, far, low, high = kernels.extent(s)
        for p, box in zip(others, around, strict=True):
            dx, dy = max(box[0] - far, near - box[1], 0.0), max(box[2] - high, low - box[3], 0.0)
            if dx * dx + dy * dy < least * least:
                least = min(least, kernels.convex_gap(s, p))
    return least


def highest_under(arm: Strip, zone: Polygon) -> float | None:
    """Greatest height of the arm's top over the seat within a zone's outline; None if none is.

    Exact: the top is linear along each slab, so it is greatest at a corner of the common part.
    """
    highest: float | None = None
    for corners, tops in arm:
        found, top = kernels.slab_highest(corners, tops, zone)
        if found and (highest is None or top > highest):
            highest = top
    return highest


def disc_polygon(centre: Point, radius: float, sides: int = 32) -> Polygon:
    """A regular polygon that just contains a disc (for clipping and drawing)."""
    far = radius / cos(pi / sides)
    turns = [2.0 * pi * (i + 0.5) / sides for i in range(sides)]
    return tuple([(centre[0] + far * cos(t), centre[1] + far * sin(t)) for t in turns])


def disc_to_polygon(centre: Point, radius: float, polygon: Polygon) -> float:
    """Distance from a disc (a stack in plan) to a simple polygon; 0 where they meet."""
    return max(kernels.point_outline(centre, polygon) - radius, 0.0)
