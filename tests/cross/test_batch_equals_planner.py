"""The batch against the planner held to the same checks, and its ways of running compared.

The planner's side reads each synthetic vehicle as a record and uses the judge itself; the batch
reads columns. Outcome, heading, stacks and watch are equal, figures to 1e-9.
"""

from __future__ import annotations

import csv
import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import numpy as np
import pytest

from tests import batch_cases as cases
from underset.errors import InputError
from underset.studies import batch, batch_compile
from underset.studies import batch_columns as at
from underset.studies.batch_fleet import rows_of
from underset.studies.batch_table import Vehicles, read_table, rows_in, write_csv
from underset.studies.fleet import Fleet

VEHICLES = 30
BAYS = cases.bay_cases()
TABLES = cases.tables(BAYS)
COLUMNS = cases.columns_of(VEHICLES)
TWIST = next(iter(BAYS.values())).policy["twist_high"]


def plain(bay: str, them: Vehicles) -> np.ndarray:
    answers = np.zeros((len(them.rows), at.ANSWER_WIDTH))
    table = TABLES[bay]
    batch_compile.plain().plan_many(
        them.rows, them.zones, them.counts, table.lift, table.profiles, answers
    )
    return answers


def survey(count: int, size: int, compiled: bool = False) -> batch.Survey:
    return batch.Survey(tuple(TABLES.values()), TWIST, Fleet(count, 3), size, compiled)


@pytest.mark.parametrize("bay", sorted(BAYS))
def test_every_answer_is_the_planners(bay: str) -> None:
    got = plain(bay, Vehicles(*rows_of(COLUMNS, TWIST)))
    outcomes = set()
    for i in range(VEHICLES):
        told = cases.answered(got[i], TABLES[bay])
        wanted = cases.expected(cases.case_of(BAYS[bay], COLUMNS, i))
        outcomes.add(told.outcome)
        assert (told.outcome, told.watch, told.heading, told.stacks) == (
            wanted.outcome, wanted.watch, wanted.heading, wanted.stacks
        ), i  # fmt: skip
        for a, b in (
            (told.spot, wanted.spot), (told.slack, wanted.slack), (told.seat, wanted.seat),
            (told.window[0], wanted.window[0]), (told.window[1], wanted.window[1]),
        ):  # fmt: skip
            assert a == pytest.approx(b, abs=1e-9), i
    assert len(outcomes) == 2  # some fit and some do not, or nothing was compared


def test_spots_as_far_from_the_middle_come_in_the_planners_order() -> None:
    """A window cut by the balance: a last digit decides which quarter of it is judged first."""
    columns = Fleet(500, 5).columns(457, 458)
    got = plain("north", Vehicles(*rows_of(columns, TWIST)))
    wanted = cases.expected(cases.case_of(BAYS["north"], columns, 0))
    assert got[0, 5] == pytest.approx(wanted.spot, abs=1e-9)


@pytest.mark.parametrize("column", at.NEEDED)
def test_a_missing_figure_never_fits(column: int) -> None:
    rows, zones, counts = rows_of(COLUMNS, TWIST)
    rows = rows[:3].copy()
    rows[:, column] = np.nan
    answers = plain("south", Vehicles(rows, zones[:3], counts[:3]))
    assert (answers[:, 0] == at.INCOMPLETE).all()


def test_chunks_change_nothing() -> None:
    assert batch.survey(survey(24, 24)) == batch.survey(survey(24, 7))


def test_a_broken_run_goes_on_from_its_journal(tmp_path: Path) -> None:
    file, asked = tmp_path / "run.journal", survey(12, 4)

    def stop(progress: object) -> None:
        raise KeyboardInterrupt

    watch: batch.Watch[batch.Chunk] = batch.Watch(stop, 48, batch.size_of)
    with pytest.raises(KeyboardInterrupt):
        batch.survey(asked, watch=watch, file=file)
    seen = []
    watch = batch.Watch(lambda p: seen.append(p.kept), 48, batch.size_of)
    assert batch.survey(asked, watch=watch, file=file) == batch.survey(asked)
    assert seen[-1] == 16  # the first chunk came out of the journal


def test_a_run_killed_outright_goes_on_to_the_same_totals(tmp_path: Path) -> None:
    """Kill -9 after some chunks are on the disk: nothing is lost of them, nothing counted twice."""
    file = tmp_path / "run.journal"
    code = (
        "import sys, time\nfrom pathlib import Path\n"
        "from tests.cross.test_batch_equals_planner import batch, survey\n"
        "slowly = batch.Watch(lambda progress: time.sleep(0.1), 240)\n"
        "batch.survey(survey(60, 1), watch=slowly, file=Path(sys.argv[1]))\n"
    )
    env = {**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)}
    begun = subprocess.Popen([sys.executable, "-c", code, str(file)], env=env)
    until = time.monotonic() + 180.0
    while time.monotonic() < until and not (file.exists() and file.read_bytes().count(b"\n") > 3):
        time.sleep(0.005)
    begun.kill()
    assert begun.wait() == -signal.SIGKILL  # it was still at it
    seen: list[int] = []
    watch: batch.Watch[batch.Chunk] = batch.Watch(lambda p: seen.append(p.kept), 240)
    assert batch.survey(survey(60, 1), watch=watch, file=file) == batch.survey(survey(60, 60))
    assert 3 <= seen[-1] < 60


