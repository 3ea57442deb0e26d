"""A push of the step counts where a limit must not be passed. Figures by hand.

Four pads at (+-0.74, +-0.72) m from their middle carry 1,240 kg with the balance in that middle:
3,040.1 N each. A force of 1,000 N straight down over one pad puts 1/4 + 1/4 + 1/4 of itself on it,
so 750 N; one of 1,000 N to the left, 0.5 m over the pads, puts 1,000 x 0.5 / (4 x 0.72) = 173.6 N
on each pad on the left.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests import judge_cases as made
from underset.setting.evaluate import Case, evaluate
from underset.setting.result import Check
from underset.setting.state import PushCase
from underset.statics import Item

EACH = 1240.0 * 9.80665 / 4


def check(push: PushCase, name: str, of: float = 1240.0) -> Check:
    kerb = Item("kerb vehicle", of, 0.0, (-1.34, 0.0, 0.55), (0.0, 0.0, 0.0))
    policy = made.policy_with(level_pad=0.0, level_carriage=0.0)
    case: Case = made.plain_case(made.vehicle(kerb), made.bay(rated=1300.0), policy=policy)
    (state,) = case.states
    case = replace(case, states=(state, replace(state, name="push", pushes=(push,))))
    pushed = evaluate(case, made.placed(case)).states[1]
    return next(c for c in pushed.checks if c.name == name)


DOWN = PushCase("weight put down", 1000.0, 0.3, (0.0, 0.0, -1.0), (-0.60, 0.72))
LEFT = PushCase("pull at a bar", 1000.0, 0.21 + 0.5, (0.0, 1.0, 0.0), (-1.34, 0.9))
ANY = replace(LEFT, direction=None, up=0.21 - 0.5)


@pytest.mark.parametrize(
    ("push", "more"),
    [
        (DOWN, 750.0),
        (LEFT, 500.0 / (4 * 0.72)),
        (ANY, 500.0 * ((1 / (4 * 0.74)) ** 2 + (1 / (4 * 0.72)) ** 2) ** 0.5),
    ],
)
def test_the_arm_carries_what_the_step_puts_on_it(push: PushCase, more: float) -> None:
    assert check(push, "arm_load").demand == pytest.approx(EACH + more, abs=0.1)
    assert check(push, "adapter_load").demand == pytest.approx(EACH + more, abs=0.1)


def test_the_lift_carries_what_presses_down_and_nothing_of_a_push_sideways() -> None:
    assert check(DOWN, "rated_load").demand == pytest.approx(4 * EACH + 1000.0, abs=0.1)
    assert check(LEFT, "rated_load").demand == pytest.approx(4 * EACH, abs=0.1)
