"""What to buy, against trying every purchase, and against CP-SAT with its own programme."""

from __future__ import annotations

import itertools
import math
import random

import pytest
from ortools.sat.python import cp_model

from underset.studies.kit import (
    SHELF,
    Kit,
    KitCase,
    Offer,
    Proof,
    Stock,
    Visit,
    Way,
    greatest_share,
    least_cost,
    trade_off,
)
from underset.studies.kit_model import MOST_CLAUSES, build
from underset.studies.milp import Limits

TYPES = ("block", "cradle", "spacer", "tall-head")
BAYS = ("east", "west")


def random_needs(rng: random.Random, most: int) -> tuple[tuple[str, int], ...]:
    types = rng.sample(TYPES, rng.randint(0, most))
    return tuple((t, rng.choice((1, 2, 2, 4))) for t in sorted(types))


def random_case(seed: int) -> KitCase:
    rng = random.Random(seed)
    visits = tuple(
        Visit(
            f"v{i}",
            float(rng.choice((0, 1, 3, 10, 25))),
            tuple(Way(rng.choice(BAYS), random_needs(rng, 2)) for _ in range(rng.randint(0, 3))),
        )
        for i in range(rng.randint(1, 6))
    )
    offers = [
        Offer("set of blocks", rng.choice((39.5, 80.0)), (("block", 4),)),
        Offer("pair of cradles", 61.25, (("cradle", 2),), rng.choice((None, 0, 1))),
        Offer("spacer", 12.3, (("spacer", 1),), rng.choice((None, 2))),
    ]
    if rng.random() < 0.5:
        offers.append(Offer("assorted case", 110.0, (("spacer", 2), ("tall-head", 4))))
    stock = tuple(
        Stock(rng.choice(TYPES), rng.randint(1, 4), rng.choice((SHELF, *BAYS)))
        for _ in range(rng.randint(0, 2))
    )
    ids = [v.id for v in visits]
    together = (tuple(rng.sample(ids, 2)),) if len(ids) > 2 and rng.random() < 0.4 else ()
    return KitCase(
        visits,
        tuple(offers),
        stock,
        shared=rng.random() < 0.6,
        at_once=rng.choice((1, 1, 2)),
        spare={"block": 0.25} if rng.random() < 0.3 else {},
        together=together,
    )


# --- the same question, by trying everything, with nothing of ours but the case's fields ---


def owned(case: KitCase, piece: str, where: str) -> int:
    return sum(s.count for s in case.stock if s.piece == piece and s.where == where)


def usable(case: KitCase, purchase: dict[tuple[str, str], int], piece: str, where: str) -> float:
    packs = (
        (o, purchase.get((o.id, where), 0)) for o in case.offers if purchase.get((o.id, where), 0)
    )
    pieces = sum(n * k for o, k in packs for p, n in o.contents if p == piece)
    return pieces / (1.0 + case.spare.get(piece, 0.0))


def way_open(case: KitCase, purchase: dict[tuple[str, str], int], way: Way) -> bool:
    for piece in {p for p, _ in way.needs}:
        need = sum(n for p, n in way.needs if p == piece)
        here, shelf = owned(case, piece, way.bay), owned(case, piece, SHELF)
        if case.shared:
            supply = shelf + usable(case, purchase, piece, SHELF)
            good = case.at_once * max(0, need - here) <= supply + 1e-9
        else:
            supply = here + shelf // case.at_once + usable(case, purchase, piece, way.bay)
            good = need <= supply + 1e-9
        if not good:
            return False
    return True


def fits_together(case: KitCase, purchase: dict, ways: tuple[Way, ...]) -> bool:
    if len({w.bay for w in ways}) < len(ways):
        return False
    for piece in {p for w in ways for p, _ in w.needs}:
        drawn = 0.0
        for w in ways:
            need = sum(n for p, n in w.needs if p == piece)
            own = owned(case, piece, w.bay)
            if not case.shared:
                own += usable(case, purchase, piece, w.bay)
            drawn += max(0.0, need - own)
        shelf = owned(case, piece, SHELF)
        if case.shared:
            shelf += usable(case, purchase, piece, SHELF)
        if drawn > shelf + 1e-9:
            return False
    return True


