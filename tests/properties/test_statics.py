"""What must hold for every ledger, every set of pads and every weight."""

from __future__ import annotations

from dataclasses import replace
from math import cos, inf, pi, sin

import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st

from underset.statics import (
    Item,
    Loads,
    Place,
    Point,
    Preload,
    StandLimits,
    body_loads,
    contact_loads,
    even_loads,
    front_share,
    hull,
    left_share,
    load_forms,
    load_spans,
    margin,
    mean_range,
    preload_range,
    residuals,
    split_limits,
    stand_demands,
    sum_range,
    tip_force,
    total,
    unload_push,
    unloading_height,
    warp_loads,
    warp_pattern,
    warp_range,
)


def real(low: float, high: float) -> st.SearchStrategy[float]:
    return st.floats(low, high, allow_nan=False, allow_infinity=False, width=64)


lengths = real(0.6, 1.4)
widths = real(0.4, 1.0)
springs = st.tuples(*[real(2e5, 3e6)] * 4)
weights = real(5e3, 4e4)
turns = real(-pi, pi)
twists = st.one_of(st.just(inf), real(1e5, 3e6))
heights = st.tuples(*[real(-0.005, 0.005)] * 4)


@st.composite
def layouts(draw: st.DrawFn) -> tuple[Point, ...]:
    """Four pads, one in each corner, never near a line."""
    return (
        (draw(lengths), draw(widths)),
        (draw(lengths), -draw(widths)),
        (-draw(lengths), draw(widths)),
        (-draw(lengths), -draw(widths)),
    )


near = st.tuples(real(-0.5, 0.5), real(-0.3, 0.3))


@st.composite
def entries(draw: st.DrawFn) -> Item:
    sign = draw(st.sampled_from((1.0, 1.0, -1.0)))
    mass = draw(real(1.0, 60.0))
    return Item(
        "part",
        sign * mass,
        mass * draw(real(0.0, 1.0)) * draw(st.sampled_from((0.0, 1.0))),
        (draw(real(-4.0, 1.5)), draw(real(-1.0, 1.0)), draw(real(0.0, 2.0))),
        (draw(real(0.0, 0.4)), draw(real(0.0, 0.3)), draw(real(0.0, 0.3))),
    )


BODY = Item("body", 1500.0, 20.0, (-1.2, 0.01, 0.55), (0.05, 0.02, 0.03))
ledgers = st.lists(entries(), max_size=8).map(lambda parts: [BODY, *parts])


def close(loads: Loads | None, size: float) -> object:
    assert loads is not None
    return pytest.approx(loads, abs=1e-9 * size)


def flipped(loads: Loads) -> Loads:
    return (loads[1], loads[0], loads[3], loads[2])


def mirrored(pads: tuple[Point, ...]) -> tuple[Point, ...]:
    turned = [(x, -y) for x, y in pads]
    return (turned[1], turned[0], turned[3], turned[2])


def moved(points: tuple[Point, ...], by: Point, turn: float) -> tuple[Point, ...]:
    c, s = cos(turn), sin(turn)
    return tuple((by[0] + c * x - s * y, by[1] + s * x + c * y) for x, y in points)


# --- pad loads ------------------------------------------------------------------------------------


@given(layouts(), springs, weights, near)
@example(((1, 1), (1, -1), (-1, 1), (-1, -1)), (1e6,) * 4, 1e4, (0.0, 0.0))
def test_loads_balance(pads: tuple[Point, ...], k: Loads, weight: float, at: Point) -> None:
    for loads in (even_loads(pads, weight, at), even_loads(pads, weight, at, k)):
        assert residuals(pads, loads, weight, at) == close((0.0, 0.0, 0.0), weight)
    touching = contact_loads(pads, weight, at, k)
    if touching is None:
        assert margin(hull(pads), at) < 1e-6
    else:
        assert min(touching) >= 0.0
        assert residuals(pads, touching, weight, at) == pytest.approx(
            (0.0, 0.0, 0.0), abs=1e-7 * weight
        )


