from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from tests.judge_cases import head, plain_case, points, vehicle
from underset.planner.missing import _NEEDS, TOO_WIDE, missing
from underset.planner.missing_words import HOW_DE, HOW_EN
from underset.planner.search import search
from underset.planner.telling import most_telling
from underset.setting.evaluate import Case, evaluate
from underset.setting.numbers import CgBasis, Shelf
from underset.setting.result import Evaluation
from underset.setting.wording import NOTES
from underset.statics import Item

CASE = plain_case()
SETTING = search([CASE]).ranked()[0].evaluation.setting


def judged(case: Case) -> Evaluation:
    return evaluate(case, SETTING)


def test_nothing_is_missing_from_a_complete_case() -> None:
    assert missing(CASE, judged(CASE)) == ()


def test_each_unanswered_question_is_told() -> None:
    case = replace(CASE, intake=())
    fields = [m.field for m in missing(case, judged(case))]
    assert "intake.rust_at_points" in fields
    assert len(fields) == 6


def test_a_missing_roof_asks_for_the_height_once() -> None:
    case = replace(CASE, vehicle=replace(CASE.vehicle, roof=None))
    found = missing(case, judged(case))
    assert [(m.record, m.field) for m in found] == [("vehicle hatch", "sizes.height")]
    assert "Tape" in found[0].how


def test_only_what_is_missing_overhead_is_asked_for() -> None:
    case = replace(CASE, bay=replace(CASE.bay, ceiling=None))
    assert [m.field for m in missing(case, judged(case))] == ["surroundings.ceiling"]


def test_the_piece_without_an_inspection_is_named() -> None:
    case = replace(CASE, shelf=Shelf({"pad": head(inspected_months=None)}))
    found = missing(case, judged(case))
    assert [(m.record, m.field) for m in found] == [("adapter pad", "lots.inspected")]


def test_an_estimate_asks_for_the_axles() -> None:
    basis = CgBasis("prior", "prior", "prior", "prior", ("mass", "aft"))
    case = replace(CASE, vehicle=replace(CASE.vehicle, basis=basis))
    found = missing(case, judged(case))
    assert [m.field for m in found] == ["weights.front, weights.rear"]


def test_it_speaks_german() -> None:
    case = replace(CASE, vehicle=replace(CASE.vehicle, roof=None))
    assert "Bandmaß" in missing(case, judged(case), "de")[0].how


def test_every_way_to_measure_is_told_in_both_languages() -> None:
    assert set(HOW_EN) == set(HOW_DE)


def test_every_note_of_the_judge_on_a_missing_figure_names_its_field() -> None:
    """Notes are found in the judge's source, so that a new one cannot be forgotten here."""
    folder = Path(__file__).resolve().parents[3] / "src" / "underset" / "setting"
    text = "".join(p.read_text("utf-8") for p in sorted(folder.glob("*.py")))
    notes = set(re.findall(r'not_known\(\s*(?:"\w+"|name|n), "([^"]+)"', text))
    notes |= set(re.findall(r'return \("([^"]+ not given)",\)', text))
    notes |= {"tyres not given", "way in cannot be traced", "flange not measured", TOO_WIDE}
    assert len(notes) > 15
    assert sorted(notes - set(_NEEDS) - {"not asked"}) == []


def test_every_note_has_words() -> None:
    for language in ("en", "de"):
        assert [n for n in _NEEDS if n not in NOTES[language]] == []


# --- what to measure first ------------------------------------------------------------------------


def test_what_is_not_given_comes_before_what_is_not_well_known() -> None:
    case = replace(CASE, vehicle=replace(CASE.vehicle, roof=None, width_mirrors=None))
    telling = most_telling(case, judged(case))
    assert telling is not None
    assert telling.missing.field == "sizes.height"  # three checks wait for it
    assert set(telling.answers) == {"push_tip", "push_unload", "overhead"}
    assert telling.settles == pytest.approx(0.75)


def unsure(place_tol: float, aft: float = -1.12) -> Case:
    kerb = Item("kerb vehicle", 1240.0, 8.0, (aft, 0.0, 0.55), (place_tol, 0.005, 0.03))
    car = vehicle(kerb, point_sets=(points(),))
    case = plain_case(car)
    return replace(case, bay=replace(case.bay, rated=3400.0))


def test_the_axles_are_weighed_where_the_balance_decides() -> None:
    """The nominal front share is over 0.60 at the far end of its band only."""
    case = unsure(0.16, -1.26)
    evaluation = evaluate(case, SETTING)
    assert "pad_split" in {c.name for c in evaluation.checks if c.status.value == "stops"}
    telling = most_telling(case, evaluation)
    assert telling is not None
    assert telling.missing.field == "weights.front, weights.rear"
    assert 0.0 < telling.usable < 1.0
    assert telling.settles > telling.usable


def test_no_measurement_helps_what_is_well_known_and_wrong() -> None:
    case = unsure(0.001, -0.95)
    evaluation = evaluate(case, SETTING)
    assert evaluation.status.value == "stops"
    assert most_telling(case, evaluation) is None


def test_a_tape_does_not_move_a_column() -> None:
    """What stops for room is not settled by weighing."""
    case = replace(CASE, vehicle=replace(CASE.vehicle, width_mirrors=2.79))
    evaluation = judged(case)
    assert "drive_through" in {c.name for c in evaluation.checks if c.status.value == "stops"}
    assert most_telling(case, evaluation) is None
