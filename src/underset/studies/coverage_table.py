"""Coverage as rows, CSV, JSON and plain text: the same cells, told for programs and for people."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from underset.setting import Status, amount, say, title
from underset.studies.coverage import Cell, Coverage
from underset.studies.words import WORDS

SCHEMA = "underset-coverage/1"
COLUMNS = (
    "vehicle", "bay", "visits", "outcome", "status", "heading", "point_set", "spot_m",
    "window_low_m", "window_high_m", "least_margin", "tightest_check", "stack_LF", "stack_RF",
    "stack_LR", "stack_RR", "reason", "reason_text", "remedy_kind", "remedy",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Telling:
    """How a table is told: labels by id, units, language."""

    labels: Mapping[str, str] = field(default_factory=dict)
    units: str = "metric"
    language: str = "en"

    def label(self, name: str) -> str:
        """The label of an id, or the id itself."""
        return self.labels.get(name, name)

    def word(self, key: str, *filled: object) -> str:
        """A word of the studies."""
        return WORDS[self.language][key].format(*filled)

    def part(self, share: float | None) -> str:
        """A share in percent; empty where it is not known."""
        return "" if share is None else amount(share, "1", self.units, self.language)


def mark(cell: Cell) -> str:
    """The key of a cell's standing: holds, watch, none, incomplete or limit."""
    if cell.served:
        return "watch" if cell.status is Status.WATCH else "holds"
    return cell.outcome.value


def row(cell: Cell, telling: Telling) -> dict[str, Any]:
    """One cell as a row of `COLUMNS`; what it does not have is None."""
    low, high = cell.window or (None, None)
    stacks: list[str | None] = [" + ".join(s) for s in cell.stacks]
    figures = (
        cell.vehicle, cell.bay, cell.visits, cell.outcome.value,
        cell.status.value if cell.status else None, cell.heading or None, cell.point_set or None,
        cell.spot, low, high, cell.least_margin, cell.tightest.name if cell.tightest else None,
        *(stacks or [None] * 4), cell.reason.name if cell.reason else None,
        why(cell, telling) or None, cell.remedy_kind or None, cell.remedy or None,
    )  # fmt: skip
    return dict(zip(COLUMNS, figures, strict=True))


def rows(told: Coverage, telling: Telling | None = None) -> list[dict[str, Any]]:
    """All cells as rows."""
    return [row(c, telling or Telling()) for c in told.cells]


def why(cell: Cell, telling: Telling) -> str:
    """The first reason of an empty cell in words; empty for a served one."""
    return say(cell.reason, telling.units, telling.language) if cell.reason else ""


def as_csv(told: Coverage, telling: Telling | None = None) -> str:
    """Rows as comma-separated values with a header; an unknown figure is an empty field."""
    out = io.StringIO()
    writer = csv.DictWriter(out, COLUMNS, lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows(told, telling))
    return out.getvalue()


def as_json(told: Coverage, telling: Telling | None = None) -> str:
    """Cells and shares as JSON text; an unknown figure is null."""
    content = {
        "schema": SCHEMA,
        "invented": told.invented,
        "vehicles": list(told.vehicles),
        "bays": list(told.bays),
        "served": list(told.served()),
        "share": told.share(),
        "share_by_bay": {b: told.share(b) for b in told.bays},
        "cells": rows(told, telling),
    }
    return json.dumps(content, indent=1, ensure_ascii=False, allow_nan=False) + "\n"


SIGNS = {"holds": "yes", "watch": "watch", "none": "-", "incomplete": "?", "limit": "..."}


def as_text(told: Coverage, telling: Telling) -> str:
    """The table for a terminal: a grid of signs with margins, then each empty row's reason."""
    wide = max([len(telling.label(v)) for v in told.vehicles], default=7)
    heads = [telling.label(b) for b in told.bays]
    lines = [" " * wide + "  " + "  ".join(f"{h[:14]:<14}" for h in heads)]
    for v in told.vehicles:
        cells = [_short(told.cell(v, b)) for b in told.bays]
        lines.append(f"{telling.label(v):<{wide}}  " + "  ".join(f"{c:<14}" for c in cells))
    lines += ["", *_summary(told, telling), *_reasons(told, telling), ""]
    lines += [telling.word("invented")] if told.invented else []
    return "\n".join([*lines, telling.word("advice")]) + "\n"


def _short(cell: Cell) -> str:
    if not cell.served:
        return SIGNS[mark(cell)] + (f" {cell.reason.name}" if cell.reason else "")[:12]
    margin = f" {cell.least_margin:.0%}" if cell.least_margin is not None else ""
    return SIGNS[mark(cell)] + margin


def _summary(told: Coverage, telling: Telling) -> list[str]:
    count, share = len(told.vehicles), telling.part(told.share())
    first = telling.word("served", len(told.served()), count)
    lines = [f"{first}; {telling.word('share', share)}" if share else first]
    for b in told.bays:
        here, part = telling.word("by_bay", telling.label(b), len(told.served(b)), count), ""
        part = telling.part(told.share(b))
        lines.append(f"  {here}; {telling.word('share', part)}" if part else f"  {here}")
    return lines


def _reasons(told: Coverage, telling: Telling) -> list[str]:
    lines = []
    for cell in told.cells:
        if not cell.served:
            head = f"  {telling.label(cell.vehicle)} / {telling.label(cell.bay)}: "
            lines.append(head + (why(cell, telling) or telling.word(mark(cell))))
            if cell.remedy:
                lines.append(f"      {telling.word('then')} {cell.remedy}")
    return ["", telling.word("reasons") + ":", *lines] if lines else []


def reason_title(cell: Cell, telling: Telling) -> str:
    """The title of the first reason; empty where there is none."""
    return title(cell.reason.name, telling.language) if cell.reason else ""
