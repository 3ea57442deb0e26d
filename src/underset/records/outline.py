"""Outlines in plan: whether a list of corners says what lies inside."""

from __future__ import annotations

from collections.abc import Sequence

Point = tuple[float, float]
_HAIR = 1e-12  # square metres: rounding on a straight corner is no bend


def meets_itself(corners: Sequence[Point]) -> bool:
    """Whether two sides that are not neighbours cross or touch; a corner given twice is one."""
    there = [c for i, c in enumerate(corners) if c != corners[i - 1]]
    count = len(there)
    return any(
        _touch((there[i - 1], there[i]), (there[j - 1], there[j]))
        for i in range(count)
        for j in range(i + 2, count if i else count - 1)
    )


def _touch(one: tuple[Point, Point], other: tuple[Point, Point]) -> bool:
    return _boxes_meet(one, other) and _parts(one, other) and _parts(other, one)


def _parts(line: tuple[Point, Point], points: tuple[Point, Point]) -> bool:
    """Whether two points do not lie strictly on one side of a line."""
    (ax, ay), (bx, by) = line
    first, second = ((bx - ax) * (y - ay) - (by - ay) * (x - ax) for x, y in points)
    return not (min(first, second) > _HAIR or max(first, second) < -_HAIR)


def _boxes_meet(one: tuple[Point, Point], other: tuple[Point, Point]) -> bool:
    return all(
        max(min(one[0][k], one[1][k]), min(other[0][k], other[1][k]))
        <= min(max(one[0][k], one[1][k]), max(other[0][k], other[1][k]))
        for k in (0, 1)
    )
