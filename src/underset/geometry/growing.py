"""Outlines grown by a tolerance: what a zone may cover when its corners are not known exactly."""

from __future__ import annotations

from math import hypot

from underset.errors import InputError
from underset.geometry.poses import Point
from underset.geometry.strips import Polygon

_SHARP = 0.2  # 1 + cosine of the turn below which a corner gets a square cap instead of a point


def grown(outline: Polygon, by: float) -> Polygon:
    """An outline that holds every place within `by` of a simple polygon; m.

    Edges move out by `by` and meet again (mitred), sharp corners get a square cap. Where a notch is
    so sharp or narrow that its edges would cross, the convex hull is grown: never too small. Raises
    InputError for a negative `by` or fewer than three corners.
    """
    if by < 0.0 or len(outline) < 3:
        raise InputError("outline to grow", (len(outline), by), "three corners and 0 m or more")
    turned = outline if _area(outline) > 0.0 else tuple(reversed(outline))
    if by == 0.0:
        return turned
    moved = _moved(turned, by)
    return moved if moved is not None and _simple(moved) else _moved(_hull(turned), by) or turned


def _moved(outline: Polygon, by: float) -> Polygon | None:
    """Edges of an outline, counter-clockwise, moved out; None where a notch closes on itself."""
    count = len(outline)
    edges = [_direction(outline[i], outline[(i + 1) % count]) for i in range(count)]
    corners = [_corner(outline[i], edges[i - 1], edges[i], by) for i in range(count)]
    for i, (ux, uy) in enumerate(edges):
        if not corners[i]:
            return None
        start, end = corners[i][-1], (corners[(i + 1) % count] or corners[i])[0]
        if (end[0] - start[0]) * ux + (end[1] - start[1]) * uy < 0.0:
            return None  # the edge has turned round: more was taken from its ends than it had
    return tuple(p for corner in corners for p in corner)


def _corner(at: Point, before: Point, after: Point, by: float) -> tuple[Point, ...]:
    """Where two edges moved out meet; a cap of two points where sharp, nothing at a sharp notch."""
    (x, y), (ax, ay), (bx, by_) = at, before, after
    opened = 1.0 + ax * bx + ay * by_
    if opened >= _SHARP:
        # Outward normals are (ay, -ax) and (by_, -bx); their mitre is the sum over `opened`.
        return ((x + by * (ay + by_) / opened, y - by * (ax + bx) / opened),)
    if ax * by_ - ay * bx < 0.0:
        return ()
    return (
        (x + by * (ay + ax), y + by * (ay - ax)),
        (x + by * (by_ - bx), y - by * (bx + by_)),
    )


def _direction(a: Point, b: Point) -> Point:
    length = hypot(b[0] - a[0], b[1] - a[1])
    return ((b[0] - a[0]) / length, (b[1] - a[1]) / length) if length > 0.0 else (0.0, 0.0)


def _area(outline: Polygon) -> float:
    """Twice the signed area, positive when counter-clockwise."""
    pairs = zip(outline, (*outline[1:], outline[0]), strict=True)
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in pairs)


def _side(a: Point, b: Point, p: Point) -> float:
    return (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0])


def _simple(outline: Polygon) -> bool:
    """Whether no two edges that are not neighbours meet, and it still turns counter-clockwise."""
    count = len(outline)
    for i in range(count):
        a, b = outline[i], outline[(i + 1) % count]
        for k in range(i + 2, count - (i == 0)):
            c, d = outline[k], outline[(k + 1) % count]
            if _boxes_meet(a, b, c, d) and (
                _side(a, b, c) * _side(a, b, d) <= 0.0 and _side(c, d, a) * _side(c, d, b) <= 0.0
            ):
                return False
    return _area(outline) > 0.0


def _boxes_meet(a: Point, b: Point, c: Point, d: Point) -> bool:
    return all(
        max(a[k], b[k]) >= min(c[k], d[k]) and max(c[k], d[k]) >= min(a[k], b[k]) for k in (0, 1)
    )


def _hull(outline: Polygon) -> Polygon:
    """Convex hull, counter-clockwise (Andrew 1979)."""

    def half(points: list[Point]) -> list[Point]:
        kept: list[Point] = []
        for p in points:
            while len(kept) > 1 and _side(kept[-2], kept[-1], p) <= 0.0:
                kept.pop()
            kept.append(p)
        return kept[:-1]

    ordered = sorted(set(outline))
    return (*half(ordered), *half(ordered[::-1]))
