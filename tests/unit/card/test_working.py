"""The working shows every check of every state with formula, figures, limit and source."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import pairwise

import pytest

from tests.card_cases import CASES, found, job, refused, stopped
from underset.card import About, working_html, working_pdf, working_text, working_view
from underset.card.view import Heading, Table
from underset.setting.catalogue import CHECKS
from underset.setting.result import Check, Status


@pytest.mark.parametrize("units", ["metric", "inch"])
@pytest.mark.parametrize("language", ["en", "de"])
@pytest.mark.parametrize("name", CASES)
def test_every_plan_has_a_working(name: str, language: str, units: str) -> None:
    view = working_view(CASES[name](), About(vehicle="Hatch"), units=units, language=language)
    text = working_text(view)
    assert text.startswith("# ")
    assert view.advice in text.replace("\\", "")
    assert "nan" not in text.split()


def test_every_check_stands_there_with_formula_and_source() -> None:
    plan = job()
    assert plan.best is not None
    text = plain(working_text(working_view(plan)))
    for name in {c.name for c in plan.best.checks}:
        assert f"`{CHECKS[name].formula}`" in text
    for source in {s for c in plan.best.checks for s in c.sources}:
        assert source in text


def test_every_state_has_its_row_in_every_check_that_is_judged_there() -> None:
    plan = job()
    assert plan.best is not None
    view = working_view(plan)
    tables = [b for b in view.blocks if isinstance(b, Table) and len(b.heads) == 7]
    rows = sum(len(t.rows) for t in tables if t.heads[0] == "State")
    assert rows == len(plan.best.checks)


def test_figures_used_stand_beside_the_result() -> None:
    text = working_text(working_view(found()))
    assert "along = 28 mm; across = −11 mm; half pad width = 60 mm" in text
    assert "1.8e-12 N" in text


def test_a_void_state_has_no_figures() -> None:
    plan = found()
    assert plan.best is not None
    void = replace(plan.best.states[0], known=False)
    view = working_view(replace(plan, best=replace(plan.best, states=(void,))))
    text = working_text(view)
    assert "no figure of this state counts" in text
    assert "Residuals: force" not in text


def test_a_check_without_a_catalogue_entry_is_still_shown() -> None:
    plan = found()
    assert plan.best is not None
    own = Check("arm_tooth", Status.NOT_KNOWN, note=("tooth offset not given",))
    first = replace(plan.best.states[0], checks=(own,))
    text = working_text(working_view(replace(plan, best=replace(plan.best, states=(first,)))))
    assert "not known; where the teeth stand is not given" in plain(text)


def test_markdown_tables_have_even_rows() -> None:
    for name in CASES:
        for table in re.findall(r"(?:^\|.*\n)+", working_text(working_view(CASES[name]())), re.M):
            columns = {len(re.findall(r"(?<!\\)\|", row)) for row in table.strip().split("\n")}
            assert len(columns) == 1


def test_marks_in_names_mean_nothing() -> None:
    text = working_text(working_view(found(), About(vehicle="A|B *C* <b>")))
    assert "A\\|B \\*C\\* \\<b\\>" in text


def test_headings_do_not_jump() -> None:
    levels = [b.level for b in working_view(stopped()).blocks if isinstance(b, Heading)]
    assert levels[0] == 2
    assert all(b - a <= 1 for a, b in pairwise(levels))


def test_all_refusals_remedies_and_choices_are_told() -> None:
    text = plain(working_text(working_view(refused())))
    assert "Take 180 kg out of the load bed first." in text
    assert "| 212 |" in text
    assert "| bay-1 |" in working_text(working_view(found()))


def test_all_hold_points_are_told_with_how() -> None:
    plan = job()
    text = plain(working_text(working_view(plan)))
    assert all(h.title in text for h in plan.hold_points)
    assert "Lower and start again if one pad is loose." in text


def test_html_escapes_and_needs_nothing_else() -> None:
    page = working_html(working_view(found(), About(vehicle="<i>x</i>")))
    assert "<i>x" not in page
    assert not re.findall(r'(?:src|href)="', page)
    assert page.count("<table") >= 8


def test_pdf_takes_the_pages_it_needs_and_the_same_bytes() -> None:
    view = working_view(stopped())
    first = working_pdf(view)
    assert first.startswith(b"%PDF-")
    assert first == working_pdf(view)


def plain(text: str) -> str:
    """Markdown without its escapes."""
    return re.sub(r"\\(.)", r"\1", text)
