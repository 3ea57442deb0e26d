"""The planner held to the batch's rule: the judge's own checks, restricted to those of the batch.

Windows, spots, stacks, seats and the evaluation itself are the planner's and the judge's; nothing
here knows a kernel.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date
from math import inf

import numpy as np

from underset.app import Wish, cases_for, open_workshop
from underset.geometry import SpotWindow
from underset.job.states import states_of
from underset.planner.candidates import Approach, setting_at, spot_windows_of, spots
from underset.planner.search import OF_THE_STACK, _key
from underset.planner.stacks import StackChoice, feasible, level_choices, seated
from underset.setting import (
    Case,
    Evaluation,
    Memo,
    Outcome,
    Status,
    Stop,
    evaluate,
    greatest_touch_seat,
    layout,
    standing_on_file,
    vehicle_numbers,
)
from underset.studies import batch_columns as at
from underset.studies.batch_build import BatchBay, bay_table
from underset.studies.fleet import Columns, Fleet
from underset.studies.fleet_records import vehicle_of

DAY = date(2026, 11, 20)


@dataclass(frozen=True)
class Expected:
    """What the planner says under the batch's rule."""

    outcome: Outcome
    watch: bool = False
    heading: str = ""
    window: tuple[float, float] = (0.0, 0.0)
    spot: float = 0.0
    slack: float = 0.0
    seat: float = 0.0
    stacks: tuple[tuple[str, ...], ...] = ()


def bay_cases() -> dict[str, Case]:
    """The sample workshop's bays, with some vehicle in them."""
    shop = open_workshop(None)
    return cases_for(shop, Wish("harbour-hatch"), standing_on_file(shop, DAY))


def tables(cases: dict[str, Case]) -> dict[str, BatchBay]:
    return {name: bay_table(case) for name, case in cases.items()}


def columns_of(count: int, seed: int = 5) -> Columns:
    return Fleet(count, seed).columns(0, count)


def case_of(bay: Case, columns: Columns, i: int) -> Case:
    """Row i of a fleet, read as a record, in a bay."""
    vehicle = vehicle_numbers(f"v{i}", vehicle_of(columns, i, DAY), bay.policy)
    vehicle = replace(vehicle, doors=(), parts=())
    return replace(bay, vehicle=vehicle, states=states_of(vehicle, None), job=None)


def restricted(evaluation: Evaluation) -> Evaluation:
    """The evaluation with the checks of the batch alone."""
    head = evaluation.states[0]
    kept = tuple(c for c in head.checks if c.name in at.CHECKED)
    return replace(evaluation, states=(replace(head, checks=kept),))


def expected(case: Case) -> Expected:
    """The best window by the planner's key, each window standing for its first fit."""
    firsts, unclear = [], False
    memo: Memo = {}
    headings = ("nose-in", "tail-in") if case.bay.approach == "either way" else ("nose-in",)
    for heading in headings:
        approach = Approach(case, heading, case.vehicle.point_sets[0])
        for window in spot_windows_of(approach):
            for fit, choice in _fits(approach, window, memo):
                if fit.status is Status.NOT_KNOWN:
                    unclear = True
                    continue
                firsts.append((_key(fit, choice.pieces), fit))
                break
    if not firsts:
        return Expected(Outcome.INCOMPLETE if unclear else Outcome.NONE)
    best = min(firsts, key=lambda f: f[0])[1]
    s = best.setting
    stacks = tuple(a.stack_ids for a in s.arms)
    watch = best.status is Status.WATCH
    return Expected(
        Outcome.FOUND, watch, s.heading, s.window, s.spot, best.least_slack, s.seat, stacks
    )


def _fits(
    approach: Approach, window: SpotWindow, memo: Memo
) -> Iterator[tuple[Evaluation, StackChoice]]:
    for spot in spots(window, approach.heading):
        for together in _choices(approach, window, spot):
            judged = [(_judged(approach, window, (spot, c), memo), c) for c in together]
            fit = [x for x in judged if x[0].status is not Status.STOPS]
            yield from sorted(fit, key=lambda x: _key(x[0], x[1].pieces))
            if any(_beyond_stacks(e) for e, _ in judged):
                break


def _beyond_stacks(evaluation: Evaluation) -> bool:
    """Whether something stops that no other stack would change."""
    stops = {c.name for c in evaluation.checks if c.status is Status.STOPS}
    return bool(stops - OF_THE_STACK)


def _judged(
    approach: Approach, window: SpotWindow, at_spot: tuple[float, StackChoice], memo: Memo
) -> Evaluation:
    stop = Stop(approach.heading, at_spot[0])
    setting = setting_at(approach, stop, window, at_spot[1])
    assert setting is not None
    return restricted(evaluate(approach.case, setting, complete=False, memo=memo))


def _choices(approach: Approach, window: SpotWindow, spot: float) -> Iterator[list[StackChoice]]:
    case, points = approach.case, approach.points
    easiest = next(_like(approach, inf), None)
    if easiest is None:
        return
    stop = Stop(approach.heading, spot)
    first = setting_at(approach, stop, window, easiest)
    if first is None:
        return
    gap = case.policy["gap_arm"]
    greatest = greatest_touch_seat(layout(first, case.vehicle, case.bay, case.shelf), gap)
    roomy = greatest - gap
    for number, choice in enumerate(_like(approach, greatest)):
        here = seated(choice, points, roomy, greatest)
        assert here is not None
        together = [here]
        if number == 0 and here.seat > roomy + 1e-9:
            low = next(_like(approach, roomy), None)
            other = seated(low, points, roomy, roomy) if low else None
            together += [other] if other else []
        yield together


def _like(approach: Approach, greatest: float) -> Iterator[StackChoice]:
    """Choices alike left and right that bring the seat down far enough, easiest first."""
    by_corner = tuple(
        tuple(r for r in feasible(approach.case, p) if r.low <= greatest)
        for p in approach.points.points
    )
    for choice in level_choices(approach.case, approach.points, by_corner):
        lf, rf, lr, rr = choice.stacks
        if lf.ids == rf.ids and lr.ids == rr.ids:
            yield choice


def answered(row: np.ndarray, bay: BatchBay) -> Expected:
    """A row of the batch in the same words."""
    if row[0] != at.FOUND:
        return Expected(Outcome.INCOMPLETE if row[0] == at.INCOMPLETE else Outcome.NONE)
    front, rear = bay.stacks[int(row[8])], bay.stacks[int(row[9])]
    return Expected(
        Outcome.FOUND, bool(row[1]), "tail-in" if row[2] else "nose-in", (row[3], row[4]),
        row[5], row[6], row[7], (front, front, rear, rear),
    )  # fmt: skip
