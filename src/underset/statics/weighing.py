"""From scales to centre of gravity: axle loads, corner loads, and loads shifted, added, taken off.

Loads here are what scales show, in kg. A figure with a tolerance gives the exact range of what
follows from it, because each result rises or falls steadily with each reading.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import product
from math import inf

from underset.errors import InputError


@dataclass(frozen=True, slots=True)
class Figure:
    """A value with the least and greatest it can be."""

    value: float
    low: float
    high: float


Reading = float | Figure


@dataclass(frozen=True, slots=True)
class Weighed:
    """What scales give: mass in kg; CG behind the front axle, and left of the middle, in m."""

    mass: Figure
    aft: Figure
    side: Figure | None
    front_share: Figure


def within(value: float, tolerance: float) -> Figure:
    """The figure value ± tolerance."""
    if not 0.0 <= tolerance < inf:
        raise InputError("tolerance", tolerance, "must be 0 or more")
    return Figure(value, value - tolerance, value + tolerance)


def from_axles(
    front: Reading, rear: Reading, wheelbase: Reading, *, total: Reading | None = None
) -> Weighed:
    """CG from two axle loads: aft = L R / (F + R), by moments about the front axle.

    `total` is a mass known from elsewhere; InputError if the axles do not add up to it.
    """
    readings = [_positive("front axle load", front), _positive("rear axle load", rear)]
    length = _positive("wheelbase", wheelbase)
    _check_sum(readings, total)
    return Weighed(
        _range(lambda f, r: f + r, readings),
        _range(lambda f, r, span: span * r / (f + r), [*readings, length]),
        None,
        _range(lambda f, r: f / (f + r), readings),
    )


def from_corners(
    loads: Sequence[Reading],
    tracks: tuple[Reading, Reading],
    wheelbase: Reading,
    *,
    total: Reading | None = None,
) -> Weighed:
    """CG from four wheel loads LF, RF, LR, RR and the front and rear track.

    aft = L (LR + RR) / W; side = [t_f (LF - RF) + t_r (LR - RR)] / 2W, left positive. The sideways
    form is moments about the centre line, as in ISO 10392:2011.
    """
    if len(loads) != 4:
        raise InputError("wheel loads", len(loads), "four readings: LF, RF, LR, RR")
    names = ("left front load", "right front load", "left rear load", "right rear load")
    readings = [_positive(name, load) for name, load in zip(names, loads, strict=True)]
    widths = [_positive("front track", tracks[0]), _positive("rear track", tracks[1])]
    length = _positive("wheelbase", wheelbase)
    _check_sum(readings, total)
    return Weighed(
        _range(lambda a, b, c, d: a + b + c + d, readings),
        _range(lambda a, b, c, d, span: span * (c + d) / (a + b + c + d), [*readings, length]),
        _range(_side, [*readings, *widths]),
        _range(lambda a, b, c, d: (a + b) / (a + b + c + d), readings),
    )


def shift(mass: float, cg: float, moved: float, start: float, end: float) -> float:
    """CG after `moved` kg go from `start` to `end`: cg + moved (end - start) / mass.

    Source: FAA-H-8083-1, weight shift. Any length unit, the same throughout.
    """
    _positive("total mass", mass)
    return cg + moved * (end - start) / mass


def needed_shift(mass: float, change: float, start: float, end: float) -> float:
    """Mass to move from `start` to `end` so that the CG moves by `change`: mass change/(end-start).

    InputError when the move cannot bring the CG that way.
    """
    _positive("total mass", mass)
    distance = end - start
    if not distance * change > 0.0:
        raise InputError("move", (start, end), f"must go the way the CG is to go ({change:+g})")
    return mass * change / distance


def added(mass: float, cg: float, change: float, place: float) -> tuple[float, float]:
    """(mass, CG) after `change` kg are put on at `place`, or taken off when negative.

    Source: FAA-H-8083-1, weight addition or removal, over the new total.
    """
    new = _positive("mass left", mass + change).value
    return new, cg + change * (place - cg) / new


def needed_change(mass: float, cg: float, limit: float, place: float) -> float:
    """Mass to put on (+) or take off (-) at `place` that brings the CG just to `limit`."""
    _positive("total mass", mass)
    if place == limit:
        raise InputError("place", place, "must not be the limit itself: nothing there moves the CG")
    change = mass * (limit - cg) / (place - limit)
    if mass + change <= 0.0:
        raise InputError("place", place, f"no load at this place can bring the CG to {limit}")
    return change


def _side(a: float, b: float, c: float, d: float, front: float, rear: float) -> float:
    return (front * (a - b) + rear * (c - d)) / (2.0 * (a + b + c + d))


def _range(formula: Callable[..., float], readings: Sequence[Figure]) -> Figure:
    """Extremes over the corners of the box: exact for a formula monotone in each reading."""
    nominal = formula(*(reading.value for reading in readings))
    sides = [
        (reading.low, reading.high) if reading.low < reading.high else (reading.value,)
        for reading in readings
    ]
    values = [formula(*corner) for corner in product(*sides)]
    return Figure(nominal, min(values), max(values))


def _positive(name: str, reading: Reading) -> Figure:
    figure = reading if isinstance(reading, Figure) else Figure(reading, reading, reading)
    if not 0.0 < figure.low <= figure.value <= figure.high < inf:
        raise InputError(
            name,
            f"{figure.value:g} ({figure.low:g} to {figure.high:g})",
            "must be finite and more than 0 over its whole tolerance",
            "Weigh or measure it again.",
        )
    return figure


def _check_sum(readings: Sequence[Figure], total: Reading | None) -> None:
    if total is None:
        return
    whole = _positive("total mass", total)
    low, high = sum(r.low for r in readings), sum(r.high for r in readings)
    slack = 1e-9 * whole.value
    if high < whole.low - slack or low > whole.high + slack:
        raise InputError(
            "sum of loads",
            sum(r.value for r in readings),
            f"must add up to the total mass of {whole.value:g} within the tolerances given",
            "Weigh again, or give the tolerance of each scale.",
        )
