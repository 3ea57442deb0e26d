"""Clauses of the ways, against every purchase there is."""

from __future__ import annotations

import itertools
import random

import pytest

from underset.studies.kit_case import Lack
from underset.studies.kit_clauses import Ways, clauses

A, B, C = (Lack(piece, "shelf", 4) for piece in "abc")
TWO_A = Lack("a", "shelf", 2)


def lists(ways: list[set[Lack]], most: int = 48) -> set[frozenset[Lack]]:
    return {frozenset(c) for c in clauses(frozenset(map(frozenset, ways)), most).lists}


def test_what_every_way_asks_is_a_clause_and_either_of_two_another():
    assert lists([{A, B}, {A, C}]) == {frozenset({A}), frozenset({B, C})}


def test_of_two_numbers_of_one_type_the_lower_one_is_asked_whatever_the_way():
    assert lists([{A, B}, {TWO_A, C}]) == {
        frozenset({TWO_A}),
        frozenset({A, C}),
        frozenset({B, C}),
    }


def test_a_type_for_two_bays_is_two_things():
    west = Lack("a", "west", 4)
    assert lists([{A}, {west}]) == {frozenset({A, west})}


def test_a_way_that_asks_nothing_leaves_nothing_to_ask_and_no_way_leaves_no_hope():
    assert lists([set(), {A}]) == set()
    assert clauses(frozenset(), 48).lists == ((),)


def random_ways(seed: int) -> Ways:
    rng = random.Random(seed)
    every = [Lack(p, w, n) for p in "abc" for w in ("east", "west") for n in (2, 4)]
    ways = []
    for _ in range(rng.randint(1, 5)):
        places = rng.sample([(p, w) for p in "abc" for w in ("east", "west")], rng.randint(1, 3))
        ways.append(
            frozenset(rng.choice([x for x in every if (x.piece, x.where) == k]) for k in places)
        )
    return frozenset(ways)


def purchases(ways: Ways):
    """Every purchase of 0, 2 or 4 of each type and place, as a test of one lack."""
    keys = sorted({(x.piece, x.where) for way in ways for x in way})
    for counts in itertools.product((0, 2, 4), repeat=len(keys)):
        bought = dict(zip(keys, counts, strict=True))
        yield lambda x, bought=bought: bought[x.piece, x.where] >= x.count


@pytest.mark.parametrize("seed", range(40))
def test_whole_clauses_are_met_by_just_the_purchases_that_open_a_way(seed: int):
    ways = random_ways(seed)
    found = clauses(ways, 1000)
    assert found.whole
    outcomes = set()
    for there in purchases(ways):
        is_open = any(all(map(there, way)) for way in ways)
        assert all(any(map(there, c)) for c in found.lists) == is_open
        outcomes.add(is_open)
    assert outcomes == {False, True}


@pytest.mark.parametrize("seed", range(40))
def test_no_clause_is_longer_than_it_must_be(seed: int):
    ways = random_ways(seed)
    for c in clauses(ways, 1000).lists:
        for left_out in c:
            some = [x for x in c if x != left_out]
            assert any(
                all(map(there, way)) and not any(map(there, some))
                for there in purchases(ways)
                for way in ways
            )


@pytest.mark.parametrize("seed", range(40))
def test_a_few_of_many_clauses_still_hold_for_every_open_way(seed: int):
    ways = random_ways(seed)
    found = clauses(ways, 2)
    assert len(found.lists) <= 2
    assert found.whole or len(clauses(ways, 1000).lists) >= 1
    for there in purchases(ways):
        if any(all(map(there, way)) for way in ways):
            assert all(any(map(there, c)) for c in found.lists)


def test_where_there_are_too_many_it_says_so():
    ways = frozenset(
        frozenset({Lack(f"x{i}", "shelf", 4), Lack(f"y{i}", "shelf", 4)}) for i in range(8)
    )
    assert len(clauses(ways, 1000).lists) == 2**8
    few = clauses(ways, 48)
    assert not few.whole
    assert len(few.lists) == 48
