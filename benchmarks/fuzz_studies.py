"""Fuzzing of what studies and commands read: boards of a day, fleets, journals, weighings."""

from __future__ import annotations

import json
import random
import tempfile
from collections.abc import Callable
from contextlib import suppress
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any
from zlib import crc32

from benchmarks.fuzz_grow import ODD_TEXTS, changed, json_changed
from underset.errors import InputError

SAMPLE = Path(__file__).resolve().parents[1] / "examples" / "quayside"
TODAY = date(2026, 11, 20)
MOST_ROWS = 20
LIKELY = 2.0 * 7.0e4  # body twist where a row has none, N m/rad

# --- targets --------------------------------------------------------------------------------------


def read_board(content: bytes) -> None:
    """A board of before, as a command's file; what is taken is written and read the same."""
    from underset.studies import Board, Proof, day_table

    board = day_table.read_board(_file(content, "board.json"))
    again = day_table.board_from_json(day_table.as_json(Board(Proof.FEASIBLE, (), board.slots)))
    assert again.slots == board.slots


def read_fleet(content: bytes) -> None:
    """A fleet's table in CSV; what is taken is written and read the same."""
    import numpy as np

    from underset.studies.batch_table import read_table, write_csv

    with tempfile.TemporaryDirectory() as folder:
        sent, again = Path(folder, "sent.csv"), Path(folder, "again.csv")
        sent.write_bytes(content)
        chunks = list(read_table(sent, 3, LIKELY))
        write_csv(again, chunks)
        for one, other in zip(chunks, read_table(again, 3, LIKELY), strict=True):
            for name in ("rows", "zones", "counts"):
                mine, theirs = getattr(one, name), getattr(other, name)
                assert np.array_equal(mine, theirs, equal_nan=True), name
            assert not np.isinf(one.rows).any() and not np.isinf(one.zones).any()


def read_parquet(content: bytes) -> None:
    """A fleet's table in Parquet, damaged anywhere or with odd columns."""
    from underset.studies.batch_table import read_table, rows_in

    sent = _file(content, "sent.parquet")
    for chunk in read_table(sent, 3, LIKELY):
        assert len(chunk.rows) <= 3
    rows_in(sent)


def read_journal(content: bytes) -> None:
    """A journal of a study, torn or changed: what is not whole is not taken, and it goes on."""
    from underset.studies.batch import _decoded, _encoded
    from underset.studies.journal import Journal

    sent = _file(content, "journal")
    found = list(_read(Journal(sent, STUDY, _encoded, _decoded)))
    assert list(_read(Journal(sent, STUDY, _encoded, _decoded))) == found


def _read(journal: Any) -> Any:
    try:
        yield from journal.results()
    finally:
        journal.close()


def read_weighing(content: bytes) -> None:
    """What is typed at the commands that weigh, a line each: loads, what was aboard, rises."""
    from underset.app import weigh
    from underset.cli import weighing
    from underset.records import toml_text, validated
    from underset.records.reading import toml_data

    lines = content.decode("utf-8", "replace").split("\n")
    typed = {name: [x[2:] for x in lines if x.startswith(f"{name} ")] for name in "larwd"}
    shop = _workshop()
    hatch = shop.vehicles["harbour-hatch"]
    who = weighing._who(shop, "jorun", typed["d"][0] if typed["d"] else None, "scales")
    states = weighing._states(typed["l"], typed["a"])
    record = weigh.weigh_scales(hatch, states, who).vehicle
    assert weigh.balance_told(record)
    assert validated(type(record), toml_data(toml_text(record))) == record
    radii = [weighing._figure(r, "length", "--radii").value for r in typed["w"]]
    if len(radii) == 2:
        raised = weighing._raised(typed["r"])
        found = weigh.weigh_height(record, raised, (radii[0], radii[1]), who).vehicle
        assert validated(type(found), toml_data(toml_text(found))) == found


def read_clock(content: bytes) -> None:
    """Times, spans, minutes and names as the commands of the day and the shelf take them."""
    from underset.app import studying

    for text in content.decode("utf-8", "replace").splitlines():
        for read in (studying.clock_minutes, studying._stretch, _longer, _out):
            with suppress(InputError):
                read(text)


def _longer(text: str) -> None:
    from underset.app import studying
    from underset.cli.studies import _minutes_by_name

    studying.as_it_is_now(_day(), _minutes_by_name([text]), {})


def _out(text: str) -> None:
    from underset.app import studying
    from underset.cli.studies import _by_name

    studying.as_it_is_now(_day(), {}, _by_name("--out", [text]))


# --- what inputs grow from ------------------------------------------------------------------------

STUDY = "0" * 64
BOARD = json.dumps({
    "schema": "underset-day/1", "proof": "proved", "repeatable": True, "refusals": [],
    "goals": [{"name": "lateness", "value": 0, "bound": 0, "gap": 0.0}], "changes": [],
    "slots": [
        {"job": "hatch-engine-out", "bay": "south", "person": "tavi", "start": 420, "end": 660,
         "late": 0, "needs": [["screw-pad-short", 4], ["pinch-block", 4]]},
        {"job": "runabout-drive-unit-out", "bay": "corner", "person": "jorun", "start": 480,
         "end": 600, "late": 5, "needs": []},
    ],
}, indent=1).encode()  # fmt: skip
WEIGHED = "\n".join((
    "l kerb: 780 ± 3 kg, 520 ± 3 kg", "l with driver: 815 ± 3 kg, 560 ± 3 kg",
    "a with driver: driver, 75 ± 5 kg, 1300 mm, 350 mm", "r rear: 600 mm, 835.4 kg",
    "r rear: 400 mm, 817 kg", "w 300 mm", "w 300 mm", "d 2026-11-20",
)).encode()  # fmt: skip
CLOCK = "\n".join((
    "15:30", "07:00-09:15", "hatch-engine-out=30", "south=10:30-12:00", "north=08:00-08:10",
)).encode()  # fmt: skip


