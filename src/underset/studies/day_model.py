"""The constraint model behind the day's board, solved by CP-SAT.

Each job has a start, one way of its list and one crew; bays take one job at a time, crews as many
as they have people, shared pieces as many as there are. People with the same hours, skills and
bays are one crew, which spares the solver telling them apart. Resources may be given a relief (one
more bay, piece, person, or minutes at the end) whose size the model then minimises: that is how a
refusal learns what is short.
"""

from __future__ import annotations

import time
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from math import nan
from typing import Any

from underset.studies.day_case import Day, DayJob, DayPerson, Scarce, Slot, Stretch, step_of
from underset.studies.day_greedy import slot_at
from underset.studies.kit_case import SHELF, Way, merged
from underset.studies.proof import Proof, require_extra

Resource = tuple[Scarce, str]
OVERTIME = 24 * 60


@dataclass(frozen=True, slots=True)
class Effort:
    """How hard the solver tries.

    `rounds` of improvement, each stopping at `round_work`; then `proof_work` for the bound of each
    aim. Work is CP-SAT's own count (0.1 is about a second on one core): stopping by it repeats from
    run to run. `seconds` is the wall time of the whole board, building included, once the solver
    is loaded; a board cut short by it is marked.
    """

    rounds: int = 32
    round_work: float = 0.01
    proof_work: float = 0.08
    seconds: float = 8.0
    seed: int = 0

    def until(self, moment: float, part: float = 1.0) -> Effort:
        """The same with a part of the wall time left until a moment of `time.monotonic`."""
        return replace(self, seconds=max(0.0, part * (moment - time.monotonic())))


@dataclass(frozen=True, slots=True)
class Plan:
    """What to model: jobs that must be on the board, jobs that may, and slots that stay.

    `relief`: resources of which more may be had. `one_by_one`: people are told apart. `marks`:
    times that matter beside those of the day, as starts on a board before.
    """

    must: tuple[DayJob, ...]
    may: tuple[DayJob, ...] = ()
    fixed: tuple[Slot, ...] = ()
    relief: tuple[Resource, ...] = ()
    one_by_one: bool = False
    marks: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Crew:
    """People who can stand in for one another."""

    people: tuple[DayPerson, ...]

    def may(self, job: DayJob, bay: str) -> bool:
        """Whether any (and so every) one of them may do the job in the bay."""
        return self.people[0].may(job, bay)


@dataclass(frozen=True, slots=True)
class Found:
    """How one solve ended."""

    proof: Proof
    value: float
    bound: float
    repeatable: bool


@dataclass(slots=True)
class JobVars:
    """Variables of one job; `start` and `late` are in minutes, steps of the model behind them."""

    job: DayJob
    start: Any
    placed: Any
    late: Any
    whole: Any
    steps: tuple[Any, Any]
    ways: list[tuple[Way, Any]] = field(default_factory=list)
    crews: list[tuple[int, Any]] = field(default_factory=list)


def load_solver() -> Any:
    """CP-SAT's modelling module; InputError when the extra "schedule" is not installed."""
    require_extra("ortools", "schedule")
    from ortools.sat.python import cp_model

    return cp_model


