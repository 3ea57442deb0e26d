"""Windows, spots and arms of the batch: plain functions that a compiler takes as they are.

The same rules as the planner's: exact windows, its order of spots, its best tooth for each point.
"""

from __future__ import annotations

from math import cos, floor, pi, sin
from typing import Any, TypeAlias

from underset.geometry.kernels import (
    best_tooth,
    nearest_in_sector,
    sector_windows,
    tooth_range,
    tooth_window,
)

Floats = tuple[float, ...]
Pair = tuple[float, float]
Span = tuple[float, float]
Table: TypeAlias = Any
MOST_SPOTS = 7


def arm_of(arms: Table, i: int) -> Floats:
    """One arm's eight numbers."""
    a = arms[i]
    return (a[0], a[1], a[2], a[3], a[4], a[5], a[6], a[7])


def turned_in(tail_in: bool, x: float, y: float) -> Pair:
    """A place of V in the axes of L, the vehicle straight."""
    yaw = pi if tail_in else 0.0
    c = cos(yaw)
    s = sin(yaw)
    return (c * x - s * y, s * x + c * y)


def served_by(tail_in: bool, corner: int) -> int:
    """Index of the arm under a corner."""
    return 3 - corner if tail_in else corner


def arm_spans(arm: Floats, teeth: Pair, at: Pair, zone: Pair) -> list[Span]:
    """Spots of one arm, tooth by tooth; joined where it is free."""
    if teeth[0] <= 0.0:
        return joined(sector_windows(arm, at, zone))
    spans = [(1.0, 0.0) for _ in range(0)]
    first, last = tooth_range(arm, teeth)
    for k in range(first, last + 1):
        low, high = tooth_window(arm, teeth[1] + k * teeth[0], at, zone)
        if low <= high:
            spans.append((low, high))
    return spans


def joined(spans: list[Span]) -> list[Span]:
    """Union of closed intervals, in rising order."""
    ordered = [s for s in spans if s[0] <= s[1]]
    if len(ordered) > 1 and ordered[0] > ordered[-1]:
        ordered.reverse()  # teeth come in rising or in falling order
    for i in range(1, len(ordered)):
        here = ordered[i]
        j = i
        while j > 0 and ordered[j - 1] > here:
            ordered[j] = ordered[j - 1]
            j -= 1
        ordered[j] = here
    merged = [(1.0, 0.0) for _ in range(0)]
    for low, high in ordered:
        if merged and low <= merged[-1][1]:
            merged[-1] = (merged[-1][0], max(high, merged[-1][1]))
        else:
            merged.append((low, high))
    return merged


def common(a: list[Span], b: list[Span]) -> list[Span]:
    """Points in both of two unions."""
    found = [(1.0, 0.0) for _ in range(0)]
    i = 0
    j = 0
    while i < len(a) and j < len(b):
        low = max(a[i][0], b[j][0])
        high = min(a[i][1], b[j][1])
        if low <= high:
            found.append((low, high))
        if a[i][1] < b[j][1]:
            i += 1
        else:
            j += 1
    return joined(found)


def ordered_floats(values: list[float]) -> list[float]:
    """Values in rising order, each once."""
    rising = [v for v in values]  # noqa: C416 - decision: a copy that compiles
    for i in range(1, len(rising)):
        here = rising[i]
        j = i
        while j > 0 and rising[j - 1] > here:
            rising[j] = rising[j - 1]
            j -= 1
        rising[j] = here
    once = [v for v in rising[:1]]  # noqa: C416
    for v in rising[1:]:
        if v != once[-1]:
            once.append(v)
    return once


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
        for span in spans:
            cuts.extend([x for x in span if low < x < high])
    cuts = ordered_floats(cuts)
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


def spots_of(arms: list[list[Span]], low: float, high: float) -> list[float]:
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
        while j > 0 and abs(others[j - 1] - middle) > abs(here - middle):
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
    return found[:MOST_SPOTS]


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
