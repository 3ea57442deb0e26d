"""Soundness sweep: random vehicles and bays, every plan called usable judged a second time.

    python -m benchmarks.soundness [CASES] [SEED]

Prints how many plans were usable, and every one that the second judge refuses (there must be
none), with the seed that makes it again.
"""

from __future__ import annotations

import json
import sys
import time
from collections import Counter
from typing import Any

import numpy as np

from benchmarks.soundness.judge import broken, figure
from underset.app import Wish, make_plan, open_workshop, today
from underset.card import plan_json
from underset.records import Workshop, from_json, to_json

VARIED = (
    "harbour-hatch",
    "ferry-saloon",
    "lock-runabout",
    "pilot-coupe",
    "market-suv",
    "crew-pickup",
    "parcel-van",
)


def varied(workshop: Workshop, rng: np.random.Generator) -> tuple[Workshop, str, str]:
    """A workshop with one vehicle and one bay changed at random, and their names."""
    name = str(rng.choice(VARIED))
    bay_name = str(rng.choice(sorted(workshop.bays)))
    vehicle = _plain(to_json(workshop.vehicles[name]))
    bay = _plain(to_json(workshop.bays[bay_name]))
    for key in ("lf", "rf", "lr", "rr", "front", "rear"):
        _scale(vehicle["weights"], key, rng, 0.75, 1.35)
    for point_set in vehicle["point_sets"]:
        shift = rng.uniform(-0.12, 0.12, 2)
        for p in point_set["points"]:
            _shift(p, "aft", shift[0 if p["corner"].endswith("F") else 1])
            _scale(p, "along", rng, 0.4, 1.5)
            _scale(p, "up", rng, 0.9, 1.2)
    for arm in bay["arms"].values():
        _scale(arm, "reach_high", rng, 0.9, 1.15)
    if bay["restraint"]["kind"] == "toothed":
        _scale(bay["restraint"], "pitch", rng, 0.6, 1.8)
    made = Workshop(
        workshop.about, workshop.policy,
        {name: from_json(type(workshop.vehicles[name]), json.dumps(vehicle))},
        {bay_name: from_json(type(workshop.bays[bay_name]), json.dumps(bay))},
        workshop.adapters, {},
    )  # fmt: skip
    return made, name, bay_name


def _plain(data: Any) -> Any:
    return json.loads(data if isinstance(data, str) else json.dumps(data))


def _text(record: dict[str, Any], key: str) -> Any:
    entry = record.get(key)
    return entry["value"] if isinstance(entry, dict) else entry


def _put(record: dict[str, Any], key: str, value: float, tol: float) -> None:
    unit = (
        "rad"
        if key == "pitch"
        else "kg"
        if key in ("lf", "rf", "lr", "rr", "front", "rear")
        else "m"
    )
    text = f"{value:.9f} ± {tol:.9f} {unit}" if tol else f"{value:.9f} {unit}"
    if isinstance(record[key], dict):
        record[key] = {**record[key], "value": text}
    else:
        record[key] = text


def _scale(
    record: dict[str, Any], key: str, rng: np.random.Generator, low: float, high: float
) -> None:
    found = figure(_text(record, key))
    if found:
        _put(record, key, found[0] * rng.uniform(low, high), found[1])


def _shift(record: dict[str, Any], key: str, by: float) -> None:
    found = figure(_text(record, key))
    if found:
        _put(record, key, found[0] + by, found[1])


def sweep(cases: int, seed: int) -> tuple[Counter[str], list[str]]:
    """Plan and judge; counts by outcome, and what the second judge refuses."""
    workshop, counts, refused = open_workshop(None), Counter[str](), []
    for i in range(cases):
        rng = np.random.default_rng((seed, i))
        shop, name, bay = varied(workshop, rng)
        planned = make_plan(shop, Wish(name, None, (bay,), remedies=False), today())
        plan = _plain(plan_json(planned.plan))
        counts[plan["outcome"]] += 1
        if plan["outcome"] == "found":
            told = broken(plan, _facts(shop, name, bay), rng)
            refused += [f"case {i} of seed {seed}, {name} in {bay}: {t}" for t in told]
    return counts, refused


def _facts(shop: Workshop, name: str, bay: str) -> dict[str, Any]:
    return {
        "vehicle": _plain(to_json(shop.vehicles[name])),
        "bay": _plain(to_json(shop.bays[bay])),
        "bay_id": bay,
        "adapters": {k: _plain(to_json(a)) for k, a in shop.adapters.items()},
        "policy": {t.name: t.value for t in shop.policy.thresholds},
    }


def main() -> int:
    """Run the sweep and print it."""
    cases = int(sys.argv[1]) if len(sys.argv) > 1 else 1000
    seed = int(sys.argv[2]) if len(sys.argv) > 2 else 1
    start = time.perf_counter()
    counts, refused = sweep(cases, seed)
    for line in refused[:50]:
        print(line)
    took = time.perf_counter() - start
    print(
        f"{cases} cases in {took:.0f} s, seed {seed}: {dict(counts)}; false usable: {len(refused)}"
    )
    return 1 if refused else 0


if __name__ == "__main__":
    sys.exit(main())
