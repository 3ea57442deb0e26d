"""The order of spots in a window does not hang on rounding: moved or turned, it is the same."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from underset.geometry import Piece, SpotWindow
from underset.planner.candidates import closer_spots, spots
from underset.setting.place import HEADINGS, NOSE_IN, TAIL_IN

SLIGHT = st.sampled_from((0.0, 1e-16, -3e-16, 4e-16))
LENGTHS = st.lists(st.integers(10, 400), min_size=1, max_size=4)


def window_of(start: int, lengths: list[int], shift: float = 0.0) -> SpotWindow:
    """A window of runs of teeth, ends on whole millimetres but for `shift`."""
    ends = [start + sum(lengths[:i]) for i in range(len(lengths) + 1)]
    places = [e / 1000.0 + shift for e in ends]
    pieces = tuple(Piece(a, b, ()) for a, b in pairwise(places))
    return SpotWindow(places[0], places[-1], pieces)


def turned(window: SpotWindow) -> SpotWindow:
    """The window of the bay turned round: every spot with the other sign."""
    pieces = tuple(Piece(-p.high, -p.low, ()) for p in reversed(window.pieces))
    return SpotWindow(-window.high, -window.low, pieces)


@settings(max_examples=200, deadline=None)
@given(st.integers(-2000, 2000), LENGTHS, st.integers(-3000, 3000), SLIGHT)
def test_a_shifted_window_has_its_spots_shifted(
    start: int, lengths: list[int], shift: int, slight: float
) -> None:
    by = shift / 1000.0 + 0.1234561 + slight
    for rule in (spots, closer_spots):
        for heading in HEADINGS:
            here = rule(window_of(start, lengths), heading)
            there = rule(window_of(start, lengths, by), heading)
            assert there == pytest.approx([s + by for s in here], abs=1e-7)


@settings(max_examples=200, deadline=None)
@given(st.integers(-2000, 2000), LENGTHS)
def test_the_bay_turned_round_and_the_vehicle_with_it_give_the_same_spots(
    start: int, lengths: list[int]
) -> None:
    """Nose-in at s is tail-in at -s of the bay turned round."""
    window = window_of(start, lengths)
    for rule in (spots, closer_spots):
        here, there = rule(window, NOSE_IN), rule(turned(window), TAIL_IN)
        assert there == pytest.approx([-s for s in here], abs=1e-7)


def test_of_two_as_far_the_nose_less_far_ahead_comes_first() -> None:
    """0.9 - 0.7 and 0.7 - 0.5 differ in the last digit."""
    window = SpotWindow(0.3, 1.1, (Piece(0.3, 1.1, ()),))
    assert spots(window, NOSE_IN) == pytest.approx((0.7, 0.5, 0.9))
    assert spots(window, TAIL_IN) == pytest.approx((0.7, 0.9, 0.5))
