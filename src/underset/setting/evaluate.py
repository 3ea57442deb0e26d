"""The judge: one evaluator of a setting in every state of its job.

Input: numbers of vehicle, bay and shelf, policy, the book's standing, a setting and its states.
Output: a complete frozen Evaluation. Planner, job, studies, card, web and command line all use it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

from underset.errors import InputError
from underset.records.policy import Policy
from underset.setting import clear, loads, papers, placing, stacks
from underset.setting.checks import at_most
from underset.setting.numbers import BayNumbers, PointSetNumbers, Shelf, VehicleNumbers
from underset.setting.result import (
    Check,
    Evaluation,
    PadLoad,
    Residuals,
    Setting,
    StateResult,
    Status,
    told_of,
)
from underset.setting.standing import Standing
from underset.setting.state import State
from underset.statics import Item


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


Kept = dict[object, Any]
"""What does not change while only the spot or the stacks of one case do, by what it hangs on."""
Memo = dict[int, tuple[Case, Kept]]
"""What is kept of each case of one search."""


def kept_of(case: Case, memo: Memo | None) -> Kept:
    """What is kept of this very case; the case is held too, so that its id stays its own."""
    if memo is None:
        return {}
    known = memo.get(id(case))
    if known is None:
        known = memo[id(case)] = (case, {})
    return known[1]


def evaluate(
    case: Case, setting: Setting, *, complete: bool = True, memo: Memo | None = None
) -> Evaluation:
    """Judge a setting in every state. Deterministic; raises InternalError on figures not finite.

    The way in of the arms is traced last, as the dearest check; with `complete` off it is left out:
    such a result may refuse, but is no permission until `with_ways` has completed it. `memo` keeps
    what does not change while only the spot moves.
    """
    kept = kept_of(case, memo)
    plan = clear.layout(setting, case.vehicle, case.bay, case.shelf, kept)
    head, *others = _states(case, setting, plan, kept)
    first = told_of(_setting_checks(case, setting, plan, kept), head.name)
    evaluation = Evaluation(setting, (replace(head, checks=first + head.checks), *others))
    return with_ways(case, evaluation, memo) if complete else evaluation


def stands_at(case: Case, setting: Setting, memo: Memo) -> bool:
    """Whether everything that depends on the spot still stands there, the ways in as well.

    What does not move with the vehicle (papers, pieces, its own weight) is not asked again.
    """
    return not any(
        c.status in (Status.STOPS, Status.NOT_KNOWN)
        for c in _moving_checks(case, setting, kept_of(case, memo))
    )


def _moving_checks(case: Case, setting: Setting, kept: Kept) -> Iterator[Check]:
    """One at a time, so that the first that stops spares the rest: ways in, the dearest, last."""
    vehicle, bay, policy = case.vehicle, case.bay, case.policy
    points = case.point_set(setting.point_set)
    plan = clear.layout(setting, vehicle, bay, case.shelf, kept)
    yield from placing.arm_checks(setting, points, bay, case.shelf, policy)
    yield from clear.clearance_checks(plan, vehicle, bay, policy, kept)
    yield from clear.door_checks(plan, vehicle, bay, policy, None)
    for state in _states(case, setting, plan, kept):
        yield from state.checks
    yield from clear.ways_in(plan, bay, policy["gap_arm"], kept, quick=True)


def with_ways(case: Case, evaluation: Evaluation, memo: Memo | None = None) -> Evaluation:
    """The evaluation completed by the way in of every arm."""
    kept = kept_of(case, memo)
    plan = clear.layout(evaluation.setting, case.vehicle, case.bay, case.shelf, kept)
    head = evaluation.states[0]
    named = told_of(clear.ways_in(plan, case.bay, case.policy["gap_arm"], kept), head.name)
    return replace(
        evaluation,
        states=(replace(head, checks=head.checks + named), *evaluation.states[1:]),
    )


def _setting_checks(
    case: Case, setting: Setting, plan: clear.Layout, kept: Kept
) -> Iterator[Check]:
    points = case.point_set(setting.point_set)
    vehicle, bay, policy = case.vehicle, case.bay, case.policy
    yield from placing.placing_checks(setting, vehicle, points, bay, policy, kept)
    yield from stacks.stack_checks(setting, vehicle, points, bay, case.shelf, policy)
    yield from _clearance(case, plan, kept)
    key = ("papers", points.id)
    if key not in kept:
        kept[key] = tuple(_papers(case, points))
    yield from kept[key]


def _papers(case: Case, points: PointSetNumbers) -> Iterator[Check]:
    """What is the same wherever the vehicle stands and whatever it stands on."""
    yield _carriages(case)
    yield from papers.paper_checks(case.vehicle, points, case.bay, case.policy, case.standing)
    yield from papers.intake_checks(case.intake, case.vehicle.air)


def _clearance(case: Case, plan: clear.Layout, kept: Kept) -> Iterator[Check]:
    vehicle, bay, policy = case.vehicle, case.bay, case.policy
    yield from clear.clearance_checks(plan, vehicle, bay, policy, kept)
    doors, overhead = ("doors", plan.pose), ("overhead", plan.setting.seat)
    if doors not in kept:
        kept[doors] = tuple(clear.door_checks(plan, vehicle, bay, policy, None))
    yield from kept[doors]
    if overhead not in kept:
        kept[overhead] = clear.overhead_check(plan, vehicle, bay, policy, case.states)
    yield kept[overhead]


def _carriages(case: Case) -> Check:
    """Measured height difference of the carriages, or the tolerance the shop works to."""
    policy, bay = case.policy, case.bay
    known = bay.carriage_difference
    difference = policy["level_carriage"] if known is None else known
    limit = min(policy["carriage_stop"], policy["carriage_tilt"] * bay.carriage_span)
    told = "tolerance of the shop" if known is None else "measured"
    return at_most("carriage_level", difference, limit, inputs=(("difference from", told, ""),))


def _states(case: Case, setting: Setting, plan: clear.Layout, kept: Kept) -> Iterator[StateResult]:
    if case.vehicle.kerb is None:
        for state in case.states:
            yield _unknown(state, loads.unknown_loads())
        return
    try:
        foot = loads.footing(case.vehicle, case.bay, case.shelf, case.policy, setting)
    except InputError as error:
        for state in case.states:
            yield _unknown(state, (loads.in_line_refusal(error),))
        return
    borne = iter(_judged(case, setting, foot, kept))
    for state in case.states:
        if not state.lifted:
            yield loads.on_the_floor(state, plan.pose)
            continue
        result = loads.state_result(next(borne), case.bay, plan.pose)
        doors = clear.door_checks(plan, case.vehicle, case.bay, case.policy, state)
        more = told_of(doors, state.name) if state.doors else ()
        yield replace(result, checks=(*result.checks, *more)) if more else result


def _judged(
    case: Case, setting: Setting, foot: loads.Footing, kept: Kept
) -> tuple[loads.Judged, ...]:
    key = (foot, tuple([(a.arm, a.stack_ids, a.turns) for a in setting.arms]))
    found: tuple[loads.Judged, ...] | None = kept.get(key)
    if found is None:
        borne = _borne(case, foot, kept)
        found = loads.judge_states(borne, foot, case.vehicle, case.bay, case.policy, setting)
        if case.vehicle.basis.estimated:
            found = _too_wide(case, setting, foot, found)
        found = kept[key] = tuple(
            [replace(j, checks=told_of(j.checks, j.state.name)) for j in found]
        )
    return found


def _borne(case: Case, foot: loads.Footing, kept: Kept) -> tuple[loads.Borne, ...]:
    """What the states put on the pads: the same for every stack under the same places."""
    key = (foot.pads, foot.forms, foot.edges, foot.warp, foot.up, foot.unsure)
    if key not in kept:
        kept[key] = loads.bear(case.states, foot, kept)
    found: tuple[loads.Borne, ...] = kept[key]
    return found


def _too_wide(
    case: Case, setting: Setting, foot: loads.Footing, found: tuple[loads.Judged, ...]
) -> tuple[loads.Judged, ...]:
    """Where mass or balance is an estimate, what only its far end stops is not known, not stopped.

    The middle of the estimate is judged beside it; the vehicle has to be weighed to tell.
    """
    middle = tuple(replace(s, items=tuple(map(_sure, s.items))) for s in case.states)
    sure = loads.bear(middle, foot)
    nominal = loads.judge_states(sure, foot, case.vehicle, case.bay, case.policy, setting)
    return tuple(
        replace(wide, checks=tuple(map(_told, wide.checks, middling.checks)))
        for wide, middling in zip(found, nominal, strict=True)
    )


def _sure(item: Item) -> Item:
    return Item(item.name, item.mass, 0.0, item.place)


def _told(wide: Check, sure: Check) -> Check:
    if wide.status is not Status.STOPS or sure.status is Status.STOPS or wide.name != sure.name:
        return wide
    return replace(wide, status=Status.NOT_KNOWN, note=("estimate too wide",))


_NOTHING = PadLoad(0.0, 0.0, 0.0)
_ORIGIN = (0.0, 0.0, 0.0)


def _unknown(state: State, checks: tuple[Check, ...]) -> StateResult:
    return StateResult(
        state.name, state.label, 0.0, 0.0, 0.0, _ORIGIN, _ORIGIN, _ORIGIN, _ORIGIN,
        (_NOTHING,) * 4, (), Residuals(0.0, 0.0, 0.0), told_of(checks, state.name), known=False,
    )  # fmt: skip
