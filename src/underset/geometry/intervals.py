"""Unions of closed intervals on a line, exact: no sampling and no rounding of ends."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable

Interval = tuple[float, float]
"""A closed interval (low, high); low equal to high is a single point."""

Union = tuple[Interval, ...]
"""Disjoint closed intervals in rising order."""


def union(intervals: Iterable[Interval]) -> Union:
    """Join intervals in any order; those that overlap or touch become one, inverted ones vanish."""
    merged: list[Interval] = []
    for low, high in sorted(intervals):
        if low > high:
            continue
        if merged and low <= merged[-1][1]:
            merged[-1] = (merged[-1][0], max(high, merged[-1][1]))
        else:
            merged.append((low, high))
    return tuple(merged)


def intersect(a: Union, b: Union) -> Union:
    """Points that lie in both unions; two intervals that only touch leave one point."""
    common: list[Interval] = []
    i = j = 0
    while i < len(a) and j < len(b):
        low, high = max(a[i][0], b[j][0]), min(a[i][1], b[j][1])
        if low <= high:
            common.append((low, high))
        if a[i][1] < b[j][1]:
            i += 1
        else:
            j += 1
    return union(common)


def subtract(a: Union, b: Union) -> Union:
    """Points of `a` outside the open interiors of `b`; single points that only touch `b` stay."""
    left: list[Interval] = []
    for low, high in a:
        start = low
        for cut_low, cut_high in b:
            if cut_low == cut_high or cut_high <= start or cut_low >= high:
                continue
            if cut_low >= start:
                left.append((start, cut_low))
            start = cut_high
        if start <= high:
            left.append((start, high))
    return tuple(left)


def measure(u: Union) -> float:
    """Total length of a union."""
    return sum(high - low for low, high in u)


def contains(u: Union, x: float, slack: float = 0.0) -> bool:
    """Whether `x` lies in the union widened by `slack` at every end."""
    return any(low - slack <= x <= high + slack for low, high in u)


def nearest(u: Union, x: float) -> float | None:
    """Point of the union closest to `x` (the lower one at a tie), or None for an empty union."""
    if not u:
        return None
    return min((min(max(x, low), high) for low, high in u), key=lambda point: abs(point - x))
