"""Refused cases searched plainly for a setting that the second judge takes, with margin.

Spots every millimetre, every tooth, every stack the shelf allows, a handful of seat heights. What
the second judge takes is then put to the product's own judge: where that takes it as well, the
planner has missed it; where it does not, its check is named, and its caution is to be explained.
"""

from __future__ import annotations

import copy
import math
from collections import Counter
from collections.abc import Iterator
from itertools import islice, product
from typing import Any

import numpy as np

from benchmarks.soundness.bearing import Footing, bearing
from benchmarks.soundness.figures import figure, sure, value
from benchmarks.soundness.ledger import Draws, kerb, states_of
from benchmarks.soundness.papers import papers
from benchmarks.soundness.placing import CORNERS, SERVED, arms, rays, to_lift
from benchmarks.soundness.room import overhead, room
from benchmarks.soundness.second import verdict
from benchmarks.soundness.stacks import lengths, stacks
from benchmarks.soundness.sweep import Seen, facts_of, planned
from benchmarks.soundness.workshops import drawn

Data = dict[str, Any]
STEP = 0.001  # m
SPOTS, SEATS, CHOICES, TRIED = 5, 5, 4, 120
DRAWS, SURE = 96, 3000  # of the tolerances: at first, and once a setting is taken
MORE = {
    **{"gap_arm": 1e-3, "gap_door": 1e-3, "gap_mirror": 1e-3, "gap_roof": 2e-3},
    **{"clear_space": 2e-3, "edge_stop": 4e-3, "least_pad_stop": 5e-3},
}


def searched(seed: int, numbers: range) -> tuple[Counter[str], list[Seen]]:
    """Counts over some numbers of a seed, and every refusal the second judge does not share."""
    counts, found = Counter[str](), []
    for number in numbers:
        case = drawn(seed, number)
        plan, shop, _ = planned(case)
        counts["cases"] += 1
        if plan is None or shop is None or plan["outcome"] not in ("none", "limit"):
            counts["not refused"] += 1
            continue
        counts["refused"] += 1
        facts = facts_of(case, shop)
        setting = settled(facts, np.random.default_rng((seed, number, 2)))
        if setting is None:
            continue
        kind = verdict(case, shop, setting)
        counts[f"refusal not shared: {kind}"] += 1
        found.append(Seen(case.name, "refused", [kind, f"spot {setting['spot_m']:.4f}"]))
    return counts, found


def settled(shop: Data, rng: np.random.Generator) -> Data | None:
    """A setting that the second judge takes with margin, or None where it finds none."""
    wary = with_margin(shop)
    tried = 0
    for points in shop["vehicle"]["point_sets"]:
        by_corner = {p["corner"]: p for p in points["points"]}
        facts = {**wary, "points": by_corner}
        if papers({"point_set": points["id"]}, shop):
            continue
        for heading in SERVED:
            for setting in islice(_settings(facts, points["id"], heading), TRIED):
                tried += 1
                if takes(setting, facts, rng, DRAWS) and takes(setting, facts, rng, SURE):
                    return setting
    return None


def takes(setting: Data, facts: Data, rng: np.random.Generator, count: int) -> bool:
    """Whether the second judge takes a setting, dear questions last."""
    points = facts["points"]
    if stacks(setting, facts, points, rng) or room(setting, facts, points):
        return False
    if arms(setting, facts, points, rng):
        return False
    draws = Draws(rng, count)
    start = kerb(facts["vehicle"], draws, facts["priors"])
    if start is None:
        return False
    states = states_of(facts["vehicle"], facts.get("job"), draws, start)
    foot = Footing(setting, facts, points, draws)
    return not (overhead(setting, facts, states) or bearing(setting, facts, foot, states))


