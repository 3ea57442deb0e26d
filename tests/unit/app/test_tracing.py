"""Points read off a picture: where they lie, and that the tolerance holds for any slip."""

from __future__ import annotations

import cmath
import random
import re

import pytest

from underset.app.tracing import (
    CORNERS,
    Marks,
    Ruler,
    fields_of,
    read_marks,
    read_ruler,
    traced,
)
from underset.errors import InputError
from underset.units import parse_quantity, quantity

WHEELBASE = 2.6
TRUE = {"lf": (0.8, 0.6), "rf": (0.8, -0.6), "lr": (2.0, 0.58), "rr": (2.0, -0.58)}


def picture(scale: float = 250.0, turn: float = 0.0, *, below: bool = False) -> dict[str, complex]:
    """Exact marks of a vehicle: pixels a metre, turned on the page, seen from above or below."""
    way = -1.0 if below else 1.0

    def place(aft: float, side: float) -> complex:
        return 500 + 400j + cmath.rect(scale, turn) * complex(aft, way * side)

    marks = {"front": place(0, 0), "rear": place(WHEELBASE, 0), "left": place(1.0, 0.9)}
    check = {"check_a": place(0, 0.75), "check_b": place(0, -0.75)}
    return marks | check | {c: place(*TRUE[c]) for c in CORNERS}


def ruler(check: str = "", kind: str = "drawing", wheelbase: str = "2600 ± 4 mm") -> Ruler:
    known = parse_quantity(check, "length") if check else None
    return Ruler(parse_quantity(wheelbase, "length"), kind, known)


@pytest.mark.parametrize("below", [False, True])
@pytest.mark.parametrize("turn", [0.0, 0.4, 1.5708, 3.0, -2.2])
def test_points_lie_where_they_are_however_the_picture_is_turned(turn: float, below: bool) -> None:
    trace = traced(Marks(picture(turn=turn, below=below), 1.0), ruler())
    assert trace.from_below is below
    for point in trace.points:
        assert (point.aft, point.side) == pytest.approx(TRUE[point.corner], abs=1e-9)


def test_the_tolerance_holds_for_every_slip_of_the_marks_and_the_tape() -> None:
    draw, click, worst = random.Random(7), 2.0, 0.0
    for _ in range(400):
        exact = picture(scale=120.0, turn=draw.uniform(-3, 3))
        slipped = {n: p + cmath.rect(click, draw.uniform(0, 6.3)) for n, p in exact.items()}
        wheelbase = quantity(2600 + draw.choice((-4, 4)), "mm", 4.0)
        trace = traced(Marks(slipped, click), Ruler(wheelbase, "drawing"))
        for p in trace.points:
            aft, side = TRUE[p.corner]
            assert abs(p.aft - aft) <= p.tol_aft
            assert abs(p.side - side) <= p.tol_side
            worst = max(worst, abs(p.aft - aft) / p.tol_aft)
    assert worst > 0.3  # not so wide that it says nothing


def test_the_parts_of_the_tolerance_are_the_formulas() -> None:
    trace = traced(Marks(picture(), 1.0), ruler())
    z = complex(2.0, 0.58) / WHEELBASE
    click = 2.604 * (1 + abs(1 - z) + abs(z)) / (250 * WHEELBASE)
    rear = trace.points[2]
    assert rear.tol_aft == pytest.approx(click + 0.005 * abs(z) * 2.604 + z.real * 0.004)
    assert rear.tol_side == pytest.approx(click + 0.005 * abs(z) * 2.604 + z.imag * 0.004)
    assert trace.share == 0.005


def test_finer_marks_and_a_better_picture_narrow_the_tolerance() -> None:
    wide = traced(Marks(picture(), 4.0), ruler(kind="photo")).points[0].tol_aft
    mid = traced(Marks(picture(), 1.0), ruler(kind="photo")).points[0].tol_aft
    fine = traced(Marks(picture(), 1.0), ruler(kind="drawing")).points[0].tol_aft
    assert wide > mid > fine > 0.0


def test_a_checked_distance_says_how_far_the_picture_is_trusted() -> None:
    good = traced(Marks(picture(), 0.5), ruler("1500 ± 1 mm", "photo"))
    assert good.checked == pytest.approx(1.5)
    assert 0.002 <= good.share < 0.03
    warped = traced(Marks(picture(), 0.5), ruler("1450 mm", "drawing"))
    assert warped.share > 1.5 / 1.45 - 1.0


def test_a_picture_far_off_its_check_is_refused() -> None:
    with pytest.raises(InputError, match="warped") as refused:
        traced(Marks(picture(), 0.5), ruler("1200 mm"))
    assert refused.value.field == "check"


def swapped(a: str, b: str) -> dict[str, complex]:
    marks = picture()
    return marks | {a: marks[b], b: marks[a]}


@pytest.mark.parametrize(
    ("marks", "field"),
    [
        (swapped("lf", "rf"), "lf"),
        (swapped("lf", "lr") | {"rf": picture()["rf"]}, "lf"),
        (picture(scale=20.0), "rear"),
        (picture() | {"left": picture()["front"] + 3}, "left"),
        ({n: p for n, p in picture().items() if n != "rr"}, "rr"),
        (picture() | {"lf": complex(float("nan"), 0)}, "lf"),
        (picture() | {"lf": complex(1e9, 0)}, "lf"),
    ],
    ids=["sides swapped", "ends swapped", "too small", "no side", "one missing", "nan", "far off"],
)
def test_marks_that_make_no_vehicle_are_refused(marks: dict[str, complex], field: str) -> None:
    with pytest.raises(InputError) as refused:
        traced(Marks(marks, 1.0), ruler())
    assert refused.value.field == field


@pytest.mark.parametrize(
    ("click", "told", "field"),
    [(0.0, ruler(), "click"), (99.0, ruler(), "click"), (1.0, ruler(kind="dream"), "kind")],
)
def test_a_ruler_that_cannot_be_is_refused(click: float, told: Ruler, field: str) -> None:
    with pytest.raises(InputError) as refused:
        traced(Marks(picture(), click), told)
    assert refused.value.field == field


def test_figures_for_the_form_are_whole_mm_with_the_tolerance_rounded_up() -> None:
    trace = traced(Marks(picture(), 1.0), ruler())
    fields = fields_of(trace)
    assert set(fields) == {f"{c}_{w}" for c in CORNERS for w in ("aft", "side")}
    for point in trace.points:
        text = fields[f"{point.corner}_aft"]
        assert re.fullmatch(r"-?\d+ ± \d+ mm", text)
        read = parse_quantity(text, "length")
        assert read.low <= point.aft - point.tol_aft + 1e-9
        assert read.high >= point.aft + point.tol_aft - 1e-9


def test_marks_come_from_a_page_as_text() -> None:
    sent = {
        "click": "2",
        "wheelbase": "102.4 in",
        "kind": "scan",
        "check": "",
        "front_x": "1.5",
        "front_y": "2",
    }
    assert read_marks(sent).places == {"front": 1.5 + 2j}
    assert read_ruler(sent).wheelbase.value == pytest.approx(2.60096)
    with pytest.raises(InputError) as refused:
        read_marks(sent | {"front_y": "two"})
    assert refused.value.field == "front_y"
