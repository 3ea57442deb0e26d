"""Second judge, seeking: settings of one point set and heading, cheap questions asked of all first.

What no spot and no tooth changes (plate, width, stacks, loads of pads on their points) is asked
once. Then all spots at a time: reach on the teeth, the lift's CG window, walls and doors. Then all
arms at these spots, drawn in and out within their zones, against tyres, zones, the column across
and each other. What is left comes as whole settings, for the judge to take.

Not sought: a vehicle askew or off the middle of the bay; without teeth, a stretch of spots shorter
than STEP; seats between those of SEATS; more than some SPOTS spots a heading, well spread.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import combinations, islice, product
from typing import Any

import numpy as np
import shapely

from benchmarks.soundness.bearing import Footing, bearing, stand_forces, totals
from benchmarks.soundness.figures import figure, high, low, sure, value
from benchmarks.soundness.ledger import Draws, State, kerb, states_of
from benchmarks.soundness.placing import CORNERS, SERVED, plate, rays, to_lift
from benchmarks.soundness.room import column, drive_through, overhead, placed, tyres
from benchmarks.soundness.stacks import RUNS_ALONG, lengths, stacks

Data = dict[str, Any]
STEP = 0.001  # m
SPOTS, SEATS, KINDS, OPTIONS, COMBOS = 120, 16, 6, 6, 3
GOLDEN = (math.sqrt(5.0) - 1.0) / 2.0
INNER = 0.98  # of a zone: as far as arms are drawn in and out


@dataclass
class Sought:
    """One point set and heading of a case, with what has been worked out for it."""

    facts: Data
    name: str
    heading: str
    draws: Draws
    states: list[State]
    told: dict[bool, set[str]] = field(default_factory=dict)

    @property
    def points(self) -> Data:
        """The four points by corner."""
        return dict(self.facts["points"])

    @property
    def sign(self) -> float:
        """Whether the nose points ahead."""
        return -1.0 if self.heading == "tail-in" else 1.0

    def at(self, corner: str, spot: float = 0.0) -> tuple[float, float]:
        """Where a point stands in L."""
        p, turn = self.facts["points"][corner], math.pi if self.sign < 0 else 0.0
        return to_lift((spot, 0.0, turn), -sure(p["aft"]), sure(p["side"]))


def begun(facts: Data, name: str, heading: str, draws: Draws) -> Sought | None:
    """A search, or None where plate, width, approach or weights let none begin."""
    start = kerb(facts["vehicle"], draws, facts["priors"])
    backward = heading == "tail-in" and facts["bay"].get("approach") == "forward only"
    if backward or start is None or plate(facts) or drive_through(facts):
        return None
    states = states_of(facts["vehicle"], facts.get("job"), draws, start)
    return Sought(facts, name, heading, draws, states)


def sought(s: Sought) -> Iterator[Data]:
    """Settings that pass every cheap question, in the order of their spots."""
    kinds = list(islice(_kinds(s), KINDS))
    if not kinds:
        return
    spots = _spots(s, kinds[0])
    if not len(spots):
        return
    options = [_options(s, corner, spots) for corner in CORNERS]
    for seat, four in kinds:
        kept = [o.cut(_stands(s, o, seat, four[o.corner])) for o in options]
        fits = _pairs(s, kept, len(spots))
        for index in range(len(spots)):
            for combo in islice(_combos(kept, fits, index), COMBOS):
                yield _setting(s, float(spots[index]), combo, seat, four)


# --- what no spot changes ----------------------------------------------------------------------


def _kinds(s: Sought) -> Iterator[tuple[float, Data]]:
    """(seat, stacks by corner) that fit, touch together and bear: low, middle and high seats."""
    rows = {c: _of_corner(s.facts, s.points[c]) for c in CORNERS}
    seat, good = s.facts["bay"]["seat"], []
    if not all(rows.values()):
        return
    ends = {e for r in rows.values() for _, a, b in r for e in (a, b, (a + b) / 2)}
    ends |= {sure(seat["lowest"])}
    inside = sorted(e for e in ends if sure(seat["lowest"]) <= e <= sure(seat["highest"]))
    for z in inside[:: -(-len(inside) // SEATS) or 1]:
        good += [(z, four) for four in _fours(rows, z) if _bears(s, z, four)]
    by_tops: dict[object, list[tuple[float, Data]]] = {}
    for z, four in good:
        by_tops.setdefault(tuple(four[c][-1] for c in CORNERS), []).append((z, four))
    for rank in range(3):  # the lowest seat of each kind of heads, then its highest and its middle
        for mine in by_tops.values():
            if rank < len(mine):
                yield mine[(0, len(mine) - 1, len(mine) // 2)[rank]]


def _of_corner(facts: Data, p: Data) -> list[tuple[list[str], float, float]]:
    """Stacks of a corner with the seat heights they serve, fewest pieces first."""
    types = facts["adapters"]
    tops = [k for k, t in types.items() if p["contact"] in t["contacts"]]
    spacers = [k for k, t in types.items() if t["role"] == "spacer"]
    heads = [k for k, t in types.items() if t["role"] == "head"]
    most = round(facts["policy"]["most_spacers"])
    rows = []
    for under in (list(x) for n in range(most + 1) for x in product(spacers, repeat=n)):
        for top in tops:
            stands = [[top]] if types[top]["role"] == "head" else [[h, top] for h in heads]
            for stand in stands:
                stack = [*under, *stand]
                fixed, travel = lengths(facts, stack)
                if _joins(facts, stack):
                    rows.append((stack, sure(p["up"]) - fixed - travel, sure(p["up"]) - fixed))
    return sorted(rows, key=lambda r: len(r[0]))


def _joins(facts: Data, stack: list[str]) -> bool:
    face = facts["bay"]["seat"]["interface"]
    for piece in (facts["adapters"][n] for n in stack):
        if piece["below"] != face or not piece["maker_rated"]:
            return False
        face = piece.get("above")
    return True


def _fours(rows: Data, z: float) -> Iterator[Data]:
    here = [[s for s, a, b in rows[c] if a - 1e-9 <= z <= b + 1e-9] for c in CORNERS]
    alike = [s for s in here[0] if all(s in row for row in here[1:])]
    found = [dict.fromkeys(CORNERS, one) for one in alike[:4]]
    found += [dict(zip(CORNERS, four, strict=True))
              for four in islice(product(*(row[:2] for row in here)), 16)]  # fmt: skip
    yield from {repr(f): f for f in found}.values()


def _bears(s: Sought, seat: float, four: Data) -> bool:
    """Whether stacks fit and pads bear where they stand on their points.

    Pads that run along a rail or a flange may stand off their points: only what fails the same way
    at the middle and at every end of their zones is hopeless.
    """
    middle = _on_points(s, seat, four, (0.0,) * 4)
    if stacks(middle, s.facts, s.points, s.draws.rng) or overhead(middle, s.facts, s.states):
        return False
    clean = all(s.facts["adapters"][four[c][-1]].get("clean_rubber") for c in CORNERS)
    if clean not in s.told:
        s.told[clean] = _always(s, seat, four, False) or _always(s, seat, four, True)
    return not s.told[clean]


def _always(s: Sought, seat: float, four: Data, pushes: bool) -> set[str]:
    bay = s.facts["bay"]
    plain = {**bay["plate"], "cg_low": "not given", "cg_high": "not given"}
    strong = {k: {**a, "rating": "1e9 kg"} for k, a in s.facts["adapters"].items()}
    facts = {**s.facts, "bay": {**bay, "plate": plain}, "adapters": strong}
    runs = [s.points[c]["contact"] in RUNS_ALONG for c in CORNERS]
    told: set[str] | None = None
    for ends in product(*((0.0, -1.0, 1.0) if run else (0.0,) for run in runs)):
        if told is not None and any(run and not e for run, e in zip(runs, ends, strict=True)):
            continue
        setting = _on_points(s, seat, four, ends)
        foot = Footing(setting, facts, s.points, s.draws)
        found = set(bearing(setting, facts, foot, s.states, pushes=pushes))
        told = found if told is None else told & found
        if not told:
            break
    return told or set()


def _on_points(s: Sought, seat: float, four: Data, ends: tuple[float, ...]) -> Data:
    """A setting at spot 0 with its pads on their points, or that part of the zone along them."""
    arms = {}
    for corner, end in zip(CORNERS, ends, strict=True):
        p, at = s.points[corner], s.at(corner)
        fixed, _ = lengths(s.facts, four[corner])
        arms[corner] = {
            "arm": SERVED[s.heading][corner], "stack": four[corner],
            "pad_m": [at[0] + s.sign * end * sure(p["along"]), at[1]],
            "screw_m": sure(p["up"]) - seat - fixed,
        }  # fmt: skip
    return {"point_set": s.name, "heading": s.heading, "spot_m": 0.0, "sideways_m": 0.0,
            "yaw_deg": 0.0, "seat_m": seat, "arms": arms}  # fmt: skip


# --- spots -------------------------------------------------------------------------------------


def _spots(s: Sought, kind: tuple[float, Data]) -> np.ndarray:
    """Spots every arm reaches, within the CG window and the walls, whose doors open."""
    least, most = _balanced(s, kind)
    grid = _breaks(s)
    grid = grid[(grid >= least) & (grid <= most)]
    good = _in_room(s, grid)
    for corner in CORNERS:
        if good.any():
            good[good] = _reached(s, corner, grid[good])
    grid = grid[_thinned(good)]
    grid = grid[_doors_open(s, grid)] if len(grid) else grid
    # Spots far from each other first: what fails at one mostly fails at its neighbours.
    return grid[np.argsort(np.arange(len(grid)) * GOLDEN % 1.0)]


def _breaks(s: Sought) -> np.ndarray:
    """Every STEP; on teeth also where any of them begins or ends to reach, and between these."""
    aft = sum(sure(p["aft"]) for p in s.points.values()) / 4
    even = np.arange(-1.2, 1.2, STEP) + s.sign * aft
    ends = np.concatenate([_spans(s, corner).ravel() for corner in CORNERS])
    ends = np.unique(ends[(ends > even[0]) & (ends < even[-1])])
    return np.unique(np.concatenate([even, ends, (ends[1:] + ends[:-1]) / 2]))


def _spans(s: Sought, corner: str) -> np.ndarray:
    """(tooth, ends): spots at which some reach on a tooth lies in the zone, from its two sides."""
    bay, name, p = s.facts["bay"], SERVED[s.heading][corner], s.points[corner]
    swings, arm, (x, y) = _swings(bay, name), bay["arms"][name], s.at(corner)
    if swings is None:
        return np.zeros((0, 2))
    end, side = (1 if "front" in name else -1), (1 if "left" in name else -1)
    across, along = -side * np.cos(swings), end * np.sin(swings)
    with np.errstate(divide="ignore"):
        rows = (y + np.array([[-1.0], [1.0]]) * sure(p["across"]) - sure(arm["pivot_y"])) / across
    near = np.maximum(rows.min(axis=0), sure(arm["reach_low"]))
    far = np.minimum(rows.max(axis=0), sure(arm["reach_high"]))
    at = np.stack([near * along, far * along]) + sure(arm["pivot_x"]) - x
    spans = np.stack([at.min(axis=0) - sure(p["along"]), at.max(axis=0) + sure(p["along"])], 1)
    return np.asarray(spans[near <= far])


def _thinned(good: np.ndarray) -> np.ndarray:
    """Of every stretch its middle and ends, and spots spread evenly over all stretches."""
    starts = np.flatnonzero(good & ~np.concatenate([[False], good[:-1]]))
    ends = np.flatnonzero(good & ~np.concatenate([good[1:], [False]]))
    every = max(1, -(-int(good.sum()) // SPOTS))
    picked = set(np.flatnonzero(good)[every // 2 :: every].tolist())
    stretches = sorted(zip(starts, ends, strict=True), key=lambda r: r[0] - r[1])[:40]
    for a, b in stretches:
        picked |= {int(a), int((a + b) // 2), int(b)}
    return np.array(sorted(picked), dtype=int)


def _balanced(s: Sought, kind: tuple[float, Data]) -> tuple[float, float]:
    """Spots that keep the CG within the lift maker's window in every state and draw."""
    plate_of = s.facts["bay"]["plate"]
    least, most = figure(plate_of.get("cg_low")), figure(plate_of.get("cg_high"))
    if least is None or most is None:
        return -math.inf, math.inf
    foot = Footing(_on_points(s, *kind, (0.0,) * 4), s.facts, s.points, s.draws)
    bounds = (-math.inf, math.inf)
    for number, state in enumerate(s.states):
        if state.lifted:
            x = s.sign * totals(state, stand_forces(s.states, number, foot), foot)[1]
            bounds = (max(bounds[0], sum(least) - x.min()),
                      min(bounds[1], most[0] - most[1] - x.max()))  # fmt: skip
    return bounds


