"""The search: every heading, point set, window and stack of each bay, judged and ranked.

Exact where windows and stacks are exact; deterministic. The spot inside a window follows a rule:
its middle, then the middle of each run of teeth.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from heapq import heappop, heappush

from underset.geometry import SpotWindow
from underset.planner.candidates import (
    Approach,
    closer_spots,
    placed_at,
    set_on,
    spot_windows_of,
    spots,
)
from underset.planner.nearest import refusal_without_candidate
from underset.planner.otherways import corners_to_move, set_otherwise
from underset.planner.stacks import (
    ByCorner,
    Stack,
    StackChoice,
    by_corners,
    choice_of,
    level_choices,
    seated,
)
from underset.setting.checks import yes
from underset.setting.clear import greatest_touch_seat, layout
from underset.setting.evaluate import Case, Memo, evaluate, kept_of, with_ways
from underset.setting.place import HEADINGS, NOSE_IN, Stop, placements
from underset.setting.result import (
    CORNERS,
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
OTHERWISE = 12  # settings stopped at their arms that are tried with these elsewhere
BLOCKED = 4  # ways in found blocked after which no further choice beside those met is looked for


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
    blocked: int = 0

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

    def withdraw(self, choice: Choice, judged: Evaluation) -> None:
        """Take a choice back that turned out not to be usable, and file why."""
        self.choices = [c for c in self.choices if c is not choice]
        if judged.status is Status.STOPS:
            self.count_stops(judged)
        else:
            self.unclear.append(judged)

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
    window whose best setting is blocked gives its next one. Before none is said to exist, windows
    in which only the place stops are looked at every 25 mm: a stretch of usable spots shorter than
    the usual parking tolerance may be missed.
    """
    found, allowed = Found(), limits or Limits()
    pending: list[_Pending] = []
    rows = [row for case in cases for row in _rows_of(case, found, allowed)]
    for row in rows:
        _push(pending, row)
    _settle_all(pending, found, allowed)
    if not (found.choices or found.unclear or found.at_limit):
        for row in rows:
            if row.movable:
                row.closer, row.rest = True, _candidates(row, found, allowed)
                _push(pending, row)
        _settle_all(pending, found, allowed)
        _settle_otherwise(rows, found)
    return found


def _settle_otherwise(rows: list[_Row], found: Found) -> None:
    """Before none is said to exist: arms that are stopped, elsewhere in their points' zones."""
    if found.choices or found.unclear or found.at_limit:
        return
    movable = [e for e in found.stopped if corners_to_move(e)]
    for evaluation in sorted(movable, key=lambda e: _key(e, 0))[:OTHERWISE]:
        row = next(r for r in rows if r.holds(evaluation.setting))
        judged = set_otherwise(row.approach, row.window, evaluation, found.memo)
        found.count += 1
        if judged is not None and judged.usable:
            found.choices.append(_choice(judged, choice_of(row.case, judged.setting).pieces))
            return
        found.unclear += [judged] if judged is not None else []


def _settle_all(pending: list[_Pending], found: Found, allowed: Limits) -> None:
    while pending and len(found.choices) < allowed.choices:
        # Usable settings come first in the order of rank: from here on only doubts would follow.
        if pending[0].evaluation.status is Status.NOT_KNOWN and len(found.unclear) >= DOUBTS:
            break
        # A further choice is worth only so many ways in that turn out blocked.
        if found.choices and found.blocked >= BLOCKED:
            break
        _settle(pending, heappop(pending), found)


@dataclass(frozen=True, slots=True, order=True)
class _Pending:
    """A setting that nothing stops so far, with the rest of its window behind it."""

    key: tuple[object, ...]
    evaluation: Evaluation = field(compare=False)
    pieces: int = field(compare=False)
    row: _Row = field(compare=False)


