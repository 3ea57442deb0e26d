"""All benchmarks as one table: medians against their aims, and ratios within this run.

    python -m benchmarks [--write]

About ten minutes on an idle machine. Single plans and rates by processor time; what a person waits
for (drag, page, card, start-up) by the clock, with the load before. With --write the table goes
into docs/measured/benchmarks.toml, from which the page of validation is made.
"""

from __future__ import annotations

import json
import os
import platform
import statistics
import subprocess
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
PAGE = ROOT / "docs" / "measured" / "benchmarks.toml"
# What the command line must never load for a plan.
HEAVY = ("numpy", "scipy", "shapely", "sqlalchemy", "fastapi", "typst", "ortools", "highspy")
STARTS = 7


@dataclass(frozen=True)
class Row:
    """One figure of the table."""

    name: str
    value: float
    unit: str
    note: str = ""


def plans() -> Iterator[Row]:
    from benchmarks import plan

    told = plan.rows()
    yield Row("one plan, median of the sample", _median(r[1] for r in told), "ms", "aim 20")
    yield Row("with ten job steps", _median(r[2] for r in told), "ms", "aim 20")
    yield Row(
        "proof of the window found", _median(r[3] for r in told), "ms", "every end, beside it"
    )
    slow = max(told, key=lambda r: r[2])
    yield Row("with ten job steps, dearest vehicle", slow[2], "ms", slow[0])


def pages() -> Iterator[Row]:
    from benchmarks import web

    told = {row.name: row for row in web.rows()}
    drag, card = told.pop(web.DRAG), told.pop(web.CARD)
    yield Row("drag to new drawing, median", 1e3 * drag.wait[0], "ms", "one client on loopback")
    yield Row("drag to new drawing, 95th percentile", 1e3 * drag.wait[1], "ms", "aim 50")
    worst = max(told.values(), key=lambda r: r.wait[1])
    yield Row("slowest page, 95th percentile", 1e3 * worst.wait[1], "ms", f"aim 150; {worst.name}")
    yield Row("card as PDF, 95th percentile", 1e3 * card.wait[1], "ms", "aim 500")


def rates() -> Iterator[Row]:
    from benchmarks import baseline_numpy, batch, floor

    ours = batch.overall(3000, 7)
    bare = floor.rate(5000)
    grid, beside = baseline_numpy.rates(200)
    yield Row("coverage, plans a second a core", ours, "/s", "aim 20,000; the sample's four bays")
    yield Row("the bare compiled loop", bare, "/s", "windows, even springs, tyres alone")
    yield Row("floor over coverage", bare / ours, "times", "what stacks, zones and ranks cost")
    yield Row("a tuned grid of NumPy and Shapely", grid, "/s", "windows, split, tyres alone")
    yield Row("coverage over the grid", beside / grid, "times", "in one run")


def large() -> Iterator[Row]:
    """100,000 vehicles x 20 bays, a tenth of it, and one worker against two."""
    told = {}
    for size, workers in ((10_000, 0), (100_000, 0), (100_000, 1), (100_000, 2)):
        words = [sys.executable, "-m", "benchmarks.batch", "large", str(size), str(workers)]
        done = subprocess.run(words, check=True, capture_output=True, text=True, cwd=ROOT)
        figures = done.stdout.replace(",", "").split(" x ")[1].split()
        told[size, workers] = [float(x) for x in figures[1:]]
        print(done.stdout.rstrip(), flush=True)
    tenth, whole = told[10_000, 0], told[100_000, 0]
    yield Row("100,000 vehicles x 20 bays", whole[0], "s", "one process")
    yield Row("the same for a tenth", tenth[0], "s", f"{whole[0] / tenth[0]:.1f} times less")
    yield Row("peak memory, whole", whole[4], "MiB")
    yield Row("peak memory, a tenth", tenth[4], "MiB")
    one, two = told[100_000, 1][0], told[100_000, 2][0]
    yield Row("two workers against one", one / two, "times", "aim 1.8; 100,000 x 20")


def starts() -> Iterator[Row]:
    """From the shell to the last line, warm, and what a plan loads."""
    plan = ["plan", "--vehicle", "harbour-hatch", "--bay", "north"]
    for name, words in {"start-up (--help)": ["--help"], "the sample plan": plan}.items():
        took = [_timed(words) for _ in range(STARTS)]
        yield Row(name, 1e3 * statistics.median(took), "ms", "warm, from the shell")
    watch = (
        "import sys, json; from underset.cli import main; main(sys.argv[1:]); "
        "print(json.dumps(sorted({m.partition('.')[0] for m in sys.modules})))"
    )
    done = subprocess.run(
        [sys.executable, "-c", watch, *plan], capture_output=True, text=True, check=True, cwd=ROOT
    )
    loaded = set(json.loads(done.stdout.splitlines()[-1]))
    heavy = sorted(loaded & set(HEAVY))
    yield Row("heavy libraries a plan loads", len(heavy), "", ", ".join(heavy) or "none")


def _timed(words: list[str]) -> float:
    began = time.perf_counter()
    subprocess.run(
        [sys.executable, "-m", "underset", *words], check=True, capture_output=True, cwd=ROOT
    )
    return time.perf_counter() - began


def _median(values: Iterator[float]) -> float:
    return statistics.median(values)


def written(rows: list[Row], load: float) -> str:
    """The table as the page of validation reads it."""
    head = {
        "title": "Speed",
        "machine": f"{os.cpu_count()} cores, {platform.system()}, Python "
        f"{platform.python_version()}; load before: {load:.1f}",
        "command": "python -m benchmarks --write",
        "note": "Plans and rates by processor time, waits by the clock.",
    }
    lines = [f"{key} = {json.dumps(text)}" for key, text in head.items()]
    lines.insert(1, f"date = {time.strftime('%Y-%m-%d')}")
    for row in rows:
        value = f"{row.value:.3g}" if abs(row.value) < 100 else f"{row.value:.0f}"
        lines += ["", "[[rows]]", f"name = {json.dumps(row.name)}", f"value = {value}"]
        lines += [f"unit = {json.dumps(row.unit)}", f"note = {json.dumps(row.note)}"]
    return "\n".join(lines) + "\n"


def main() -> None:
    load, rows = os.getloadavg()[0], []
    for group in (starts, plans, rates, pages, large):
        for row in group():
            rows.append(row)
            print(f"{row.name:<40}{row.value:>14,.1f} {row.unit:<6} {row.note}", flush=True)
    if "--write" in sys.argv:
        PAGE.write_text(written(rows, load), "utf-8")
        print(f"written: {PAGE.relative_to(ROOT)}")


if __name__ == "__main__":
    main()
