from __future__ import annotations

from dataclasses import replace

import pytest

from tests.sample_cases import case, searched
from underset.geometry import Arm
from underset.job.hold_words import HOLD_DE, HOLD_EN, LABELS_DE
from underset.job.holdpoints import arm_orders, hold_points
from underset.setting.evaluate import Case, evaluate
from underset.setting.result import CORNERS, Evaluation, HoldPoint, Status
from underset.setting.wording import figure


def planned(vehicle: str, bay: str, job: str | None = None) -> tuple[Case, Evaluation]:
    return case(vehicle, bay, job), searched(vehicle, bay, job).ranked()[0].evaluation


ENGINE_OUT = planned("harbour-hatch", "north", "hatch-engine-out")
POINTS = hold_points(*ENGINE_OUT)


def point(name: str, among: tuple[HoldPoint, ...] = POINTS) -> HoldPoint:
    return next(h for h in among if h.id == name)


def test_from_bay_clear_to_arms_out() -> None:
    ids = [h.id for h in POINTS]
    assert ids[:4] == ["bay-clear", "daily-check", "intake", "stopped"]
    assert ids[-2:] == ["before-lowering", "arms-out"]
    order = ["arm-lf", "arm-rf", "arm-lr", "arm-rr", "level", "restraints", "touch", "tyres-off",
             "about-1m", "locks"]  # fmt: skip
    assert [i for i in ids if i in order] == order
    assert len(ids) == len(set(ids))


def test_each_arm_is_told_as_it_stands() -> None:
    _, evaluation = ENGINE_OUT
    for corner, arm in zip(CORNERS, evaluation.setting.arms, strict=True):
        told = dict(point(f"arm-{corner.lower()}").facts)
        assert told["tooth"] == str(arm.tooth)
        assert float(told["reach"].removeprefix("m:")) == pytest.approx(arm.reach, abs=1e-4)
        assert told["stack"] == " + ".join(p.label for p in arm.stack)
        assert point(f"arm-{corner.lower()}").corner == corner


def test_the_stop_is_told_from_the_floor_mark() -> None:
    made, evaluation = ENGINE_OUT
    assert made.bay.mark is not None
    label, token = next(f for f in point("stopped").facts if f[0].startswith("front axle"))
    name, x = made.bay.mark
    assert name in label
    assert float(token.removeprefix("m:")) == pytest.approx(
        abs(evaluation.setting.spot - x), abs=1e-4
    )
    assert ("past" in label) is (evaluation.setting.spot > x)


def test_the_part_that_comes_off_has_its_own_point() -> None:
    """The engine comes out of the front: the rear is supported, the front secured."""
    _, evaluation = ENGINE_OUT
    off = point("off-step-6")
    assert off.sign
    assert "Support the rear end" in off.text
    assert "secure the front end" in off.text
    facts = dict(off.facts)
    assert "kg:205.0" in [v for _, v in off.facts]
    now = next(s for s in evaluation.states if s.name == "step-6")
    least = min(p.low for p in now.pads)
    told = next(v for k, v in off.facts if k == "least pad after" and v.startswith("N:"))
    assert float(told[2:]) == pytest.approx(least, abs=0.06)
    assert facts["on the front pads after"].startswith("1:0.")


def test_a_table_tells_the_push_that_empties_a_pad() -> None:
    _, evaluation = ENGINE_OUT
    table = point("table-step-5")
    told = dict(table.facts)
    check = next(c for c in evaluation.checks if c.name == "table_push")
    assert float(told["push that empties a pad"][2:]) == pytest.approx(check.demand, abs=0.06)
    assert told["push in use"] == "N:2000.0"


def test_the_points_that_are_signed() -> None:
    signed = {h.id for h in POINTS if h.sign}
    assert signed == {
        "daily-check",
        "intake",
        "restraints",
        "tyres-off",
        "off-step-6",
        "before-lowering",
    }


