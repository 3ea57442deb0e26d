"""What to buy: a chain's catalogue over many vehicles and bays, proved, with the trade-off curve.

    python -m benchmarks.kit [vehicles] [seconds]

Invented ways: every vehicle class wants a head and a spacer, some a block, in some of twelve bays.
Prints for a tenth of the vehicles and for all, for the plain programme and the tight one: columns
and rows, the bound with packs in parts, and how the two questions end; then both questions with
their ties, and points of the curve. All times are processor time; where to stop is wall time.
"""

from __future__ import annotations

import random
import sys
import time
from collections.abc import Callable
from dataclasses import replace

from underset.studies.kit import (
    Kit,
    KitCase,
    Limits,
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

HEADS = tuple(f"head-{i}" for i in range(12))
SPACERS = tuple(f"spacer-{i}" for i in range(8))
BLOCKS = tuple(f"block-{i}" for i in range(6))
SHARE, BUDGET = 0.9, 2000.0
COST, MOST = "90 % of visits for least", "most for 2,000"
BAYS = tuple(f"bay-{i:02}" for i in range(12))


def case(vehicles: int, seed: int = 0) -> KitCase:
    """So many vehicles over twelve bays and twenty-six priced types on one shelf."""
    rng = random.Random(seed)
    fits = {b: rng.sample(HEADS, 7) for b in BAYS}
    visits = tuple(
        Visit(f"v{i}", float(rng.randint(1, 60)), _ways(rng, fits)) for i in range(vehicles)
    )
    offers = [Offer(f"four {p}", float(rng.randint(8, 40) * 10), ((p, 4),)) for p in HEADS + BLOCKS]
    offers += [Offer(f"pair of {p}", float(rng.randint(3, 15) * 10), ((p, 2),)) for p in SPACERS]
    return KitCase(visits, tuple(offers), (Stock("head-0", 4), Stock("spacer-0", 4)))


def _ways(rng: random.Random, fits: dict[str, list[str]]) -> tuple[Way, ...]:
    block = ((rng.choice(BLOCKS), 4),) if rng.random() < 0.4 else ()
    heads = set(rng.sample(HEADS, 3))
    spacer = rng.choice(SPACERS) if rng.random() < 0.7 else ""
    ways = []
    for bay in rng.sample(BAYS, 6):
        for head in sorted(heads & set(fits[bay]))[:2]:
            extra = ((spacer, rng.choice((2, 4))),) if spacer else ()
            ways.append(Way(bay, ((head, 4), *extra, *block)))
    return tuple(ways)


def main() -> None:
    most = int(sys.argv[1]) if len(sys.argv) > 1 else 1000
    seconds = float(sys.argv[2]) if len(sys.argv) > 2 else 120.0
    for vehicles in (most // 10, most):
        measure(case(vehicles), Limits(seconds=seconds))


def measure(asked: KitCase, limits: Limits) -> None:
    print(f"{len(asked.visits)} vehicles, stopped after {limits.seconds:.0f} s of wall time")
    for name, tight in (("plain", 0), ("tight", MOST_CLAUSES)):
        programme(asked, name, tight, limits)
    questions: tuple[tuple[str, Callable[[], Kit]], ...] = (
        (COST, lambda: least_cost(asked, SHARE, limits)),
        (MOST, lambda: greatest_share(asked, BUDGET, limits)),
    )
    for name, question in questions:
        began = time.process_time()
        kit = question()
        spent = time.process_time() - began
        ends = f"{kit.proof}, tie {kit.tie}, gap {kit.goal.gap:.2%}"
        print(f"  {name}, with its tie: {kit.cost:.0f}, {kit.share:.2%}, {ends}, {spent:.1f} s")
    began = time.process_time()
    curve = trade_off(asked, budgets=[500.0 * i for i in range(9)], limits=limits)
    spent = time.process_time() - began
    proved = sum(k.proof is Proof.OPTIMAL and k.tie is Proof.OPTIMAL for k in curve.points)
    print(f"  curve for nine budgets: {len(curve.points)} points, {proved} proved, {spent:.1f} s")


def programme(asked: KitCase, name: str, tight: int, limits: Limits) -> None:
    """One programme: its size, the bound without whole numbers, and both questions without tie."""
    began = time.process_time()
    model = build(asked, tight)
    spent = time.process_time() - began
    size = f"{len(model.milp.whole)} columns, {len(model.milp.rows)} rows, built in {spent:.2f} s"
    print(f"  {name} programme: {size}")
    most = {j: -w for j, w in model.gain.items()}
    enough = model.serve_at_least((SHARE - 1e-7) * asked.weight)
    for told, aim, row in (
        (COST, model.price, enough),
        (MOST, most, model.spend_at_most(BUDGET)),
    ):
        loose = replace(model.milp, whole=[False] * len(model.milp.whole))
        root = loose.minimise(aim, limits, (row,)).objective
        began = time.process_time()
        found = model.milp.minimise(aim, limits, (row,))
        spent = time.process_time() - began
        ends = f"{found.proof}, gap {found.gap:.2%}, {spent:.1f} s"
        print(f"    {told}: {found.objective:.0f}, without whole numbers {root:.0f}, {ends}")


if __name__ == "__main__":
    main()
