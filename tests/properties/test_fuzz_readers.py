"""Seconds of the fuzzing in benchmarks/fuzz.py, and what its long runs have found, pinned.

Every input is made from a seed, so the gate tries the same ones each time; the hour is run by hand.
"""

from __future__ import annotations

import io
import sqlite3
import zipfile
from contextlib import closing
from pathlib import Path

import pytest

from benchmarks import fuzz_book, fuzz_studies
from benchmarks.fuzz import MARKED, TARGETS, Trial, by_change, seeds
from benchmarks.fuzz_studies import journal_line
from underset.app import Actor, studying
from underset.errors import InputError, StoreError
from underset.records import read_table
from underset.store import restore
from underset.studies import day_table

# Inputs of each target: about half a second of processor time.
SOME = {
    "toml": 60, "json": 60, "csv": 12, "xlsx": 60, "sheet": 12, "quantity": 300, "tape": 4,
    "marks": 600, "plan-vehicle": 12, "plan-bay": 12, "book": 4, "backup": 3, "board": 100,
    "fleet": 20, "parquet": 10, "journal": 40, "weighing": 15, "clock": 20,
}  # fmt: skip


def test_every_target_is_tried_here() -> None:
    assert set(SOME) == set(TARGETS)


@pytest.mark.parametrize("target", SOME)
def test_changed_inputs_are_refused_or_come_back_the_same(target: str) -> None:
    trial = by_change(target, seconds=60.0, seed=20261125, most=SOME[target])
    assert trial.inputs == SOME[target]
    assert list(trial.found) == []


def test_a_sound_reading_of_the_tape_is_taken() -> None:
    """Else every input grown from it is refused for the same reason."""
    trial = Trial("tape")
    trial(seeds("tape")[0])
    assert (trial.refused, trial.found) == (0, {})


def test_a_broken_rule_is_found() -> None:
    trial = Trial("quantity")
    trial.target = lambda content: [][len(content)]
    trial(b"2600 mm")
    assert [place.split(" ")[0] for place in trial.found] == ["IndexError"]


def test_a_check_distance_of_nothing_is_refused() -> None:
    """Found by fuzzing: divided by it, when the picture was checked."""
    sent = MARKED.replace(b"check=2600 mm", b"check=0 mm")
    trial = Trial("marks")
    trial(sent)
    assert (trial.refused, trial.found) == (1, {})


def test_a_part_that_begins_before_its_file_is_refused() -> None:
    """Found by fuzzing: a directory that places its parts before the package's first byte."""
    package = io.BytesIO()
    with zipfile.ZipFile(package, "w") as written:
        written.writestr("xl/workbook.xml", b"<workbook/>")
    content = bytearray(package.getvalue())
    at = content.rindex(b"PK\x05\x06") + 16  # where the directory says it begins
    content[at : at + 4] = (int.from_bytes(content[at : at + 4], "little") + 500).to_bytes(
        4, "little"
    )
    with pytest.raises(InputError, match="package"):
        read_table("vehicle", bytes(content), "sent.xlsx")


# --- stores ---------------------------------------------------------------------------------------


def sent(tmp_path: Path, *statements: str) -> Path:
    """A backup with something of everything, changed by hand."""
    place = tmp_path / "sent"
    place.write_bytes(fuzz_book.small_store())
    with closing(sqlite3.connect(place, isolation_level=None)) as loose:
        for statement in statements:
            loose.execute(statement)
    return place


def test_a_backup_that_says_in_words_where_its_book_ends_is_refused(tmp_path: Path) -> None:
    """Found by fuzzing: it ended in a trace of the model that holds the header."""
    place = sent(tmp_path, "UPDATE book SET seq = 'many'")
    with pytest.raises(StoreError, match="does not say where its book ends"):
        restore(place, tmp_path / "new.db", by=Actor("test"))
    assert not (tmp_path / "new.db").exists()


def test_a_backup_whose_tables_have_unreadable_names_is_refused(tmp_path: Path) -> None:
    """Found by fuzzing: the driver stumbles over the words in which SQLite complains."""
    place = sent(tmp_path)
    content = place.read_bytes()
    assert b"CREATE TABLE accounts" in content
    place.write_bytes(content.replace(b"CREATE TABLE accounts", b"CREATE TABLO \x96ccounts"))
    with pytest.raises(StoreError, match="damaged or not a store"):
        restore(place, tmp_path / "new.db", by=Actor("test"))
    assert not (tmp_path / "new.db").exists()


