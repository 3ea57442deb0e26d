"""Figures as people read them: unit choice, rounding, decimal sign. Nothing is worked out here.

Decision: inch lengths are printed to 1/16 in, which is what a tape shows and close to 1 mm; loads
and masses keep three to four digits. A range is rounded outward when it warns (loads) and inward
when it allows (spot windows), so that print never promises more than the result does.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from typing import Final, Literal

from underset.errors import InputError
from underset.units import in_unit

Way = Literal["near", "up", "down"]
UNIT_SYSTEMS: Final = ("metric", "inch")
UNKNOWN_FIGURE: Final = "–"
_SIXTEENTHS = 16
_QUARTERS = 4
_EPS = 1e-9
_TOKEN_UNITS = ("m", "N", "kg", "rad", "1", "turns", "months", "N m/rad", "N/m")


@dataclass(frozen=True, slots=True)
class Figures:
    """Writes SI values in one unit system and language; raises InputError for an unknown system."""

    units: str = "metric"
    language: str = "en"

    def __post_init__(self) -> None:
        if self.units not in UNIT_SYSTEMS:
            raise InputError("units", self.units, f"unit systems are {', '.join(UNIT_SYSTEMS)}")

    @property
    def metric(self) -> bool:
        """True for mm, kg and kN; false for in, lb and lbf."""
        return self.units == "metric"

    @property
    def length_unit(self) -> str:
        """Unit of lengths."""
        return "mm" if self.metric else "in"

    @property
    def force_unit(self) -> str:
        """Unit of forces."""
        return "kN" if self.metric else "lbf"

    @property
    def mass_unit(self) -> str:
        """Unit of masses."""
        return "kg" if self.metric else "lb"

    def number(self, value: float | None, digits: int = 0, way: Way = "near") -> str:
        """A plain number with the language's decimal sign; digits are not grouped."""
        if value is None or not math.isfinite(value):
            return UNKNOWN_FIGURE
        rounded = _round(value * 10**digits, way) / 10**digits
        text = f"{rounded:.{digits}f}"
        text = text[1:] if float(rounded) == 0.0 and text.startswith("-") else text
        text = text.replace("-", "−")
        return text.replace(".", ",") if self.language == "de" else text

    def length(self, metres: float | None, way: Way = "near", *, unit: bool = True) -> str:
        """mm, or inches to a sixteenth."""
        if metres is None or not math.isfinite(metres):
            return UNKNOWN_FIGURE
        if self.metric:
            return self.number(in_unit(metres, "mm"), 0, way) + (" mm" if unit else "")
        return _sixteenths(in_unit(metres, "in"), way) + (" in" if unit else "")

    def fine_length(self, metres: float | None) -> str:
        """mm to a tenth, or inches to a hundredth: for screws and level."""
        if metres is None or not math.isfinite(metres):
            return UNKNOWN_FIGURE
        if self.metric:
            return f"{self.number(in_unit(metres, 'mm'), 1)} mm"
        return f"{self.number(in_unit(metres, 'in'), 2)} in"

    def force(self, newtons: float | None, way: Way = "near", *, unit: bool = True) -> str:
        """kN to a hundredth, or whole lbf."""
        if self.metric:
            return self._with_unit(newtons, "kN", 2, way, unit)
        return self._with_unit(newtons, "lbf", 0, way, unit)

    def mass(self, kilograms: float | None, way: Way = "near", *, unit: bool = True) -> str:
        """Whole kg or lb."""
        return self._with_unit(kilograms, "kg" if self.metric else "lb", 0, way, unit)

    def angle(self, radians: float | None) -> str:
        """Degrees to a tenth."""
        if radians is None or not math.isfinite(radians):
            return UNKNOWN_FIGURE
        return f"{self.number(in_unit(radians, 'deg'), 1)}°"

    def percent(self, ratio: float) -> str:
        """A ratio as percent to a tenth."""
        return f"{self.number(100 * ratio, 1)} %"

    def turns(self, turns: float | None) -> str:
        """Screw turns to a quarter."""
        if turns is None or not math.isfinite(turns):
            return UNKNOWN_FIGURE
        return _mixed_number(Fraction(_round(turns * _QUARTERS, "near"), _QUARTERS))

    def span(self, low: float, high: float) -> str:
        """An allowed interval of lengths, rounded inward; finer figures if that empties it."""
        step = 0.001 if self.metric else 0.0254 / _SIXTEENTHS
        if high - low < 2 * step:
            return self._joined(self.fine_length(low), self.fine_length(high))
        return self._joined(self.length(low, "up", unit=False), self.length(high, "down"))

    def load_range(self, low: float, high: float, *, unit: bool = True) -> str:
        """A range of loads, rounded outward, with one unit."""
        return f"{self.force(low, 'down', unit=False)} – {self.force(high, 'up', unit=unit)}"

    def mass_range(self, low: float, high: float) -> str:
        """A range of masses, rounded outward, with one unit."""
        return self._joined(self.mass(low, "down", unit=False), self.mass(high, "up"))

    def in_kind(self, value: float | str | None, unit: str) -> str:
        """Any figure of a check by its SI unit; texts pass through."""
        if value is None or isinstance(value, str):
            return value or UNKNOWN_FIGURE
        by_unit: dict[str, Callable[[float], str]] = {
            "m": self.length,
            "N": self.force,
            "kg": self.mass,
            "rad": self.angle,
            "1": self.percent,
            "": self._ratio,
            "months": self._months,
        }
        write = by_unit.get(unit)
        return write(value) if write is not None else self._other(value, unit)

    def token(self, text: str) -> str:
        """A figure sent as "m:0.034" or "N:1234" in the shop's units; other text passes through."""
        unit, colon, number = text.partition(":")
        if not colon or unit not in _TOKEN_UNITS:
            return text
        try:
            value = float(number)
        except ValueError:
            return text
        return self.turns(value) if unit == "turns" else self.in_kind(value, unit)

    def _other(self, value: float, unit: str) -> str:
        known = {
            "N m": (("kN m", 1e-3), ("lbf ft", 0.7375621493)),
            "N/m": (("N/mm", 1e-3), ("lbf/in", 0.0057101471627)),
            "N m/rad": (("kN m/°", 1e-3 * math.pi / 180), ("lbf ft/°", 0.012872887)),
            "s": (("months", 1 / (30.4375 * 86400)), ("months", 1 / (30.4375 * 86400))),
            "m/s": (("mm/s", 1e3), ("in/s", 1 / 0.0254)),
        }
        if unit not in known:
            return f"{self._digits(value)} {unit}"
        name, factor = known[unit][0 if self.metric else 1]
        return f"{self._digits(value * factor)} {name}"

    def _months(self, value: float) -> str:
        return f"{self.number(value, 1)} {'Monate' if self.language == 'de' else 'months'}"

    def _ratio(self, value: float) -> str:
        return self.number(value, 3)

    def _digits(self, value: float) -> str:
        """About four digits, never an exponent."""
        size = abs(value)
        if not math.isfinite(value) or size == 0.0:
            return self.number(value)
        return self.number(value, max(0, min(6, 3 - math.floor(math.log10(size)))))

    def _with_unit(self, si: float | None, name: str, digits: int, way: Way, unit: bool) -> str:
        if si is None or not math.isfinite(si):
            return UNKNOWN_FIGURE
        text = self.number(in_unit(si, name), digits, way)
        return f"{text} {name}" if unit else text

    def _joined(self, low: str, high: str) -> str:
        return f"{low} {'bis' if self.language == 'de' else 'to'} {high}"


def _round(value: float, way: Way) -> int:
    """Whole number; half goes away from zero; binary noise is no reason to step further."""
    if way == "up":
        return math.ceil(value - _EPS * max(1.0, abs(value)))
    if way == "down":
        return math.floor(value + _EPS * max(1.0, abs(value)))
    return int(math.copysign(math.floor(abs(value) + 0.5 + _EPS), value))


def _sixteenths(inches: float, way: Way) -> str:
    return _mixed_number(Fraction(_round(inches * _SIXTEENTHS, way), _SIXTEENTHS))


def _mixed_number(value: Fraction) -> str:
    whole, rest = divmod(abs(value), 1)
    sign = "−" if value < 0 else ""
    if not rest:
        return f"{sign}{whole}"
    part = f"{rest.numerator}/{rest.denominator}"
    return f"{sign}{whole} {part}" if whole else f"{sign}{part}"