@dataclass(slots=True)
class _Row:
    """One window: its candidates in order, and which stacks failed what at the spot in hand."""

    approach: Approach
    window: SpotWindow
    easiest: StackChoice
    by_corner: ByCorner
    stop: Stop | None = None
    closer: bool = False
    movable: bool = False
    rest: Iterator[_Pending] = field(default_factory=lambda: iter(()))
    failed: list[tuple[StackChoice, Check]] = field(default_factory=list)

    @property
    def case(self) -> Case:
        """The case the window belongs to."""
        return self.approach.case

    def holds(self, setting: Setting) -> bool:
        """Whether a setting is one of this window."""
        mine = (self.case.bay.id, self.approach.heading, self.approach.points.id)
        low, high = self.window.low - 1e-9, self.window.high + 1e-9
        of = (setting.bay, setting.heading, setting.point_set)
        return mine == of and (self.stop is not None or low <= setting.spot <= high)

    @property
    def stops(self) -> tuple[Stop, ...]:
        """Where the vehicle is judged: where it stands, or the window's spots on the line."""
        if self.stop is not None:
            return (self.stop,)
        heading = self.approach.heading
        at = (closer_spots if self.closer else spots)(self.window, heading)
        return tuple(Stop(heading, spot) for spot in at)

    def fail(self, evaluation: Evaluation, choice: StackChoice) -> None:
        """Remember what stops a stack."""
        stops = {(c.name, c.where): c for c in evaluation.checks if c.status is Status.STOPS}
        self.failed += [(choice, check) for check in stops.values()]
        names = {c.name for c in stops.values()}
        far = {c.name for c in stops.values() if c.name in SHIFTS and (c.slack or 0.0) <= -NEAR}
        curable = MOVES | (SHIFTS - far)
        cured = bool(names & curable) and names <= curable | OF_THE_STACK
        self.movable = self.movable or cured

    @property
    def beyond_stacks(self) -> bool:
        """Whether something stops here that no other stack would change."""
        return any(check.name not in OF_THE_STACK for _, check in self.failed)

    def choices(self, greatest: float) -> Iterator[StackChoice]:
        """Stacks that bring the seat down to `greatest`, easiest first, but those sure to fail."""
        seen: set[object] = set()
        known = -1
        while known != len(self.failed):
            known = len(self.failed)
            for choice in self._left(greatest):
                ids = _pieces(self.case, choice)
                if ids not in seen and not self._fails_alike(choice):
                    seen.add(ids)
                    yield choice
                if known != len(self.failed):
                    break

    def _left(self, greatest: float) -> Iterator[StackChoice]:
        by_corner = tuple(
            tuple([r for r in rows if r.low <= greatest and not self._banned(corner, r.stack)])
            for corner, rows in zip(CORNERS, self.by_corner, strict=True)
        )
        return level_choices(self.case, self.approach.points, by_corner)

    def _banned(self, corner: str, stack: Stack) -> bool:
        """Whether a stack is like one that failed at this corner in what the check looks at."""
        return any(
            check.where == corner
            and AT_A_CORNER[check.name](self.case, stack)
            == AT_A_CORNER[check.name](self.case, other.stacks[CORNERS.index(corner)])
            for other, check in self.failed
            if check.name in AT_A_CORNER
        )

    def _fails_alike(self, choice: StackChoice) -> bool:
        """Whether four stacks are the same as some that failed in what the check looks at."""
        return any(
            OF_FOUR[check.name](self.case, choice) == OF_FOUR[check.name](self.case, other)
            for other, check in self.failed
            if check.name in OF_FOUR
        )


def _push(pending: list[_Pending], row: _Row) -> None:
    following = next(row.rest, None)
    if following is not None:
        heappush(pending, following)


def _settle(pending: list[_Pending], first: _Pending, found: Found) -> None:
    """Complete the best pending setting by its ways in, and file it."""
    evaluation = with_ways(first.row.case, first.evaluation, found.memo)
    if evaluation.usable:
        found.choices.append(_choice(evaluation, first.pieces))
        return
    if evaluation.status is Status.STOPS:
        found.count_stops(evaluation)
        found.blocked += bool(found.choices)
        first.row.fail(evaluation, choice_of(first.row.case, evaluation.setting))
    else:
        found.unclear.append(evaluation)
    _push(pending, first.row)


def search_at(approach: Approach, stop: Stop, window: SpotWindow, limits: Limits) -> Found:
    """Judge every stack at one stop, which may lie off the line; `window` is what it stands in.

    Its best setting, if there is one, is the one choice of what comes back.
    """
    found = Found()
    by_corner = by_corners(approach.case, approach.points)
    easiest = next(level_choices(approach.case, approach.points, by_corner), None)
    if easiest is None:
        found.count += 1
        for check in refusal_without_candidate(approach, has_stacks=False, has_windows=True):
            found.refuse(approach.case.bay.id, check)
        return found
    row = _Row(approach, window, easiest, by_corner, stop)
    row.rest = _candidates(row, found, limits)
    pending: list[_Pending] = []
    _push(pending, row)
    while pending and not found.choices:
        _settle(pending, heappop(pending), found)
    _settle_otherwise([row], found)
    if not found.count:
        found.count += 1
        found.refuse(approach.case.bay.id, _out_of_reach(approach, stop))
    return found


