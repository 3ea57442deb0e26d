"""Pictures of the studies: invented shops and days, small enough to be worked out at once."""

from __future__ import annotations

from collections.abc import Callable

from underset.setting import Outcome, Status
from underset.studies import (
    Cell,
    Coverage,
    Day,
    DayBay,
    DayJob,
    DayPerson,
    Effort,
    KitCase,
    LiftChoice,
    Offer,
    Stock,
    Telling,
    Visit,
    Way,
    board_picture,
    coverage_picture,
    curve_picture,
    lifts_picture,
    schedule,
    trade_off,
)
from underset.studies.lifts import CHANGES, Sensitivity

BAYS = ("North bay", "South bay", "Yard bay")
FLEET = (
    ("Small hatch", 120.0, (0.24, 0.31, None)),
    ("Saloon", 95.0, (0.02, 0.27, None)),
    ("Family van", 60.0, (None, 0.18, 0.22)),
    ("Long van", 40.0, (None, None, 0.12)),
    ("Pickup", 25.0, (None, None, 0.16)),
    ("Low coupe", 12.0, (None, None, None)),
)
TELLING = Telling()
UNHURRIED = Effort(seconds=3600.0)  # stopped by work, never by the clock: the same on any machine


def coverage() -> str:
    cells = [
        _cell(name, visits, bay, margin)
        for name, visits, margins in FLEET
        for bay, margin in zip(BAYS, margins, strict=True)
    ]
    told = Coverage(tuple(n for n, _, _ in FLEET), BAYS, tuple(cells), invented=True)
    return coverage_picture(told, TELLING, "print")


def _cell(name: str, visits: float, bay: str, margin: float | None) -> Cell:
    if margin is None:
        remedy = "Add 4 × low pad (none on file)." if name == "Low coupe" else ""
        return Cell(name, bay, Outcome.NONE, visits, remedy=remedy)
    status = Status.WATCH if margin < 0.1 else Status.HOLDS
    return Cell(name, bay, Outcome.FOUND, visits, status=status, least_margin=margin)


def buying() -> str:
    """Six vehicles, five offers, one shelf: every purchase worth having, proved."""
    needs = (
        ("Small hatch", 120.0, ()),
        ("Saloon", 95.0, (("Peg head", 4),)),
        ("Family van", 60.0, (("Screw pad", 4), ("Spacer 100", 4))),
        ("Long van", 40.0, (("Spacer 100", 4),)),
        ("Pickup", 25.0, (("Frame cradle", 4), ("Spacer 100", 4))),
        ("Low coupe", 12.0, (("Low pad", 4),)),
    )
    prices = {"Peg head": 140.0, "Screw pad": 90.0, "Spacer 100": 60.0, "Frame cradle": 210.0}
    offers = [Offer(k, p, ((k, 1),)) for k, p in {**prices, "Low pad": 180.0}.items()]
    visits = tuple(Visit(v, w, (Way("South bay", n),)) for v, w, n in needs)
    curve = trade_off(KitCase(visits, tuple(offers)))
    return curve_picture(curve, TELLING, "print", currency="EUR", invented=True)


def lifts() -> str:
    """Two lifts on offer; figures invented."""
    gains = {
        "Long arms": (0.0, 0.0, 0.0, 0.03, 0.0, 0.09),
        "Low seat": (0.17, 0.0, 0.0, 0.0, 0.0, 0.0),
    }
    found = (
        LiftChoice("Long arms", 0.71, 0.93, 0.22, 0.97, 760.0, (), _gains(gains["Long arms"])),
        LiftChoice("Low seat", 0.52, 0.79, 0.08, 0.79, 0.0, (), _gains(gains["Low seat"])),
    )
    return lifts_picture(found, TELLING, "print", currency="EUR", invented=True)


def _gains(gains: tuple[float, ...]) -> tuple[Sensitivity, ...]:
    changes = zip(CHANGES.items(), gains, strict=True)
    return tuple(Sensitivity(name, change, gain) for (name, (change, _)), gain in changes)


def day() -> str:
    """Eight jobs, three bays, one set of blocks; a lift out for an hour."""
    blocks, pads = (("Pinch block", 4),), (("Screw pad", 4),)
    jobs = (
        _job("Hatch: brakes", 90, 11, blocks), _job("Hatch: springs", 120, 13, blocks),
        _job("Hatch: exhaust", 60, 16, blocks), _job("Saloon: clutch", 240, 16, pads),
        _job("Saloon: gearbox oil", 60, 12, pads), _job("Van: shafts", 150, 16, ()),
        _job("Van: inspection", 60, 10, ()), _job("Van: rear axle", 300, 16, (), "Yard bay"),
    )  # fmt: skip
    bays = (DayBay("North bay", ((780, 840),)), DayBay("South bay"), DayBay("Yard bay"))
    hours = ((420, 720), (750, 960))
    people = tuple(DayPerson(f"Technician {x}", hours) for x in "ABC")
    today = Day(jobs, bays, people, (Stock("Pinch block", 4), Stock("Screw pad", 8)))
    return board_picture(today, schedule(today, UNHURRIED), TELLING, "print", invented=True)


def _job(
    name: str, minutes: int, due: int, needs: tuple[tuple[str, int], ...], only: str = ""
) -> DayJob:
    ways = tuple(Way(b, needs) for b in BAYS if only in ("", b))
    return DayJob(name, name, minutes, 60 * due, ways)


PAGES: dict[str, Callable[[], str]] = {
    "figures/study-coverage.svg": coverage,
    "figures/study-buying.svg": buying,
    "figures/study-lifts.svg": lifts,
    "figures/study-day.svg": day,
}
