"""Answers to what to buy in words: proved, stopped with its bound and gap, and limits of time."""

from __future__ import annotations

import json
from math import inf, nan

import pytest

from underset.studies.buying import as_json, as_lines, asked_for
from underset.studies.coverage_table import Telling
from underset.studies.kit import (
    Curve,
    Goal,
    Kit,
    KitCase,
    Limits,
    Offer,
    Proof,
    Visit,
    Way,
    trade_off,
)
from underset.studies.words import WORDS

CASE = KitCase(
    (Visit("hatch", 60.0, (Way("east", (("block", 4),)),)), Visit("bus", 20.0, ())),
    (Offer("block", 20.0, (("block", 1),)),),
)


def kit(goal: Goal, proof: Proof = Proof.FEASIBLE, tie: Proof = Proof.LIMIT) -> Kit:
    return Kit(proof, goal, tie, 1200.0, 0.8)


def first_line(answer: Kit, language: str = "en") -> str:
    return as_lines([answer], Telling(language=language), "EUR")[0]


def test_a_stopped_share_says_what_no_purchase_can_beat_and_the_gap():
    said = first_line(kit(Goal("share", 0.8, 0.85)))
    assert "stopped at its time limit" in said
    assert "serves more than 85" in said
    assert "gap 5.0%" in said
    assert "(proved" not in said


def test_a_stopped_cost_says_below_which_sum_nothing_would_do():
    said = first_line(kit(Goal("cost", 1200.0, 1080.0)))
    assert "no purchase below 1,080.00 EUR would do" in said
    assert "gap 10.0%" in said


@pytest.mark.parametrize("bound", [inf, -inf, nan])
def test_a_stopped_answer_without_any_bound_claims_none(bound: float):
    said = first_line(kit(Goal("cost", 1200.0, bound)))
    assert said.endswith("(stopped at its time limit with nothing proved)")


def test_a_proved_aim_with_an_open_tie_says_so():
    said = first_line(kit(Goal("share", 0.8, 0.8), Proof.OPTIMAL, Proof.FEASIBLE))
    assert said.endswith("(proved; the same share may be had for less)")
    both = first_line(kit(Goal("cost", 1200.0, 1200.0), Proof.OPTIMAL, Proof.OPTIMAL))
    assert both.endswith("(proved)")


def test_german_has_a_word_for_every_way_to_end():
    for goal in (Goal("share", 0.8, 0.85), Goal("cost", 1200.0, 1080.0)):
        assert "an der Zeitgrenze abgebrochen" in first_line(kit(goal), "de")
    assert list(WORDS["de"]) == list(WORDS["en"])


def test_questions_are_asked_within_the_limits_given():
    nothing = Curve((), complete=False)
    stopped = asked_for(CASE, nothing, 0.75, None, Limits(seconds=0.0))
    assert [k.proof for k in stopped] == [Proof.LIMIT]
    assert as_lines(stopped, Telling(), "EUR") == [WORDS["en"]["no_answer"]]
    answered = asked_for(CASE, nothing, 0.75, 80.0)
    assert [(k.proof, k.cost) for k in answered] == [(Proof.OPTIMAL, 80.0)] * 2
    assert json.loads(as_json(answered))["kits"][0]["gap"] == 0.0


def test_a_curve_out_of_time_shows_what_it_has_and_is_not_complete():
    assert trade_off(CASE, seconds=60.0).complete
    cut = trade_off(CASE, seconds=0.0)
    assert not cut.complete
    assert cut.points == ()
