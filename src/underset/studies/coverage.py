"""Which bay takes which vehicle: every pair planned by the one planner, and told in short.

A cell is what a plan of this vehicle in this bay alone would say. Where it is empty it holds the
first reason (the check that refused most, with its nearest miss) and the cheapest remedy, which the
judge has found to work.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from typing import TypeVar

from underset.planner import Asking, Found, Limits, Voice, propose, proved, search
from underset.setting import Case, Check, Evaluation, Outcome, Plan, Remedy, Status

T = TypeVar("T")
R = TypeVar("R")
Run = Callable[[Callable[[T], R], Sequence[T]], Iterable[R]]
"""How a study runs a function over its tasks, results in the order of the tasks."""


@dataclass(frozen=True, slots=True)
class Pair:
    """One vehicle in one bay: the question of a cell."""

    case: Case
    visits: float | None = None
    remedies: bool = True
    voice: Voice = field(default_factory=Voice)
    limits: Limits = field(default_factory=Limits)


@dataclass(frozen=True, slots=True)
class Cell:
    """The answer of one pair. Figures that the outcome does not have are None, never zero.

    `least_margin` is the least margin against its limit over all checks that rank a setting, and
    `tightest` the check it comes from; `stacks` are the piece ids from the seat up by corner.
    """

    vehicle: str
    bay: str
    outcome: Outcome
    visits: float | None = None
    status: Status | None = None
    heading: str = ""
    point_set: str = ""
    spot: float | None = None
    window: tuple[float, float] | None = None
    least_margin: float | None = None
    tightest: Check | None = None
    stacks: tuple[tuple[str, ...], ...] = ()
    reason: Check | None = None
    remedy: str = ""
    remedy_kind: str = ""

    @property
    def served(self) -> bool:
        """Whether a usable setting was found."""
        return self.outcome is Outcome.FOUND


@dataclass(frozen=True, slots=True)
class Coverage:
    """Every cell, vehicles and bays in the order in which they were asked."""

    vehicles: tuple[str, ...]
    bays: tuple[str, ...]
    cells: tuple[Cell, ...]
    invented: bool = False

    def cell(self, vehicle: str, bay: str) -> Cell:
        """The cell of one pair."""
        return self.cells[self.vehicles.index(vehicle) * len(self.bays) + self.bays.index(bay)]

    def served(self, bay: str | None = None) -> tuple[str, ...]:
        """Vehicles that a bay (or any bay) takes."""
        asked = (bay,) if bay else self.bays
        return tuple(v for v in self.vehicles if any(self.cell(v, b).served for b in asked))

    def visits(self, vehicle: str) -> float | None:
        """Visits per year of a vehicle; None where the shop has not said."""
        return self.cell(vehicle, self.bays[0]).visits if self.bays else None

    def share(self, bay: str | None = None) -> float | None:
        """Part of all visits that a bay (or any bay) can take; None while visits are not given."""
        weights = {v: self.visits(v) for v in self.vehicles}
        whole = sum(w for w in weights.values() if w is not None)
        if not whole or None in weights.values():
            return None
        return sum(weights[v] or 0.0 for v in self.served(bay)) / whole


def cover(pairs: Sequence[Pair], run: Run[Pair, Cell] | None = None) -> Coverage:
    """Plan every pair; `run` may spread them over workers and gives the same cells."""
    cells = tuple(run(cell, pairs) if run else map(cell, pairs))
    vehicles = tuple(dict.fromkeys(c.vehicle for c in cells))
    bays = tuple(dict.fromkeys(c.bay for c in cells))
    by_pair = {(c.vehicle, c.bay): c for c in cells}
    invented = any(p.case.vehicle.invented or p.case.bay.invented for p in pairs)
    ordered = tuple(by_pair[v, b] for v in vehicles for b in bays)
    return Coverage(vehicles, bays, ordered, invented)


def cell(pair: Pair) -> Cell:
    """Plan one pair. Never raises for a physical reason."""
    found = search([pair.case], pair.limits)
    choices = proved(pair.case, found)
    if choices:
        return _taken(pair, choices[0].evaluation)
    reason, remedy = _first_reason(found), _cheapest(pair, found)
    return Cell(
        pair.case.vehicle.id, pair.case.bay.id, found.outcome, pair.visits, reason=reason,
        remedy=remedy.text if remedy else "", remedy_kind=remedy.kind if remedy else "",
    )  # fmt: skip


def _taken(pair: Pair, best: Evaluation) -> Cell:
    setting = best.setting
    ranked = [c for c in best.checks if c.slack is not None]
    return Cell(
        vehicle=pair.case.vehicle.id,
        bay=pair.case.bay.id,
        outcome=Outcome.FOUND,
        visits=pair.visits,
        status=best.status,
        heading=setting.heading,
        point_set=setting.point_set,
        spot=setting.spot,
        window=setting.window,
        least_margin=best.least_slack if ranked else None,
        tightest=min(ranked, key=lambda c: c.slack or 0.0, default=None),
        stacks=tuple(a.stack_ids for a in setting.arms),
    )


def _first_reason(found: Found) -> Check | None:
    """The check that refused most, at its nearest miss; or what is not known first."""
    if found.outcome is Outcome.INCOMPLETE:
        unclear = found.best_unclear()
        checks = unclear.checks if unclear else ()
        return next((c for c in checks if c.status is Status.NOT_KNOWN), None)
    return next((r.nearest for r in found.refusals() if r.nearest), None)


def _cheapest(pair: Pair, found: Found) -> Remedy | None:
    if not pair.remedies:
        return None
    plan = Plan(found.outcome, None, (), (), (), (), found.count)
    asked = Asking(found={pair.case.bay.id: found}, limits=pair.limits, voice=pair.voice)
    return next(iter(propose([pair.case], plan, asked).remedies), None)
