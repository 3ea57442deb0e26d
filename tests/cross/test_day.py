"""The day's board, against trying everything on small days; bounds, reasons and repeatability."""

from __future__ import annotations

import itertools
import os
import random
import subprocess
import sys
from dataclasses import replace

import pytest

from benchmarks.day_cases import day as full_day
from underset.studies.day import (
    Board,
    Day,
    DayBay,
    DayJob,
    DayPerson,
    Effort,
    Proof,
    Scarce,
    Stock,
    Way,
    faults,
    replan,
    schedule,
)
from underset.studies.day_bound import earliest_end, least_lateness, least_left_off
from underset.studies.day_case import step_of
from underset.studies.day_greedy import by_due_time

# Wall time enough for any machine: what stops the solver is its own count of work.
QUICK = Effort(rounds=6, round_work=0.01, proof_work=0.02, seconds=300.0)


def small_day(seed: int) -> Day:
    """Four jobs, two bays, two people, one or two sets of blocks, five hours with a break."""
    rng = random.Random(seed)
    jobs = []
    for i in range(4):
        bays = rng.sample(("east", "west"), rng.choice((1, 2)))
        needs = rng.choice(((), (("block", 4),), (("block", 2), ("stand", 2))))
        release = rng.choice((0, 0, 20, 65))
        jobs.append(
            DayJob(
                f"j{i}",
                "vehicle",
                rng.choice((20, 35, 50, 75, 110)),
                release + rng.choice((60, 120, 200)),
                tuple(Way(b, needs) for b in sorted(bays)),
                release,
                rng.choice(("", "", "brakes")),
                rng.choice((1, 1, 3)),
            )
        )
    out = ((40, 70),) if rng.random() < 0.4 else ()
    people = (
        DayPerson("a", ((0, 120), (140, 300)), ("brakes",)),
        DayPerson("b", ((30, 260),), (), rng.choice((None, ("west",)))),
    )
    stock = (Stock("block", 4), Stock("block", rng.choice((0, 2, 4)), "west"), Stock("stand", 2))
    return Day(tuple(jobs), (DayBay("east", out), DayBay("west")), people, stock)


# --- everything tried, minute by minute, with rules written a second time ------------------------


def free_at(day: Day, placed: list, job: DayJob, way: Way, person: DayPerson, start: int) -> bool:
    end = start + job.minutes
    if start < job.release or not any(a <= start and end <= b for a, b in person.hours):
        return False
    bay = next(b for b in day.bays if b.id == way.bay)
    if any(start < b and a < end for a, b in bay.out):
        return False
    for _, w, p, s, e in placed:
        if start < e and s < end and (w.bay == way.bay or p is person):
            return False
    moments = [start, *(s for *_, s, _ in placed if start < s < end)]
    return all(enough(day, placed, way, at) for at in moments)


def enough(day: Day, placed: list, way: Way, at: int) -> bool:
    running = [w for _, w, _, s, e in placed if s <= at < e] + [way]
    for piece in {p for w in running for p, _ in w.needs}:
        drawn = 0
        for w in running:
            own = sum(s.count for s in day.stock if (s.piece, s.where) == (piece, w.bay))
            drawn += max(0, sum(n for p, n in w.needs if p == piece) - own)
        if drawn > sum(s.count for s in day.stock if (s.piece, s.where) == (piece, "shelf")):
            return False
    return True


def best_by_trying(day: Day) -> tuple[int, int, int]:
    """(left off, weighted lateness, end) of the best board: all orders, ways and people."""
    best = (99, 10**9, 10**9)
    options = {
        j.id: [
            (w, p)
            for w in j.ways
            for p in day.people
            if j.skill in ("", *p.skills) and (p.bays is None or w.bay in p.bays)
        ]
        for j in day.jobs
    }
    for order in itertools.permutations(day.jobs):
        for picks in itertools.product(*(options[j.id] or [None] for j in order)):
            placed: list = []
            for job, pick in zip(order, picks, strict=True):
                if pick is None:
                    continue
                way, person = pick
                at = next(
                    (
                        t
                        for t in candidate_starts(day, placed, job)
                        if free_at(day, placed, job, way, person, t)
                    ),
                    None,
                )
                if at is not None:
                    placed.append((job, way, person, at, at + job.minutes))
            late = sum(j.weight * max(0, e - j.due) for j, *_, e in placed)
            end = max((e for *_, e in placed), default=0)
            best = min(best, (len(day.jobs) - len(placed), late, end))
    return best


