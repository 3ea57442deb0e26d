"""What a new board changes for a day that has begun, and why; people kept where nothing hinders."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

from underset.studies.day_case import Change, Day, DayJob, Fault, Slot, faults
from underset.studies.day_greedy import slot_at
from underset.studies.kit_case import Way

GONE = "not there"


def people_kept(
    day: Day, slots: Sequence[Slot], old: Mapping[str, Slot], fixed: frozenset[str]
) -> list[Slot]:
    """The same board with each job's person of before, where that breaks nothing.

    Two jobs change their people with each other only when the other one's is not its own of
    before. No start moves, so no aim is worse. `fixed` jobs stay as they are.
    """
    people, kept = {p.id for p in day.people}, list(slots)
    for job in sorted(s.job for s in slots if s.job in old and s.job not in fixed):
        i = next(i for i, s in enumerate(kept) if s.job == job)
        wanted = old[job].person
        if kept[i].person == wanted or wanted not in people:
            continue
        tried = [[*kept[:i], replace(kept[i], person=wanted), *kept[i + 1 :]]]
        tried += _swapped(kept, i, wanted, old, fixed)
        kept = next((t for t in tried if not faults(day, t)), kept)
    return kept


def _swapped(
    slots: Sequence[Slot], i: int, wanted: str, old: Mapping[str, Slot], fixed: frozenset[str]
) -> Iterator[list[Slot]]:
    for k, other in enumerate(slots):
        own = old.get(other.job)
        if other.person != wanted or other.job in fixed or (own and own.person == wanted):
            continue
        both = {i: wanted, k: slots[i].person}
        yield [replace(s, person=both.get(n, s.person)) for n, s in enumerate(slots)]


def changes_of(
    day: Day, slots: Sequence[Slot], old: Mapping[str, Slot], now: int
) -> Iterator[Change]:
    """Every change by job: bay, person and start before and after, and what spoke against it.

    A job that had begun and could not stay begins again: at its full length, since the board does
    not know how much of it is done.
    """
    jobs = {j.id: j for j in day.jobs}
    for s in sorted(slots, key=lambda s: s.job):
        was = old.get(s.job)
        if was is None:
            yield Change(s.job, "new", "", s.bay)
            continue
        if was.start < now and s != was and (s.bay, s.start) != (was.bay, was.start):
            yield Change(s.job, "again", was.start, s.start, _why_not_there(day, jobs[s.job], was))
        if was.bay != s.bay:
            yield Change(s.job, "bay", was.bay, s.bay, _why_not_there(day, jobs[s.job], was))
        if was.person != s.person:
            yield Change(s.job, "person", was.person, s.person, _why_not(day, slots, s, was.person))
        if was.start != s.start:
            yield Change(s.job, "start", was.start, s.start)


def _why_not_there(day: Day, job: DayJob, was: Slot) -> str:
    """What speaks against the place of before by itself; empty where nothing does."""
    if was.bay not in {b.id for b in day.bays} or was.person not in {p.id for p in day.people}:
        return GONE
    return _first(faults(day, [slot_at(job, Way(was.bay, was.needs), was.person, was.start)]))


def _why_not(day: Day, slots: Sequence[Slot], slot: Slot, person: str) -> str:
    """What speaks against the person of before where the job stands now; empty: other jobs."""
    if person not in {p.id for p in day.people}:
        return GONE
    return _first(faults(day, [replace(s, person=person) if s == slot else s for s in slots]))


def _first(found: Iterable[Fault]) -> str:
    return next((f.what for f in found if f.what != "too early"), "")


__all__ = ["changes_of", "people_kept"]
