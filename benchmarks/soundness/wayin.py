"""Second judge, way in: each arm from parked to set at lowest height, on a plain grid.

Cells of swing x reach; the arm's outline of each cell's middle is measured against tyres and low
zones by Shapely, and the cells are flooded from parked. No place of the arm within a cell is
farther from its middle than `_away`. Sure of a way, a cell is free only where its middle has that
much room over the gap: a way found is one. Sure of none, a cell is shut only where its middle lacks
that much: where no way is found there is none, however coarse the grid.

An arm's own column and the other arm of its side are not looked at.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from benchmarks.soundness.figures import low, sure, value
from benchmarks.soundness.placing import CORNERS, pose_of
from benchmarks.soundness.room import EPS, placed, tyres
from benchmarks.soundness.stacks import lengths

Data = dict[str, Any]
GRIDS = ((1.0, 0.02), (0.5, 0.01), (0.25, 0.005))  # steps of swing (deg) and reach (m)


def ways_in(setting: Data, shop: Data, *, sure_of_it: bool, grids: int = 3) -> list[str]:
    """Arms for which no grid finds a way in (the first, where sure); what is missing to look."""
    told = []
    for corner in CORNERS:
        task = _task(setting, shop, corner, sure_of_it)
        if isinstance(task, str):
            told.append(f"{corner}: {task}")
        elif not _open(task, sure_of_it, grids):
            told.append(f"{corner}: way in")
        if told and sure_of_it:
            break
    return told


@dataclass(frozen=True)
class Task:
    """One arm: where it turns, from where to where, its outline and what it may meet."""

    pivot: np.ndarray
    signs: tuple[int, int]
    start: tuple[float, float]
    goal: tuple[float, float]
    swings: tuple[float, float]
    reaches: tuple[float, float]
    profile: list[tuple[float, float, float]]
    pad: float
    parts: list[tuple[float, BaseGeometry]]  # outlines met by what lies farther than this from tip
    tip: BaseGeometry
    gap: float

    def tips(self, swing: np.ndarray, reach: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Places of the tip and directions from the pivot to it."""
        end, side = self.signs
        u = np.stack([end * np.sin(swing), -side * np.cos(swing)], axis=-1)
        return self.pivot + reach[:, None] * u, u

    def outlines(self, swing: np.ndarray, reach: np.ndarray, start: float) -> np.ndarray:
        """The arm in plan from `start` behind its tip to its pivot, or nothing where too short."""
        tip, u = self.tips(swing, reach)
        normal = np.stack([-u[:, 1], u[:, 0]], axis=-1)
        at = [x for x, _, _ in self.profile]
        cuts = [start, *(x for x in at if x > start)]
        behind = np.minimum(np.array(cuts)[None, :], reach[:, None])
        behind = np.concatenate([behind, reach[:, None]], axis=1)
        wide = np.interp(behind, at, [w for _, w, _ in self.profile])
        middle = tip[:, None, :] - behind[:, :, None] * u[:, None, :]
        left = middle + wide[:, :, None] * normal[:, None, :]
        right = middle - wide[:, :, None] * normal[:, None, :]
        return np.asarray(shapely.polygons(np.concatenate([left, right[:, ::-1]], axis=1)))


def _task(setting: Data, shop: Data, corner: str, worst: bool) -> Task | str:
    bay, car = shop["bay"], shop["vehicle"]
    s = setting["arms"][corner]
    arm, head = bay["arms"][s["arm"]], shop["adapters"][s["stack"][-1]]
    parked, width = value(arm.get("parked_swing")), value(head.get("width"))
    profile, zones = arm.get("profile"), car.get("zones")
    if parked is None or width is None or profile is None or zones is None:
        return "needs parked swing, pad width, profile and zones"
    rows = sorted((sure(t["from_tip"]), sure(t["half_width"]), sure(t["top"])) for t in profile)
    pose, lowest = pose_of(setting), sure(bay["seat"]["lowest"])
    fixed, top = lengths(shop, s["stack"])[0], max(t for _, _, t in rows)
    wheels = tyres(car, pose, lowest + top, hanging=False, worst=worst)
    taller = tyres(car, pose, lowest + max(top, fixed), hanging=False, worst=worst)
    if wheels is None or taller is None:
        return "needs the tyres"
    gap, goal = shop["policy"]["gap_arm"], (math.radians(s["swing_deg"]), s["reach_m"])
    start = (parked, sure(arm["reach_low"]))
    name = s["arm"]
    parts, tip = [(0.0, shapely.union_all(wheels))], list(taller)
    for zone in zones:
        outline, room = placed(zone["outline"], pose), low(zone["underside"]) - lowest - gap
        behind = 0.0 if not zone.get("pass_under", True) else _from(rows, room, worst)
        parts += [(behind, outline)] if behind is not None else []
        tip += [outline] if behind == 0.0 or fixed > room else []
    return Task(
        np.array([sure(arm["pivot_x"]), sure(arm["pivot_y"])]),
        (1 if "front" in name else -1, 1 if "left" in name else -1), start, goal,
        _span(sure(arm["swing_low"]), sure(arm["swing_high"]), start[0], goal[0]),
        _span(sure(arm["reach_low"]), sure(arm["reach_high"]), start[1], goal[1]),
        rows, width / 2, parts, shapely.union_all(tip), gap,
    )  # fmt: skip