def _out_of_reach(approach: Approach, stop: Stop) -> Check:
    """The first corner whose arm cannot stand under its point at this stop."""
    placed = placements(approach.case.bay, approach.points, stop)
    corner = next(c for c, p in zip(CORNERS, placed, strict=True) if p is None)
    return yes("arm_reach", ok=False, where=corner, note=("no common spot",))


def _approaches(case: Case, limits: Limits) -> Iterator[Approach]:
    for heading in limits.headings:
        if heading != NOSE_IN and case.bay.approach != "either way":
            continue
        for points in case.vehicle.point_sets:
            if limits.point_set in (None, points.id):
                yield Approach(case, heading, points)


_Stacks = dict[str, tuple[ByCorner, StackChoice | None]]
"""By point set: the stacks of each corner, and the easiest four; no heading changes them."""


def _rows_of(case: Case, found: Found, limits: Limits) -> Iterator[_Row]:
    stacks: _Stacks = {}
    approaches = tuple(_approaches(case, limits))
    if not approaches and NOSE_IN not in limits.headings:
        found.count += 1
        note = ("heading", *limits.headings)
        found.refuse(case.bay.id, yes("approach", ok=False, note=note))
    for approach in approaches:
        if approach.points.id not in stacks:
            by_corner = by_corners(case, approach.points)
            easiest = next(level_choices(case, approach.points, by_corner), None)
            stacks[approach.points.id] = (by_corner, easiest)
        yield from _rows(approach, stacks[approach.points.id], found, limits)


def _rows(
    approach: Approach,
    stacks: tuple[ByCorner, StackChoice | None],
    found: Found,
    limits: Limits,
) -> Iterator[_Row]:
    by_corner, easiest = stacks
    here = spot_windows_of(approach, kept_of(approach.case, found.memo))
    if easiest is None or not here:
        found.count += 1
        for check in refusal_without_candidate(approach, easiest is not None, bool(here)):
            found.refuse(approach.case.bay.id, check)
        return
    for window in here:
        row = _Row(approach, window, easiest, by_corner)
        row.rest = _candidates(row, found, limits)
        yield row


def _candidates(row: _Row, found: Found, limits: Limits) -> Iterator[_Pending]:
    """Settings of a window that nothing stops, spot by spot, easiest stack first.

    Where the easiest stack leaves the arms little room below the body, the easiest one that leaves
    them twice the gap is judged beside it, and the better of the two comes first.
    """
    for stop in row.stops:
        row.failed.clear()
        for settings in _settings(row, stop, found.memo):
            fit = _fitting(row, settings, found, limits)
            if found.at_limit:
                return
            yield from sorted(fit)
            if row.beyond_stacks:
                break


_Seated = tuple[Setting, StackChoice]


def _fitting(row: _Row, settings: list[_Seated], found: Found, limits: Limits) -> list[_Pending]:
    """Those of these settings that nothing stops."""
    fit = []
    for setting, choice in settings:
        if found.count >= limits.candidates:
            found.at_limit = True
            break
        found.count += 1
        evaluation = evaluate(row.case, setting, complete=False, memo=found.memo)
        if evaluation.status is Status.STOPS:
            found.count_stops(evaluation)
            row.fail(evaluation, choice)
        else:
            key = _key(evaluation, choice.pieces)
            fit.append(_Pending(key, evaluation, choice.pieces, row))
    return fit


def _settings(row: _Row, stop: Stop, memo: Memo) -> Iterator[list[_Seated]]:
    """Settings at one stop, easiest stack first, the seat low enough for the arms to pass below.

    Where no stack brings the seat down that far, the lowest one stands for all of them.
    """
    case, points = row.case, row.approach.points
    sure = placed_at(row.approach, stop)
    if not sure:
        return

    def on(choice: StackChoice) -> _Seated:
        return set_on(row.approach, stop, row.window, sure, choice), choice

    first, _ = on(row.easiest)
    gap = case.policy["gap_arm"]
    plan = layout(first, case.vehicle, case.bay, case.shelf, kept_of(case, memo))
    greatest = greatest_touch_seat(plan, gap)
    some = False
    for choice in row.choices(greatest):
        settled = seated(choice, points, greatest - gap, greatest)
        assert settled is not None
        together = [settled] if some else [settled, *_roomier(row, settled, greatest - gap)]
        some = True
        yield [on(c) for c in together]
    if not some:
        yield [on(c) for c in _lowest(row)]