def candidate_starts(day: Day, placed: list, job: DayJob) -> list[int]:
    """A job that could start a minute earlier would: starts are releases, ends, returns."""
    times = {job.release, *(e for *_, e in placed)}
    times |= {a for p in day.people for a, _ in p.hours}
    times |= {b for bay in day.bays for _, b in bay.out}
    return sorted(t for t in times if t >= job.release)


SEEDS = range(24)


@pytest.mark.parametrize("seed", SEEDS)
def test_small_days_are_as_good_as_the_best_of_everything_tried(seed: int):
    day = small_day(seed)
    left, late, end = best_by_trying(day)
    board = schedule(day, QUICK)
    assert faults(day, board.slots) == []
    weights = {j.id: j.weight for j in day.jobs}
    assert len(day.jobs) - len(board.slots) == left
    assert sum(weights[s.job] * s.late for s in board.slots) == late
    assert board.goal("lateness").value == late
    if board.proof is Proof.OPTIMAL:
        assert max((s.end for s in board.slots), default=end) == end
    assert len(board.refusals) == left


@pytest.mark.parametrize("seed", SEEDS)
def test_no_bound_claims_more_than_the_best_of_everything_tried(seed: int):
    day = small_day(seed)
    left, late, end = best_by_trying(day)
    assert least_left_off(day, day.jobs) <= left
    if left == 0:
        assert least_lateness(day, day.jobs) <= late
        assert earliest_end(day, day.jobs) <= end
    for goal in schedule(day, QUICK).goals:
        assert goal.bound <= goal.value


def test_bounds_bite_where_the_pieces_are_short():
    jobs = tuple(
        DayJob(f"j{i}", "v", 60, 60, (Way("east", (("block", 4),)), Way("west", (("block", 4),))))
        for i in range(5)
    )
    people = tuple(DayPerson(p, ((0, 240),)) for p in "ab")
    day = Day(jobs, (DayBay("east"), DayBay("west")), people, (Stock("block", 4),))
    assert least_left_off(day, jobs) == 1
    assert earliest_end(day, jobs[:4]) == 240
    # one after another: 0 + 60 + 120 + 180 minutes late; cutting jobs up cannot bring that to half
    assert 180 <= least_lateness(day, jobs[:4]) <= 360
    board = schedule(day, QUICK)
    assert board.goal("left off").value == board.goal("left off").bound == 1
    assert board.goal("lateness").value == 360
    assert board.goal("lateness").gap == 0.0


# --- why not: every reason given is tried --------------------------------------------------------


def with_more(day: Day, kind: Scarce, name: str, job: DayJob, more: int) -> Day:
    if kind is Scarce.PIECE:
        return replace(day, stock=(*day.stock, Stock(name, more)))
    if kind is Scarce.HOURS:
        people = tuple(
            replace(p, hours=(*p.hours[:-1], (p.hours[-1][0], p.hours[-1][1] + more)))
            for p in day.people
        )
        return replace(day, people=people)
    if kind is Scarce.PERSON:
        helpers = [DayPerson(f"helper-{i}", ((day.begin, day.end),), (name,)) for i in range(more)]
        return replace(day, people=(*day.people, *helpers))
    bays = [DayBay(f"{name}-again-{i}") for i in range(more)]

    def wider(j: DayJob) -> DayJob:
        here = [w for w in j.ways if w.bay == name]
        return replace(j, ways=(*j.ways, *(replace(w, bay=b.id) for w in here for b in bays)))

    return replace(day, bays=(*day.bays, *bays), jobs=tuple(wider(j) for j in day.jobs))


def crowded(seed: int) -> Day:
    rng = random.Random(seed)
    base = small_day(seed)
    jobs = [
        replace(j, id=f"{j.id}-{k}", minutes=rng.choice((60, 75, 95)), weight=1)
        for k in range(2)
        for j in base.jobs
    ]
    return replace(base, jobs=tuple(jobs))


