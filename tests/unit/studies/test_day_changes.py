"""After a change: people stay with their jobs, a job that had begun says that it begins again."""

from __future__ import annotations

from dataclasses import replace

from underset.studies import day_table
from underset.studies.coverage_table import Telling
from underset.studies.day_case import Board, Day, DayBay, DayJob, DayPerson, Slot, faults
from underset.studies.day_changes import changes_of, people_kept
from underset.studies.kit_case import Way
from underset.studies.proof import Proof

WAYS = (Way("east"), Way("west"))
HOURS = ((0, 480),)
DAY = Day(
    (DayJob("brakes", "van", 60, 480, WAYS), DayJob("gearbox", "car", 90, 480, WAYS)),
    (DayBay("east"), DayBay("west")),
    (DayPerson("ann", HOURS), DayPerson("ben", HOURS)),
)
OLD = {
    "brakes": Slot("brakes", "east", "ann", 0, 60, 0, ()),
    "gearbox": Slot("gearbox", "west", "ben", 0, 90, 0, ()),
}
OUT = replace(DAY, bays=(DayBay("east", ((30, 480),)), DayBay("west")))
AFTER = (OLD["gearbox"], Slot("brakes", "west", "ben", 90, 150, 0, ()))
GEARBOX = frozenset({"gearbox"})


def test_a_moved_job_keeps_its_person_where_nothing_speaks_against_it() -> None:
    kept = people_kept(OUT, AFTER, OLD, GEARBOX)
    assert [s.person for s in kept] == ["ben", "ann"]
    assert faults(OUT, kept) == []


def test_it_does_not_where_the_person_is_busy_gone_or_may_not() -> None:
    late = replace(AFTER[1], bay="east")
    busy = (
        replace(OLD["gearbox"], person="ann", start=90, end=180),
        replace(late, start=90, end=150),
    )
    assert people_kept(DAY, busy, OLD, GEARBOX) == list(busy)
    alone = replace(OUT, people=(DAY.people[1],))
    assert people_kept(alone, AFTER, OLD, GEARBOX) == list(AFTER)
    short = replace(OUT, people=(DayPerson("ann", ((0, 100),)), DAY.people[1]))
    assert people_kept(short, AFTER, OLD, GEARBOX) == list(AFTER)


def test_two_jobs_give_their_people_back_to_each_other() -> None:
    swapped = [
        Slot("brakes", "east", "ben", 60, 120, 0, ()),
        Slot("gearbox", "west", "ann", 60, 150, 0, ()),
    ]
    kept = people_kept(DAY, swapped, OLD, frozenset())
    assert [s.person for s in kept] == ["ann", "ben"]


def test_a_job_that_had_begun_says_that_it_begins_again_and_why() -> None:
    told = {c.what: c for c in changes_of(OUT, AFTER, OLD, 30)}
    assert (told["again"].before, told["again"].after, told["again"].why) == (
        0, 90, "out of service",
    )  # fmt: skip
    assert (told["bay"].why, told["person"].why) == ("out of service", "")
    assert list(changes_of(DAY, tuple(OLD.values()), OLD, 30)) == []


def test_why_a_person_changed_is_told_in_both_languages() -> None:
    alone = replace(OUT, people=(DAY.people[1],))
    for language, words in (("en", "(no longer there)"), ("de", "(nicht mehr da)")):
        changes = tuple(changes_of(alone, AFTER, OLD, 30))
        lines = day_table.as_lines(
            Board(Proof.FEASIBLE, (), AFTER, (), changes), Telling(language=language)
        )
        assert any("ann → ben" in x and words in x for x in lines)
        assert sum("0:00 → 1:30" in x or "00:00 → 01:30" in x for x in lines) == 2
