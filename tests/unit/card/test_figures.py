"""Units, rounding and decimal signs. Factors: NIST SP 811 (in, lb, lbf)."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from underset.card.figures import UNKNOWN_FIGURE, Figures
from underset.errors import InputError

METRIC, INCH, GERMAN = Figures(), Figures("inch"), Figures("metric", "de")


@pytest.mark.parametrize(
    ("figures", "metres", "shown"),
    [
        (METRIC, 0.4123, "412 mm"),
        (METRIC, -0.0004, "0 mm"),
        (METRIC, -1.62, "−1620 mm"),
        (INCH, 0.0254, "1 in"),
        (INCH, 0.0254 * 16.25, "16 1/4 in"),
        (INCH, 0.0254 * 0.4375, "7/16 in"),
        (INCH, -0.0254 * 2.5, "−2 1/2 in"),
        (INCH, 0.0, "0 in"),
    ],
)
def test_lengths(figures: Figures, metres: float, shown: str) -> None:
    assert figures.length(metres) == shown


def test_forces_and_masses() -> None:
    assert METRIC.force(5123.0) == "5.12 kN"
    assert METRIC.force(5123.0, "down") == "5.12 kN"
    assert METRIC.force(5123.0, "up") == "5.13 kN"
    assert INCH.force(4.4482216152605 * 1151) == "1151 lbf"
    assert METRIC.mass(1240.4) == "1240 kg"
    assert INCH.mass(0.45359237 * 2734) == "2734 lb"
    assert GERMAN.force(5123.0) == "5,12 kN"


def test_turns_are_quarters() -> None:
    shown = [METRIC.turns(t) for t in (0.0, 0.12, 0.13, 4.5, 11.74, None)]
    assert shown == ["0", "0", "1/4", "4 1/2", "11 3/4", UNKNOWN_FIGURE]


@pytest.mark.parametrize("value", [None, math.nan, math.inf, -math.inf])
def test_what_is_not_a_figure_is_never_printed_as_one(value: float | None) -> None:
    for figures in (METRIC, INCH, GERMAN):
        written = (figures.length, figures.force, figures.mass, figures.angle, figures.turns)
        assert {write(value) for write in written} == {UNKNOWN_FIGURE}
        assert figures.in_kind(value, "N m") in (UNKNOWN_FIGURE, f"{UNKNOWN_FIGURE} kN m") or value


def test_an_unknown_unit_system_is_refused_with_the_known_ones() -> None:
    with pytest.raises(InputError, match="metric, inch"):
        Figures("furlong")


@given(st.floats(-3, 3), st.floats(0.004, 0.5), st.sampled_from(["metric", "inch"]))
def test_a_window_is_rounded_inward(low: float, wide: float, units: str) -> None:
    high = low + wide
    first, last = Figures(units).span(low, high).rsplit(" ", 1)[0].split(" to ")
    assert low - 1e-6 <= in_metres(first, units)
    assert in_metres(last, units) <= high + 1e-6


@given(st.floats(0, 40_000), st.floats(0, 5_000), st.sampled_from(["metric", "inch"]))
def test_a_range_of_loads_is_rounded_outward(low: float, wide: float, units: str) -> None:
    first, last = Figures(units).load_range(low, low + wide, unit=False).split(" – ")
    newton = 1000.0 if units == "metric" else 4.4482216152605
    assert float(first) * newton <= low + 1e-3
    assert float(last) * newton >= low + wide - 1e-3


def test_a_window_too_narrow_to_round_keeps_its_fine_figures() -> None:
    assert METRIC.span(0.4123, 0.4129) == "412.3 mm to 412.9 mm"


@pytest.mark.parametrize(
    ("token", "metric", "inch"),
    [
        ("m:0.05", "50 mm", "1 15/16 in"),
        ("N:225", "0.23 kN", "51 lbf"),
        ("1:0.62", "62.0 %", "62.0 %"),
        ("turns:4.5", "4 1/2", "4 1/2"),
        ("months:7", "7.0 months", "7.0 months"),
        ("tooth 7", "tooth 7", "tooth 7"),
        ("N: about", "N: about", "N: about"),
        ("note: x", "note: x", "note: x"),
    ],
)
def test_tokens(token: str, metric: str, inch: str) -> None:
    assert (METRIC.token(token), INCH.token(token)) == (metric, inch)


def test_figures_of_checks_by_their_unit() -> None:
    assert METRIC.in_kind(0.036, "m") == "36 mm"
    assert METRIC.in_kind(math.radians(31.5), "rad") == "31.5°"
    assert METRIC.in_kind(8.0, "months") == "8.0 months"
    assert GERMAN.in_kind(8.0, "months") == "8,0 Monate"
    assert METRIC.in_kind(600_000.0, "N/m") == "600.0 N/mm"
    assert METRIC.in_kind("spacer-75", "") == "spacer-75"
    assert METRIC.in_kind(3.0, "furlong") == "3.000 furlong"


def in_metres(words: str, units: str) -> float:
    sign = -1.0 if words.startswith("−") else 1.0
    words = words.removeprefix("−")
    if units == "metric":
        return sign * float(words.removesuffix(" mm")) / 1000.0
    parts = [p.split("/") for p in words.removesuffix(" in").split()]
    inches = sum(float(p[0]) / float(p[1]) if len(p) == 2 else float(p[0]) for p in parts)
    return sign * inches * 0.0254