def _in_room(s: Sought, spots: np.ndarray) -> np.ndarray:
    sizes, about = s.facts["vehicle"]["sizes"], s.facts["bay"].get("surroundings", {})
    if any(figure(sizes.get(k)) is None for k in ("length", "width", "overhang_front")):
        return np.zeros(len(spots), bool)
    nose, tail = high(sizes["overhang_front"]), low(sizes["overhang_front"]) - high(sizes["length"])
    ends = sorted((s.sign * nose, s.sign * tail))
    good, need = np.ones(len(spots), bool), s.facts["policy"]["clear_space"]
    for key, reached in (("free_ahead", spots + ends[1]), ("free_behind", -spots - ends[0])):
        free = about.get(key, "not given")
        if free != "none":
            good &= figure(free) is not None and low(free) - reached >= need
    return good


def _doors_open(s: Sought, spots: np.ndarray) -> np.ndarray:
    good, policy = np.ones(len(spots), bool), s.facts["policy"]
    columns = shapely.union_all([column(c) for c in s.facts["bay"]["columns"]])
    shapely.prepare(columns)
    for d in s.facts["vehicle"].get("doors") or []:
        hinge = np.array([-sure(d["hinge_aft"]), sure(d["hinge_side"])])
        outward = 1.0 if d["side"] == "left" else -1.0
        rearward = -1.0 if d.get("hinged_at", "front") == "front" else 1.0
        angles = np.linspace(0.0, min(policy["door_exit"], sure(d["opens"])), 16)
        away = np.stack([rearward * np.cos(angles), outward * np.sin(angles)], axis=1)
        ends = np.stack([np.tile(hinge, (16, 1)), hinge + sure(d["length"]) * away], axis=1)
        lines = np.tile(s.sign * ends, (len(spots), 1, 1, 1))
        lines[..., 0] += spots[:, None, None]
        near = shapely.dwithin(columns, shapely.linestrings(lines), policy["gap_door"])
        good &= ~near.any(axis=1)
    return good


