"""Quantities as people write them, SI floats inside.

    "2600 mm"   "102.4 in"   "810 ± 10 kg"   "810 +/- 10 kg"   "not given"   "none"

A bare number is refused. Factors are exact by definition (NIST SP 811, appendix B).
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, field, replace
from typing import Any, Final

from underset.errors import InputError, said

G0: Final = 9.80665  # m/s2, standard acceleration of free fall (CGPM 1901)
_LB, _IN = 0.45359237, 0.0254
_DEG = math.pi / 180.0

# unit -> (kind, factor to SI)
UNITS: Final[dict[str, tuple[str, float]]] = {
    "m": ("length", 1.0),
    "cm": ("length", 0.01),
    "mm": ("length", 0.001),
    "in": ("length", _IN),
    "ft": ("length", 12 * _IN),
    "kg": ("mass", 1.0),
    "t": ("mass", 1000.0),
    "lb": ("mass", _LB),
    "N": ("force", 1.0),
    "kN": ("force", 1000.0),
    "lbf": ("force", _LB * G0),
    "deg": ("angle", _DEG),
    "°": ("angle", _DEG),
    "rad": ("angle", 1.0),
    "m/s": ("speed", 1.0),
    "mm/s": ("speed", 0.001),
    "ft/min": ("speed", 12 * _IN / 60),
    "N/m": ("stiffness", 1.0),
    "N/mm": ("stiffness", 1000.0),
    "kN/mm": ("stiffness", 1.0e6),
    "lbf/in": ("stiffness", _LB * G0 / _IN),
    "N m/deg": ("twist", 1.0 / _DEG),
    "kN m/deg": ("twist", 1000.0 / _DEG),
    "N m/rad": ("twist", 1.0),
    "%": ("share", 0.01),
    "min": ("duration", 60.0),
    "h": ("duration", 3600.0),
    "days": ("duration", 86400.0),
    "months": ("duration", 30.4375 * 86400.0),
    "years": ("duration", 365.25 * 86400.0),
}

# Bounds at the edge: nothing outside these is a road vehicle, a lift or a shop.
BOUNDS: Final[dict[str, float]] = {
    "length": 100.0,
    "mass": 60_000.0,
    "force": 1.0e6,
    "angle": 4 * math.pi,
    "speed": 10.0,
    "stiffness": 1.0e10,
    "twist": 1.0e9,
    "share": 10.0,
    "duration": 100 * 365.25 * 86400.0,
}

EXAMPLES: Final[dict[str, str]] = {
    "length": '"2600 mm" or "102.4 in"',
    "mass": '"810 kg" or "1786 lb"',
    "force": '"225 N" or "50 lbf"',
    "angle": '"4 deg" or "0.07 rad"',
    "speed": '"45 mm/s" or "9 ft/min"',
    "stiffness": '"600 N/mm" or "3400 lbf/in"',
    "twist": '"20000 N m/deg" or "20 kN m/deg"',
    "share": '"5 %" or "60 ± 2 %"',
    "duration": '"12 months" or "45 min"',
}

LONGEST: Final = 80  # signs a quantity may take; longer text is never one

_NUMBER = r"[-+]?\d+(?:\.\d+)?(?:[eE][-+]?\d+)?"
_PATTERN = re.compile(
    rf"^\s*(?P<value>{_NUMBER})\s*(?P<unit1>[A-Za-z°%/][A-Za-z°%/ ]*?)?"
    rf"\s*(?:(?:±|\+/-)\s*(?P<tol>{_NUMBER})\s*(?P<unit2>[A-Za-z°%/][A-Za-z°%/ ]*?)?)?\s*$"
)
_DECIMAL_COMMA = re.compile(r"(?<![\d.,])(\d+),(\d{1,2}|\d{4,})(?![\d.,])")


@dataclass(frozen=True, slots=True)
class Quantity:
    """A measured or stated figure: SI value, half-width of its tolerance, unit as written."""

    value: float
    tol: float = 0.0
    unit: str = field(default="", compare=False)
    text: str = field(default="", compare=False)
    source: str = ""

    @property
    def low(self) -> float:
        """Least value within the tolerance, SI."""
        return self.value - self.tol

    @property
    def high(self) -> float:
        """Greatest value within the tolerance, SI."""
        return self.value + self.tol

    def __str__(self) -> str:
        return self.text


@dataclass(frozen=True, slots=True)
class NotGiven:
    """Nobody has said: never zero, never none."""

    reason: str = field(default="", compare=False)

    def __str__(self) -> str:
        return f"not given: {self.reason}" if self.reason else "not given"

    def __bool__(self) -> bool:
        return False


@dataclass(frozen=True, slots=True)
class Absent:
    """Known not to be there: no stop bar, no ceiling, no mirrors."""

    def __str__(self) -> str:
        return "none"

    def __bool__(self) -> bool:
        return False


NOT_GIVEN: Final = NotGiven()
ABSENT: Final = Absent()


def parse_quantity(text: object, kind: str, *, field: str = "value") -> Quantity:
    """Read one quantity of a kind ("length", "mass", ...).

    Raises InputError naming the field when the text is a bare number, has an unknown unit, a
    unit of another kind, a negative tolerance, or lies outside the bounds of the trade.
    """
    want = wanted(kind)
    if isinstance(text, bool) or not isinstance(text, str):
        raise InputError(field, text, want, "Put the figure in quotes and add the unit.")
    match = _PATTERN.match(text) if len(text) <= LONGEST else None
    if match is None:
        raise InputError(field, text, want)
    unit = _one_unit(match["unit1"], match["unit2"], text, kind, field)
    factor = UNITS[unit][1]
    value, tol = float(match["value"]) * factor, float(match["tol"] or 0.0) * factor
    if tol < 0.0:
        raise InputError(field, text, "a tolerance is not negative")
    bound = BOUNDS[kind]
    if not (math.isfinite(value) and math.isfinite(tol)) or abs(value) > bound or tol > bound:
        most = said(
            "no {kind} here is greater than {bound:g} {unit}",
            kind=kind,
            bound=bound,
            unit=si_unit(kind),
        )
        raise InputError(field, text, most)
    return Quantity(value=value, tol=tol, unit=unit, text=text.strip())


def pointed(text: str) -> str:
    """A typed figure with its decimal commas as points, other text as it is.

    Decision: a comma before just three digits may part thousands, so it stays and is refused.
    """
    if "," not in text or len(text) > LONGEST:
        return text
    changed = _DECIMAL_COMMA.sub(r"\1.\2", text)
    match = _PATTERN.match(changed)
    units = {u.strip() for u in (match["unit1"], match["unit2"]) if u} if match else set()
    return changed if units and units <= UNITS.keys() else text


def wanted(kind: str) -> str:
    """What is written where a quantity of a kind stands."""
    template = "a {kind} is written with its unit, such as {example}"
    return said(template, kind=kind, example=EXAMPLES[kind])


def _one_unit(unit1: str | None, unit2: str | None, text: str, kind: str, field: str) -> str:
    units = [u.strip().replace("·", " ") for u in (unit1, unit2) if u]
    want = wanted(kind)
    if not units:
        raise InputError(field, text, want, "A bare number could be any unit.")
    if len(set(units)) > 1:
        raise InputError(field, text, "value and tolerance have the same unit")
    found = UNITS.get(units[0])
    if found is None or found[0] != kind:
        known = ", ".join(u for u, (k, _) in UNITS.items() if k == kind)
        raise InputError(field, text, said("units of {kind} are {known}", kind=kind, known=known))
    return units[0]


def si_unit(kind: str) -> str:
    """The SI unit a kind is held in."""
    if kind == "share":
        return "(1)"
    if kind == "duration":
        return "s"
    return next(u for u, (k, factor) in UNITS.items() if k == kind and factor == 1.0)


def quantity(value: float, unit: str, tol: float = 0.0, source: str = "") -> Quantity:
    """A quantity from a number in `unit` (for tests, wizards and defaults)."""
    kind = UNITS[unit][0]
    text = f"{value:.10g} ± {tol:.10g} {unit}" if tol else f"{value:.10g} {unit}"
    return replace(parse_quantity(text, kind), source=source)


def in_unit(value: float, unit: str) -> float:
    """An SI value expressed in `unit`."""
    return value / UNITS[unit][1]


def write_quantity(q: Quantity | NotGiven | Absent) -> Any:
    """The form in which a quantity goes back into TOML or JSON."""
    if isinstance(q, Quantity) and q.source:
        return {"value": q.text, "source": q.source}
    return str(q)
