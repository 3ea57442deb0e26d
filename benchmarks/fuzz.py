"""Fuzzing of everything that reads what others wrote; each target runs in a process of its own.

    python -m benchmarks.fuzz MINUTES [TARGET ...]

Inputs are grown by coverage where atheris is installed (libFuzzer under it), else from the sample's
own files by random changes. An input may be refused with an InputError and nothing else; what is
taken must come back the same from what is written of it; no input may take more than a few seconds
of processor time. Inputs that break this are kept in build/fuzz, one for each place that failed.
Pictures for tracing never leave the browser: the marks on them arrive, so those are fuzzed. The
server is asked as a whole, see fuzz_web; files made to hurt are in hostile_files.
"""

from __future__ import annotations

import io
import json
import math
import random
import subprocess
import sys
import tempfile
import time
import traceback
import zipfile
from collections.abc import Callable, Iterator
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

from benchmarks import fuzz_book, fuzz_studies
from benchmarks.fuzz_grow import LONGEST, Grow, changed
from underset.errors import AppError, InputError

ROOT = Path(__file__).resolve().parents[1]
SAMPLE = ROOT / "examples" / "quayside"
KEPT = ROOT / "build" / "fuzz"
SLOW = 3.0  # seconds of processor time for one input
SERVERS = ("api", "pages")  # asked in requests, see fuzz_web
TABLE_KINDS = ("vehicle", "adapter", "lift")

Target = Callable[[bytes], None]


# --- targets --------------------------------------------------------------------------------------


def read_toml(content: bytes) -> None:
    """A record file of any kind: read, judged for plausibility, written and read again."""
    from underset.records import complaints, toml_data, toml_text, validated
    from underset.records.reading import FOLDERS, policy_of
    from underset.records.workshop import WorkshopFile

    data = toml_data(content)
    for model in (*FOLDERS.values(), WorkshopFile):
        try:
            record = validated(model, data)
        except InputError:
            continue
        complaints(record)
        assert validated(model, toml_data(toml_text(record))) == record
    policy_of(data)


def read_json(content: bytes) -> None:
    """A record as JSON: read, written and read again."""
    from underset.records import from_json, json_text
    from underset.records.reading import FOLDERS

    for model in FOLDERS.values():
        try:
            record = from_json(model, content)
        except InputError:
            continue
        assert from_json(model, json_text(record)) == record


def read_csv(content: bytes) -> None:
    """A table of each kind: read, written and read again."""
    for kind in TABLE_KINDS:
        _table(kind, content, "sent.csv")


def read_xlsx(content: bytes) -> None:
    """A workbook with whatever stands in its package."""
    _table("vehicle", content, "sent.xlsx")


def read_sheet_part(content: bytes) -> None:
    """A sound workbook in which one sheet says anything."""
    _table("vehicle", _with_sheet(content), "sent.xlsx")


def read_quantity(content: bytes) -> None:
    """A figure with its unit, of every kind."""
    from underset.units import BOUNDS, parse_quantity, quantity

    text = content.decode("utf-8", "replace")
    for kind, bound in BOUNDS.items():
        try:
            q = parse_quantity(text, kind)
        except InputError:
            continue
        assert math.isfinite(q.value) and abs(q.value) <= bound and 0.0 <= q.tol <= bound
        assert parse_quantity(q.text, kind) == q
        assert quantity(1.0, q.unit).unit == q.unit


def read_tape(content: bytes) -> None:
    """Tape readings in a bay: place, column, distance, tolerance, a line each."""
    from underset.planner.tape import TapeReading, stop_from_tape

    bay, places = _bay_and_places()
    readings = []
    for line in content.decode("utf-8", "replace").splitlines()[:12]:
        place, column, distance, tol = (line.split("|") + [""] * 3)[:4]
        side: Any = "right" if column == "right" else "left"
        readings.append(TapeReading(place, side, _float(distance), _float(tol)))
    measured = stop_from_tape(readings, places, bay, "nose-in")
    told = (measured.stop.spot, measured.spot_tol, measured.sideways_tol, measured.yaw_tol)
    assert all(map(math.isfinite, told))


def read_marks(content: bytes) -> None:
    """Marks on a picture, its kind, wheelbase and check distance, as a page sends them."""
    from underset.app.tracing import fields_of, read_marks, read_ruler, traced

    lines = content.decode("utf-8", "replace").splitlines()
    sent = dict(line.split("=", maxsplit=1) for line in lines if "=" in line)
    trace = traced(read_marks(sent), read_ruler(sent))
    assert all(p.tol_aft > 0.0 and math.isfinite(p.aft + p.side) for p in trace.points)
    assert len(fields_of(trace)) == 8


