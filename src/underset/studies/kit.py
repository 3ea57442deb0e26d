"""What to buy: the pieces that let a shop serve most visits for least money.

Three questions of one case: the least cost for a wanted share of visits, the greatest share for a
budget, and every point of the trade-off between the two. Each answer says whether it is proved,
with the bound and gap of HiGHS; what is served is counted again from the purchase without it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from math import inf, isfinite, nan
from time import monotonic

from underset.errors import InputError, InternalError
from underset.studies.kit_case import (
    SHELF,
    Buy,
    KitCase,
    Lack,
    Needs,
    Offer,
    Stock,
    Visit,
    Way,
    bought,
    open_ways,
)
from underset.studies.kit_model import KitModel, build
from underset.studies.milp import Limits, Solution
from underset.studies.proof import Goal, Proof

MONEY = 0.01  # least step between two prices
UNHURRIED = Limits()
TINY = 1e-7  # part of all visits that counts as nothing


@dataclass(frozen=True, slots=True)
class Served:
    """A visit that can be served, and the bay that serves it."""

    visit: str
    bay: str


@dataclass(frozen=True, slots=True)
class Unserved:
    """A visit that cannot be served: what its cheapest way still lacks.

    `bay` is empty when no way exists at all; `cost` is infinite when what is lacking is not sold,
    and only a guide otherwise: the pieces at the least price per piece.
    """

    visit: str
    weight: float
    bay: str
    lacking: Needs
    cost: float


@dataclass(frozen=True, slots=True)
class Kit:
    """An answer. `goal` holds the aim asked for (cost, or share of visits) with its bound.

    `tie` says how the second aim ended: the greatest share at that cost, or the least cost for that
    share. `reachable` is the greatest share at any cost, given when the wanted one is out of reach.
    """

    proof: Proof
    goal: Goal
    tie: Proof
    cost: float
    share: float
    buys: tuple[Buy, ...] = ()
    served: tuple[Served, ...] = ()
    unserved: tuple[Unserved, ...] = ()
    reachable: float = nan


@dataclass(frozen=True, slots=True)
class Curve:
    """Points of the trade-off, cheapest first; `complete` when every one is there and proved."""

    points: tuple[Kit, ...]
    complete: bool


@dataclass(frozen=True, slots=True)
class _Clock:
    """Limits of one solution, cut to what is left of the seconds for all of them together."""

    limits: Limits
    seconds: float
    began: float = field(default_factory=monotonic)

    @property
    def left(self) -> float:
        """Seconds of wall time left."""
        return self.began + self.seconds - monotonic()

    def rest(self, at_least: float = 0.0) -> Limits:
        """Limits of the next solution."""
        seconds = min(self.limits.seconds, max(self.left, at_least))
        return replace(self.limits, seconds=seconds)


def least_cost(case: KitCase, share: float, limits: Limits = UNHURRIED) -> Kit:
    """The cheapest purchase with which at least this share of the visits can be served.

    The seconds of the limits are for the aim and the tie together, with a tenth kept for the tie.
    Raises InputError for a share outside 0 to 1.
    """
    if not 0.0 <= share <= 1.0:
        raise InputError("share", share, "a share of visits is between 0 and 1")
    return _least_cost(case, build(case), share, limits)


def greatest_share(case: KitCase, budget: float, limits: Limits = UNHURRIED) -> Kit:
    """The purchase within the budget with which the greatest share of visits can be served.

    The seconds of the limits are for the aim and the tie together, with a tenth kept for the tie.
    Raises InputError for a negative budget; an infinite one is allowed.
    """
    if not budget >= 0.0:
        raise InputError("budget", budget, "a budget is zero or more")
    return _greatest_share(case, build(case), budget, limits)


def trade_off(
    case: KitCase,
    budgets: Sequence[float] | None = None,
    most_points: int = 200,
    limits: Limits = UNHURRIED,
    seconds: float = inf,
) -> Curve:
    """Purchases that no other one beats in both cost and share, cheapest first.

    Without `budgets` every one of them, found from the dear end: after each point the next one must
    cost less. Where there are more than `most_points`, the dear ones are kept. With `budgets` the
    best for each, for a quick look. The limits are those of each point, `seconds` of wall time
    those of all; when they are over, the points found so far are the answer. The curve says whether
    it is complete.
    """
    clock = _Clock(limits, seconds)
    if budgets is not None:
        model, found = build(case), {}
        for budget in sorted(budgets):
            kit = _greatest_share(case, model, budget, clock.rest())
            if kit.proof.has_answer:
                found[round(kit.cost / MONEY)] = kit
        return Curve(tuple(found[cost] for cost in sorted(found)), complete=False)
    points = list(_from_dear_to_cheap(case, most_points, clock))
    proved = all(k.proof is Proof.OPTIMAL and k.tie is Proof.OPTIMAL for k in points)
    ends = bool(points) and points[-1].cost < MONEY / 2
    return Curve(tuple(reversed(points)), proved and ends)


def _from_dear_to_cheap(case: KitCase, most_points: int, clock: _Clock) -> Iterator[Kit]:
    model, budget = build(case), inf
    for _ in range(most_points):
        kit = _greatest_share(case, model, budget, clock.rest())
        if not kit.proof.has_answer:
            return
        yield kit
        if kit.cost < MONEY / 2:
            return
        budget = kit.cost - MONEY


def _least_cost(case: KitCase, model: KitModel, share: float, limits: Limits) -> Kit:
    enough, clock = (
        model.serve_at_least((share - TINY) * case.weight),
        _Clock(limits, limits.seconds),
    )
    first = model.milp.minimise(model.price, limits, (enough,))
    if not first.proof.has_answer:
        return _no_answer(case, model, share, first, clock.rest(limits.seconds / 10))
    cost = sum(b.price for b in model.buys(case, first.values))
    most = {j: -w for j, w in model.gain.items()}
    within = (enough, model.spend_at_most(cost + MONEY / 2))
    second = model.milp.minimise(most, clock.rest(limits.seconds / 10), within, first.values)
    goal = Goal("cost", cost, _near(first.bound, cost, MONEY / 2))
    return _answer(case, model, (first, second), goal)


def _greatest_share(case: KitCase, model: KitModel, budget: float, limits: Limits) -> Kit:
    most, clock = {j: -w for j, w in model.gain.items()}, _Clock(limits, limits.seconds)
    within = (model.spend_at_most(budget + MONEY / 4),) if isfinite(budget) else ()
    first = model.milp.minimise(most, limits, within)
    whole = case.weight or 1.0
    if not first.proof.has_answer:
        return Kit(first.proof, Goal("share", nan, 1.0), Proof.LIMIT, nan, nan)
    weight = model.base - first.objective
    keep = model.serve_at_least(weight - TINY * whole)
    rest = clock.rest(limits.seconds / 10)
    second = model.milp.minimise(model.price, rest, (*within, keep), first.values)
    value = weight / whole
    bound = (model.base - first.bound) / whole
    return _answer(case, model, (first, second), Goal("share", value, _near(bound, value, TINY)))


def _no_answer(
    case: KitCase, model: KitModel, share: float, first: Solution, limits: Limits
) -> Kit:
    goal = Goal("cost", nan, inf if first.proof is Proof.INFEASIBLE else first.bound)
    if first.proof is not Proof.INFEASIBLE:
        return Kit(first.proof, goal, Proof.LIMIT, nan, nan)
    best = _greatest_share(case, model, inf, limits)
    if best.share >= share:
        raise InternalError("the programme refused a share of visits that it can reach.")
    return Kit(first.proof, goal, Proof.LIMIT, nan, nan, (), (), best.unserved, best.goal.bound)


def _near(bound: float, value: float, step: float) -> float:
    """A bound less than a step away is the value itself: rounding of the solver's sums."""
    return value if abs(bound - value) <= step else bound


