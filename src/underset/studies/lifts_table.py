"""Answers to which lift, as lines and JSON."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import asdict
from math import isfinite
from typing import Any

from underset.studies.coverage_table import Telling
from underset.studies.lifts import LiftChoice

SCHEMA = "underset-lifts/1"


def as_lines(found: Sequence[LiftChoice], telling: Telling, currency: str) -> list[str]:
    """Each candidate, best first: its own share, the shop's with it, its shelf, its figures."""
    lines = []
    for c in found:
        part = telling.part
        alone = f"{telling.word('alone')} {part(c.alone)}"
        lines.append(f"{telling.label(c.id)}: {alone}; {telling.word('share', part(c.shop))}")
        if isfinite(c.shelf_cost):
            cost = f"{telling.word('shelf_cost')} {c.shelf_cost:,.2f} {currency}"
            lines.append(f"    {telling.word('with_shelf')}: {part(c.shop_with_shelf)}; {cost}")
        shown = [f"{s.figure} {s.change}: {part(s.gain)}" for s in c.sensitivity]
        lines += [f"    {telling.word('sensitivity')}: {'; '.join(shown)}"] if shown else []
    return lines


def as_json(found: Sequence[LiftChoice]) -> str:
    """Candidates as JSON text; what has no figure is null."""
    content = {"schema": SCHEMA, "lifts": [_plain(asdict(c)) for c in found]}
    return json.dumps(content, indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def _plain(row: dict[str, Any]) -> dict[str, Any]:
    return {k: None if isinstance(v, float) and not isfinite(v) else v for k, v in row.items()}
