"""Cases of the invented sample workshop, read once."""

from __future__ import annotations

from datetime import date
from functools import cache
from pathlib import Path

from underset.job.states import states_of
from underset.planner.search import Found, search
from underset.records.reading import read_workshop
from underset.records.workshop import Workshop
from underset.setting.build import bay_numbers, shelf, vehicle_numbers
from underset.setting.evaluate import Case
from underset.setting.standing import standing_on_file

FOLDER = Path(__file__).resolve().parents[1] / "examples" / "quayside"


@cache
def workshop() -> Workshop:
    """The sample workshop."""
    return read_workshop(FOLDER)


@cache
def case(vehicle: str, bay: str, job: str | None = None) -> Case:
    """One vehicle in one bay, for a job or none."""
    shop = workshop()
    today = shop.day(date(2026, 11, 25))
    papers = standing_on_file(shop, today)
    numbers = vehicle_numbers(vehicle, shop.vehicles[vehicle], shop.policy)
    states = states_of(numbers, shop.jobs[job] if job else None)
    return Case(
        numbers, bay_numbers(bay, shop.bays[bay]), shelf(shop.adapters, bay, papers), shop.policy,
        papers, numbers.intake, states, job,
    )  # fmt: skip


@cache
def searched(vehicle: str, bay: str, job: str | None = None) -> Found:
    """What the planner finds for it."""
    return search([case(vehicle, bay, job)])