@given(layouts(), springs, weights, near, heights)
def test_mirror(pads: tuple[Point, ...], k: Loads, weight: float, at: Point, raised: Loads) -> None:
    other, glass = mirrored(pads), (at[0], -at[1])
    loads = even_loads(pads, weight, at, k)
    assert even_loads(other, weight, glass, flipped(k)) == close(flipped(loads), weight)
    assert left_share(flipped(loads)) == pytest.approx(1.0 - left_share(loads))
    change = warp_loads(pads, raised, k, 1e6)
    assert warp_loads(other, flipped(raised), flipped(k), 1e6) == close(flipped(change), weight)
    rest = contact_loads(pads, weight, at, k, raised)
    image = contact_loads(other, weight, glass, flipped(k), flipped(raised))
    assert (rest is None) == (image is None)
    if rest is not None:
        assert image == pytest.approx(flipped(rest), abs=1e-6 * weight)


@given(layouts(), springs, weights, near, st.tuples(real(-5, 5), real(-5, 5)), turns)
def test_moving_the_whole_scene_changes_nothing(
    pads: tuple[Point, ...], k: Loads, weight: float, at: Point, by: Point, turn: float
) -> None:
    there, spot = moved(pads, by, turn), moved((at,), by, turn)[0]
    size = 100.0 * weight
    loads = even_loads(pads, weight, at, k)
    assert even_loads(there, weight, spot, k) == close(loads, size)
    assert body_loads(there, weight, spot, k, 9e5) == close(
        body_loads(pads, weight, at, k, 9e5), size
    )
    assert warp_range(there, 0.003, k, 9e5) == pytest.approx(warp_range(pads, 0.003, k, 9e5))
    assert margin(hull(there), spot) == pytest.approx(margin(hull(pads), at), abs=1e-9)
    assume(min(loads) > 0.0)
    assert unload_push(there, loads, 1.2, k).force == pytest.approx(
        unload_push(pads, loads, 1.2, k).force
    )


@given(layouts(), springs, weights, near, real(0.1, 10.0))
def test_scaling_all_weights_scales_all_loads(
    pads: tuple[Point, ...], k: Loads, weight: float, at: Point, scale: float
) -> None:
    loads, more = even_loads(pads, weight, at, k), even_loads(pads, scale * weight, at, k)
    assert more == close(tuple(scale * load for load in loads), weight * scale)
    rest, heavy = contact_loads(pads, weight, at, k), contact_loads(pads, scale * weight, at, k)
    assert (rest is None) == (heavy is None)
    if rest is not None:
        assert heavy == close(tuple(scale * load for load in rest), weight * scale)
        assert front_share(rest) == pytest.approx(front_share(heavy or rest))
    polygon = hull(pads)
    assert tip_force(polygon, at, scale * weight, 1.0) == pytest.approx(
        scale * tip_force(polygon, at, weight, 1.0)
    )


@given(layouts(), springs, twists, heights)
def test_warp_changes_no_total(
    pads: tuple[Point, ...], k: Loads, twist: float, raised: Loads
) -> None:
    change = warp_loads(pads, raised, k, twist)
    size = max(1.0, *(abs(c) for c in change))
    assert residuals(pads, change, 0.0, (0.0, 0.0)) == close((0.0, 0.0, 0.0), size)
    assert max(abs(n) for n in warp_pattern(pads)) == 1.0


@given(layouts(), springs, twists, real(0.0, 0.01), heights)
def test_warp_within_the_tolerance_stays_in_its_range(
    pads: tuple[Point, ...], k: Loads, twist: float, tolerance: float, raised: Loads
) -> None:
    part = tuple(tolerance * h / 0.005 for h in raised)
    most = warp_range(pads, tolerance, k, twist)
    for change, n in zip(warp_loads(pads, part, k, twist), warp_pattern(pads), strict=True):
        assert abs(change) <= most * abs(n) * (1.0 + 1e-9) + 1e-9


