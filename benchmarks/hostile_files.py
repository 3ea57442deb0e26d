"""Files made to hurt, each read in a process of its own: seconds, memory, and what is said.

    python -m benchmarks.hostile_files [NAME ...]

Every one must be refused in words (or taken whole), within LONGEST seconds of processor time and
GREATEST of memory. They are made here and nowhere kept.
"""

from __future__ import annotations

import io
import json
import subprocess
import sys
import tempfile
import time
import zipfile
from collections.abc import Callable
from pathlib import Path

from benchmarks.fuzz import ROOT, _csv, _parts
from benchmarks.fuzz_book import small_books, small_store

LONGEST = 30.0  # seconds of processor time
GREATEST = 600  # MB
SHEET = "xl/worksheets/sheet1.xml"

# --- the files ------------------------------------------------------------------------------------


def packed(parts: dict[str, bytes]) -> bytes:
    package = io.BytesIO()
    with zipfile.ZipFile(package, "w", zipfile.ZIP_DEFLATED) as written:
        for name, part in parts.items():
            written.writestr(name, part)
    return package.getvalue()


def with_sheet(sheet: bytes) -> bytes:
    return packed({**_parts(), SHEET: sheet})


def with_rows(rows: bytes) -> bytes:
    return with_sheet(_parts()[SHEET].replace(b"<sheetData>", b"<sheetData>" + rows, 1))


def moved(sheet: bytes) -> bytes:
    """The sheet under a name that says it is a picture."""
    name = b"media/image1.dat"
    told = ("xl/_rels/workbook.xml.rels", "[Content_Types].xml")
    parts = {n: p.replace(b"worksheets/sheet1.xml", name) if n in told else p
             for n, p in _parts().items() if n != SHEET}  # fmt: skip
    return packed({**parts, "xl/media/image1.dat": sheet})


def laughs(encoding: str = "utf-8") -> bytes:
    """Entities of entities: ten thousand million letters once they are put in."""
    names = [f'<!ENTITY b{i} "{f"&b{i - 1};" * 10 if i else "aaaaaaaaaa"}">' for i in range(10)]
    sheet = _parts()[SHEET].decode().partition("?>")[2] or _parts()[SHEET].decode()
    cell = "<sheetData><row r='1'><c t='inlineStr'><is><t>&b9;</t></is></c></row>"
    body = f"<!DOCTYPE x [{''.join(names)}]>{sheet.replace('<sheetData>', cell, 1)}"
    return f'<?xml version="1.0" encoding="{encoding}"?>'.encode() + body.encode(encoding)


def book_with(line: bytes) -> bytes:
    head, _, rest = small_books()[0].partition(b"\n")
    return head + b"\n" + line + b"\n" + rest


