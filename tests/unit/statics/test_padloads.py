"""Pad loads: springs, contact, warp, and the awkward relatives."""

from __future__ import annotations

import random
from itertools import combinations
from math import inf, nan

import pytest

from underset.errors import InputError
from underset.statics import (
    Loads,
    Point,
    body_loads,
    contact_loads,
    even_loads,
    load_forms,
    load_spans,
    moment_loads,
    residuals,
    unloading_height,
    warp_loads,
    warp_of,
    warp_pattern,
    warp_range,
)

SQUARE = ((1.0, 1.0), (1.0, -1.0), (-1.0, 1.0), (-1.0, -1.0))
SKEW = ((0.9, 0.45), (0.8, -0.5), (-0.7, 0.62), (-0.85, -0.58))
IN_LINE = ((1.0, 0.0), (0.5, 0.0), (-0.5, 0.0), (-1.0, 0.0))
SPRINGS = (9e5, 6e5, 1.2e6, 8e5)
BODY = 1.1e6


def balanced(pads: tuple[Point, ...], loads: Loads, weight: float, at: Point) -> None:
    assert residuals(pads, loads, weight, at) == pytest.approx((0.0, 0.0, 0.0), abs=1e-7 * weight)


@pytest.mark.parametrize("stiffness", [None, SPRINGS])
def test_even_loads_balance_and_compress_a_plane(stiffness: tuple[float, ...] | None) -> None:
    loads = even_loads(SKEW, 15_000.0, (0.1, 0.03), stiffness)
    balanced(SKEW, loads, 15_000.0, (0.1, 0.03))
    depths = [load / k for load, k in zip(loads, stiffness or (1.0,) * 4, strict=True)]
    assert sum(n * d for n, d in zip(warp_pattern(SKEW), depths, strict=True)) == pytest.approx(
        0.0, abs=1e-6 * max(depths)
    )


def test_pads_in_line_are_refused() -> None:
    for call in (
        lambda: even_loads(IN_LINE, 1.0, (0.0, 0.0)),
        lambda: load_forms(IN_LINE),
        lambda: warp_pattern(IN_LINE),
        lambda: moment_loads(IN_LINE, 1.0, 0.0),
    ):
        with pytest.raises(InputError, match="must not all stand in one line"):
            call()


@pytest.mark.parametrize("stiffness", [(1.0, 1.0, 1.0), (1.0, 1.0, 1.0, 0.0), (1.0, 1.0, 1.0, nan)])
def test_stiffness_that_makes_no_sense_is_refused(stiffness: tuple[float, ...]) -> None:
    with pytest.raises(InputError, match="stiffness"):
        load_forms(SQUARE, stiffness)
    with pytest.raises(InputError, match="stiffness"):
        contact_loads(SQUARE, 1.0, (0.9, 0.9), stiffness, (0.0,) * 4)


def test_load_forms_are_the_loads() -> None:
    at, weight = (0.2, -0.1), 12_000.0
    forms = load_forms(SKEW, SPRINGS)
    assert [weight * (a + b * at[0] + c * at[1]) for a, b, c in forms] == pytest.approx(
        even_loads(SKEW, weight, at, SPRINGS)
    )


def by_subsets(
    pads: tuple[Point, ...], weight: float, at: Point, k: tuple[float, ...], raised: Loads
) -> Loads | None:
    """The contact solution by trying every set of touching pads with a linear solve."""
    import numpy as np

    count = len(pads)
    for size in range(count, 2, -1):
        for chosen in combinations(range(count), size):
            rows = np.array([(1.0, *pads[i]) for i in chosen])
            stiff = np.diag([k[i] for i in chosen])
            lift = np.array([raised[i] for i in chosen])
            target = weight * np.array([1.0, *at]) - rows.T @ stiff @ lift
            try:
                abc = np.linalg.solve(rows.T @ stiff @ rows, target)
            except np.linalg.LinAlgError:
                continue
            sunk = [
                abc[0] + abc[1] * x + abc[2] * y + r for (x, y), r in zip(pads, raised, strict=True)
            ]
            if all((u >= -1e-12) if i in chosen else (u <= 1e-12) for i, u in enumerate(sunk)):
                return tuple(k[i] * max(0.0, u) if i in chosen else 0.0 for i, u in enumerate(sunk))
    return None


@pytest.mark.parametrize("seed", range(40))
def test_contact_is_the_one_solution_of_all_subsets(seed: int) -> None:
    draw = random.Random(seed)
    count = draw.choice((4, 4, 5, 6))
    pads = (*SKEW, (draw.uniform(-2, 2), draw.uniform(-1, 1)), (draw.uniform(-2, 2), 0.1))[:count]
    k = tuple(draw.uniform(3e5, 2e6) for _ in pads)
    raised = tuple(draw.uniform(-0.006, 0.006) for _ in pads)
    at = (draw.uniform(-0.9, 0.9), draw.uniform(-0.6, 0.6))
    ours = contact_loads(pads, 15_000.0, at, k, raised)
    expected = by_subsets(pads, 15_000.0, at, k, raised)
    if expected is None:
        assert ours is None
    else:
        assert ours == pytest.approx(expected, abs=1e-5)
        assert ours is not None
        balanced(pads, ours, 15_000.0, at)


