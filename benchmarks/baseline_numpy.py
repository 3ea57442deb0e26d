"""What one would write without exact windows: a grid over spots with NumPy, clearances by Shapely.

One vehicle in one bay: every spot on a 5 mm grid, all teeth of all arms at once as arrays, loads of
four springs at every spot, and Shapely's vectorised distances for the spots that are left. Written
to be fast: nothing is looped in Python over spots or teeth. Its windows are those of the grid, so
agreement with the planner is to one grid step.

Run: python -m benchmarks.baseline_numpy [vehicles]
"""

from __future__ import annotations

import sys
import time

import numpy as np
import shapely

from tests import batch_cases as cases
from underset.planner.candidates import Approach, spot_windows_of
from underset.studies import batch_columns as at
from underset.studies import batch_compile
from underset.studies.batch_build import BatchBay
from underset.studies.batch_fleet import rows_of

STEP = 0.005
SPOTS = np.arange(-1.0, 4.0, STEP)


def reached(v: np.ndarray, bay: BatchBay, tail_in: bool) -> np.ndarray:
    """Spots of the grid at which all four arms have a tooth: (spots,) of truth."""
    figures, sign = bay.lift.figures, -1.0 if tail_in else 1.0
    good = np.ones(len(SPOTS), dtype=bool)
    for corner in range(4):
        arm = bay.lift.arms[3 - corner if tail_in else corner]
        pitch, offset = figures[at.PITCH], figures[at.OFFSET]
        first, last = np.ceil((arm[4] - offset) / pitch), np.floor((arm[5] - offset) / pitch)
        angle = arm[2] + arm[3] * (offset + pitch * np.arange(first, last + 1))
        x = SPOTS[:, None] + sign * v[at.POINT_X + corner] - arm[0]
        y = sign * v[at.POINT_Y + corner] - arm[1]
        low = np.full((len(SPOTS), len(angle)), arm[6])
        high = np.full_like(low, arm[7])
        for place, unit, half in (
            (x, np.cos(angle), v[at.ZONE_ALONG]),
            (np.broadcast_to(y, x.shape), np.sin(angle), v[at.ZONE_ACROSS]),
        ):
            with np.errstate(divide="ignore", invalid="ignore"):
                ends = np.stack([(place - half) / unit, (place + half) / unit])
            low, high = np.maximum(low, ends.min(axis=0)), np.minimum(high, ends.max(axis=0))
        good &= (low <= high).any(axis=1)
    if not np.isnan(figures[at.CG_LOW]):
        cg = SPOTS + sign * v[at.CG_X]
        good &= cg - v[at.CG_X_TOL] >= figures[at.CG_LOW]
        good &= cg + v[at.CG_X_TOL] <= figures[at.CG_HIGH]
    return good


def borne(v: np.ndarray, bay: BatchBay) -> bool:
    """Split of the loads by even springs at the points, nominal with its tolerance."""
    pads = np.stack([v[at.POINT_X : at.POINT_X + 4], v[at.POINT_Y : at.POINT_Y + 4]], axis=1)
    design = np.column_stack([np.ones(4), pads])
    moments = np.linalg.solve(design.T @ design, np.array([1.0, v[at.CG_X], v[at.CG_Y]]))
    front = (design @ moments)[:2].sum()
    spread = v[at.CG_X_TOL] * abs(np.linalg.solve(design.T @ design, design[:2].sum(axis=0))[1])
    return bool(max(front, 1.0 - front) + spread <= bay.lift.figures[at.SPLIT_LIMIT])


