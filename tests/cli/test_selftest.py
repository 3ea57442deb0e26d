"""`underset selftest`: tells every case, and a wrong one is told as such."""

from __future__ import annotations

from dataclasses import replace

import pytest

from underset.app import selftest
from underset.cli import main

WRONG = 70


def said(capsys: pytest.CaptureFixture[str]) -> list[str]:
    return capsys.readouterr().out.splitlines()


def test_every_case_and_the_sample_lift_agree(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["selftest"]) == 0
    *cases, last = said(capsys)
    assert len(cases) == len(selftest.CASES) + 1
    assert all(line.startswith("agrees ") for line in cases)
    assert last.endswith(f"{len(cases)} of {len(cases)} reference cases agree.")


def test_a_wrong_expectation_is_told(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    first, *others = selftest.CASES
    monkeypatch.setattr(selftest, "CASES", (replace(first, expected=(1.70,)), *others))
    assert main(["selftest"]) == WRONG
    *cases, last = said(capsys)
    assert [line for line in cases if line.startswith("DIFFERS ")] == cases[:1]
    assert first.name in cases[0]
    assert last.endswith(f"{len(cases) - 1} of {len(cases)} reference cases agree.")


@pytest.mark.parametrize("case", selftest.CASES, ids=lambda case: case.name)
def test_no_case_agrees_with_anything_but_its_own_figures(
    case: selftest.Case, monkeypatch: pytest.MonkeyPatch
) -> None:
    off = (case.expected[0] + 2 * case.tolerance, *case.expected[1:])
    wrong = replace(case, expected=off)
    short = replace(case, expected=case.expected[:-1])
    monkeypatch.setattr(selftest, "CASES", (case, wrong, short))
    assert [r.passed for r in selftest.run_cases()] == [True, False, False]
