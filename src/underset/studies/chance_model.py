"""Draws over every stated tolerance and what they do to a setting, all draws at once.

Arrays have one row for each draw. The formulas are the judge's own at one point of the
tolerances, written anew on arrays: pad loads of a rigid body on equal springs (Euler 1773) plus
warp, margins and pushes by equilibrium. The arms are set anew under the true points in each draw,
as in the bay.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from math import pi

import numpy as np
from numpy.typing import NDArray

from underset.geometry import Arm, Teeth
from underset.setting.evaluate import Case
from underset.setting.loads import ARM_ORDER, split_limit
from underset.setting.place import ARM_PLACES, TAIL_IN
from underset.setting.result import CORNERS, Setting
from underset.setting.state import PushCase, State
from underset.statics import Item
from underset.units import G0

Array = NDArray[np.float64]
FAR = 1.0e6  # N: a push that no one can give


@dataclass(slots=True)
class Draws:
    """Named inputs, each an array of draws; what is exactly known is not drawn."""

    rng: np.random.Generator
    count: int
    columns: dict[str, Array] = field(default_factory=dict)

    def even(self, name: str, middle: float, half: float) -> Array:
        """Anywhere within middle ± half alike: how a stated tolerance is taken."""
        if half <= 0.0:
            return np.full(self.count, middle)
        return self._kept(name, self.rng.uniform(middle - half, middle + half, self.count))

    def bell(self, name: str, middle: float, half: float) -> Array:
        """Normal with two standard deviations to the half width: how a class prior is meant."""
        if half <= 0.0:
            return np.full(self.count, middle)
        return self._kept(name, self.rng.normal(middle, half / 2.0, self.count))

    def _kept(self, name: str, drawn: Array) -> Array:
        self.columns[name] = drawn
        return drawn


@dataclass(frozen=True, slots=True)
class Entry:
    """A ledger entry drawn: mass and place."""

    mass: Array
    x: Array
    y: Array
    z: Array


@dataclass(frozen=True, slots=True)
class Stood:
    """Where everything stands in each draw: contact places in V, reach, pads on points, levels."""

    x: Array  # (draws, 4)
    y: Array
    reached: Array  # (draws, 4) as truth values
    off: Array  # (draws, 4) point to pad centre over the half width of the head
    level: Array  # (draws, 4) height error of each pad
    roll: Array
    stiffness: Array
    twist: Array
    friction: Array
    spot: Array
    sideways: Array
    yaw: Array
    screw_room: Array
    up: float


def draw_items(case: Case, draws: Draws) -> dict[str, Entry]:
    """Every entry of the ledger once, whatever states it is in."""
    basis = case.vehicle.basis
    rows: dict[str, Item] = {}
    for state in case.states:
        for item in state.items:
            name = item.name.removesuffix(" off")
            whole = Item(name, abs(item.mass), item.mass_tol, item.place, item.place_tol)
            rows.setdefault(item.name if item.name.endswith(" moved") else name, whole)
    found: dict[str, Entry] = {}
    for name, item in rows.items():
        kerb = case.vehicle.kerb is not None and name == case.vehicle.kerb.name
        told = (basis.mass, basis.aft, basis.side, basis.height) if kerb else ("",) * 4
        drawn = [
            (draws.bell if source.startswith("prior") else draws.even)(f"{what} of {name}", at, tol)
            for what, source, at, tol in zip(
                ("mass", "balance along", "balance across", "height"),
                told,
                (item.mass, *item.place),
                (item.mass_tol, *item.place_tol),
                strict=True,
            )
        ]
        found[name] = Entry(*drawn)
    for name, entry in found.items():
        if name.endswith(" moved"):  # the same part, weighed once
            once = found.get(name.removesuffix(" moved"))
            if once is not None:
                found[name] = Entry(once.mass, entry.x, entry.y, entry.z)
    return found


def draw_standing(case: Case, setting: Setting, draws: Draws) -> Stood:
    """Stop, points, arms set anew, levels and springs of every draw."""
    policy, points = case.policy, case.point_set(setting.point_set).points
    spot = draws.even("stop along", setting.spot, policy["park_along"])
    sideways = draws.even("stop across", setting.sideways, policy["park_across"])
    yaw = draws.even("stop askew", setting.yaw, policy["park_yaw"])
    turn = yaw + (pi if setting.heading == TAIL_IN else 0.0)
    x, y, reached, off = _pads(case, setting, draws, (spot, sideways, turn))
    level = np.column_stack(
        [draws.even(f"level of pad {c}", 0.0, policy["level_pad"]) for c in CORNERS]
    )
    known = case.bay.carriage_difference
    apart = (
        draws.even("level of the carriages", 0.0, policy["level_carriage"])
        if known is None
        else np.where(draws.rng.uniform(size=draws.count) < 0.5, known, -known)
    )
    level += np.outer(apart / 2, (1.0, -1.0, 1.0, -1.0))
    low, high = policy["pad_stiffness_low"], policy["pad_stiffness_high"]
    soft, stiff = case.vehicle.twist
    return Stood(
        x, y, reached, off, level, np.arctan(apart / case.bay.carriage_span),
        draws.even("stiffness of the arms", (low + high) / 2, (high - low) / 2),
        draws.even("stiffness of the body", (soft + stiff) / 2, (stiff - soft) / 2),
        _friction(case, setting, draws), spot, sideways, yaw, _screw_room(case, setting, draws),
        sum(p.up for p in points) / 4,
    )  # fmt: skip


def _pads(
    case: Case, setting: Setting, draws: Draws, place: tuple[Array, Array, Array]
) -> tuple[Array, Array, Array, Array]:
    """Contact places in V, whether reached, and points off their pads; one column for each."""
    spot, sideways, turn = place
    points = case.point_set(setting.point_set).points
    cells: list[list[Array]] = []
    for p, a in zip(points, setting.arms, strict=True):
        px = draws.even(f"place along of point {p.corner}", p.place[0], p.place_tol[0])
        py = draws.even(f"place across of point {p.corner}", p.place[1], p.place_tol[1])
        at = (
            spot + px * np.cos(turn) - py * np.sin(turn),
            sideways + px * np.sin(turn) + py * np.cos(turn),
        )
        arm = case.bay.arms[ARM_PLACES.index(a.arm)]
        reached, along, across = set_arm(arm, case, at, turn, (p.zone.along, p.zone.across))
        head = case.shelf.types[a.stack_ids[-1]]
        half = (head.width or 0.0) / 2 or np.inf
        off = np.abs(across) if p.runs_along else np.hypot(along, across)
        cells.append([px + (along if p.runs_along else 0.0), py, reached, off / half])
    x, y, reached, off = (np.column_stack([c[k] for c in cells]) for k in range(4))
    return x, y, reached, off


def _friction(case: Case, setting: Setting, draws: Draws) -> Array:
    # Decision: clean rubber lies anywhere between greasy and clean; anything else is greasy or has
    # up to half as much grip again.
    low = case.policy["friction"]
    clean = all(case.shelf.types[a.stack_ids[-1]].clean_rubber for a in setting.arms)
    high = case.policy["friction_clean"] if clean else 1.5 * low
    return draws.even("friction of the pads", (low + high) / 2, (high - low) / 2)


def _screw_room(case: Case, setting: Setting, draws: Draws) -> Array:
    """Room left on the screws to level the four pads at one seat height."""
    lows, highs = [], []
    points = case.point_set(setting.point_set).points
    for p, a in zip(points, setting.arms, strict=True):
        types = [case.shelf.types[i] for i in a.stack_ids]
        up = draws.even(f"height of point {p.corner}", p.up, p.up_tol)
        highs.append(up - sum(t.height for t in types))
        lows.append(highs[-1] - sum(t.travel for t in types))
    room: Array = np.min(highs, axis=0) - np.max(lows, axis=0)
    return room


def set_arm(
    arm: Arm, case: Case, at: tuple[Array, Array], turn: Array, zone: tuple[float, float]
) -> tuple[Array, Array, Array]:
    """An arm set under points (draws,): reached or not, pad less point along and across in V.

    On each tooth the reach of least error, measured in half lengths of the zone; the best tooth.
    A stepless arm is taken to stand right under the point where its limits allow.
    """
    restraint = case.bay.restraint
    dx, dy = at[0] - arm.pivot[0], at[1] - arm.pivot[1]
    if not isinstance(restraint, Teeth):
        bearing = arm.turn * (np.arctan2(dy, dx) - arm.inward)
        middle = (arm.swing_low + arm.swing_high) / 2
        swing = bearing - 2 * pi * np.floor((bearing - middle) / (2 * pi) + 0.5)
        reach = np.hypot(dx, dy)
        inside = (swing >= arm.swing_low - 1e-9) & (swing <= arm.swing_high + 1e-9)
        inside &= (reach >= arm.reach_low - 1e-9) & (reach <= arm.reach_high + 1e-9)
        return inside.astype(np.float64), np.zeros_like(dx), np.zeros_like(dx)
    first = int(np.ceil((arm.swing_low - 1e-9 - restraint.offset) / restraint.pitch))
    last = int(np.floor((arm.swing_high + 1e-9 - restraint.offset) / restraint.pitch))
    swings = restraint.offset + restraint.pitch * np.arange(first, last + 1)
    angle = (arm.inward + arm.turn * swings)[None, :] - turn[:, None]
    ux, uy = np.cos(angle), np.sin(angle)  # arm directions in the vehicle's axes
    cos_t, sin_t = np.cos(turn)[:, None], np.sin(turn)[:, None]
    vx, vy = dx[:, None] * cos_t + dy[:, None] * sin_t, dy[:, None] * cos_t - dx[:, None] * sin_t
    wx, wy = zone[1] ** 2, zone[0] ** 2
    weight = np.maximum(wx * ux**2 + wy * uy**2, 1e-18)
    low, high = _reach_band(vx, ux, zone[0], arm)
    low2, high2 = _reach_band(vy, uy, zone[1], arm)
    low, high = np.maximum(low, low2), np.minimum(high, high2)
    reach = np.clip((wx * vx * ux + wy * vy * uy) / weight, low, np.maximum(low, high))
    along, across = reach * ux - vx, reach * uy - vy
    error = (along / max(zone[0], 1e-9)) ** 2 + (across / max(zone[1], 1e-9)) ** 2
    error = np.where(low <= high + 1e-12, error, np.inf)
    best = np.argmin(error, axis=1)[:, None]
    picked = [np.take_along_axis(v, best, axis=1)[:, 0] for v in (error, along, across)]
    reached = np.isfinite(picked[0])
    return (
        reached.astype(np.float64),
        np.where(reached, picked[1], 0.0),
        np.where(reached, picked[2], 0.0),
    )


def _reach_band(v: Array, u: Array, half: float, arm: Arm) -> tuple[Array, Array]:
    """Reaches within the arm's limits at which |reach u - v| stays within a half length."""
    with np.errstate(divide="ignore", invalid="ignore"):
        a, b = (v - half) / u, (v + half) / u
    flat = np.abs(u) < 1e-12
    inside = np.abs(v) <= half + 2e-9
    low = np.where(flat, np.where(inside, arm.reach_low, np.inf), np.minimum(a, b))
    high = np.where(flat, np.where(inside, arm.reach_high, -np.inf), np.maximum(a, b))
    return np.maximum(low, arm.reach_low) - 2e-9, np.minimum(high, arm.reach_high) + 2e-9


