"""The plain verdict: 80 columns, verdict first, no colour codes."""

from __future__ import annotations

import pytest

from tests.card_cases import CASES, found, incomplete, job, refused
from underset.card.build import About, build_view
from underset.card.text import WIDTH, verdict_text


@pytest.mark.parametrize("units", ["metric", "inch"])
@pytest.mark.parametrize("language", ["en", "de"])
@pytest.mark.parametrize("name", CASES)
def test_lines_keep_to_eighty_columns(name: str, language: str, units: str) -> None:
    text = verdict_text(build_view(CASES[name](), units=units, language=language))
    assert max(map(len, text.split("\n"))) <= WIDTH
    assert "\x1b" not in text
    assert text.endswith("\n")


@pytest.mark.parametrize("name", CASES)
def test_the_verdict_comes_first(name: str) -> None:
    view = build_view(CASES[name]())
    first = " ".join(verdict_text(view).split("\n\n")[0].split())
    assert first.startswith(f"{view.status.word.upper()}: {view.verdict}")


def test_a_setting_is_told_with_corners_states_and_what_to_watch() -> None:
    text = verdict_text(build_view(found()))
    assert "500 mm past yellow bar; window 479 to 538 mm" in text
    assert "LF      7  29.1°        667       11 3/4  4.27 (3.88 – 4.66)  holds" in text
    assert "0  raised, complete  1240" in text
    assert "watch  Room to stop off the spot: 21 mm" in text
    assert "13 hold points, 3 of them to be signed, are on the card." in text


def test_every_step_is_listed() -> None:
    text = verdict_text(build_view(job()))
    assert [f"\n  {i:>2}  " in text for i in range(12)] == [True] * 12


def test_a_refusal_tells_counts_nearest_miss_and_remedies() -> None:
    text = verdict_text(build_view(refused()))
    assert "   212 Arms clear of the tyres" in text or "   212 " in text
    assert "Nearest miss" in text
    assert text.index("What refused") < text.index("What would make it work")
    assert "- Use bay 3, whose arms reach 1,600 mm. (bay-3: setting found)" in text


def test_what_is_missing_is_told_with_the_way_to_get_it() -> None:
    text = " ".join(verdict_text(build_view(incomplete())).split())
    assert (
        "axle loads: pad loads and the split need the centre of gravity → weigh each axle" in text
    )


def test_long_names_are_wrapped() -> None:
    about = About(vehicle="Very long name " * 12, bay="B" * 20)
    text = verdict_text(build_view(found(), about))
    assert max(map(len, text.split("\n"))) <= WIDTH