def weight_served(case: KitCase, purchase: dict[tuple[str, str], int]) -> float:
    visits = {v.id: v for v in case.visits}
    can = [v for v in case.visits if any(way_open(case, purchase, w) for w in v.ways)]
    free = sum(v.weight for v in can if not any(v.id in g for g in case.together))
    inside = [v.id for v in can if any(v.id in g for g in case.together)]
    best = 0.0
    for size in range(len(inside) + 1):
        for some in itertools.combinations(inside, size):
            good = all(
                any(
                    fits_together(case, purchase, combo)
                    for combo in itertools.product(*(visits[v].ways for v in g if v in some))
                )
                for g in case.together
            )
            if good:
                best = max(best, sum(visits[v].weight for v in some))
    return free + best


def all_purchases(case: KitCase):
    """Every (cost, weight) worth trying; at most four of anything is ever of use here."""
    bays = sorted({w.bay for v in case.visits for w in v.ways})
    places = (SHELF,) if case.shared else bays
    slots = [(o, where) for o in case.offers for where in places]
    caps = [most_useful(case, o) for o, _ in slots]
    for counts in itertools.product(*(range(c + 1) for c in caps)):
        bought = {(o.id, w): n for (o, w), n in zip(slots, counts, strict=True) if n}
        totals: dict[str, int] = {}
        for (o, _), n in zip(slots, counts, strict=True):
            totals[o.id] = totals.get(o.id, 0) + n
        if all(o.most is None or totals.get(o.id, 0) <= o.most for o in case.offers):
            cost = sum(o.price * n for (o, _), n in zip(slots, counts, strict=True))
            yield cost, weight_served(case, bought)


def most_useful(case: KitCase, offer: Offer) -> int:
    """Packs beyond which even the hungriest use of this offer is covered."""
    best = 0
    for piece, n in offer.contents:
        single = max(
            (k for v in case.visits for w in v.ways for p, k in w.needs if p == piece), default=0
        )
        grouped = 2 * single if case.together else 0
        want = max(case.at_once * single, grouped) * (1.0 + case.spare.get(piece, 0.0))
        best = max(best, math.ceil(want / n - 1e-9))
    return best if offer.most is None else min(best, offer.most)


def small_enough(case: KitCase) -> bool:
    bays = {w.bay for v in case.visits for w in v.ways}
    places = 1 if case.shared else len(bays)
    return math.prod((most_useful(case, o) + 1) ** places for o in case.offers) <= 3000


CASES = [s for s in range(400) if small_enough(random_case(s))][:120]


def test_enough_small_cases_of_every_sort_are_tried():
    cases = [random_case(s) for s in CASES]
    assert len(cases) == 120
    assert sum(c.shared for c in cases) >= 30
    assert sum(not c.shared for c in cases) >= 30
    assert sum(bool(c.together) for c in cases) >= 20
    assert sum(bool(c.spare) for c in cases) >= 20
    assert sum(c.at_once > 1 for c in cases) >= 20


@pytest.mark.parametrize("seed", CASES)
def test_same_as_trying_every_purchase(seed: int):
    case = random_case(seed)
    every = list(all_purchases(case))
    whole = sum(v.weight for v in case.visits)
    if whole == 0.0:
        assert greatest_share(case, 0.0).proof is Proof.OPTIMAL
        return
    check_budgets(case, every, whole)
    check_shares(case, every, whole)
    check_curve(case, every, whole)


