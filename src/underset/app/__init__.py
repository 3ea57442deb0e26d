"""Use cases: load, compute, save, render. Web pages and commands call these and nothing below.

Names are fetched from their modules when first used, so that a command loads only what it needs.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from underset.app import entry as entry
    from underset.app import entry_check as entry_check
    from underset.app import entry_fields as entry_fields
    from underset.app import entry_rows as entry_rows
    from underset.app import imports as imports
    from underset.app import sheets as sheets
    from underset.app import tracing as tracing
    from underset.app import vehicles as vehicles
    from underset.app import accounts as accounts
    from underset.app import bookkeeping as bookkeeping
    from underset.app import plain as plain
    from underset.app import likely as likely
    from underset.app import rendering as rendering
    from underset.app import runs as runs
    from underset.app import selftest as selftest
    from underset.app import showing as showing
    from underset.app import stops as stops
    from underset.app import weigh as weigh
    from underset.app import studying as studying
    from underset.app.entry import Difference as Difference
    from underset.app.entry import Form as Form
    from underset.app.entry_check import Checked as Checked
    from underset.app.entry_check import Remark as Remark
    from underset.app.imports import Preview as Preview
    from underset.app.words_entry_de import FIGURES_DE as FIGURES_DE
    from underset.app.words_entry_en import FIGURES_EN as FIGURES_EN
    from underset.app.tracing import Trace as Trace
    from underset.app.vehicles import VehicleLine as VehicleLine
    from underset.app.vehicles import VehiclePage as VehiclePage
    from underset.app.planning import Planned as Planned
    from underset.app.planning import Wish as Wish
    from underset.app.planning import cases_for as cases_for
    from underset.app.planning import make_plan as make_plan
    from underset.app.ranking import BayRank as BayRank
    from underset.app.ranking import ranked_bays as ranked_bays
    from underset.app.setting_at import At as At
    from underset.app.setting_at import There as There
    from underset.app.shop import Account as Account
    from underset.app.shop import Actor as Actor
    from underset.app.shop import Shop as Shop
    from underset.app.shop import open_shop as open_shop
    from underset.app.workshops import home as home
    from underset.app.workshops import open_workshop as open_workshop
    from underset.app.workshops import sample_folder as sample_folder
    from underset.app.workshops import today as today

_MODULES = {
    "entry": ("Difference", "Form"),
    "entry_check": ("Checked", "Remark"),
    "imports": ("Preview",),
    "words_entry_de": ("FIGURES_DE",),
    "words_entry_en": ("FIGURES_EN",),
    "tracing": ("Trace",),
    "vehicles": ("VehicleLine", "VehiclePage"),
    "planning": ("Planned", "Wish", "cases_for", "make_plan"),
    "ranking": ("BayRank", "ranked_bays"),
    "setting_at": ("At", "There"),
    "shop": ("Account", "Actor", "Shop", "open_shop"),
    "workshops": ("home", "open_workshop", "sample_folder", "today"),
}
_HOMES = {name: module for module, names in _MODULES.items() for name in names}

__all__ = [
    "entry",
    "entry_check",
    "entry_fields",
    "entry_rows",
    "imports",
    "sheets",
    "FIGURES_DE",
    "FIGURES_EN",
    "tracing",
    "Preview",
    "vehicles",
    "Trace",
    "Difference",
    "Form",
    "Checked",
    "Remark",
    "VehicleLine",
    "VehiclePage",
    "Account",
    "Actor",
    "At",
    "BayRank",
    "Planned",
    "Shop",
    "There",
    "Wish",
    "accounts",
    "bookkeeping",
    "cases_for",
    "home",
    "likely",
    "make_plan",
    "open_shop",
    "open_workshop",
    "plain",
    "ranked_bays",
    "rendering",
    "runs",
    "sample_folder",
    "selftest",
    "showing",
    "stops",
    "studying",
    "today",
    "weigh",
]


def __getattr__(name: str) -> Any:
    if name in _HOMES:
        return getattr(import_module(f"underset.app.{_HOMES[name]}"), name)
    if name in __all__:
        return import_module(f"underset.app.{name}")
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
