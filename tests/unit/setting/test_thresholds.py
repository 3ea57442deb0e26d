"""Thresholds that a shop may change are read from its policy."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.judge_cases import bay, plain_case, policy_with
from underset.planner.search import search
from underset.records.policy import DEFAULT_POLICY
from underset.setting.evaluate import evaluate
from underset.setting.result import Status

PLAIN = plain_case()
SETTING = search([PLAIN]).ranked()[0].evaluation.setting


def heavy_end(longer: float, **figures: float) -> Status:
    """The heavier front on arms longer by so much than the rear ones."""
    front, rear = (0, 1), (2, 3)
    at_front = front if SETTING.heading == "nose-in" else rear
    arms = tuple(
        replace(a, reach_high=a.reach_high + longer) if i in at_front else a
        for i, a in enumerate(bay().arms)
    )
    case = replace(PLAIN, bay=bay(arms=arms), policy=policy_with(**figures))
    return next(c.status for c in evaluate(case, SETTING).checks if c.name == "heavy_end")


@pytest.mark.parametrize(
    ("longer", "figures", "told"),
    [
        (0.049, {}, Status.HOLDS),
        (0.051, {}, Status.WATCH),
        (0.051, {"heavy_arms": 0.06}, Status.HOLDS),
        (0.049, {"heavy_arms": 0.04}, Status.WATCH),
        (0.2, {"heavy_share": 0.2}, Status.HOLDS),
        (-0.2, {}, Status.HOLDS),
    ],
)
def test_the_shop_says_what_counts_as_equal_arms_and_an_even_share(
    longer: float, figures: dict[str, float], told: Status
) -> None:
    assert heavy_end(longer, **figures) is told


def test_both_are_shop_policy() -> None:
    for name in ("heavy_arms", "heavy_share"):
        assert DEFAULT_POLICY.threshold(name).source == "shop policy"
