"""Use cases: load, compute, save, render. Web pages and commands call these and nothing below."""

from underset.app.planning import Planned, Wish, cases_for, make_plan
from underset.app.workshops import home, open_workshop, sample_folder, today

__all__ = [
    "Planned",
    "Wish",
    "cases_for",
    "home",
    "make_plan",
    "open_workshop",
    "sample_folder",
    "today",
]
