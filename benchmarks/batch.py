"""The batch: equal to the planner, rate by bay, time and memory of a large run, two workers.

    python -m benchmarks.batch [vehicles]        the table: rates, a tenth and the whole, workers
    python -m benchmarks.batch rate [vehicles]   rate by bay on one core, median of seven runs
    python -m benchmarks.batch equal [pairs]     vehicle x bay pairs against the single planner

The table runs over 20 bays: the sample's four, five times over. Rates "a core" are by processor
time, so that a busy machine says nearly the same; wall time needs a quiet one. Compiling takes
about a minute of one core the first time and is done before any clock starts.
"""

from __future__ import annotations

import resource
import subprocess
import sys
import time
from collections import Counter
from statistics import median

import numpy as np

from tests import batch_cases as cases
from underset.studies import batch, batch_compile
from underset.studies import batch_columns as at
from underset.studies.batch_fleet import rows_of
from underset.studies.executor import HERE, Place, Pool
from underset.studies.fleet import Fleet

BAYS, PAIRS, SEED = 20, 4000, 77
CLOSE = 1e-9


def twist() -> float:
    """N m/rad: what the sample's policy takes where a vehicle has no stiffness of its own."""
    return next(iter(cases.bay_cases().values())).policy["twist_high"]


def survey(count: int) -> batch.Survey:
    tables = tuple(cases.tables(cases.bay_cases()).values())
    return batch.Survey((tables * BAYS)[:BAYS], twist(), Fleet(count, 1))


# --- rate by bay ----------------------------------------------------------------------------------


def rate(count: int = 3000, runs: int = 7) -> None:
    """Print plans a second of processor time in each bay, and over all of them."""
    overall(count, runs)


def overall(count: int, runs: int) -> float:
    """Plans a second of one core over the sample's bays, medians of some runs; prints each bay."""
    kernels = batch_compile.compiled()
    rows, zones, counts = rows_of(Fleet(count, 1).columns(0, count), twist())
    answers = np.zeros((count, at.ANSWER_WIDTH))
    whole = quickest = 0.0
    print(f"{'bay':10}{'stacks':>8}{'fit':>8}{'plans a second a core':>24}{'quickest run':>16}")
    for name, bay in sorted(cases.tables(cases.bay_cases()).items()):
        kernels.plan_many(rows[:1], zones[:1], counts[:1], bay.lift, bay.profiles, answers[:1])
        seconds = []
        for _ in range(runs):
            began = time.process_time()
            kernels.plan_many(rows, zones, counts, bay.lift, bay.profiles, answers)
            seconds.append(time.process_time() - began)
        whole, quickest = whole + median(seconds), quickest + min(seconds)
        fit = int((answers[:, 0] == at.FOUND).sum())
        usual, best = count / median(seconds), count / min(seconds)
        print(f"{name:10}{len(bay.stacks):8}{fit:8}{usual:24,.0f}{best:16,.0f}")
    plans = count * len(cases.bay_cases())
    print(f"{'all':10}{'':16}{plans / whole:24,.0f}{plans / quickest:16,.0f}")
    return plans / whole


# --- equality -------------------------------------------------------------------------------------


def equal(pairs: int = PAIRS) -> int:
    """The single planner under the batch's rule against the batch; gives the pairs that differ."""
    bays = cases.bay_cases()
    tables = cases.tables(bays)
    count = -(-pairs // len(bays))
    columns = cases.columns_of(count, SEED)
    rows, zones, counts = rows_of(columns, twist())
    kernels = batch_compile.compiled() if batch_compile.can_compile() else batch_compile.plain()
    wrong: Counter[str] = Counter()
    outcomes: Counter[str] = Counter()
    differ = 0
    for name, table in sorted(tables.items()):
        answers = np.zeros((count, at.ANSWER_WIDTH))
        kernels.plan_many(rows, zones, counts, table.lift, table.profiles, answers)
        for i in range(count):
            wanted = cases.expected(cases.case_of(bays[name], columns, i))
            fields = differences(cases.answered(answers[i], table), wanted)
            outcomes[wanted.outcome.value] += 1
            wrong.update(fields)
            differ += bool(fields)
            if fields:
                print(f"vehicle {i} of seed {SEED} in {name}: {', '.join(fields)}")
        print(f"{name}: {count} compared, {differ} differ so far", flush=True)
    print(f"{count * len(bays)} pairs compared: {dict(outcomes)}; {differ} differ {dict(wrong)}")
    return differ


def differences(told: cases.Expected, wanted: cases.Expected) -> list[str]:
    """Names of the fields that are not equal, figures to 1e-9."""
    same = {
        name: getattr(told, name) == getattr(wanted, name)
        for name in ("outcome", "watch", "heading", "stacks")
    }
    for name in ("spot", "slack", "seat"):
        same[name] = abs(getattr(told, name) - getattr(wanted, name)) <= CLOSE
    ends = zip(told.window, wanted.window, strict=True)
    same["window"] = all(abs(a - b) <= CLOSE for a, b in ends)
    return [name for name, good in same.items() if not good]


# --- large runs -----------------------------------------------------------------------------------


def large(count: int, workers: int) -> None:
    """One run in a process of its own (this one), as a row of the table; 0 workers: right here."""
    on: Place = Pool(workers) if workers else HERE
    asked = survey(count)
    batch.answers(next(survey(1).chunks()))  # compiled, or loaded, before the clock starts
    began, spent = time.monotonic(), _processor()
    told = batch.survey(asked, on)
    seconds, spent = time.monotonic() - began, _processor() - spent
    assert told.vehicles == count
    plans = count * BAYS
    peak = max(resource.getrusage(who).ru_maxrss for who in _WHO) / 1024
    where = f"{workers} worker{'s' if workers > 1 else ''}" if workers else "in process"
    print(
        f"{where:12}{count:>10,} x {BAYS}{seconds:10.1f}{spent:12.1f}"
        f"{plans / seconds:12,.0f}{plans / spent:12,.0f}{peak:10.0f}"
    )


_WHO = (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)


def _processor() -> float:
    used = [resource.getrusage(who) for who in _WHO]
    return sum(u.ru_utime + u.ru_stime for u in used)


def main(count: int = 100_000) -> None:
    rate()
    print(
        f"\n{'':12}{'vehicles x bays':>15}{'wall s':>10}{'processor s':>12}"
        f"{'a s wall':>12}{'a s core':>12}{'peak MiB':>10}",
        flush=True,
    )
    for size, workers in ((count // 10, 0), (count, 0), (count, 1), (count, 2)):
        words = [sys.executable, "-m", "benchmarks.batch", "large", str(size), str(workers)]
        subprocess.run(words, check=True)


COMMANDS = {"rate": rate, "equal": equal, "large": large}

if __name__ == "__main__":
    if sys.argv[1:2] and sys.argv[1] in COMMANDS:
        sys.exit(COMMANDS[sys.argv[1]](*[int(x) for x in sys.argv[2:]]) or 0)
    main(*[int(x) for x in sys.argv[1:2]])
