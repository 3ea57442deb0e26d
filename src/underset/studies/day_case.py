"""The day as it is given and as it comes out: jobs, bays, people, pieces; the board and its faults.

All times are whole minutes from midnight. A job takes one bay, one person, and the pieces of the
way it is done in (adapters and stands alike) from its start to its end, without a pause: a job
that may straddle a break needs hours without that break.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property
from itertools import pairwise
from math import gcd

from underset.errors import InputError
from underset.studies.kit_case import SHELF, Needs, Stock, Way, merged
from underset.studies.proof import Goal, Proof

Stretch = tuple[int, int]
LONGEST = 7 * 24 * 60  # minutes; a board is for a day or a few


@dataclass(frozen=True, slots=True)
class DayJob:
    """A job of the day: how long, from when, until when, what skill, and the ways it can be done.

    `weight` says how much a minute late counts against other jobs' minutes.
    """

    id: str
    vehicle: str
    minutes: int
    due: int
    ways: tuple[Way, ...]
    release: int = 0
    skill: str = ""
    weight: int = 1


@dataclass(frozen=True, slots=True)
class DayBay:
    """A bay, and when its lift is out of service."""

    id: str
    out: tuple[Stretch, ...] = ()


@dataclass(frozen=True, slots=True)
class DayPerson:
    """Somebody who works: skills, hours, and the bays they are authorised for (None: all)."""

    id: str
    hours: tuple[Stretch, ...]
    skills: tuple[str, ...] = ()
    bays: tuple[str, ...] | None = None

    def may(self, job: DayJob, bay: str) -> bool:
        """Whether skill and authorisation allow this person to do the job in the bay."""
        return job.skill in ("", *self.skills) and (self.bays is None or bay in self.bays)


@dataclass(frozen=True)
class Day:
    """Everything the board is made of. Raises InputError on the first figure that cannot be."""

    jobs: tuple[DayJob, ...]
    bays: tuple[DayBay, ...]
    people: tuple[DayPerson, ...]
    stock: tuple[Stock, ...] = ()

    def __post_init__(self) -> None:
        """Refuse figures that no day can have."""
        _check(self)

    @cached_property
    def held(self) -> Counter[tuple[str, str]]:
        """Pieces by (type, place)."""
        counts: Counter[tuple[str, str]] = Counter()
        for s in self.stock:
            counts[s.piece, s.where] += s.count
        return counts

    @cached_property
    def end(self) -> int:
        """When the last person goes home."""
        return max((high for p in self.people for _, high in p.hours), default=0)

    @cached_property
    def begin(self) -> int:
        """When the first person comes."""
        return min((low for p in self.people for low, _ in p.hours), default=0)

    def from_shelf(self, way: Way) -> Needs:
        """What a way takes off the shared shelf beyond what stands at its bay."""
        drawn = ((p, n - self.held[p, way.bay]) for p, n in merged(way.needs))
        return tuple((p, n) for p, n in drawn if n > 0)


@dataclass(frozen=True, slots=True)
class Slot:
    """A job on the board."""

    job: str
    bay: str
    person: str
    start: int
    end: int
    late: int
    needs: Needs


class Scarce(StrEnum):
    """Kinds of what can be short."""

    BAY = "bay"
    PERSON = "person"
    PIECE = "piece"
    STRETCH = "stretch"
    HOURS = "hours"


@dataclass(frozen=True, slots=True)
class Short:
    """A resource that is short: how much there is and how much would do.

    For a bay, a person (by skill) or a piece these are counts; for a stretch, minutes that somebody
    is there on end; for hours, the time at which the day ends.
    """

    kind: Scarce
    name: str
    have: int
    want: int


@dataclass(frozen=True, slots=True)
class Refusal:
    """A job that is not on the board, and why.

    Each entry of `any_of` would do alone; `all_of` only together. `settled` is False where the
    search for reasons stopped at its limit, so that more may help than is listed.
    """

    job: str
    any_of: tuple[Short, ...]
    all_of: tuple[Short, ...] = ()
    settled: bool = True


@dataclass(frozen=True, slots=True)
class Change:
    """What a new board changes for one job: bay, person or start, before and after, and why.

    "again": it had begun, could not stay, and begins anew at full length. `why` is what spoke
    against the place or person of before, as a fault is called; empty where only other jobs did.
    """

    job: str
    what: str
    before: str | int
    after: str | int
    why: str = ""


@dataclass(frozen=True, slots=True)
class Board:
    """The day's board. `goals` in the order in which they were pursued, each with its bound."""

    proof: Proof
    goals: tuple[Goal, ...]
    slots: tuple[Slot, ...]
    refusals: tuple[Refusal, ...] = ()
    changes: tuple[Change, ...] = ()
    repeatable: bool = True

    @property
    def complete(self) -> bool:
        """Whether every job is on the board."""
        return not self.refusals

    def goal(self, name: str) -> Goal:
        """One aim by name."""
        return next(g for g in self.goals if g.name == name)