def _swings(bay: Data, name: str) -> np.ndarray | None:
    restraint, arm = bay["restraint"], bay["arms"][name]
    pitch, offset = value(restraint.get("pitch")), value(restraint.get("offset"))
    if restraint["kind"] != "toothed" or pitch is None or offset is None:
        return None
    first, last = sure(arm["swing_low"]), sure(arm["swing_high"])
    k = np.arange(math.ceil((first - offset) / pitch), math.floor((last - offset) / pitch) + 1)
    return np.asarray(offset + k * pitch)


def _reached(s: Sought, corner: str, spots: np.ndarray) -> np.ndarray:
    x, y = s.at(corner)
    centres = np.column_stack([spots + x, np.full(len(spots), y)])
    name, bay, p = SERVED[s.heading][corner], s.facts["bay"], s.points[corner]
    arm = bay["arms"][name]
    away = np.hypot(*(centres - (sure(arm["pivot_x"]), sure(arm["pivot_y"]))).T)
    zone = math.hypot(sure(p["along"]), sure(p["across"])) + 1e-6
    good = (away > sure(arm["reach_low"]) - zone) & (away < sure(arm["reach_high"]) + zone)
    if good.any():
        good[good] = rays(bay, name, centres[good], p, _swings(bay, name)).any(axis=1)
    return np.asarray(good)