def _span(*values: float) -> tuple[float, float]:
    return min(values), max(values)


def _from(rows: list[tuple[float, float, float]], room: float, worst: bool) -> float | None:
    """How far behind its tip an arm stands higher than `room` over its seat; None: nowhere.

    At worst from the first such place on; at best from where it stands higher all the way in.
    """
    at, tops = [x for x, _, _ in rows], [t for _, _, t in rows]
    fine = np.arange(0.0, at[-1] + 0.01, 0.01)
    over = np.interp(fine, at, tops) > room
    if not worst:
        over = np.logical_and.accumulate(over[::-1])[::-1]
    return float(fine[np.argmax(over)]) if over.any() else None


# --- the grid ----------------------------------------------------------------------------------


def _open(task: Task, sure_of_it: bool, grids: int) -> bool:
    """Whether cells join parked to set: the straight way first, then ever finer grids."""
    if _straight(task, sure_of_it):
        return True
    # Sure of none: a grid that finds none. Sure of a way: a grid that finds one.
    if not all(_joined(task, *grid, False) for grid in GRIDS[:2]):
        return False
    return not sure_of_it or any(_joined(task, *grid, True) for grid in GRIDS[:grids])


def _away(task: Task, turn: float, step: float) -> float:
    """How far from the middle's any place of the arm may lie in one cell."""
    widest = max(w for _, w, _ in task.profile)
    return math.hypot(task.reaches[1] + task.pad + step, widest) * turn / 2 + step / 2


def _free(
    task: Task, swing: np.ndarray, reach: np.ndarray, away: float, sure_of_it: bool
) -> np.ndarray:
    """Which places of the arm keep their gap from everything, surely or perhaps."""
    more = (away if sure_of_it else -away) - EPS
    good = np.ones(len(swing), bool)
    tip, _ = task.tips(swing, reach)
    good &= ~_within(task.tip, shapely.points(tip), task.gap + more + task.pad)
    for behind, outline in task.parts:
        here = good & (reach > behind + 1e-6)
        at = np.flatnonzero(here)
        if len(at):
            arms = task.outlines(swing[at], reach[at], behind)
            good[at[_within(outline, arms, task.gap + more)]] = False
    return good


def _within(outline: BaseGeometry, things: np.ndarray, by: float) -> np.ndarray:
    """Which things lie within `by` of an outline; below zero: which enter it by more than that."""
    if outline.is_empty:
        return np.zeros(len(things), bool)
    if by < 0.0:
        outline = outline.buffer(by)
        if outline.is_empty:
            return np.zeros(len(things), bool)
    shapely.prepare(outline)
    return np.asarray(shapely.dwithin(outline, things, max(by, 0.0)))


def _axes(task: Task, turn: float, step: float) -> tuple[np.ndarray, np.ndarray]:
    """Middles of the cells, the limits among them."""
    (a, b), (p, q) = task.swings, task.reaches
    return (np.linspace(a, b, math.ceil((b - a) / turn) + 1),
            np.linspace(p, q, math.ceil((q - p) / step) + 1))  # fmt: skip


def _joined(task: Task, degrees: float, step: float, sure_of_it: bool) -> bool:
    turn = math.radians(degrees)
    swings, reaches = _axes(task, turn, step)
    a, b = (g.ravel() for g in np.meshgrid(swings, reaches, indexing="ij"))
    away = _away(task, turn, step)
    free = _free(task, a, b, away, sure_of_it).reshape(len(swings), len(reaches))
    ends = [(int(np.argmin(np.abs(swings - s))), int(np.argmin(np.abs(reaches - r))))
            for s, r in (task.start, task.goal)]  # fmt: skip
    return _flooded(free, ends[0], ends[1], corners=not sure_of_it)


def _flooded(
    free: np.ndarray, start: tuple[int, int], goal: tuple[int, int], *, corners: bool
) -> bool:
    """Breadth first from start to goal over free cells that share an edge, or a corner as well."""
    if not (free[start] and free[goal]):
        return False
    wet = np.zeros_like(free)
    wet[start] = True
    while not wet[goal]:
        grown = wet.copy()
        grown[1:] |= wet[:-1]
        grown[:-1] |= wet[1:]
        base = grown.copy() if corners else wet
        grown[:, 1:] |= base[:, :-1]
        grown[:, :-1] |= base[:, 1:]
        grown &= free
        if (grown == wet).all():
            return False
        wet = grown
    return True


def _straight(task: Task, sure_of_it: bool) -> bool:
    """Whether pulling in, swinging and pushing out alone is free, in steps of the finer grid."""
    turn, step = math.radians(GRIDS[1][0]), GRIDS[1][1]
    (s0, r0), (s1, r1) = task.start, task.goal
    inmost = task.reaches[0]
    legs = [(s0, r0), (s0, inmost), (s1, inmost), (s1, r1)]
    swing, reach = [], []
    for (a, p), (b, q) in pairwise(legs):
        count = math.ceil(max(abs(b - a) / turn, abs(q - p) / step)) + 1
        swing += list(np.linspace(a, b, count))
        reach += list(np.linspace(p, q, count))
    away = _away(task, turn, step)
    return bool(_free(task, np.array(swing), np.array(reach), away, sure_of_it).all())
