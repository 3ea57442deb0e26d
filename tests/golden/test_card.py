"""Whole drawings and pages as they were last looked at.

Write them anew after looking:  UNDERSET_GOLDEN=write python -m pytest tests/golden
"""

from __future__ import annotations

import json
import os
import re
from collections.abc import Callable
from pathlib import Path

import pytest

import underset
from tests.card_cases import CASES, found, job, refused, stopped
from underset.card import (
    About,
    Options,
    build_view,
    front_svg,
    plan_json,
    plan_svg,
    render_html,
    side_svg,
    stack_svg,
    verdict_text,
    working_text,
    working_view,
)
from underset.card.corners import corner_statuses
from underset.setting.result import Plan

FOLDER = Path(__file__).parent / "card"
ABOUT = About("Harbour hatch", "Bay 1", "Drive unit out", "Quayside", "2025-11-25", "U-7", "0" * 64)

View = Callable[..., str]


def drawing(view: View, plan: Plan, **options: str) -> str:
    assert plan.scene is not None
    assert plan.best is not None
    statuses = corner_statuses(plan.best)
    return view(plan.scene, plan.best.setting, statuses=statuses, options=Options(**options))  # type: ignore[arg-type]


def stack(plan: Plan) -> str:
    assert plan.best is not None
    return stack_svg(plan.best.setting.arms[0])


def text(name: str, **how: str) -> str:
    return verdict_text(build_view(CASES[name](), ABOUT, **how))


GOLDEN: dict[str, Callable[[], str]] = {
    "plan.svg": lambda: drawing(plan_svg, found()),
    "plan-tail-in-inch.svg": lambda: drawing(plan_svg, job(), units="inch", theme="screen"),
    "side.svg": lambda: drawing(side_svg, found()),
    "side-german.svg": lambda: drawing(side_svg, job(), language="de"),
    "front.svg": lambda: drawing(front_svg, found(), theme="bare"),
    "stack.svg": lambda: stack(job()),
    "found.txt": lambda: text("found"),
    "stopped-inch.txt": lambda: text("stopped", units="inch"),
    "job-german.txt": lambda: text("job", language="de"),
    "refused.txt": lambda: text("refused"),
    "incomplete.txt": lambda: text("incomplete"),
    "refused.html": lambda: render_html(build_view(refused(), ABOUT)),
    "working.md": lambda: working_text(working_view(stopped(), ABOUT)),
    "found.json": lambda: json.dumps(plan_json(found()), ensure_ascii=False, indent=1),
}


def normalised(content: str) -> str:
    """Without what changes for reasons of its own: version, hashes, style rules, drawn codes."""
    content = content.replace(f"Underset {underset.__version__}", "Underset (version)")
    content = re.sub(r"\b[0-9a-f]{16,64}\b", "(hash)", content)
    content = re.sub(r"<style>.*?</style>", "<style/>", content, flags=re.DOTALL)
    content = re.sub(
        r'<path transform[^>]*class="qrline"[^>]*/>|<path[^>]*qrline[^>]*/>', "", content
    )
    content = re.sub(r"(-?\d+\.\d{6})\d+", r"\1", content)
    return content.replace("><", ">\n<").rstrip() + "\n"


@pytest.mark.parametrize("name", GOLDEN)
def test_it_is_as_it_was_looked_at(name: str) -> None:
    path, now = FOLDER / name, normalised(GOLDEN[name]())
    if os.environ.get("UNDERSET_GOLDEN") == "write":
        path.write_text(now, "utf-8")
    assert path.read_text("utf-8") == now, "look at it, then: UNDERSET_GOLDEN=write (see above)"


def test_no_golden_file_is_left_over() -> None:
    assert sorted(p.name for p in FOLDER.iterdir()) == sorted(GOLDEN)
