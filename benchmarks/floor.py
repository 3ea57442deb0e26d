"""The floor: the same arithmetic as a bare compiled loop, to tell how far the batch stands from it.

For each vehicle in each bay and each heading: the spans of spots of all teeth of four arms, what
the four have in common with the balance's limits, the widest span's middle, the loads of four even
springs at the corners of the CG's tolerance, and the distance of four straight arms from four
tyres. No stacks, no screws, no zones, no order of settings, no reasons: nothing that a plan could
be printed from, which is what the rest of the batch's time buys.

Run: python -m benchmarks.floor [vehicles]
"""

from __future__ import annotations

import sys
import time
from math import ceil, cos, floor, hypot, inf, sin
from typing import Any

import numpy as np

from tests import batch_cases as cases
from underset.studies import batch_columns as at
from underset.studies.batch_build import BatchBay
from underset.studies.batch_fleet import rows_of

MOST_TEETH = 256
GAP = 0.025


def spans_of_arm(arm: Any, figures: Any, point: Any, zone: Any, spans: Any) -> int:
    """Spans of the front axle's place at which this arm has a tooth, low to high; how many."""
    pitch, offset, count = figures[at.PITCH], figures[at.OFFSET], 0
    first, last = ceil((arm[4] - offset) / pitch), floor((arm[5] - offset) / pitch)
    for tooth in range(first, min(last + 1, first + MOST_TEETH)):
        angle = arm[2] + arm[3] * (offset + pitch * tooth)
        c, s = cos(angle), sin(angle)
        low, high = arm[6], arm[7]
        y = point[1] - arm[1]
        if abs(s) > 1e-12:
            one, two = (y - zone[1]) / s, (y + zone[1]) / s
            low, high = max(low, min(one, two)), min(high, max(one, two))
        elif abs(y) > zone[1]:
            continue
        if low <= high:
            one, two = arm[0] + low * c, arm[0] + high * c
            spans[count, 0] = min(one, two) - zone[0] - point[0]
            spans[count, 1] = max(one, two) + zone[0] - point[0]
            count += 1
    for i in range(1, count):
        for k in range(i, 0, -1):
            if spans[k, 0] >= spans[k - 1, 0]:
                break
            for side in range(2):
                spans[k, side], spans[k - 1, side] = spans[k - 1, side], spans[k, side]
    return count


def widest(spans: Any, counts: Any, low: float, high: float) -> tuple[float, float]:
    """The widest span that all four arms and the limits have in common."""
    best, at_low, start = (0.0, -1.0), low, low
    while start < high:
        end, again = high, inf
        for arm in range(4):
            reach = -inf
            for k in range(counts[arm]):
                if spans[arm, k, 0] <= max(start, reach):
                    reach = max(reach, spans[arm, k, 1])
                elif spans[arm, k, 0] > start:
                    again = min(again, spans[arm, k, 0])
            end = min(end, reach)
        if end > start and end - start > best[1] - best[0]:
            best = (start, end)
        at_low = max(start, end)
        start = again if end <= start else max(at_low, again)
    return best


def most_on_one_end(v: Any) -> float:
    """Greatest share of one end's two pads on even springs, over the corners of the CG."""
    xm = ym = xx = yy = xy = 0.0
    for i in range(4):
        xm += v[at.POINT_X + i] / 4
        ym += v[at.POINT_Y + i] / 4
    for i in range(4):
        x, y = v[at.POINT_X + i] - xm, v[at.POINT_Y + i] - ym
        xx, yy, xy = xx + x * x, yy + y * y, xy + x * y
    det, worst = xx * yy - xy * xy, 0.0
    for corner in range(4):
        gx = v[at.CG_X] + (1 if corner & 1 else -1) * v[at.CG_X_TOL] - xm
        gy = v[at.CG_Y] + (1 if corner & 2 else -1) * v[at.CG_Y_TOL] - ym
        a, b = (gx * yy - gy * xy) / det, (gy * xx - gx * xy) / det
        front = 0.0
        for i in range(2):
            front += 0.25 + a * (v[at.POINT_X + i] - xm) + b * (v[at.POINT_Y + i] - ym)
        worst = max(worst, front, 1.0 - front)
    return worst