# --- one state ------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Borne:
    """Pad loads and what follows from them in one state, every draw."""

    weight: Array
    x: Array
    y: Array
    z: Array
    loads: Array  # (draws, 4)
    slopes: tuple[
        Array, Array
    ]  # change of each pad's load per N m of first moment along and across


def borne(state: State, entries: dict[str, Entry], stood: Stood, draws: Draws) -> Borne:
    """Equal springs under a rigid body, warp by levels, sway by unlevel carriages."""
    mass = np.zeros_like(stood.spot)
    mx, my, mz = mass.copy(), mass.copy(), mass.copy()
    for item in state.items:
        sign, name = (-1.0, item.name.removesuffix(" off")) if item.mass < 0.0 else (1.0, item.name)
        e = entries[name]
        m = sign * e.mass
        mass, mx, my, mz = mass + m, mx + m * e.x, my + m * e.y, mz + m * e.z
    height = mz / mass
    for s in state.supports:
        push = draws.even(f"push of {s.name} in {state.name}", s.force, s.force_tol) / G0
        mass, mx, my = mass - push, mx - push * s.place[0], my - push * s.place[1]
    sway = np.maximum(0.0, height - stood.up) * np.tan(stood.roll)
    x, y = mx / mass, my / mass + sway
    forms, bx, by = _forms(stood.x, stood.y)
    weight = G0 * mass
    even = weight[:, None] * (forms + bx * x[:, None] + by * y[:, None])
    n = _pattern(stood.x, stood.y)
    compliance = (n**2).sum(axis=1) / stood.stiffness
    compliance += (n[:, 0] * stood.y[:, 0] + n[:, 1] * stood.y[:, 1]) ** 2 / stood.twist
    alpha = (n * stood.level).sum(axis=1) / compliance
    return Borne(weight, x, y, height, even + alpha[:, None] * n, (bx, by))