def _answer(case: KitCase, model: KitModel, found: tuple[Solution, Solution], goal: Goal) -> Kit:
    """The answer of the second solution, or of the first where the second has none."""
    first, second = found
    values = second.values if second.proof.has_answer else first.values
    buys = model.buys(case, values)
    served, unserved = _count(case, buys, model.chosen(values))
    cost, weight = sum(b.price for b in buys), {v.id: v.weight for v in case.visits}
    share = sum(weight[s.visit] for s in served) / (case.weight or 1.0)
    _withhold(goal, cost, share)
    return Kit(first.proof, goal, second.proof, cost, share, buys, served, unserved)


def _withhold(goal: Goal, cost: float, share: float) -> None:
    """The purchase counted without the solver must be no worse than the solver said."""
    worse = cost > goal.value + MONEY if goal.name == "cost" else share < goal.value - 10 * TINY
    if worse:
        raise InternalError(f"the {goal.name} counted ({cost}, {share}) is not what was solved.")


def _count(
    case: KitCase, buys: Sequence[Buy], chosen: Mapping[str, Way]
) -> tuple[tuple[Served, ...], tuple[Unserved, ...]]:
    ways = open_ways(case, buys)
    served, unserved = [], []
    price = _piece_prices(case)
    have = bought(case, buys)
    for visit, way in zip(case.visits, ways, strict=True):
        used = chosen.get(visit.id) if visit.id in case.grouped else way
        if used is None:
            unserved.append(_unserved(case, visit, have, price))
        else:
            served.append(Served(visit.id, used.bay))
    return tuple(served), tuple(unserved)


def _piece_prices(case: KitCase) -> dict[str, float]:
    prices: dict[str, float] = {}
    for offer in case.offers:
        each = offer.price / sum(n for _, n in offer.contents)
        for piece, _ in offer.contents:
            prices[piece] = min(each, prices.get(piece, inf))
    return prices


def _unserved(
    case: KitCase,
    visit: Visit,
    have: Mapping[tuple[str, str], int],
    price: Mapping[str, float],
) -> Unserved:
    options = []
    for way in visit.ways:
        lacking = tuple(_still(x, have) for x in case.lacks(way))
        needs = tuple((p, n) for p, n in lacking if n > 0)
        cost = sum((n * price.get(p, inf) for p, n in needs), 0.0)
        options.append(Unserved(visit.id, visit.weight, way.bay, needs, cost))
    nothing = Unserved(visit.id, visit.weight, "", (), inf)
    return min(options, key=lambda u: u.cost, default=nothing)


def _still(lack: Lack, have: Mapping[tuple[str, str], int]) -> tuple[str, int]:
    return lack.piece, lack.count - have.get((lack.piece, lack.where), 0)


__all__ = [
    "SHELF",
    "Buy",
    "Curve",
    "Goal",
    "Kit",
    "KitCase",
    "Limits",
    "Offer",
    "Proof",
    "Served",
    "Stock",
    "Unserved",
    "Visit",
    "Way",
    "greatest_share",
    "least_cost",
    "trade_off",
]
