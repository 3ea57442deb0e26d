"""What a weighing found out, in the shop's units and language.

Findings are sentences that still know their figures (`errors.said`), so that one and the same
finding can be told in kilograms or pounds, in English or German.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil
from typing import Final

from underset.errors import Said, said
from underset.units import in_unit

_SHOWN: Final = {
    ("m", "metric"): ("mm", 0), ("m", "inch"): ("in", 2),
    ("kg", "metric"): ("kg", 0), ("kg", "inch"): ("lb", 0),
    ("N", "metric"): ("N", 0), ("N", "inch"): ("lbf", 0),
    ("1", "metric"): ("%", 1), ("1", "inch"): ("%", 1),
}  # fmt: skip

WEIGH_DE: Final = {
    "“{label}” does not fit: {what} is off by {off} beyond the scales": "„{label}“ passt nicht: "
    "{what} liegt um {off} weiter daneben, als die Waage erlaubt",
    "{name}: {new} now, {old} on file ({state})": "{name}: jetzt {new}, hinterlegt {old} ({state})",
    "Balance: not known; it takes two axle loads, or four wheel loads and both tracks.": "Schwer"
    "punkt: nicht bekannt; es braucht zwei Achslasten oder vier Radlasten und beide Spurweiten.",
    "Mass {mass}": "Masse {mass}",
    "Balance {aft} behind the front axle; {share} of the weight on it": "Schwerpunkt {aft} hinter "
    "der Vorderachse; sie trägt {share} des Gewichts",
    "Balance {side} to the left of the middle": "Schwerpunkt {side} links der Mitte",
    "The two axles give heights {apart} apart.": "Die beiden Achsen ergeben Höhen, die {apart} "
    "auseinander liegen.",
    "With the {axle} axle raised, step {numbers} lies off the line of the others.": "Mit "
    "angehobener {axle} liegt Schritt {numbers} neben der Linie der anderen.",
    "Raised by {rise} at most: raise an axle by at least {least}, or the height rests on a small "
    "difference of loads.": "Höchstens {rise} angehoben: eine Achse um mindestens {least} anheben, "
    "sonst ruht die Höhe auf einem kleinen Unterschied von Lasten.",
    "{count} step(s): take at least three, up and down.": "{count} Schritt(e): mindestens drei "
    "nehmen, auf und ab.",
    "Readings one way only: come back down the same steps to see friction.": "Nur in einer "
    "Richtung gelesen: dieselben Schritte zurück, damit Reibung sich zeigt.",
    "Going down reads {gap} against going up: block the suspension, free the brakes.": "Abwärts "
    "zeigt {gap} gegen aufwärts: Federung sperren, Bremsen lösen.",
    "{name}: {read} read, {low} to {high} expected": "{name}: {read} gelesen, {low} bis {high} "
    "erwartet",
    "Loads of the vehicle alone: {loads}": "Lasten des Fahrzeugs allein: {loads}",
    "CG height {height} above the floor": "Schwerpunkt {height} über dem Boden",
    "  residuals of the straight line, {unit}: {left}": "  Abweichungen von der Geraden, {unit}: "
    "{left}",
    "accepted": "angenommen",
    "does not fit: down, and begin again": "passt nicht: ablassen und neu beginnen",
    "written: {target}": "geschrieben: {target}",
}  # fmt: skip
# Warnings of the axle lift by their pattern: the same with figures as a shop reads them.
_LIFTED: Final = {
    "Raised by {rise:.0f} mm at most: raise an axle by at least {least:.0f} mm, or the height "
    "rests on a small difference of loads.": (
        "Raised by {rise} at most: raise an axle by at least {least}, or the height rests on a "
        "small difference of loads.", "m", 1000.0,
    ),
    "Going down reads {gap:+.1f} kg against going up: block the suspension, free the brakes.": (
        "Going down reads {gap} against going up: block the suspension, free the brakes.",
        "kg", 1.0,
    ),
}  # fmt: skip
_TERMS_DE: Final = {
    "front axle": "Vorderachse", "rear axle": "Hinterachse",
    "front": "Vorderachse", "rear": "Hinterachse",
    "LF wheel": "Rad LF", "RF wheel": "Rad RF", "LR wheel": "Rad LR", "RR wheel": "Rad RR",
    "total weight": "Gesamtgewicht", "front part of the load": "Anteil vorn",
    "left part of the load": "Anteil links", "level of the pads": "Höhe der Teller",
    "pad LF": "Teller LF", "pad RF": "Teller RF", "pad LR": "Teller LR", "pad RR": "Teller RR",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Amount:
    """A figure in m, kg, N or as a part, with its tolerance; as text in metric units."""

    value: float
    unit: str
    tol: float = 0.0
    fine: bool = False
    """One more place, and its sign: a difference."""

    def told(self, units: str = "metric", language: str = "en") -> str:
        """The figure as a shop reads it; its tolerance is rounded up."""
        name, places = _SHOWN[self.unit, units]
        shown, within = (_in(x, self.unit, name) for x in (self.value, self.tol))
        places += self.fine
        figure = f"{shown:+.{places}f}" if self.fine else f"{shown:.{places}f}"
        text = f"{figure}{within_told(within, places)} {name}".replace("-", "−")
        return text.replace(".", ",") if language == "de" else text

    def __format__(self, spec: str) -> str:
        return self.told()


def _in(value: float, unit: str, name: str) -> float:
    return value * 100.0 if unit == "1" else in_unit(value, name)


def within_told(tol: float, places: int = 0) -> str:
    """A tolerance as it is told beside its figure; nothing where none was stated."""
    step = 10.0**-places
    return f" ± {ceil(tol / step - 1e-6) * step:.{places}f}" if tol > 1e-9 else ""


def lifted(warning: str) -> str:
    """A warning of the axle lift whose figures can be told in either unit."""
    if not isinstance(warning, Said) or warning.template not in _LIFTED:
        return warning
    template, unit, parts = _LIFTED[warning.template]
    fine = unit == "kg"
    figures = {k: Amount(v / parts, unit, fine=fine) for k, v in warning.figures.items()}
    return said(template, **figures)


def weigh_told(text: str, units: str = "metric", language: str = "en") -> str:
    """A finding in the shop's units and language; names and states on file stay as they are."""
    german = language == "de"
    if not isinstance(text, Said):
        return WEIGH_DE.get(text, text) if german else text
    template = WEIGH_DE[text.template] if german else text.template
    figures = {
        key: value.told(units, language)
        if isinstance(value, Amount)
        else _TERMS_DE.get(value, value)
        if german
        else value
        for key, value in text.figures.items()
    }
    return template.format(**figures)
