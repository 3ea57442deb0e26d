"""The search: every heading, point set, window and stack of each bay, judged and ranked.

Exact where windows and stacks are exact; deterministic. The spot inside a window follows a rule: its
middle, then the middle of each run of teeth.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from underset.geometry import SpotWindow
from underset.planner.candidates import Approach, setting_at, spot_windows_of, spots
from underset.planner.nearest import refusal_without_candidate
from underset.planner.stacks import StackChoice, stack_choices
from underset.setting.evaluate import Case, evaluate
from underset.setting.place import HEADINGS, NOSE_IN, Stop
from underset.setting.result import (
    Check,
    Choice,
    Evaluation,
    Outcome,
    Refusal,
    Status,
)

_WORST = (Status.HOLDS, Status.WATCH, Status.NOT_KNOWN, Status.STOPS)


@dataclass(frozen=True, slots=True)
class Limits:
    """When the search gives up, and what it is restricted to (None: everything)."""

    candidates: int = 4000
    headings: tuple[str, ...] = HEADINGS
    point_set: str | None = None


@dataclass(slots=True)
class Found:
    """What the search has met so far."""

    choices: list[Choice] = field(default_factory=list)
    refused: dict[tuple[str, str], list[Check]] = field(default_factory=dict)
    unclear: list[Evaluation] = field(default_factory=list)
    stopped: list[Evaluation] = field(default_factory=list)
    count: int = 0
    at_limit: bool = False

    def refuse(self, bay: str, check: Check) -> None:
        """Count one refusal by one check."""
        self.refused.setdefault((bay, check.name), []).append(check)

    @property
    def outcome(self) -> Outcome:
        """The four outcomes, kept apart."""
        if self.choices:
            return Outcome.FOUND
        if self.at_limit:
            return Outcome.LIMIT
        return Outcome.INCOMPLETE if self.unclear else Outcome.NONE

    def ranked(self) -> tuple[Choice, ...]:
        """Usable settings, best first: holds before watch, greatest least margin, then ease."""
        return tuple(sorted(self.choices, key=rank_key))

    def refusals(self) -> tuple[Refusal, ...]:
        """Refusals per check and bay, most frequent first, each with its nearest miss."""
        rows = [
            Refusal(name, len(checks), bay, nearest_miss(checks))
            for (bay, name), checks in self.refused.items()
        ]
        return tuple(sorted(rows, key=lambda r: (-r.count, r.bay, r.check)))

    def best_unclear(self) -> Evaluation | None:
        """The setting with the fewest unknowns among those that nothing stops."""
        return min(self.unclear, key=_unknowns, default=None)

    def best_stopped(self) -> Evaluation | None:
        """The setting that is stopped by the fewest checks."""
        return min(self.stopped, key=_stops, default=None)


def _unknowns(e: Evaluation) -> tuple[int, float]:
    return sum(c.status is Status.NOT_KNOWN for c in e.checks), -e.least_slack


def _stops(e: Evaluation) -> tuple[int, float]:
    return sum(c.status is Status.STOPS for c in e.checks), -e.least_slack


def rank_key(c: Choice) -> tuple[object, ...]:
    """Order of choices: status, least margin to a thousandth, then ease, then names."""
    width = c.window[1] - c.window[0]
    turning = sum(a.screw for a in c.evaluation.setting.arms)
    return (
        _WORST.index(c.status), -round(c.least_slack, 3), c.pieces, -round(width, 3),
        round(turning, 4), c.bay, c.heading != NOSE_IN, c.point_set, round(c.spot, 4),
    )  # fmt: skip


def nearest_miss(checks: list[Check]) -> Check:
    """The refusal that came closest to passing."""
    with_number = [c for c in checks if c.margin is not None]
    return max(with_number, key=lambda c: c.margin or 0.0) if with_number else checks[0]


def search(cases: Iterable[Case], limits: Limits | None = None) -> Found:
    """Judge every candidate of every case. Never raises for a physical reason."""
    found, allowed = Found(), limits or Limits()
    for case in cases:
        for approach in _approaches(case, allowed):
            _try(approach, found, allowed)
    return found


def _approaches(case: Case, limits: Limits) -> Iterator[Approach]:
    for heading in limits.headings:
        if heading != NOSE_IN and case.bay.approach != "either way":
            continue
        for points in case.vehicle.point_sets:
            if limits.point_set in (None, points.id):
                yield Approach(case, heading, points)


def _try(approach: Approach, found: Found, limits: Limits) -> None:
    bay = approach.case.bay.id
    stacks = stack_choices(approach.case, approach.points)
    here = spot_windows_of(approach)
    if not stacks or not here:
        found.count += 1
        for check in refusal_without_candidate(approach, bool(stacks), bool(here)):
            found.refuse(bay, check)
        return
    for window in here:
        _try_window(approach, window, stacks, found, limits)


def _try_window(
    approach: Approach,
    window: SpotWindow,
    stacks: tuple[StackChoice, ...],
    found: Found,
    limits: Limits,
) -> None:
    """Judge the spots of a window in order until one is usable with the easiest stack that works."""
    for spot in spots(window):
        for choice in stacks:
            if found.count >= limits.candidates:
                found.at_limit = True
                return
            found.count += 1
            setting = setting_at(approach, Stop(approach.heading, spot), window, choice)
            if setting is None:
                continue
            evaluation = evaluate(approach.case, setting)
            if _record(found, evaluation, choice.pieces):
                return
            if not _stack_matters(evaluation):
                break


# Checks that a stack of another height may change; without one of these the next stack is no use.
_OF_THE_STACK = {
    "arm_zone", "arm_tyre", "pad_zone", "way_in", "stack_fit", "stack_height", "adapter_load",
    "screw_range", "point_on_pad", "seat_height", "overhead", "adapter_inspected", "stack_stock",
    "push_slide",
}  # fmt: skip


def _stack_matters(evaluation: Evaluation) -> bool:
    stops = {c.name for c in evaluation.checks if c.status is Status.STOPS}
    unclear = {c.name for c in evaluation.checks if c.status is Status.NOT_KNOWN}
    return bool((stops or unclear) & _OF_THE_STACK)


def _record(found: Found, evaluation: Evaluation, pieces: int) -> bool:
    setting = evaluation.setting
    if evaluation.usable:
        found.choices.append(
            Choice(
                setting.bay, setting.heading, setting.point_set, evaluation.status,
                evaluation.least_slack, setting.spot, setting.window, pieces, evaluation,
            )
        )  # fmt: skip
        return True
    stops = [c for c in evaluation.checks if c.status is Status.STOPS]
    for name in {c.name for c in stops}:
        found.refuse(setting.bay, nearest_miss([c for c in stops if c.name == name][::-1]))
    (found.stopped if stops else found.unclear).append(evaluation)
    return False
