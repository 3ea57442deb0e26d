"""The judge: one evaluator of a setting in every state of its job.

Input: numbers of vehicle, bay and shelf, policy, the book's standing, a setting and its states.
Output: a complete frozen Evaluation. Planner, job, studies, card, web and command line all use it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from underset.errors import InputError
from underset.records.policy import Policy
from underset.setting import clear, loads, placing
from underset.setting.numbers import BayNumbers, PointSetNumbers, Shelf, VehicleNumbers
from underset.setting.place import Stop
from underset.setting.result import (
    Check,
    Evaluation,
    PadLoad,
    Residuals,
    Setting,
    StateResult,
)
from underset.setting.standing import Standing
from underset.setting.state import State


@dataclass(frozen=True, slots=True)
class Case:
    """One vehicle, one bay with the shelf it may use, the rules and the papers of the day."""

    vehicle: VehicleNumbers
    bay: BayNumbers
    shelf: Shelf
    policy: Policy
    standing: Standing
    intake: tuple[tuple[str, str], ...]
    states: tuple[State, ...]
    job: str | None = None

    def point_set(self, name: str) -> PointSetNumbers:
        """The point set of that id."""
        return next(p for p in self.vehicle.point_sets if p.id == name)


def evaluate(case: Case, setting: Setting) -> Evaluation:
    """Judge a setting in every state. Deterministic; raises InternalError on figures not finite."""
    first = tuple(_setting_checks(case, setting))
    states = tuple(_states(case, setting))
    head = replace(states[0], checks=first + states[0].checks)
    named = tuple(_named(s) for s in (head, *states[1:]))
    return Evaluation(setting, named)


def _named(state: StateResult) -> StateResult:
    return replace(state, checks=tuple(replace(c, state=state.name) for c in state.checks))


def _setting_checks(case: Case, setting: Setting) -> Iterator[Check]:
    points = case.point_set(setting.point_set)
    vehicle, bay, policy = case.vehicle, case.bay, case.policy
    yield from placing.placing_checks(setting, vehicle, points, bay, policy)
    yield from placing.stack_checks(setting, vehicle, points, bay, case.shelf, policy)
    yield from clearance(case, setting)
    yield _carriages(case)
    yield from placing.paper_checks(vehicle, points, bay, policy, case.standing)
    yield from placing.intake_checks(case.intake)


def clearance(case: Case, setting: Setting, *, ways: bool = True) -> Iterator[Check]:
    """All clearance checks of a setting."""
    plan = clear.layout(setting, case.vehicle, case.bay, case.shelf)
    yield from clear.clearance_checks(plan, case.vehicle, case.bay, case.policy, ways=ways)
    yield from clear.door_checks(plan, case.vehicle, case.bay, case.policy, None)
    yield clear.overhead_check(plan, case.vehicle, case.bay, case.policy, case.states)


def _carriages(case: Case) -> Check:
    """Measured height difference of the carriages, or the tolerance the shop works to."""
    policy, bay = case.policy, case.bay
    known = bay.carriage_difference
    difference = policy["level_carriage"] if known is None else known
    limit = min(policy["carriage_stop"], policy["carriage_tilt"] * bay.carriage_span)
    told = "tolerance of the shop" if known is None else "measured"
    return placing.at_most(
        "carriage_level", difference, limit, inputs=(("difference from", told, ""),)
    )


def _states(case: Case, setting: Setting) -> Iterator[StateResult]:
    pose = Stop(setting.heading, setting.spot, setting.sideways, setting.yaw).pose
    if case.vehicle.kerb is None:
        yield from (_unknown(s) for s in case.states)
        return
    try:
        foot = loads.footing(case.vehicle, case.bay, case.shelf, case.policy, setting)
    except InputError as error:
        refusal = loads.in_line_refusal(error)
        yield from (replace(_unknown(s), checks=(refusal,)) for s in case.states)
        return
    plan = clear.layout(setting, case.vehicle, case.bay, case.shelf)
    for state in case.states:
        result = loads.judge_state(state, foot, case.vehicle, case.bay, case.policy, setting, pose)
        if state.doors:
            doors = clear.door_checks(plan, case.vehicle, case.bay, case.policy, state)
            result = replace(result, checks=(*result.checks, *doors))
        yield result


_NOTHING = PadLoad(0.0, 0.0, 0.0)
_ORIGIN = (0.0, 0.0, 0.0)


def _unknown(state: State) -> StateResult:
    return StateResult(
        state.name, state.label, 0.0, 0.0, 0.0, _ORIGIN, _ORIGIN, _ORIGIN, _ORIGIN,
        (_NOTHING,) * 4, (), Residuals(0.0, 0.0, 0.0), loads.unknown_loads(), known=False,
    )  # fmt: skip