ONE_ROW = b"<row>" + b"<c><v>1</v></c>" * 240 + b"</row>"
FAR = b"".join(b'<row><c r="XFD%d"><v>1</v></c></row>' % n for n in range(1, 20_000))
FILES: dict[str, tuple[str, Callable[[], bytes]]] = {
    "table: a line of 100 MB": ("csv", lambda: b"x" * 100_000_000),
    "table: 9 MB of commas": ("csv", lambda: b"," * 9_000_000),
    "table: 9 MB of quotes": ("csv", lambda: b'"' * 9_000_000),
    "table: a million rows": ("csv", lambda: b"id\n" + b"a\n" * 1_000_000),
    "table: 9 MB of rows": ("csv", lambda: _csv("vehicle") + b"x,y\n" * 2_200_000),
    "workbook: 300 MB of blanks": ("xlsx", lambda: with_sheet(b" " * 300_000_000)),
    "workbook: 20 times 55 MB": ("xlsx", lambda: packed(
        {**_parts(), **{f"xl/theme/{n}.xml": b" " * 55_000_000 for n in range(20)}})),
    "workbook: entities of entities": ("xlsx", lambda: with_sheet(laughs())),
    "workbook: the same called a picture": ("xlsx", lambda: moved(laughs())),
    "workbook: the same in other letters": ("xlsx", lambda: moved(laughs("cp037"))),
    "workbook: far cells": ("xlsx", lambda: with_rows(FAR)),
    "workbook: far cells by reference": ("xlsx", lambda: with_rows(FAR.replace(b"X", b"&#88;"))),
    "workbook: 3.6 million cells": ("xlsx", lambda: with_rows(ONE_ROW * 15_000)),
    "workbook: a row a million down": ("xlsx", lambda: with_rows(
        b'<row r="1048576"><c r="A1048576"><v>1</v></c></row>')),
    "record: a line of 100 MB": ("toml", lambda: b"a = " + b"x" * 100_000_000),
    "record: nested 100,000 deep": ("toml", lambda: b"a = " + b"[" * 100_000 + b"]" * 100_000),
    "record: a figure of 900,000 digits": ("toml", lambda: b"a = " + b"9" * 900_000),
    "record: a name of 900,000 dots": ("toml", lambda: b"a." * 450_000 + b"b = 1"),
    "book: a line of 100 MB": ("jsonl", lambda: book_with(b'{"row": "' + b"x" * 100_000_000)),
    "book: nested a million deep": ("jsonl", lambda: book_with(b"[" * 1_000_000)),
    "book: a figure of a million digits": ("jsonl", lambda: book_with(b"9" * 1_000_000)),
    "book: one event 300,000 times": ("jsonl", lambda: b"".join((
        small_books()[0].split(b"\n")[0], b"\n",
        (next(x for x in small_books()[0].split(b"\n") if b'"events"' in x[-20:]) + b"\n")
        * 300_000))),
    "book: 100 MB of blank lines": ("jsonl", lambda: book_with(b"\n" * 100_000_000)),
    "backup: half a store": ("db", lambda: small_store()[: len(small_store()) // 2]),
    "backup: a store and 200 MB of nothing": ("db", lambda: small_store() + bytes(200_000_000)),
    "journal: a line of 100 MB": ("journal", lambda: b"{" * 100_000_000),
    "board: 100 MB": ("board", lambda: b"[" * 100_000_000),
    "fleet: a line of 100 MB": ("fleet", lambda: b"x" * 100_000_000),
}  # fmt: skip


# --- reading one ----------------------------------------------------------------------------------


def read(kind: str, place: Path) -> None:
    """Read a file as its command or page would."""
    from benchmarks import fuzz_studies
    from underset.app import Actor
    from underset.records import read_table, read_vehicle
    from underset.store import restore
    from underset.studies import day_table

    if kind in ("csv", "xlsx"):
        read_table("vehicle", place.read_bytes() if kind == "xlsx" else place, f"sent.{kind}")
    elif kind == "toml":
        read_vehicle(place)
    elif kind in ("jsonl", "db"):
        restore(place, place.with_name("new.db"), by=Actor("hostile"))
    elif kind == "board":
        day_table.read_board(place)
    else:
        reader = {"journal": fuzz_studies.read_journal, "fleet": fuzz_studies.read_fleet}[kind]
        reader(place.read_bytes())


def one(kind: str, place: Path) -> None:
    """Read a file in this process and print what came of it."""
    from underset.errors import InputError, StoreError

    began = time.process_time()
    try:
        read(kind, place)
        said = "taken"
    except (InputError, StoreError) as error:
        said = f"refused: {error.message}"
    took = time.process_time() - began
    print(json.dumps({"seconds": took, "mb": most_memory(), "said": said}))


def most_memory() -> int:
    """The most that this process ever held, MB (Linux); unlike `getrusage`, none of its parent."""
    lines = Path("/proc/self/status").read_text("ascii").splitlines()
    return next(int(line.split()[1]) // 1024 for line in lines if line.startswith("VmHWM"))


def tried(name: str, folder: Path) -> tuple[str, bool]:
    """One line about a file, and whether it broke a rule."""
    kind, make = FILES[name]
    place = folder / f"sent.{ {'fleet': 'csv'}.get(kind, kind) }".replace(" ", "")
    place.write_bytes(make())
    command = [sys.executable, "-m", "benchmarks.hostile_files", "--one", kind, str(place)]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    place.unlink()
    lines = [x for x in done.stdout.splitlines() if x.startswith('{"seconds"')]
    if not lines:
        return f"{name:<40} ENDED WITH {done.returncode}: {done.stderr[-300:]}", True
    told = json.loads(lines[-1])
    broken = told["seconds"] > LONGEST or told["mb"] > GREATEST
    said = told["said"].replace(str(folder), "").replace("\n", " ")[:90]
    mark = "  BROKEN" if broken else ""
    return f"{name:<40}{told['seconds']:>7.2f} s{told['mb']:>6} MB{mark}  {said}", broken


def main(arguments: list[str]) -> int:
    if arguments[:1] == ["--one"]:
        one(arguments[1], Path(arguments[2]))
        return 0
    broken, names = 0, arguments or list(FILES)
    for name in names:
        with tempfile.TemporaryDirectory() as folder:
            line, wrong = tried(name, Path(folder))
        print(line, flush=True)
        broken += wrong
    print(f"{len(names)} files, {broken} broke a rule")
    return 1 if broken else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
