"""Residuals are those of the loads that are told: they cannot be nothing whatever is told."""

from __future__ import annotations

import pytest

from tests import judge_cases as made
from underset.setting.evaluate import evaluate
from underset.setting.result import StateResult
from underset.statics import Item
from underset.units import G0

HALF_LENGTH, HALF_WIDTH = 0.74, 0.72  # pads of the plain case about their middle


def at(x: float, y: float) -> StateResult:
    """1,000 kg at a place from the middle of the pads."""
    kerb = Item("kerb vehicle", 1000.0, 0.0, (-1.34 + x, y, 0.55), (0.0, 0.0, 0.0))
    case = made.plain_case(made.vehicle(kerb))
    return evaluate(case, made.placed(case)).states[0]


@pytest.mark.parametrize("place", [(0.1, 0.05), (0.5, 0.4)])
def test_four_pads_and_three_balance(place: tuple[float, float]) -> None:
    """The second would have the far pad pull: three pads carry it, and balance as well."""
    state = at(*place)
    assert (min(p.nominal for p in state.pads) == 0.0) == (place == (0.5, 0.4))
    left = state.residuals
    assert (left.force, left.moment_x, left.moment_y) == pytest.approx((0.0, 0.0, 0.0), abs=1e-6)


def test_a_weight_outside_the_pads_balances_nowhere_and_says_so() -> None:
    """0.94 m ahead of the middle of pads 0.74 m ahead: each front pad would bear W (1 + 94/74) / 4,
    the rear ones pull; cut at nothing, the front ones are W (94/74 - 1) / 2 too many.
    """
    state = at(0.94, 0.0)
    assert state.residuals.force == pytest.approx(1000.0 * G0 * (0.94 / 0.74 - 1.0) / 2, rel=1e-6)
