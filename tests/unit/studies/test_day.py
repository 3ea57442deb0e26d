"""The day: what a board must not have, plain refusals, and inputs that cannot be."""

from __future__ import annotations

from dataclasses import replace

import pytest

from underset.errors import InputError
from underset.studies.day import (
    Change,
    Day,
    DayBay,
    DayJob,
    DayPerson,
    Effort,
    Proof,
    Refusal,
    Scarce,
    Short,
    Slot,
    Steadiness,
    Stock,
    Way,
    faults,
    replan,
    schedule,
)
from underset.studies.day_greedy import by_due_time, left_shifted

QUICK = Effort(rounds=4, round_work=0.01, proof_work=0.01)
BLOCKS = (("block", 4),)
EAST, WEST = Way("east", BLOCKS), Way("west", BLOCKS)
FREE = (Way("east"), Way("west"))
ONE = DayJob("one", "hatch", 60, 600, (EAST, WEST), release=480)
TWO = DayJob("two", "hatch", 60, 600, (EAST, WEST), release=480)
ANN = DayPerson("ann", ((480, 720), (750, 1020)), ("brakes",))
BEN = DayPerson("ben", ((480, 1020),))
DAY = Day((ONE, TWO), (DayBay("east"), DayBay("west")), (ANN, BEN), (Stock("block", 4),))
GOOD = (
    Slot("one", "east", "ann", 480, 540, 0, BLOCKS),
    Slot("two", "west", "ben", 540, 600, 0, BLOCKS),
)


LATER = replace(GOOD[1], start=500, end=560)
AGAIN = replace(GOOD[0], bay="west", person="ben", start=600, end=660, late=60)
SKILLED = replace(DAY, jobs=(replace(ONE, skill="brakes"),))
WEST_ONLY = replace(DAY, people=(replace(ANN, bays=("west",)),))
BROKEN = replace(DAY, bays=(DayBay("east", ((500, 510),)), DayBay("west")))


def test_a_good_board_has_no_faults():
    assert faults(DAY, GOOD) == []


@pytest.mark.parametrize(
    ("day", "slots", "what"),
    [
        (DAY, (replace(GOOD[0], end=539),), "duration"),
        (DAY, (replace(GOOD[0], start=470, end=530),), "too early"),
        (DAY, (replace(GOOD[0], late=5),), "lateness"),
        (DAY, (replace(GOOD[0], needs=()),), "way"),
        (DAY, (replace(GOOD[0], start=700, end=760, late=160),), "hours"),
        (DAY, (replace(AGAIN, start=1000, end=1060, late=460),), "hours"),
        (DAY, (GOOD[0], replace(LATER, bay="east")), "two jobs in one bay"),
        (DAY, (GOOD[0], replace(LATER, person="ann")), "two jobs for one person"),
        (DAY, (GOOD[0], LATER), "pieces"),
        (DAY, (GOOD[0], AGAIN), "job twice"),
        (SKILLED, (replace(GOOD[0], person="ben"),), "skill"),
        (WEST_ONLY, (GOOD[0],), "skill"),
        (BROKEN, (GOOD[0],), "out of service"),
    ],
)
def test_each_fault_of_a_board_is_found(day: Day, slots: tuple[Slot, ...], what: str):
    assert what in {f.what for f in faults(day, slots)}


def test_pieces_at_the_bay_are_used_before_the_shelf():
    day = replace(DAY, stock=(Stock("block", 4), Stock("block", 4, "west")))
    assert faults(day, (GOOD[0], replace(GOOD[1], start=480, end=540))) == []


def test_a_board_with_one_set_runs_one_after_the_other():
    board = schedule(DAY, QUICK)
    assert board.proof is Proof.OPTIMAL
    assert [g.value for g in board.goals] == [0, 0, 600]
    assert sorted(s.start for s in board.slots) == [480, 540]


def test_an_empty_day_is_done_at_once():
    board = schedule(replace(DAY, jobs=()), QUICK)
    assert board.slots == ()
    assert board.proof is Proof.OPTIMAL


@pytest.mark.parametrize(
    ("change", "short"),
    [
        ({"ways": ()}, Short(Scarce.BAY, "", 0, 1)),
        ({"skill": "welding"}, Short(Scarce.PERSON, "welding", 0, 1)),
        ({"ways": (Way("east", (("block", 6),)),)}, Short(Scarce.PIECE, "block", 4, 6)),
        ({"minutes": 541}, Short(Scarce.STRETCH, "", 540, 541)),
        ({"release": 1000}, Short(Scarce.STRETCH, "", 20, 60)),
    ],
)
def test_a_job_that_fits_on_no_board_says_what_is_short(change: dict, short: Short):
    board = schedule(replace(DAY, jobs=(replace(ONE, **change), TWO)), QUICK)
    assert board.refusals == (Refusal("one", (short,)),)
    assert [s.job for s in board.slots] == ["two"]
    assert not board.complete


def test_two_things_short_at_once_are_told_together():
    job = replace(ONE, skill="welding", ways=(Way("east", (("block", 8),)),))
    (refusal,) = schedule(replace(DAY, jobs=(job,)), QUICK).refusals
    assert refusal.any_of == ()
    assert set(refusal.all_of) == {
        Short(Scarce.PIECE, "block", 4, 8),
        Short(Scarce.PERSON, "welding", 0, 1),
    }


