"""The mixed-integer programme behind what to buy.

Columns: packs of every offer for every place (whole); a step for every number of one piece type
that some way asks to be bought (0 or 1, a higher step only with the lower one); a share of one for
every kind of visit, never above the steps of any of its clauses. With the steps at 0 or 1 the
shares take care of themselves, so only packs and steps need be whole. A kind with more clauses than
are worth their rows has a share for every way as well, never above any step it needs.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from math import gcd, inf

from underset.studies.kit_case import SHELF, Buy, KitCase, Lack, Visit, Way, merged
from underset.studies.kit_clauses import Clauses, Ways, clauses, order
from underset.studies.milp import Milp, Row, Terms

MOST_CLAUSES = 48  # of one kind of visit, so that a visit with very many ways stays cheap to read
Key = tuple[str, str]  # piece type and place


@dataclass(frozen=True, slots=True)
class Choice:
    """A grouped visit served in one way: its column."""

    visit: str
    way: Way
    column: int


@dataclass(slots=True)
class KitModel:
    """The programme with the meaning of its columns.

    `gain` is the weight that columns bring above `base`, the weight served with nothing bought.
    """

    tight: int
    milp: Milp = field(default_factory=Milp)
    packs: dict[tuple[str, str], int] = field(default_factory=dict)
    price: dict[int, float] = field(default_factory=dict)
    gain: dict[int, float] = field(default_factory=dict)
    base: float = 0.0
    opens: dict[frozenset[Lack], int] = field(default_factory=dict)
    choices: list[Choice] = field(default_factory=list)

    def buys(self, case: KitCase, values: Sequence[float]) -> tuple[Buy, ...]:
        """The offers bought in a solution."""
        price = {o.id: o.price for o in case.offers}
        counts = ((o, where, round(values[j])) for (o, where), j in self.packs.items())
        return tuple(Buy(o, where, n, n * price[o]) for o, where, n in counts if n > 0)

    def chosen(self, values: Sequence[float]) -> dict[str, Way]:
        """The ways of the grouped visits that are served in a solution."""
        return {c.visit: c.way for c in self.choices if values[c.column] > 0.5}

    def spend_at_most(self, money: float) -> Row:
        """The price of all packs is no more than this."""
        return Row(tuple(self.price.items()), upper=money)

    def serve_at_least(self, weight: float) -> Row:
        """The weight served, what is served anyway included, is no less than this."""
        return Row(tuple(self.gain.items()), lower=weight - self.base)


def build(case: KitCase, tight: int = MOST_CLAUSES) -> KitModel:
    """The programme of a case.

    `tight` is the most clauses of one kind of visit. 0 builds the plain programme, with the same
    whole answers and much more room between its shares and them.
    """
    model = KitModel(tight=tight)
    free = [v for v in case.visits if v.id not in case.grouped]
    kinds = _kinds(case, free)
    grouped = [v for v in case.visits if v.id in case.grouped]
    steps = _steps([*kinds, *(_reduced(case, v.ways) for v in grouped)])
    places = sorted({where for _, where in steps}) if not case.shared else [SHELF]
    most = _most_needed(steps, grouped)
    _add_packs(model, case, places, most)
    columns = _add_steps(model, case, steps)
    for ways, weight in kinds.items():
        _add_kind(model, columns, ways, weight)
    _add_groups(model, case, columns, grouped)
    return model


def _sold(case: KitCase) -> frozenset[str]:
    return frozenset(piece for o in case.offers if o.most != 0 for piece, _ in o.contents)


def _reduced(case: KitCase, ways: Sequence[Way]) -> Ways:
    """What the ways ask to be bought: none that cannot be had, none that asks more than another."""
    sold = _sold(case)
    sets = {frozenset(case.lacks(w)) for w in ways}
    sets = {s for s in sets if all(x.piece in sold for x in s)}
    return frozenset(s for s in sets if not any(_asks_less(t, s) for t in sets if t != s))


def _asks_less(one: frozenset[Lack], other: frozenset[Lack]) -> bool:
    most = {(x.piece, x.where): x.count for x in other}
    return all(x.count <= most.get((x.piece, x.where), 0) for x in one)


def _kinds(case: KitCase, visits: Sequence[Visit]) -> dict[Ways, float]:
    """Weight of the visits by what their ways ask: visits that ask alike are one kind."""
    seen: dict[tuple[Way, ...], Ways] = {}
    kinds: dict[Ways, float] = defaultdict(float)
    for v in visits:
        if v.ways not in seen:
            seen[v.ways] = _reduced(case, v.ways)
        kinds[seen[v.ways]] += v.weight
    return dict(kinds)


def _steps(kinds: Sequence[Ways]) -> dict[Key, list[int]]:
    """The numbers asked for, ascending, by piece type and place."""
    found: dict[Key, set[int]] = defaultdict(set)
    for lack in (x for ways in kinds for s in ways for x in s):
        found[lack.piece, lack.where].add(lack.count)
    return {key: sorted(counts) for key, counts in sorted(found.items())}


def _most_needed(steps: Mapping[Key, list[int]], grouped: Sequence[Visit]) -> Counter[str]:
    """More than this of one type is never of use in one place."""
    most: Counter[str] = Counter()
    for (piece, _), counts in steps.items():
        most[piece] = max(most[piece], counts[-1])
    for v in grouped:
        for piece, n in {(p, n) for w in v.ways for p, n in merged(w.needs)}:
            most[piece] += 2 * n
    return most


def _add_packs(
    model: KitModel, case: KitCase, places: Sequence[str], most: Mapping[str, int]
) -> None:
    for offer in case.offers:
        useful = max(-(-most.get(piece, 0) // n) for piece, n in offer.contents)
        if useful == 0:
            continue
        cap = useful if offer.most is None else min(useful, offer.most)
        columns = [model.milp.column(cap, whole=True) for _ in places]
        for where, j in zip(places, columns, strict=True):
            model.packs[offer.id, where] = j
            model.price[j] = offer.price
        if offer.most is not None:
            model.milp.row([(j, 1.0) for j in columns], upper=offer.most)


def _pieces(model: KitModel, case: KitCase, piece: str, where: str) -> list[tuple[int, float]]:
    """Pieces of a type bought for a place, as terms of packs."""
    terms = []
    for offer in case.offers:
        n = sum(k for p, k in offer.contents if p == piece)
        if n and (offer.id, where) in model.packs:
            terms.append((model.packs[offer.id, where], float(n)))
    return terms


def _add_steps(model: KitModel, case: KitCase, steps: Mapping[Key, list[int]]) -> dict[Lack, int]:
    columns: dict[Lack, int] = {}
    for (piece, where), counts in steps.items():
        js = [model.milp.column(1.0, whole=True) for _ in counts]
        rises = [b - a for a, b in pairwise([0, *counts])]
        used = [(j, -float(rise)) for j, rise in zip(js, rises, strict=True)]
        bought = _pieces(model, case, piece, where)
        model.milp.row([*bought, *used], lower=0.0)
        for low, high in pairwise(js):
            model.milp.row([(low, 1.0), (high, -1.0)], lower=0.0)
        if model.tight:
            for n, j in zip(counts, js, strict=True):
                _add_packs_of_step(model, bought, n, j)
        columns.update({Lack(piece, where, n): j for n, j in zip(counts, js, strict=True)})
    return columns


def _add_packs_of_step(model: KitModel, bought: Terms, count: int, step: int) -> None:
    """Whole packs for one step: a pack with more pieces than the step asks counts as just enough.

    Where all packs hold a multiple of one number, so many of that number are needed, rounded up.
    """
    useful = [(j, min(round(n), count)) for j, n in bought]
    part = gcd(*(n for _, n in useful)) if useful else 1
    terms = [(j, float(n // part)) for j, n in useful]
    model.milp.row([*terms, (step, -float(-(-count // part)))], lower=0.0)


def _add_kind(model: KitModel, columns: Mapping[Lack, int], ways: Ways, weight: float) -> None:
    if frozenset() in ways:
        model.base += weight
        return
    found = clauses(ways, model.tight)
    if found.whole and [len(c) for c in found.lists] == [1]:
        step = columns[found.lists[0][0]]
        model.gain[step] = model.gain.get(step, 0.0) + weight
    elif ways:
        served = model.milp.column(1.0)
        model.gain[served] = weight
        _add_clauses(model, columns, found, served)
        if not found.whole:
            _add_ways(model, columns, ways, served)


def _add_clauses(model: KitModel, columns: Mapping[Lack, int], found: Clauses, served: int) -> None:
    for some in found.lists:
        model.milp.row([(served, 1.0), *((columns[x], -1.0) for x in some)], upper=0.0)


def _add_ways(model: KitModel, columns: Mapping[Lack, int], ways: Ways, served: int) -> None:
    shares = [_open_column(model, columns, lacks) for lacks in sorted(ways, key=_order)]
    model.milp.row([(served, 1.0), *((j, -1.0) for j in shares)], upper=0.0)


def _open_column(model: KitModel, columns: Mapping[Lack, int], lacks: frozenset[Lack]) -> int:
    """The column that is 1 only when all these pieces are there; one for all who ask alike."""
    if len(lacks) == 1:
        return columns[next(iter(lacks))]
    if lacks not in model.opens:
        j = model.opens[lacks] = model.milp.column(1.0)
        for lack in sorted(lacks, key=order):
            model.milp.row([(j, 1.0), (columns[lack], -1.0)], upper=0.0)
    return model.opens[lacks]


def _order(lacks: frozenset[Lack]) -> list[tuple[str, str, int]]:
    return sorted(order(x) for x in lacks)


def _add_groups(
    model: KitModel, case: KitCase, columns: Mapping[Lack, int], grouped: Sequence[Visit]
) -> None:
    served = {v.id: _add_grouped(model, case, columns, v) for v in grouped}
    visits = {v.id: v for v in grouped}
    for group in case.together:
        _add_group(model, case, [(visits[v], served[v]) for v in dict.fromkeys(group)])


def _add_grouped(model: KitModel, case: KitCase, columns: Mapping[Lack, int], visit: Visit) -> int:
    """A grouped visit: served (0 or 1) in one of its ways, by itself."""
    served = model.milp.column(1.0, whole=True)
    model.gain[served] = visit.weight
    js = []
    for way in visit.ways:
        lacks = case.lacks(way)
        if all(x in columns for x in lacks):
            js.append(model.milp.column(1.0, whole=True))
            model.choices.append(Choice(visit.id, way, js[-1]))
            for lack in lacks:
                model.milp.row([(js[-1], 1.0), (columns[lack], -1.0)], upper=0.0)
    model.milp.row([(served, -1.0), *((j, 1.0) for j in js)], 0.0, 0.0)
    if model.tight:
        found = clauses(_reduced(case, visit.ways), model.tight)
        _add_clauses(model, columns, found, served)
    return served


def _add_group(model: KitModel, case: KitCase, members: Sequence[tuple[Visit, int]]) -> None:
    """The served members stand in the shop together: one a bay, pieces counted together."""
    use: dict[Key, list[tuple[int, float]]] = defaultdict(list)
    bays: dict[str, list[tuple[int, float]]] = defaultdict(list)
    for visit, served in members:
        js = []
        for way in visit.ways:
            j = model.milp.column(1.0, whole=True)
            js.append((j, 1.0))
            bays[way.bay].append((j, 1.0))
            for piece, n in merged(way.needs):
                use[piece, way.bay].append((j, float(n)))
        model.milp.row([(served, -1.0), *js], 0.0, 0.0)
    for terms in bays.values():
        model.milp.row(terms, upper=1.0)
    for piece in sorted({p for p, _ in use}):
        _add_shared_use(model, case, piece, {b: t for (p, b), t in use.items() if p == piece})


def _add_shared_use(model: KitModel, case: KitCase, piece: str, use: Mapping[str, Terms]) -> None:
    """What the bays use of one type beyond their own comes off the shelf."""
    usable = 1.0 / (1.0 + case.spare.get(piece, 0.0))

    def supply(where: str) -> list[tuple[int, float]]:
        return [(j, -n * usable) for j, n in _pieces(model, case, piece, where)]

    drawn = []
    for bay, terms in sorted(use.items()):
        j = model.milp.column(inf)
        drawn.append((j, 1.0))
        own = [] if case.shared else supply(bay)
        model.milp.row([*terms, *own, (j, -1.0)], upper=float(case.held[piece, bay]))
    shelf = supply(SHELF) if case.shared else []
    model.milp.row([*drawn, *shelf], upper=float(case.held[piece, SHELF]))