@pytest.mark.parametrize(
    ("at", "expected"),
    [
        ((0.0, 0.0), (2.5, 2.5, 2.5, 2.5)),
        ((1.0, 0.0), (5.0, 5.0, 0.0, 0.0)),  # on an edge
        ((1.0, 1.0), (10.0, 0.0, 0.0, 0.0)),  # over a pad
        ((0.5, 0.5), (5.0, 2.5, 2.5, 0.0)),  # one pad just touching
        ((1.001, 0.0), None),
        ((-3.0, 2.0), None),
    ],
)
def test_contact_at_awkward_places(at: Point, expected: Loads | None) -> None:
    found = contact_loads(SQUARE, 10.0, at)
    if expected is None:
        assert found is None
    else:
        assert found == pytest.approx(expected, abs=1e-9)


def test_contact_refuses_what_it_cannot_answer() -> None:
    with pytest.raises(InputError, match="need their stiffness"):
        contact_loads(SQUARE, 10.0, (0.0, 0.0), None, (0.001, 0.0, 0.0, 0.0))
    with pytest.raises(InputError, match="weight"):
        contact_loads(SQUARE, 0.0, (0.0, 0.0), SPRINGS, (0.0,) * 4)
    many = tuple((float(i), float(i * i)) for i in range(13))
    with pytest.raises(InputError, match="at most 12 supports"):
        contact_loads(many, 10.0, (20.0, 0.0))


def test_pads_raised_so_far_that_the_others_hang() -> None:
    """Both left pads 50 mm up on the square: a rigid body only rolls, no load changes."""
    loads = contact_loads(SQUARE, 10_000.0, (0.0, 0.0), (1e6,) * 4, (0.05, 0.0, 0.05, 0.0))
    assert loads == pytest.approx((2500.0,) * 4)
    diagonal = contact_loads(SQUARE, 10_000.0, (0.0, 0.01), (1e6,) * 4, (0.05, 0.0, 0.0, 0.05))
    assert diagonal is not None
    assert diagonal.count(0.0) == 1
    balanced(SQUARE, diagonal, 10_000.0, (0.0, 0.01))


def test_warp_pattern_of_three_pads_in_line() -> None:
    """The fourth pad then is fixed by statics and takes no part in warp."""
    pads = ((1.0, 0.0), (0.0, 0.0), (-1.0, 0.0), (0.0, -1.0))
    pattern = warp_pattern(pads)
    assert pattern[3] == 0.0
    assert pattern == pytest.approx((0.5, -1.0, 0.5, 0.0))


def test_warp_pattern_leads_with_the_first_pad_that_takes_part() -> None:
    pads = ((0.0, -1.0), (1.0, 0.0), (0.0, 0.0), (-1.0, 0.0))
    assert warp_pattern(pads) == pytest.approx((0.0, 0.5, -1.0, 0.5))


def test_warp_needs_four_pads() -> None:
    with pytest.raises(InputError, match="exactly four"):
        warp_pattern((*SQUARE, (0.0, 0.0)))


def test_rigid_pads_under_a_rigid_body_are_refused() -> None:
    with pytest.raises(InputError, match="cannot all be rigid"):
        warp_loads(SQUARE, (0.001, 0.0, 0.0, 0.0), (inf,) * 4, inf)
    with pytest.raises(InputError, match="twist stiffness"):
        warp_range(SQUARE, 0.003, SPRINGS, 0.0)


def test_warp_of_a_rigid_body_is_what_contact_gives() -> None:
    raised = (0.001, 0.0, -0.0005, 0.0)
    even = even_loads(SKEW, 15_000.0, (0.05, 0.0), SPRINGS)
    change = warp_loads(SKEW, raised, SPRINGS, inf)
    contact = contact_loads(SKEW, 15_000.0, (0.05, 0.0), SPRINGS, raised)
    assert contact == pytest.approx([a + b for a, b in zip(even, change, strict=True)])


def test_warp_is_the_same_wherever_the_vehicle_stands() -> None:
    raised = (0.002, -0.001, 0.0, 0.003)
    here = warp_loads(SKEW, raised, SPRINGS, BODY)
    turned = tuple((0.3 - y, 1.2 + x) for x, y in SKEW)
    assert warp_loads(turned, raised, SPRINGS, BODY) == pytest.approx(here)


def test_warp_range_is_the_worst_of_the_corners() -> None:
    alphas = []
    for signs in range(16):
        raised = [0.003 if signs >> i & 1 else -0.003 for i in range(4)]
        alphas.append(warp_of(SKEW, warp_loads(SKEW, raised, SPRINGS, BODY)))
    assert warp_range(SKEW, 0.003, SPRINGS, BODY) == pytest.approx(max(alphas))


