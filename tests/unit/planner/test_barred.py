"""Why the shelf has no four stacks: the rule that keeps them back is named with its pieces."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.judge_cases import bay, head, plain_case, spacer, vehicle
from underset.planner.search import Limits, search
from underset.setting.evaluate import Case
from underset.setting.numbers import AdapterNumbers
from underset.setting.result import Outcome, Status
from underset.setting.wording import note_text

RING = replace(spacer("ring", 0.02), above="tube")
HEAD = head(below="tube")  # stands on the ring only


def told(case: Case) -> dict[str, tuple[Status, str]]:
    found = search([case])
    assert not found.choices
    return {r.check: (r.nearest.status, note_text(r.nearest)) for r in found.refusals()}


def on(ring: AdapterNumbers, **place: object) -> Case:
    return plain_case(None, bay(**place), (HEAD, ring))


def test_with_the_ring_it_stands() -> None:
    assert search([on(RING)]).choices


@pytest.mark.parametrize(
    ("case", "check", "note"),
    [
        (
            on(replace(RING, maker_rated=False)),
            "maker_rated",
            "not rated by a maker",
        ),
        (
            on(RING, approved=("head",)),
            "approved",
            "not approved for this lift",
        ),
        (on(replace(RING, count=2, out_of_service=2)), "stack_stock", "out of service"),
        (on(RING, greatest_stack=0.05), "stack_height", ""),
    ],
    ids=lambda x: x if isinstance(x, str) else "",
)
def test_the_rule_that_keeps_the_pieces_back_is_named(case: Case, check: str, note: str) -> None:
    refusals = told(case)
    assert refusals[check][0] is Status.STOPS
    assert note in refusals[check][1]
    others = {"maker_rated", "approved", "stack_height", "cradle_battery"} - {check}
    assert not others & set(refusals)


def test_a_cradle_kept_back_for_want_of_the_propulsion_is_not_known() -> None:
    cradle = head("cradle", cradle=True)
    car = vehicle(battery=None)
    assert told(plain_case(car, None, (cradle,)))["cradle_battery"][0] is Status.NOT_KNOWN
    electric = plain_case(replace(car, battery=True), None, (cradle,))
    assert told(electric)["cradle_battery"][0] is Status.STOPS


def test_a_heading_the_bay_does_not_allow_is_told_as_such() -> None:
    """Once nothing was tried and nothing said."""
    made = plain_case(None, bay(approach="forward only"))
    found = search([made], Limits(headings=("tail-in",)))
    assert [(r.check, r.nearest.status) for r in found.refusals()] == [("approach", Status.STOPS)]
    assert found.outcome is Outcome.NONE
