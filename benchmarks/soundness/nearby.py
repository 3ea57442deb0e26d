"""How often a plan to be watched has one that holds a few centimetres on, in its own window.

    python -m benchmarks.soundness.nearby WORKSHOPS [--seed 1] [--first 0]

The planner judges a few spots of each window. Here every usable plan that is *watch* is judged
again with the same stacks every 10 mm of its proved window; counted is whether one of them holds,
how far off it stands, and which checks were watched.
"""

from __future__ import annotations

import argparse
import sys
from collections import Counter
from pathlib import Path

import numpy as np

sys.path[:0] = [str(Path(__file__).resolve().parents[2] / part) for part in ("", "src")]

from benchmarks.soundness.again import again  # noqa: E402
from benchmarks.soundness.workshops import TODAY, Drawn, drawn  # noqa: E402
from underset.app import Wish, make_plan  # noqa: E402
from underset.errors import InputError  # noqa: E402
from underset.planner.candidates import Approach, setting_at, spot_windows_of  # noqa: E402
from underset.planner.stacks import choice_of  # noqa: E402
from underset.setting import Case, Evaluation, Status, Stop, evaluate  # noqa: E402

EVERY = 0.01  # m between the spots that are judged
MOST = 60  # of them in one window


def holding(case: Case, best: Evaluation) -> list[float]:
    """How far off each spot of the window stands at which the same stacks hold."""
    setting, memo = best.setting, dict[object, object]()
    approach = Approach(case, setting.heading, case.point_set(setting.point_set))
    low, high = setting.window
    here = [w for w in spot_windows_of(approach) if w.low - 1e-9 <= setting.spot <= w.high + 1e-9]
    found = []
    for spot in np.linspace(low, high, min(MOST, int((high - low) / EVERY) + 2)):
        there = setting_at(approach, Stop(setting.heading, float(spot)), here[0],
                           choice_of(case, setting))  # fmt: skip
        if there is not None and evaluate(case, there, memo=memo).status is Status.HOLDS:
            found.append(abs(float(spot) - setting.spot))
    return found


def looked(case: Drawn) -> tuple[str, list[str], list[float]] | None:
    """Status of the plan, what is watched, and where it holds; None where it is not usable."""
    try:
        wish = Wish("car", "job" if case.job else None, ("bay",), remedies=False)
        made = make_plan(case.workshop(), wish, TODAY)
    except InputError:
        return None
    best, numbers = made.plan.best, made.case
    if best is None or numbers is None or not best.usable:
        return None
    watched = sorted({c.name for c in best.checks if c.status is Status.WATCH})
    return best.status.value, watched, holding(numbers, best) if watched else []


def main() -> int:
    """Count and print."""
    about = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    about.add_argument("workshops", type=int)
    about.add_argument("--seed", type=int, default=1)
    about.add_argument("--first", type=int, default=0)
    told = about.parse_args()
    counts, why, off = Counter[str](), Counter[str](), list[float]()
    for number in range(told.first, told.first + told.workshops):
        base = drawn(told.seed, number)
        first = looked(base)
        if first is None:
            continue
        others = (looked(c) for c in again(base, np.random.default_rng((told.seed, number, 4))))
        for status, watched, there in (x for x in (first, *others) if x is not None):
            counts[status] += 1
            if there:
                counts["watch, and one holds in the window"] += 1
                why.update(watched)
                off.append(min(there))
                print(f"{told.seed}:{number}: holds {min(there):.3f} m on; watched {watched}")
    print(f"seed {told.seed}: {dict(counts)}; watched there: {dict(why)}")
    print(f"metres to the nearest that holds: {[round(x, 3) for x in sorted(off)]}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
