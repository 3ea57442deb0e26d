"""Kinds of events: what each may say, and on what it is listed."""

from __future__ import annotations

import pytest
from pydantic import ValidationError

from tests.store_cases import DAY, PAYLOADS, SHA
from underset.errors import InputError, InputErrors
from underset.store import (
    KINDS,
    AdapterInspection,
    DailyCheck,
    HoldPointTicked,
    ParkedAs,
    Payload,
    PlanMade,
    Remark,
    payload_from,
)
from underset.store.canonical import canonical


@pytest.mark.parametrize("kind", KINDS)
def test_each_kind_says_what_it_is_in_its_own_words(kind: str) -> None:
    assert kind == KINDS[kind].KIND
    assert (KINDS[kind].__doc__ or "").strip().endswith((".", "use."))
    assert kind == kind.lower()


@pytest.mark.parametrize("kind", KINDS)
def test_each_kind_has_a_main_subject(kind: str) -> None:
    about = PAYLOADS[kind].about()
    assert about
    assert len(set(about)) == len(about)
    assert all(subject.count("/") == 1 and all(subject.split("/")) for subject in about)


@pytest.mark.parametrize("kind", KINDS)
def test_each_kind_survives_being_written_down(kind: str) -> None:
    import json

    written = canonical(PAYLOADS[kind].model_dump(mode="json"))
    assert payload_from(kind, json.loads(written)) == PAYLOADS[kind]


@pytest.mark.parametrize("kind", KINDS)
def test_no_kind_takes_what_it_does_not_know(kind: str) -> None:
    said = {**PAYLOADS[kind].model_dump(mode="json"), "permission": "granted"}
    with pytest.raises(InputErrors, match="permission"):
        payload_from(kind, said)


def test_an_unknown_kind_is_told_with_those_there_are() -> None:
    with pytest.raises(InputError, match="daily check"):
        payload_from("gossip", {})


def test_every_complaint_is_told_at_once() -> None:
    with pytest.raises(InputErrors) as told:
        payload_from("daily check", {"bay": "NORTH", "on": "yesterday", "fit": "perhaps"})
    assert {error.field for error in told.value.errors} == {"bay", "on", "fit"}


@pytest.mark.parametrize(
    "make",
    [
        lambda: DailyCheck(bay="n", on=DAY, fit=True, items={"ropes": "not in order"}),
        lambda: AdapterInspection(adapter="a", on=DAY, by="x", seen=2, failed=3),
        lambda: ParkedAs(vehicle="v", bay="b", spot=float("nan")),
        lambda: ParkedAs(vehicle="v", bay="b", spot=1e9),
        lambda: PlanMade(plan="p", vehicle="v", outcome="found", inputs={}, versions={"u": "1"}),
        lambda: PlanMade(
            plan="p", vehicle="v", outcome="found", inputs={"vehicle": "short"}, versions={"u": "1"}
        ),
        lambda: Remark(subject="vehicle/../../etc", text="x"),
        lambda: Remark(subject="vehicle/a", text="x" * 2001),
        lambda: HoldPointTicked(
            run="r", point="p", answer="done", done_at="2026-01-01T00:00:00"
        ),
    ],
    ids=[
        "fit with an item not in order", "more failed than seen", "no number", "not in this shop",
        "a plan without inputs", "no hash", "no id", "too long", "a time without zone",
    ],
)  # fmt: skip
def test_what_makes_no_sense_is_refused(make: object) -> None:
    with pytest.raises(ValidationError):
        make()


def test_payloads_are_frozen() -> None:
    with pytest.raises(ValidationError):
        PAYLOADS["daily check"].fit = False  # type: ignore[attr-defined]


def test_a_plan_is_listed_under_everything_it_is_about() -> None:
    plan = PlanMade(
        plan="p-1", vehicle="hatch", bay="north", job=None, outcome="found",
        inputs={"vehicle": SHA}, versions={"underset": "0"},
    )  # fmt: skip
    assert plan.about() == ("plan/p-1", "vehicle/hatch", "bay/north")
    assert issubclass(PlanMade, Payload)
