"""One plan: medians without a job and with ten job steps, and where the time goes.

Run: python -m benchmarks.plan
"""

from __future__ import annotations

import cProfile
import pstats
import time
from dataclasses import replace
from datetime import date
from statistics import median

from underset.app import Wish, cases_for, open_workshop
from underset.planner import Limits, search
from underset.setting import Case, evaluate, standing_on_file

DAY = date(2026, 11, 20)
PAIRS = (("lock-runabout", "north"), ("harbour-hatch", "south"), ("crew-pickup", "yard"))


def case_of(vehicle: str, bay: str, job: str | None = None) -> Case:
    shop = open_workshop(None)
    return cases_for(shop, Wish(vehicle, job, (bay,)), standing_on_file(shop, DAY))[bay]


def stretched(case: Case, steps: int) -> Case:
    """The case with its states repeated, each a little lighter, to so many steps."""
    base = case.states[-1]
    more = []
    for n in range(steps):
        item = replace(base.items[0], mass=base.items[0].mass - n)
        more.append(replace(base, name=f"extra-{n}", items=(item, *base.items[1:])))
    return replace(case, states=(*case.states[:1], *more))


def milliseconds(case: Case, runs: int = 15) -> tuple[float, float]:
    """Median processor time of a search, and of judging its best setting alone."""
    whole, one = [], []
    best = search([case], Limits(choices=1)).ranked()[0].evaluation.setting
    for _ in range(runs):
        began = time.process_time()
        search([case], Limits(choices=1))
        whole.append(time.process_time() - began)
        began = time.process_time()
        evaluate(case, best)
        one.append(time.process_time() - began)
    return 1e3 * median(whole), 1e3 * median(one)


def main() -> None:
    for vehicle, bay in PAIRS:
        case = case_of(vehicle, bay)
        plain, ten = milliseconds(case), milliseconds(stretched(case, 10))
        print(
            f"{vehicle} in {bay}: plan {plain[0]:.1f} ms (one setting {plain[1]:.1f} ms); "
            f"with ten steps {ten[0]:.1f} ms ({ten[1]:.1f} ms)"
        )
    profile = cProfile.Profile()
    profile.runcall(search, [case_of(*PAIRS[0])], Limits(choices=1))
    pstats.Stats(profile).sort_stats("cumtime").print_stats(14)


if __name__ == "__main__":
    main()