def _forms(px: Array, py: Array) -> tuple[Array, Array, Array]:
    """(a, b, c) of each pad: a unit weight at (x, y) puts a + b x + c y on it."""
    mx, my = px.mean(axis=1, keepdims=True), py.mean(axis=1, keepdims=True)
    u, v = px - mx, py - my
    xx, xy, yy = (u * u).sum(axis=1), (u * v).sum(axis=1), (v * v).sum(axis=1)
    det = xx * yy - xy * xy
    ixx, ixy, iyy = (yy / det)[:, None], (-xy / det)[:, None], (xx / det)[:, None]
    b, c = ixx * u + ixy * v, ixy * u + iyy * v
    return 0.25 - b * mx - c * my, b, c


def _pattern(px: Array, py: Array) -> Array:
    """Loads on four pads that change no force and no moment, greatest size 1, first positive."""

    def area(i: int, j: int, k: int) -> Array:
        return (px[:, j] - px[:, i]) * (py[:, k] - py[:, i]) - (px[:, k] - px[:, i]) * (
            py[:, j] - py[:, i]
        )

    n = np.column_stack([area(1, 2, 3), -area(0, 2, 3), area(0, 1, 3), -area(0, 1, 2)])
    n /= np.abs(n).max(axis=1, keepdims=True)
    return n * np.where(n[:, :1] < 0.0, -1.0, 1.0)