def with_margin(shop: Data) -> Data:
    """The same case with every limit a little tighter."""
    made = {**shop, "bay": copy.deepcopy(shop["bay"]), "vehicle": copy.deepcopy(shop["vehicle"])}
    policy = dict(shop["policy"])
    for name, more in MORE.items():
        policy[name] += more
    for name in ("push_force", "least_pad_stop"):
        policy[name] *= 1.02
    plate = made["bay"]["plate"]
    rated = sure(plate["rated"])
    text = str(plate.get("split_high", "not given"))
    narrow = rated <= policy["split_boundary"]
    limit = policy["split_narrow" if narrow else "split_wide"]
    if ":" in text:
        a, b = sorted(float(x) for x in text.split(":"))
        limit = b / (a + b)
    plate["split_high"] = "not given"
    policy["split_narrow"] = policy["split_wide"] = limit - 0.006
    plate["rated"] = f"{rated * 0.99!r} kg"
    for holder, key in ((plate, "per_arm"), *((a, "limit") for a in made["bay"]["arms"].values())):
        found = figure(holder.get(key))
        if found:
            holder[key] = f"{(found[0] - found[1]) * 0.98!r} N"
    for p in (p for s in made["vehicle"]["point_sets"] for p in s["points"]):
        p["along"], p["across"] = (f"{sure(p[k]) * 0.97!r} m" for k in ("along", "across"))
    return {**made, "policy": policy}


# --- settings ----------------------------------------------------------------------------------


def _settings(facts: Data, name: str, heading: str) -> Iterator[Data]:
    """Settings of one point set and heading: spots from the middles of their stretches outward."""
    choices = list(_stacks(facts))
    if not choices:
        return
    for spot in _spots(facts, heading):
        for teeth in _teeth(facts, heading, spot):
            for seat, stack in choices:
                yield _setting(facts, name, heading, spot, teeth, seat, stack)


def _spots(facts: Data, heading: str) -> list[float]:
    """Spots that every arm reaches: a few of each stretch, the widest stretches first."""
    sign = -1.0 if heading == "tail-in" else 1.0
    aft = sum(sure(p["aft"]) for p in facts["points"].values()) / 4
    grid = np.arange(-1.2, 1.2, STEP) + sign * aft
    good = np.ones(len(grid), bool)
    for corner in CORNERS:
        good &= _reached(facts, heading, corner, grid).any(axis=1)
    starts = np.flatnonzero(good & ~np.concatenate([[False], good[:-1]]))
    ends = np.flatnonzero(good & ~np.concatenate([good[1:], [False]]))
    rows = sorted(zip(starts, ends, strict=True), key=lambda r: r[0] - r[1])[:8]
    parts = (0.5, 0.25, 0.75, 0.1, 0.9)[:SPOTS]
    found = [float(grid[round(a + part * (b - a))]) for part in parts for a, b in rows]
    return list(dict.fromkeys(found))


def _reached(facts: Data, heading: str, corner: str, spots: np.ndarray) -> np.ndarray:
    """(spot, swing) -> whether that swing reaches; the swings are those of `_swings`."""
    p, turn = facts["points"][corner], math.pi if heading == "tail-in" else 0.0
    x, y = to_lift((0.0, 0.0, turn), -sure(p["aft"]), sure(p["side"]))
    centres = np.column_stack([spots + x, np.full(len(spots), y)])
    name = SERVED[heading][corner]
    return rays(facts["bay"], name, centres, p, _swings(facts["bay"], name))


def _swings(bay: Data, name: str) -> np.ndarray | None:
    restraint, arm = bay["restraint"], bay["arms"][name]
    pitch, offset = value(restraint.get("pitch")), value(restraint.get("offset"))
    if restraint["kind"] != "toothed" or pitch is None or offset is None:
        return None
    first, last = sure(arm["swing_low"]), sure(arm["swing_high"])
    k = np.arange(math.ceil((first - offset) / pitch), math.floor((last - offset) / pitch) + 1)
    return np.asarray(offset + k * pitch)


def _teeth(facts: Data, heading: str, spot: float) -> Iterator[dict[str, tuple[float, float]]]:
    """Swing and reach of every arm at a spot: the best teeth first, then a few others."""
    rows = [_ways(facts, heading, corner, spot)[:2] for corner in CORNERS]
    for one in islice(product(*rows), 4):
        yield dict(zip(CORNERS, one, strict=True))


