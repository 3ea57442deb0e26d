"""Which lift: what a bay of another geometry would add, alone and with its best shelf, and which
of its figures matters.

Every answer is the planner's full judge on the shop's own vehicles. A lift is looked at in the
surroundings of its own record (columns, ceiling, free space).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from math import isfinite, nan

from underset.geometry import Teeth
from underset.planner import Limits, search
from underset.setting import Case
from underset.studies.coverage import Run
from underset.studies.kit import greatest_share
from underset.studies.ways import Ask, Sold, kit_case, ways_of_ask

Visits = Mapping[str, float]
BUDGET = 1.0e9  # more than any shelf costs


@dataclass(frozen=True, slots=True)
class Candidate:
    """A lift to choose from, with one case for each vehicle."""

    id: str
    cases: tuple[Case, ...]


@dataclass(frozen=True, slots=True)
class Sensitivity:
    """What one changed figure of a lift would add to its share of visits, alone."""

    figure: str
    change: str
    gain: float


@dataclass(frozen=True, slots=True)
class LiftChoice:
    """One candidate: share of visits it takes itself, the shop's share with it, and its shelf.

    `gain` is what it adds to the shop without it. With the best shelf: the shop's share, and what
    the pieces cost beyond what is owned; NaN where nothing is for sale that would help.
    """

    id: str
    alone: float
    shop: float
    gain: float
    shop_with_shelf: float
    shelf_cost: float
    takes: tuple[str, ...]
    sensitivity: tuple[Sensitivity, ...] = ()


@dataclass(frozen=True, slots=True)
class Choosing:
    """The question: candidates, what the other bays take, visits, what is sold and owned."""

    candidates: tuple[Candidate, ...]
    served: frozenset[str]
    visits: Visits
    sold: Sold
    stock: tuple[tuple[str, int, str], ...] = ()
    sensitivity: bool = True


def choose(asked: Choosing, run: Run[Case, bool] | None = None) -> tuple[LiftChoice, ...]:
    """Candidates by what they add to the shop, best first; ties by what the shelf would add."""
    found = [_choice(asked, c, run) for c in asked.candidates]
    return tuple(sorted(found, key=lambda x: (-x.gain, -_known(x.shop_with_shelf), x.id)))


def takes(case: Case) -> bool:
    """Whether the planner finds a usable setting."""
    return bool(search([case], Limits(choices=1)).choices)


def _known(x: float) -> float:
    return x if isfinite(x) else 0.0


def _choice(asked: Choosing, candidate: Candidate, run: Run[Case, bool] | None) -> LiftChoice:
    here = _taken(candidate.cases, run)
    whole, before = asked.served | here, _share(asked, asked.served)
    best, cost = _best_shelf(asked, candidate, whole)
    shop = _share(asked, whole)
    return LiftChoice(
        candidate.id, _share(asked, here), shop, shop - before, best, cost, tuple(sorted(here)),
        tuple(_sensitivities(asked, candidate, here, run)) if asked.sensitivity else (),
    )  # fmt: skip


def _taken(cases: Sequence[Case], run: Run[Case, bool] | None) -> frozenset[str]:
    answers = run(takes, cases) if run else map(takes, cases)
    return frozenset(c.vehicle.id for c, yes in zip(cases, answers, strict=True) if yes)


def _share(asked: Choosing, taken: Iterable[str]) -> float:
    whole = sum(asked.visits.values())
    return sum(asked.visits.get(v, 0.0) for v in taken) / whole if whole else nan


def _best_shelf(
    asked: Choosing, candidate: Candidate, whole: frozenset[str]
) -> tuple[float, float]:
    """The shop's share with the pieces that serve most in this bay, and what they cost at least."""
    rest = [c for c in candidate.cases if c.vehicle.id not in whole]
    found = [ways_of_ask(Ask(c, asked.sold)) for c in rest]
    if not any(ways for _, ways in found):
        return _share(asked, whole), 0.0
    kit = greatest_share(kit_case(found, asked.visits, asked.sold, asked.stock), BUDGET)
    if not kit.proof.has_answer:
        return nan, nan
    return _share(asked, whole | {s.visit for s in kit.served}), kit.cost


# --- which figure matters -----------------------------------------------------------------------

CHANGES: Mapping[str, tuple[str, Callable[[Case], Case]]] = {
    "arm reach": ("+100 mm", lambda c: _arms(c, 0.1, 0.0)),
    "least reach": ("-100 mm", lambda c: _arms(c, 0.0, -0.1)),
    "tooth pitch": ("halved", lambda c: _pitch(c, 0.5)),
    "lowest seat": ("-20 mm", lambda c: _bay(c, seat_low=max(0.0, c.bay.seat_low - 0.02))),
    "rise": ("+200 mm", lambda c: _bay(c, seat_high=c.bay.seat_high + 0.2)),
    "capacity": ("+25 %", lambda c: _capacity(c, 1.25)),
}


def _sensitivities(
    asked: Choosing, candidate: Candidate, here: frozenset[str], run: Run[Case, bool] | None
) -> Iterable[Sensitivity]:
    before = _share(asked, here)
    for figure, (change, make) in CHANGES.items():
        changed = _taken([make(c) for c in candidate.cases], run)
        yield Sensitivity(figure, change, _share(asked, changed) - before)


def _bay(case: Case, **figures: object) -> Case:
    return replace(case, bay=replace(case.bay, **figures))  # type: ignore[arg-type]


def _arms(case: Case, longer: float, shorter: float) -> Case:
    arms = [
        replace(a, reach_high=a.reach_high + longer, reach_low=max(0.1, a.reach_low + shorter))
        for a in case.bay.arms
    ]
    return _bay(case, arms=tuple(arms))


def _pitch(case: Case, factor: float) -> Case:
    teeth = case.bay.restraint
    if not isinstance(teeth, Teeth):
        return case
    pitch = teeth.pitch * factor
    return _bay(case, restraint=Teeth(pitch, teeth.offset), pitch=pitch)


def _capacity(case: Case, factor: float) -> Case:
    limits = tuple(None if x is None else x * factor for x in case.bay.arm_limits)
    return _bay(case, rated=case.bay.rated * factor, arm_limits=limits)


__all__ = [
    "CHANGES",
    "Candidate",
    "Choosing",
    "LiftChoice",
    "Sensitivity",
    "choose",
    "takes",
]
