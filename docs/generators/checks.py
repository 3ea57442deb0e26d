"""The page of the judge's checks."""

from __future__ import annotations

from docs.generators._words import code, table
from underset.setting.catalogue import CHECKS, CheckKind


def page() -> str:
    groups = list(dict.fromkeys(kind.group for kind in CHECKS.values()))
    parts = [_section(group) for group in groups]
    return "\n\n".join([INTRODUCTION.strip(), *parts])


INTRODUCTION = """
# Checks

What the judge asks of a setting and of every state of the job. Each check ends as *holds*, *watch*,
*stops* or *not known*; a missing figure gives *not known*, never *holds*. Over several checks,
stops beats not known, not known beats watch, watch beats holds.
"""


def _section(group: str) -> str:
    rows = [_row(name, kind) for name, kind in CHECKS.items() if kind.group == group]
    heads = ["check", "what it asks", "demand and limit", "formula", "sources"]
    return f"## {group.capitalize()}\n\n{table(heads, rows)}"


def _row(name: str, kind: CheckKind) -> tuple[str, ...]:
    compared = kind.sense + (f", in {kind.unit}" if kind.unit else "")
    sources = "; ".join(map(str, kind.sources))
    return code(name), kind.meaning, compared, code(kind.formula), sources


PAGES = {"reference/checks.md": page}