# --- margins: positive where a check does not stop ------------------------------------------------


def margins(
    case: Case, setting: Setting, state: State, b: Borne, stood: Stood
) -> Iterator[tuple[str, Array]]:
    """(check, margin) of one state: the margin is negative in the draws where the check stops."""
    policy, bay = case.policy, case.bay
    yield "rated_load", bay.rated * G0 - b.weight
    yield "arm_load", _least_room(b.loads, [_arm_limit(case, a.arm) for a in setting.arms])
    ratings = [min(case.shelf.types[i].rating for i in a.stack_ids) * G0 for a in setting.arms]
    yield "adapter_load", _least_room(b.loads, ratings)
    points = case.point_set(setting.point_set).points
    if any(p.limit is not None for p in points):
        limits = [np.inf if p.limit is None else p.limit for p in points]
        yield "point_load", _least_room(b.loads, limits)
    share = b.loads[:, :2].sum(axis=1) / b.weight
    yield "pad_split", split_limit(bay, policy)[0] - np.maximum(share, 1.0 - share)
    yield "least_pad", b.loads.min(axis=1) / b.weight - policy["least_pad_stop"]
    edge = _edge(b, stood)
    yield "cg_edge", edge - policy["edge_stop"]
    if bay.cg_window is not None:
        x = _in_lift(setting, b, stood)
        yield "cg_window", np.minimum(x - bay.cg_window[0], bay.cg_window[1] - x)
    wanted = policy["push_force"] * policy["push_factor"]
    if case.vehicle.roof is not None:
        height = max(case.vehicle.roof, case.vehicle.sill or 0.0) - stood.up
        yield "push_tip", b.weight * np.maximum(edge, 0.0) / height - wanted
        yield "push_unload", _unload(b, height) - wanted
    yield "push_slide", _slide(b, stood, _lever(case, b)) - wanted
    for push in state.pushes:
        if push.direction is None:
            bears = _borne_push(case, push, b, stood, edge)
            yield "job_push", bears - push.force


