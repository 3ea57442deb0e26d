"""Seconds of the fuzzing in benchmarks/fuzz.py, and what its long runs have found, pinned.

Every input is made from a seed, so the gate tries the same ones each time; the hour is run by hand.
"""

from __future__ import annotations

import io
import zipfile

import pytest

from benchmarks.fuzz import MARKED, TARGETS, Trial, by_change
from underset.errors import InputError
from underset.records import read_table

# Inputs of each target: about half a second of processor time.
SOME = {
    "toml": 60, "json": 60, "csv": 12, "xlsx": 60, "sheet": 12, "quantity": 300, "tape": 4,
    "marks": 600, "plan-vehicle": 12, "plan-bay": 12,
}  # fmt: skip


def test_every_target_is_tried_here() -> None:
    assert set(SOME) == set(TARGETS)


@pytest.mark.parametrize("target", SOME)
def test_changed_inputs_are_refused_or_come_back_the_same(target: str) -> None:
    trial = by_change(target, seconds=60.0, seed=20261125, most=SOME[target])
    assert trial.inputs == SOME[target]
    assert list(trial.found) == []


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
