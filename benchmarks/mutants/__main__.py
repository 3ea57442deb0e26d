"""Mutation testing of geometry, statics and the judge: which small change does a test find?

    python -m benchmarks.mutants                  draw 400 changes (seed 20261125) and try each
    python -m benchmarks.mutants --again          try those once more that no test found
    python -m benchmarks.mutants --show           print the changes that no test found
    python -m benchmarks.mutants --only loads._tip --keep build/tip.jsonl
    python -m benchmarks.mutants --control        try each with nothing changed: no test may fail
    python -m benchmarks.mutants --setting 20 --geometry 0 --statics 0 --seed 7 --keep build/x.jsonl

Any place in a function is as likely to be drawn as any other of its part. Answers are kept line by
line; a run that was stopped goes on where it stood. A change that no test can find stands with its
reason in same.toml. First, once for each state of the files, all tests run unchanged and are
followed line by line: some ten minutes. Linux only, as it forks.
"""

from __future__ import annotations

import argparse
import hashlib
import json
import math
import os
import sys
import tomllib
from dataclasses import replace
from pathlib import Path
from typing import Any

os.environ.update(OPENBLAS_NUM_THREADS="1", OMP_NUM_THREADS="1", MKL_NUM_THREADS="1")
sys.path[:0] = [str(Path(__file__).resolve().parents[2] / part) for part in ("", "src")]

from benchmarks.mutants import runner  # noqa: E402
from benchmarks.mutants.changes import PARTS, ROOT, Change, draw, named  # noqa: E402

SAME = Path(__file__).parent / "same.toml"
Row = dict[str, Any]


def main() -> int:
    """Try the changes and print how many are found."""
    told = options()
    kept = {row["name"]: row for row in read(told.keep)}
    if told.only:
        drawn = named(told.only)
    else:
        drawn = [c for part in PARTS for c in draw(part, getattr(told, part), told.seed)]
    if told.control:
        drawn = [replace(c, now=c.was) for c in drawn]
    if told.show:
        for change in drawn:
            row = kept.get(change.name, {"outcome": "not tried"})
            if row["outcome"] not in ("found", "endless"):
                print(f"{change.name}  {change.module}:{change.line}  {row['outcome']}")
                print(f"{change.shown()}\n")
        return 0
    waiting = [c for c in drawn if c.name not in kept or (told.again and missed(kept[c.name]))]
    if waiting:
        try_all(waiting, told, kept)
    table(drawn, kept)
    return 0


def options() -> argparse.Namespace:
    """What the command line says."""
    about = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    for part, count in zip(PARTS, (100, 100, 200), strict=True):
        about.add_argument(f"--{part}", type=int, default=count)
    about.add_argument("--seed", type=int, default=20261125)
    about.add_argument("--most", type=float, default=20.0, help="seconds of tests per change")
    about.add_argument("--keep", type=Path, default=ROOT / "build" / "mutants.jsonl")
    about.add_argument("--tests", nargs="*", default=runner.TESTS)
    about.add_argument("--only", help="every change of the functions with this in their names")
    about.add_argument("--again", action="store_true")
    about.add_argument("--control", action="store_true")
    about.add_argument("--show", action="store_true")
    return about.parse_args()


def read(file: Path) -> list[Row]:
    """The answers kept so far; the last one of a change counts."""
    if not file.exists():
        return []
    return [json.loads(line) for line in file.read_text("utf-8").splitlines()]


def missed(row: Row) -> bool:
    """Whether no test has found a change."""
    return row["outcome"] not in ("found", "endless")


def try_all(changes: list[Change], told: argparse.Namespace, kept: dict[str, Row]) -> None:
    """Collect the tests, learn what they reach if that is not known, and try every change."""

    def work(ready: runner.Ready, items: list[Any]) -> None:
        known = learnt(ready, items, told.tests)
        runner.warm(known.modules)
        by_name = {item.nodeid: item for item in items}
        for change in changes:
            answer = runner.tried(change, ready, by_name, known, told.most)
            row = {
                "name": change.name, "module": change.module, "line": change.line,
                "outcome": answer.outcome, "by": answer.by, "seconds": round(answer.seconds, 2),
            }  # fmt: skip
            kept[change.name] = row
            with told.keep.open("a", encoding="utf-8") as file:
                file.write(json.dumps(row) + "\n")

    told.keep.parent.mkdir(parents=True, exist_ok=True)
    runner.collected(work, told.tests)


def learnt(ready: runner.Ready, items: list[Any], tests: list[str]) -> runner.Known:
    """Which test reaches which line: from an earlier run over the same files, or found out now.

    Found out in a fork, so that nothing it leaves behind meets a change.
    """
    digest = hashlib.sha256(repr(tests).encode())
    for folder in ("src", "tests", "examples"):
        for path in sorted((ROOT / folder).rglob("*.*")):
            if path.suffix in (".py", ".toml", ".json", ".txt"):
                digest.update(path.read_bytes())
    file = ROOT / "build" / f"mutants-lines-{digest.hexdigest()[:12]}.json"
    if not file.exists():
        child = os.fork()
        if child == 0:
            try:
                file.write_text(json.dumps(runner.learn(ready, items)), "utf-8")
            finally:
                os._exit(0)
        os.waitpid(child, 0)
    known = runner.known_from(file)
    left = [item.nodeid for item in items if item.nodeid not in known.seconds]
    for test in left:
        print(f"left out, as it fails unchanged: {test}", file=sys.stderr)
    return known


# --- what came out --------------------------------------------------------------------------------


def share(part: int, whole: int) -> str:
    """A share in percent with its 95 % range (Wilson's score interval)."""
    z, p = 1.959964, part / whole
    middle = (p + z * z / (2 * whole)) / (1 + z * z / whole)
    half = z * math.sqrt(p * (1 - p) / whole + z * z / (4 * whole * whole)) / (1 + z * z / whole)
    return f"{100 * p:.1f} % ({100 * (middle - half):.0f} to {100 * (middle + half):.0f})"


def table(drawn: list[Change], kept: dict[str, Row]) -> None:
    """Print what was found of each part."""
    same = {row["name"] for row in tomllib.loads(SAME.read_text("utf-8")).get("same", [])}
    for part in PARTS:
        rows = [kept[c.name] for c in drawn if c.part == part and c.name in kept]
        if not rows:
            continue
        found = [row for row in rows if not missed(row)]
        alike = [row for row in rows if missed(row) and row["name"] in same]
        cards = [row for row in found if "tests/golden/" in row["by"]]
        endless = sum(row["outcome"] == "endless" for row in rows)
        print(
            f"{part}: {len(rows)} tried, found {share(len(found), len(rows))},"
            f" {len(cards)} of them by printed cards alone, {endless} by their time;"
            f" {len(alike)} are no change: found {share(len(found), len(rows) - len(alike))}"
            f" of the others; seconds {sum(row['seconds'] for row in rows):.0f}"
        )


if __name__ == "__main__":
    raise SystemExit(main())
