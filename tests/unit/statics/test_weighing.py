"""From scales to CG, with ranges and refusals."""

from __future__ import annotations

import random
from math import inf, nan

import pytest

from underset.errors import InputError
from underset.statics import (
    Figure,
    added,
    from_axles,
    from_corners,
    needed_change,
    needed_shift,
    shift,
    within,
)


def test_axle_loads_with_tolerance() -> None:
    weighed = from_axles(within(900.0, 10.0), within(600.0, 10.0), within(2.6, 0.005))
    assert weighed.mass == Figure(1500.0, 1480.0, 1520.0)
    assert weighed.aft.value == pytest.approx(2.6 * 0.4)
    assert weighed.aft.low == pytest.approx(2.595 * 590.0 / 1500.0)
    assert weighed.aft.high == pytest.approx(2.605 * 610.0 / 1500.0)
    assert weighed.front_share.value == pytest.approx(0.6)
    assert weighed.side is None


def test_ranges_hold_every_draw() -> None:
    draw = random.Random(2)
    loads = [within(x, 8.0) for x in (420.0, 390.0, 310.0, 330.0)]
    tracks = (within(1.52, 0.01), within(1.49, 0.01))
    weighed = from_corners(loads, tracks, within(2.6, 0.01))
    assert weighed.side is not None
    for _ in range(300):
        some = [draw.uniform(f.low, f.high) for f in (*loads, *tracks, within(2.6, 0.01))]
        one = from_corners(some[:4], (some[4], some[5]), some[6])
        assert one.side is not None
        assert weighed.aft.low <= one.aft.value <= weighed.aft.high
        assert weighed.side.low <= one.side.value <= weighed.side.high
        assert weighed.front_share.low <= one.front_share.value <= weighed.front_share.high


def test_corner_loads_place_the_cg() -> None:
    weighed = from_corners((420.0, 380.0, 310.0, 290.0), (1.5, 1.4), 2.6)
    assert weighed.mass.value == pytest.approx(1400.0)
    assert weighed.aft.value == pytest.approx(2.6 * 600.0 / 1400.0)
    assert weighed.side is not None
    assert weighed.side.value == pytest.approx((1.5 * 40.0 + 1.4 * 20.0) / 2800.0)


def test_a_total_known_from_elsewhere_must_agree() -> None:
    assert from_axles(900.0, 600.0, 2.6, total=1500.0).mass.value == 1500.0
    assert from_axles(900.0, 600.0, 2.6, total=within(1510.0, 10.0)).mass.value == 1500.0
    assert from_axles(within(900.0, 5.0), 600.0, 2.6, total=1504.0).mass.value == 1500.0
    with pytest.raises(InputError, match="sum of loads") as caught:
        from_corners((400.0, 400.0, 300.0, 300.0), (1.5, 1.5), 2.6, total=1500.0)
    assert caught.value.value == 1400.0
    assert caught.value.remedy


@pytest.mark.parametrize(
    ("front", "rear", "wheelbase", "field"),
    [
        (0.0, 600.0, 2.6, "front axle load"),
        (900.0, -5.0, 2.6, "rear axle load"),
        (900.0, nan, 2.6, "rear axle load"),
        (900.0, 600.0, inf, "wheelbase"),
        (Figure(5.0, 0.0, 10.0), 600.0, 2.6, "front axle load"),
        (Figure(5.0, 6.0, 10.0), 600.0, 2.6, "front axle load"),
    ],
)
def test_readings_that_cannot_be_are_refused(
    front: float | Figure, rear: float, wheelbase: float, field: str
) -> None:
    with pytest.raises(InputError, match=field):
        from_axles(front, rear, wheelbase)


def test_three_corner_loads_are_refused() -> None:
    with pytest.raises(InputError, match="wheel loads: received 3"):
        from_corners((400.0, 400.0, 300.0), (1.5, 1.5), 2.6)


def test_tolerance_must_be_one() -> None:
    with pytest.raises(InputError, match="tolerance"):
        within(1.0, -0.1)
    with pytest.raises(InputError, match="tolerance"):
        within(1.0, nan)


def test_shift_and_its_inverse() -> None:
    assert shift(1000.0, 1.2, 50.0, 0.0, 2.0) == pytest.approx(1.3)
    assert needed_shift(1000.0, 0.1, 0.0, 2.0) == pytest.approx(50.0)
    with pytest.raises(InputError, match="move"):
        needed_shift(1000.0, 0.1, 2.0, 0.0)
    with pytest.raises(InputError, match="move"):
        needed_shift(1000.0, 0.1, 2.0, 2.0)


def test_change_and_its_inverse() -> None:
    change = needed_change(1000.0, 1.2, 1.1, -0.5)
    assert change > 0.0
    assert added(1000.0, 1.2, change, -0.5)[1] == pytest.approx(1.1)
    off = needed_change(1000.0, 1.2, 1.1, 3.0)
    assert off < 0.0
    assert added(1000.0, 1.2, off, 3.0)[1] == pytest.approx(1.1)
    with pytest.raises(InputError, match="place"):
        needed_change(1000.0, 1.2, 1.1, 1.1)
    with pytest.raises(InputError, match="no load at this place"):
        needed_change(1000.0, 1.2, 1.1, 1.15)
    with pytest.raises(InputError, match="mass left"):
        added(1000.0, 1.2, -1000.0, 0.0)


def test_a_tolerance_without_end_is_refused() -> None:
    with pytest.raises(InputError, match="tolerance"):
        within(100.0, float("inf"))


def test_taking_off_the_whole_vehicle_is_no_change_of_its_balance() -> None:
    with pytest.raises(InputError, match="no load at this place"):
        needed_change(100.0, 1.0, 2.0, 1.0)
