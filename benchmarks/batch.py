"""The batch: equal to its plain twin, rate on one core, one worker against two, memory.

Run: python -m benchmarks.batch [vehicles]   (20 bays: the sample's four, five times over)
Compiling takes about a minute of one core the first time.
"""

from __future__ import annotations

import resource
import subprocess
import sys
import time

import numpy as np

from tests import batch_cases as cases
from underset.studies import batch, batch_compile
from underset.studies import batch_columns as at
from underset.studies.batch_fleet import rows_of
from underset.studies.executor import HERE, Place, Pool
from underset.studies.fleet import Fleet


def survey(count: int, bays: int = 20) -> batch.Survey:
    tables = tuple(cases.tables(cases.bay_cases()).values())
    return batch.Survey((tables * bays)[:bays], 2.3e6, Fleet(count, 1))


def equal(count: int = 100) -> None:
    """Compiled and plain answers are the same to 1e-9, or this stops."""
    rows, zones, counts = rows_of(Fleet(count, 9).columns(0, count), 2.3e6)
    for bay in cases.tables(cases.bay_cases()).values():
        both = np.zeros((2, count, at.ANSWER_WIDTH))
        for answers, kernels in zip(
            both, (batch_compile.plain(), batch_compile.compiled()), strict=True
        ):
            kernels.plan_many(rows, zones, counts, bay.lift, bay.profiles, answers)
        np.testing.assert_allclose(both[0], both[1], rtol=0.0, atol=1e-9)
    print(f"compiled equals plain on {4 * count} plans")


def timed(count: int, on: Place) -> float:
    """Seconds of wall time for one run."""
    began = time.monotonic()
    told = batch.survey(survey(count), on)
    seconds = time.monotonic() - began
    assert told.vehicles == count
    return seconds


def memory(count: int) -> None:
    """Peak memory of one run in a process of its own (this one)."""
    seconds = timed(count, HERE)
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(f"{count:,} x 20: {seconds:.1f} s, {20 * count / seconds:,.0f} a second, {peak:.0f} MiB")


def main(count: int = 100_000) -> None:
    equal()
    for size in (count // 10, count):
        subprocess.run([sys.executable, "-m", "benchmarks.batch", "memory", str(size)], check=True)
    one, two = timed(count // 5, Pool(1)), timed(count // 5, Pool(2))
    print(f"1 worker {one:.1f} s, 2 workers {two:.1f} s: {one / two:.2f} times faster")


if __name__ == "__main__":
    if sys.argv[1:2] == ["memory"]:
        memory(int(sys.argv[2]))
    else:
        main(*[int(x) for x in sys.argv[1:2]])
