"""Support polygon, tipping, slipping, pushes and splits."""

from __future__ import annotations

from math import atan, cos, inf, pi, radians, sin, tan

import pytest

from underset.errors import InputError
from underset.statics import (
    carriage_shift,
    cg_window,
    cross_weight,
    edge_forms,
    even_loads,
    front_share,
    hull,
    lean_to_tip,
    left_share,
    margin,
    push_shift,
    slip_force,
    split_limits,
    tip_force,
    unload_push,
)

PADS = ((0.8, 0.6), (0.8, -0.6), (-0.8, 0.6), (-0.8, -0.6))
SKEW = ((0.9, 0.45), (0.8, -0.5), (-0.7, 0.62), (-0.85, -0.58))
POLYGON = hull(PADS)


def test_hull_turns_left_and_leaves_out_what_is_inside_or_in_line() -> None:
    assert POLYGON == ((-0.8, -0.6), (0.8, -0.6), (0.8, 0.6), (-0.8, 0.6))
    assert hull([*PADS, (0.0, 0.0), (0.0, 0.6), (0.8, 0.6)]) == POLYGON
    assert hull([(0.0, 0.0), (1.0, 1.0), (2.0, 2.0)]) == ((0.0, 0.0), (2.0, 2.0))
    assert hull([(1.0, 2.0), (1.0, 2.0)]) == ((1.0, 2.0),)


def test_hull_of_a_ring_with_points_inside() -> None:
    ring = [(cos(pi * i / 6.0), sin(pi * i / 6.0)) for i in range(12)]
    inside = [(0.9 * x, 0.8 * y) for x, y in ring]
    polygon = hull([*inside, *ring])
    assert sorted(polygon) == sorted(ring)
    start = ring.index(polygon[0])
    assert polygon == tuple(ring[start:] + ring[:start])


@pytest.mark.parametrize(
    ("at", "expected"),
    [
        ((0.0, 0.0), 0.6),
        ((0.5, 0.1), 0.3),
        ((0.8, 0.0), 0.0),
        ((0.8, 0.6), 0.0),
        ((1.0, 0.0), -0.2),
        ((1.1, 1.0), -0.5),  # from the corner
    ],
)
def test_margin(at: tuple[float, float], expected: float) -> None:
    assert margin(POLYGON, at) == pytest.approx(expected)


def test_margin_of_supports_in_line_is_never_positive() -> None:
    line = hull([(0.0, 0.0), (1.0, 0.0), (2.0, 0.0)])
    assert margin(line, (0.5, 0.0)) == 0.0
    assert margin(line, (0.5, 0.3)) == pytest.approx(-0.3)
    assert margin(hull([(0.0, 0.0)]), (3.0, 4.0)) == pytest.approx(-5.0)
    with pytest.raises(InputError, match="needs at least one support"):
        margin((), (0.0, 0.0))


def test_edge_forms_are_distances_inside_each_edge() -> None:
    at = (0.3, -0.2)
    distances = sorted(a + b * at[0] + c * at[1] for a, b, c in edge_forms(POLYGON))
    assert distances == pytest.approx([0.4, 0.5, 0.8, 1.1])


def test_tipping_in_any_and_in_one_direction() -> None:
    assert tip_force(POLYGON, (0.1, 0.0), 1000.0, 1.5) == pytest.approx(400.0)
    assert tip_force(POLYGON, (0.1, 0.0), 1000.0, 1.5, 0.0) == pytest.approx(1000 * 0.7 / 1.5)
    assert tip_force(POLYGON, (0.1, 0.0), 1000.0, 1.5, pi) == pytest.approx(600.0)
    slanted = tip_force(POLYGON, (0.1, 0.0), 1000.0, 1.5, radians(60.0))
    assert slanted == pytest.approx(400.0 / sin(radians(60.0)))


def test_least_tipping_force_is_that_of_the_worst_direction() -> None:
    polygon, at = hull(SKEW), (0.1, 0.05)
    swept = min(tip_force(polygon, at, 1e4, 1.2, radians(d / 4.0)) for d in range(1440))
    assert tip_force(polygon, at, 1e4, 1.2) == pytest.approx(swept, rel=1e-5)


def test_tipping_that_cannot_be_or_has_happened() -> None:
    assert tip_force(POLYGON, (0.0, 0.0), 1000.0, 0.0) == inf
    assert tip_force(POLYGON, (0.9, 0.0), 1000.0, 1.0) == 0.0
    assert tip_force(POLYGON, (0.8, 0.0), 1000.0, 1.0) == 0.0


