"""Measured against predicted pad loads: accept, or name the figure or pad that does not fit.

Four pad loads hold four independent figures: their total, the front's part of it, the left side's
part of it, and warp. A wrong weight shows in the first, a wrong place of the CG in the second and
third, a pad out of level in the last; only the single pads then tell the rest.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf
from typing import Literal

from underset.errors import InputError
from underset.statics.padloads import Pads, warp_of
from underset.statics.support import front_share
from underset.statics.weighing import Figure, within

What = Literal["total", "axle", "side", "warp", "pad"]


@dataclass(frozen=True, slots=True)
class Forecast:
    """What four pads should read: loads LF, RF, LR, RR and total in N, shares as parts of 1.

    `warp` is the warp force alpha in N (`warp_of`) with its range.
    """

    pads: tuple[Figure, Figure, Figure, Figure]
    total: Figure
    front: Figure
    left: Figure
    warp: Figure


@dataclass(frozen=True, slots=True)
class Misfit:
    """A figure outside its range: which, the pad's index if it is one, and by how much.

    `beyond` is the distance from the range; `strain` the same as a multiple of the range's half
    width, so that misfits of different kinds can be ranked.
    """

    what: What
    pad: int | None
    measured: Figure
    expected: Figure
    beyond: float
    strain: float


@dataclass(frozen=True, slots=True)
class Comparison:
    """Whether the readings fit, and every figure that does not, worst first within its kind."""

    fits: bool
    misfits: tuple[Misfit, ...]


def left_share(loads: Sequence[float]) -> float:
    """Part of the load of the first four supports that the two left pads carry."""
    return front_share((loads[0], loads[2], loads[1], loads[3]))


def forecast(
    pads: Pads, loads: Sequence[Figure], total: Figure, shares: tuple[Figure, Figure], alpha: float
) -> Forecast:
    """A forecast from pad loads with ranges, total, (front, left) shares and greatest warp ± N."""
    nominal = warp_of(pads, [load.value for load in loads])
    four = (loads[0], loads[1], loads[2], loads[3])
    return Forecast(four, total, shares[0], shares[1], within(nominal, alpha))


def compare_loads(
    pads: Pads, measured: Sequence[float], expected: Forecast, reading_tol: float = 0.0
) -> Comparison:
    """Compare four measured pad loads in N, each ± `reading_tol`, with a forecast.

    Figures are judged in the order total, axle, side, warp; single pads are named only where they
    leave their own range too. Raises InputError for readings that are no pad loads.
    """
    _check(measured, reading_tol)
    whole = sum(measured)
    part_tol = min(1.0, 2.0 * reading_tol / whole)
    warp = warp_of(pads, measured)
    figures: list[tuple[What, int | None, Figure, Figure]] = [
        ("total", None, within(whole, 4.0 * reading_tol), expected.total),
        ("axle", None, within(front_share(measured), part_tol), expected.front),
        ("side", None, within(left_share(measured), part_tol), expected.left),
        ("warp", None, within(warp, _warp_tol(pads, reading_tol)), expected.warp),
    ]
    figures += [
        ("pad", i, within(load, reading_tol), span)
        for i, (load, span) in enumerate(zip(measured, expected.pads, strict=True))
    ]
    found = [_misfit(*figure) for figure in figures]
    misfits = [misfit for misfit in found if misfit is not None]
    order: dict[What, int] = {"total": 0, "axle": 1, "side": 2, "warp": 3, "pad": 4}
    misfits.sort(key=lambda misfit: (order[misfit.what], -misfit.strain))
    return Comparison(not misfits, tuple(misfits))


def _misfit(what: What, pad: int | None, measured: Figure, expected: Figure) -> Misfit | None:
    beyond = max(measured.low - expected.high, expected.low - measured.high)
    if beyond <= 1e-9 * max(1.0, abs(expected.value)):
        return None
    half = (expected.high - expected.low + measured.high - measured.low) / 2.0
    return Misfit(what, pad, measured, expected, beyond, beyond / half if half > 0.0 else beyond)


def _warp_tol(pads: Pads, reading_tol: float) -> float:
    """Greatest error of warp_of when each reading is off by `reading_tol`."""
    signs = [warp_of(pads, [1.0 if j == i else 0.0 for j in range(4)]) for i in range(4)]
    return reading_tol * sum(abs(sign) for sign in signs)


def _check(measured: Sequence[float], reading_tol: float) -> None:
    if len(measured) != 4:
        raise InputError("measured loads", len(measured), "four readings: LF, RF, LR, RR")
    if not 0.0 <= reading_tol < inf:
        raise InputError("reading tolerance", reading_tol, "must be 0 N or more")
    for load in measured:
        if not 0.0 <= load < inf:
            raise InputError(
                "measured load", load, "a pad pushes up with 0 N or more", "Zero the gauge."
            )
    if not sum(measured) > 4.0 * reading_tol:
        raise InputError(
            "measured loads",
            tuple(measured),
            "must add up to more than the gauges can be wrong by",
            "Raise the vehicle until its tyres are off the floor.",
        )
