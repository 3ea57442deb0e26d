"""The plain second judge agrees with every usable sample plan, and sees a plan that was spoiled."""

from __future__ import annotations

import copy
import json
from collections.abc import Callable
from functools import lru_cache
from typing import Any

import numpy as np
import pytest

from benchmarks.soundness import again
from benchmarks.soundness.judge import broken
from benchmarks.soundness.refusals import settled
from benchmarks.soundness.sweep import facts_of, planned, priors_of, swept
from benchmarks.soundness.tight import WAYS
from benchmarks.soundness.workshops import Drawn, drawn
from underset.app import Wish, make_plan, open_workshop, today
from underset.card import plan_json
from underset.records import to_json

Plan = dict[str, Any]
USABLE_CASE = 27
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


def plain(data: Any) -> Any:
    return json.loads(data if isinstance(data, str) else json.dumps(data))


def sample(workshop: Any, name: str, bay: str) -> tuple[Plan, dict[str, Any]]:
    plan = make_plan(workshop, Wish(name, None, (bay,), remedies=False), today()).plan
    facts = {
        "vehicle": plain(to_json(workshop.vehicles[name])),
        "bay": plain(to_json(workshop.bays[bay])),
        "bay_id": bay,
        "adapters": {k: plain(to_json(a)) for k, a in workshop.adapters.items()},
        "policy": {t.name: t.value for t in workshop.policy.thresholds},
        "priors": priors_of(workshop.vehicles[name]),
    }
    return plain(plan_json(plan)), facts


@pytest.mark.parametrize(("name", "bay"), USABLE)
def test_it_agrees_with_the_sample(workshop: Any, name: str, bay: str) -> None:
    plan, facts = sample(workshop, name, bay)
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
    plan, facts = sample(workshop, "harbour-hatch", "north")
    spoiled = copy.deepcopy(plan)
    spoil(spoiled)
    told = broken(spoiled, facts, np.random.default_rng(7))
    assert any(word in line for line in told), told


def _lighter(facts: dict[str, Any]) -> None:
    facts["bay"]["plate"]["rated"] = "1200 kg"


def _no_droop(facts: dict[str, Any]) -> None:
    del facts["vehicle"]["suspension"]["droop_front"]
    facts["bay"]["seat"]["highest"] = "400 mm"


def _no_profile(facts: dict[str, Any]) -> None:
    del facts["bay"]["arms"]["left_rear"]["profile"]


def _low_ceiling(facts: dict[str, Any]) -> None:
    facts["bay"]["surroundings"]["ceiling"] = "1700 mm"


def _weak_head(facts: dict[str, Any]) -> None:
    for a in facts["adapters"].values():
        a["rating"] = "350 kg"


def _battery_beside_a_pad(facts: dict[str, Any]) -> None:
    for zone in facts["vehicle"]["zones"]:
        if zone["id"] == "brake-lines":
            zone["outline"] = [["500 mm", "-720 mm"], ["700 mm", "-720 mm"], ["700 mm", "-600 mm"]]
            zone["high_voltage"] = True


def _engine_out_of_a_soft_floor(facts: dict[str, Any]) -> None:
    part = {"id": "ballast", "label": "drawn", "mass": "500 ± 20 kg", "aft": "2600 mm"}
    facts["vehicle"]["components"] = [{**part, "side": "0 mm", "up": "500 mm", "on": True}]
    facts["job"] = {"steps": [{"kind": "take off", "component": "ballast"}]}


def _pulled_over(facts: dict[str, Any]) -> None:
    push = {
        "kind": "push",
        "label": "drawn",
        "force": "20 kN",
        "up": "1200 mm",
        "direction": "left",
    }
    facts["job"] = {"steps": [push]}


@pytest.mark.parametrize(
    ("spoil", "word"),
    [
        (_lighter, "rated"),
        (_no_droop, "droop"),
        (_no_profile, "profiles"),
        (_low_ceiling, "overhead"),
        (_weak_head, "adapter load"),
        (_battery_beside_a_pad, "pad at brake-lines"),
        (_engine_out_of_a_soft_floor, "least pad"),
        (_pulled_over, "push tips"),
    ],
)
def test_it_sees_records_that_were_spoiled(
    workshop: Any, spoil: Callable[[dict[str, Any]], None], word: str
) -> None:
    plan, facts = sample(workshop, "harbour-hatch", "north")
    spoiled = copy.deepcopy(facts)
    spoil(spoiled)
    told = broken(plan, spoiled, np.random.default_rng(7))
    assert any(word in line for line in told), told


def test_random_workshops_give_no_false_usable(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(again, "TIMES", 4)
    counts, false = swept(2026, range(USABLE_CASE, USABLE_CASE + 1))
    assert counts["drawn again in part"] >= 4
    assert counts["limits hit and usable"] >= 1
    assert [(one.name, one.refused) for one in false] == []


def test_a_case_is_drawn_the_same_every_time() -> None:
    assert drawn(5, 9) == drawn(5, 9)
    assert drawn(5, 9) != drawn(5, 10)


def test_the_plain_search_finds_a_setting_where_the_planner_does() -> None:
    case = drawn(2026, USABLE_CASE)
    plan, shop, _ = planned(case)
    assert plan is not None and shop is not None and plan["usable"]
    assert settled(facts_of(case, shop), np.random.default_rng(1)) is not None


@lru_cache(maxsize=1)
def usable_case() -> tuple[Drawn, Plan]:
    case = drawn(2026, USABLE_CASE)
    plan, _, _ = planned(case)
    assert plan is not None and plan["usable"]
    return case, plan


@pytest.mark.parametrize("way", WAYS, ids=lambda w: w.__name__.strip("_"))
def test_a_limit_is_put_where_the_demand_is(way: Callable[..., bool]) -> None:
    """Each way of tightening changes the records of a usable case, or says that it cannot."""
    case, plan = usable_case()
    made = copy.deepcopy(case)
    assert way(made, plan, 1.0) is (made != case)


def test_the_plain_search_meets_a_window_of_no_width() -> None:
    case = drawn(94, 227)
    plan, shop, _ = planned(case)
    assert plan is not None and shop is not None
    low, high = plan["setting"]["window_m"]
    assert high - low < 1e-9
    found = settled(facts_of(case, shop), np.random.default_rng(1))
    assert found is not None
    assert abs(found["spot_m"] - low) < 1e-6