def plan_vehicle(content: bytes) -> None:
    """A vehicle that can be read is planned in a bay, whatever its figures."""
    from underset.records import read_vehicle

    _planned(vehicle=read_vehicle(content.decode("utf-8", "replace")))


def plan_bay(content: bytes) -> None:
    """A bay that can be read is planned in, whatever its figures."""
    from underset.records import read_bay

    _planned(bay=read_bay(content.decode("utf-8", "replace")))


TARGETS: dict[str, Target] = {
    "toml": read_toml,
    "json": read_json,
    "csv": read_csv,
    "xlsx": read_xlsx,
    "sheet": read_sheet_part,
    "quantity": read_quantity,
    "tape": read_tape,
    "marks": read_marks,
    "plan-vehicle": plan_vehicle,
    "plan-bay": plan_bay,
    "book": fuzz_book.read_book,
    "backup": fuzz_book.read_backup,
    "board": fuzz_studies.read_board,
    "fleet": fuzz_studies.read_fleet,
    "parquet": fuzz_studies.read_parquet,
    "journal": fuzz_studies.read_journal,
    "weighing": fuzz_studies.read_weighing,
    "clock": fuzz_studies.read_clock,
}
# How inputs grow where random changes of bytes would hardly ever get past the first check.
GROWN: dict[str, tuple[Grow, int]] = {
    "book": (fuzz_book.grow_book, fuzz_book.LONGEST_BOOK),
    "backup": (fuzz_book.grow_store, fuzz_book.LONGEST_BOOK),
    "board": (fuzz_studies.grow_json, LONGEST),
    "fleet": (fuzz_studies.grow_table, LONGEST),
    "parquet": (fuzz_studies.changed_file, fuzz_book.LONGEST_BOOK),
    "journal": (fuzz_studies.grow_journal, LONGEST),
    "weighing": (fuzz_studies.grow_lines, LONGEST),
    "clock": (fuzz_studies.grow_lines, LONGEST),
}


def _table(kind: str, content: bytes, name: str) -> None:
    from underset.records import beyond_table, read_table, write_table

    try:
        records = read_table(kind, content, name)
    except InputError:
        return
    again = read_table(kind, write_table(kind, records).encode(), "again.csv")
    for id, record in records.items():
        assert beyond_table(kind, record) or again[id] == record


def _planned(vehicle: Any = None, bay: Any = None) -> None:
    from dataclasses import replace

    from underset.app import Wish, make_plan
    from underset.setting import Status

    shop = _workshop()
    vehicles = {**shop.vehicles, "harbour-hatch": vehicle or shop.vehicles["harbour-hatch"]}
    shop = replace(shop, vehicles=vehicles, bays={"south": bay or shop.bays["south"]})
    planned = make_plan(shop, Wish("harbour-hatch", None, ("south",)), date(2026, 11, 20))
    best = planned.plan.best
    if best is not None:
        figures = [(c.demand, c.limit) for c in best.checks if c.status is Status.HOLDS]
        assert all(math.isfinite(x) for pair in figures for x in pair if x is not None)


def _with_sheet(content: bytes) -> bytes:
    package = io.BytesIO()
    with zipfile.ZipFile(package, "w") as written:
        for name, part in _parts().items():
            written.writestr(name, content if name == "xl/worksheets/sheet1.xml" else part)
    return package.getvalue()


@cache
def _parts() -> dict[str, bytes]:
    with zipfile.ZipFile(io.BytesIO(_workbook())) as package:
        return {name: package.read(name) for name in package.namelist()}


@cache
def _workbook() -> bytes:
    import csv

    from openpyxl import Workbook

    book = Workbook()
    for row in csv.reader(io.StringIO(_csv("vehicle").decode())):
        book.worksheets[0].append(row)
    kept = io.BytesIO()
    book.save(kept)
    return kept.getvalue()


@cache
def _workshop() -> Any:
    from underset.records import read_workshop

    return read_workshop(SAMPLE)


@cache
def _bay_and_places() -> tuple[Any, Any]:
    from underset.planner.tape import named_places
    from underset.setting import bay_numbers, vehicle_numbers

    shop = _workshop()
    vehicle = shop.vehicles["harbour-hatch"]
    numbers = vehicle_numbers("harbour-hatch", vehicle, shop.policy)
    return bay_numbers("north", shop.bays["north"]), named_places(numbers)


