"""Figures of the notation and the schema of a plan, by the code that draws and writes them."""

from __future__ import annotations

import json
from collections.abc import Callable
from functools import partial

from underset.card import notation_figures, plan_schema


def figure(name: str) -> str:
    """One figure, in English, in the colours of paper."""
    return notation_figures("en", "print")[name]


def schema() -> str:
    """The schema as indented JSON."""
    return json.dumps(plan_schema(), ensure_ascii=False, indent=2)


PAGES: dict[str, Callable[[], str]] = {
    **{f"figures/{name}.svg": partial(figure, name) for name in notation_figures()},
    "schemas/plan.json": schema,
}