def check_budgets(case: KitCase, every: list[tuple[float, float]], whole: float) -> None:
    for budget in (0.0, 60.0, 150.0, math.inf):
        best = max(w for c, w in every if c <= budget + 1e-6)
        cheapest = min(c for c, w in every if w >= best - 1e-9)
        kit = greatest_share(case, budget)
        assert kit.proof is Proof.OPTIMAL
        assert kit.tie is Proof.OPTIMAL
        assert kit.share == pytest.approx(best / whole, abs=1e-9)
        assert kit.goal.bound == pytest.approx(best / whole, abs=1e-6)
        assert kit.cost == pytest.approx(cheapest, abs=1e-6)


def check_shares(case: KitCase, every: list[tuple[float, float]], whole: float) -> None:
    for share in (0.3, 0.75, 1.0):
        costs = [(c, -w) for c, w in every if w >= share * whole - 1e-9]
        kit = least_cost(case, share)
        if not costs:
            assert kit.proof is Proof.INFEASIBLE
            assert kit.reachable == pytest.approx(max(w for _, w in every) / whole, abs=1e-6)
            assert not kit.buys
            continue
        cost = min(c for c, _ in costs)
        most = max(-w for c, w in costs if c <= cost + 1e-6)
        assert kit.proof is Proof.OPTIMAL
        assert kit.goal.gap <= 1e-6
        assert kit.cost == pytest.approx(cost, abs=1e-6)
        assert kit.share == pytest.approx(most / whole, abs=1e-9)


def check_curve(case: KitCase, every: list[tuple[float, float]], whole: float) -> None:
    front: list[tuple[float, float]] = []
    for cost, weight in sorted(every, key=lambda p: (p[0], -p[1])):
        if not front or weight > front[-1][1] + 1e-9:
            front.append((cost, weight))
    curve = trade_off(case)
    assert curve.complete
    assert [(round(k.cost, 4), round(k.share * whole, 6)) for k in curve.points] == [
        (round(c, 4), round(w, 6)) for c, w in front
    ]


# --- the tight programme against the plain one, on cases of any size ---


def optimum(case: KitCase, tight: int, *, budget: float | None) -> tuple[Proof, float]:
    """Greatest weight for a budget, or least price for four fifths of the visits."""
    model = build(case, tight)
    if budget is None:
        found = model.milp.minimise(
            model.price, Limits(), (model.serve_at_least(0.8 * case.weight - 1e-6),)
        )
        return found.proof, found.objective
    most = {j: -w for j, w in model.gain.items()}
    found = model.milp.minimise(most, Limits(), (model.spend_at_most(budget),))
    return found.proof, model.base - found.objective


def wide_case(seed: int) -> KitCase:
    """Visits with many ways of several types in several numbers, packs that do not fit them."""
    rng = random.Random(seed)
    types = [f"type-{i}" for i in range(5)]
    visits = tuple(
        Visit(
            f"v{i}",
            float(rng.randint(1, 20)),
            tuple(
                Way(
                    rng.choice(BAYS),
                    tuple((t, rng.choice((1, 2, 4, 5))) for t in sorted(rng.sample(types, 2))),
                )
                for _ in range(rng.randint(2, 5))
            ),
        )
        for i in range(5)
    )
    sizes = {t: rng.choice((1, 2, 3, 4)) for t in types}
    offers = [Offer(f"of {t}", float(rng.randint(10, 60)), ((t, sizes[t]),)) for t in types]
    offers.append(Offer("case", 90.0, tuple((t, 3) for t in types[:3]), rng.choice((None, 1))))
    spare = {types[0]: 0.2}
    return KitCase(visits, tuple(offers), shared=seed % 4 > 0, spare=spare)


@pytest.mark.parametrize("seed", range(400, 460))
def test_tight_and_plain_programmes_have_the_same_best(seed: int):
    case = random_case(seed) if seed % 2 else wide_case(seed)
    for budget in (120.0, None):
        plain = optimum(case, 0, budget=budget)
        assert plain[0] in (Proof.OPTIMAL, Proof.INFEASIBLE)
        for tight in (2, MOST_CLAUSES):
            proof, best = optimum(case, tight, budget=budget)
            assert proof is plain[0]
            assert best == pytest.approx(plain[1], abs=1e-5, nan_ok=True)


