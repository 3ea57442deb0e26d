"""The coverage as a picture: what nobody takes first, then the rest; a sign in every cell."""

from __future__ import annotations

from dataclasses import dataclass

from underset.card import svg
from underset.setting import Outcome
from underset.studies.chart_frame import (
    LEFT,
    MARKS,
    ROW,
    drawn,
    foot,
    legend,
    mark,
    word,
    wrapped,
)
from underset.studies.coverage import Cell, Coverage
from underset.studies.coverage_table import Telling, reason_title, why
from underset.studies.coverage_table import mark as standing

WIDTH = 210.0
NAMES = 54.0
VISITS = 22.0
NARROW, ROOMY = 10.0, 24.0


@dataclass(slots=True)
class _Sheet:
    told: Coverage
    telling: Telling
    column: float
    body: list[str]
    y: float = 12.0
    rows: int = 0

    @property
    def width(self) -> float:
        return max(WIDTH, self.column_at(len(self.told.bays)) + LEFT)

    def column_at(self, i: int) -> float:
        return LEFT + NAMES + VISITS + i * self.column

    def say(self, x: float, words: str, cls: str = "us-text") -> None:
        self.body.append(svg.text((x, self.y), words, cls))


def coverage_picture(
    told: Coverage, telling: Telling, theme: svg.Theme = "screen", most: int = 40
) -> str:
    """Vehicles x bays as SVG. The heading says in words what the grid shows; no more than `most`
    vehicles are drawn, those that no bay takes and those with most visits first.
    """
    room = WIDTH - 2 * LEFT - NAMES - VISITS
    column = max(NARROW, min(ROOMY + 10, room / max(1, len(told.bays))))
    sheet = _Sheet(told, telling, column, [])
    _heading(sheet)
    nowhere, taken = _sorted(told)
    shown = [*nowhere[:most], *taken[: max(0, most - len(nowhere))]]
    if nowhere:
        _group(sheet, f"{word(telling, 'nowhere')}:")
    for vehicle in nowhere[:most]:
        _row(sheet, vehicle)
        _reason(sheet, vehicle)
    if taken and nowhere:
        _group(sheet, f"{word(telling, 'taken')}:")
    for vehicle in shown[len(nowhere) :]:
        _row(sheet, vehicle)
    if len(shown) < len(told.vehicles):
        sheet.y += 3
        sheet.say(LEFT, word(telling, "more", len(told.vehicles) - len(shown)))
        sheet.y += 3
    sheet.body += legend(telling, MARKS, (LEFT, sheet.y + 4), word(telling, "percent"))
    sheet.body += foot(telling, sheet.y + 11, invented=told.invented)
    title = word(telling, "coverage")
    size = (sheet.width, sheet.y + 18)
    return drawn("coverage", size, (title, _headline(sheet)), sheet.body, theme)


def _sorted(told: Coverage) -> tuple[list[str], list[str]]:
    """Vehicles that no bay takes, and the others; most visits first, then as asked."""
    served = set(told.served())
    by_visits = sorted(told.vehicles, key=lambda v: -(told.visits(v) or 0.0))
    return [v for v in by_visits if v not in served], [v for v in by_visits if v in served]


def _headline(sheet: _Sheet) -> str:
    told, telling = sheet.told, sheet.telling
    first = word(telling, "served", len(told.served()), len(told.vehicles))
    share = telling.part(told.share())
    return f"{first}; {word(telling, 'share', share)}" if share else first


def _heading(sheet: _Sheet) -> None:
    told, telling = sheet.told, sheet.telling
    sheet.body.append(svg.text((LEFT, 7), _headline(sheet), "us-text us-big"))
    slanted = sheet.column < ROOMY
    sheet.y = 38.0 if slanted else 16.0
    for i, bay in enumerate(told.bays):
        x, name = sheet.column_at(i) + 1, telling.label(bay)
        turn = -55.0 if slanted else 0.0
        short = svg.shortened(name, 30.0 if slanted else sheet.column - 2)
        sheet.body.append(svg.text((x + 1, sheet.y), short, "us-text us-strong", turn=turn))
        _bay_total(sheet, i, bay)
    if any(told.visits(v) is not None for v in told.vehicles):
        sheet.say(LEFT + NAMES, word(telling, "visits"))
    sheet.y += 10.0


