"""Grown outlines against Shapely's buffers: never too small, and no larger than they must be."""

from __future__ import annotations

from math import cos, pi, sin

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import Polygon as Area

from underset.errors import InputError
from underset.geometry import grown

SQUARE = ((0.0, 0.0), (1.0, 0.0), (1.0, 0.5), (0.0, 0.5))
CHANNEL = (
    *((0.0, 0.0), (2.0, 0.0), (2.0, 1.0), (1.5, 1.0)),
    *((1.5, 0.3), (0.5, 0.3), (0.5, 1.0), (0.0, 1.0)),
)
SLIT = (
    *((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.505, 1.0)),
    *((0.505, 0.2), (0.5, 0.2), (0.5, 1.0), (0.0, 1.0)),
)
NEEDLE = ((0.0, 0.0), (1.0, 0.001), (0.0, 0.002))


def star(radii: list[float]) -> tuple[tuple[float, float], ...]:
    step = 2.0 * pi / len(radii)
    return tuple((r * cos(i * step), r * sin(i * step)) for i, r in enumerate(radii))


def test_a_rectangle_grows_by_the_same_all_round() -> None:
    wanted = Area(((-0.1, -0.1), (1.1, -0.1), (1.1, 0.6), (-0.1, 0.6)))
    assert Area(grown(SQUARE, 0.1)).symmetric_difference(wanted).area < 1e-12
    assert Area(grown(SQUARE[::-1], 0.1)).equals(Area(grown(SQUARE, 0.1)))


@pytest.mark.parametrize("outline", [SQUARE, CHANNEL, SLIT, NEEDLE])
@pytest.mark.parametrize("by", [0.001, 0.01, 0.2, 0.6])
def test_it_holds_every_place_within_reach(
    outline: tuple[tuple[float, float], ...], by: float
) -> None:
    found = Area(grown(outline, by))
    assert found.is_valid
    assert found.buffer(1e-9).contains(Area(outline).buffer(by, quad_segs=32))


def test_a_channel_that_stays_open_is_grown_exactly() -> None:
    want = Area(CHANNEL).buffer(0.05, join_style="mitre")
    assert Area(grown(CHANNEL, 0.05)).symmetric_difference(want).area < 1e-12


@given(st.lists(st.floats(0.05, 2.0), min_size=3, max_size=14), st.floats(1e-6, 0.3))
def test_any_outline(radii: list[float], by: float) -> None:
    outline = star(radii)
    area = Area(outline)
    found = Area(grown(outline, by))
    assert found.is_valid
    assert found.buffer(1e-9).contains(area.buffer(by, quad_segs=16))
    assert area.convex_hull.buffer(by * 4.0, join_style="mitre").buffer(1e-9).contains(found)


def test_what_is_no_outline_is_refused() -> None:
    with pytest.raises(InputError):
        grown(SQUARE[:2], 0.1)
    with pytest.raises(InputError):
        grown(SQUARE, -0.1)
