"""One plan: medians of each sample vehicle, alone and with ten job steps, and where time goes.

Processor time of one process, so that a busy machine disturbs little; medians of fifteen runs.

Run: python -m benchmarks.plan, or with the name of a vehicle for a profile of it.
"""

from __future__ import annotations

import cProfile
import pstats
import sys
import time
from dataclasses import replace
from datetime import date
from statistics import median

from underset.app import Wish, cases_for, open_workshop
from underset.planner import Limits, search
from underset.setting import Case, evaluate, standing_on_file

DAY = date(2026, 11, 20)
# Each vehicle of the sample that some bay takes, in the first bay that does.
PAIRS = (
    ("lock-runabout", "north"),
    ("harbour-hatch", "south"),
    ("ferry-saloon", "north"),
    ("market-suv", "north"),
    ("parcel-van", "south"),
    ("pilot-coupe", "south"),
    ("crew-pickup", "yard"),
)
STEPS = 10
RUNS = 15
FIRST = Limits(choices=1)


def case_of(vehicle: str, bay: str, job: str | None = None) -> Case:
    """The case of one vehicle in one bay."""
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


def milliseconds(case: Case) -> tuple[float, float]:
    """Median processor time of a search, and of judging its best setting alone."""
    whole, one = [], []
    best = search([case], FIRST).ranked()[0].evaluation.setting
    for _ in range(RUNS):
        began = time.process_time()
        search([case], FIRST)
        whole.append(time.process_time() - began)
        began = time.process_time()
        evaluate(case, best)
        one.append(time.process_time() - began)
    return 1e3 * median(whole), 1e3 * median(one)


def profile(vehicle: str) -> None:
    """Where the time of one plan with ten steps goes."""
    case = stretched(case_of(vehicle, dict(PAIRS)[vehicle]), STEPS)
    search([case], FIRST)
    watched = cProfile.Profile()
    watched.runcall(search, [case], FIRST)
    pstats.Stats(watched).sort_stats("cumtime").print_stats(24)


def main() -> None:
    if sys.argv[1:]:
        profile(sys.argv[1])
        return
    together = []
    for vehicle, bay in PAIRS:
        case = case_of(vehicle, bay)
        plain, ten = milliseconds(case), milliseconds(stretched(case, STEPS))
        together.append(ten[0])
        print(
            f"{vehicle} in {bay}: plan {plain[0]:.1f} ms (one setting {plain[1]:.1f} ms); "
            f"with ten steps {ten[0]:.1f} ms ({ten[1]:.1f} ms)"
        )
    print(f"median over the vehicles, ten steps: {median(together):.1f} ms")


if __name__ == "__main__":
    main()
