"""A plan called found is usable: a choice that its proved window spoils gives way to the next."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from underset.app import Wish, open_workshop
from underset.app.planning import cases_for
from underset.planner import proved, search, verify
from underset.planner.candidates import setting_at
from underset.planner.stacks import choice_of
from underset.setting.evaluate import Case, evaluate, with_ways
from underset.setting.place import Stop
from underset.setting.result import Evaluation, Outcome, Status
from underset.setting.standing import standing_on_file

DAY = date(2026, 11, 20)


@pytest.fixture
def case() -> Case:
    shop = open_workshop(None)
    wish = Wish("harbour-hatch", None, ("north",))
    return cases_for(shop, wish, standing_on_file(shop, DAY))["north"]


def spoiled(case: Case, evaluation: Evaluation) -> Evaluation:
    """The same setting in a window of no width: its points are not known well enough for that."""
    spot = evaluation.setting.spot
    narrow = replace(evaluation.setting, window=(spot, spot), fixed_window=(spot, spot))
    return evaluate(case, narrow)


def test_the_next_choice_takes_the_place(case: Case, monkeypatch: pytest.MonkeyPatch) -> None:
    """Seed 7, case 365 of the soundness sweep: found, and its best setting not usable."""
    found = search([case])
    first, second, *_ = found.ranked()
    cut = spoiled(case, first.evaluation)
    assert cut.status is Status.NOT_KNOWN

    def spoil_the_first(case: Case, evaluation: Evaluation, memo: object) -> Evaluation:
        return cut if evaluation is first.evaluation else evaluation

    monkeypatch.setattr(verify, "verified", spoil_the_first)
    choices = proved(case, found)
    assert choices[0].evaluation is second.evaluation
    assert first not in choices
    assert found.best_unclear() is cut


def test_none_left_is_not_found(case: Case, monkeypatch: pytest.MonkeyPatch) -> None:
    found = search([case])
    monkeypatch.setattr(verify, "verified", lambda case, e, memo: spoiled(case, e))
    assert proved(case, found) == ()
    assert found.outcome is Outcome.INCOMPLETE


def test_a_window_that_is_proved_stands_in_the_choice(case: Case) -> None:
    choices = proved(case, search([case]))
    assert choices[0].evaluation.usable
    assert choices[0].window == choices[0].evaluation.setting.window


def test_at_the_ends_of_a_window_the_arms_can_be_brought_in() -> None:
    """A window is where everything works: once it ran on to stops whose way in is blocked."""
    shop = open_workshop(None)
    wish = Wish("pilot-coupe", None, ("south",))
    case = cases_for(shop, wish, standing_on_file(shop, DAY))["south"]
    best = proved(case, search([case]))[0].evaluation.setting
    approach = verify.approach_of(case, best)
    window = verify._window(approach, best)
    assert window is not None
    for spot in best.window:
        there = setting_at(approach, Stop(best.heading, spot), window, choice_of(case, best))
        assert there is not None
        ways = [c for c in with_ways(case, evaluate(case, there)).checks if c.name == "way_in"]
        assert ways and all(c.status is Status.HOLDS for c in ways)