def test_a_crowded_day_says_that_blocks_or_hours_are_short():
    jobs = tuple(replace(ONE, id=f"j{i}", minutes=120) for i in range(5))
    board = schedule(replace(DAY, jobs=jobs), QUICK)
    (refusal,) = board.refusals
    assert board.goal("left off").bound == 1
    assert Short(Scarce.PIECE, "block", 4, 8) in refusal.any_of
    assert {s.kind for s in refusal.any_of} == {Scarce.PIECE, Scarce.HOURS}


def test_too_few_with_a_skill_are_counted_as_they_are():
    jobs = tuple(replace(ONE, id=f"j{i}", minutes=150, skill="brakes", ways=FREE) for i in range(4))
    board = schedule(replace(DAY, jobs=jobs), QUICK)
    assert board.goal("left off").value == 2  # ann has two stretches of 240 and 270 minutes
    for refusal in board.refusals:
        assert Short(Scarce.PERSON, "brakes", 1, 2) in refusal.any_of


def test_nobody_here_means_nothing_on_the_board():
    board = schedule(replace(DAY, people=()), QUICK)
    assert board.slots == ()
    assert len(board.refusals) == 2


def test_jobs_by_due_time_wait_for_pieces_and_left_shift_closes_gaps():
    slots = by_due_time(DAY, DAY.jobs)
    assert [s.start for s in slots] == [480, 540]
    gap = (GOOD[0], replace(GOOD[1], start=600, end=660, late=60))
    assert [s.start for s in left_shifted(DAY, gap, {"two"})] == [480, 540]
    assert [s.start for s in left_shifted(DAY, gap, set())] == [480, 600]


def test_a_new_plan_leaves_what_has_started_and_names_its_changes():
    board = schedule(DAY, QUICK)
    first, second = sorted(board.slots, key=lambda s: s.start)
    out = tuple(replace(b, out=((510, 1020),)) if b.id == second.bay else b for b in DAY.bays)
    again = replan(replace(DAY, bays=out), board, 500, effort=QUICK)
    assert first in again.slots or first.bay == second.bay
    assert faults(replace(DAY, bays=out), again.slots) == []
    other = {"east": "west", "west": "east"}[second.bay]
    why = "out of service"
    assert Change(second.job, "bay", second.bay, other, why) in again.changes
    restarted = [c for c in again.changes if c.what == "again"]
    assert [(c.job, c.before, c.why) for c in restarted] == [(first.job, first.start, why)]


def test_a_vehicle_on_a_lift_that_fails_is_planned_anew_from_now():
    board = schedule(replace(DAY, jobs=(ONE,)), QUICK)
    (slot,) = board.slots
    out = tuple(replace(b, out=((500, 1020),)) if b.id == slot.bay else b for b in DAY.bays)
    again = replan(replace(DAY, jobs=(ONE,), bays=out), board, 500, effort=QUICK)
    (moved,) = again.slots
    assert moved.bay != slot.bay
    assert moved.start >= 500


def test_holding_on_costs_lateness_only_as_far_as_the_shop_wants():
    jobs = (ONE, replace(TWO, due=560))
    old = replan(replace(DAY, jobs=jobs), schedule(DAY, QUICK), 0, effort=QUICK)
    urgent = replace(DAY, jobs=(ONE, replace(TWO, due=545)))
    before = schedule(replace(DAY, jobs=(replace(ONE, due=545), TWO)), QUICK)
    assert {s.job: s.start for s in before.slots} == {"one": 480, "two": 540}
    loose = replan(urgent, before, 470, Steadiness(change_minutes=0), QUICK)
    stiff = replan(urgent, before, 470, Steadiness(change_minutes=200), QUICK)
    assert sum(s.late for s in loose.slots) == 0
    assert stiff.changes == ()
    assert sum(s.late for s in stiff.slots) == 55
    assert old.complete


def test_a_new_job_is_put_among_the_old_ones():
    board = schedule(DAY, QUICK)
    new = DayJob("new", "van", 30, 700, (Way("east"), Way("west")), 480, "brakes")
    again = replan(replace(DAY, jobs=(ONE, TWO, new)), board, 485, effort=QUICK)
    assert "new" in {s.job for s in again.slots}
    assert next(c for c in again.changes if c.job == "new").what == "new"
    assert {c.job for c in again.changes} == {"new"}


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"jobs": (ONE, ONE)}, "job"),
        ({"jobs": (replace(ONE, minutes=0),)}, "job one"),
        ({"jobs": (replace(ONE, due=-1),)}, "job one"),
        ({"jobs": (replace(ONE, weight=-1),)}, "job one"),
        ({"jobs": (replace(ONE, ways=(Way("north"),)),)}, "job one"),
        ({"jobs": (replace(ONE, ways=(Way("east", (("block", 0),)),)),)}, "job one"),
        ({"bays": (DayBay("east", ((500, 400),)), DayBay("west"))}, "bay east"),
        ({"people": (DayPerson("ann", ((480, 720), (720, 1020))),)}, "person ann"),
        ({"stock": (Stock("block", -1),)}, "stock, block"),
    ],
)
def test_a_day_that_cannot_be_is_refused_by_name(change: dict, field: str):
    with pytest.raises(InputError) as caught:
        replace(DAY, **change)
    assert caught.value.field == field
