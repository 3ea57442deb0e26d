"""Unions of closed intervals, by hand."""

from __future__ import annotations

import pytest

from underset.geometry import contains, intersect, measure, nearest, subtract, union


def test_overlapping_and_touching_intervals_become_one() -> None:
    assert union([(2.0, 3.0), (0.0, 1.0), (1.0, 1.5), (2.5, 2.6)]) == ((0.0, 1.5), (2.0, 3.0))


def test_an_inverted_interval_is_none_and_a_point_is_one() -> None:
    assert union([(1.0, 0.0)]) == ()
    assert union([(1.0, 1.0)]) == ((1.0, 1.0),)


def test_intersection_keeps_a_single_shared_point() -> None:
    assert intersect(((0.0, 1.0), (2.0, 4.0)), ((1.0, 3.0),)) == ((1.0, 1.0), (2.0, 3.0))
    assert intersect(((0.0, 1.0),), ((1.1, 2.0),)) == ()
    assert intersect((), ((0.0, 1.0),)) == ()


@pytest.mark.parametrize(
    ("cut", "left"),
    [
        (((0.4, 0.6),), ((0.0, 0.4), (0.6, 1.0))),
        (((-1.0, 0.5),), ((0.5, 1.0),)),
        (((0.5, 2.0),), ((0.0, 0.5),)),
        (((-1.0, 2.0),), ()),
        (((0.0, 1.0),), ((0.0, 0.0), (1.0, 1.0))),
        (((-1.0, 0.0), (1.0, 2.0)), ((0.0, 1.0),)),
        (((0.5, 0.5),), ((0.0, 1.0),)),
        (((-1.0, 1.0),), ((1.0, 1.0),)),
    ],
)
def test_taking_open_intervals_away_leaves_their_ends(
    cut: tuple[tuple[float, float], ...], left: tuple[tuple[float, float], ...]
) -> None:
    assert subtract(((0.0, 1.0),), cut) == left


def test_measure_and_membership() -> None:
    u = ((0.0, 1.0), (2.0, 2.5))
    assert measure(u) == 1.5
    assert contains(u, 1.0)
    assert not contains(u, 1.01)
    assert contains(u, 1.01, slack=0.02)
    assert measure(()) == 0.0
    assert not contains((), 0.0)


def test_nearest_point() -> None:
    u = ((0.0, 1.0), (2.0, 2.5))
    assert nearest(u, 0.3) == 0.3
    assert nearest(u, 1.4) == 1.0
    assert nearest(u, 1.5) == 1.0
    assert nearest(u, 9.0) == 2.5
    assert nearest((), 0.0) is None


def test_an_inverted_interval_hides_none_behind_it() -> None:
    assert union([(0.0, -1.0), (1.0, 2.0)]) == ((1.0, 2.0),)