def clear(v: np.ndarray, bay: BatchBay, tail_in: bool, spots: np.ndarray) -> np.ndarray:
    """Spots at which straight arms of the tip's width keep 25 mm from the tyres, by Shapely."""
    sign, good = -1.0 if tail_in else 1.0, np.ones(len(spots), dtype=bool)
    x, y = v[at.TYRE_DIAMETER] / 2, v[at.TYRE_WIDTH] / 2
    for corner in range(4):
        index = 3 - corner if tail_in else corner
        arm, width = bay.lift.arms[index], bay.profiles[index, 0, 1]
        px = spots + sign * v[at.POINT_X + corner]
        py = np.full_like(px, sign * v[at.POINT_Y + corner])
        ends = np.stack([np.column_stack([np.full_like(px, arm[0]), np.full_like(px, arm[1])]),
                         np.column_stack([px, py])], axis=1)  # fmt: skip
        lines = shapely.linestrings(ends)
        for axle in range(2):
            for side in (1.0, -1.0):
                cx = spots + sign * (-v[at.WHEELBASE] * axle)
                cy = side * v[at.TRACK_FRONT + axle] / 2
                tyres = shapely.box(cx - x, cy - y, cx + x, cy + y)
                good &= shapely.distance(lines, tyres) >= width + 0.025
    return good


def plan(v: np.ndarray, bay: BatchBay) -> bool:
    """Whether some spot of the grid passes."""
    if not borne(v, bay):
        return False
    for tail_in in (False, True):
        spots = SPOTS[reached(v, bay, tail_in)]
        if len(spots) and clear(v, bay, tail_in, spots).any():
            return True
    return False


def windows_agree(count: int) -> tuple[int, int]:
    """(grid spots compared, spots that differ farther than one step from a window's end)."""
    bays, columns = cases.bay_cases(), cases.columns_of(count)
    rows = rows_of(columns, 1.0)[0]
    compared = wrong = 0
    for name, bay in cases.tables(bays).items():
        for i in range(count):
            case = cases.case_of(bays[name], columns, i)
            for tail_in, heading in ((False, "nose-in"), (True, "tail-in")):
                approach = Approach(case, heading, case.vehicle.point_sets[0])
                exact = [(w.low, w.high) for w in spot_windows_of(approach)]
                inside = np.zeros(len(SPOTS), dtype=bool)
                near = np.zeros(len(SPOTS), dtype=bool)
                for low, high in exact:
                    inside |= (low <= SPOTS) & (high >= SPOTS)
                    near |= (abs(SPOTS - low) < STEP) | (abs(SPOTS - high) < STEP)
                differ = reached(rows[i], bay, tail_in) != inside
                compared += len(SPOTS)
                wrong += int((differ & ~near).sum())
    return compared, wrong


def main(count: int = 200) -> None:
    compared, wrong = windows_agree(min(count, 20))
    print(f"windows: {compared} grid spots compared with the exact ones, {wrong} differ")
    grid, ours = rates(count)
    print(f"grid: {grid:,.0f} plans a second (windows, split, tyres only)")
    print(f"batch: {ours:,.0f} plans a second (all its checks); ratio {ours / grid:.1f}")


def rates(count: int) -> tuple[float, float]:
    """Plans a second of processor time of the grid and of the batch, over the sample's bays."""
    tables = cases.tables(cases.bay_cases())
    rows, zones, counts = rows_of(
        cases.columns_of(count), next(iter(cases.bay_cases().values())).policy["twist_high"]
    )
    began = time.process_time()
    for bay in tables.values():
        for v in rows:
            plan(v, bay)
    grid = time.process_time() - began
    kernels = batch_compile.compiled() if batch_compile.can_compile() else batch_compile.plain()
    answers = np.zeros((count, at.ANSWER_WIDTH))
    for bay in tables.values():  # compiled or loaded before the clock starts
        kernels.plan_many(rows[:1], zones[:1], counts[:1], bay.lift, bay.profiles, answers[:1])
    began = time.process_time()
    for bay in tables.values():
        kernels.plan_many(rows, zones, counts, bay.lift, bay.profiles, answers)
    ours = time.process_time() - began
    plans = count * len(tables)
    return plans / grid, plans / ours


if __name__ == "__main__":
    main(*[int(x) for x in sys.argv[1:2]])