def _bay_total(sheet: _Sheet, i: int, bay: str) -> None:
    told = sheet.told
    part, x = len(told.served(bay)) / max(1, len(told.vehicles)), sheet.column_at(i) + 1
    y, wide = sheet.y + 2.2, sheet.column - 3
    sheet.body.append(svg.box((x, y), (x + wide, y + 1.6), "us-thin"))
    sheet.body.append(svg.box((x, y), (x + wide * part, y + 1.6), "us-solid"))
    said = f"{len(told.served(bay))}/{len(told.vehicles)}"
    sheet.body.append(svg.text((x, y + 5), said, "us-text"))


def _group(sheet: _Sheet, words: str) -> None:
    sheet.y += 3.5
    sheet.say(LEFT, words, "us-text us-strong")
    sheet.y += 1.5


def _row(sheet: _Sheet, vehicle: str) -> None:
    told, top, middle = sheet.told, sheet.y, sheet.y + ROW / 2
    sheet.rows += 1
    if sheet.rows % 2:
        ends = (LEFT - 1, top), (sheet.width - LEFT + 1, top + ROW)
        sheet.body.append(svg.box(*ends, "us-row"))
    name = svg.shortened(sheet.telling.label(vehicle), NAMES - 2)
    sheet.body.append(svg.text((LEFT, middle + 1), name))
    visits = told.visits(vehicle)
    if visits is not None:
        sheet.body.append(_visits_bar(told, visits, middle))
    for i, bay in enumerate(told.bays):
        sheet.body.append(_cell(sheet, told.cell(vehicle, bay), (sheet.column_at(i), middle)))
    sheet.y += ROW


def _visits_bar(told: Coverage, visits: float, middle: float) -> str:
    most = max((told.visits(v) or 0.0) for v in told.vehicles) or 1.0
    x, wide = LEFT + NAMES, (VISITS - 11) * visits / most
    bar = svg.box((x, middle - 1.2), (x + wide, middle + 1.2), "us-bar")
    return svg.group([bar, svg.text((x + wide + 1, middle + 1), f"{visits:g}")])


def _cell(sheet: _Sheet, cell: Cell, at: svg.XY) -> str:
    telling, key = sheet.telling, standing(cell)
    parts = [mark(key, (at[0] + 3.5, at[1]))]
    if sheet.column >= ROOMY / 2 + 4:
        said = telling.part(cell.least_margin) if cell.served else reason_title(cell, telling)
        parts.append(svg.text((at[0] + 6.5, at[1] + 1), svg.shortened(said, sheet.column - 8)))
    words = [telling.label(cell.vehicle), telling.label(cell.bay), word(telling, key)]
    return svg.group(parts, title=", ".join(words))


def _reason(sheet: _Sheet, vehicle: str) -> None:
    """Under a vehicle that no bay takes: reason and remedy of the cell that has one.

    Without a remedy, a cell that only lacks a figure: measuring is less than changing a lift.
    """
    cells = [sheet.told.cell(vehicle, b) for b in sheet.told.bays]
    missing = Outcome.INCOMPLETE
    best = min(cells, key=lambda c: (not c.remedy, c.outcome is not missing, c.reason is None))
    telling = sheet.telling
    said = f"{telling.label(best.bay)}: {why(best, telling) or word(telling, standing(best))}"
    if best.remedy:
        stop = "" if said.endswith(".") else "."
        said += f"{stop} {word(telling, 'then')} {best.remedy}"
    for words in wrapped(said, sheet.width - 3 * LEFT):
        sheet.y += 3.6
        sheet.say(2 * LEFT, words)
    sheet.y += 2.0