def test_carriages_out_of_step_warp_a_trapezoid_only() -> None:
    trapezoid = ((0.8, 0.45), (0.8, -0.45), (-0.8, 0.6), (-0.8, -0.6))
    assert warp_range(SQUARE, 0.0, SPRINGS, BODY, 0.005) == pytest.approx(0.0)
    side = (0.005, 0.0, 0.005, 0.0)
    assert warp_range(trapezoid, 0.0, SPRINGS, BODY, 0.005) == pytest.approx(
        warp_of(trapezoid, warp_loads(trapezoid, side, SPRINGS, BODY))
    )


def test_spans_end_where_a_pad_comes_off() -> None:
    loads = even_loads(SQUARE, 10_000.0, (0.1, 0.05))
    for (low, high), load in zip(load_spans(SQUARE, loads, 100.0), loads, strict=True):
        assert (low, high) == pytest.approx((load - 100.0, load + 100.0))
    wide = load_spans(SQUARE, loads, 1e9)
    down, up = min(loads[0], loads[3]), min(loads[1], loads[2])
    assert wide[0] == pytest.approx((loads[0] - down, loads[0] + up))
    assert wide[1] == pytest.approx((loads[1] - up, loads[1] + down))
    assert wide[2] == pytest.approx((0.0, loads[2] + down))
    assert wide[3] == pytest.approx((0.0, loads[3] + up))


def test_spans_hold_every_contact_solution() -> None:
    """For a rigid body the range over the level tolerance holds all exact contact loads."""
    weight, at = 14_000.0, (0.12, -0.03)
    loads = even_loads(SKEW, weight, at, SPRINGS)
    spans = load_spans(SKEW, loads, warp_range(SKEW, 0.004, SPRINGS, inf))
    draw = random.Random(5)
    for _ in range(200):
        raised = [draw.choice((-0.004, 0.004)) for _ in range(4)]
        found = contact_loads(SKEW, weight, at, SPRINGS, raised)
        assert found is not None
        for (low, high), load in zip(spans, found, strict=True):
            assert low - 1e-6 <= load <= high + 1e-6


@pytest.mark.parametrize("lowered", [False, True])
def test_height_that_empties_a_pad(lowered: bool) -> None:
    loads = even_loads(SKEW, 14_000.0, (0.12, -0.03), SPRINGS)
    height, moved, emptied = unloading_height(SKEW, loads, SPRINGS, BODY, lowered=lowered)
    step = -height if lowered else height
    change = warp_loads(SKEW, [step if i == moved else 0.0 for i in range(4)], SPRINGS, BODY)
    after = [a + b for a, b in zip(loads, change, strict=True)]
    assert after[emptied] == pytest.approx(0.0, abs=1e-6)
    assert min(after) == pytest.approx(0.0, abs=1e-6)
    for pad in range(4):
        less = warp_loads(
            SKEW, [0.999 * step if i == pad else 0.0 for i in range(4)], SPRINGS, BODY
        )
        assert min(a + b for a, b in zip(loads, less, strict=True)) > 0.0


def test_height_that_empties_a_pad_already_empty_is_nothing() -> None:
    assert unloading_height(SQUARE, (5.0, 5.0, 5.0, 0.0), SPRINGS, BODY)[::2] == (0.0, 3)


def test_body_loads_of_a_rigid_body_are_even() -> None:
    even = even_loads(SKEW, 14_000.0, (0.1, 0.05), SPRINGS)
    assert body_loads(SKEW, 14_000.0, (0.1, 0.05), SPRINGS, inf) == pytest.approx(even)


def test_a_soft_body_carries_each_end_on_its_own() -> None:
    """With no twist stiffness each end's pair shares that end's weight by its own moment."""
    at = (0.5, 0.1)
    soft = body_loads(SQUARE, 1000.0, at, (1e6,) * 4, 1e-6)
    assert soft == pytest.approx((750 * 0.55, 750 * 0.45, 250 * 0.55, 250 * 0.45), rel=1e-6)


def test_residuals_name_what_is_wrong() -> None:
    loads = even_loads(SQUARE, 100.0, (0.1, 0.2))
    assert residuals(SQUARE, loads, 90.0, (0.1, 0.2))[0] == pytest.approx(10.0)
    more = (loads[0] + 1.0, loads[1] - 1.0, *loads[2:])
    assert residuals(SQUARE, more, 100.0, (0.1, 0.2)) == pytest.approx((0.0, 2.0, 0.0))
    nose = (loads[0] + 1.0, loads[1], loads[2] - 1.0, loads[3])
    assert residuals(SQUARE, nose, 100.0, (0.1, 0.2)) == pytest.approx((0.0, 0.0, -2.0))