def _ways(facts: Data, heading: str, corner: str, spot: float) -> list[tuple[float, float]]:
    """(swing, reach) of one arm, nearest to its point first."""
    p, bay, name = facts["points"][corner], facts["bay"], SERVED[heading][corner]
    arm, turn = bay["arms"][name], math.pi if heading == "tail-in" else 0.0
    at = to_lift((spot, 0.0, turn), -sure(p["aft"]), sure(p["side"]))
    end, side = (1 if "front" in name else -1), (1 if "left" in name else -1)
    dx, dy = at[0] - sure(arm["pivot_x"]), at[1] - sure(arm["pivot_y"])
    swings = _swings(bay, name)
    if swings is None:
        swings = np.array([math.atan2(end * dx, -side * dy)])
        swings = np.clip(swings, sure(arm["swing_low"]), sure(arm["swing_high"]))
    along = dx * end * np.sin(swings) - dy * side * np.cos(swings)
    reach = np.clip(along, sure(arm["reach_low"]), sure(arm["reach_high"]))
    off_x = reach * end * np.sin(swings) - dx
    off_y = -reach * side * np.cos(swings) - dy
    half = np.array([sure(p["along"]), sure(p["across"])]) + 1e-9
    used = np.maximum(np.abs(off_x) / half[0], np.abs(off_y) / half[1])
    return [(float(swings[i]), float(reach[i])) for i in np.argsort(used) if used[i] <= 1.0]


def _stacks(facts: Data) -> Iterator[tuple[float, dict[str, list[str]]]]:
    """(seat height, stacks by corner): fewest pieces first, seats low, middle and high."""
    rows = {c: _of_corner(facts, facts["points"][c]) for c in CORNERS}
    if not all(rows.values()):
        return
    seat = facts["bay"]["seat"]
    ends = {
        e for row in rows.values() for _, low, high in row for e in (low, high, (low + high) / 2)
    }
    for z in sorted(e for e in ends if sure(seat["lowest"]) <= e <= sure(seat["highest"])):
        here = [[s for s, low, high in rows[c] if low - 1e-9 <= z <= high + 1e-9] for c in CORNERS]
        alike = [s for s in here[0] if all(s in row for row in here[1:])]
        for one in alike[:CHOICES]:
            yield z, dict.fromkeys(CORNERS, one)
        for four in islice(product(*(row[:2] for row in here)), CHOICES):
            yield z, dict(zip(CORNERS, four, strict=True))


def _of_corner(facts: Data, p: Data) -> list[tuple[list[str], float, float]]:
    """Stacks of a corner with the seat heights they serve, fewest pieces first."""
    types = facts["adapters"]
    tops = [k for k, t in types.items() if p["contact"] in t["contacts"]]
    spacers = [k for k, t in types.items() if t["role"] == "spacer"]
    heads = [k for k, t in types.items() if t["role"] == "head"]
    most = round(facts["policy"]["most_spacers"])
    rows = []
    below = [list(s) for n in range(most + 1) for s in product(spacers, repeat=n)]
    for under in below:
        for top in tops:
            stands = [[top]] if types[top]["role"] == "head" else [[h, top] for h in heads]
            for stand in stands:
                stack = [*under, *stand]
                fixed, travel = lengths(facts, stack)
                rows.append((stack, sure(p["up"]) - fixed - travel, sure(p["up"]) - fixed))
    return sorted(rows, key=lambda r: len(r[0]))


def _setting(
    facts: Data, name: str, heading: str, spot: float, teeth: Data, seat: float, stack: Data
) -> Data:
    made: Data = {"point_set": name, "heading": heading, "spot_m": spot, "sideways_m": 0.0,
                  "yaw_deg": 0.0, "window_m": [spot, spot], "seat_m": seat, "arms": {}}  # fmt: skip
    for corner in CORNERS:
        place, (swing, reach) = SERVED[heading][corner], teeth[corner]
        arm = facts["bay"]["arms"][place]
        end, side = (1 if "front" in place else -1), (1 if "left" in place else -1)
        pad = (sure(arm["pivot_x"]) + end * reach * math.sin(swing),
               sure(arm["pivot_y"]) - side * reach * math.cos(swing))  # fmt: skip
        fixed, _ = lengths(facts, stack[corner])
        made["arms"][corner] = {
            "arm": place, "swing_deg": math.degrees(swing), "reach_m": reach, "pad_m": list(pad),
            "stack": stack[corner], "screw_m": sure(facts["points"][corner]["up"]) - seat - fixed,
        }  # fmt: skip
    return made
