"""The day: which job when, in which bay, by whom, with which pieces; and what when it slips.

Aims, in order: fewest jobs left off, least lateness (minutes by weight), earliest end. A new plan
after a change weighs lateness against jobs moved. Every board is checked slot by slot before it is
given out, comes with what no board can beat, and repeats from run to run.
"""

from __future__ import annotations

import time
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from math import ceil, isfinite
from typing import Any

from underset.errors import InternalError
from underset.studies.day_bound import earliest_end, least_lateness, least_left_off
from underset.studies.day_case import (
    LONGEST,
    Board,
    Change,
    Day,
    DayBay,
    DayJob,
    DayPerson,
    Refusal,
    Scarce,
    Short,
    Slot,
    faults,
    step_of,
)
from underset.studies.day_changes import changes_of, people_kept
from underset.studies.day_greedy import by_due_time, left_shifted, slot_at
from underset.studies.day_model import DayModel, Effort, Found, Plan, load_solver
from underset.studies.day_refusal import impossible, reasons
from underset.studies.day_search import Aim, Search, improve
from underset.studies.kit_case import Stock, Way
from underset.studies.proof import Goal, Proof

STEADY = Effort()
SEARCH, PROOF = 0.4, 0.6  # parts of the wall time left that one search or one proof may take
SEARCHING = 0.85  # part of the wall time for the board; the rest is kept for the refusals' reasons


@dataclass(frozen=True, slots=True)
class Steadiness:
    """How much a new plan holds on to the old one.

    One changed job counts as much as `change_minutes` of lateness; a start that moves by no more
    than `tolerance` minutes is no change.
    """

    change_minutes: int = 15
    tolerance: int = 10


HOLD = Steadiness()


def schedule(day: Day, effort: Effort = STEADY) -> Board:
    """The day's board. Raises InputError when the extra "schedule" is not installed."""
    run = _Run(day, effort, day.jobs, [], Aim("lateness", DayModel.lateness, _Lateness(day.jobs)))
    run.place(by_due_time(day, run.movable))
    run.aim_at_the_end()
    return run.board()


def replan(
    day: Day,
    before: Board,
    now: int,
    hold: Steadiness = HOLD,
    effort: Effort = STEADY,
) -> Board:
    """A new board for the day as it is now, near the one before.

    What has started stays where it is, unless its lift, person or pieces are no longer there; what
    has not starts no earlier than now. What had started and cannot stay begins again at its full
    length: how much of it is done is not known here. A job keeps its person where nothing speaks
    against it. A job that takes longer, comes later or is new simply stands
    so in `day`.
    """
    old = {s.job: s for s in before.slots}
    stay = _staying(day, before, now)
    here = {s.job for s in stay}
    waiting = tuple(
        j if j.id in here else replace(j, release=max(j.release, now)) for j in day.jobs
    )
    today = replace(day, jobs=waiting)
    aim = Aim(
        "lateness and moves",
        lambda model: model.lateness() + _moves_in_model(model, old, hold),
        lambda slots: _Lateness(day.jobs)(slots) + _moves(slots, old, hold),
        one_by_one=True,
        marks=(hold.tolerance, hold.change_minutes, *(s.start for s in before.slots)),
    )
    run = _Run(today, effort, [j for j in waiting if j.id not in here], stay, aim)
    run.place(_kept(today, run, old))
    run.shift({s.job for s in run.slots if _moved(s, old, hold)} - here)
    run.slots = people_kept(today, run.slots, old, frozenset(here))
    return replace(run.board(), changes=tuple(changes_of(day, run.slots, old, now)))


@dataclass(frozen=True, slots=True)
class _Lateness:
    """Minutes late on a board, each job's by its weight."""

    jobs: tuple[DayJob, ...]

    def __call__(self, slots: Iterable[Slot]) -> int:
        weights = {j.id: j.weight for j in self.jobs}
        return sum(weights[s.job] * s.late for s in slots)


