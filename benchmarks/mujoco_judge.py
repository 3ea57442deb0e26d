"""Thousands of random cases judged and then simulated with MuJoCo.

    python benchmarks/mujoco_judge.py --cases 2000 --first 0

A case that the judge calls usable must stand a push of the judge's size at a random corner of its
tolerances, and every pad load must lie in the judged range. Every third case also compares forces.
Prints what was found and ends with 1 where a usable case was upset.
"""

from __future__ import annotations

import argparse
import sys
import time
from pathlib import Path
from random import Random

sys.path[:0] = [str(Path(__file__).resolve().parents[1] / part) for part in ("", "src")]

from tests.mujoco_judge import (  # noqa: E402
    drawn,
    emptying_force,
    loads_outside,
    sliding_force,
    stand_load,
    tipping_force,
    upset_by_a_push,
)

FORCES = {"emptying": emptying_force, "tipping": tipping_force, "sliding": sliding_force}


def main() -> int:
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--cases", type=int, default=2000)
    options.add_argument("--first", type=int, default=0)
    told = options.parse_args()
    started = time.perf_counter()
    seeds = range(told.first, told.first + told.cases)
    usable, upset, outside = 0, [], []
    for seed in seeds:
        d = drawn(seed)
        if d.usable:
            usable += 1
            if why := upset_by_a_push(d, Random(1_000_000 + seed)):
                upset.append((seed, why))
        if why := loads_outside(d, Random(2_000_000 + seed)):
            outside.append((seed, why))
    print(f"{len(seeds)} cases, {usable} judged usable, {len(upset)} of them upset by a push")
    print(f"pad loads outside the judged range: {len(outside)} of {len(seeds)}")
    for seed, why in (*upset, *outside):
        print(f"  seed {seed}: {why}")
    compare_forces(seeds)
    compare_stands(seeds)
    print(f"{time.perf_counter() - started:.0f} s")
    return 1 if upset or outside else 0


def compare_forces(seeds: range) -> None:
    """Simulated over judged force: least, median and greatest."""
    for name, force in FORCES.items():
        ratios = []
        for seed in seeds[::3]:
            d = drawn(seed, exact=True)
            if d.usable:
                judged, simulated = force(d)
                ratios.append((simulated / judged, seed))
        if ratios:
            ratios.sort()
            (low, first), (high, last) = ratios[0], ratios[-1]
            print(
                f"{name} force, simulated over judged: {low:.3f} (seed {first}) to {high:.3f}"
                f" (seed {last}), median {ratios[len(ratios) // 2][0]:.3f}, {len(ratios)} cases",
                flush=True,
            )


def compare_stands(seeds: range) -> None:
    """How far a stand's simulated load leaves its range, as a part of the weight."""
    worst = -1.0
    for seed in seeds[::3]:
        low, high, simulated, weight = stand_load(seed)
        worst = max(worst, (low - simulated) / weight, (simulated - high) / weight)
    print(f"stand loads: worst {worst:+.4f} of the weight beyond their range (negative: inside)")


if __name__ == "__main__":
    sys.exit(main())
