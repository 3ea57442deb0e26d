"""Why a job is not on the board: which resource is short, and how much of it would do.

A job that fits on no empty board is refused by plain counting. Otherwise each resource in turn is
given relief in the model, jobs near the refused one free to move, and the least relief that takes
the job in is what would do. Each figure is backed by a board; a smaller one may exist.
"""

from __future__ import annotations

import time
from collections.abc import Iterable, Sequence
from dataclasses import replace

from underset.studies.day_case import Day, DayJob, Refusal, Scarce, Short, Slot
from underset.studies.day_greedy import earliest
from underset.studies.day_model import DayModel, Effort, Plan, Resource
from underset.studies.kit_case import SHELF, Way

NEAR = 10


def impossible(day: Day, job: DayJob) -> Refusal | None:
    """The refusal of a job that does not fit even when it is alone, or None."""
    if any(earliest(day, [], job, w, p) is not None for w in job.ways for p in day.people):
        return None
    if not job.ways:
        return Refusal(job.id, (Short(Scarce.BAY, "", 0, 1),))
    by_way = [_short_alone(day, job, way) for way in job.ways]
    alone = tuple(dict.fromkeys(s[0] for s in by_way if len(s) == 1))
    if alone:
        return Refusal(job.id, alone)
    return Refusal(job.id, (), min(by_way, key=len))


def _short_alone(day: Day, job: DayJob, way: Way) -> tuple[Short, ...]:
    """All that is missing for this way on an empty board."""
    short = [
        Short(Scarce.PIECE, p, day.held[p, SHELF], n)
        for p, n in day.from_shelf(way)
        if n > day.held[p, SHELF]
    ]
    able = [p for p in day.people if p.may(job, way.bay)]
    if not able:
        short.append(Short(Scarce.PERSON, job.skill, 0, 1))
    bare = replace(job, skill="", ways=(Way(way.bay),))
    people = able or [replace(p, bays=None) for p in day.people]
    if all(earliest(day, [], bare, bare.ways[0], replace(p, bays=None)) is None for p in people):
        short.append(Short(Scarce.STRETCH, "", _longest(day, job, way), job.minutes))
    return tuple(short)


def _longest(day: Day, job: DayJob, way: Way) -> int:
    """Longest job that somebody could do in this bay after the release."""
    bare = replace(job, skill="", ways=(Way(way.bay),))
    low, high = 0, job.minutes
    while low < high - 1:
        middle = (low + high) // 2
        trial = replace(bare, minutes=middle)
        people = [replace(p, bays=None) for p in day.people]
        fits = any(earliest(day, [], trial, trial.ways[0], p) is not None for p in people)
        low, high = (middle, high) if fits else (low, middle)
    return low


def reasons(
    day: Day, slots: Sequence[Slot], job: DayJob, fixed: frozenset[str], effort: Effort
) -> Refusal:
    """The refusal of a job that would fit alone but not on this board."""
    resources = list(_resources(day, job))
    near = _near(slots, job, fixed)
    until = time.monotonic() + effort.seconds

    def least(*relief: Resource) -> tuple[Short, ...]:
        left = effort.until(until)
        return _least(day, slots, job, near, relief, left) if left.seconds > 0.0 else ()

    any_of = tuple(s for r in resources for s in least(r))
    settled = time.monotonic() < until
    if any_of:
        return Refusal(job.id, any_of, settled=settled)
    all_of = least(*resources)
    return Refusal(job.id, (), all_of, settled=bool(all_of) and settled)


def _resources(day: Day, job: DayJob) -> Iterable[Resource]:
    """What this job could be short of."""
    pieces = {p for w in job.ways for p, _ in day.from_shelf(w)}
    yield from ((Scarce.PIECE, p) for p in sorted(pieces))
    yield from ((Scarce.BAY, b) for b in sorted({w.bay for w in job.ways}))
    yield (Scarce.PERSON, job.skill)
    yield (Scarce.HOURS, "")


def _near(slots: Sequence[Slot], job: DayJob, fixed: frozenset[str]) -> list[Slot]:
    """Slots that are freed beside the job: those of its bays and pieces first, then by time."""
    bays = {w.bay for w in job.ways}
    movable = [s for s in slots if s.job not in fixed and s.end > job.release]
    return sorted(movable, key=lambda s: (s.bay not in bays, abs(s.end - job.due), s.job))[:NEAR]


def _least(
    day: Day,
    slots: Sequence[Slot],
    job: DayJob,
    near: Sequence[Slot],
    relief: tuple[Resource, ...],
    effort: Effort,
) -> tuple[Short, ...]:
    """The least relief of these resources that takes the job in; nothing when it does not do."""
    jobs = {j.id: j for j in day.jobs}
    free = {s.job for s in near}
    plan = Plan(
        must=(job, *(jobs[i] for i in sorted(free))),
        fixed=tuple(s for s in slots if s.job not in free),
        relief=relief,
    )
    model = DayModel(day, plan)
    model.hint(near)
    found = model.minimise(model.relief_cost(), effort.round_work, effort)
    if not found.proof.has_answer:
        return ()
    extra = {r: model.value(x) for r, x in model.extra.items()}
    return tuple(_short(day, r, n) for r, n in extra.items() if n > 0)


def _short(day: Day, resource: Resource, extra: int) -> Short:
    kind, name = resource
    if kind is Scarce.PIECE:
        have = day.held[name, SHELF]
    elif kind is Scarce.PERSON:
        have = sum(name in ("", *p.skills) for p in day.people)
    else:
        have = 1 if kind is Scarce.BAY else day.end
    return Short(kind, name, have, have + extra)