# --- arms --------------------------------------------------------------------------------------


@dataclass
class Options:
    """Ways one arm stands under its point, over all spots: index of the spot, swing, reach, tip."""

    corner: str
    spot: np.ndarray
    swing: np.ndarray
    reach: np.ndarray
    tip: np.ndarray
    off: np.ndarray
    at: np.ndarray
    u: np.ndarray
    arm: np.ndarray

    def cut(self, good: np.ndarray) -> Options:
        """Those that are good, at most OPTIONS a spot: they come nearest to the point first."""
        kept = np.flatnonzero(good)
        _, first, count = np.unique(self.spot[kept], return_index=True, return_counts=True)
        rank = np.arange(len(kept)) - np.repeat(first, count)
        kept = kept[rank < OPTIONS]
        return Options(self.corner, *(getattr(self, k)[kept] for k in _COLUMNS))


_COLUMNS = ("spot", "swing", "reach", "tip", "off", "at", "u", "arm")


def _options(s: Sought, corner: str, spots: np.ndarray) -> Options:
    """Every tooth that reaches, drawn to the point, and in and out to the edge of its zone."""
    bay, name, p = s.facts["bay"], SERVED[s.heading][corner], s.points[corner]
    arm = bay["arms"][name]
    pivot = np.array([sure(arm["pivot_x"]), sure(arm["pivot_y"])])
    end, side = (1 if "front" in name else -1), (1 if "left" in name else -1)
    x, y = s.at(corner)
    to = np.column_stack([spots + x, np.full(len(spots), y)]) - pivot
    swings = _swings(bay, name)
    if swings is None:
        straight = np.arctan2(end * to[:, 0], -side * to[:, 1])
        swings = straight[:, None] + np.radians([0.0, -0.4, 0.4, -1.0, 1.0])
        swings = np.clip(swings, sure(arm["swing_low"]), sure(arm["swing_high"]))
    swings = np.broadcast_to(swings, (len(spots), swings.shape[-1]))
    u = np.stack([end * np.sin(swings), -side * np.cos(swings)], axis=-1)
    half = np.array([sure(p["along"]), sure(p["across"])])
    with np.errstate(divide="ignore", invalid="ignore"):
        ends = np.stack([(to[:, None, :] - INNER * half) / u, (to[:, None, :] + INNER * half) / u])
    near, far = ends.min(axis=0).max(axis=-1), ends.max(axis=0).min(axis=-1)
    best = (to[:, None, :] * u).sum(axis=-1)
    reach = np.stack([best, near, far], axis=-1)
    reach = np.clip(reach, sure(arm["reach_low"]), sure(arm["reach_high"]))
    off = reach[..., None] * u[:, :, None, :] - to[:, None, None, :]
    used = np.max(np.abs(off) / (half + 1e-9), axis=-1)
    k, t, r = np.nonzero(used <= 1.0)
    order = np.lexsort((used[k, t, r], k))
    k, t, r = k[order], t[order], r[order]
    tip = pivot + reach[k, t, r][:, None] * u[k, t]
    arms = outlines(arm, tip, u[k, t], reach[k, t, r], 0.0)
    return Options(corner, k, swings[k, t], reach[k, t, r], tip, off[k, t, r], spots[k],
                   u[k, t], arms)  # fmt: skip


