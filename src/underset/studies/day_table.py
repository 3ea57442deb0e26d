"""The day's board as lines."""

from __future__ import annotations

from underset.studies.chart_day import headline, printable, why_not
from underset.studies.coverage_table import Telling
from underset.studies.day import Board


def as_lines(board: Board, telling: Telling, *, invented: bool = False) -> list[str]:
    """Aims with their bounds, the printable list, and the jobs that are not on it."""
    lines = [f"{telling.word('board')}: {headline(board, telling)}", ""]
    lines += ["  ".join(x for x in row if x) for row in printable(board, telling)]
    if board.refusals:
        lines += ["", f"{telling.word('refused')}:"]
        lines += [f"  {why_not(r, telling)}" for r in board.refusals]
    lines += ["", *([telling.word("invented")] if invented else []), telling.word("advice")]
    return lines
