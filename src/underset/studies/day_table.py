"""The day's board as lines and as JSON, which a later board starts from."""

from __future__ import annotations

import json
from dataclasses import asdict
from math import isfinite
from pathlib import Path
from typing import Any, Final

from underset.errors import InputError
from underset.studies.chart_day import clock_time, headline, printable, why_not
from underset.studies.coverage_table import Telling
from underset.studies.day import Board, Change, Goal, Proof, Slot

SCHEMA = "underset-day/1"
LARGEST: Final = 5_000_000  # bytes of a board's file
_DAYS: Final = 7 * 24 * 60  # minutes: no slot lies further off


def as_lines(board: Board, telling: Telling, *, invented: bool = False) -> list[str]:
    """Aims with their bounds, the printable list, what changed, and what is not on the board."""
    lines = [f"{telling.word('board')}: {headline(board, telling)}"]
    lines += [] if board.repeatable else [telling.word("cut_short")]
    lines += ["", *_columns(list(printable(board, telling)))]
    if board.changes:
        lines += ["", f"{telling.word('changes')}:"]
        lines += [f"  {_changed(c, telling)}" for c in board.changes]
    if board.refusals:
        lines += ["", f"{telling.word('refused')}:"]
        lines += [f"  {why_not(r, telling)}" for r in board.refusals]
    lines += ["", *([telling.word("invented")] if invented else []), telling.word("advice")]
    return lines


def _columns(rows: list[tuple[str, ...]]) -> list[str]:
    wide = [max(len(x) for x in column) for column in zip(*rows, strict=True)]
    padded = ((f"{x:<{n}}" for x, n in zip(row, wide, strict=True)) for row in rows)
    return ["  ".join(row).rstrip() for row in padded]


def _changed(change: Change, telling: Telling) -> str:
    def shown(x: str | int) -> str:
        return clock_time(x) if isinstance(x, int) else telling.label(x)

    what = telling.word(f"change {change.what}")
    if change.before == "":
        return f"{telling.label(change.job)}: {what}, {shown(change.after)}"
    both = f"{shown(change.before)} → {shown(change.after)}"
    why = "" if change.what == "start" else f" ({telling.word(f'why {change.why}')})"
    return f"{telling.label(change.job)}: {what} {both}{why}"


def as_json(board: Board) -> str:
    """The board as JSON text; times are minutes from midnight."""
    content = {
        "schema": SCHEMA,
        "proof": board.proof.value,
        "repeatable": board.repeatable,
        "goals": [_goal(g) for g in board.goals],
        "slots": [asdict(s) for s in board.slots],
        "refusals": [asdict(r) for r in board.refusals],
        "changes": [asdict(c) for c in board.changes],
    }
    return json.dumps(content, indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def _goal(goal: Goal) -> dict[str, Any]:
    figures = {"value": goal.value, "bound": goal.bound, "gap": goal.gap}
    return {"name": goal.name, **{k: v if isfinite(v) else None for k, v in figures.items()}}


def read_board(path: Path) -> Board:
    """The slots of a board's file; InputError for anything else."""
    try:
        with path.open("rb") as file:
            content = file.read(LARGEST + 1)
    except OSError as error:
        raise InputError("--before", str(path), f"cannot be read: {error.strerror}") from error
    if len(content) > LARGEST:
        raise InputError("--before", str(path), f"a file of at most {LARGEST} bytes")
    return board_from_json(content.decode("utf-8", "replace"))


def board_from_json(text: str) -> Board:
    """The slots of a board written by `as_json`; InputError for anything else."""
    try:
        content = json.loads(text)
        if content["schema"] != SCHEMA:
            raise ValueError(content["schema"])
        slots = tuple(_slot(s) for s in content["slots"])
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError) as error:
        allowed = f"a board as `day --json` writes it ({SCHEMA})"
        raise InputError("board before", text[:40], allowed, "Write it anew.") from error
    return Board(Proof.FEASIBLE, (), slots)


def _slot(row: dict[str, Any]) -> Slot:
    needs = tuple((_name(p), _whole(n)) for p, n in row["needs"])
    job, bay, person = (_name(row[k]) for k in ("job", "bay", "person"))
    start, end, late = (_whole(row[k]) for k in ("start", "end", "late"))
    return Slot(job, bay, person, start, end, late, needs)


def _name(value: Any) -> str:
    if not isinstance(value, str):
        raise TypeError(value)
    value.encode("utf-8")  # half of a character pair cannot be written again
    return value


def _whole(value: Any) -> int:
    if type(value) is not int or abs(value) > _DAYS:
        raise ValueError(value)
    return value