def _roomier(row: _Row, easiest: StackChoice, roomy: float) -> list[StackChoice]:
    """The easiest choice with twice the gap below the body, where the easiest of all has less."""
    if easiest.seat <= roomy + 1e-9:
        return []
    low = next(row.choices(roomy), None)
    settled = low and seated(low, row.approach.points, roomy, roomy)
    return [settled] if settled else []


def _lowest(row: _Row) -> Iterator[StackChoice]:
    """The choice that brings the seat down farthest."""
    for low in sorted({r.low for rows in row.by_corner for r in rows}):
        here = tuple(
            tuple([r for r in rows if r.low <= low + 1e-9 <= r.high + 2e-9])
            for rows in row.by_corner
        )
        choice = next(level_choices(row.case, row.approach.points, here), None)
        if choice is not None:
            yield seated(choice, row.approach.points, low, max(low, choice.seat_low)) or choice
            return


# --- what each check of the stack looks at, everything else at one spot being the same -----------


def _head(case: Case, stack: Stack) -> object:
    return stack.ids[-1]


def _ids(case: Case, stack: Stack) -> object:
    return stack.ids


def _rating(case: Case, stack: Stack) -> object:
    return min(case.shelf.types[i].rating for i in stack.ids)


def _tip(case: Case, stack: Stack) -> object:
    """What the arm's end meets on its way in: the zones its stack does not pass under, and what of
    the stack is wider than its head or so tall that it meets more of a tyre than the arm does.
    """
    top = case.bay.seat_low + stack.fixed + case.policy["gap_arm"]
    zones = [z.id for z in case.vehicle.zones or () if z.underside < top]
    *below, width = [case.shelf.types[i].width or 0.0 for i in stack.ids]
    wider = stack.ids if any(w > width for w in below) else ()
    arms = min([max(s[2] for s in profile) for profile in case.bay.profiles if profile] or [0.0])
    return zones, width, wider, max(stack.fixed, arms)


def _pieces(case: Case, choice: StackChoice) -> object:
    return tuple(s.ids for s in choice.stacks)


def _seat(case: Case, choice: StackChoice) -> object:
    return round(choice.seat, 4)


def _grip(case: Case, choice: StackChoice) -> object:
    return all(case.shelf.types[s.ids[-1]].clean_rubber for s in choice.stacks)


AT_A_CORNER: dict[str, Callable[[Case, Stack], object]] = {
    "pad_zone": _head,
    "point_on_pad": _head,
    "stack_fit": _ids,
    "adapter_load": _rating,
    "way_in": _tip,
}
OF_FOUR: dict[str, Callable[[Case, StackChoice], object]] = {
    "arm_zone": _seat,
    "arm_tyre": _seat,
    "seat_height": _seat,
    "overhead": _seat,
    "stack_height": _seat,
    "push_slide": _grip,
    "job_push": _grip,
    "stack_stock": _pieces,
    "screw_range": _pieces,
    "adapter_inspected": _pieces,
}
OF_THE_STACK = {*AT_A_CORNER, *OF_FOUR}
# Checks that another spot of the same window may change.
MOVES = {
    "arm_arm", "arm_column", "arm_tyre", "arm_zone", "clear_space", "door", "pad_zone",
    "parking_along", "point_on_pad", "way_in",
}  # fmt: skip
# Loads that shift a little as pads stand elsewhere in their zones: worth a look where they miss by
# a little.
SHIFTS = {
    "arm_load", "cg_edge", "least_pad", "pad_split", "point_load", "push_tip", "push_unload",
}  # fmt: skip
NEAR = 0.05


def _choice(evaluation: Evaluation, pieces: int) -> Choice:
    setting = evaluation.setting
    return Choice(
        setting.bay, setting.heading, setting.point_set, evaluation.status,
        evaluation.least_slack, setting.spot, setting.window, pieces, evaluation,
    )  # fmt: skip
