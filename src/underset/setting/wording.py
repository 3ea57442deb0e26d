"""Checks in words: one sentence for a person, in the shop's units and language."""

from __future__ import annotations

from math import degrees

from underset.setting.catalogue import CHECKS
from underset.setting.result import Check
from underset.setting.wording_de import NOTES_DE, STATUS_DE, TITLES_DE
from underset.setting.wording_en import NOTES_EN, STATUS_EN, TITLES_EN
from underset.setting.wording_terms import ANSWERS_DE, FIGURES_DE, PLACES_DE, source_de, step_de
from underset.units import G0

TITLES = {"en": TITLES_EN, "de": TITLES_DE}
NOTES = {"en": NOTES_EN, "de": NOTES_DE}
STATUSES = {"en": STATUS_EN, "de": STATUS_DE}
_LINK = {
    "en": {"at most": "{0} of at most {1}", "at least": "{0}, at least {1} wanted"},
    "de": {"at most": "{0} von höchstens {1}", "at least": "{0}, mindestens {1} verlangt"},
}  # fmt: skip
_POINT = {"en": ".", "de": ","}


def title(name: str, language: str = "en") -> str:
    """A check's title."""
    return TITLES[language][name]


def place(check: Check, language: str = "en") -> str:
    """Where a check looked: a corner, an end of the vehicle, a name; empty for the whole."""
    return PLACES_DE.get(check.where, check.where) if language == "de" else check.where


def step_word(label: str, language: str = "en") -> str:
    """A step of the plan by its label; what a person named stays as it is."""
    return step_de(label) if language == "de" else label


def source_word(text: str, language: str = "en") -> str:
    """A source, or where a figure is from; titles of publications stay as printed."""
    return source_de(text) if language == "de" else text


def figure_name(name: str, language: str = "en") -> str:
    """The name of a figure that went into a check."""
    return FIGURES_DE.get(name, name) if language == "de" else name


def status_word(check: Check, language: str = "en") -> str:
    """The status in words."""
    return STATUSES[language][check.status.value]


def say(check: Check, units: str = "metric", language: str = "en") -> str:
    """One sentence: title, where, found against allowed, status, and why."""
    head = TITLES[language][check.name]
    where = place(check, language)
    parts = [f"{head} ({where})" if where else head]
    if check.demand is not None and check.limit is not None:
        link = _LINK[language][CHECKS[check.name].sense]
        shown = [amount(x, check.unit, units, language) for x in (check.demand, check.limit)]
        parts.append(link.format(*shown))
    parts.append(status_word(check, language))
    text = ": ".join((parts[0], ", ".join(parts[1:])))
    return f"{text}; {note}." if (note := note_text(check, language)) else f"{text}."


def note_text(check: Check, language: str = "en") -> str:
    """The note of a check in words, empty when there is none."""
    if not check.note:
        return ""
    template = NOTES[language].get(check.note[0], check.note[0])
    told = [_argument(check.note[0], a, language) for a in check.note[1:]]
    return template.format(*told, *([""] * 4))


def _argument(note: str, text: str, language: str) -> str:
    """What fills a note: a term, several after another, a step, an answer; or a name on file."""
    if language == "de" and note in ("state", "answered"):
        return step_de(text) if note == "state" else ANSWERS_DE.get(text, text)
    table = NOTES[language]
    return table.get(text, ", ".join(table.get(part, part) for part in text.split(", ")))


def figure(token: str, units: str = "metric", language: str = "en") -> str:
    """A value token such as "m:0.034" or "N:1234" in the shop's units; plain text passes through."""
    unit, colon, number = token.partition(":")
    known = ("m", "N", "kg", "rad", "1", "turns", "months", "N m/rad", "N/m")
    if not colon or unit not in known:
        return token
    try:
        value = float(number)
    except ValueError:
        return token
    if unit == "turns":
        return _with(value, 1, "Umdrehungen" if language == "de" else "turns", language)
    return amount(value, unit, units, language)


def amount(value: float, unit: str, units: str = "metric", language: str = "en") -> str:
    """A figure with its unit as the shop reads it: mm, kN, kg, degrees; or in, lbf, lb."""
    inch = units == "inch"
    if unit == "m":
        return (
            _with(value / 0.0254, 2, "in", language)
            if inch
            else _with(value * 1e3, 0, "mm", language)
        )
    if unit == "N":
        return (
            _with(value / (0.45359237 * G0), 0, "lbf", language)
            if inch
            else _force(value, language)
        )
    if unit == "kg":
        return (
            _with(value / 0.45359237, 0, "lb", language)
            if inch
            else _with(value, 0, "kg", language)
        )
    if unit == "rad":
        return _with(degrees(value), 1, "°", language)
    if unit == "1":
        return _with(value * 100.0, 1, "%", language)
    if unit == "months":
        return _with(value, 1, "Monate" if language == "de" else "months", language)
    return _with(value, 2, unit, language)


def _force(value: float, language: str) -> str:
    if abs(value) < 1000.0:
        return _with(value, 0, "N", language)
    return _with(value / 1000.0, 2, "kN", language)


def _with(value: float, places: int, unit: str, language: str) -> str:
    return f"{_number(value, places, language)} {unit}".strip()


def _number(value: float, places: int, language: str) -> str:
    text = f"{value:.{places}f}"
    text = text[1:] if text.startswith("-") and float(text) == 0.0 else text
    return text.replace("-", "−").replace(".", _POINT[language])
