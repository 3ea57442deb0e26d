"""The plain second judge agrees with every usable sample plan, and sees a plan that was spoiled."""

from __future__ import annotations

import copy
import json
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from benchmarks.soundness.__main__ import _facts, sweep
from benchmarks.soundness.judge import broken
from underset.app import Wish, make_plan, open_workshop, today
from underset.card import plan_json

Plan = dict[str, Any]
USABLE = (
    ("harbour-hatch", "north"),
    ("ferry-saloon", "south"),
    ("crew-pickup", "yard"),
    ("pilot-coupe", "south"),
    ("parcel-van", "south"),
)


@pytest.fixture(scope="module")
def workshop() -> Any:
    return open_workshop(None)


def planned(workshop: Any, name: str, bay: str) -> tuple[Plan, dict[str, Any]]:
    plan = make_plan(workshop, Wish(name, None, (bay,), remedies=False), today()).plan
    return json.loads(json.dumps(plan_json(plan))), _facts(workshop, name, bay)


@pytest.mark.parametrize(("name", "bay"), USABLE)
def test_it_agrees_with_the_sample(workshop: Any, name: str, bay: str) -> None:
    plan, facts = planned(workshop, name, bay)
    assert plan["outcome"] == "found"
    assert broken(plan, {**facts, "draws": 60}, np.random.default_rng(7)) == []


def _arm(plan: Plan) -> Plan:
    return plan["setting"]["arms"]["LF"]


def _improvised(plan: Plan) -> None:
    _arm(plan)["stack"] = ["timber-block"]


def _between_teeth(plan: Plan) -> None:
    _arm(plan)["swing_deg"] += 1.0


def _too_far(plan: Plan) -> None:
    _arm(plan)["reach_m"] += 0.5


def _moved_back(plan: Plan) -> None:
    plan["setting"]["spot_m"] -= 0.2


def _screwed(plan: Plan) -> None:
    _arm(plan)["screw_m"] += 0.02


def _too_high(plan: Plan) -> None:
    plan["setting"]["seat_m"] += 0.05


@pytest.mark.parametrize(
    ("spoil", "word"),
    [
        (_improvised, "improvised"),
        (_between_teeth, "teeth"),
        (_too_far, "reach"),
        (_moved_back, "zone"),
        (_screwed, "height"),
        (_too_high, "arm under"),
    ],
)
def test_it_sees_a_spoiled_plan(workshop: Any, spoil: Callable[[Plan], None], word: str) -> None:
    plan, facts = planned(workshop, "harbour-hatch", "north")
    spoiled = copy.deepcopy(plan)
    spoil(spoiled)
    told = broken(spoiled, facts, np.random.default_rng(7))
    assert any(word in line for line in told), told


def test_it_sees_a_load_that_is_too_great(workshop: Any) -> None:
    plan, facts = planned(workshop, "harbour-hatch", "north")
    heavy = copy.deepcopy(facts)
    heavy["bay"]["plate"]["rated"] = "1200 kg"
    assert "rated" in broken(plan, heavy, np.random.default_rng(7))


def test_random_workshops_give_no_false_usable() -> None:
    counts, refused = sweep(4, 20261125)
    assert sum(counts.values()) == 4
    assert refused == []
