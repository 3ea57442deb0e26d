"""Gauge or load-cell readings against predicted pad loads."""

from __future__ import annotations

from math import nan

import pytest

from underset.errors import InputError
from underset.statics import (
    Comparison,
    Figure,
    compare_loads,
    even_loads,
    forecast,
    front_share,
    left_share,
    warp_pattern,
    within,
)

PADS = ((0.8, 0.45), (0.8, -0.45), (-0.8, 0.6), (-0.8, -0.6))
WEIGHT, AT, ALPHA = 15_000.0, (0.12, 0.02), 600.0
LOADS = even_loads(PADS, WEIGHT, AT)
EXPECTED = forecast(
    PADS,
    [within(load, 900.0) for load in LOADS],
    within(WEIGHT, 300.0),
    (within(front_share(LOADS), 0.02), within(left_share(LOADS), 0.015)),
    ALPHA,
)


def compare(*loads: float, tol: float = 50.0) -> Comparison:
    return compare_loads(PADS, loads, EXPECTED, tol)


def kinds(found: Comparison) -> list[str]:
    return [misfit.what for misfit in found.misfits]


def moved(weight: float = WEIGHT, at: tuple[float, float] = AT, alpha: float = 0.0) -> list[float]:
    loads = even_loads(PADS, weight, at)
    return [load + alpha * n for load, n in zip(loads, warp_pattern(PADS), strict=True)]


def test_predicted_loads_fit() -> None:
    assert compare(*LOADS) == Comparison(True, ())
    assert compare(*moved(15_200.0, (0.13, 0.025), 500.0)).fits


def test_a_wrong_weight_is_named_as_the_total() -> None:
    found = compare(*moved(weight=16_000.0))
    assert kinds(found) == ["total"]
    misfit = found.misfits[0]
    assert misfit.measured.value == pytest.approx(16_000.0)
    assert misfit.beyond == pytest.approx(16_000.0 - 200.0 - 15_300.0)
    assert misfit.strain == pytest.approx(1.0)


def test_a_cg_too_far_forward_is_named_as_the_axle() -> None:
    found = compare(*moved(at=(0.20, 0.02)))
    assert kinds(found) == ["axle"]
    assert found.misfits[0].measured.value == pytest.approx(front_share(LOADS) + 0.05)


def test_a_cg_too_far_left_is_named_as_the_side() -> None:
    assert "side" in kinds(compare(*moved(at=(0.12, 0.07))))
    assert "axle" not in kinds(compare(*moved(at=(0.12, 0.07))))


def test_a_pad_out_of_level_is_named_as_warp() -> None:
    assert kinds(compare(*moved(alpha=800.0))) == ["warp"]
    assert kinds(compare(*moved(alpha=-800.0))) == ["warp"]
    both = compare(*moved(alpha=1100.0))
    assert kinds(both)[0] == "warp"
    assert [misfit.pad for misfit in both.misfits if misfit.what == "pad"] == [0, 1]


def test_a_gauge_that_reads_wrong_is_named_as_its_pad() -> None:
    loads = list(LOADS)
    loads[2] += 1500.0
    found = compare(*loads)
    assert kinds(found)[0] == "total"
    assert [misfit.pad for misfit in found.misfits if misfit.what == "pad"] == [2]


def test_the_worst_pad_is_named_first() -> None:
    loads = [x + d for x, d in zip(LOADS, (1000.0, -1100.0, 1200.0, -1300.0), strict=True)]
    pads = [misfit.pad for misfit in compare(*loads).misfits if misfit.what == "pad"]
    assert pads == [3, 2, 1, 0]


def test_a_coarse_gauge_accepts_more() -> None:
    loads = moved(weight=15_900.0)
    assert not compare(*loads, tol=50.0).fits
    assert compare(*loads, tol=200.0).fits


@pytest.mark.parametrize(
    ("loads", "tol", "field"),
    [
        ((1.0, 2.0, 3.0), 0.0, "measured loads: received 3"),
        ((1.0, 2.0, -3.0, 4.0), 0.0, "measured load"),
        ((1.0, 2.0, nan, 4.0), 0.0, "measured load"),
        ((0.0, 0.0, 0.0, 0.0), 0.0, "measured loads"),
        ((9.0, 9.0, 9.0, 9.0), 50.0, "tyres are off the floor"),
        ((9.0, 9.0, 9.0, 9.0), -1.0, "reading tolerance"),
    ],
)
def test_readings_that_are_no_pad_loads_are_refused(
    loads: tuple[float, ...], tol: float, field: str
) -> None:
    with pytest.raises(InputError, match=field):
        compare_loads(PADS, loads, EXPECTED, tol)


def test_exact_figures_are_compared_exactly() -> None:
    exact = forecast(
        PADS,
        [Figure(x, x, x) for x in LOADS],
        within(WEIGHT, 0.0),
        (within(front_share(LOADS), 0.0), within(left_share(LOADS), 0.0)),
        0.0,
    )
    assert compare_loads(PADS, LOADS, exact).fits
    off = compare_loads(PADS, [x * 1.001 for x in LOADS], exact)
    assert kinds(off)[0] == "total"
