"""The day's board as a picture: bays against the clock, scarce pieces beneath, what is left off."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise

from underset.card import svg
from underset.studies.chart_frame import LEFT, Axis, drawn, foot, word, wrapped
from underset.studies.coverage_table import Telling
from underset.studies.day import Board, Day, Goal, Refusal, Scarce, Short, Slot, Way
from underset.studies.kit_case import SHELF

WIDTH, NAMES, TALL, USE = 285.0, 32.0, 11.0, 9.0


@dataclass(frozen=True, slots=True)
class _Sheet:
    day: Day
    board: Board
    telling: Telling
    clock: Axis


def board_picture(
    day: Day,
    board: Board,
    telling: Telling,
    theme: svg.Theme = "screen",
    *,
    invented: bool = False,
) -> str:
    """The board as SVG: late jobs are outlined and say so, outages are hatched and say so."""
    first, last = day.begin // 60 * 60, -(-max(day.end, day.begin + 60) // 60) * 60
    hours = tuple(float(t) for t in range(first, last + 1, 60))
    clock = Axis(first, last, LEFT + NAMES, WIDTH - LEFT, hours)
    sheet = _Sheet(day, board, telling, clock)
    title = svg.text((LEFT, 7), word(telling, "board"), "us-text us-big")
    body, y = [title], 7.0
    for words in wrapped(headline(board, telling), WIDTH - 3 * LEFT):
        y += 4.4
        body.append(svg.text((LEFT, y), words))
    y += 9.0
    grid = y
    for bay in day.bays:
        body += _bay(sheet, bay.id, y)
        y += TALL
    for piece in _scarce(day):
        body += _use(sheet, piece, y + 1)
        y += USE + 1
    body = [*_hours(clock, grid, y), *body]
    refused, y = _refused(sheet, y + 5)
    body += [*refused, *foot(telling, y + 1, invented=invented)]
    said = (word(telling, "board"), headline(board, telling))
    return drawn("day", (WIDTH, y + 8), said, body, theme)


def clock_time(minutes: float) -> str:
    """Minutes from midnight as people write them."""
    return f"{int(minutes) // 60:02}:{int(minutes) % 60:02}"


def headline(board: Board, telling: Telling) -> str:
    """Every aim with what was reached: proved the best, or what could still be gained at most."""
    return "; ".join(_aim_said(goal, telling) for goal in _all_left_off(board))


def _all_left_off(board: Board) -> Iterable[Goal]:
    """The aims, with jobs that fit on no board counted as left off too."""
    for goal in board.goals:
        never = len(board.refusals) - goal.value if goal.name == "left off" else 0.0
        yield Goal(goal.name, goal.value + never, goal.bound + never)


def _aim_said(goal: Goal, telling: Telling) -> str:
    shown = clock_time if goal.name == "end" else lambda n: f"{n:.0f}"
    said = f"{word(telling, goal.name)}: {shown(goal.value)}"
    if goal.bound >= goal.value:
        return f"{said} ({word(telling, 'no_better')})"
    gain = f"{goal.value - goal.bound:.0f}"
    unit = "" if goal.name == "left off" else f" {telling.word('minutes')}"
    return f"{said} ({word(telling, 'at_least', shown(goal.bound), gain + unit)})"


def _hours(clock: Axis, top: float, bottom: float) -> list[str]:
    parts = []
    for tick in clock.ticks:
        x = clock.at(tick)
        parts.append(svg.line((x, top - 1), (x, bottom)))
        parts.append(svg.text((x, top - 2), clock_time(tick), "us-text us-mid"))
    return parts


def _bay(sheet: _Sheet, bay: str, y: float) -> list[str]:
    name = svg.shortened(sheet.telling.label(bay), NAMES - 2)
    parts = [svg.text((LEFT, y + TALL / 2 + 1), name, "us-text us-strong")]
    parts.append(svg.line((LEFT, y + TALL), (WIDTH - LEFT, y + TALL)))
    outages = next(b.out for b in sheet.day.bays if b.id == bay)
    for low, high in outages:
        parts.append(_outage(sheet, max(low, sheet.clock.low), min(high, sheet.clock.high), y))
    parts += [_slot(sheet, s, y) for s in sheet.board.slots if s.bay == bay]
    return parts


def _outage(sheet: _Sheet, low: float, high: float, y: float) -> str:
    a, b = (sheet.clock.at(low), y + 0.8), (sheet.clock.at(high), y + TALL - 0.8)
    said = svg.shortened(word(sheet.telling, "out"), b[0] - a[0] - 1)
    middle = ((a[0] + b[0]) / 2, y + TALL / 2 + 1)
    words = svg.text(middle, said, "us-text us-mid")
    span = f"{clock_time(low)} – {clock_time(high)}"
    title = f"{word(sheet.telling, 'out')}, {span}"
    return svg.group([svg.box(a, b, "us-cut"), svg.box(a, b, "us-cut-hatch"), words], title=title)


def _slot(sheet: _Sheet, slot: Slot, y: float) -> str:
    telling, clock = sheet.telling, sheet.clock
    a, b = (clock.at(slot.start), y + 0.8), (clock.at(slot.end), y + TALL - 0.8)
    room = b[0] - a[0] - 0.8
    first = svg.shortened(telling.label(slot.job), room)
    second = telling.label(slot.person)
    if slot.late:
        second = f"{word(telling, 'late')} {slot.late} {word(telling, 'minutes')}"
    second = svg.shortened(second, room)
    lines = [svg.text((a[0] + 0.8, y + 4.4), first, "us-text us-strong")]
    cls = "us-text us-strong" if slot.late else "us-text"
    lines.append(svg.text((a[0] + 0.8, y + 8.4), second, cls))
    bar = svg.box(a, b, "us-late" if slot.late else "us-job", round_by=0.8)
    return svg.group([bar, *lines], title=said_of(slot, telling))


def said_of(slot: Slot, telling: Telling) -> str:
    """Everything about one job on the board, in one line."""
    pieces = (word(telling, "each", n, telling.label(p)) for p, n in slot.needs)
    parts = [
        telling.label(slot.job),
        f"{clock_time(slot.start)} – {clock_time(slot.end)}",
        telling.label(slot.bay),
        telling.label(slot.person),
        ", ".join(pieces),
    ]
    if slot.late:
        parts.append(f"{word(telling, 'late')} {slot.late} {word(telling, 'minutes')}")
    return "; ".join(p for p in parts if p)


def _scarce(day: Day) -> list[str]:
    """Pieces on the shared shelf that cannot serve every bay at once."""
    most: dict[str, int] = {}
    for job in day.jobs:
        for way in job.ways:
            for piece, n in day.from_shelf(way):
                most[piece] = max(n, most.get(piece, 0))
    bays = len(day.bays)
    return [p for p, n in sorted(most.items()) if n * bays > day.held[p, SHELF]]


def _use(sheet: _Sheet, piece: str, y: float) -> list[str]:
    """How many of a piece are in use, as a stair; full where all of them are."""
    held, clock = sheet.day.held[piece, SHELF], sheet.clock
    count = word(sheet.telling, "in_use", "", held)
    name = svg.shortened(sheet.telling.label(piece), NAMES - 2 - svg.text_width(count))
    parts = [svg.text((LEFT, y + USE / 2 + 1), f"{name}{count}")]
    for low, high, used in _stretches(sheet, piece):
        top = y + USE - (USE - 1) * used / max(held, 1)
        ends = (clock.at(low), top), (clock.at(high), y + USE)
        bar = svg.box(*ends, "us-full" if used >= held else "us-use")
        middle = ((ends[0][0] + ends[1][0]) / 2, y + USE - 1)
        words = word(sheet.telling, "all_used", used) if used >= held else str(used)
        fits = svg.text_width(words) < ends[1][0] - ends[0][0] - 1
        said = svg.text(middle, words if fits else str(used), "us-text us-mid")
        span = f"{clock_time(low)} – {clock_time(high)}: {used}"
        parts.append(svg.group([bar, said], title=span))
    return [*parts, svg.line((LEFT, y + USE), (WIDTH - LEFT, y + USE))]


def _stretches(sheet: _Sheet, piece: str) -> list[tuple[int, int, int]]:
    """From, to and number in use of a piece; stretches without any are left out."""
    users = [
        (s, dict(sheet.day.from_shelf(Way(s.bay, s.needs))).get(piece, 0))
        for s in sheet.board.slots
    ]
    found: list[tuple[int, int, int]] = []
    for low, high in pairwise(sorted({t for s, _ in users for t in (s.start, s.end)})):
        used = sum(n for s, n in users if s.start <= low < s.end)
        if found and found[-1][1:] == (low, used):
            found[-1] = (found[-1][0], high, used)
        elif used:
            found.append((low, high, used))
    return found


def _refused(sheet: _Sheet, y: float) -> tuple[list[str], float]:
    telling, parts = sheet.telling, []
    if not sheet.board.refusals:
        return [], y
    parts.append(svg.text((LEFT, y), f"{word(telling, 'refused')}:", "us-text us-strong"))
    for refusal in sheet.board.refusals:
        for words in wrapped(why_not(refusal, telling), WIDTH - 4 * LEFT):
            y += 4.4
            parts.append(svg.text((2 * LEFT, y), words))
    return parts, y + 5


def why_not(refusal: Refusal, telling: Telling) -> str:
    """What would take one job in, in words."""
    shorts, between = (refusal.any_of, "or") if refusal.any_of else (refusal.all_of, "and")
    if not shorts:
        return f"{telling.label(refusal.job)}: {word(telling, 'reasons_stopped')}"
    what = f"; {word(telling, between)} ".join(_short(s, telling) for s in shorts)
    said = f"{telling.label(refusal.job)}: {word(telling, 'would_do')} {what}"
    return said if refusal.settled else f"{said}; {word(telling, 'perhaps_more')}"


def _short(short: Short, telling: Telling) -> str:
    have, want = short.have, short.want
    if short.kind is Scarce.HOURS:
        return word(telling, "hours_short", clock_time(want), clock_time(have))
    if short.kind is Scarce.STRETCH:
        return word(telling, "stretch_short", have, want)
    if short.kind is Scarce.BAY and not short.name:
        return word(telling, "bay_none")
    name = telling.label(short.name)
    if short.kind is Scarce.PERSON:
        name = word(telling, "person_kind", name or word(telling, "any_work"))
    return word(telling, "count_short", name, have, want)


def printable(board: Board, telling: Telling) -> Iterable[tuple[str, ...]]:
    """Rows of the board for a list: from, to, bay, job, person, pieces, late."""
    for s in board.slots:
        pieces = ", ".join(word(telling, "each", n, telling.label(p)) for p, n in s.needs)
        late = f"{s.late} {word(telling, 'minutes')}" if s.late else ""
        names = (telling.label(x) for x in (s.bay, s.job, s.person))
        yield (clock_time(s.start), clock_time(s.end), *names, pieces, late)