def test_the_tight_programme_leaves_less_room():
    case = middle_case(0)
    rooms = []
    for tight in (0, MOST_CLAUSES):
        model = build(case, tight)
        model.milp.whole = [False] * len(model.milp.whole)
        most = {j: -w for j, w in model.gain.items()}
        found = model.milp.minimise(most, Limits(), (model.spend_at_most(900.0),))
        rooms.append(model.base - found.objective)
    assert rooms[1] < rooms[0] * 0.97


# --- middle cases: CP-SAT with whole numbers and conditional rows, a programme of another shape ---


def middle_case(seed: int) -> KitCase:
    """Sixty visits on one shelf, or thirty with a shelf at every bay (more packs to choose)."""
    rng = random.Random(seed)
    shared = seed % 2 == 0
    types = [f"type-{i}" for i in range(14 if shared else 8)]
    bays = [f"bay-{i}" for i in range(4 if shared else 2)]
    visits = tuple(
        Visit(
            f"v{i}",
            float(rng.randint(1, 40)),
            tuple(
                Way(
                    rng.choice(bays),
                    tuple(
                        sorted(
                            (t, rng.choice((2, 4))) for t in rng.sample(types, rng.randint(1, 3))
                        )
                    ),
                )
                for _ in range(rng.randint(1, 5))
            ),
        )
        for i in range(60 if shared else 30)
    )
    offers = tuple(Offer(f"four of {t}", float(rng.randint(40, 240)), ((t, 4),)) for t in types)
    pairs = tuple(Offer(f"two of {t}", float(rng.randint(30, 150)), ((t, 2),)) for t in types[:7])
    stock = tuple(Stock(t, 2, rng.choice((SHELF, *bays))) for t in types[:5])
    return KitCase(visits, offers + pairs, stock, shared=shared)


def by_cp_sat(case: KitCase, *, budget: int | None, weight: int | None) -> int:
    model = cp_model.CpModel()
    bays = sorted({w.bay for v in case.visits for w in v.ways})
    places = [SHELF] if case.shared else bays
    packs = {(o.id, p): model.new_int_var(0, 2, "") for o in case.offers for p in places}
    cost = sum(round(o.price) * packs[o.id, p] for o in case.offers for p in places)
    gains = []
    for visit in case.visits:
        served = model.new_bool_var("")
        gains.append(round(visit.weight) * served)
        opens = [model.new_bool_var("") for _ in visit.ways]
        model.add_bool_or([*opens, served.negated()])
        for way, is_open in zip(visit.ways, opens, strict=True):
            place = SHELF if case.shared else way.bay
            for piece, need in way.needs:
                own = owned(case, piece, way.bay) + owned(case, piece, SHELF)
                bought = sum(
                    n * packs[o.id, place] for o in case.offers for p, n in o.contents if p == piece
                )
                model.add(bought + own >= need).only_enforce_if(is_open)
    if budget is not None:
        model.add(cost <= budget)
        model.maximize(sum(gains))
    else:
        model.add(sum(gains) >= weight)
        model.minimize(cost)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.max_time_in_seconds = 60.0
    assert solver.solve(model) == cp_model.OPTIMAL
    return round(solver.objective_value)


@pytest.mark.parametrize("seed", range(6))
def test_same_as_cp_sat_on_middle_cases(seed: int):
    case = middle_case(seed)
    budget = 900 if case.shared else 260
    kit: Kit = greatest_share(case, float(budget))
    assert kit.proof is Proof.OPTIMAL
    assert round(kit.share * case.weight) == by_cp_sat(case, budget=budget, weight=None)
    wanted = 0.8
    cheap = least_cost(case, wanted)
    assert cheap.proof is Proof.OPTIMAL
    least = math.ceil(wanted * case.weight - 1e-6)
    assert round(cheap.cost) == by_cp_sat(case, budget=None, weight=least)
