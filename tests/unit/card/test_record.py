"""A plan as JSON: by its schema, with the outline's keys, never a figure that is not finite."""

from __future__ import annotations

import json
import math
from dataclasses import replace

import jsonschema
import pytest

from tests.card_cases import CASES, found, job, refused
from underset.card import evaluation_json, plan_digest, plan_json, plan_schema, plan_text
from underset.errors import InternalError
from underset.setting.result import CORNERS, PadLoad, Plan


@pytest.mark.parametrize("name", CASES)
def test_every_plan_obeys_the_schema(name: str) -> None:
    assert complaints(json.loads(plan_text(CASES[name]()))) == []


def test_the_schema_is_one() -> None:
    jsonschema.Draft202012Validator.check_schema(plan_schema())
    assert plan_schema()["$schema"].endswith("2020-12/schema")


@pytest.mark.parametrize("key", ["outcome", "states", "setting", "underset_plan", "caution"])
def test_the_schema_refuses_a_plan_without(key: str) -> None:
    document = plan_json(found())
    del document[key]
    assert complaints(document) == [f"'{key}' is a required property"]


def test_the_schema_refuses_a_key_it_does_not_know() -> None:
    document = plan_json(found())
    document["setting"]["arms"]["LF"]["colour"] = "red"
    assert len(complaints(document)) == 1


def test_the_keys_are_those_of_the_outline() -> None:
    document = plan_json(found())
    assert {"outcome", "setting", "states", "refusals", "remedies"} <= set(document)
    wanted = {"bay", "heading", "point_set", "spot_m", "window_m", "seat_m", "arms"}
    assert wanted <= set(document["setting"])
    assert tuple(document["setting"]["arms"]) == CORNERS
    arm = document["setting"]["arms"]["LF"]
    assert {"tooth", "swing_deg", "reach_m", "pad_m", "stack", "screw_m", "turns"} <= set(arm)
    state = document["states"][0]
    assert {"name", "mass_kg", "cg_m", "pads", "checks"} <= set(state)
    assert set(state["pads"]["LF"]["load_N"]) == {"nominal", "low", "high"}
    check = {"name", "status", "demand", "limit", "margin", "unit", "sentence", "sources"}
    assert check <= set(state["checks"][0])


def test_figures_are_those_of_the_result() -> None:
    plan, document = job(), plan_json(job())
    assert plan.best is not None
    setting, arm = plan.best.setting, document["setting"]["arms"]["RR"]
    assert document["setting"]["spot_m"] == setting.spot
    assert arm["swing_deg"] == pytest.approx(math.degrees(setting.arms[3].swing))
    assert arm["stack"] == list(setting.arms[3].stack_ids)
    load = document["states"][5]["pads"]["RR"]["load_N"]
    pad = plan.best.states[5].pads[3]
    assert (load["nominal"], load["low"], load["high"]) == (pad.nominal, pad.low, pad.high)
    assert document["states"][7]["supports"][0]["kind"] == "stand"


def test_a_refusal_carries_its_nearest_miss() -> None:
    first = plan_json(refused())["refusals"][0]
    assert (first["check"], first["count"], first["nearest"]["margin"]) == ("arm_reach", 96, -0.073)
    assert plan_json(refused())["setting"] is None


@pytest.mark.parametrize("bad", [math.nan, math.inf, -math.inf])
def test_a_figure_that_is_not_finite_withholds_the_result(bad: float) -> None:
    with pytest.raises(InternalError, match=r"pads\.LF\.load_N\.high"):
        plan_json(with_load(found(), PadLoad(1.0, 0.5, bad)))
    with pytest.raises(InternalError):
        plan_digest(with_load(found(), PadLoad(1.0, 0.5, bad)))


def test_a_state_whose_balance_is_not_known_has_null_and_not_zero() -> None:
    plan = found()
    assert plan.best is not None
    void = replace(plan.best.states[0], known=False)
    document = plan_json(replace(plan, best=replace(plan.best, states=(void,))))
    state = document["states"][0]
    assert [state[k] for k in ("mass_kg", "mass_range_kg", "cg_m", "pads", "residuals")] == [
        None
    ] * 5
    assert complaints(document) == []


def test_the_hash_follows_the_content() -> None:
    assert plan_digest(found()) == plan_digest(found())
    assert plan_digest(found()) != plan_digest(with_load(found(), PadLoad(1.0, 0.5, 2.0)))
    assert len(plan_digest(found())) == 64


def test_sentences_follow_units_and_language_figures_do_not() -> None:
    metric, inch = plan_json(found()), plan_json(found(), units="inch", language="de")
    one, two = metric["states"][0]["checks"][1], inch["states"][0]["checks"][1]
    assert one["demand"] == two["demand"]
    assert one["sentence"] != two["sentence"]


def test_one_evaluation_has_the_same_form() -> None:
    plan = found()
    assert plan.best is not None
    alone, whole = evaluation_json(plan.best), plan_json(plan)
    assert alone["setting"] == whole["setting"]
    assert alone["states"] == whole["states"]


def complaints(document: object) -> list[str]:
    validator = jsonschema.Draft202012Validator(plan_schema())
    return [error.message for error in validator.iter_errors(document)]


def with_load(plan: Plan, load: PadLoad) -> Plan:
    assert plan.best is not None
    first = plan.best.states[0]
    changed = replace(first, pads=(load, *first.pads[1:]))
    return replace(plan, best=replace(plan.best, states=(changed, *plan.best.states[1:])))
