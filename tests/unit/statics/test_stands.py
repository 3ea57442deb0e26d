"""Pushes up, preload ranges, regions for a stand, and how much may come off."""

from __future__ import annotations

import random

import pytest

from underset.errors import InputError
from underset.statics import (
    Clash,
    Demand,
    Preload,
    StandLimits,
    contact_loads,
    even_loads,
    front_share,
    hull,
    margin,
    place_region,
    preload_range,
    removable,
    split_limits,
    stand_demands,
    stand_rise,
)

PADS = ((0.9, 0.45), (0.85, -0.45), (-0.75, 0.6), (-0.8, -0.6))
WEIGHT, AT = 14_000.0, (-0.35, 0.02)  # the engine is out: too much on the rear pads
LIMITS = StandLimits(
    least_share=0.10,
    pad_limits=(7000.0,) * 4,
    front_share=split_limits(1.5),
    margin=0.2,
)


def state(push: float, place: tuple[float, float]) -> tuple[float, tuple[float, float]]:
    """Weight and resultant that the pads are left with."""
    left = WEIGHT - push
    return left, (
        (WEIGHT * AT[0] - push * place[0]) / left,
        (WEIGHT * AT[1] - push * place[1]) / left,
    )


def keeps(push: float, place: tuple[float, float], limits: StandLimits = LIMITS) -> bool:
    """Every demand judged afresh from the pad loads."""
    left, at = state(push, place)
    if left <= 0.0:
        return False
    loads = even_loads(PADS, left, at)
    assert limits.pad_limits is not None
    assert limits.least_share is not None
    assert limits.front_share is not None
    assert limits.margin is not None
    low, high = limits.front_share
    return (
        min(loads) >= limits.least_share * left
        and all(load <= most for load, most in zip(loads, limits.pad_limits, strict=True))
        and low <= front_share(loads) <= high
        and margin(hull(PADS), at) >= limits.margin
    )


def test_preload_range_ends_exactly_where_a_demand_breaks() -> None:
    place = (-1.4, 0.0)
    found = preload_range(stand_demands(PADS, WEIGHT, AT, LIMITS), place)
    assert isinstance(found, Preload)
    assert 0.0 < found.low < found.high
    assert keeps(found.low + 0.01, place)
    assert not keeps(found.low - 0.01, place)
    assert keeps(found.high - 0.01, place)
    assert not keeps(found.high + 0.01, place)
    assert found.low_by != found.high_by


@pytest.mark.parametrize(
    ("limits", "by"),
    [
        (StandLimits(least_share=0.08), "least load of RR"),
        (StandLimits(margin=0.25), "margin to edge LR-RR"),
        (StandLimits(front_share=(0.0, 0.75)), "greatest front share"),
        (StandLimits(pad_limits=(4000.0, 9e9, 9e9, 9e9)), "load limit of LF"),
    ],
)
def test_each_demand_ends_the_range_where_it_is_just_met(limits: StandLimits, by: str) -> None:
    """A stand under the rear takes load off it until the demand is met with nothing to spare."""
    pads = ((1.0, 0.5), (1.0, -0.5), (-1.0, 0.5), (-1.0, -0.5))
    weight, at, place = 10_000.0, (0.2, 0.06), (-0.9, 0.08)
    if limits.margin is not None:
        at, place = (-0.5, 0.0), (0.9, 0.0)
    if limits.pad_limits is not None:
        place = (-1.6, -0.2)
    found = preload_range(stand_demands(pads, weight, at, limits), place)
    assert isinstance(found, Preload)
    assert found.high_by == by
    left = weight - found.high
    x, y = ((weight * a - found.high * p) / left for a, p in zip(at, place, strict=True))
    loads = even_loads(pads, left, (x, y))
    just = {
        "least load of RR": lambda: loads[3] / left - 0.08,
        "margin to edge LR-RR": lambda: margin(hull(pads), (x, y)) - 0.25,
        "greatest front share": lambda: front_share(loads) - 0.75,
        "load limit of LF": lambda: loads[0] - 4000.0,
    }
    assert just[by]() == pytest.approx(0.0, abs=1e-8)


def test_a_greatest_push_and_no_push_are_ends_too() -> None:
    demands = stand_demands(PADS, WEIGHT, (0.0, 0.0), LIMITS)
    found = preload_range(demands, (-1.0, 0.0), 500.0)
    assert found == Preload(0.0, 500.0, "no push", "greatest push")


def test_a_stand_at_the_wrong_end_clashes_and_says_with_what() -> None:
    found = preload_range(stand_demands(PADS, WEIGHT, AT, LIMITS), (1.6, 0.0))
    assert isinstance(found, Clash)
    assert found.needed > found.allowed
    assert found.needed_by
    assert found.allowed_by


def test_a_demand_that_no_push_can_meet_stands_alone() -> None:
    found = preload_range((Demand("never", -5.0, 0.0, 0.0, 0.0),), (0.0, 0.0))
    assert isinstance(found, Clash)
    assert (found.needed, found.needed_by) == (float("inf"), "never")
    just = preload_range((Demand("just", 0.0, 0.0, 0.0, 0.0),), (0.0, 0.0))
    assert isinstance(just, Preload)