def outlines(
    arm: Data, tip: np.ndarray, u: np.ndarray, reach: np.ndarray, start: float
) -> np.ndarray:
    """Arms in plan from `start` behind the tip to the pivot."""
    rows = sorted((sure(t["from_tip"]), sure(t["half_width"])) for t in arm["profile"])
    at, normal = [x for x, _ in rows], np.stack([-u[:, 1], u[:, 0]], axis=-1)
    behind = np.minimum(np.array([start, *(x for x in at if x > start)])[None], reach[:, None])
    behind = np.concatenate([behind, reach[:, None]], axis=1)
    wide = np.interp(behind, at, [w for _, w in rows])[:, :, None] * normal[:, None]
    middle = tip[:, None] - behind[:, :, None] * u[:, None]
    return np.asarray(
        shapely.polygons(np.concatenate([middle + wide, (middle - wide)[:, ::-1]], 1))
    )


def _stands(s: Sought, o: Options, seat: float, stack: list[str]) -> np.ndarray:
    """Which ways of an arm keep clear of tyres, zones and the column across, with this stack."""
    bay, car, gap = s.facts["bay"], s.facts["vehicle"], s.facts["policy"]["gap_arm"]
    arm = bay["arms"][SERVED[s.heading][o.corner]]
    top = max(sure(t["top"]) for t in arm["profile"])
    turn = math.pi if s.sign < 0 else 0.0
    good = np.ones(len(o.spot), bool)
    # All is moved back by the spot, so that the vehicle stands still.
    arms = _back(o.arm, o.at)
    for tyre in tyres(car, (0.0, 0.0, turn), seat + top) or ():
        good &= ~_near(tyre, arms, gap)
    left = "left" in SERVED[s.heading][o.corner]
    for c in bay["columns"]:
        if (sure(c["y"]) > 0.0) != left:
            good &= ~_near(column(c), o.arm, gap)
    for zone in car["zones"]:
        outline = placed(zone["outline"], (0.0, 0.0, turn))
        if not zone.get("pass_under", True):
            good &= ~_near(outline, arms, gap)
            continue
        behind = _higher(arm, low(zone["underside"]) - seat - gap)
        if behind is not None:
            part = np.flatnonzero(good & (o.reach > behind))
            raw = outlines(arm, o.tip[part], o.u[part], o.reach[part], behind)
            good[part] &= ~_near(outline, _back(raw, o.at[part]), 0.0)
    good &= _on_top(s, o, stack)
    half = (value(s.facts["adapters"][stack[-1]].get("width")) or 0.0) / 2
    tips = shapely.points(o.tip - np.column_stack([o.at, np.zeros(len(o.at))]))
    for tyre in tyres(car, (0.0, 0.0, turn), sure(s.points[o.corner]["up"])) or ():
        good &= ~_near(tyre, tips, gap + half)
    return good


