"""Soundness sweep: random workshops, vehicles and jobs, every usable plan judged a second time.

    python -m benchmarks.soundness CASES [--seed 1] [--chunk 500] [--keep FILE] [--refusals]

Draws CASES workshops, plans each, and has the second judge look at every setting offered as usable;
there must be no false usable. A usable case is followed by more: drawn again in part, with limits
put at the demand, with figures left out; each is planned and counted like the first. With --keep
every finished chunk is written down (one JSON line), and a sweep that was stopped goes on where it
stood when it is started again with the same file. With --refusals the cases refused are searched
for a setting that the second judge takes with margin.
Case 7 of seed 1 is made again by `python -m benchmarks.soundness 1 --seed 1 --first 7`.
"""

from __future__ import annotations

import argparse
import json
import sys
import time
from collections import Counter
from pathlib import Path
from typing import Any

sys.path[:0] = [str(Path(__file__).resolve().parents[2] / part) for part in ("", "src")]

from benchmarks.soundness.refusals import searched  # noqa: E402
from benchmarks.soundness.sweep import swept  # noqa: E402

Chunk = dict[str, Any]


def main() -> int:
    """Run the sweep and print it."""
    told = options()
    kept = {c["first"]: c for c in read(told.keep)}
    total = Counter[str]()
    for first in range(told.first, told.first + told.cases, told.chunk):
        count = min(told.chunk, told.first + told.cases - first)
        chunk = kept.get(first)
        if chunk is None or chunk["count"] != count or chunk["seed"] != told.seed:
            chunk = run(told, first, count)
            write(told.keep, chunk)
        total.update(chunk["counts"])
        show(chunk, total)
    return 1 if total["false usable"] else 0


def options() -> argparse.Namespace:
    """What the command line says."""
    about = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    about.add_argument("cases", type=int, nargs="?", default=1000)
    about.add_argument("--seed", type=int, default=1)
    about.add_argument("--first", type=int, default=0)
    about.add_argument("--chunk", type=int, default=500)
    about.add_argument("--keep", type=Path)
    about.add_argument("--refusals", action="store_true")
    return about.parse_args()


def run(told: argparse.Namespace, first: int, count: int) -> Chunk:
    """One chunk: counts, false usable and the processor time it took."""
    start, clock = time.process_time(), time.perf_counter()
    numbers = range(first, first + count)
    work = searched if told.refusals else swept
    counts, found = work(told.seed, numbers)
    return {
        "first": first, "count": count, "seed": told.seed, "counts": dict(counts),
        "found": [[one.name, one.refused or [one.outcome, *one.checks]] for one in found],
        "processor_s": round(time.process_time() - start, 1),
        "clock_s": round(time.perf_counter() - clock, 1),
    }  # fmt: skip


def show(chunk: Chunk, total: Counter[str]) -> None:
    """One line a chunk, and what was found in it."""
    for name, told in chunk["found"]:
        print(f"  {name}: {'; '.join(told)}")
    done = chunk["counts"].get("cases", 0)
    rate = done / max(chunk["processor_s"], 1e-9)
    told = ", ".join(f"{k} {v}" for k, v in sorted(total.items()))
    last = chunk["first"] + chunk["count"] - 1
    print(
        f"seed {chunk['seed']}, {chunk['first']} to {last}: {rate:.1f} cases a second of processor"
        f" time, {done / max(chunk['clock_s'], 1e-9):.1f} by the clock; so far: {told}",
        flush=True,
    )


def read(path: Path | None) -> list[Chunk]:
    """Chunks written down by a sweep before; a line cut short by a stop is left out."""
    if path is None or not path.exists():
        return []
    chunks = []
    for line in path.read_text("utf-8").splitlines():
        try:
            chunks.append(json.loads(line))
        except json.JSONDecodeError:
            continue
    return chunks


def write(path: Path | None, chunk: Chunk) -> None:
    """Write a chunk down."""
    if path is not None:
        with path.open("a", encoding="utf-8") as file:
            file.write(json.dumps(chunk, ensure_ascii=False) + "\n")


if __name__ == "__main__":
    sys.exit(main())