@pytest.mark.parametrize("seed", range(4))
def test_every_reason_for_a_refusal_does_what_it_says(seed: int):
    day = crowded(seed)
    board = schedule(day, QUICK)
    assert board.refusals
    jobs = {j.id: j for j in day.jobs}
    on = {s.job for s in board.slots}
    for refusal in board.refusals[:2]:
        job = jobs[refusal.job]
        assert refusal.any_of or refusal.all_of
        kept = replace(day, jobs=tuple(j for j in day.jobs if j.id in on or j is job))
        for short in refusal.any_of:
            assert short.want > short.have
            more = short.want - short.have
            helped = schedule(with_more(kept, short.kind, short.name, job, more), QUICK)
            assert helped.complete, (refusal.job, short)
        together = kept
        for short in refusal.all_of:
            together = with_more(together, short.kind, short.name, job, short.want - short.have)
        if refusal.all_of:
            assert schedule(together, QUICK).complete, refusal


# --- the full day --------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def morning() -> tuple[Day, Board]:
    day = full_day(4)
    return day, schedule(day, QUICK)


def test_forty_jobs_six_bays_and_few_blocks_are_on_a_board_with_a_bound(morning):
    day, board = morning
    assert len(day.jobs) == 40
    assert len(day.bays) == 6
    assert faults(day, board.slots) == []
    assert board.complete
    assert board.repeatable
    by_hand = by_due_time(day, day.jobs)
    assert board.goal("lateness").value <= sum(s.late for s in by_hand)
    assert [g.name for g in board.goals] == ["left off", "lateness", "end"]
    assert all(g.bound <= g.value for g in board.goals)


def test_a_lift_out_of_service_moves_few_jobs(morning):
    day, board = morning
    now = 10 * 60
    bays = tuple(replace(b, out=((now, 17 * 60),)) if b.id == "bay-3" else b for b in day.bays)
    broken = replace(day, bays=bays)
    again = replan(broken, board, now, effort=QUICK)
    assert faults(broken, again.slots) == []
    old = {s.job: s for s in board.slots}
    hit = {s.job for s in board.slots if s.bay == "bay-3" and s.end > now}
    moved = {c.job for c in again.changes}
    assert hit <= moved | {r.job for r in again.refusals}
    fresh = schedule(broken, QUICK)
    far = {s.job for s in fresh.slots if (s.bay, s.person) != (old[s.job].bay, old[s.job].person)}
    assert len(moved) < len(far)
    for s in again.slots:
        if old[s.job].start < now and s.job not in hit:
            assert s == old[s.job]
        if s.job in moved:
            assert s.start >= now


def test_a_job_that_takes_longer_pushes_only_what_it_must(morning):
    day, board = morning
    now = 9 * 60
    running = next(s for s in board.slots if s.start < now < s.end)
    longer = tuple(
        replace(j, minutes=j.minutes + 40) if j.id == running.job else j for j in day.jobs
    )
    late = replace(day, jobs=longer)
    again = replan(late, board, now, effort=QUICK)
    assert faults(late, again.slots) == []
    slot = next(s for s in again.slots if s.job == running.job)
    assert (slot.bay, slot.start, slot.end) == (running.bay, running.start, running.end + 40)
    assert len({c.job for c in again.changes}) <= 8


def test_nothing_happened_so_nothing_changes(morning):
    day, board = morning
    again = replan(day, board, 9 * 60, effort=QUICK)
    assert again.changes == ()
    assert set(again.slots) == set(board.slots)


def test_the_same_day_gives_the_same_board_in_another_process():
    effort = Effort(rounds=4, round_work=0.005, proof_work=0.01)
    code = (
        "from benchmarks.day_cases import day; from underset.studies.day import *; "
        f"print(schedule(day(3, 14), {effort}))"
    )
    said = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        text=True,
        check=True,
        env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path), "PYTHONHASHSEED": "1"},
    ).stdout
    assert said == f"{schedule(full_day(3, 14), effort)}\n"
    assert "repeatable=True" in said


def test_times_are_counted_in_the_days_own_step() -> None:
    day = Day(
        (DayJob("a", "v", 30, 120, (Way("east"),)), DayJob("b", "v", 45, 120, (Way("east"),), 15)),
        (DayBay("east"),),
        (DayPerson("p", ((0, 300),)),),
    )
    assert step_of(day) == 15
    assert step_of(day, marks=(10,)) == 5
    assert step_of(replace(day, jobs=(replace(day.jobs[0], minutes=31),))) == 1


def test_a_board_cut_short_by_the_clock_is_whole_and_says_so() -> None:
    day = full_day(2)
    board = schedule(day, Effort(seconds=0.0))
    assert faults(day, board.slots) == []
    assert not board.repeatable
    assert len(board.slots) + len(board.refusals) == len(day.jobs)
    assert board.proof is Proof.FEASIBLE
