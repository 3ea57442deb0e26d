"""The day's board: forty jobs, six bays, two sets of pinch-weld blocks, solved to a shown bound.

    python -m benchmarks.day [days] [seconds]

`seconds` is the wall time a board may take; on a busy machine a greater one shows what a quiet
machine does. Prints for each invented day the three aims with their bounds, the same by hand (jobs
by due time, each where it ends first), and the time: processor seconds of this process and wall
time.
"""

from __future__ import annotations

import sys
import time

from benchmarks.day_cases import day
from underset.studies.day import Board, Day, Effort, faults, schedule
from underset.studies.day_greedy import by_due_time


def main() -> None:
    days = int(sys.argv[1]) if len(sys.argv) > 1 else 10
    effort = Effort(seconds=float(sys.argv[2])) if len(sys.argv) > 2 else Effort()
    schedule(day(0, 3))  # imports and first use of the solvers
    print("day  blocks  by hand: off, late   board: off, late, end (each >= bound)", end="")
    print("       cpu s  wall s")
    for seed in range(days):
        measure(seed, effort)


def measure(seed: int, effort: Effort) -> None:
    case = day(seed)
    cpu, wall = time.process_time(), time.perf_counter()
    board = schedule(case, effort)
    cpu, wall = time.process_time() - cpu, time.perf_counter() - wall
    assert faults(case, board.slots) == []
    hand = by_due_time(case, case.jobs)
    off, late = len(case.jobs) - len(hand), sum(s.late for s in hand)
    load = 100 * block_load(case)
    print(
        f"{seed:3}  {load:4.0f} %  {off:12} {late:5}   {aims(board)}   {cpu:6.1f}  {wall:6.1f}",
        flush=True,
    )


def aims(board: Board) -> str:
    return "  ".join(f"{g.value:.0f} (>= {g.bound:.0f})" for g in board.goals).ljust(44)


def block_load(case: Day) -> float:
    """Minutes of pinch-weld blocks wanted over minutes there are."""
    wanted = sum(j.minutes * dict(j.ways[0].needs).get("pinch-block", 0) for j in case.jobs)
    return wanted / (case.held["pinch-block", "shelf"] * (case.end - case.begin))


if __name__ == "__main__":
    main()