def _least_room(loads: Array, limits: list[float]) -> Array:
    room: Array = (np.array(limits)[None, :] - loads).min(axis=1)
    return room


def _arm_limit(case: Case, arm: str) -> float:
    own = case.bay.arm_limits[ARM_ORDER.index(arm)]
    return own if own is not None else case.policy["arm_share"] * case.bay.rated * G0


def _edge(b: Borne, stood: Stood) -> Array:
    """Distance of the CG from the nearest side of the pads' quadrilateral LF LR RR RF."""
    order = (0, 2, 3, 1)
    margin = np.full_like(b.x, np.inf)
    for i, j in zip(order, (*order[1:], order[0]), strict=True):
        ex, ey = stood.x[:, j] - stood.x[:, i], stood.y[:, j] - stood.y[:, i]
        inside = ex * (b.y - stood.y[:, i]) - ey * (b.x - stood.x[:, i])
        margin = np.minimum(margin, inside / np.hypot(ex, ey))
    return margin


def _in_lift(setting: Setting, b: Borne, stood: Stood) -> Array:
    turn = stood.yaw + (pi if setting.heading == TAIL_IN else 0.0)
    return stood.spot + b.x * np.cos(turn) - b.y * np.sin(turn)


def _unload(b: Borne, height: float) -> Array:
    slope = np.hypot(*b.slopes) * height
    left: Array = (np.maximum(b.loads, 0.0) / np.maximum(slope, 1e-12)).min(axis=1)
    return left


def _slide(b: Borne, stood: Stood, lever: Array) -> Array:
    far = np.hypot(stood.x - b.x[:, None], stood.y - b.y[:, None])
    grip = stood.friction * b.weight
    turn = stood.friction * (np.maximum(b.loads, 0.0) * far).sum(axis=1)
    force: Array = 1.0 / (1.0 / grip + lever / turn)
    return force


def _lever(case: Case, b: Borne) -> Array:
    outline = case.vehicle.outline
    front, rear = outline[:2] if outline else (1.2, -case.vehicle.wheelbase - 1.2)
    return np.maximum(front - b.x, b.x - rear)


def _push_lever(case: Case, place: tuple[float, float | None], b: Borne) -> Array:
    """Lever of a push at a place; anywhere across the vehicle where that is not given."""
    (x, y), outline = place, case.vehicle.outline
    along, half = np.abs(x - b.x), outline[2] if outline else 0.0
    lever: Array = np.hypot(along, np.abs(b.y) + half if y is None else np.abs(y - b.y))
    return lever


def _borne_push(case: Case, push: PushCase, b: Borne, stood: Stood, edge: Array) -> Array:
    """Horizontal force in any direction that the vehicle bears at the step's height."""
    height = push.up - stood.up
    lever = _lever(case, b) if push.place is None else _push_lever(case, push.place, b)
    bears = _slide(b, stood, lever)
    if height > 0.0:
        bears = np.minimum(bears, b.weight * np.maximum(edge, 0.0) / height)
    if abs(height) > 1e-9:
        bears = np.minimum(bears, _unload(b, abs(height)))
    return np.minimum(bears, FAR)
