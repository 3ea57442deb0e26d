"""A vehicle of which nobody knows the weight: its figures are void, not zero."""

from __future__ import annotations

from dataclasses import replace

from tests.judge_cases import plain_case
from underset.planner.search import search
from underset.setting.evaluate import evaluate
from underset.setting.result import Status


def test_every_state_without_a_weight_is_marked_as_not_known() -> None:
    case = plain_case()
    setting = search([case]).ranked()[0].evaluation.setting
    void = evaluate(replace(case, vehicle=replace(case.vehicle, kerb=None)), setting)
    assert void.states
    for state in void.states:
        assert not state.known
        residuals = state.residuals
        assert (residuals.force, residuals.moment_x, residuals.moment_y) == (0.0, 0.0, 0.0)
        assert state.status is Status.NOT_KNOWN
