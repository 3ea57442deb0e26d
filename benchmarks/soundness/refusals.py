"""Refused cases searched plainly for a setting that the second judge takes, with margin.

What `seeking` finds is judged whole, its ways in traced on the plain grid. What the second judge
takes is then put to the product's own judge: where that takes it as well, the
planner has missed it; where it does not, its check is named, and its caution is to be explained.
"""

from __future__ import annotations

import copy
from collections import Counter
from itertools import islice
from typing import Any

import numpy as np

from benchmarks.soundness.bearing import Footing, bearing
from benchmarks.soundness.figures import figure, sure, value
from benchmarks.soundness.ledger import Draws, State, kerb, states_of
from benchmarks.soundness.papers import papers
from benchmarks.soundness.placing import CORNERS, SERVED, arms, offsets
from benchmarks.soundness.room import overhead, room
from benchmarks.soundness.second import verdict
from benchmarks.soundness.seeking import begun, sought
from benchmarks.soundness.stacks import RUNS_ALONG, stacks
from benchmarks.soundness.sweep import Seen, facts_of, planned
from benchmarks.soundness.wayin import ways_in
from benchmarks.soundness.workshops import drawn

Data = dict[str, Any]
TRIED = 120  # whole settings of one point set and heading
BLOCKED = 30  # ways in of one point set and heading found blocked
FINEST = 4  # of them sought on the finest grid as well
DRAWS, SURE = 48, 3000  # of the tolerances: at first, and once a setting is taken
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
    if wary["vehicle"].get("zones") is None or any(
        a.get("profile") is None for a in wary["bay"]["arms"].values()
    ):
        return None
    few, many = Draws(rng, DRAWS), Draws(rng, SURE)
    for points in shop["vehicle"]["point_sets"]:
        facts = {**wary, "points": {p["corner"]: p for p in points["points"]}}
        if papers({"point_set": points["id"]}, shop):
            continue
        for heading in SERVED:
            begin = begun(facts, points["id"], heading, few)
            if begin is None:
                continue
            taking = Taking(facts, few, many, rng)
            for setting in islice(sought(begin), TRIED):
                if taking.takes(setting):
                    return setting
                if len(taking.shut) >= BLOCKED:
                    break
    return None


class Taking:
    """The whole judge on settings of one point set; loads that come again are judged once."""

    def __init__(self, facts: Data, few: Draws, many: Draws, rng: np.random.Generator) -> None:
        self.facts, self.draws, self.rng = facts, (few, many), rng
        self.known: dict[object, list[str]] = {}
        self.shut: set[object] = set()

    def takes(self, setting: Data) -> bool:
        """Whether the second judge takes a setting, dear questions last."""
        facts, points = self.facts, self.facts["points"]
        if stacks(setting, facts, points, self.rng) or room(setting, facts, points):
            return False
        if arms(setting, facts, points, self.rng) or self._above(setting):
            return False
        if self._blocked(setting) or self._bearing(setting, 0):
            return False
        return not self._bearing(setting, 1)

    def _blocked(self, setting: Data) -> bool:
        """Whether no way in is found; after so many blocked ones no further one is looked for."""
        key = [(c, round(setting["spot_m"], 2), round(a["swing_deg"], 1), tuple(a["stack"]))
               for c, a in setting["arms"].items()]  # fmt: skip
        if self.shut & set(key) or len(self.shut) >= BLOCKED:
            return True
        grids = 3 if len(self.shut) < FINEST else 1
        told = ways_in(setting, self.facts, sure_of_it=True, grids=grids)
        self.shut |= {k for k in key if told and k[0] == told[0][:2]}
        return bool(told)

    def _states(self, which: int) -> list[State]:
        car, draws = self.facts["vehicle"], self.draws[which]
        start = kerb(car, draws, self.facts["priors"])
        assert start is not None
        return states_of(car, self.facts.get("job"), draws, start)

    def _above(self, setting: Data) -> list[str]:
        return overhead(setting, self.facts, self._states(0))

    def _bearing(self, setting: Data, which: int) -> list[str]:
        points, off = self.facts["points"], offsets(setting, self.facts["points"])
        rows = [setting["arms"][c] for c in CORNERS]
        slid = [off[c][0] if points[c]["contact"] in RUNS_ALONG else 0.0 for c in CORNERS]
        spot = setting["spot_m"] if value(self.facts["bay"]["plate"].get("cg_low")) else 0.0
        key = (which, setting["heading"], spot, *slid, *(tuple(a["stack"]) for a in rows))
        if key not in self.known:
            foot = Footing(setting, self.facts, points, self.draws[which])
            self.known[key] = bearing(setting, self.facts, foot, self._states(which))
        return self.known[key]


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
        found = figure(p.get("limit"))
        if found:
            p["limit"] = f"{(found[0] - found[1]) * 0.98!r} N"
        p["along"], p["across"] = (f"{sure(p[k]) * 0.97!r} m" for k in ("along", "across"))
    return {**made, "policy": policy}