def test_counts_are_written_as_json_and_csv() -> None:
    asked = survey(12, 12)
    told = batch.survey(asked)
    whole = json.loads(batch.as_json(asked, told))
    assert (whole["vehicles"], whole["fit_some_bay"]) == (12, told.anywhere)
    rows = list(csv.DictReader(batch.as_csv(asked, told).splitlines()))
    for bay, row in zip(whole["bays"], rows, strict=True):
        assert (bay["bay"], str(bay["fit"])) == (row["bay"], row["fit"])
        assert bay["fit"] + bay["not_known"] + sum(bay["refused_by"].values()) == 12
        assert {k: str(n) for k, n in bay["refused_by"].items()}.items() <= row.items()


def test_rows_of_a_table_are_told_before_it_is_read(tmp_path: Path) -> None:
    path = tmp_path / "fleet.csv"
    rows, zones, counts = rows_of(COLUMNS, TWIST)
    write_csv(path, [Vehicles(rows[:7], zones[:7], counts[:7])])
    assert rows_in(path) == 7
    path.write_bytes(path.read_bytes().rstrip())
    assert rows_in(path) == 7
    assert rows_in(tmp_path / "none.csv") == 0


def test_a_journal_of_other_bays_is_refused(tmp_path: Path) -> None:
    file = tmp_path / "run.journal"
    batch.survey(survey(4, 4), file=file)
    with pytest.raises(InputError, match="another study"):
        batch.survey(survey(5, 4), file=file)


def test_a_table_reads_back_exactly(tmp_path: Path) -> None:
    them = Vehicles(*rows_of(COLUMNS, TWIST))
    path = tmp_path / "fleet.csv"
    assert write_csv(path, [them]) == VEHICLES
    chunks = list(read_table(path, 20, TWIST))
    assert [len(c.rows) for c in chunks] == [20, VEHICLES - 20]
    np.testing.assert_array_equal(np.concatenate([c.rows for c in chunks]), them.rows)
    np.testing.assert_array_equal(np.concatenate([c.counts for c in chunks]), them.counts)
    for i, count in enumerate(them.counts):
        zones = np.concatenate([c.zones for c in chunks])
        np.testing.assert_array_equal(zones[i, :count], them.zones[i, :count])


def test_parquet_and_csv_give_the_same_answers(tmp_path: Path) -> None:
    pyarrow_csv = pytest.importorskip("pyarrow.csv")
    parquet = pytest.importorskip("pyarrow.parquet")
    path = tmp_path / "fleet.csv"
    rows, zones, counts = rows_of(COLUMNS, TWIST)
    write_csv(path, [Vehicles(rows[:8], zones[:8], counts[:8])])
    parquet.write_table(pyarrow_csv.read_csv(path), tmp_path / "fleet.parquet")
    bays = tuple(TABLES.values())
    told = [
        batch.survey(batch.Survey(bays, TWIST, tmp_path / name, 3, compiled=False))
        for name in ("fleet.csv", "fleet.parquet")
    ]
    assert told[0] == told[1]
    assert told[0].vehicles == 8


def test_a_field_that_is_no_figure_is_told_with_its_line(tmp_path: Path) -> None:
    path = tmp_path / "x.csv"
    rows, zones, counts = rows_of(COLUMNS, TWIST)
    write_csv(path, [Vehicles(rows[:3], zones[:3], counts[:3])])
    lines = path.read_text("utf-8").splitlines()
    mass = lines[2].split(",")
    mass[1] = "heavy"
    path.write_text("\n".join([*lines[:2], ",".join(mass), lines[3]]), "utf-8")
    with pytest.raises(InputError, match=r"line 3, mass \[kg\]: received 'heavy'"):
        list(read_table(path, 10, TWIST))


def test_a_table_without_a_column_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "x.csv"
    path.write_text("wheelbase [m]\n2.6\n", "utf-8")
    with pytest.raises(InputError, match="mass"):
        list(read_table(path, 10, TWIST))


@pytest.mark.bench
def test_compiled_is_plain() -> None:
    """Compiling takes about a minute of one core the first time."""
    pytest.importorskip("numba")
    them = Vehicles(*rows_of(cases.columns_of(300, 9), TWIST))
    for name, table in TABLES.items():
        fast = np.zeros((300, at.ANSWER_WIDTH))
        batch_compile.compiled().plan_many(
            them.rows, them.zones, them.counts, table.lift, table.profiles, fast
        )
        np.testing.assert_allclose(fast, plain(name, them), rtol=0.0, atol=1e-9)
