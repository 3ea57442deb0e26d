"""The mass ledger: sums, exact extremes, refusals."""

from __future__ import annotations

import random
from itertools import product
from math import inf, nan

import pytest

from underset.errors import InputError
from underset.statics import Item, mean_range, sum_range, total

BODY = Item("body", 1200.0, 10.0, (-1.1, 0.0, 0.55), (0.05, 0.02, 0.03))
ENGINE = Item("engine", -180.0, 20.0, (0.1, 0.0, 0.6), (0.05, 0.0, 0.05))
TOOLS = Item("tools", 80.0, 30.0, (-3.0, 0.2, 0.7), (0.2, 0.3, 0.1))


def by_corners(items: list[Item], axis: int) -> tuple[float, float]:
    """Extremes of one CG coordinate over every corner of the box of tolerances."""
    means = []
    for signs in product((-1, 1), repeat=2 * len(items)):
        masses = [item.mass + s * item.mass_tol for item, s in zip(items, signs, strict=False)]
        places = [
            item.place[axis] + s * item.place_tol[axis]
            for item, s in zip(items, signs[len(items) :], strict=True)
        ]
        moment = sum(m * x for m, x in zip(masses, places, strict=True))
        means.append(moment / sum(masses))
    return min(means), max(means)


def test_sums_and_cg() -> None:
    whole = total([BODY, ENGINE, TOOLS])
    assert whole.mass == pytest.approx(1100.0)
    assert whole.cg[0] == pytest.approx((1200 * -1.1 - 180 * 0.1 + 80 * -3.0) / 1100.0)
    assert (whole.mass_low, whole.mass_high) == pytest.approx((1040.0, 1160.0))


@pytest.mark.parametrize("axis", [0, 1, 2])
@pytest.mark.parametrize("seed", range(6))
def test_extremes_are_those_of_the_corners(axis: int, seed: int) -> None:
    draw = random.Random(seed)
    items = [BODY, ENGINE, TOOLS] + [
        Item(
            f"item {i}",
            draw.choice((-1.0, 1.0)) * draw.uniform(5.0, 60.0),
            draw.uniform(0.0, 5.0),
            (draw.uniform(-4, 1), draw.uniform(-0.8, 0.8), draw.uniform(0, 1.5)),
            (draw.uniform(0, 0.3), draw.uniform(0, 0.3), draw.uniform(0, 0.3)),
        )
        for i in range(2)
    ]
    whole = total(items)
    assert (whole.cg_low[axis], whole.cg_high[axis]) == pytest.approx(by_corners(items, axis))


def test_a_part_taken_off_moves_the_cg_away_from_it() -> None:
    with_engine, without = total([BODY, TOOLS]), total([BODY, TOOLS, ENGINE])
    assert without.cg[0] < with_engine.cg[0]


def test_exact_entries_give_no_range() -> None:
    whole = total([Item("a", 3.0, 0.0, (1.0, 2.0, 3.0)), Item("b", 1.0, 0.0, (5.0, 2.0, -1.0))])
    assert whole.cg == whole.cg_low == whole.cg_high == (2.0, 2.0, 2.0)


def test_mean_of_an_affine_function_is_a_rotated_cg() -> None:
    items = [BODY, ENGINE, TOOLS]
    whole = total(items)
    assert mean_range(items, (0.0, 1.0, 0.0, 0.0)) == pytest.approx(
        (whole.cg_low[0], whole.cg[0], whole.cg_high[0])
    )
    assert mean_range(items, (0.0, 0.0, -1.0, 0.0)) == pytest.approx(
        (-whole.cg_high[1], -whole.cg[1], -whole.cg_low[1])
    )
    low, value, high = mean_range(items, (0.5, 0.6, 0.8, 0.0))
    assert value == pytest.approx(0.5 + 0.6 * whole.cg[0] + 0.8 * whole.cg[1])
    assert low < value < high


def test_sum_of_an_affine_function_over_the_corners() -> None:
    items, value = [BODY, ENGINE, TOOLS], (0.3, 0.4, -0.7, 0.1)
    sums = []
    for signs in product((-1, 1), repeat=4 * len(items)):
        whole = 0.0
        for i, item in enumerate(items):
            s = signs[4 * i : 4 * i + 4]
            x, y, z = (p + k * t for p, k, t in zip(item.place, s[1:], item.place_tol, strict=True))
            mass = item.mass + s[0] * item.mass_tol
            whole += mass * (0.3 + 0.4 * x - 0.7 * y + 0.1 * z)
        sums.append(whole)
    low, _, high = sum_range(items, value)
    assert (low, high) == pytest.approx((min(sums), max(sums)))


@pytest.mark.parametrize(
    ("item", "field"),
    [
        (Item("box", 50.0, 60.0, (0.0, 0.0, 0.0)), "mass of box"),
        (Item("box", 50.0, -1.0, (0.0, 0.0, 0.0)), "mass of box"),
        (Item("box", nan, 0.0, (0.0, 0.0, 0.0)), "mass of box"),
        (Item("box", inf, 0.0, (0.0, 0.0, 0.0)), "total mass"),
        (Item("box", 50.0, 0.0, (0.0, nan, 0.0)), "place"),
        (Item("box", 50.0, 0.0, (0.0, inf, 0.0)), "place"),
        (Item("box", 50.0, 0.0, (0.0, 0.0, 0.0), (0.0, -0.1, 0.0)), "tolerance of a place"),
        (Item("box", 50.0, 0.0, (0.0, 0.0, 0.0), (0.0, nan, 0.0)), "tolerance of a place"),
        (Item("box", -1195.0, 0.0, (0.0, 0.0, 0.0)), "total mass"),
    ],
)
def test_entries_that_make_no_sense_are_refused(item: Item, field: str) -> None:
    with pytest.raises(InputError, match=field):
        total([BODY, item])


def test_an_empty_ledger_is_refused() -> None:
    with pytest.raises(InputError, match="total mass"):
        total([])