def _float(text: str) -> float:
    """A figure, or the odd ones that no form would let through."""
    try:
        return float(text)
    except ValueError:
        return math.nan


@cache
def _csv(kind: str) -> bytes:
    from underset.records import write_table

    shop = _workshop()
    table = {"vehicle": shop.vehicles, "adapter": shop.adapters, "lift": shop.bays}[kind]
    return write_table(kind, dict(list(table.items())[:2])).encode()


# --- what inputs grow from ------------------------------------------------------------------------

TAPE = b"\n".join((  # the vehicle of `_bay_and_places` with its front axle at 1.2 m
    b"LF tyre|left|1.184|0.005", b"LR tyre|left|1.367|0.005",
    b"RF tyre|right|1.184|0.005", b"RR tyre|right|1.367|0.005",
))  # fmt: skip
MARKED = "\n".join([
    "front_x=100", "front_y=500", "rear_x=1100", "rear_y=500", "left_x=600", "left_y=200",
    "lf_x=330", "lf_y=230", "rf_x=330", "rf_y=770", "lr_x=900", "lr_y=230", "rr_x=900", "rr_y=770",
    "check_a_x=100", "check_a_y=900", "check_b_x=1100", "check_b_y=900",
    "click=3", "wheelbase=2600 ± 3 mm", "check=2600 mm", "kind=drawing",
]).encode()  # fmt: skip


def seeds(target: str) -> list[bytes]:
    """Sound inputs of a target, from the sample workshop where it has any."""
    from underset.records import json_text

    files = [path.read_bytes() for path in sorted(SAMPLE.rglob("*.toml"))]
    shop = _workshop()
    made: dict[str, Callable[[], list[bytes]]] = {
        "toml": lambda: files,
        "json": lambda: [
            json_text(r).encode()
            for table in (shop.vehicles, shop.bays, shop.adapters, shop.jobs)
            for r in list(table.values())[:2]
        ],
        "csv": lambda: [_csv(kind) for kind in TABLE_KINDS],
        "xlsx": lambda: [_workbook()],
        "sheet": lambda: [_parts()["xl/worksheets/sheet1.xml"]],
        "quantity": lambda: [
            b"2600 mm", b"810 \xc2\xb1 10 kg", b"102.4 in", b"-3 deg", b"7 kN", b"1e2 +/- 3 %",
        ],
        "tape": lambda: [TAPE],
        "marks": lambda: [MARKED],
        "plan-vehicle": lambda: [(SAMPLE / "vehicles" / "harbour-hatch.toml").read_bytes()],
        "plan-bay": lambda: [(SAMPLE / "bays" / "south.toml").read_bytes()],
        "book": lambda: list(fuzz_book.small_books()),
        "backup": lambda: [fuzz_book.small_store()],
        **fuzz_studies.SEEDS,
    }  # fmt: skip
    return made[target]()


# --- running --------------------------------------------------------------------------------------


class Trial:
    """Calls one target with inputs, counts them and keeps what breaks the rule."""

    def __init__(self, name: str) -> None:
        self.name, self.target = name, TARGETS[name]
        self.inputs = self.refused = 0
        self.slowest = 0.0
        self.found: dict[str, bytes] = {}

    def __call__(self, content: bytes) -> None:
        self.inputs += 1
        began = time.process_time()
        try:
            self.target(content)
        except AppError as error:
            self.refused += 1
            if not isinstance(error, InputError):
                self._keep(error, content)
        except Exception as error:  # noqa: BLE001
            self._keep(error, content)
        took = time.process_time() - began
        self.slowest = max(self.slowest, took)
        if took > SLOW:
            self._note("slow", content)

    def _keep(self, error: BaseException, content: bytes) -> None:
        frame = traceback.extract_tb(error.__traceback__)[-1]
        place = f"{type(error).__name__} at {Path(frame.filename).name}:{frame.lineno}"
        self._note(place, content)

    def _note(self, place: str, content: bytes) -> None:
        if place not in self.found:
            self.found[place] = content
            KEPT.mkdir(parents=True, exist_ok=True)
            safe = place.replace(" ", "-").replace(":", "-")
            (KEPT / f"{self.name}-{safe}").write_bytes(content)

    def told(self, seconds: float) -> dict[str, Any]:
        return {
            "target": self.name, "inputs": self.inputs, "refused": self.refused,
            "seconds": round(seconds, 1), "slowest": round(self.slowest, 3),
            "found": sorted(self.found),
        }  # fmt: skip


