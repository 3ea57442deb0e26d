"""Studies: which bay takes which vehicle, what to buy, which lift, the day, and how to run them.

Names are fetched from their modules when first used, so that nothing heavy loads before it is
needed.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from underset.studies import chances as chances
    from underset.studies import coverage as coverage
    from underset.studies import coverage_table as coverage_table
    from underset.studies.chances import Chance as Chance
    from underset.studies.chances import Chances as Chances
    from underset.studies.chances import Driver as Driver
    from underset.studies.chances import chances_of as chances_of
    from underset.studies.coverage import Cell as Cell
    from underset.studies.coverage import Coverage as Coverage
    from underset.studies.coverage import Pair as Pair
    from underset.studies.coverage import Run as Run
    from underset.studies.coverage import cover as cover
    from underset.studies.coverage_table import Telling as Telling

_MODULES = {
    "chances": ("Chance", "Chances", "Driver", "chances_of"),
    "coverage": ("Cell", "Coverage", "Pair", "Run", "cover"),
    "coverage_table": ("Telling",),
}
_HOMES = {name: module for module, names in _MODULES.items() for name in names}

__all__ = [
    "Cell",
    "Chance",
    "Chances",
    "Coverage",
    "Driver",
    "Pair",
    "Run",
    "Telling",
    "chances",
    "chances_of",
    "cover",
    "coverage",
    "coverage_table",
]


def __getattr__(name: str) -> Any:
    if name in _HOMES:
        return getattr(import_module(f"underset.studies.{_HOMES[name]}"), name)
    if name in __all__:
        return import_module(f"underset.studies.{name}")
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
