"""Mass ledger: what is on the vehicle, where, how exactly known, and what that adds up to."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf, isfinite
from operator import add, mul, sub

from underset.errors import InputError
from underset.statics.kernels import mean_high

Place = tuple[float, float, float]
Affine = tuple[float, float, float, float]  # value at (x, y, z): a + b x + c y + d z


@dataclass(frozen=True, slots=True)
class Item:
    """One entry: `mass` in kg at `place` (x, y, z in m), each ± its tolerance.

    A part taken off is an entry of negative mass. A mass may not be so uncertain that its sign is.
    """

    name: str
    mass: float
    mass_tol: float
    place: Place
    place_tol: Place = (0.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True)
class Total:
    """Sum of a ledger: mass in kg and CG in m, nominal and extremes over all tolerances."""

    mass: float
    mass_low: float
    mass_high: float
    cg: Place
    cg_low: Place
    cg_high: Place


def total(items: Sequence[Item]) -> Total:
    """Mass and CG of all items, with the exact extremes of each over the box of tolerances.

    Source: moments about the datum, FAA-H-8083-1 (Weight and Balance Handbook). The extremes are
    those of a mass-weighted mean whose masses and places vary independently.
    Raises InputError if an item's tolerance is negative or exceeds its mass, or if the total
    mass could be nothing.
    """
    masses = _masses(items)
    x_low, x, x_high = _mean_span(masses, *_along(items, 0))
    y_low, y, y_high = _mean_span(masses, *_along(items, 1))
    z_low, z, z_high = _mean_span(masses, *_along(items, 2))
    least = sum(masses.lows)
    return Total(
        masses.total,
        least,
        least + sum(masses.spreads),
        (x, y, z),
        (x_low, y_low, z_low),
        (x_high, y_high, z_high),
    )


def mean_range(items: Sequence[Item], value: Affine) -> tuple[float, float, float]:
    """(low, nominal, high) of the mass-weighted mean of an affine function of place.

    With the distance from an edge of the support polygon as the function, this is the exact
    worst margin of the CG from that edge.
    """
    return mean_ranges(items, (value,))[0]


def mean_ranges(
    items: Sequence[Item], values: Sequence[Affine]
) -> tuple[tuple[float, float, float], ...]:
    """`mean_range` of several functions over one ledger."""
    masses = _masses(items)
    return tuple([_mean_span(masses, *_values(items, value)) for value in values])


def sum_range(items: Sequence[Item], value: Affine) -> tuple[float, float, float]:
    """(low, nominal, high) of the sum of mass times an affine function of place.

    With a pad's share of a unit weight as the function, this is the exact range of its load.
    """
    return sum_ranges(items, (value,))[0]


def sum_ranges(
    items: Sequence[Item], values: Sequence[Affine]
) -> tuple[tuple[float, float, float], ...]:
    """`sum_range` of several functions over one ledger."""
    masses = _masses(items)
    return tuple([_sum_span(masses, *_values(items, value)) for value in values])


def _sum_span(
    masses: _Masses, places: list[float], tols: list[float]
) -> tuple[float, float, float]:
    """Low, nominal and high sum of mass times place."""
    least = nominal = most = 0.0
    rows = zip(masses.nominal, masses.lows, masses.spreads, places, tols, strict=True)
    for mass, low, spread, place, tol in rows:
        nominal += mass * place
        if spread == 0.0 == tol:
            least += mass * place
            most += mass * place
            continue
        high, near, far = low + spread, place - tol, place + tol
        corners = (low * near, low * far, high * near, high * far)
        least += min(corners)
        most += max(corners)
    return least, nominal, most


@dataclass(frozen=True, slots=True)
class _Masses:
    nominal: list[float]
    lows: list[float]
    spreads: list[float]
    signs: list[float]
    total: float


def _masses(items: Sequence[Item]) -> _Masses:
    nominal = [item.mass for item in items]
    tols = [item.mass_tol for item in items]
    for mass, tol in zip(nominal, tols, strict=True):
        if not 0.0 <= tol <= abs(mass):
            raise _bad_tolerance(items)
    lows = list(map(sub, nominal, tols))
    least = sum(lows)
    if not 0.0 < least < inf:
        raise InputError(
            "total mass",
            least,
            "must be more than 0 kg even at the least of every tolerance",
            "Check the masses and tolerances of the parts taken off.",
        )
    # A part taken off pulls the mean the other way.
    signs = [1.0 if mass > 0.0 else -1.0 for mass in nominal]
    return _Masses(nominal, lows, [2.0 * tol for tol in tols], signs, sum(nominal))


def _bad_tolerance(items: Sequence[Item]) -> InputError:
    item = next(item for item in items if not 0.0 <= item.mass_tol <= abs(item.mass))
    return InputError(
        f"mass of {item.name}",
        f"{item.mass} ± {item.mass_tol} kg",
        "the tolerance must lie between 0 and the mass itself",
        "Give the middle of the possible range and half its width.",
    )


def _along(items: Sequence[Item], axis: int) -> tuple[list[float], list[float]]:
    return [item.place[axis] for item in items], [item.place_tol[axis] for item in items]


def _values(items: Sequence[Item], value: Affine) -> tuple[list[float], list[float]]:
    a, b, c, d = value
    places = [a + b * x + c * y + d * z for x, y, z in (item.place for item in items)]
    b, c, d = abs(b), abs(c), abs(d)
    tols = [b * x + c * y + d * z for x, y, z in (item.place_tol for item in items)]
    return places, tols


def _mean_span(
    masses: _Masses, places: list[float], tols: list[float]
) -> tuple[float, float, float]:
    """Low, nominal and high mass-weighted mean of places."""
    mean = sum(map(mul, masses.nominal, places)) / masses.total
    if not isfinite(mean):
        raise InputError("place of an item", mean, "must be a finite number", "Check the ledger.")
    if min(tols) < 0.0 or not isfinite(sum(tols)):
        raise InputError("tolerance of a place", tols, "must be finite and 0 or more, in m")
    reach = list(map(mul, masses.signs, tols))
    far = list(map(add, places, reach))
    near = list(map(sub, reach, places))
    low = -mean_high(masses.lows, masses.spreads, near, -mean)
    return low, mean, mean_high(masses.lows, masses.spreads, far, mean)
