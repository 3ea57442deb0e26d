"""Ways to serve a vehicle in a bay: the pieces that a usable setting takes, met by the planner.

With the shelf as it is, with everything that is sold, and without each piece type in turn of what
was found, so that a dearer or scarcer type has an alternative. Not every way there is: those met.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from underset.planner import Limits, search
from underset.setting import Case, Shelf
from underset.studies.kit_case import KitCase, Needs, Offer, Stock, Visit, Way, merged

PLENTY = 16  # pieces of each type, four stacks of four
ROUNDS = 3  # alternatives looked for beyond the first


@dataclass(frozen=True, slots=True)
class Sold:
    """Piece types that can be bought, with the price of one."""

    prices: Mapping[str, float]


def way_of(case: Case) -> Way | None:
    """The way of the planner's best setting in a bay; None where there is none."""
    found = search([case], Limits(choices=1))
    if not found.choices:
        return None
    setting = found.ranked()[0].evaluation.setting
    counts = Counter(i for arm in setting.arms for i in arm.stack_ids)
    return Way(case.bay.id, merged(tuple(counts.items())))


def with_everything(case: Case, sold: Sold) -> Case:
    """The case with plenty of every type that is owned or sold, newly inspected where bought."""
    types = {
        name: replace(t, count=PLENTY, inspected_months=t.inspected_months or 0.0)
        for name, t in case.shelf.types.items()
        if name in sold.prices or t.count
    }
    return replace(case, shelf=Shelf(types))


def ways_of(case: Case, sold: Sold) -> tuple[Way, ...]:
    """The ways met in one bay, the shelf's own first."""
    own = way_of(case)
    full = with_everything(case, sold)
    found = [w for w in (own, way_of(full)) if w is not None]
    tried: set[str] = set()
    for _ in range(ROUNDS):
        used = [i for w in found for i, _ in w.needs if i not in tried]
        if not used:
            break
        dearest = max(used, key=lambda i: (sold.prices.get(i, 0.0), i))
        tried.add(dearest)
        other = way_of(_without(full, dearest))
        found += [other] if other is not None else []
    return tuple(dict.fromkeys(found))


def _without(case: Case, piece: str) -> Case:
    types = {k: t for k, t in case.shelf.types.items() if k != piece}
    return replace(case, shelf=Shelf(types))


@dataclass(frozen=True, slots=True)
class Ask:
    """The ways of one vehicle in one bay: a task that travels."""

    case: Case
    sold: Sold


def ways_of_ask(ask: Ask) -> tuple[str, tuple[Way, ...]]:
    """Vehicle and ways of one task."""
    return ask.case.vehicle.id, ways_of(ask.case, ask.sold)


def own_way_of_ask(ask: Ask) -> tuple[str, tuple[Way, ...]]:
    """Vehicle and the way with the shelf as it is, if there is one."""
    own = way_of(ask.case)
    return ask.case.vehicle.id, (own,) if own is not None else ()


def kit_case(
    found: Iterable[tuple[str, tuple[Way, ...]]],
    visits: Mapping[str, float],
    sold: Sold,
    stock: Iterable[tuple[str, int, str]],
) -> KitCase:
    """The question of what to buy; a vehicle without visits on file counts as one a year."""
    by_vehicle: dict[str, list[Way]] = {}
    for vehicle, ways in found:
        by_vehicle.setdefault(vehicle, []).extend(ways)
    return KitCase(
        visits=tuple(
            Visit(v, visits.get(v, 1.0), tuple(dict.fromkeys(ways)))
            for v, ways in by_vehicle.items()
        ),
        offers=tuple(
            Offer(name, price, ((name, 1),)) for name, price in sorted(sold.prices.items())
        ),
        stock=tuple(Stock(piece, count, where) for piece, count, where in stock if count),
    )


def needs_text(needs: Needs, label: Mapping[str, str]) -> str:
    """Pieces in words."""
    return ", ".join(f"{n} × {label.get(p, p)}" for p, n in needs)
