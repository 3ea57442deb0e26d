"""What no board can beat: a linear programme that lets jobs be cut up and mixed.

Time is cut into slots of g minutes; a job puts z minutes into each slot, all of them its length.
In every slot the minutes that need a bay, a skill or a piece are no more than there are. A job that
runs without a pause ends half its length after the mean of its minutes, so lateness is at least

    sum(z * middle of slot) / length + length / 2 - due - g^2 / (8 length)

where the last term pays for the slot in which the job ends early. Mean busy times: Goemans et al.,
SIAM J. Discrete Math. 15 (2002), 165-192.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import ceil, inf

from underset.studies.day_case import Day, DayJob, DayPerson, Stretch
from underset.studies.kit_case import SHELF
from underset.studies.milp import Limits, Milp
from underset.studies.proof import Proof

STEP = 10


@dataclass(frozen=True, slots=True)
class Share:
    """A resource as the programme sees it: minutes in every slot, and how much each job takes."""

    minutes: tuple[float, ...]
    users: Mapping[str, int]


def least_lateness(day: Day, jobs: Sequence[DayJob], seconds: float = 20.0) -> int:
    """Weighted minutes late that no board of all these jobs can go below; 0 when not settled."""
    if not jobs:
        return 0
    milp, cells = _cells(day, jobs)
    cost: dict[int, float] = {}
    for job in jobs:
        late = milp.column(inf)
        cost[late] = float(job.weight)
        milp.row([(j, 1.0) for j, _ in cells[job.id]], job.minutes, job.minutes)
        mean = [(j, -middle / job.minutes) for j, middle in cells[job.id]]
        rest = job.minutes / 2 - job.due - STEP * STEP / (8 * job.minutes)
        milp.row([(late, 1.0), *mean], lower=rest)
    found = milp.minimise(cost, Limits(seconds=seconds))
    return ceil(found.objective - 1e-4) if found.proof is Proof.OPTIMAL else 0


def least_left_off(day: Day, jobs: Sequence[DayJob], seconds: float = 20.0) -> int:
    """Number of these jobs that no board can hold; 0 when not settled."""
    if not jobs:
        return 0
    milp, cells = _cells(day, jobs)
    cost: dict[int, float] = {}
    for job in jobs:
        on = milp.column(1.0)
        cost[on] = -1.0
        milp.row([(on, -float(job.minutes)), *((j, 1.0) for j, _ in cells[job.id])], 0.0, 0.0)
    found = milp.minimise(cost, Limits(seconds=seconds))
    return ceil(len(jobs) + found.objective - 1e-4) if found.proof is Proof.OPTIMAL else 0


def earliest_end(day: Day, jobs: Sequence[DayJob]) -> int:
    """End of the last job that no board can beat: all work released from some time on must fit."""
    slots = [(a, a + STEP) for a in range(0, day.end, STEP)]
    alone = [max(j.release, day.begin) + j.minutes for j in jobs]
    filled = [
        _filled(share, slots, jobs, begin)
        for share in _shares(day, jobs, slots)
        for begin in sorted({j.release for j in jobs})
    ]
    return max([*alone, *filled], default=day.begin)


def _filled(share: Share, slots: Sequence[Stretch], jobs: Sequence[DayJob], begin: int) -> int:
    """Time at which the share has had room for its jobs released no earlier than `begin`."""
    work = float(sum(j.minutes * share.users.get(j.id, 0) for j in jobs if j.release >= begin))
    units = max(share.minutes, default=0.0) / STEP
    for slot, minutes in zip(slots, share.minutes, strict=True):
        room = min(minutes, units * overlap(slot, (begin, slot[1])))
        if room >= work > 0.0:
            return ceil(max(slot[0], begin) + work / units - 1e-6)
        work -= room
    return 0


def _cells(day: Day, jobs: Sequence[DayJob]) -> tuple[Milp, dict[str, list[tuple[int, float]]]]:
    """A programme with a column for every job and slot, within all shares; with slot middles."""
    milp = Milp()
    slots = [(a, a + STEP) for a in range(0, day.end, STEP)]
    cells: dict[str, list[tuple[int, float]]] = {}
    by_slot: list[dict[str, int]] = [{} for _ in slots]
    for job in jobs:
        cells[job.id] = []
        for k, slot in enumerate(slots):
            room = overlap(slot, (job.release, day.end))
            if room > 0:
                j = by_slot[k][job.id] = milp.column(float(room))
                cells[job.id].append((j, slot[0] + STEP / 2))
    for share in _shares(day, jobs, slots):
        for k, minutes in enumerate(share.minutes):
            here = by_slot[k]
            terms = [(here[i], float(n)) for i, n in share.users.items() if i in here]
            if terms:
                milp.row(terms, upper=minutes)
    return milp, cells


def _shares(day: Day, jobs: Sequence[DayJob], slots: Sequence[Stretch]) -> Iterable[Share]:
    allowed = {j.id: frozenset(w.bay for w in j.ways) for j in jobs}
    everywhere = frozenset(b.id for b in day.bays)
    for some in sorted({*allowed.values(), everywhere}, key=sorted):
        bays = [b for b in day.bays if b.id in some]
        free = tuple(sum(STEP - _part(s, b.out) for b in bays) for s in slots)
        yield Share(free, {i: 1 for i, bays_of in allowed.items() if bays_of <= some})
    for skill in sorted({"", *(j.skill for j in jobs)}):
        able = [p for p in day.people if skill in ("", *p.skills)]
        there = tuple(_on_duty(able, s) for s in slots)
        yield Share(there, {j.id: 1 for j in jobs if skill in ("", j.skill)})
    for piece in sorted({p for j in jobs for w in j.ways for p, _ in w.needs}):
        users = {j.id: min(dict(day.from_shelf(w)).get(piece, 0) for w in j.ways) for j in jobs}
        minutes = float(day.held[piece, SHELF] * STEP)
        yield Share((minutes,) * len(slots), {i: n for i, n in users.items() if n})


def overlap(one: Stretch, other: Stretch) -> int:
    """Minutes that two stretches share."""
    return max(0, min(one[1], other[1]) - max(one[0], other[0]))


def _part(slot: Stretch, stretches: Iterable[Stretch]) -> float:
    return float(sum(overlap(slot, s) for s in stretches))


def _on_duty(people: Iterable[DayPerson], slot: Stretch) -> float:
    return sum(_part(slot, p.hours) for p in people)