def test_push_that_tips_brings_the_resultant_to_the_edge() -> None:
    at, weight, height, direction = (0.1, -0.2), 9000.0, 1.1, radians(25.0)
    force = tip_force(POLYGON, at, weight, height, direction)
    moved = (
        at[0] + force * height / weight * cos(direction),
        at[1] + force * height / weight * sin(direction),
    )
    assert margin(POLYGON, moved) == pytest.approx(0.0, abs=1e-12)


def test_lean_to_tip() -> None:
    assert lean_to_tip(POLYGON, (0.1, 0.0), 0.5) == pytest.approx(atan(0.6 / 0.5))
    assert lean_to_tip(POLYGON, (0.9, 0.0), 0.5) < 0.0
    with pytest.raises(InputError, match="CG height above the pads"):
        lean_to_tip(POLYGON, (0.1, 0.0), 0.0)


def test_slip_force() -> None:
    assert slip_force(10_000.0, 0.3) == pytest.approx(3000.0)
    assert slip_force(10_000.0, 0.0) == 0.0
    with pytest.raises(InputError, match="friction"):
        slip_force(10_000.0, -0.1)


def test_push_moves_load_along_its_direction() -> None:
    ahead = push_shift(PADS, 200.0, 1.2, 0.0)
    assert ahead == pytest.approx((75.0, 75.0, -75.0, -75.0))
    assert push_shift(PADS, 200.0, 1.2, pi / 2.0) == pytest.approx((100.0, -100.0, 100.0, -100.0))


def test_least_push_that_empties_a_pad() -> None:
    loads = even_loads(SKEW, 12_000.0, (0.1, 0.05))
    push = unload_push(SKEW, loads, 1.3)
    change = push_shift(SKEW, push.force, 1.3, push.direction)
    after = [a + b for a, b in zip(loads, change, strict=True)]
    assert after[push.pad] == pytest.approx(0.0, abs=1e-8)
    assert min(after) == pytest.approx(0.0, abs=1e-8)
    for degree in range(360):
        shift = push_shift(SKEW, 0.9999 * push.force, 1.3, radians(degree))
        assert min(a + b for a, b in zip(loads, shift, strict=True)) > 0.0


def test_push_below_the_pads_works_the_other_way() -> None:
    loads = even_loads(SKEW, 12_000.0, (0.1, 0.05))
    above, below = unload_push(SKEW, loads, 1.3), unload_push(SKEW, loads, -1.3)
    assert below.force == pytest.approx(above.force)
    assert abs(abs(below.direction - above.direction) - pi) < 1e-12
    assert unload_push(SKEW, loads, 0.0).force == inf
    assert unload_push(SKEW, loads, 0.0).pad == -1


def test_push_on_an_empty_pad_needs_nothing() -> None:
    push = unload_push(PADS, (10.0, 0.0, 5.0, 5.0), 1.0)
    assert (push.force, push.pad) == (0.0, 1)


def test_shares() -> None:
    loads = (4.0, 3.0, 2.0, 1.0)
    assert front_share(loads) == pytest.approx(0.7)
    assert left_share(loads) == pytest.approx(0.6)
    assert cross_weight(loads) == pytest.approx(0.5)
    assert front_share((*loads, 99.0)) == pytest.approx(0.7)
    for share in (front_share, left_share, cross_weight):
        with pytest.raises(InputError, match="must add up to more than nothing"):
            share((0.0, 0.0, 0.0, 0.0))


def test_split_limits() -> None:
    assert split_limits(1.0) == (0.5, 0.5)
    assert split_limits(3.0) == pytest.approx((0.25, 0.75))
    assert cg_window(3.0, 2.0) == pytest.approx((0.5, 1.5))
    with pytest.raises(InputError, match="split"):
        split_limits(0.9)


def test_carriages_at_different_heights() -> None:
    angle, sideways = carriage_shift(0.03, 1.5, 0.6)
    assert sin(angle) == pytest.approx(0.02)
    assert sideways == pytest.approx(0.6 * tan(angle))
    assert carriage_shift(0.0, 1.5, 0.6) == (0.0, 0.0)
    with pytest.raises(InputError, match="carriage height difference"):
        carriage_shift(2.0, 1.5, 0.6)
