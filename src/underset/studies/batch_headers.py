"""Headers of a table of vehicles: our columns, in another unit, or as a table to be imported has.

Only what is exact and can mean one thing is taken: a length or mass in another unit; points aft and
to the side of the front axle's middle for x and y; front and rear axle load for mass and CG.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from math import nan
from typing import TYPE_CHECKING, Final, TypeAlias

import numpy as np

from underset.errors import InputError
from underset.studies import batch_columns as at
from underset.units import UNITS

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats: TypeAlias = NDArray[np.float64]

_UNITS: Final = {"mass": "kg", "mass_tol": "kg", "twist": "N m/rad"}
_BARE: Final = {"contact", "battery", "touch", "pass_under", "hv"}
_HEAD: Final = re.compile(r"^(?P<name>\w+)\s*(?:[\[(]\s*(?P<unit>[^\])]*?)\s*[\])])?$")
AXLES: Final = ("front_axle", "rear_axle")
AXLE_TOLS: Final = ("front_axle_tol", "rear_axle_tol")
_CORNERS: Final = ("lf", "rf", "lr", "rr")
# Column of ours from one as tables to be imported name it, and the factor between the two.
_ALSO: Final[Mapping[str, tuple[str, float]]] = {
    **{f"{c}_aft": (f"{c}_x", -1.0) for c in _CORNERS},
    **{f"{c}_side": (f"{c}_y", 1.0) for c in _CORNERS},
    "cg_aft": ("cg_x", -1.0), "cg_side": ("cg_y", 1.0), "cg_height": ("cg_z", 1.0),
    "overhang_front": ("front_x", 1.0), "sill_height": ("sill", 1.0), "height": ("roof", 1.0),
}  # fmt: skip
HOW: Final = (
    "Another unit may stand in the brackets, such as [mm], [in] or [lb]. "
    "lf_aft and lf_side may stand for lf_x and lf_y (x is aft with the other sign), and likewise "
    "at each corner; front_axle and rear_axle, with front_axle_tol and rear_axle_tol, for mass, "
    "cg_x and their tolerances (wheelbase times rear load over mass). A column whose figures "
    "nobody knows stays empty: not known."
)


@dataclass(frozen=True, slots=True)
class Given:
    """Where a column of ours stands in a table, and by what its figures are multiplied."""

    head: str
    factor: float = 1.0


def header(name: str) -> str:
    """A column's header with its unit."""
    if name.rpartition("_")[2] in _BARE or name in _BARE or name.endswith("pass_under"):
        return name
    return f"{name} [{unit_of(name)}]"


def unit_of(name: str) -> str:
    """The unit of a column's figures."""
    return "kg" if name in (*AXLES, *AXLE_TOLS) else _UNITS.get(name, "m")


def headers() -> list[str]:
    """Every column of a table in order."""
    zones = [f"zone{k + 1}_{c}" for k in range(at.MOST_ZONES) for c in at.ZONE_COLUMNS]
    return [header(name) for name in (*at.VEHICLE_COLUMNS, *zones)]


def columns_in(names: Iterable[str], place: str) -> dict[str, Given]:
    """Our columns by name as they stand in a table; its own further columns are left alone.

    Raises InputErrors' first kind, InputError, for a figure that is there twice or in a unit that
    is none of its kind, and for columns that are missing: all of them are named.
    """
    given = [str(name) for name in names]
    twice = next((n for n in given if given.count(n) > 1), None)
    if twice is not None:
        raise InputError(place, twice, "each column once")
    found: dict[str, Given] = {}
    for head in given:
        column = _column(head, place)
        if column is None:
            continue
        name, there = column
        if name in found:
            allowed = f"each figure once; {found[name].head} holds it, too"
            raise InputError(place, head, allowed, "Leave one of the two out.")
        found[name] = there
    _all_there(found, place)
    return found


def _column(head: str, place: str) -> tuple[str, Given] | None:
    """The column of ours that a header names; None for one that is none of ours."""
    parts = _HEAD.match(head.strip())
    plain = parts["name"] if parts else head.partition("[")[0].strip()
    name, sign = _ALSO.get(plain, (plain, 1.0))
    if name not in _KNOWN:
        if plain.startswith("zone"):
            raise InputError(place, head, f"{at.MOST_ZONES} zones")
        return None
    ours = header(name)
    unit = (parts["unit"] if parts else "") or ""
    wanted = ours.partition(" [")[2].rstrip("]")
    if unit == wanted and parts:
        return name, Given(head, sign)
    kind = UNITS.get(wanted, ("", 1.0))[0]
    if not wanted or UNITS.get(unit, ("?", 1.0))[0] != kind:
        if plain != name and not unit:
            return None  # a column of another table that may mean something else
        units = ", ".join(u for u, (k, _) in UNITS.items() if k == kind) if wanted else "none"
        allowed = f"a column {ours}" + (f"; units here are {units}" if wanted else "")
        raise InputError(place, head, allowed, "Write the unit of its figures in the brackets.")
    return name, Given(head, sign * UNITS[unit][1] / UNITS[wanted][1])


_KNOWN: Final = frozenset(
    (*(h.partition(" [")[0] for h in headers()), *AXLES, *AXLE_TOLS)
)  # fmt: skip


def _all_there(found: Mapping[str, Given], place: str) -> None:
    derived = {"mass", "cg_x"} if set(AXLES) <= set(found) else set()
    if derived and set(AXLE_TOLS) <= set(found):
        derived |= {"mass_tol", "cg_x_tol"}
    both = sorted(derived & set(found))
    if both:
        allowed = "either the loads of both axles, or mass and CG, not both"
        raise InputError(place, ", ".join((*AXLES, *both)), allowed, "Leave one of the two out.")
    missing = [n for n in at.VEHICLE_COLUMNS if n not in found and n not in derived]
    if missing:
        listed = ", ".join(header(n) for n in missing)
        count = "no such column" if len(missing) == 1 else f"{len(missing)} columns missing"
        raise InputError(place, count, f"wanted, too: {listed}", HOW)


def from_axles(
    table: Floats, loads: Sequence[Floats], tols: Sequence[Floats] | None
) -> tuple[Floats, Floats, Floats | None, Floats | None]:
    """Mass, x of the CG, and their tolerances at worst, by moments about the front axle."""
    front, rear = loads
    mass = front + rear
    length = table[:, at.WHEELBASE]
    with np.errstate(invalid="ignore", divide="ignore"):
        x = np.where(mass > 0.0, -length * rear / mass, nan)
        if tols is None:
            return mass, x, None, None
        ends = [
            np.abs(-length * (rear + b) / (front + a + rear + b) - x)
            for a, b in product((-tols[0], tols[0]), (-tols[1], tols[1]))
        ]
    return mass, x, tols[0] + tols[1], np.max(ends, axis=0)
