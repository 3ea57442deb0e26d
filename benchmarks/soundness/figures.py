"""Quantities as people write them, read without the product: value and tolerance in SI."""

from __future__ import annotations

import math
import re
from functools import lru_cache
from typing import Any

G0 = 9.80665
FACTORS = {
    **{"mm": 1e-3, "cm": 1e-2, "m": 1.0, "in": 0.0254, "ft": 0.3048},
    **{"kg": 1.0, "t": 1e3, "lb": 0.45359237, "N": 1.0, "kN": 1e3, "lbf": 0.45359237 * G0},
    **{"deg": math.pi / 180, "°": math.pi / 180, "rad": 1.0, "%": 0.01},
    **{"N/mm": 1e3, "kN/mm": 1e6, "N m/deg": 180 / math.pi, "kN m/deg": 180e3 / math.pi},
    **{"months": 30.4375 * 86400.0},
}
NUMBER = r"[-+]?[0-9.]+(?:[eE][-+]?[0-9]+)?"
FORM = re.compile(rf"^\s*({NUMBER})\s*(?:(?:±|\+/-)\s*({NUMBER})\s*)?([A-Za-z°%/ ]+)$")


@lru_cache(maxsize=4096)
def _read(text: str) -> tuple[float, float]:
    match = FORM.match(text)
    if match is None:
        raise ValueError(text)
    factor = FACTORS[match[3].strip()]
    return float(match[1]) * factor, float(match[2] or 0.0) * factor


def figure(text: Any) -> tuple[float, float] | None:
    """(value, tolerance) of a quantity as written; None for what is not given or not there."""
    if isinstance(text, dict):
        text = text["value"]
    if text is None or str(text).startswith(("not given", "none")):
        return None
    return _read(str(text))


def value(text: Any) -> float | None:
    """The value alone."""
    found = figure(text)
    return None if found is None else found[0]


def sure(text: Any) -> float:
    """The value of a figure that must be there."""
    found = value(text)
    if found is None:
        raise ValueError(text)
    return found


def low(text: Any) -> float:
    """Least value of a figure that must be there."""
    found = figure(text)
    if found is None:
        raise ValueError(text)
    return found[0] - found[1]


def high(text: Any) -> float:
    """Greatest value of a figure that must be there."""
    found = figure(text)
    if found is None:
        raise ValueError(text)
    return found[0] + found[1]


def spread(text: Any, draws: Any) -> Any:
    """A figure at draws between -1 (least) and +1 (greatest)."""
    found = figure(text)
    if found is None:
        raise ValueError(text)
    return found[0] + found[1] * draws