class DayModel:
    """The model with the meaning of its variables.

    Times are counted in the day's own step, so that the solver tells no minutes apart that no best
    board needs.
    """

    def __init__(self, day: Day, plan: Plan) -> None:
        cp_model = load_solver()
        self.day, self.plan = day, plan
        self.cp = cp_model.CpModel()
        self.step = step_of(day, plan.fixed, plan.marks)
        self.crews = crews_of(day, one_by_one=plan.one_by_one)
        self.crew_of = {p.id: c for c, crew in enumerate(self.crews) for p in crew.people}
        overtime = OVERTIME if (Scarce.HOURS, "") in plan.relief else 0
        self.end = day.end + overtime
        self.extra = {r: self._relief(r) for r in plan.relief}
        self.jobs: dict[str, JobVars] = {}
        for job in plan.must:
            self._add_job(job, self.cp.new_constant(1))
        for job in plan.may:
            self._add_job(job, self.cp.new_bool_var(""))
        self._add_bays()
        self._add_people()
        self._add_pieces()
        self.solver: Any = None

    # --- building -----------------------------------------------------------------------------

    def _time(self, low: int, high: int) -> Any:
        """Minutes in whole steps, from `low` (rounded up) to `high` (rounded down, or `low`)."""
        return self.step * self._steps(low, high)

    def _steps(self, low: int, high: int) -> Any:
        first = -(-low // self.step)
        return self.cp.new_int_var(first, max(first, high // self.step), "")

    def _relief(self, resource: Resource) -> Any:
        if resource[0] is Scarce.HOURS:
            return self._time(0, OVERTIME)
        return self.cp.new_int_var(0, 100, "")

    def _add_job(self, job: DayJob, placed: Any) -> None:
        cp, first = self.cp, max(job.release, self.day.begin)
        last = max(first, self.end - job.minutes)
        steps = self._steps(first, last), self._steps(0, max(0, last + job.minutes - job.due))
        start, late = (self.step * x for x in steps)
        cp.add(late >= start + job.minutes - job.due).only_enforce_if(placed)
        whole = cp.new_optional_fixed_size_interval_var(start, job.minutes, placed, "")
        item = self.jobs[job.id] = JobVars(job, start, placed, late, whole, steps)
        item.ways = [(way, cp.new_bool_var("")) for way in self._ways(job)]
        item.crews = [(c, cp.new_bool_var("")) for c in self._crews(job)]
        cp.add(sum(x for _, x in item.ways) == placed)
        cp.add(sum(x for _, x in item.crews) == placed)
        for way, x in item.ways:
            for c, y in item.crews:
                if not self._crew_may(c, job, way.bay):
                    cp.add_bool_or([x.negated(), y.negated()])

    def _ways(self, job: DayJob) -> list[Way]:
        """Ways whose pieces are there at all (or may be relieved)."""
        return [
            way
            for way in job.ways
            if all(
                n <= self.day.held[p, SHELF] or (Scarce.PIECE, p) in self.extra
                for p, n in self.day.from_shelf(way)
            )
        ]

    def _crews(self, job: DayJob) -> list[int]:
        """Crews with the skill; helpers of a relief stand behind the real ones, as -1, -2, ..."""
        real = [c for c, crew in enumerate(self.crews) if job.skill in ("", *crew.people[0].skills)]
        helper = (Scarce.PERSON, job.skill)
        return real + [-1 - i for i, r in enumerate(self.plan.relief) if r == helper]

    def _crew_may(self, c: int, job: DayJob, bay: str) -> bool:
        return c < 0 or self.crews[c].may(job, bay)

    def _interval(self, item: JobVars, present: Any) -> Any:
        size = item.job.minutes
        return self.cp.new_optional_fixed_size_interval_var(item.start, size, present, "")

    def _fixed(self, stretches: Iterable[Stretch]) -> list[Any]:
        return [self.cp.new_fixed_size_interval_var(a, b - a, "") for a, b in stretches]

    def _capacity(self, intervals: list[Any], demands: list[int], capacity: int, more: Any) -> None:
        if more is None and capacity == 1:
            self.cp.add_no_overlap(intervals)
        elif intervals:
            room = capacity if more is None else capacity + more
            self.cp.add_cumulative(intervals, demands, room)

    def _add_bays(self) -> None:
        for bay in self.day.bays:
            here = [
                self._interval(item, x)
                for item in self.jobs.values()
                for way, x in item.ways
                if way.bay == bay.id
            ]
            here += self._fixed([*bay.out, *_times(self.plan.fixed, bay=bay.id)])
            self._capacity(here, [1] * len(here), 1, self.extra.get((Scarce.BAY, bay.id)))

    def _add_people(self) -> None:
        for c, crew in enumerate(self.crews):
            here = self._of_crew(c)
            off = self._off_hours(crew.people[0])
            n = len(crew.people)
            self._capacity(here + off, [1] * len(here) + [n] * len(off), n, None)
        for i, resource in enumerate(self.plan.relief):
            here = self._of_crew(-1 - i)
            self._capacity(here, [1] * len(here), 0, self.extra[resource])

    def _of_crew(self, c: int) -> list[Any]:
        stay = [(s.start, s.end) for s in self.plan.fixed if self.crew_of[s.person] == c]
        free = [(item, y) for item in self.jobs.values() for k, y in item.crews if k == c]
        return [*(self._interval(item, y) for item, y in free), *self._fixed(stay)]

    def _off_hours(self, person: DayPerson) -> list[Any]:
        """When a person is not there; the last of it begins later by the overtime granted."""
        ends = [0, *(high for _, high in person.hours)]
        starts = [*(low for low, _ in person.hours), self.end]
        gaps = [(a, b) for a, b in zip(ends, starts, strict=True) if a < b]
        overtime = self.extra.get((Scarce.HOURS, ""))
        if overtime is None:
            return self._fixed(gaps)
        home, end = ends[-1] + overtime, self.end
        left = self.end - ends[-1] - overtime
        return [*self._fixed(gaps[:-1]), self.cp.new_interval_var(home, left, end, "")]

    def _add_pieces(self) -> None:
        users: dict[str, list[tuple[Any, int]]] = defaultdict(list)
        for item in self.jobs.values():
            drawn = [(x, dict(self.day.from_shelf(way))) for way, x in item.ways]
            for piece in sorted({p for _, needs in drawn for p in needs}):
                for n in sorted({needs.get(piece, 0) for _, needs in drawn} - {0}):
                    xs = [x for x, needs in drawn if needs.get(piece) == n]
                    users[piece].append((self._one_of(item, xs), n))
        for s in self.plan.fixed:
            for piece, n in self.day.from_shelf(Way(s.bay, s.needs)):
                users[piece] += [(i, n) for i in self._fixed([(s.start, s.end)])]
        for piece, found in users.items():
            more = self.extra.get((Scarce.PIECE, piece))
            held = self.day.held[piece, SHELF]
            self._capacity([i for i, _ in found], [n for _, n in found], held, more)

    def _one_of(self, item: JobVars, xs: list[Any]) -> Any:
        """The job's interval while one of these ways is taken: its own when they are all it has."""
        if len(xs) == len(item.ways):
            return item.whole
        present = xs[0] if len(xs) == 1 else self.cp.new_bool_var("")
        if len(xs) > 1:
            self.cp.add(sum(xs) == present)
        return self._interval(item, present)

    def add_totals(self) -> None:
        """Rows that follow from the others and sharpen the bound: all bays, all people together."""
        whole = [item.whole for item in self.jobs.values()]
        whole += self._fixed(_times(self.plan.fixed))
        out = [i for bay in self.day.bays for i in self._fixed(bay.out)]
        self._capacity(whole + out, [1] * len(whole + out), len(self.day.bays), None)
        off = [(i, len(c.people)) for c in self.crews for i in self._off_hours(c.people[0])]
        demands = [1] * len(whole) + [n for _, n in off]
        self._capacity(whole + [i for i, _ in off], demands, len(self.day.people), None)

    # --- solving ------------------------------------------------------------------------------

    def lateness(self) -> Any:
        """Minutes late, each job's by its weight."""
        return sum(item.job.weight * item.late for item in self.jobs.values())

    def relief_cost(self) -> Any:
        """Fewest kinds of relief, then least of it; at least some."""
        total = sum(self.extra.values())
        self.cp.add(total >= 1)
        kinds = []
        for x in self.extra.values():
            used = self.cp.new_bool_var("")
            self.cp.add(x == 0).only_enforce_if(used.negated())
            kinds.append(used)
        return 100 * OVERTIME * sum(kinds) + total

    def moved(self, item: JobVars, way: Any, person: Any, old: tuple[int, int]) -> Any:
        """Whether a job on the board leaves its way, its person, or its start by more than so much.

        `way` and `person` are expressions that are 1 where it keeps them; `old` the start before
        and the tolerance.
        """
        moved = self.cp.new_bool_var("")
        stays = [moved.negated(), item.placed]
        self.cp.add(way == 1).only_enforce_if(stays)
        self.cp.add(person == 1).only_enforce_if(stays)
        start, tolerance = old
        self.cp.add(item.start >= start - tolerance).only_enforce_if(stays)
        self.cp.add(item.start <= start + tolerance).only_enforce_if(stays)
        return moved

    def left_off(self) -> Any:
        """Number of jobs that are not on the board."""
        return sum(1 - item.placed for item in self.jobs.values())

    def overrun(self, end: int) -> Any:
        """Minutes that jobs end after a time, all together."""
        over = []
        for item in self.jobs.values():
            x = self._time(0, max(0, self.end - end) + self.step - 1)
            self.cp.add(x >= item.start + item.job.minutes - end).only_enforce_if(item.placed)
            over.append(x)
        return sum(over)

    def makespan(self) -> Any:
        """The end of the last job."""
        last = self._time(0, self.end)
        for item in self.jobs.values():
            self.cp.add(last >= item.start + item.job.minutes).only_enforce_if(item.placed)
        return last

    def hint(self, slots: Iterable[Slot]) -> None:
        """Start the search at a board that is known."""
        self.cp.clear_hints()
        for slot in slots:
            if slot.job in self.jobs:
                self._hint_job(self.jobs[slot.job], slot)

    def _hint_job(self, item: JobVars, slot: Slot) -> None:
        for x, minutes in zip(item.steps, (slot.start, slot.late), strict=True):
            self.cp.add_hint(x, minutes // self.step)
        for way, x in item.ways:
            self.cp.add_hint(x, (way.bay, merged(way.needs)) == (slot.bay, slot.needs))
        for c, y in item.crews:
            here = c >= 0 and any(p.id == slot.person for p in self.crews[c].people)
            self.cp.add_hint(y, here)

    def minimise(self, goal: Any, work: float, effort: Effort) -> Found:
        """Minimise one aim with so much work; the answer stays here for `slots` and `value`."""
        from ortools.sat.python import cp_model

        self.cp.minimize(goal)
        solver = cp_model.CpSolver()
        _set_parameters(solver, work, effort)
        status = solver.solve(self.cp)
        proof = _PROOFS[solver.status_name(status)]
        if proof.has_answer:
            self.solver = solver
        return _found(solver, proof, effort)

    def value(self, variable: Any) -> int:
        """A variable's value in the last answer."""
        return int(self.solver.value(variable))

    def slots(self) -> list[Slot]:
        """The board of the last answer, slots that stay included, people named anew."""
        jobs = {j.id: j for j in self.day.jobs}
        drafts = [
            (s.start, jobs[s.job], Way(s.bay, s.needs), self.crew_of[s.person])
            for s in self.plan.fixed
        ]
        for item in self.jobs.values():
            way = next((w for w, x in item.ways if self.value(x)), None)
            crew = next((c for c, y in item.crews if self.value(y)), None)
            if way is not None and crew is not None:
                drafts.append((self.value(item.start), item.job, way, crew))
        return _named(self.crews, sorted(drafts, key=lambda d: (d[0], d[1].id)))


_PROOFS = {
    "OPTIMAL": Proof.OPTIMAL,
    "FEASIBLE": Proof.FEASIBLE,
    "INFEASIBLE": Proof.INFEASIBLE,
    "UNKNOWN": Proof.LIMIT,
}


def _set_parameters(solver: Any, work: float, effort: Effort) -> None:
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = effort.seed
    solver.parameters.max_deterministic_time = work
    solver.parameters.max_time_in_seconds = effort.seconds
    solver.parameters.linearization_level = 0  # measured: the best ends are found sooner without


def _found(solver: Any, proof: Proof, effort: Effort) -> Found:
    in_time = proof in (Proof.OPTIMAL, Proof.INFEASIBLE) or solver.wall_time < effort.seconds
    if not proof.has_answer:
        return Found(proof, nan, nan, in_time)
    return Found(proof, solver.objective_value, solver.best_objective_bound, in_time)


def _times(slots: Iterable[Slot], bay: str = "") -> list[Stretch]:
    return [(s.start, s.end) for s in slots if bay in ("", s.bay)]


def crews_of(day: Day, *, one_by_one: bool) -> list[Crew]:
    """People by hours, skills and bays, in the order of the list."""
    groups: dict[Any, list[DayPerson]] = defaultdict(list)
    for p in day.people:
        alike = (p.hours, frozenset(p.skills), p.bays and frozenset(p.bays))
        groups[p.id if one_by_one else alike].append(p)
    return [Crew(tuple(people)) for people in groups.values()]


def _named(crews: Sequence[Crew], drafts: Iterable[tuple[int, DayJob, Way, int]]) -> list[Slot]:
    """Slots with people: the first of the crew who is free, which always exists."""
    free: dict[str, int] = defaultdict(int)
    slots = []
    for start, job, way, c in drafts:
        people = crews[c].people if c >= 0 else ()
        person = next((p.id for p in people if free[p.id] <= start), "")
        free[person] = start + job.minutes
        slots.append(slot_at(job, way, person, start))
    return slots
