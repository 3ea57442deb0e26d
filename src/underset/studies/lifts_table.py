"""Answers to which lift, as lines and JSON."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import asdict
from math import isfinite
from typing import Any

from underset.setting import amount
from underset.studies.coverage_table import Telling
from underset.studies.lifts import LiftChoice, Sensitivity

SCHEMA = "underset-lifts/1"
TINY = 1e-9  # a share less than this is none


def as_lines(found: Sequence[LiftChoice], telling: Telling, currency: str) -> list[str]:
    """Each candidate, best first: its own share, the shop's with it, its shelf, its figures."""
    lines = []
    for c in found:
        part = telling.part
        lines.append(f"{telling.label(c.id)}:")
        lines.append(
            f"    {telling.word('alone')} {part(c.alone)}; "
            f"{telling.word('with_others', part(c.shop), points(c.gain, telling))}"
        )
        if not isfinite(c.shelf_cost):
            lines.append(f"    {telling.word('no_shelf')}")
        elif c.shop_with_shelf > c.shop + TINY:
            cost = f"{telling.word('shelf_cost')} {c.shelf_cost:,.2f} {currency}"
            lines.append(f"    {telling.word('with_shelf')}: {part(c.shop_with_shelf)}; {cost}")
        else:
            lines.append(f"    {telling.word('shelf_adds_nothing')}")
        lines += _figures(c, telling)
    return lines


def _figures(choice: LiftChoice, telling: Telling) -> list[str]:
    """What matters first, then what does not, in one line each."""
    if not choice.sensitivity:
        return []
    ranked = sorted(choice.sensitivity, key=lambda s: -s.gain)
    matter = [f"{named(s, telling)}: {gained(s, telling)}" for s in ranked if s.gain > TINY]
    rest = [named(s, telling) for s in ranked if s.gain <= TINY]
    lines = [f"    {telling.word('sensitivity')}: {'; '.join(matter) or telling.word('no_figure')}"]
    if matter and rest:
        lines.append(f"    {telling.word('no_gain')}: {'; '.join(rest)}")
    return lines


def named(s: Sensitivity, telling: Telling) -> str:
    """The figure and its change in words."""
    return f"{figure(s, telling)} {changed(s, telling)}"


def figure(s: Sensitivity, telling: Telling) -> str:
    """The figure's name."""
    return telling.word(f"figure {s.figure}")


def changed(s: Sensitivity, telling: Telling) -> str:
    """The change, with its unit."""
    if s.change == "halved":
        return telling.word("halved")
    number, unit = s.change[1:].split()
    length = amount(float(number) / 1e3, "m", telling.units, telling.language)
    return s.change[0].replace("-", "\u2212") + (length if unit == "mm" else f"{number} {unit}")


def gained(s: Sensitivity, telling: Telling) -> str:
    """What the change adds to the lift's own share of visits."""
    return points(s.gain, telling)


def points(gain: float, telling: Telling) -> str:
    """A difference of two shares, with its sign."""
    sign = "+" if gain > TINY else "\u2212" if gain < -TINY else "±"
    return f"{sign}{telling.part(abs(gain))}"


def as_json(found: Sequence[LiftChoice]) -> str:
    """Candidates as JSON text; what has no figure is null."""
    content = {"schema": SCHEMA, "lifts": [_plain(asdict(c)) for c in found]}
    return json.dumps(content, indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def _plain(row: dict[str, Any]) -> dict[str, Any]:
    return {k: None if isinstance(v, float) and not isfinite(v) else v for k, v in row.items()}