def _back(shapes: np.ndarray, spots: np.ndarray) -> np.ndarray:
    if not len(shapes):
        return shapes
    at, which = shapely.get_coordinates(shapes, return_index=True)
    at[:, 0] -= spots[which]
    return np.asarray(shapely.set_coordinates(shapes.copy(), at))


def _near(outline: Any, shapes: np.ndarray, by: float) -> np.ndarray:
    shapely.prepare(outline)
    return np.asarray(shapely.dwithin(outline, shapes, by))


def _higher(arm: Data, room: float) -> float | None:
    """How far behind its tip an arm first stands higher than `room` over its seat."""
    rows = sorted((sure(t["from_tip"]), sure(t["top"])) for t in arm["profile"])
    fine = np.arange(0.0, rows[-1][0] + 0.01, 0.01)
    over = np.interp(fine, [x for x, _ in rows], [t for _, t in rows]) > room
    return float(fine[np.argmax(over)]) if over.any() else None


def _on_top(s: Sought, o: Options, stack: list[str]) -> np.ndarray:
    """The point on the pad; the final judge looks at slots and at zones beside the pad."""
    p, width = s.points[o.corner], value(s.facts["adapters"][stack[-1]].get("width"))
    if width is None:
        return np.zeros(len(o.spot), bool)
    away = np.abs(o.off[:, 1]) if p["contact"] in RUNS_ALONG else np.hypot(*o.off.T)
    return np.asarray(away <= width / 2)


# --- arms together -----------------------------------------------------------------------------

Fits = dict[tuple[int, int], set[tuple[int, int]]]


def _pairs(s: Sought, options: list[Options], count: int) -> Fits:
    """For every two corners which ways of the one stand clear of which of the other."""
    gap, fits = s.facts["policy"]["gap_arm"], {}
    alive = np.ones(count, bool)
    for o in options:
        alive &= np.bincount(o.spot, minlength=count).astype(bool)
    for i, j in combinations(range(4), 2):
        a, b = options[i], options[j]
        left, right = [], []
        for k in np.flatnonzero(alive):
            x, y = np.flatnonzero(a.spot == k), np.flatnonzero(b.spot == k)
            left.append(np.repeat(x, len(y)))
            right.append(np.tile(y, len(x)))
        x = np.concatenate(left) if left else np.zeros(0, int)
        y = np.concatenate(right) if right else np.zeros(0, int)
        clear = ~shapely.dwithin(a.arm[x], b.arm[y], gap)
        fits[i, j] = set(zip(x[clear].tolist(), y[clear].tolist(), strict=True))
        alive &= np.bincount(a.spot[x[clear]], minlength=count).astype(bool)
    return fits


def _combos(options: list[Options], fits: Fits, index: int) -> Iterator[Data]:
    """Ways of all four arms at one spot that stand clear of each other, nearest first."""
    rows = [np.flatnonzero(o.spot == index).tolist() for o in options]
    for a in rows[0]:
        for b in rows[1]:
            if (a, b) not in fits[0, 1]:
                continue
            for c in rows[2]:
                if (a, c) not in fits[0, 2] or (b, c) not in fits[1, 2]:
                    continue
                for d in rows[3]:
                    if all((x, d) in fits[i, 3] for i, x in enumerate((a, b, c))):
                        yield {
                            corner: (float(o.swing[x]), float(o.reach[x]), o.tip[x].tolist())
                            for corner, o, x in zip(CORNERS, options, (a, b, c, d), strict=True)
                        }


def _setting(s: Sought, spot: float, combo: Data, seat: float, four: Data) -> Data:
    made: Data = {"point_set": s.name, "heading": s.heading, "spot_m": spot, "sideways_m": 0.0,
                  "yaw_deg": 0.0, "window_m": [spot, spot], "seat_m": seat, "arms": {}}  # fmt: skip
    for corner, (swing, reach, tip) in combo.items():
        fixed, _ = lengths(s.facts, four[corner])
        made["arms"][corner] = {
            "arm": SERVED[s.heading][corner], "swing_deg": math.degrees(swing), "reach_m": reach,
            "pad_m": tip, "stack": four[corner],
            "screw_m": sure(s.points[corner]["up"]) - seat - fixed,
        }  # fmt: skip
    return made
