"""A board without a solver: job after job, each where it ends first.

Gives the solver a start, closes gaps that its answer leaves, and is what a shop would do by hand.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Sequence

from underset.studies.day_case import Day, DayJob, DayPerson, Slot, Stretch
from underset.studies.kit_case import SHELF, Needs, Way, merged


def by_due_time(day: Day, jobs: Iterable[DayJob], placed: Sequence[Slot] = ()) -> list[Slot]:
    """Jobs by due time, each in the way and with the person that end it first; some may not fit."""
    slots = list(placed)
    for job in sorted(jobs, key=lambda j: (j.due, j.release, j.id)):
        best = min(_options(day, slots, job), key=lambda s: s.start, default=None)
        if best is not None:
            slots.append(best)
    return slots[len(placed) :]


def left_shifted(day: Day, slots: Sequence[Slot], movable: Collection[str]) -> list[Slot]:
    """Every movable job as early as it goes in its bay with its person, in the order of starts.

    No job becomes later: in that order each finds its old place still free, as those before it
    only moved away to earlier times.
    """
    jobs = {j.id: j for j in day.jobs}
    people = {p.id: p for p in day.people}
    moved = [s for s in slots if s.job not in movable]
    free = [s for s in slots if s.job in movable]
    for s in sorted(free, key=lambda s: (s.start, s.end, s.job)):
        way, job = Way(s.bay, s.needs), jobs[s.job]
        start = earliest(day, moved, job, way, people[s.person])
        moved.append(slot_at(job, way, s.person, s.start if start is None else start))
    return moved


def slot_at(job: DayJob, way: Way, person: str, start: int) -> Slot:
    """The job on the board at this start."""
    end = start + job.minutes
    return Slot(job.id, way.bay, person, start, end, max(0, end - job.due), merged(way.needs))


def earliest(
    day: Day, slots: Sequence[Slot], job: DayJob, way: Way, person: DayPerson
) -> int | None:
    """First start at which the job fits among the slots, or None on this day."""
    needs = day.from_shelf(way)
    if not person.may(job, way.bay) or any(n > day.held[p, SHELF] for p, n in needs):
        return None
    busy = [*next(b.out for b in day.bays if b.id == way.bay)]
    busy += [(s.start, s.end) for s in slots if s.bay == way.bay or s.person == person.id]
    at, last = job.release, day.end - job.minutes
    while at <= last:
        run = (at, at + job.minutes)
        waits = [
            _hours_wait(run, person),
            _busy_wait(run, busy),
            _piece_wait(day, slots, run, needs),
        ]
        if max(waits) <= at:
            return at
        at = max(waits)
    return None


def _options(day: Day, slots: Sequence[Slot], job: DayJob) -> Iterable[Slot]:
    for way in job.ways:
        for person in day.people:
            start = earliest(day, slots, job, way, person)
            if start is not None:
                yield slot_at(job, way, person.id, start)


def _hours_wait(run: Stretch, person: DayPerson) -> int:
    """Time until which the person's hours want the run to wait; its start when they do not."""
    for low, high in person.hours:
        if run[0] < low:
            return low
        if run[1] <= high:
            return run[0]
    return run[1] + 10**6


def _busy_wait(run: Stretch, busy: Iterable[Stretch]) -> int:
    return max((high for low, high in busy if run[0] < high and low < run[1]), default=run[0])


def _piece_wait(day: Day, slots: Sequence[Slot], run: Stretch, needs: Needs) -> int:
    """Time at which the first user goes that must go before the pieces reach for the whole run."""
    for piece, n in needs:
        users = [
            (s, k)
            for s in slots
            if s.start < run[1] and run[0] < s.end
            if (k := _drawn(day, s, piece))
        ]
        for at in (run[0], *(s.start for s, _ in users if s.start > run[0])):
            used = sum(k for s, k in users if s.start <= at < s.end)
            if used + n > day.held[piece, SHELF]:
                return min(s.end for s, _ in users if s.end > run[0] and s.start <= at < s.end)
    return run[0]


def _drawn(day: Day, slot: Slot, piece: str) -> int:
    return Counter(dict(day.from_shelf(Way(slot.bay, slot.needs))))[piece]
