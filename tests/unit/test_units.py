"""Quantities: what may be written, what is refused, the factors against another library."""

from __future__ import annotations

import math

import pint
import pytest

from underset.errors import InputError
from underset.units import (
    ABSENT,
    BOUNDS,
    EXAMPLES,
    NOT_GIVEN,
    UNITS,
    NotGiven,
    Quantity,
    in_unit,
    parse_quantity,
    pointed,
    quantity,
    si_unit,
    write_quantity,
)

# Our spelling -> the spelling of Pint, a units library of its own; only tests use it.
PINT = {
    "°": "degree", "deg": "degree", "rad": "radian", "in": "inch", "ft": "foot", "lb": "pound",
    "t": "metric_ton", "lbf": "pound_force", "ft/min": "foot/minute", "lbf/in": "pound_force/inch",
    "N m/deg": "newton*meter/degree", "kN m/deg": "kilonewton*meter/degree",
    "N m/rad": "newton*meter/radian", "min": "minute", "h": "hour", "days": "day",
    "years": "year",
}  # fmt: skip
SI = {
    "length": "meter", "mass": "kilogram", "force": "newton", "angle": "radian",
    "speed": "meter/second", "stiffness": "newton/meter", "twist": "newton*meter/radian",
    "share": "dimensionless", "duration": "second",
}  # fmt: skip


@pytest.fixture(scope="module")
def registry():
    return pint.UnitRegistry()


@pytest.mark.parametrize("unit", [u for u in UNITS if u not in ("%", "months")])
def test_factor_agrees_with_pint(registry, unit: str) -> None:
    kind, factor = UNITS[unit]
    theirs = registry.Quantity(1.0, PINT.get(unit, unit)).to(SI[kind]).magnitude
    assert factor == pytest.approx(theirs, rel=1e-12)


def test_a_month_is_a_twelfth_of_a_mean_year_and_a_percent_a_hundredth() -> None:
    assert UNITS["months"][1] * 12 == pytest.approx(UNITS["years"][1], rel=1e-12)
    assert UNITS["%"][1] == 0.01


@pytest.mark.parametrize(
    ("text", "kind", "value", "tol"),
    [
        ("2600 mm", "length", 2.6, 0.0),
        ("102.4 in", "length", 102.4 * 0.0254, 0.0),
        ("810 ± 10 kg", "mass", 810.0, 10.0),
        ("810 +/- 10 kg", "mass", 810.0, 10.0),
        ("810 kg ± 10 kg", "mass", 810.0, 10.0),
        ("810 kg ± 10", "mass", 810.0, 10.0),
        ("1786 lb", "mass", 1786 * 0.45359237, 0.0),
        ("-40mm", "length", -0.04, 0.0),
        ("+1.5e3 mm", "length", 1.5, 0.0),
        ("4 °", "angle", math.radians(4.0), 0.0),
        ("60 ± 2 %", "share", 0.6, 0.02),
        ("12 months", "duration", 12 * 30.4375 * 86400, 0.0),
        ("20 kN m/deg", "twist", 20_000 * 180 / math.pi, 0.0),
    ],
)
def test_ways_to_write_a_quantity(text: str, kind: str, value: float, tol: float) -> None:
    q = parse_quantity(text, kind)
    assert (q.value, q.tol) == pytest.approx((value, tol), rel=1e-12)
    assert str(q) == text


@pytest.mark.parametrize("kind", sorted(BOUNDS))
@pytest.mark.parametrize("bare", ["12", "12.5", "-3", "1e3", 12, 12.5, True, None, "", "12 ± 3"])
def test_a_bare_number_is_refused_with_both_ways_to_write_it(kind: str, bare: object) -> None:
    with pytest.raises(InputError) as caught:
        parse_quantity(bare, kind, field="sizes.wheelbase")
    assert caught.value.field == "sizes.wheelbase"
    assert EXAMPLES[kind] in caught.value.allowed


@pytest.mark.parametrize("kind", sorted(BOUNDS))
def test_the_examples_shown_can_be_read(kind: str) -> None:
    shown = EXAMPLES[kind].replace('"', "").split(" or ")
    assert len(shown) == 2
    assert all(parse_quantity(text, kind).value > 0.0 for text in shown)


@pytest.mark.parametrize(
    "text",
    ["12 furlong", "12 kg", "12 mm ± 1 cm", "12 ± -1 mm", "mm", "12 mm 3", "1,200 mm", "nan mm",
     "inf mm", "1e400 mm", "12 mm" + " " * 200 + "!", "1" * 90 + " mm", "12\x00mm", "0x10 mm"],
)  # fmt: skip
def test_what_is_no_length_is_refused(text: str) -> None:
    with pytest.raises(InputError):
        parse_quantity(text, "length")


@pytest.mark.parametrize("kind", sorted(BOUNDS))
def test_nothing_beyond_the_bounds_of_the_trade(kind: str) -> None:
    unit = "%" if kind == "share" else "h" if kind == "duration" else si_unit(kind)
    far = in_unit(BOUNDS[kind], unit) * 1.01
    with pytest.raises(InputError, match="greater than"):
        parse_quantity(f"{far:.6f} {unit}", kind)
    assert parse_quantity(f"{far / 1.02:.6f} {unit}", kind).value <= BOUNDS[kind]


def test_long_text_is_refused_at_once() -> None:
    with pytest.raises(InputError):
        parse_quantity("1 a" + " " * 500_000 + "!", "length")


def test_not_given_none_and_zero_are_three_different_things() -> None:
    zero = parse_quantity("0 mm", "length")
    assert len({repr(x) for x in (zero, NOT_GIVEN, ABSENT)}) == 3
    assert NOT_GIVEN not in (zero, ABSENT)
    assert zero != ABSENT
    assert not NOT_GIVEN and not ABSENT
    assert str(NotGiven("tape too short")) == "not given: tape too short"


def test_quantity_from_a_number_reads_back_as_itself() -> None:
    q = quantity(102.4, "in", 0.1, source="tape")
    assert parse_quantity(q.text, "length") == Quantity(q.value, q.tol)
    assert (q.low, q.high) == pytest.approx((102.3 * 0.0254, 102.5 * 0.0254))
    assert write_quantity(q) == {"value": "102.4 ± 0.1 in", "source": "tape"}
    assert write_quantity(quantity(2.0, "m")) == "2 m"
    assert write_quantity(ABSENT) == "none"


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("412,5 mm", "412.5 mm"),
        ("1,25 m ± 0,01 m", "1.25 m ± 0.01 m"),
        ("2,6350 m", "2.6350 m"),
        ("412.5 mm", "412.5 mm"),
        ("1,200 mm", "1,200 mm"),
        ("1,2,5 mm", "1,2,5 mm"),
        ("1.200,5 mm", "1.200,5 mm"),
        ("412,5", "412,5"),
        ("in stock, 2,5 of them", "in stock, 2,5 of them"),
        ("3,5 t crane", "3,5 t crane"),
    ],
)
def test_a_decimal_comma_is_read_where_it_can_be_nothing_else(typed: str, meant: str) -> None:
    assert pointed(typed) == meant