def step_of(day: Day, slots: Iterable[Slot] = (), marks: Iterable[int] = ()) -> int:
    """The greatest step of which every time of the day is a multiple, minutes.

    On a board where no job can start earlier, every start is a time of the day plus lengths of
    jobs, so some best board stands on this step, and what no board can beat rounds up to it.
    """
    times = [*marks]
    for j in day.jobs:
        times += (j.minutes, j.release, j.due)
    for stretches in (*(b.out for b in day.bays), *(p.hours for p in day.people)):
        times += (t for stretch in stretches for t in stretch)
    times += (t for s in slots for t in (s.start, s.end))
    return max(1, gcd(*times))


@dataclass(frozen=True, slots=True)
class Fault:
    """Something a board must not have: what, where, and the jobs in it."""

    what: str
    name: str
    jobs: tuple[str, ...]


def faults(day: Day, slots: Sequence[Slot]) -> list[Fault]:
    """Everything wrong with a board, found slot by slot without any solver."""
    jobs = {j.id: j for j in day.jobs}
    bays, people = {b.id: b for b in day.bays}, {p.id: p for p in day.people}
    found: list[Fault] = []
    for s in slots:
        found += _slot_faults(s, jobs[s.job], bays[s.bay], people[s.person])
    found += _overlaps("two jobs in one bay", {s: s.bay for s in slots})
    found += _overlaps("two jobs for one person", {s: s.person for s in slots})
    found += [
        Fault("job twice", j, (j,)) for j, n in Counter(s.job for s in slots).items() if n > 1
    ]
    return found + list(_piece_faults(day, slots))


def _slot_faults(slot: Slot, job: DayJob, bay: DayBay, person: DayPerson) -> Iterator[Fault]:
    said = {
        "duration": slot.end - slot.start == job.minutes,
        "too early": slot.start >= job.release,
        "lateness": slot.late == max(0, slot.end - job.due),
        "way": any(w.bay == slot.bay and merged(w.needs) == slot.needs for w in job.ways),
        "skill": person.may(job, slot.bay),
        "hours": any(low <= slot.start and slot.end <= high for low, high in person.hours),
        "out of service": not any(_meet(slot, s) for s in bay.out),
    }
    return (Fault(what, slot.job, (slot.job,)) for what, good in said.items() if not good)


def _meet(slot: Slot, stretch: Stretch) -> bool:
    return slot.start < stretch[1] and stretch[0] < slot.end


def _overlaps(what: str, place: dict[Slot, str]) -> Iterator[Fault]:
    ordered = sorted(place, key=lambda s: (place[s], s.start, s.end))
    for a, b in pairwise(ordered):
        if place[a] == place[b] and b.start < a.end:
            yield Fault(what, place[a], (a.job, b.job))


def _piece_faults(day: Day, slots: Sequence[Slot]) -> Iterator[Fault]:
    drawn = {s: dict(day.from_shelf(Way(s.bay, s.needs))) for s in slots}
    for at in sorted({s.start for s in slots}):
        running = [s for s in slots if s.start <= at < s.end]
        use: Counter[str] = Counter()
        for s in running:
            use.update(drawn[s])
        for piece, n in use.items():
            if n > day.held[piece, SHELF]:
                yield Fault("pieces", piece, tuple(s.job for s in running if piece in drawn[s]))


def _check(day: Day) -> None:
    for kind, ids in _lists(day):
        twice = [i for i, n in Counter(ids).items() if n > 1]
        if twice:
            raise InputError(kind, twice[0], f"every {kind} stands on the list once")
    bays = {b.id for b in day.bays}
    for job in day.jobs:
        _check_job(job, bays)
    for b in day.bays:
        _check_stretches(f"bay {b.id}", b.out)
    for p in day.people:
        _check_stretches(f"person {p.id}", p.hours)
    for s in day.stock:
        if not 0 <= s.count <= 1000:
            raise InputError(f"stock, {s.piece}", s.count, "pieces owned are from 0 to 1000")


def _lists(day: Day) -> tuple[tuple[str, list[str]], ...]:
    return (
        ("job", [j.id for j in day.jobs]),
        ("bay", [b.id for b in day.bays]),
        ("person", [p.id for p in day.people]),
    )


def _check_job(job: DayJob, bays: set[str]) -> None:
    where = f"job {job.id}"
    if not 1 <= job.minutes <= LONGEST:
        raise InputError(where, job.minutes, f"a job takes from 1 to {LONGEST} minutes")
    for at in (job.release, job.due):
        if not 0 <= at <= LONGEST:
            raise InputError(where, at, f"times are minutes from midnight, 0 to {LONGEST}")
    if not 0 <= job.weight <= 1000:
        raise InputError(where, job.weight, "a weight is from 0 to 1000")
    for way in job.ways:
        if way.bay not in bays:
            raise InputError(where, way.bay, "a way names a bay on the list")
        if any(not 1 <= n <= 1000 for _, n in way.needs):
            raise InputError(where, way.needs, "pieces are counted from 1 to 1000")


def _check_stretches(where: str, stretches: Iterable[Stretch]) -> None:
    before = -1
    for low, high in stretches:
        if not before < low < high <= LONGEST:
            allowed = "stretches are (from, to) in minutes, in order, with a gap between them"
            raise InputError(where, (low, high), allowed)
        before = high
