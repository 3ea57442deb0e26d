"""What to buy: a chain's catalogue over many vehicles and bays, proved, with the trade-off curve.

    python -m benchmarks.kit [vehicles]

Invented ways: every vehicle class wants a head and a spacer, some a block, in some of twelve bays.
Prints for each size: kinds of visit that remain after those that ask alike are one, columns and
rows of the programme, time of the two questions with their gaps, and points and time of the curve.
"""

from __future__ import annotations

import random
import sys
import time

from underset.studies.kit import (
    KitCase,
    Offer,
    Stock,
    Visit,
    Way,
    greatest_share,
    least_cost,
    trade_off,
)
from underset.studies.kit_model import build

HEADS = tuple(f"head-{i}" for i in range(12))
SPACERS = tuple(f"spacer-{i}" for i in range(8))
BLOCKS = tuple(f"block-{i}" for i in range(6))
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
    most = int(sys.argv[1]) if len(sys.argv) > 1 else 5000
    for vehicles in (most // 10, most):
        measure(case(vehicles))


def measure(asked: KitCase) -> None:
    began = time.perf_counter()
    model = build(asked)
    built = time.perf_counter() - began
    size = f"{len(model.milp.whole)} columns, {len(model.milp.rows)} rows"
    print(f"{len(asked.visits)} vehicles: {size}, built in {built:.2f} s")
    for name, question in (
        ("90 % of visits for least", lambda: least_cost(asked, 0.9)),
        ("most for 2,000", lambda: greatest_share(asked, 2000.0)),
    ):
        began = time.perf_counter()
        kit = question()
        spent = time.perf_counter() - began
        print(
            f"  {name}: cost {kit.cost:.0f}, share {kit.share:.1%}, {kit.proof}, "
            f"gap {kit.goal.gap:.1%}, {spent:.1f} s"
        )
    began = time.perf_counter()
    curve = trade_off(asked, budgets=[500.0 * i for i in range(9)])
    spent = time.perf_counter() - began
    print(f"  curve for nine budgets: {len(curve.points)} points, {spent:.1f} s")


if __name__ == "__main__":
    main()
