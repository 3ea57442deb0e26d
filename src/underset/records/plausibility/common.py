"""Complaints, bounds with their sources, and the usual slips of unit."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from underset.errors import InputError, said
from underset.units import G0, UNITS, Absent, NotGiven, Quantity

Figure = Quantity | NotGiven | Absent


@dataclass(frozen=True, slots=True)
class Complaint:
    """One thing that looks wrong: where, what, which slip may be behind it, what to do.

    `source` says where the bound comes from; `place` is the file, when a workshop was looked at.
    """

    field: str
    value: str
    looks: str
    slip: str = ""
    remedy: str = ""
    source: str = ""
    place: str = ""

    def __str__(self) -> str:
        where = f"{self.place}: " if self.place else ""
        slip = f" Likely: {self.slip}." if self.slip else ""
        return f"{where}{self.field} = {self.value}: {self.looks}.{slip} {self.remedy}".rstrip()


@dataclass(frozen=True, slots=True)
class Bound:
    """Least and greatest figure that is met, SI or a ratio, and whose word that is."""

    low: float
    high: float
    source: str

    def holds(self, value: float) -> bool:
        """Whether a value lies within the bound."""
        return self.low <= value <= self.high


PRACTICE: Final = "common practice, no source"
POLICY: Final = "shop policy"
DIMENSIONS: Final = "AllCarsDB dimensions of 6,348 vehicles, 1981-2025"

# Units that people mean when they write another one, likeliest first, and their factors to SI.
_MEANT: Final[dict[str, tuple[str, ...]]] = {
    "length": ("mm", "cm", "m", "in", "ft"),
    "mass": ("kg", "lb", "t"),
    "force": ("N", "kN", "kg", "lb"),
    "angle": ("deg", "rad"),
    "speed": ("mm/s", "m/s", "ft/min"),
}


def likely_slip(value: float, unit: str, bound: Bound) -> str:
    """The unit that was meant, when another one brings an SI value back within its bound."""
    kind, factor = UNITS[unit]
    for meant in _MEANT.get(kind, ()):
        if meant != unit and bound.holds(value / factor * _factor(meant, kind)):
            return said(
                "{meant} written as {unit}",
                meant=_NAMES.get(meant, meant),
                unit=_NAMES.get(unit, unit),
            )
    return ""


_NAMES: Final = {"in": "inches", "lb": "pounds", "t": "tonnes"}


def _factor(unit: str, kind: str) -> float:
    """Factor to SI; a mass that stands for a force weighs what it weighs."""
    own, factor = UNITS[unit]
    return factor * G0 if (own, kind) == ("mass", "force") else factor


def outside(
    field: str, figure: Figure, bound: Bound, what: str, kind: str = "length"
) -> Iterator[Complaint]:
    """A complaint when a given figure lies outside its bound; nothing when it is not given."""
    if isinstance(figure, Quantity) and not bound.holds(figure.value):
        template = "{what} is {low:g} to {high:g} {unit}"
        looks = said(template, what=what, low=bound.low, high=bound.high, unit=_SHOWN[kind])
        slip = likely_slip(figure.value, figure.unit, bound)
        yield Complaint(field, figure.text, looks, slip, "Measure again.", bound.source)


_SHOWN: Final = {
    "length": "m",
    "mass": "kg",
    "angle": "rad",
    "speed": "m/s",
    "force": "N",
    "duration": "s",
}


def ratio_outside(
    field: str, ratio: float, bound: Bound, looks: str, slip: str = ""
) -> Iterator[Complaint]:
    """A complaint when a ratio of two figures lies outside its bound."""
    if not bound.holds(ratio):
        told = said("{what} {low:g} to {high:g}", what=looks, low=bound.low, high=bound.high)
        yield Complaint(field, f"{ratio:.3f}", told, slip, "Measure both again.", bound.source)


def reversed_pair(field: str, low: Figure, high: Figure) -> Iterator[Complaint]:
    """A complaint when a lower limit stands above its upper one."""
    if isinstance(low, Quantity) and isinstance(high, Quantity) and low.value > high.value:
        looks = "the lower limit is above the upper one"
        slip = "limits swapped"
        yield Complaint(field, f"{low.text} to {high.text}", looks, slip, "Swap the two.")


def given(*figures: Figure) -> tuple[float, ...] | None:
    """SI values of figures, or None as soon as one is not given."""
    values = [f.value for f in figures if isinstance(f, Quantity)]
    return tuple(values) if len(values) == len(figures) else None


def from_error(error: InputError) -> Complaint:
    """A contradiction told as a complaint."""
    return Complaint(
        error.field, str(error.value), error.allowed, "", error.remedy, place=error.place
    )
