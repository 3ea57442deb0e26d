"""Windows, spots and arms of the batch: plain functions that a compiler takes as they are.

The same rules as the planner's: exact windows, its order of spots, its best tooth for each point.
"""

from __future__ import annotations

from math import cos, floor, pi, sin
from typing import Any, TypeAlias

from underset.geometry.kernels import (
    best_tooth,
    nearest_in_sector,
    ray_window,
    sector_windows,
    tooth_range,
)

Floats = tuple[float, ...]
Pair = tuple[float, float]
Span = tuple[float, float]
Table: TypeAlias = Any
MOST_SPOTS = 7
NOSE_IN, TAIL_IN = (1.0, 0.0), (cos(pi), sin(pi))
"""Cosine and sine of a heading, to the last digit as the planner has them."""


def arm_of(arms: Table, i: int) -> Floats:
    """One arm's eight numbers."""
    a = arms[i]
    return (a[0], a[1], a[2], a[3], a[4], a[5], a[6], a[7])


def turned_in(tail_in: bool, x: float, y: float) -> Pair:
    """A place of V in the axes of L, the vehicle straight."""
    c, s = TAIL_IN if tail_in else NOSE_IN
    return (c * x - s * y, s * x + c * y)


def served_by(tail_in: bool, corner: int) -> int:
    """Index of the arm under a corner."""
    return 3 - corner if tail_in else corner


def rays_of(arm: Floats, teeth: Pair) -> list[Pair]:
    """Cosine and sine of an arm's direction at every tooth; none where it is free."""
    rays = [(1.0, 0.0) for _ in range(0)]
    if teeth[0] > 0.0:
        first, last = tooth_range(arm, teeth)
        for k in range(first, last + 1):
            angle = arm[2] + arm[3] * (teeth[1] + k * teeth[0])
            rays.append((cos(angle), sin(angle)))
    return rays


def arm_spans(arm: Floats, rays: list[Pair], at: Pair, zone: Pair) -> list[Span]:
    """Spots of one arm, tooth by tooth; joined where it is free and has no `rays`."""
    if len(rays) == 0:
        return join(sector_windows(arm, at, zone))
    spans = [(1.0, 0.0) for _ in range(0)]
    for ray in rays:
        low, high = ray_window(arm, ray, at, zone)
        if low <= high:
            spans.append((low, high))
    return spans


def join(spans: list[Span]) -> list[Span]:
    """Union of closed intervals, in rising order, in the same list.

    Decision: lists are changed in place here and below, as making lists is what costs time.
    """
    if len(spans) > 1 and spans[0] > spans[-1]:
        spans.reverse()  # teeth come in rising or in falling order
    for i in range(1, len(spans)):
        here = spans[i]
        j = i
        while j > 0 and spans[j - 1] > here:
            spans[j] = spans[j - 1]
            j -= 1
        spans[j] = here
    last = 0
    for i in range(1, len(spans)):
        low, high = spans[i]
        if low <= spans[last][1]:
            spans[last] = (spans[last][0], max(high, spans[last][1]))
        else:
            last += 1
            spans[last] = (low, high)
    while len(spans) > last + 1:
        spans.pop()
    return spans


def common(windows: list[Span], spans: list[Span]) -> list[Span]:
    """Points of a union that lie in some of the spans, which come in any order: a new union."""
    found = [(1.0, 0.0) for _ in range(0)]
    for low, high in windows:
        for a, b in spans:
            if max(low, a) <= min(high, b):
                found.append((max(low, a), min(high, b)))
    return join(found)


def put_in_order(values: list[float]) -> None:
    """Values in rising order, each once, in the same list."""
    for i in range(1, len(values)):
        here = values[i]
        j = i
        while j > 0 and values[j - 1] > here:
            values[j] = values[j - 1]
            j -= 1
        values[j] = here
    last = 0
    for i in range(1, len(values)):
        if values[i] != values[last]:
            last += 1
            values[last] = values[i]
    while len(values) > last + 1:
        values.pop()


def same_teeth(spans: list[Span], a: float, b: float, c: float) -> bool:
    """Whether the same spans work from a to b as from b to c."""
    for low, high in spans:  # noqa: SIM110 - decision: plain loops compile
        if (low <= a and high >= b) != (low <= b and high >= c):
            return False
    return True


def run_middles(arms: list[list[Span]], low: float, high: float) -> list[float]:
    """Middles of the runs of a window in which the same teeth of every arm work."""
    cuts = [low, high]
    for spans in arms:
        for a, b in spans:
            if low < a < high:
                cuts.append(a)
            if low < b < high:
                cuts.append(b)
    put_in_order(cuts)
    if len(cuts) == 1:
        return [(low + high) / 2]
    middles = [0.0 for _ in range(0)]
    start = cuts[0]
    for i in range(1, len(cuts)):
        alike = i + 1 < len(cuts)
        if alike:
            for spans in arms:
                alike = alike and same_teeth(spans, cuts[i - 1], cuts[i], cuts[i + 1])
        if not alike:
            middles.append((start + cuts[i]) / 2)
            start = cuts[i]
    return middles


def later(a: float, b: float, middle: float, tail_in: bool) -> bool:
    """Whether spot a comes after spot b: farther from the middle, else with the nose ahead."""
    one = floor(abs(a - middle) * 1e9 + 0.5)
    two = floor(abs(b - middle) * 1e9 + 0.5)
    if one != two:
        return one > two
    return a < b if tail_in else a > b


def spots_of(arms: list[list[Span]], low: float, high: float, tail_in: bool) -> list[float]:
    """The planner's spots in a window: the middle, then middles of runs of teeth, outward."""
    middle = (low + high) / 2
    quarter = (high - low) / 4
    runs = run_middles(arms, low, high)
    step = max(1, -(-len(runs) // (MOST_SPOTS - 3)))
    others = [runs[i] for i in range(step // 2, len(runs), step)]
    if quarter > 0.02:
        others.append(low + quarter)
        others.append(high - quarter)
    for i in range(1, len(others)):
        here = others[i]
        j = i
        while j > 0 and later(others[j - 1], here, middle, tail_in):
            others[j] = others[j - 1]
            j -= 1
        others[j] = here
    found = [middle]
    for spot in others:
        place = known_spot(found, spot)
        if place < len(found):
            found[place] = spot
        else:
            found.append(spot)
    while len(found) > MOST_SPOTS:
        found.pop()
    return found


def known_spot(found: list[float], spot: float) -> int:
    """Index of a spot that is the same to the micrometre; past the end where there is none."""
    for i in range(len(found)):
        if floor(found[i] * 1e6 + 0.5) == floor(spot * 1e6 + 0.5):
            return i
    return len(found)


def placed(arm: Floats, teeth: Pair, at: Pair, zone: Pair) -> tuple[bool, Floats]:
    """An arm set under a point: (swing, reach, pad x, pad y, along, across) in the axes of L."""
    if teeth[0] > 0.0:
        found, _, swing, reach = best_tooth(arm, teeth, at, zone)
    else:
        found, swing, reach = nearest_in_sector(arm, at, zone)
    angle = arm[2] + arm[3] * swing
    x = arm[0] + reach * cos(angle)
    y = arm[1] + reach * sin(angle)
    return (found, (swing, reach, x, y, x - at[0], y - at[1]))
