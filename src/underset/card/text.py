"""The verdict in plain text, 80 columns: what the command line prints. No colour codes."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable
from typing import Final

from underset.card.view import CardView, CheckLine, CornerBox, StateRow
from underset.card.words import words_in

WIDTH: Final = 80
_MOST: Final = 12  # refusals, remedies and missing figures shown


def verdict_text(view: CardView) -> str:
    """Verdict first, then setting, corners, states, what to watch, refusals and remedies."""
    parts = [
        _head(view),
        _setting(view) if view.has_setting else "",
        _corners(view),
        _states(view),
        _checks(view),
        _refused(view),
        _foot(view),
    ]
    return "\n\n".join(part for part in parts if part) + "\n"


def _head(view: CardView) -> str:
    first = f"{view.status.word.upper()}: {view.verdict}"
    who = " · ".join((view.vehicle.value, view.bay.value, view.job.value))
    rows = [*_wrapped(first), *_wrapped(who)]
    if view.invented:
        rows.append(view.invented)
    return "\n".join(rows)


def _setting(view: CardView) -> str:
    s = view.spot
    rows = [(s.label, f"{s.value} {s.place}; {s.window}")]
    facts = (view.heading, view.seat, view.rise, view.point_set)
    rows += [(f.label, f"{f.value} ({f.note})" if f.note else f.value) for f in facts]
    return "\n".join(line for label, value in rows for line in _labelled(label, value))


def _labelled(label: str, value: str) -> list[str]:
    return _wrapped(f"{label + ':':<22}{value}", hang=22)


def _corners(view: CardView) -> str:
    if not view.corners:
        return ""
    t = view.titles
    heads = ["", t.tooth, t.swing, t.reach, t.turns, t.load, t.status]
    table = _table([heads, *(_corner_row(b) for b in view.corners)], left=(0, 6))
    stacks = [f"  {b.corner}  {_pieces(b)}" for b in view.corners]
    return "\n".join([t.corners, *table, *(row for s in stacks for row in _wrapped(s, hang=6))])


def _corner_row(b: CornerBox) -> list[str]:
    load = f"{b.load} ({b.load_range})"
    return [b.corner, b.tooth, b.swing, b.reach, b.turns, load, b.status.word]


def _pieces(b: CornerBox) -> str:
    each = (f"{p.label}: {p.height}" + (f" ({p.screw})" if p.screw else "") for p in b.pieces)
    whole = f"; {b.stack_height}" if len(b.pieces) > 1 else ""
    return f"{b.contact}; {', '.join(each)}{whole}"


def _states(view: CardView) -> str:
    """The table; names of steps take what room the figures leave, on as many lines as they need."""
    if not view.states:
        return ""
    t = view.titles
    heads = ["", t.step, t.mass, t.cg, t.side, t.least, t.split, t.status]
    rows = [heads, *(_state_row(s) for s in view.states)]
    others = sum(max(len(r[i]) for r in rows) + 2 for i in range(len(heads)) if i != 1)
    room = max(8, WIDTH - 2 - others)
    rows = [line for r in rows for line in _within(r, 1, room)]
    return "\n".join([t.states, *_table(rows, left=(1, 7))])


def _state_row(s: StateRow) -> list[str]:
    return [s.number, s.name, s.mass, s.cg, s.side, s.least, s.split, s.status.word]


def _within(row: list[str], column: int, room: int) -> list[list[str]]:
    """A row whose words in one column go on below: nothing of them is cut off."""
    first, *more = textwrap.wrap(row[column], room) or [""]
    below = [["" if i != column else rest for i in range(len(row))] for rest in more]
    return [[*row[:column], first, *row[column + 1 :]], *below]


def _checks(view: CardView) -> str:
    if not view.checks:
        return ""
    column = max(len(c.status.word) for c in view.checks) + 2
    lines = (f"{c.status.word:<{column}}{_check(c)}" for c in view.checks)
    return "\n".join(
        [view.titles.checks, *(row for x in lines for row in _wrapped(x, hang=column))]
    )


def _check(c: CheckLine) -> str:
    state = f" ({c.state})" if c.state else ""
    sentence = c.sentence.replace(f", {c.status.word}", "", 1)  # the word stands before the line
    return f"{c.title}: {sentence}{state}"


def _refused(view: CardView) -> str:
    t = view.titles
    refusals = [
        f"{r.count:>6} {r.title}" + (f". {t.nearest}: {r.nearest}" if r.nearest else "")
        for r in view.refusals
    ]
    missing = [f"- {m.what}: {m.why}" + (f" → {m.how}" if m.how else "") for m in view.missing]
    remedies = [f"- {r.text} ({r.outcome})" for r in view.remedies]
    blocks = (
        _block(t.missing, missing, view),
        _block(t.refusals, refusals, view, hang=7),
        _block(t.remedies, remedies, view),
        _block(t.notes, [f"- {n}" for n in view.notes], view),
    )
    return "\n\n".join(b for b in blocks if b)


def _block(title: str, items: list[str], view: CardView, hang: int = 2) -> str:
    if not items:
        return ""
    rows = [row for item in items[:_MOST] for row in _wrapped(item, hang=hang)]
    if len(items) > _MOST:
        rows.append(view.titles.more.replace("{n}", str(len(items) - _MOST)))
    return "\n".join([title, *rows])


def _foot(view: CardView) -> str:
    rows = _wrapped(view.advice)
    if view.hold_points:
        signed = sum(p.sign for p in view.hold_points)
        words = words_in(view.language)
        told = words.fill("text.hold_points", n=len(view.hold_points), signed=signed)
        rows = [*_wrapped(told), *rows]
    return "\n".join(rows)


# --- laying out -----------------------------------------------------------------------------------


def _wrapped(words: str, hang: int = 0) -> list[str]:
    indent = " " * hang
    return textwrap.wrap(words, WIDTH, subsequent_indent=indent, drop_whitespace=True) or [""]


def _table(rows: Iterable[list[str]], left: tuple[int, ...]) -> list[str]:
    """Columns as wide as they need; those in `left` stand left, the others right."""
    rows = list(rows)
    widths = [max(len(row[i]) for row in rows) for i in range(len(rows[0]))]
    return [
        "  "
        + "  ".join(
            cell.ljust(wide) if i in left else cell.rjust(wide)
            for i, (cell, wide) in enumerate(zip(row, widths, strict=True))
        ).rstrip()
        for row in rows
    ]