def test_several_states_are_served_by_the_intersection() -> None:
    place = (-1.4, 0.0)
    first = stand_demands(PADS, WEIGHT, AT, LIMITS)
    second = stand_demands(PADS, 11_000.0, (-0.30, 0.0), LIMITS)
    both = preload_range((*first, *second), place)
    one, two = preload_range(first, place), preload_range(second, place)
    assert isinstance(both, Preload)
    assert isinstance(one, Preload)
    assert isinstance(two, Preload)
    assert both.low == max(one.low, two.low)
    assert both.high == min(one.high, two.high)


def test_region_of_places_agrees_with_the_range_at_each_place() -> None:
    area = ((-2.5, -1.0), (1.5, -1.0), (1.5, 1.0), (-2.5, 1.0))
    demands, push = stand_demands(PADS, WEIGHT, AT, LIMITS), 2500.0
    region = place_region(demands, push, area)
    assert len(region) >= 3
    draw = random.Random(3)
    inside = 0
    for _ in range(500):
        place = (draw.uniform(-2.5, 1.5), draw.uniform(-1.0, 1.0))
        room = margin(hull(region), place)
        if abs(room) > 1e-9:
            assert keeps(push, place) == (room > 0.0)
            inside += room > 0.0
    assert 20 < inside < 480


def test_no_region_where_no_place_serves() -> None:
    area = ((1.2, -1.0), (1.5, -1.0), (1.5, 1.0), (1.2, 1.0))
    assert place_region(stand_demands(PADS, WEIGHT, AT, LIMITS), 2500.0, area) == ()


def test_demands_left_out_are_not_made() -> None:
    assert [d.name for d in stand_demands(PADS, WEIGHT, AT, StandLimits())] == [
        "weight left on the pads"
    ]
    found = preload_range(stand_demands(PADS, WEIGHT, AT, StandLimits()), (0.0, 0.0))
    assert found == Preload(0.0, WEIGHT, "no push", "weight left on the pads")


def test_names_of_demands_tell_the_pad_or_edge() -> None:
    names = [d.name for d in stand_demands(PADS, WEIGHT, AT, LIMITS)]
    assert "least load of LF" in names
    assert "load limit of RR" in names
    assert "greatest front share" in names
    assert sum(name.startswith("margin to edge") for name in names) == 4


def test_front_share_limits_that_make_no_sense_are_refused() -> None:
    with pytest.raises(InputError, match="front share limits"):
        stand_demands(PADS, WEIGHT, AT, StandLimits(front_share=(0.6, 0.4)))
    line = ((1.0, 0.0), (0.5, 0.0), (-0.5, 0.0), (-1.0, 0.0))
    with pytest.raises(InputError, match="one line"):
        stand_demands(line, WEIGHT, AT, StandLimits(margin=0.1))


def test_removable_ends_where_the_split_breaks_or_a_pad_is_empty() -> None:
    place = (1.5, 0.2)
    found = removable(PADS, 14_000.0, (0.1, 0.0), place, split_limits(1.5))
    assert found.to_split is not None
    assert found.to_empty is not None
    for off, check in ((found.to_split, "split"), (found.to_empty, "empty")):
        left = 14_000.0 - off
        at = ((1400.0 - off * place[0]) / left, -off * place[1] / left)
        loads = even_loads(PADS, left, at)
        if check == "split":
            assert front_share(loads) == pytest.approx(0.4)
        else:
            assert found.pad is not None
            assert loads[found.pad] == pytest.approx(0.0, abs=1e-8)
            assert min(loads) == pytest.approx(0.0, abs=1e-8)


def test_removable_where_nothing_is_lost_and_where_it_is_already() -> None:
    middle = removable(PADS, WEIGHT, (0.0, 0.0), (0.0, 0.0), split_limits(3.0))
    assert middle.to_split is None
    assert (middle.to_empty, middle.pad) == (None, None)
    broken = removable(PADS, WEIGHT, (-0.7, 0.0), (1.0, 0.0), split_limits(1.5))
    assert broken.to_split == 0.0
    tipped = removable(PADS, WEIGHT, (-0.9, 0.0), (1.0, 0.0))
    assert tipped.to_split is None
    assert tipped.to_empty == 0.0


def test_a_stand_set_to_a_preload_takes_it_and_follows_later_states() -> None:
    supports, springs = (*PADS, (-1.4, 0.0)), (1e6, 1e6, 1e6, 1e6, 2e6)
    rise = stand_rise(supports, WEIGHT, AT, springs, 2000.0)
    raised = (0.0, 0.0, 0.0, 0.0, rise)
    loads = contact_loads(supports, WEIGHT, AT, springs, raised)
    assert loads is not None
    assert loads[4] == pytest.approx(2000.0)
    later = contact_loads(supports, WEIGHT - 3000.0, (-0.6, 0.02), springs, raised)
    assert later is not None
    assert later[4] > 2000.0