@given(layouts(), springs, weights, near, twists)
def test_pads_stay_loaded_below_the_height_that_empties_one(
    pads: tuple[Point, ...], k: Loads, weight: float, at: Point, twist: float
) -> None:
    loads = even_loads(pads, weight, at, k)
    assume(min(loads) > 1e-3 * weight)
    for lowered, sign in ((False, 1.0), (True, -1.0)):
        height, _, _ = unloading_height(pads, loads, k, twist, lowered=lowered)
        for pad in range(4):
            raised = [sign * 0.999 * height if i == pad else 0.0 for i in range(4)]
            change = warp_loads(pads, raised, k, twist)
            assert min(a + b for a, b in zip(loads, change, strict=True)) > 0.0


@given(layouts(), springs, weights, near, real(0.0, 5e4))
def test_spans_hold_the_nominal_and_no_pull(
    pads: tuple[Point, ...], k: Loads, weight: float, at: Point, alpha: float
) -> None:
    loads = even_loads(pads, weight, at, k)
    assume(min(loads) > 0.0)
    for (low, high), load in zip(load_spans(pads, loads, alpha), loads, strict=True):
        assert 0.0 <= low <= load + 1e-9 * weight
        assert load - 1e-9 * weight <= high <= weight * (1.0 + 1e-9)


# --- ledger ---------------------------------------------------------------------------------------


@given(ledgers)
def test_order_of_a_ledger_does_not_matter(items: list[Item]) -> None:
    one, other = total(items), total(items[::-1])
    assert other.cg == pytest.approx(one.cg, abs=1e-9)
    assert other.cg_low == pytest.approx(one.cg_low, abs=1e-9)
    assert other.cg_high == pytest.approx(one.cg_high, abs=1e-9)
    assert other.mass == pytest.approx(one.mass)


@given(ledgers, st.tuples(real(-4, 1), real(-1, 1), real(0, 2)))
def test_removing_nothing_changes_nothing(items: list[Item], place: Place) -> None:
    assert total([*items, Item("nothing", 0.0, 0.0, place)]) == total(items)


@given(ledgers, st.data())
def test_putting_a_part_back_restores_the_nominal(items: list[Item], data: st.DataObject) -> None:
    part = data.draw(entries())
    back = replace(part, mass=-part.mass)
    assert total([*items, part, back]).cg == pytest.approx(total(items).cg, abs=1e-9)


@given(ledgers, real(0.1, 10.0))
def test_scaling_all_masses_moves_no_cg(items: list[Item], scale: float) -> None:
    more = [replace(i, mass=scale * i.mass, mass_tol=scale * i.mass_tol) for i in items]
    one, other = total(items), total(more)
    assert other.mass == pytest.approx(scale * one.mass)
    for left, right in (
        (one.cg_low, other.cg_low),
        (one.cg, other.cg),
        (one.cg_high, other.cg_high),
    ):
        assert right == pytest.approx(left, abs=1e-9)


def drawn(item: Item, data: st.DataObject) -> Item:
    part = real(-1.0, 1.0)
    place = [p + t * data.draw(part) for p, t in zip(item.place, item.place_tol, strict=True)]
    mass = item.mass + item.mass_tol * data.draw(part)
    return Item(item.name, mass, 0.0, (place[0], place[1], place[2]))


@given(ledgers, st.data())
def test_no_draw_within_tolerance_leaves_the_extremes(
    items: list[Item], data: st.DataObject
) -> None:
    whole, one = total(items), total([drawn(item, data) for item in items])
    for axis in (0, 1, 2):
        assert whole.cg_low[axis] - 1e-9 <= one.cg[axis] <= whole.cg_high[axis] + 1e-9
    assert whole.mass_low - 1e-9 <= one.mass <= whole.mass_high + 1e-9