def test_moving_the_lift_with_parts_off_asks_for_a_fresh_check() -> None:
    made, evaluation = ENGINE_OUT
    off = next(i for i, s in enumerate(made.states) if s.name == "step-6")
    again = replace(made.states[off], name="up-again", label="raised again", moves_lift=True)
    states = (*made.states[: off + 1], again, *made.states[off + 1 :])
    moved = replace(made, states=states)
    points = hold_points(moved, evaluate(moved, evaluation.setting))
    fresh = point("fresh-up-again", points)
    assert fresh.sign
    assert ("off since the lift", "engine-and-gearbox") in fresh.facts


def test_a_stand_is_told_once_when_it_is_set() -> None:
    from underset.job.stands import stand_advice

    made = case("market-suv", "north", "suv-rear-axle-out")
    start = searched("market-suv", "north", "suv-rear-axle-out").best_stopped()
    assert start is not None
    (advice,) = stand_advice(made, start)
    assert advice.evaluation is not None
    from underset.job.stands import with_stand

    span = [i for i, s in enumerate(made.states) if s.name in (advice.set_in, advice.until)]
    propped = with_stand(made, (-advice.aft, advice.side), advice.preload, (span[0], span[-1]))
    points = hold_points(propped, advice.evaluation)
    stands = [h for h in points if h.id.startswith("stand-")]
    assert [h.state for h in stands] == [advice.set_in]
    assert stands[0].sign


def test_cargo_out_on_the_floor_is_no_part_off() -> None:
    points = hold_points(*planned("chandler-van", "yard", "chandler-unloaded-brakes"))
    assert not [h for h in points if h.id.startswith(("off-", "fresh-"))]
    assert point("touch", points).state == "step-1"


def test_nothing_is_an_invitation_to_trust() -> None:
    """Unanswered questions and missing daily checks are told as such."""
    made, evaluation = ENGINE_OUT
    asked = replace(made, intake=(("rust_at_points", "not asked"),))
    assert dict(point("intake", hold_points(asked, evaluation)).facts) == {
        "rust at points": "not asked"
    }
    assert dict(point("daily-check").facts)["checked today"] == "no"


def test_figures_are_tokens_that_the_printer_knows() -> None:
    for h in POINTS:
        for _, value in h.facts:
            unit, colon, number = value.partition(":")
            if colon and unit in ("m", "N", "kg", "rad", "1", "turns"):
                float(number)
                assert figure(value) != value


def test_every_word_is_there_in_german() -> None:
    assert set(HOLD_EN) == set(HOLD_DE)
    german = hold_points(*ENGINE_OUT, language="de")
    assert [h.id for h in german] == [h.id for h in POINTS]
    english = {label for h in POINTS for label, _ in h.facts} - set(CORNERS)
    shared = {label for h in german for label, _ in h.facts} & english
    assert not {s for s in shared if s in LABELS_DE and LABELS_DE[s] != s}


# --- order of the arms ----------------------------------------------------------------------------


def narrow(arm: Arm) -> Arm:
    """An arm whose pivot stands so near its neighbour's that one must go first."""
    x = 0.06 if arm.pivot[0] > 0.0 else -0.06
    return replace(arm, pivot=(x, arm.pivot[1]))


def test_arms_far_apart_may_come_in_any_order() -> None:
    made, evaluation = ENGINE_OUT
    pair = tuple(a for a in evaluation.setting.arms if a.arm.startswith("left"))
    assert len(arm_orders(made, evaluation, pair) or ()) == 2  # type: ignore[arg-type]
    assert not [h for h in POINTS if h.id.startswith("order-")]


def test_arms_that_cannot_pass_are_told() -> None:
    made, evaluation = ENGINE_OUT
    tight = replace(made, bay=replace(made.bay, arms=tuple(map(narrow, made.bay.arms))))
    points = hold_points(tight, evaluation)
    told = [h for h in points if h.id.startswith("order-")]
    assert [h.id for h in told] == ["order-left", "order-right"]


def test_what_cannot_be_traced_is_not_told() -> None:
    made, evaluation = ENGINE_OUT
    blind = replace(made, bay=replace(made.bay, parked=(None,) * 4))
    pair = tuple(a for a in evaluation.setting.arms if a.arm.startswith("left"))
    assert arm_orders(blind, evaluation, pair) is None  # type: ignore[arg-type]
    assert Status.NOT_KNOWN in {c.status for c in evaluate(blind, evaluation.setting).checks}