def by_change(name: str, seconds: float, seed: int = 1, most: int = 10**9) -> Trial:
    """Random changes of sound inputs until time or number is used up. The seed fixes the inputs."""
    trial, rng, pool = Trial(name), random.Random(seed), seeds(name)
    grow, _ = GROWN.get(name, (changed, LONGEST))
    ends = time.monotonic() + seconds
    while time.monotonic() < ends and trial.inputs < most:
        trial(grow(rng, rng.choice(pool)))
    return trial


def by_coverage(name: str, seconds: float) -> None:
    """Inputs grown by atheris; it never returns, so the counts end the process when time is up."""
    import os

    import atheris

    with atheris.instrument_imports(include=["underset"]):
        import underset.app
        import underset.app.tracing
        import underset.cli.weighing
        import underset.planner
        import underset.records
        import underset.store
        import underset.studies.batch_table
        import underset.studies.day_table
        import underset.studies.journal  # noqa: F401
    trial, pool = Trial(name), seeds(name)
    rng, began = random.Random(1), time.monotonic()
    grow, longest = GROWN.get(name, (changed, LONGEST))

    def grown(content: bytes, most: int, seed: int) -> bytes:
        """Half of the steps are libFuzzer's own, half are changes that keep texts readable."""
        if rng.random() < 0.5 or not content:
            return bytes(atheris.Mutate(content, most))
        return grow(rng, content)[:most]

    with tempfile.TemporaryDirectory() as folder:
        for number, content in enumerate(pool):
            Path(folder, str(number)).write_bytes(content)

        def until_time_is_up(content: bytes) -> None:
            trial(content)
            if time.monotonic() - began > seconds:
                print("\n" + json.dumps(trial.told(time.monotonic() - began)), flush=True)
                os._exit(0)

        settings = ["fuzz", f"-max_len={longest}", "-verbosity=0", "-timeout=60", folder]
        atheris.Setup(settings, until_time_is_up, custom_mutator=grown)
        atheris.Fuzz()


def one(name: str, seconds: float) -> None:
    """One target in this process; its counts as JSON on the last line."""
    if name in SERVERS:
        from benchmarks.fuzz_web import SERVERS as ASKED

        print(json.dumps(ASKED[name](seconds)))
        return
    try:
        import atheris  # noqa: F401
    except ImportError:
        print(json.dumps(by_change(name, seconds).told(seconds)))
    else:
        by_coverage(name, seconds)


def rows(minutes: float, names: list[str]) -> Iterator[dict[str, Any]]:
    """Counts of each target, run one after another for equal parts of the time."""
    seconds = 60 * minutes / len(names)
    for name in names:
        command = [sys.executable, "-m", "benchmarks.fuzz", "--one", name, str(seconds)]
        done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
        told = [line for line in done.stdout.splitlines() if line.startswith('{"target"')]
        if told:
            yield json.loads(told[-1])
        else:
            lost = f"ended with {done.returncode}: {done.stderr[-600:]}"
            yield {"target": name, "inputs": 0, "refused": 0, "seconds": seconds, "slowest": 0.0,
                   "found": [lost]}  # fmt: skip


def main(arguments: list[str]) -> int:
    if arguments[:1] == ["--one"]:
        one(arguments[1], float(arguments[2]))
        return 0
    known = [*TARGETS, *SERVERS]
    names = arguments[1:] or known
    if not arguments or set(names) - set(known):
        print(f"usage: python -m benchmarks.fuzz MINUTES [{' | '.join(known)} ...]")
        return 2
    broken = 0
    print(f"{'target':<14}{'inputs':>10}{'refused':>10}{'a second':>10}{'slowest s':>10}  findings")
    for row in rows(float(arguments[0]), names):
        rate = row["inputs"] / max(row["seconds"], 0.1)
        print(
            f"{row['target']:<14}{row['inputs']:>10}{row['refused']:>10}{rate:>10.0f}"
            f"{row['slowest']:>10.2f}  {len(row['found'])}",
            flush=True,
        )
        for finding in row["found"]:
            print(f"    {finding}", flush=True)
        if "routes" in row:
            never = ", ".join(row["never taken"]) or "none"
            print(f"    {row['routes']} routes asked; only ever refused: {never}", flush=True)
        broken += len(row["found"])
    return 1 if broken else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