@given(ledgers, st.sampled_from((0, 1, 2)))
def test_the_extremes_are_attained(items: list[Item], axis: int) -> None:
    """The corner that the extreme itself names gives it back: heavy past it, light short of it."""
    high = total(items).cg_high[axis]
    at = []
    for item in items:
        sign = 1.0 if item.mass > 0.0 else -1.0
        far = item.place[axis] + sign * item.place_tol[axis]
        mass = item.mass + (item.mass_tol if far > high else -item.mass_tol)
        at.append((mass, far))
    assert sum(m * x for m, x in at) / sum(m for m, _ in at) == pytest.approx(high, abs=1e-9)


@given(ledgers, layouts())
def test_ranges_of_pad_loads_hold_the_nominal_and_add_up(
    items: list[Item], pads: tuple[Point, ...]
) -> None:
    ranges = [sum_range(items, (a, b, c, 0.0)) for a, b, c in load_forms(pads)]
    whole = total(items)
    assert [nominal for _, nominal, _ in ranges] == pytest.approx(
        even_loads(pads, whole.mass, whole.cg[:2]), abs=1e-6
    )
    for low, nominal, high in ranges:
        assert low - 1e-9 <= nominal <= high + 1e-9
    assert sum(low for low, _, _ in ranges) <= whole.mass_low + 1e-6
    assert sum(high for _, _, high in ranges) >= whole.mass_high - 1e-6


@given(ledgers, turns)
def test_a_mean_seen_from_behind_is_turned_round(items: list[Item], turn: float) -> None:
    value = (0.4, cos(turn), sin(turn), 0.0)
    low, middle, high = mean_range(items, value)
    back = mean_range(items, (-0.4, -cos(turn), -sin(turn), 0.0))
    assert back == pytest.approx((-high, -middle, -low), abs=1e-9)
    assert low - 1e-9 <= middle <= high + 1e-9


# --- support and stands ---------------------------------------------------------------------------


@given(st.lists(st.tuples(real(-2, 2), real(-2, 2)), min_size=1, max_size=9))
@example([(0.0, 0.0), (1.0, 0.0), (2.0, 0.0)])
@example([(0.0, 0.0), (0.0, 0.0)])
@example([(0.0, 0.0), (1.0, 1.0), (0.0, 1e-170)])
def test_every_point_lies_in_its_hull(points: list[Point]) -> None:
    polygon = hull(points)
    assert set(polygon) <= set(points)
    for point in points:
        assert margin(polygon, point) >= -1e-9


@given(layouts(), near, st.tuples(real(-1, 1), real(-1, 1)))
def test_margin_changes_no_faster_than_the_point_moves(
    pads: tuple[Point, ...], at: Point, by: Point
) -> None:
    polygon = hull(pads)
    there = (at[0] + by[0], at[1] + by[1])
    distance = (by[0] ** 2 + by[1] ** 2) ** 0.5
    assert abs(margin(polygon, there) - margin(polygon, at)) <= distance + 1e-9


@given(layouts(), weights, near, st.tuples(real(-2.5, 2.5), real(-0.8, 0.8)), real(0.0, 1.0))
def test_every_preload_in_the_range_keeps_every_demand(
    pads: tuple[Point, ...], weight: float, at: Point, place: Point, part: float
) -> None:
    limits = StandLimits(least_share=0.06, front_share=split_limits(2.0), margin=0.05)
    found = preload_range(stand_demands(pads, weight, at, limits), place, 0.8 * weight)
    assume(isinstance(found, Preload))
    assert isinstance(found, Preload)
    push = found.low + part * (found.high - found.low)
    left = weight - push
    rest = tuple((weight * a - push * p) / left for a, p in zip(at, place, strict=True))
    loads = even_loads(pads, left, (rest[0], rest[1]))
    assert min(loads) >= (0.06 - 1e-9) * left
    low, high = split_limits(2.0)
    assert low - 1e-9 <= front_share(loads) <= high + 1e-9
    assert margin(hull(pads), (rest[0], rest[1])) >= 0.05 - 1e-9