def test_a_refused_backup_leaves_no_cursor_to_complain(
    tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    """Found by fuzzing: a trace was printed when the store was closed before its rows."""
    place = sent(tmp_path, "UPDATE drafts SET version = 'one'")
    with pytest.raises(StoreError, match="version is not a int"):
        restore(place, tmp_path / "new.db", by=Actor("test"))
    assert caplog.records == []


# --- tables, boards and journals of the studies ---------------------------------------------------

HEAD, *ROWS = fuzz_studies.fleet_csv().decode().splitlines()
FLEETS = {
    "bytes of no text": b"\xff\xfe\xff",
    "a cell without end": f'{HEAD}\n"{ROWS[0]}'.encode(),
    "another unit": HEAD.replace("wheelbase [m]", "wheelbase [kg]").encode(),
    "a zone in another unit": HEAD.replace("zone1_x_low [m]", "zone1_x_low [kg]").encode(),
    "a ninth zone": f"{HEAD},zone9_x_low [m]".encode(),
    "a column twice": f"{HEAD},mass [kg]".encode(),
    "a cell more": f"{HEAD}\n{ROWS[0]},1".encode(),
    "an endless figure": f"{HEAD}\ninf{ROWS[0][ROWS[0].index(',') :]}".encode(),
    "a wheelbase of 100 km": f"{HEAD}\n1e5{ROWS[0][ROWS[0].index(',') :]}".encode(),
    "a wheelbase below nothing": f"{HEAD}\n-2.6{ROWS[0][ROWS[0].index(',') :]}".encode(),
}


@pytest.mark.parametrize("what", FLEETS)
def test_a_fleet_that_would_be_misread_is_refused(what: str) -> None:
    with pytest.raises(InputError) as told:
        fuzz_studies.read_fleet(FLEETS[what])
    assert told.value.allowed


def test_a_fleet_with_a_mark_of_its_encoding_is_taken() -> None:
    trial = Trial("fleet")
    trial(b"\xef\xbb\xbf" + fuzz_studies.fleet_csv())
    assert (trial.refused, trial.found) == (0, {})


def test_a_damaged_packed_table_is_refused() -> None:
    with pytest.raises(InputError, match=r"sent\.parquet"):
        fuzz_studies.read_parquet(fuzz_studies.fleet_parquet()[:-9])


@pytest.mark.parametrize(
    ("find", "put"),
    [
        ('"start": 420', '"start": 1e999'), ('"start": 420', '"start": "420"'),
        ('"start": 420', '"start": 9000000'), ('"bay": "south"', '"bay": null'),
        ('"underset-day/1"', '"underset-day/9"'), ('"slots"', '"slot"'), ("{", "["),
    ],
)  # fmt: skip
def test_a_board_that_is_none_is_refused(tmp_path: Path, find: str, put: str) -> None:
    """A start without end, and bytes that are no text, ended in a trace."""
    place = tmp_path / "board.json"
    place.write_text(fuzz_studies.BOARD.decode().replace(find, put, 1), "utf-8")
    with pytest.raises(InputError, match="board"):
        day_table.read_board(place)


def test_a_board_in_other_bytes_is_refused(tmp_path: Path) -> None:
    (tmp_path / "board.json").write_bytes(b"\xff\xfe{")
    with pytest.raises(InputError, match="board"):
        day_table.read_board(tmp_path / "board.json")


def test_a_journal_line_that_holds_no_result_is_refused() -> None:
    """Found by fuzzing: the checksum was right, and what it stood for was not."""
    with pytest.raises(InputError, match="holds no result of this study"):
        fuzz_studies.read_journal(fuzz_studies.journal() + journal_line("[1, 2]"))


@pytest.mark.parametrize("text", ["²:30", "١٢:30", "7:5", "25:00", "9999999:00", "12:60", ""])
def test_a_time_of_day_is_written_in_plain_digits(text: str) -> None:
    """Found by reading on: signs that count as digits and are no number ended in a trace."""
    with pytest.raises(InputError, match="time of day"):
        studying.clock_minutes(text)