def tyres_clear(v: Any, arms: Any, tail_in: bool, spot: float) -> bool:
    """Whether straight arms keep their half width and the gap from the four tyres."""
    sign = -1.0 if tail_in else 1.0
    dx, dy = v[at.TYRE_DIAMETER] / 2, v[at.TYRE_WIDTH] / 2
    for corner in range(4):
        arm = arms[3 - corner if tail_in else corner]
        px, py = spot + sign * v[at.POINT_X + corner], sign * v[at.POINT_Y + corner]
        length = hypot(px - arm[0], py - arm[1])
        for axle in range(2):
            for side in (-1.0, 1.0):
                cx = spot - sign * v[at.WHEELBASE] * axle
                cy = side * v[at.TRACK_FRONT + axle] / 2
                gap = inf
                for end in range(4):
                    qx, qy = cx + (dx if end & 1 else -dx), cy + (dy if end & 2 else -dy)
                    t = ((qx - arm[0]) * (px - arm[0]) + (qy - arm[1]) * (py - arm[1])) / length**2
                    t = min(max(t, 0.0), 1.0)
                    gap = min(
                        gap, hypot(arm[0] + t * (px - arm[0]) - qx, arm[1] + t * (py - arm[1]) - qy)
                    )
                if gap < GAP + 0.05:
                    return False
    return True


def plan_all(rows: Any, figures: Any, arms: Any, fits: Any) -> None:
    """Whether each vehicle fits, by the bare arithmetic."""
    spans, counts = np.zeros((4, MOST_TEETH, 2)), np.zeros(4, dtype=np.int64)
    for n in range(len(rows)):
        v = rows[n]
        fits[n] = False
        for tail_in in (False, True):
            sign = -1.0 if tail_in else 1.0
            for corner in range(4):
                point = (sign * v[at.POINT_X + corner], sign * v[at.POINT_Y + corner])
                zone = (v[at.ZONE_ALONG], v[at.ZONE_ACROSS])
                arm = 3 - corner if tail_in else corner
                counts[corner] = spans_of_arm(arms[arm], figures, point, zone, spans[corner])
            low, high = -10.0, 10.0
            if figures[at.CG_LOW] == figures[at.CG_LOW]:
                low = figures[at.CG_LOW] - sign * v[at.CG_X] + v[at.CG_X_TOL]
                high = figures[at.CG_HIGH] - sign * v[at.CG_X] - v[at.CG_X_TOL]
            window = widest(spans, counts, low, high)
            good = window[1] > window[0] and most_on_one_end(v) <= figures[at.SPLIT_LIMIT]
            if good and tyres_clear(v, arms, tail_in, (window[0] + window[1]) / 2):
                fits[n] = True


def compiled() -> Any:
    """The loop compiled in memory, each function as it stands above."""
    import numba

    for name in ("spans_of_arm", "widest", "most_on_one_end", "tyres_clear", "plan_all"):
        globals()[name] = numba.njit(globals()[name])
    return globals()["plan_all"]


def rate(count: int, runs: int = 5) -> float:
    """Plans a second of one core's own time over the sample's bays; the median of some runs."""
    bays: list[BatchBay] = list(cases.tables(cases.bay_cases()).values())
    rows = np.ascontiguousarray(rows_of(cases.columns_of(count), 2.3e6)[0])
    loop, fits, took = compiled(), np.zeros(count, dtype=bool), []
    tables = [(np.asarray(b.lift.figures), np.asarray(b.lift.arms)) for b in bays]
    loop(rows[:1], *tables[0], fits[:1])
    for _ in range(runs):
        began = time.process_time()
        for figures, arms in tables:
            loop(rows, figures, arms, fits)
        took.append(time.process_time() - began)
    return len(bays) * count / sorted(took)[runs // 2]


def main(count: int = 5000) -> None:
    print(f"bare compiled loop: {rate(count):,.0f} plans a second of one core")


if __name__ == "__main__":
    main(*[int(x) for x in sys.argv[1:2]])