class _Run:
    """One board in the making: slots as they stand, aims with their bounds, refusals."""

    def __init__(
        self, day: Day, effort: Effort, jobs: Sequence[DayJob], stay: Sequence[Slot], aim: Aim
    ) -> None:
        self.day, self.effort, self.aim = day, effort, aim
        load_solver()
        now = time.monotonic()
        self.until, self.last = now + SEARCHING * effort.seconds, now + effort.seconds
        self.step = step_of(day, stay, aim.marks)
        self.refusals = [r for j in jobs if (r := impossible(day, j)) is not None]
        never = {r.job for r in self.refusals}
        self.movable = tuple(j for j in jobs if j.id not in never)
        self.stay = tuple(stay)
        self.slots: list[Slot] = list(stay)
        self.goals: list[Goal] = []
        self.known: dict[tuple[DayJob, ...], int] = {}
        self.least_off = 0
        self.repeatable = True

    def place(self, first: Sequence[Slot]) -> None:
        """From a first board to the best that can be found, with bounds for both aims."""
        self.slots = [*self.stay, *first]
        self._all_at_once()
        self._improve(self.effort.rounds)
        self._prove_left_off()
        self._prove_aim()
        self._say_why()

    def _left_off(self) -> list[DayJob]:
        on = {s.job for s in self.slots}
        return [j for j in self.movable if j.id not in on]

    def _all_at_once(self) -> None:
        """A short try with every job on the board and none free to be left off."""
        least = self._least_late(self.movable) + self.aim.of_slots(self.stay)
        off = self._left_off()
        if not off and self.aim.of_slots(self.slots) <= least:
            return
        if off:
            self.least_off = self._least_off()
        if not self.least_off and not self._time_is_up():
            model = DayModel(self.day, self._plan(must=self.movable))
            goal = self.aim.of_model(model)
            model.cp.add(goal >= least - self.aim.of_slots(self.stay))
            found = self._solve(model, goal, self.effort.proof_work / 4)
            self.least_off = int(found.proof is Proof.INFEASIBLE)
            if found.proof.has_answer:
                self.slots = model.slots()

    def _improve(self, rounds: int) -> None:
        least = self._least_late(self.movable) + self.aim.of_slots(self.stay)
        off_cost = 1 + sum((j.weight + 1) * LONGEST for j in self.movable)
        if self.least_off:
            least = off_cost * self.least_off + self.aim.of_slots(self.stay)
        movable = frozenset(j.id for j in self.movable)
        search = Search(self.day, self.aim, movable, off_cost, self.slots, stop_at=least)
        self.repeatable &= improve(search, rounds, self._within(SEARCH))
        self.slots = search.slots

    def _within(self, part: float) -> Effort:
        return self.effort.until(self.until, part)

    def _time_is_up(self) -> bool:
        """Whether nothing more may be begun; the board is then marked as cut short."""
        over = time.monotonic() >= self.until
        self.repeatable &= not over
        return over

    def _least_late(self, jobs: tuple[DayJob, ...]) -> int:
        """The bound of the linear programme, up to the next step; solved once for the same jobs."""
        if jobs not in self.known:
            found = least_lateness(self.day, jobs, self._within(SEARCH).seconds)
            self.known[jobs] = self._whole(found)
        return self.known[jobs]

    def _least_off(self) -> int:
        return least_left_off(self.day, self.movable, self._within(SEARCH).seconds)

    def _whole(self, bound: float) -> int:
        """A solver's bound rounded up to the step; 0 when it has none."""
        return ceil(bound / self.step - 1e-6) * self.step if isfinite(bound) else 0

    def _prove_left_off(self) -> None:
        off = len(self._left_off())
        bound = min(off, self.least_off)
        if off > bound and not self._time_is_up():
            model = DayModel(self.day, self._plan(may=self.movable))
            found = self._solve(model, model.left_off())
            bound = max(bound, ceil(found.bound - 1e-6) if isfinite(found.bound) else 0)
            if found.proof.has_answer and found.value < off:
                self.slots = model.slots()
                self._improve(self.effort.rounds // 2)
        off = len(self._left_off())
        self.goals.append(Goal("left off", off, min(off, bound)))

    def _prove_aim(self) -> None:
        jobs = self._on_board()
        fixed = self.aim.of_slots(self.stay)
        value, bound = self.aim.of_slots(self.slots), self._least_late(jobs) + fixed
        if value > bound and not self._time_is_up():
            model = DayModel(self.day, self._plan(must=jobs))
            goal = self.aim.of_model(model)
            model.cp.add(goal >= bound - fixed)
            found = self._solve(model, goal)
            bound = max(bound, self._whole(found.bound) + fixed)
            if found.proof.has_answer and found.value + fixed < value:
                self.slots = model.slots()
                value = self.aim.of_slots(self.slots)
        self.goals.append(Goal(self.aim.name, value, min(value, bound)))

    def aim_at_the_end(self) -> None:
        """Among boards no worse, one that ends early; then every job as early as it goes."""
        jobs = self._on_board()
        ends = [earliest_end(self.day, jobs), *(s.end for s in self.stay)]
        bound = self._whole(max(ends, default=0))
        self.shift({j.id for j in jobs})
        if self._end(bound) > bound and not self._time_is_up():
            bound = self._end_at_once(jobs, bound)
        if self._end(bound) > bound and not self._time_is_up():
            self._end_by_and_by(jobs, bound)
        end = self._end(bound)
        self.goals.append(Goal("end", end, min(end, bound)))

    def _end(self, bound: int) -> int:
        return max((s.end for s in self.slots), default=bound)

    def _end_at_once(self, jobs: tuple[DayJob, ...], bound: int) -> int:
        """All jobs in one model, no later than they are; gives what no such board can beat."""
        model = DayModel(self.day, self._plan(must=jobs))
        worst = self.aim.of_slots(self.slots) - self.aim.of_slots(self.stay)
        model.cp.add(self.aim.of_model(model) <= worst)
        last = model.makespan()
        model.cp.add(last >= bound)
        found = self._solve(model, last)
        if found.proof.has_answer and found.value < self._end(bound):
            self.slots = model.slots()
            self.shift({j.id for j in jobs})
        return max(bound, self._whole(found.bound))

    def _end_by_and_by(self, jobs: tuple[DayJob, ...], bound: int) -> None:
        """Some jobs free at a time, minutes past the bound counted."""
        steep = len(jobs) * (self.day.end - self.day.begin) + 1
        search = Search(
            self.day,
            _end_aim(self.aim, bound, steep),
            frozenset(j.id for j in jobs),
            LONGEST**3,
            self.slots,
            stop_at=steep * self.aim.of_slots(self.slots),
        )
        self.repeatable &= improve(search, self.effort.rounds // 2, self._within(PROOF))
        self.slots = search.slots
        self.shift({j.id for j in jobs})

    def shift(self, movable: Collection[str]) -> None:
        """These jobs as early as they go where they are."""
        self.slots = left_shifted(self.day, self.slots, movable)

    def _on_board(self) -> tuple[DayJob, ...]:
        off = {j.id for j in self._left_off()}
        return tuple(j for j in self.movable if j.id not in off)

    def _plan(self, must: tuple[DayJob, ...] = (), may: tuple[DayJob, ...] = ()) -> Plan:
        aim = self.aim
        return Plan(must, may, self.stay, one_by_one=aim.one_by_one, marks=aim.marks)

    def _solve(self, model: DayModel, goal: Any, work: float | None = None) -> Found:
        model.add_totals()
        model.hint(self.slots)
        found = model.minimise(goal, work or self.effort.proof_work, self._within(PROOF))
        self.repeatable &= found.repeatable
        return found

    def _say_why(self) -> None:
        stay = frozenset(s.job for s in self.stay)
        for job in self._left_off():
            effort = self.effort.until(self.last, SEARCH)
            self.refusals.append(reasons(self.day, self.slots, job, stay, effort))

    def board(self) -> Board:
        """The board, checked; raises InternalError when anything on it is wrong."""
        wrong = faults(self.day, self.slots)
        if wrong:
            raise InternalError(f"the board was withheld: {wrong[0]}.")
        proved = all(g.gap == 0.0 for g in self.goals)
        slots = tuple(sorted(self.slots, key=lambda s: (s.start, s.bay, s.job)))
        return Board(
            Proof.OPTIMAL if proved else Proof.FEASIBLE,
            tuple(self.goals),
            slots,
            tuple(self.refusals),
            repeatable=self.repeatable,
        )


def _end_aim(aim: Aim, end: int, steep: int) -> Aim:
    """Minutes past the earliest end, with every unit of the first aim dearer than all of them.

    Decision: the sum of minutes past the end, not the end itself, so that one job fewer past it
    already counts as better.
    """
    return Aim(
        "end",
        lambda model: steep * aim.of_model(model) + model.overrun(end),
        lambda slots: steep * aim.of_slots(slots) + sum(max(0, s.end - end) for s in slots),
        one_by_one=aim.one_by_one,
        troubled=lambda slot: slot.end > end,
    )


def _staying(day: Day, before: Board, now: int) -> list[Slot]:
    """Slots that have started and can stay, with the lengths of today."""
    jobs = {j.id: j for j in day.jobs}
    started = sorted((s for s in before.slots if s.start < now), key=lambda s: s.start)
    stay: list[Slot] = []
    for s in started:
        if s.job in jobs and s.bay in {b.id for b in day.bays}:
            slot = slot_at(jobs[s.job], Way(s.bay, s.needs), s.person, s.start)
            if s.person in {p.id for p in day.people} and not faults(day, [*stay, slot]):
                stay.append(slot)
    return stay


def _kept(day: Day, run: _Run, old: Mapping[str, Slot]) -> list[Slot]:
    """Old places that still are free, then the rest by due time."""
    slots = list(run.stay)
    jobs = {j.id: j for j in run.movable}
    people, bays = {p.id for p in day.people}, {b.id for b in day.bays}
    for s in sorted(old.values(), key=lambda s: s.start):
        if s.job in jobs and s.person in people and s.bay in bays:
            slot = slot_at(jobs[s.job], Way(s.bay, s.needs), s.person, s.start)
            if not faults(day, [*slots, slot]):
                slots.append(slot)
    placed = {s.job for s in slots}
    rest = [j for j in run.movable if j.id not in placed]
    return [*slots[len(run.stay) :], *by_due_time(day, rest, slots)]


def _moved(slot: Slot, old: Mapping[str, Slot], hold: Steadiness) -> bool:
    was = old.get(slot.job)
    if was is None:
        return False
    alike = (was.bay, was.person, was.needs) == (slot.bay, slot.person, slot.needs)
    return not alike or abs(was.start - slot.start) > hold.tolerance


def _moves(slots: Iterable[Slot], old: Mapping[str, Slot], hold: Steadiness) -> int:
    return hold.change_minutes * sum(_moved(s, old, hold) for s in slots)


def _moves_in_model(model: DayModel, old: Mapping[str, Slot], hold: Steadiness) -> Any:
    """The cost of moved jobs as an expression of the model, in which people are one by one."""
    moved = []
    for item in model.jobs.values():
        was = old.get(item.job.id)
        if was is not None:
            way = sum(
                x
                for w, x in item.ways
                if slot_at(item.job, w, "", 0).needs == was.needs and w.bay == was.bay
            )
            person = sum(y for c, y in item.crews if model.crews[c].people[0].id == was.person)
            moved.append(model.moved(item, way, person, (was.start, hold.tolerance)))
    return hold.change_minutes * sum(moved)


__all__ = [
    "Board",
    "Change",
    "Day",
    "DayBay",
    "DayJob",
    "DayPerson",
    "Effort",
    "Goal",
    "Proof",
    "Refusal",
    "Scarce",
    "Short",
    "Slot",
    "Steadiness",
    "Stock",
    "Way",
    "faults",
    "replan",
    "schedule",
]
