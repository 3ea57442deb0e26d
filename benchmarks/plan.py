"""One plan: medians of each sample vehicle, alone, with ten job steps, and with its window proved.

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
from underset.planner import Limits, proved, search
from underset.setting import Case, standing_on_file

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
    """Median processor time of a search, and of proving the window it found."""
    taken = []
    for _ in range(RUNS):
        began = time.process_time()
        found = search([case], FIRST)
        met = time.process_time()
        proved(case, found)
        taken.append((met - began, time.process_time() - met))
    return 1e3 * median(a for a, _ in taken), 1e3 * median(b for _, b in taken)


def profile(vehicle: str) -> None:
    """Where the time of one plan with ten steps goes."""
    case = stretched(case_of(vehicle, dict(PAIRS)[vehicle]), STEPS)
    search([case], FIRST)
    watched = cProfile.Profile()
    watched.runcall(search, [case], FIRST)
    pstats.Stats(watched).sort_stats("cumtime").print_stats(24)


def rows() -> list[tuple[str, float, float, float]]:
    """Vehicle and bay, and the median milliseconds of its plan, alone and with ten steps, and of
    the proof of its window.
    """
    found = []
    for vehicle, bay in PAIRS:
        case = case_of(vehicle, bay)
        plain, proof = milliseconds(case)
        ten, _ = milliseconds(stretched(case, STEPS))
        found.append((f"{vehicle} in {bay}", plain, ten, proof))
    return found


def main() -> None:
    if sys.argv[1:]:
        profile(sys.argv[1])
        return
    found = rows()
    for name, plain, ten, proof in found:
        print(f"{name}: plan {plain:.1f} ms; with ten steps {ten:.1f} ms; proof {proof:.1f} ms")
    print(f"median over the vehicles, ten steps: {median([r[2] for r in found]):.1f} ms")


if __name__ == "__main__":
    main()
