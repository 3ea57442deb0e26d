"""Clauses: what must be bought, whichever way of a visit is taken.

A visit is served when every piece of one of its ways is there: (a and b) or (a and c). Read the
other way round, that is one piece out of each of several lists: a, and (b or c). Each list is a
clause, the least lists are all that is needed, and in a programme they leave far less room between
shares and whole answers than the ways do: with half of a, b and c, the ways by themselves would
serve the visit whole.

Source: the clauses are the minimal transversals of the ways; Berge, Hypergraphs (1989), chapter 2,
with the multiplication of one way after the other.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from underset.studies.kit_case import Lack

Ways = frozenset[frozenset[Lack]]


@dataclass(frozen=True, slots=True)
class Clauses:
    """Lists of which something must be bought; `whole` when they say all that the ways say."""

    lists: tuple[tuple[Lack, ...], ...]
    whole: bool


def order(lack: Lack) -> tuple[str, str, int]:
    """The order in which lacks are told: type, place, number."""
    return (lack.piece, lack.where, lack.count)


def clauses(ways: Ways, most: int) -> Clauses:
    """The least clauses of the ways; where there are more than `most`, some of the shortest.

    Decision: a clause is a whole number with a bit for every lack of the ways, and asking for a
    number of pieces sets the bits of all greater numbers of that type as well, as whoever has four
    has two. A clause says more than another when its bits are some of the other's.
    """
    lacks = sorted({x for way in ways for x in way}, key=order)
    bit = {x: 1 << i for i, x in enumerate(lacks)}
    with_greater = {x: sum(bit[y] for y in lacks if _contains(y, x)) for x in lacks}
    partial, whole = [0], True
    for way in sorted(ways, key=lambda w: (len(w), sorted(map(order, w)))):
        met = sum(bit[x] for x in way)
        grown = {p | (0 if p & met else with_greater[x]) for p in partial for x in way}
        partial = _least(grown)
        whole = whole and len(partial) <= most
        partial = partial[:most]
    lists = (tuple(x for x in lacks if c & bit[x]) for c in partial)
    return Clauses(tuple(_lowest(x) for x in lists), whole)


def _contains(more: Lack, less: Lack) -> bool:
    return (more.piece, more.where) == (less.piece, less.where) and more.count >= less.count


def _least(found: Iterable[int]) -> list[int]:
    """Those of which no other is a part, shortest first."""
    kept: list[int] = []
    for c in sorted(found, key=lambda c: (c.bit_count(), c)):
        if not any(k & ~c == 0 for k in kept):
            kept.append(c)
    return kept


def _lowest(lacks: tuple[Lack, ...]) -> tuple[Lack, ...]:
    """The least number of every type and place; `lacks` are in order."""
    lowest: dict[tuple[str, str], Lack] = {}
    for x in lacks:
        lowest.setdefault((x.piece, x.where), x)
    return tuple(lowest.values())
