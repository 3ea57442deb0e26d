"""Studies: which bay takes which vehicle, what to buy, which lift, the day, and how to run them.

Names are fetched from their modules when first used, so that nothing heavy loads before it is
needed.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from underset.studies import batch as batch
    from underset.studies import buying as buying
    from underset.studies import chances as chances
    from underset.studies import charts as charts
    from underset.studies import coverage as coverage
    from underset.studies import coverage_table as coverage_table
    from underset.studies import day as day
    from underset.studies import day_table as day_table
    from underset.studies import executor as executor
    from underset.studies import fleet as fleet
    from underset.studies import fleet_records as fleet_records
    from underset.studies import journal as journal
    from underset.studies import kit as kit
    from underset.studies import lifts_table as lifts_table
    from underset.studies.batch import Survey as Survey
    from underset.studies.batch_build import BatchBay as BatchBay
    from underset.studies.batch_build import bay_table as bay_table
    from underset.studies.chances import Chance as Chance
    from underset.studies.chances import Chances as Chances
    from underset.studies.chances import Driver as Driver
    from underset.studies.chances import chances_of as chances_of
    from underset.studies.chart_day import headline as headline
    from underset.studies.chart_day import printable as printable
    from underset.studies.chart_day import why_not as why_not
    from underset.studies.charts import board_picture as board_picture
    from underset.studies.charts import coverage_picture as coverage_picture
    from underset.studies.charts import curve_picture as curve_picture
    from underset.studies.charts import lifts_picture as lifts_picture
    from underset.studies.charts import screen_styles as screen_styles
    from underset.studies.coverage import Cell as Cell
    from underset.studies.coverage import Coverage as Coverage
    from underset.studies.coverage import Pair as Pair
    from underset.studies.coverage import Run as Run
    from underset.studies.coverage import cover as cover
    from underset.studies.coverage_table import Telling as Telling
    from underset.studies.coverage_table import mark as mark
    from underset.studies.coverage_table import why as why
    from underset.studies.day import Board as Board
    from underset.studies.day import Change as Change
    from underset.studies.day import Day as Day
    from underset.studies.day import DayBay as DayBay
    from underset.studies.day import DayJob as DayJob
    from underset.studies.day import DayPerson as DayPerson
    from underset.studies.day import Effort as Effort
    from underset.studies.day import Refusal as Refusal
    from underset.studies.day import Scarce as Scarce
    from underset.studies.day import Short as Short
    from underset.studies.day import Slot as Slot
    from underset.studies.day import Steadiness as Steadiness
    from underset.studies.day import faults as faults
    from underset.studies.day import replan as replan
    from underset.studies.day import schedule as schedule
    from underset.studies.day_case import Stretch as Stretch
    from underset.studies.executor import HERE as HERE
    from underset.studies.executor import Cluster as Cluster
    from underset.studies.executor import Here as Here
    from underset.studies.executor import Place as Place
    from underset.studies.executor import Pool as Pool
    from underset.studies.executor import Progress as Progress
    from underset.studies.executor import Spread as Spread
    from underset.studies.executor import Watch as Watch
    from underset.studies.executor import run as run
    from underset.studies.fleet import Columns as Columns
    from underset.studies.fleet import Fleet as Fleet
    from underset.studies.fleet_records import name_of as name_of
    from underset.studies.fleet_records import vehicle_of as vehicle_of
    from underset.studies.fleet_records import vehicles as vehicles
    from underset.studies.journal import Journal as Journal
    from underset.studies.kit import Buy as Buy
    from underset.studies.kit import Curve as Curve
    from underset.studies.kit import Kit as Kit
    from underset.studies.kit import KitCase as KitCase
    from underset.studies.kit import Limits as Limits
    from underset.studies.kit import Offer as Offer
    from underset.studies.kit import Served as Served
    from underset.studies.kit import Stock as Stock
    from underset.studies.kit import Unserved as Unserved
    from underset.studies.kit import Visit as Visit
    from underset.studies.kit import Way as Way
    from underset.studies.kit import greatest_share as greatest_share
    from underset.studies.kit import least_cost as least_cost
    from underset.studies.kit import trade_off as trade_off
    from underset.studies.lifts import Candidate as Candidate
    from underset.studies.lifts import Choosing as Choosing
    from underset.studies.lifts import LiftChoice as LiftChoice
    from underset.studies.lifts import choose as choose
    from underset.studies.proof import Goal as Goal
    from underset.studies.proof import Proof as Proof
    from underset.studies.ways import Ask as Ask
    from underset.studies.ways import Sold as Sold
    from underset.studies.ways import kit_case as kit_case
    from underset.studies.ways import own_way_of_ask as own_way_of_ask
    from underset.studies.ways import way_of as way_of
    from underset.studies.ways import ways_of_ask as ways_of_ask

_MODULES = {
    "batch_build": (
        "BatchBay",
        "bay_table",
    ),
    "lifts": (
        "Candidate",
        "Choosing",
        "LiftChoice",
        "choose",
    ),
    "ways": (
        "Ask",
        "Sold",
        "kit_case",
        "own_way_of_ask",
        "way_of",
        "ways_of_ask",
    ),
    "chances": ("Chance", "Chances", "Driver", "chances_of"),
    "chart_day": ("headline", "printable", "why_not"),
    "charts": (
        "board_picture",
        "coverage_picture",
        "curve_picture",
        "lifts_picture",
        "screen_styles",
    ),
    "coverage": ("Cell", "Coverage", "Pair", "Run", "cover"),
    "batch": ("Survey",),
    "coverage_table": ("Telling", "mark", "why"),
    "day": (
        "Board",
        "Change",
        "Day",
        "DayBay",
        "DayJob",
        "DayPerson",
        "Effort",
        "Refusal",
        "Scarce",
        "Short",
        "Slot",
        "Steadiness",
        "faults",
        "replan",
        "schedule",
    ),
    "day_case": ("Stretch",),
    "executor": ("HERE", "Cluster", "Here", "Place", "Pool", "Progress", "Spread", "Watch", "run"),
    "fleet": ("Columns", "Fleet"),
    "fleet_records": ("name_of", "vehicle_of", "vehicles"),
    "journal": ("Journal",),
    "kit": (
        "Buy",
        "Curve",
        "Kit",
        "KitCase",
        "Limits",
        "Offer",
        "Served",
        "Stock",
        "Unserved",
        "Visit",
        "Way",
        "greatest_share",
        "least_cost",
        "trade_off",
    ),
    "proof": ("Goal", "Proof"),
}
_HOMES = {name: module for module, names in _MODULES.items() for name in names}

__all__ = [
    "HERE",
    "Ask",
    "BatchBay",
    "Board",
    "Buy",
    "Candidate",
    "Cell",
    "Chance",
    "Chances",
    "Change",
    "Choosing",
    "Cluster",
    "Columns",
    "Coverage",
    "Curve",
    "Day",
    "DayBay",
    "DayJob",
    "DayPerson",
    "Driver",
    "Effort",
    "Fleet",
    "Goal",
    "Here",
    "Journal",
    "Kit",
    "KitCase",
    "LiftChoice",
    "Limits",
    "Offer",
    "Pair",
    "Place",
    "Pool",
    "Progress",
    "Proof",
    "Refusal",
    "Run",
    "Scarce",
    "Served",
    "Short",
    "Slot",
    "Sold",
    "Spread",
    "Steadiness",
    "Stock",
    "Stretch",
    "Survey",
    "Telling",
    "Unserved",
    "Visit",
    "Watch",
    "Way",
    "batch",
    "bay_table",
    "board_picture",
    "buying",
    "chances",
    "chances_of",
    "charts",
    "choose",
    "cover",
    "coverage",
    "coverage_picture",
    "coverage_table",
    "curve_picture",
    "day",
    "day_table",
    "executor",
    "faults",
    "fleet",
    "fleet_records",
    "greatest_share",
    "headline",
    "journal",
    "kit",
    "kit_case",
    "least_cost",
    "lifts_picture",
    "lifts_table",
    "mark",
    "name_of",
    "own_way_of_ask",
    "printable",
    "replan",
    "run",
    "schedule",
    "screen_styles",
    "trade_off",
    "vehicle_of",
    "vehicles",
    "way_of",
    "ways_of_ask",
    "why",
    "why_not",
]


def __getattr__(name: str) -> Any:
    if name in _HOMES:
        return getattr(import_module(f"underset.studies.{_HOMES[name]}"), name)
    if name in __all__:
        return import_module(f"underset.studies.{name}")
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
