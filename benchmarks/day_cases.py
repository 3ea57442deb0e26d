"""Invented days for the benchmark of the day's board: a port town's municipal workshop."""

from __future__ import annotations

import random

from underset.studies.day import Day, DayBay, DayJob, DayPerson, Stock, Way

BAYS = ("bay-1", "bay-2", "bay-3", "bay-4", "bay-5", "bay-6")
OPEN, NOON, BACK, CLOSE = 7 * 60, 12 * 60, 12 * 60 + 30, 17 * 60
PROMISED = (10 * 60, 12 * 60, 14 * 60, 16 * 60, 17 * 60)
SERVED = {
    "hatch": (BAYS[:5], (("pinch-block", 4),)),
    "crossover": (BAYS[:5], (("pinch-block", 2), ("flat-head", 2))),
    "van": (BAYS[1:5], (("tall-head", 4),)),
    "pickup": (BAYS[4:], (("frame-cradle", 4),)),
}


def day(seed: int, jobs: int = 40, block_sets: int = 2) -> Day:
    """A full day: two out of three vehicles want pinch-weld blocks, of which there are few sets."""
    rng = random.Random(seed)
    work = tuple(_job(rng, i) for i in range(jobs))
    bays = tuple(DayBay(b, ((13 * 60, 14 * 60),) if b == "bay-2" else ()) for b in BAYS)
    stock = (
        Stock("pinch-block", 4 * block_sets),
        Stock("flat-head", 8),
        Stock("tall-head", 4),
        Stock("tall-head", 4, "bay-4"),
        Stock("frame-cradle", 8),
        Stock("stand", 6),
    )
    return Day(work, bays, _people(), stock)


def _job(rng: random.Random, i: int) -> DayJob:
    kind = rng.choices(tuple(SERVED), (55, 20, 15, 10))[0]
    minutes = rng.choice((20, 25, 30, 30, 40, 45, 60, 75, 90))
    release = rng.choice((OPEN, OPEN, OPEN, 8 * 60, 9 * 60, 11 * 60))
    due = rng.choice([p for p in PROMISED if p >= release + minutes + 60])
    stands = (("stand", 2),) if minutes >= 75 else ()
    bays, needs = SERVED[kind]
    ways = tuple(Way(b, needs + stands) for b in bays)
    skill = rng.choice(("", "", "", "brakes", "diagnosis"))
    return DayJob(f"job-{i:02}", kind, minutes, due, ways, release, skill)


def _people() -> tuple[DayPerson, ...]:
    split = ((OPEN, NOON), (BACK, CLOSE))
    late = ((8 * 60, 13 * 60), (13 * 60 + 30, CLOSE))
    return (
        DayPerson("technician-a", split, ("brakes",)),
        DayPerson("technician-b", split, ("brakes",)),
        DayPerson("technician-c", split, ("brakes", "diagnosis")),
        DayPerson("technician-d", late, ("diagnosis",)),
        DayPerson("technician-e", late, ("brakes",)),
        DayPerson("technician-f", late),
    )
