"""A better board from a board: set some jobs free, solve for those, keep what is no worse.

Large-neighbourhood search (Shaw, CP 1998, 417-431) with CP-SAT solving each neighbourhood. It
repeats exactly: the choices come from a seeded generator and each solve stops by work, not by time.
"""

from __future__ import annotations

import random
import time
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from underset.studies.day_case import Day, DayJob, Slot
from underset.studies.day_model import DayModel, Effort, Plan
from underset.studies.kit_case import Way
from underset.studies.proof import Proof

LEAST, MOST = 6, 24


def _is_late(slot: Slot) -> bool:
    return slot.late > 0


@dataclass(frozen=True, slots=True)
class Aim:
    """What makes a board better: the model's expression, and the same counted from slots.

    `troubled` tells the slots at which to look first; `marks` times that the aim knows of.
    """

    name: str
    of_model: Callable[[DayModel], Any]
    of_slots: Callable[[Iterable[Slot]], int]
    one_by_one: bool = False
    troubled: Callable[[Slot], bool] = _is_late
    marks: tuple[int, ...] = ()


@dataclass(slots=True)
class Search:
    """The state of one search; `settled` once one solve with all jobs free went all the way."""

    day: Day
    aim: Aim
    movable: frozenset[str]
    off_cost: int
    slots: list[Slot]
    stop_at: int = 0
    size: int = 12
    settled: bool = False

    def cost(self, slots: Sequence[Slot]) -> int:
        """The aim's count, and the cost of every job that is not on the board."""
        left = len(self.movable) - sum(s.job in self.movable for s in slots)
        return self.aim.of_slots(slots) + self.off_cost * left


def improve(search: Search, rounds: int, effort: Effort) -> bool:
    """Rounds of setting free and solving; gives False when the guard on wall time cut it short."""
    rng = random.Random(effort.seed)
    jobs = {j.id: j for j in search.day.jobs}
    until = time.monotonic() + effort.seconds
    for _ in range(rounds):
        if search.settled or search.cost(search.slots) <= search.stop_at:
            return True
        if time.monotonic() > until:
            return False
        free = _neighbourhood(search, rng, jobs)
        _solve(search, [jobs[i] for i in sorted(free)], effort.until(until))
    return True


def _solve(search: Search, free: Sequence[DayJob], effort: Effort) -> None:
    ids, free = {j.id for j in free}, tuple(free)
    all_on = ids <= {s.job for s in search.slots}
    plan = Plan(
        must=free if all_on else (),
        may=() if all_on else free,
        fixed=tuple(s for s in search.slots if s.job not in ids),
        one_by_one=search.aim.one_by_one,
        marks=search.aim.marks,
    )
    model = DayModel(search.day, plan)
    model.hint(s for s in search.slots if s.job in ids)
    goal = search.aim.of_model(model) + search.off_cost * model.left_off()
    found = model.minimise(goal, effort.round_work, effort)
    larger, smaller = min(MOST, search.size + 1), max(LEAST + 2, search.size - 1)
    search.size = larger if found.proof.proved else smaller
    if found.proof.has_answer:
        slots = model.slots()
        if search.cost(slots) <= search.cost(search.slots):
            search.slots = slots
    search.settled = found.proof is Proof.OPTIMAL and ids == search.movable


def _neighbourhood(search: Search, rng: random.Random, jobs: dict[str, DayJob]) -> set[str]:
    """A job in trouble and those near it in time, or after the same pieces."""
    slots = [s for s in search.slots if s.job in search.movable]
    off = sorted(search.movable - {s.job for s in slots})
    trouble = off + [s.job for s in slots if search.aim.troubled(s)]
    seed = rng.choice(trouble if trouble and rng.random() < 0.8 else sorted(search.movable))
    starts = {s.job: s.start for s in slots}
    at = starts.get(seed, jobs[seed].release)
    pieces = {i: _pieces(search.day, jobs[i].ways) for i in search.movable}
    alike = pieces[seed] if rng.random() < 0.5 else None
    noise = {i: rng.random() * 60 for i in sorted(search.movable)}

    def distance(i: str) -> float:
        far = 0 if alike is None or alike & pieces[i] else 240
        return abs(starts.get(i, jobs[i].release) - at) + far + noise[i]

    near = sorted(search.movable - {seed}, key=distance)
    return {seed, *near[: rng.randint(LEAST, search.size)]}


def _pieces(day: Day, ways: Iterable[Way]) -> frozenset[str]:
    return frozenset(p for w in ways for p, _ in day.from_shelf(w))