@cache
def fleet_csv() -> bytes:
    """A few vehicles of the invented fleet as a table."""
    with tempfile.TemporaryDirectory() as folder:
        from underset.studies.batch_table import write_csv

        write_csv(Path(folder, "fleet.csv"), [_fleet()])
        return Path(folder, "fleet.csv").read_bytes()


@cache
def fleet_parquet() -> bytes:
    """The same as Parquet."""
    import csv
    import io

    import pyarrow
    from pyarrow import parquet

    rows = list(csv.DictReader(io.StringIO(fleet_csv().decode())))
    columns = {name: [_cell(name, row[name]) for row in rows] for name in rows[0]}
    kept = io.BytesIO()
    parquet.write_table(pyarrow.table(columns), kept)
    return kept.getvalue()


def _cell(name: str, text: str) -> Any:
    return text if name == "contact" else float(text) if text else None


def _fleet() -> Any:
    from underset.studies.batch_fleet import rows_of
    from underset.studies.batch_table import Vehicles
    from underset.studies.fleet import Fleet

    return Vehicles(*rows_of(Fleet(6, 1).columns(0, 6), LIKELY))


@cache
def journal() -> bytes:
    """A journal of a batch with three results."""
    from underset.studies.batch import _encoded, nothing
    from underset.studies.journal import Journal

    with tempfile.TemporaryDirectory() as folder:
        kept = Journal(Path(folder, "journal"), STUDY, _encoded)
        list(kept.results())
        for _ in range(3):
            kept.add(nothing(2))
        kept.close()
        return Path(folder, "journal").read_bytes()


def grow_json(rng: random.Random, content: bytes) -> bytes:
    """JSON with a value changed, mostly; else bytes."""
    if rng.random() < 0.7:
        text = json_changed(rng, content.decode("utf-8", "replace"))
        return text.encode("utf-8", "surrogatepass")
    return changed(rng, content)


def grow_journal(rng: random.Random, content: bytes) -> bytes:
    """Bytes changed; or a line whose checksum fits what it says now."""
    if rng.random() < 0.5:
        return changed(rng, content)
    lines = content.split(b"\n")
    at = rng.randrange(len(lines))
    text = json_changed(rng, lines[at][9 if at else 0 :].decode("utf-8", "replace"))
    told = text.encode("utf-8", "surrogatepass")
    lines[at] = told if at == 0 else journal_line(text)[:-1]
    return b"\n".join(lines)


def journal_line(text: str) -> bytes:
    """A line whose checksum fits."""
    told = text.encode("utf-8", "surrogatepass")
    return f"{crc32(told):08x} ".encode() + told + b"\n"


def grow_table(rng: random.Random, content: bytes) -> bytes:
    """One cell of a table odd; or bytes changed."""
    if rng.random() < 0.4:
        return changed(rng, content)
    lines = content.decode("utf-8", "replace").split("\n")
    row = rng.randrange(len(lines))
    cells = lines[row].split(",")
    cells[rng.randrange(len(cells))] = rng.choice(ODD_TEXTS)
    lines[row] = ",".join(cells)
    return "\n".join(lines).encode("utf-8", "surrogatepass")


def changed_file(rng: random.Random, content: bytes) -> bytes:
    """Bytes of a packed file changed, cut at neither end."""
    return changed(rng, content, 400_000)


def grow_lines(rng: random.Random, content: bytes) -> bytes:
    """One of the figures typed odd; or bytes changed."""
    if rng.random() < 0.5:
        return changed(rng, content)
    text = content.decode("utf-8", "replace")
    parts = [p for sign in ":,=- \n" for p in text.split(sign) if p]
    return text.replace(rng.choice(parts), rng.choice((*ODD_TEXTS, *parts)), 1).encode(
        "utf-8", "surrogatepass"
    )


SEEDS: dict[str, Callable[[], list[bytes]]] = {
    "board": lambda: [BOARD],
    "fleet": lambda: [fleet_csv()],
    "parquet": lambda: [fleet_parquet()],
    "journal": lambda: [journal()],
    "weighing": lambda: [WEIGHED],
    "clock": lambda: [CLOCK],
}


@cache
def _workshop() -> Any:
    from underset.records import read_workshop

    return read_workshop(SAMPLE)


@cache
def _day() -> Any:
    from underset.studies import Day, DayBay, DayJob

    jobs = (DayJob("hatch-engine-out", "harbour-hatch", 60, 1020, ()),)
    return Day(jobs, (DayBay("south"), DayBay("north")), (), ())


@cache
def _folder() -> tempfile.TemporaryDirectory[str]:
    return tempfile.TemporaryDirectory(prefix="underset-fuzz-")


def _file(content: bytes, name: str) -> Path:
    place = Path(_folder().name, name)
    place.write_bytes(content)
    return place
