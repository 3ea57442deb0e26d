"""The search: every heading, point set, window and stack of each bay, judged and ranked.

Exact where windows and stacks are exact; deterministic. The spot inside a window follows a rule: its
middle, then the middle of each run of teeth.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from heapq import heappop, heappush

from underset.geometry import SpotWindow
from underset.planner.candidates import Approach, setting_at, spot_windows_of, spots
from underset.planner.nearest import refusal_without_candidate
from underset.planner.stacks import Choices, StackChoice, below, level_choices
from underset.setting.clear import greatest_touch_seat, layout
from underset.setting.evaluate import Case, Memo, evaluate, with_ways
from underset.setting.place import HEADINGS, NOSE_IN, Stop
from underset.setting.result import (
    Check,
    Choice,
    Evaluation,
    Outcome,
    Refusal,
    Setting,
    Status,
)

_WORST = (Status.HOLDS, Status.WATCH, Status.NOT_KNOWN, Status.STOPS)


DOUBTS = 8  # settings with something not known that are kept before the search lets go


@dataclass(frozen=True, slots=True)
class Limits:
    """When the search gives up, and what it is restricted to (None: everything)."""

    candidates: int = 4000
    choices: int = 4
    headings: tuple[str, ...] = HEADINGS
    point_set: str | None = None


@dataclass(slots=True)
class Found:
    """What the search has met so far."""

    choices: list[Choice] = field(default_factory=list)
    refused: dict[tuple[str, str], list[Check]] = field(default_factory=dict)
    unclear: list[Evaluation] = field(default_factory=list)
    stopped: list[Evaluation] = field(default_factory=list)
    memo: Memo = field(default_factory=dict)
    count: int = 0
    at_limit: bool = False

    def refuse(self, bay: str, check: Check) -> None:
        """Count one refusal by one check."""
        self.refused.setdefault((bay, check.name), []).append(check)

    def count_stops(self, evaluation: Evaluation) -> None:
        """File a stopped setting and count each check that stops it once, by its worst state."""
        self.stopped.append(evaluation)
        stops = [c for c in evaluation.checks if c.status is Status.STOPS]
        for name in dict.fromkeys(c.name for c in stops):
            mine = [c for c in stops if c.name == name]
            self.refuse(evaluation.setting.bay, min(mine, key=lambda c: c.margin or 0.0))

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
    return _key(c.evaluation, c.pieces)


def _key(evaluation: Evaluation, pieces: int) -> tuple[object, ...]:
    s = evaluation.setting
    turning = sum(a.screw for a in s.arms)
    return (
        _WORST.index(evaluation.status), -round(evaluation.least_slack, 3), pieces,
        -round(s.window[1] - s.window[0], 3), round(turning, 4), s.bay, s.heading != NOSE_IN,
        s.point_set, round(s.spot, 4),
    )  # fmt: skip


def nearest_miss(checks: list[Check]) -> Check:
    """The refusal that came closest to passing."""
    with_number = [c for c in checks if c.margin is not None]
    return max(with_number, key=lambda c: c.margin or 0.0) if with_number else checks[0]


def search(cases: Iterable[Case], limits: Limits | None = None) -> Found:
    """Judge every candidate of every case. Never raises for a physical reason.

    Ways in are traced in order of rank only, until enough settings are known to be usable; a
    window whose best setting is blocked gives its next one.
    """
    found, allowed = Found(), limits or Limits()
    pending: list[_Pending] = []
    for case in cases:
        for approach in _approaches(case, allowed):
            for row in _rows(approach, found, allowed):
                _push(pending, row)
    while pending and len(found.choices) < allowed.choices:
        # Usable settings come first in the order of rank: from here on only doubts would follow.
        if pending[0].evaluation.status is Status.NOT_KNOWN and len(found.unclear) >= DOUBTS:
            break
        _settle(pending, heappop(pending), found)
    return found


@dataclass(frozen=True, slots=True, order=True)
class _Pending:
    """A setting that nothing stops so far, with the rest of its window behind it."""

    key: tuple[object, ...]
    evaluation: Evaluation = field(compare=False)
    pieces: int = field(compare=False)
    row: _Row = field(compare=False)


@dataclass(slots=True)
class _Row:
    """One window: its candidates in order, what has been met, and where refusals are counted."""

    case: Case
    rest: Iterator[tuple[Evaluation, int]]


def _push(pending: list[_Pending], row: _Row) -> None:
    following = next(row.rest, None)
    if following is not None:
        evaluation, pieces = following
        heappush(pending, _Pending(_key(evaluation, pieces), evaluation, pieces, row))


def _settle(pending: list[_Pending], first: _Pending, found: Found) -> None:
    """Complete the best pending setting by its ways in, and file it."""
    evaluation = with_ways(first.row.case, first.evaluation)
    if evaluation.usable:
        found.choices.append(_choice(evaluation, first.pieces))
        return
    if evaluation.status is Status.STOPS:
        found.count_stops(evaluation)
    else:
        found.unclear.append(evaluation)
    _push(pending, first.row)


def _approaches(case: Case, limits: Limits) -> Iterator[Approach]:
    for heading in limits.headings:
        if heading != NOSE_IN and case.bay.approach != "either way":
            continue
        for points in case.vehicle.point_sets:
            if limits.point_set in (None, points.id):
                yield Approach(case, heading, points)


def _rows(approach: Approach, found: Found, limits: Limits) -> Iterator[_Row]:
    stacks = level_choices(approach.case, approach.points)
    here = spot_windows_of(approach)
    if not stacks or not here:
        found.count += 1
        for check in refusal_without_candidate(approach, bool(stacks), bool(here)):
            found.refuse(approach.case.bay.id, check)
        return
    for window in here:
        yield _Row(approach.case, _candidates(approach, window, stacks, found, limits))


def _candidates(
    approach: Approach,
    window: SpotWindow,
    stacks: Choices,
    found: Found,
    limits: Limits,
) -> Iterator[tuple[Evaluation, int]]:
    """Settings of a window that nothing stops, spot by spot, easiest stack first."""
    for spot in spots(window):
        failed: list[tuple[StackChoice, frozenset[str]]] = []
        for setting, choice in _settings(approach, spot, window, stacks, failed):
            if found.count >= limits.candidates:
                found.at_limit = True
                return
            found.count += 1
            evaluation = evaluate(approach.case, setting, complete=False, memo=found.memo)
            stops = {c.name for c in evaluation.checks if c.status is Status.STOPS}
            if stops:
                found.count_stops(evaluation)
                failed.append((choice, frozenset(stops)))
            else:
                yield evaluation, choice.pieces
            if stops - OF_THE_STACK:
                break


def _settings(
    approach: Approach,
    spot: float,
    window: SpotWindow,
    stacks: Choices,
    failed: list[tuple[StackChoice, frozenset[str]]],
) -> Iterator[tuple[Setting, StackChoice]]:
    """Settings at one spot, easiest stack first, the seat low enough for the arms to pass below.

    Where no stack brings the seat down that far, the lowest one stands for all of them.
    """
    stop, case = Stop(approach.heading, spot), approach.case
    first = setting_at(approach, stop, window, next(iter(stacks)))
    if first is None:
        return
    plan = layout(first, case.vehicle, case.bay, case.shelf)
    greatest = greatest_touch_seat(plan, case.policy["gap_arm"])
    passed = False
    for choice in stacks:
        here = below(choice, approach.points, greatest)
        if here is not None and not _fails_alike(case, here, failed):
            passed = True
            setting = setting_at(approach, stop, window, here)
            assert setting is not None
            yield setting, here
    if not passed and not failed:
        lowest = min(stacks, key=lambda c: c.seat)
        setting = setting_at(approach, stop, window, lowest)
        assert setting is not None
        yield setting, lowest


def _fails_alike(
    case: Case, choice: StackChoice, failed: list[tuple[StackChoice, frozenset[str]]]
) -> bool:
    """Whether a stack is the same as one that failed in all that a check it failed looks at."""
    return any(
        _LOOKS_AT[name](case, choice) == _LOOKS_AT[name](case, other)
        for other, names in failed
        for name in names
    )


def _heads(case: Case, choice: StackChoice) -> object:
    return tuple(s.ids[-1] for s in choice.stacks)


def _pieces(case: Case, choice: StackChoice) -> object:
    return tuple(s.ids for s in choice.stacks)


def _seat(case: Case, choice: StackChoice) -> object:
    return round(choice.seat, 4)


def _ratings(case: Case, choice: StackChoice) -> object:
    return tuple(min(case.shelf.types[i].rating for i in s.ids) for s in choice.stacks)


# What each check of the stack looks at, everything else at one spot being the same; a check that is
# not named here is the same for every stack.
_LOOKS_AT: dict[str, Callable[[Case, StackChoice], object]] = {
    "arm_zone": _seat,
    "arm_tyre": _seat,
    "seat_height": _seat,
    "overhead": _seat,
    "stack_height": _seat,
    "pad_zone": _heads,
    "point_on_pad": _heads,
    "push_slide": _heads,
    "job_push": _heads,
    "stack_fit": _pieces,
    "stack_stock": _pieces,
    "screw_range": _pieces,
    "adapter_inspected": _pieces,
    "adapter_load": _ratings,
}
OF_THE_STACK = frozenset(_LOOKS_AT)


def _choice(evaluation: Evaluation, pieces: int) -> Choice:
    setting = evaluation.setting
    return Choice(
        setting.bay, setting.heading, setting.point_set, evaluation.status,
        evaluation.least_slack, setting.spot, setting.window, pieces, evaluation,
    )  # fmt: skip
