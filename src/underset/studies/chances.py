"""How likely each check fails within the stated tolerances, and which figure drives it.

On request, beside the judge, never in its place: the judge looks at the worst corner, this looks at
how much of the tolerances is bad. Draws are seeded: the same question gives the same answer. Every
figure is drawn for itself; a stated tolerance alike over its whole width, a class prior as a normal
with two standard deviations to its half width (NIST/SEMATECH e-Handbook, 1.3.6.6).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from underset.errors import InputError
from underset.setting.evaluate import Case
from underset.setting.loads import footing
from underset.setting.result import Evaluation
from underset.setting.stand_loads import with_stand_loads

if TYPE_CHECKING:
    from underset.studies.chance_model import Array, Draws

MOST_DRAWS = 200_000
SHOWN = 5


@dataclass(frozen=True, slots=True)
class Driver:
    """A figure and its part of what moves a margin: squared rank correlation, scaled to sum 1."""

    figure: str
    part: float
    rising: bool
    """Whether the margin grows with the figure."""


@dataclass(frozen=True, slots=True)
class Chance:
    """One check over all draws: the part that fails in any state, the worst state, its margins."""

    check: str
    state: str
    fails: float
    margin_low: float
    margin_middle: float
    margin_high: float
    drivers: tuple[Driver, ...]


@dataclass(frozen=True, slots=True)
class Chances:
    """The report: chance that any check fails, each check, and what to measure next."""

    draws: int
    seed: int
    any_fails: float
    rows: tuple[Chance, ...]
    measure_next: str
    confidence: tuple[float, float]


def chances_of(case: Case, evaluation: Evaluation, draws: int = 4000, seed: int = 1) -> Chances:
    """Draw every tolerance and count. Raises InputError for a case that cannot be drawn.

    `margin_low`, `margin_middle`, `margin_high` are the 5th, 50th and 95th of a hundred parts in
    the check's own unit. `confidence` is the range of `any_fails` at 95 %.
    """
    import numpy as np

    from underset.studies import chance_model as model

    if not 100 <= draws <= MOST_DRAWS:
        raise InputError("draws", draws, f"from 100 to {MOST_DRAWS}")
    if case.vehicle.kerb is None:
        raise InputError("vehicle", case.vehicle.id, "mass and balance must be known to be drawn")
    setting = evaluation.setting
    drawn = model.Draws(np.random.default_rng(seed), draws)
    entries = model.draw_items(case, drawn)
    stood = model.draw_standing(case, setting, drawn)
    forms = footing(case.vehicle, case.bay, case.shelf, case.policy, setting).forms
    found: dict[str, list[tuple[str, Array]]] = {
        "arm_reach": [("", stood.reached.min(axis=1) - 0.5)],
        "point_on_pad": [("", 1.0 - stood.off.max(axis=1))],
        "screw_range": [("", stood.screw_room)],
    }
    for state in with_stand_loads(case.states, forms):
        if state.lifted:
            load = model.borne(state, entries, stood, drawn)
            for name, margin in model.margins(case, setting, state, load, stood):
                found.setdefault(name, []).append((state.name, margin))
    rows = [_row(name, states, drawn) for name, states in found.items()]
    failed = np.zeros(draws, dtype=bool)
    for states in found.values():
        for _, margin in states:
            failed |= margin < 0.0
    any_fails = float(failed.mean())
    rows.sort(key=lambda r: (-r.fails, r.check))
    return Chances(draws, seed, any_fails, tuple(rows), _next(rows), wilson(any_fails, draws))


def wilson(part: float, draws: int) -> tuple[float, float]:
    """Range of a chance seen as `part` of so many draws, at 95 % (Wilson 1927, score interval).

    Not empty where nothing or everything failed, unlike the range of a normal distribution.
    """
    z = 1.959964
    middle = part + z * z / (2 * draws)
    half = z * ((part * (1.0 - part) + z * z / (4 * draws)) / draws) ** 0.5
    whole = 1.0 + z * z / draws
    return max(0.0, (middle - half) / whole), min(1.0, (middle + half) / whole)


def _row(name: str, states: list[tuple[str, Array]], drawn: Draws) -> Chance:
    import numpy as np

    least = np.min([margin for _, margin in states], axis=0)
    worst = max(states, key=lambda row: (float((row[1] < 0.0).mean()), -float(row[1].min())))
    low, middle, high = (float(q) for q in np.quantile(least, (0.05, 0.5, 0.95)))
    fails = float((least < 0.0).mean())
    return Chance(name, worst[0], fails, low, middle, high, _drivers(least, drawn))


def _drivers(margin: Array, drawn: Draws) -> tuple[Driver, ...]:
    """Figures by their squared rank correlation (Spearman 1904) with a margin."""
    import numpy as np

    if float(np.ptp(margin)) < 1e-12 or not drawn.columns:
        return ()
    ranks = _ranks(margin)
    rhos = {name: _correlation(_ranks(column), ranks) for name, column in drawn.columns.items()}
    whole = sum(r * r for r in rhos.values())
    ordered = sorted(rhos.items(), key=lambda row: -(row[1] ** 2))
    return tuple(Driver(name, r * r / whole, r > 0.0) for name, r in ordered[:SHOWN])


def _ranks(values: Array) -> Array:
    import numpy as np

    return np.argsort(np.argsort(values, kind="stable"), kind="stable").astype(np.float64)


def _correlation(a: Array, b: Array) -> float:
    a, b = a - a.mean(), b - b.mean()
    return float((a * b).sum() / ((a * a).sum() * (b * b).sum()) ** 0.5)


def _next(rows: list[Chance]) -> str:
    """The figure that drives most of what fails; where nothing fails, of the least margin."""
    weight: dict[str, float] = {}
    for row in rows:
        for driver in row.drivers:
            weight[driver.figure] = weight.get(driver.figure, 0.0) + row.fails * driver.part
    best = max(weight.items(), key=lambda w: (w[1], w[0]), default=("", 0.0))
    if best[1] > 0.0:
        return best[0]
    spread = [
        (r.margin_low / max(r.margin_high - r.margin_low, 1e-12), r) for r in rows if r.drivers
    ]
    return min(spread, key=lambda s: s[0])[1].drivers[0].figure if spread else ""
