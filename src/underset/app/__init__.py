"""Use cases: load, compute, save, render. Web pages and commands call these and nothing below.

Names are fetched from their modules when first used, so that a command loads only what it needs.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from underset.app import accounts as accounts
    from underset.app import bookkeeping as bookkeeping
    from underset.app import card_prints as card_prints
    from underset.app import doubts as doubts
    from underset.app import entry as entry
    from underset.app import entry_check as entry_check
    from underset.app import entry_fields as entry_fields
    from underset.app import entry_rows as entry_rows
    from underset.app import entry_sets as entry_sets
    from underset.app import imports as imports
    from underset.app import joblist as joblist
    from underset.app import keeping as keeping
    from underset.app import kept_plans as kept_plans
    from underset.app import likely as likely
    from underset.app import papers as papers
    from underset.app import parked as parked
    from underset.app import plain as plain
    from underset.app import rendering as rendering
    from underset.app import runs as runs
    from underset.app import selftest as selftest
    from underset.app import sheets as sheets
    from underset.app import showing as showing
    from underset.app import stops as stops
    from underset.app import studying as studying
    from underset.app import tracing as tracing
    from underset.app import vehicles as vehicles
    from underset.app import weigh as weigh
    from underset.app import weigh_words as weigh_words
    from underset.app import wording as wording
    from underset.app.bookkeeping import KIND_NAMES as KIND_NAMES
    from underset.app.bookkeeping import PLAN_MADE as PLAN_MADE
    from underset.app.bookkeeping import Asked as Asked
    from underset.app.bookkeeping import Chain as Chain
    from underset.app.bookkeeping import Line as Line
    from underset.app.entry import Difference as Difference
    from underset.app.entry import Form as Form
    from underset.app.entry_check import Checked as Checked
    from underset.app.entry_check import Remark as Remark
    from underset.app.entry_sets import Slot as Slot
    from underset.app.imports import ImportLine as ImportLine
    from underset.app.imports import Preview as Preview
    from underset.app.joblist import JobLine as JobLine
    from underset.app.joblist import JobPapers as JobPapers
    from underset.app.kept_plans import PlanAgain as PlanAgain
    from underset.app.papers import DAILY_ITEMS as DAILY_ITEMS
    from underset.app.papers import AdapterPapers as AdapterPapers
    from underset.app.papers import Clash as Clash
    from underset.app.papers import LiftPapers as LiftPapers
    from underset.app.papers import LotLine as LotLine
    from underset.app.papers import PersonPapers as PersonPapers
    from underset.app.parked import ParkedShown as ParkedShown
    from underset.app.planning import Planned as Planned
    from underset.app.planning import Wish as Wish
    from underset.app.planning import cases_for as cases_for
    from underset.app.planning import make_plan as make_plan
    from underset.app.planning import papers_on_file as papers_on_file
    from underset.app.ranking import BayRank as BayRank
    from underset.app.ranking import ranked_bays as ranked_bays
    from underset.app.runs import Run as Run
    from underset.app.setting_at import At as At
    from underset.app.setting_at import There as There
    from underset.app.shop import FILE_NAME as FILE_NAME
    from underset.app.shop import Account as Account
    from underset.app.shop import Actor as Actor
    from underset.app.shop import Shop as Shop
    from underset.app.shop import open_shop as open_shop
    from underset.app.showing import told_figure as told_figure
    from underset.app.stops import Stood as Stood
    from underset.app.study_desk import Working as Working
    from underset.app.tracing import Trace as Trace
    from underset.app.vehicles import VehicleLine as VehicleLine
    from underset.app.vehicles import VehiclePage as VehiclePage
    from underset.app.words_entry_de import FIGURES_DE as FIGURES_DE
    from underset.app.words_entry_en import FIGURES_EN as FIGURES_EN
    from underset.app.workshops import home as home
    from underset.app.workshops import open_workshop as open_workshop
    from underset.app.workshops import sample_folder as sample_folder
    from underset.app.workshops import today as today

_MODULES = {
    "bookkeeping": (
        "Asked",
        "Chain",
        "KIND_NAMES",
        "Line",
        "PLAN_MADE",
    ),
    "entry": (
        "Difference",
        "Form",
    ),
    "entry_check": (
        "Checked",
        "Remark",
    ),
    "entry_sets": ("Slot",),
    "imports": ("ImportLine", "Preview"),
    "kept_plans": ("PlanAgain",),
    "joblist": (
        "JobLine",
        "JobPapers",
    ),
    "papers": (
        "AdapterPapers",
        "Clash",
        "DAILY_ITEMS",
        "LiftPapers",
        "LotLine",
        "PersonPapers",
    ),
    "parked": ("ParkedShown",),
    "planning": (
        "Planned",
        "Wish",
        "cases_for",
        "make_plan",
        "papers_on_file",
    ),
    "ranking": (
        "BayRank",
        "ranked_bays",
    ),
    "runs": ("Run",),
    "setting_at": (
        "At",
        "There",
    ),
    "shop": (
        "Account",
        "Actor",
        "FILE_NAME",
        "Shop",
        "open_shop",
    ),
    "showing": ("told_figure",),
    "stops": ("Stood",),
    "study_desk": ("Working",),
    "tracing": ("Trace",),
    "vehicles": (
        "VehicleLine",
        "VehiclePage",
    ),
    "words_entry_de": ("FIGURES_DE",),
    "words_entry_en": ("FIGURES_EN",),
    "workshops": (
        "home",
        "open_workshop",
        "sample_folder",
        "today",
    ),
}
_HOMES = {name: module for module, names in _MODULES.items() for name in names}

__all__ = [
    "DAILY_ITEMS",
    "FIGURES_DE",
    "FIGURES_EN",
    "FILE_NAME",
    "KIND_NAMES",
    "PLAN_MADE",
    "Account",
    "Actor",
    "AdapterPapers",
    "Asked",
    "At",
    "BayRank",
    "Chain",
    "Checked",
    "Clash",
    "Difference",
    "Form",
    "ImportLine",
    "JobLine",
    "JobPapers",
    "LiftPapers",
    "Line",
    "LotLine",
    "ParkedShown",
    "PersonPapers",
    "PlanAgain",
    "Planned",
    "Preview",
    "Remark",
    "Run",
    "Shop",
    "Slot",
    "Stood",
    "There",
    "Trace",
    "VehicleLine",
    "VehiclePage",
    "Wish",
    "Working",
    "accounts",
    "bookkeeping",
    "card_prints",
    "cases_for",
    "doubts",
    "entry",
    "entry_check",
    "entry_fields",
    "entry_rows",
    "entry_sets",
    "home",
    "imports",
    "joblist",
    "keeping",
    "kept_plans",
    "likely",
    "make_plan",
    "open_shop",
    "open_workshop",
    "papers",
    "papers_on_file",
    "parked",
    "plain",
    "ranked_bays",
    "rendering",
    "runs",
    "sample_folder",
    "selftest",
    "sheets",
    "showing",
    "stops",
    "studying",
    "today",
    "told_figure",
    "tracing",
    "vehicles",
    "weigh",
    "weigh_words",
    "wording",
]


def __getattr__(name: str) -> Any:
    if name in _HOMES:
        return getattr(import_module(f"underset.app.{_HOMES[name]}"), name)
    if name in __all__:
        return import_module(f"underset.app.{name}")
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
