"""A small mixed-integer model, solved by HiGHS: status, bound and gap as HiGHS has them.

HiGHS: Huangfu and Hall, Mathematical Programming Computation 10 (2018), 119-142.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from math import inf, nan
from threading import Lock
from typing import TYPE_CHECKING, Any

from underset.errors import InternalError
from underset.studies.proof import Proof

if TYPE_CHECKING:
    import highspy

Terms = Iterable[tuple[int, float]]
_FIRST = Lock()
_seen: list[bool] = []


@dataclass(frozen=True, slots=True)
class Limits:
    """Where a solver stops: seconds of wall time, and nodes (which repeat from run to run)."""

    seconds: float = 60.0
    nodes: int = 10_000_000


@dataclass(frozen=True, slots=True)
class Row:
    """lower <= sum of coefficient * column <= upper."""

    terms: tuple[tuple[int, float], ...]
    lower: float = -inf
    upper: float = inf


@dataclass(frozen=True, slots=True)
class Solution:
    """What HiGHS says: `values` by column (empty without an answer), objective, bound and gap."""

    proof: Proof
    values: tuple[float, ...]
    objective: float
    bound: float
    gap: float


_NOTHING = Solution(Proof.INFEASIBLE, (), nan, nan, nan)


@dataclass(slots=True)
class Milp:
    """Columns and rows, collected one by one."""

    lower: list[float] = field(default_factory=list)
    upper: list[float] = field(default_factory=list)
    whole: list[bool] = field(default_factory=list)
    rows: list[Row] = field(default_factory=list)

    def column(self, upper: float = inf, *, whole: bool = False) -> int:
        """A new column from 0 to `upper`; gives its number."""
        self.lower.append(0.0)
        self.upper.append(upper)
        self.whole.append(whole)
        return len(self.lower) - 1

    def row(self, terms: Terms, lower: float = -inf, upper: float = inf) -> None:
        """A new row."""
        self.rows.append(Row(tuple(terms), lower, upper))

    def minimise(
        self,
        cost: Mapping[int, float],
        limits: Limits,
        extra: tuple[Row, ...] = (),
        start: Sequence[float] = (),
    ) -> Solution:
        """Minimise the cost over the rows and the extra ones, to a gap of nothing.

        `start` holds a value for every column, as a first answer to beat; one that breaks a row is
        of no use and does no harm.
        """
        rows = (*self.rows, *extra)
        if any(not r.terms and not r.lower <= 0.0 <= r.upper for r in rows):
            return _NOTHING  # HiGHS takes a model without columns for solved, whatever its rows say
        solver = _new_solver()
        _set_options(solver, limits)
        solver.passModel(self._as_lp(cost, rows))
        if start:
            solver.setSolution(_as_start(start))
        solver.run()
        found = _read(solver)
        if any(self.whole) or found.proof is not Proof.OPTIMAL:
            return found
        return replace(found, bound=found.objective, gap=0.0)  # nothing whole: a linear programme

    def _as_lp(self, cost: Mapping[int, float], rows: tuple[Row, ...]) -> highspy.HighsLp:
        import highspy
        import numpy as np

        lp = highspy.HighsLp()
        lp.num_col_, lp.num_row_ = len(self.lower), len(rows)
        lp.col_cost_ = np.array([cost.get(j, 0.0) for j in range(len(self.lower))])
        lp.col_lower_, lp.col_upper_ = np.array(self.lower), np.array(self.upper)
        kinds = highspy.HighsVarType
        lp.integrality_ = [kinds.kInteger if w else kinds.kContinuous for w in self.whole]
        lp.row_lower_ = np.array([r.lower for r in rows])
        lp.row_upper_ = np.array([r.upper for r in rows])
        lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
        starts = np.cumsum([0, *(len(r.terms) for r in rows)])
        lp.a_matrix_.start_ = starts.astype(np.int32)
        lp.a_matrix_.index_ = np.array([j for r in rows for j, _ in r.terms], dtype=np.int32)
        lp.a_matrix_.value_ = np.array([a for r in rows for _, a in r.terms], dtype=float)
        return lp


def _as_start(values: Sequence[float]) -> highspy.HighsSolution:
    import highspy

    start = highspy.HighsSolution()
    start.col_value = list(values)
    return start


def _new_solver() -> Any:
    """A solver; the lines that the first one of a process prints are held back.

    Decision: no option stops those lines, as they are printed before any option can be set, so
    standard output is turned away at the level of file descriptors while the first is made.
    """
    import highspy

    new: Callable[[], Any] = highspy.Highs
    with _FIRST:
        if _seen:
            return new()
        _seen.append(True)
        sys.stdout.flush()
        kept, nowhere = os.dup(1), os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, 1)
        try:
            return new()
        finally:
            os.dup2(kept, 1)
            os.close(kept)
            os.close(nowhere)


def _set_options(solver: Any, limits: Limits) -> None:
    options = {
        "output_flag": False,
        "threads": 1,
        "random_seed": 0,
        "mip_rel_gap": 0.0,
        "mip_abs_gap": 1e-7,
        "time_limit": float(limits.seconds),
        "mip_max_nodes": int(limits.nodes),
    }
    for name, value in options.items():
        solver.setOptionValue(name, value)


def _read(solver: Any) -> Solution:
    import highspy

    status, info = solver.getModelStatus(), solver.getInfo()
    words = highspy.HighsModelStatus
    if status in (words.kInfeasible, words.kUnboundedOrInfeasible):
        return _NOTHING
    found = info.primal_solution_status == highspy.kSolutionStatusFeasible
    values = tuple(solver.getSolution().col_value) if found else ()
    if status in (words.kOptimal, words.kModelEmpty):
        return _solution(Proof.OPTIMAL, values, info)
    stopped = (words.kTimeLimit, words.kIterationLimit, words.kSolutionLimit, words.kInterrupt)
    if status in stopped:
        return _solution(Proof.FEASIBLE if found else Proof.LIMIT, values, info)
    raise InternalError(f"the mixed-integer solver ended with {status}.")


def _solution(proof: Proof, values: tuple[float, ...], info: Any) -> Solution:
    objective = info.objective_function_value if values or proof is Proof.OPTIMAL else nan
    return Solution(proof, values, objective, info.mip_dual_bound, info.mip_gap)
