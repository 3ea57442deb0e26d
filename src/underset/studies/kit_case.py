"""The question of what to buy: visits with the ways they can be served, offers, and what is owned.

How many pieces a way asks to be bought, for one piece type of which it needs n in its bay:

    one shelf for all bays   ceil((1 + spare) * (at_once * max(0, n - at the bay) - on the shelf))
    a shelf at every bay     ceil((1 + spare) * (n - at the bay - floor(on the shelf / at_once)))

Decision: the spare share for loss is laid on what is bought; what is owned counts as it is, so
that a shop which can serve a visit today does not lose it on paper.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from math import ceil

from underset.errors import InputError

Needs = tuple[tuple[str, int], ...]
SHELF = "shelf"


@dataclass(frozen=True, slots=True)
class Way:
    """One way to serve a vehicle: the bay, and how many of each piece type it takes there.

    A piece type is an adapter's id; on the day's plan support stands may be counted as well.
    """

    bay: str
    needs: Needs = ()


@dataclass(frozen=True, slots=True)
class Visit:
    """A vehicle (or kind of vehicle), its visits per year, and every way it can be served."""

    id: str
    weight: float
    ways: tuple[Way, ...]


@dataclass(frozen=True, slots=True)
class Offer:
    """What can be bought in one go: a price, what is in it, and how many are to be had at most."""

    id: str
    price: float
    contents: Needs
    most: int | None = None


@dataclass(frozen=True, slots=True)
class Stock:
    """Pieces owned: on the shared shelf or at one bay."""

    piece: str
    count: int
    where: str = SHELF


@dataclass(frozen=True, slots=True)
class Lack:
    """This many pieces of one type must be bought for one place before a way is open."""

    piece: str
    where: str
    count: int


@dataclass(frozen=True)
class KitCase:
    """Visits, offers, stock and the shop's rules.

    `shared`: bought pieces stand on one shelf for all bays, otherwise at the bay they are bought
    for. `at_once`: the shelf must serve so many settings alike at the same time. `spare`: part of a
    purchase laid by for loss, by piece type. `together`: groups of visits that stand in the shop
    at the same time, in different bays, and share the pieces; a visit in a group counts as served
    only when the served ones of its group can be served together. Raises InputError on the first
    figure that cannot be.
    """

    visits: tuple[Visit, ...]
    offers: tuple[Offer, ...]
    stock: tuple[Stock, ...] = ()
    shared: bool = True
    at_once: int = 1
    spare: Mapping[str, float] = field(default_factory=dict)
    together: tuple[tuple[str, ...], ...] = ()

    def __post_init__(self) -> None:
        """Refuse figures that no shop can have."""
        _check(self)

    @cached_property
    def held(self) -> Mapping[tuple[str, str], int]:
        """Pieces owned by (piece type, place)."""
        counts: Counter[tuple[str, str]] = Counter()
        for s in self.stock:
            counts[s.piece, s.where] += s.count
        return counts

    @cached_property
    def weight(self) -> float:
        """Visits per year, all together."""
        return sum(v.weight for v in self.visits)

    @cached_property
    def grouped(self) -> frozenset[str]:
        """Visits that stand in some group."""
        return frozenset(v for group in self.together for v in group)

    def lacks(self, way: Way) -> tuple[Lack, ...]:
        """What must be bought, and for which place, before this way is open."""
        found = (self._lack(piece, need, way.bay) for piece, need in merged(way.needs))
        return tuple(x for x in found if x.count > 0)

    def _lack(self, piece: str, need: int, bay: str) -> Lack:
        here, shelf = self.held[piece, bay], self.held[piece, SHELF]
        if self.shared:
            short, where = self.at_once * max(0, need - here) - shelf, SHELF
        else:
            short, where = need - here - shelf // self.at_once, bay
        factor = 1.0 + self.spare.get(piece, 0.0)
        return Lack(piece, where, max(0, ceil(short * factor - 1e-9)))


@dataclass(frozen=True, slots=True)
class Buy:
    """So many of one offer for one place, and their price together."""

    offer: str
    where: str
    packs: int
    price: float


def merged(needs: Needs) -> Needs:
    """Needs with every type once, in the order of ids."""
    counts: Counter[str] = Counter()
    for piece, n in needs:
        counts[piece] += n
    return tuple(sorted(counts.items()))


def bought(case: KitCase, buys: Iterable[Buy]) -> Counter[tuple[str, str]]:
    """Pieces bought by (piece type, place)."""
    contents = {o.id: o.contents for o in case.offers}
    counts: Counter[tuple[str, str]] = Counter()
    for b in buys:
        for piece, n in contents[b.offer]:
            counts[piece, b.where] += n * b.packs
    return counts


def open_ways(case: KitCase, buys: Iterable[Buy]) -> list[Way | None]:
    """For every visit, in order, its first way that is open with what is owned and bought."""
    have = bought(case, buys)
    known: dict[Way, bool] = {}

    def is_open(way: Way) -> bool:
        if way not in known:
            known[way] = all(have[x.piece, x.where] >= x.count for x in case.lacks(way))
        return known[way]

    return [next((w for w in v.ways if is_open(w)), None) for v in case.visits]


def _check(case: KitCase) -> None:
    if case.at_once < 1:
        raise InputError("at_once", case.at_once, "at least one setting at a time")
    for piece, share in case.spare.items():
        if not 0.0 <= share <= 1.0:
            raise InputError(f"spare.{piece}", share, "a spare share is between 0 and 1")
    _unique("visit", [v.id for v in case.visits])
    _unique("offer", [o.id for o in case.offers])
    for v in case.visits:
        _check_visit(v)
    for o in case.offers:
        _check_offer(o)
    for s in case.stock:
        if not 0 <= s.count <= 1000:
            raise InputError(f"stock, {s.piece}", s.count, "pieces owned are from 0 to 1000")
    unknown = case.grouped - {v.id for v in case.visits}
    if unknown:
        raise InputError("together", sorted(unknown), "groups are made of visits on the list")


def _check_visit(visit: Visit) -> None:
    if not 0.0 <= visit.weight <= 1e7:
        raise InputError(f"visit {visit.id}", visit.weight, "visits are from 0 to 10 million")
    for way in visit.ways:
        _check_needs(f"visit {visit.id}", way.needs)


def _check_offer(offer: Offer) -> None:
    where = f"offer {offer.id}"
    if not 0.0 <= offer.price <= 1e6:
        raise InputError(where, offer.price, "a price is from 0 to one million")
    if not offer.contents:
        raise InputError(where, "nothing in it", "an offer holds at least one piece")
    if offer.most is not None and offer.most < 0:
        raise InputError(where, offer.most, "the most to be had is not negative")
    _check_needs(where, offer.contents)


def _check_needs(where: str, needs: Needs) -> None:
    for piece, n in needs:
        if not 1 <= n <= 1000:
            raise InputError(f"{where}, {piece}", n, "pieces are counted from 1 to 1000")


def _unique(kind: str, ids: list[str]) -> None:
    twice = [i for i, n in Counter(ids).items() if n > 1]
    if twice:
        raise InputError(kind, twice[0], f"every {kind} stands on the list once")
