"""German outputs are German: no English word is left beside the names on file."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import pytest

from tests.sample_cases import workshop
from underset.app import Wish, likely, make_plan, rendering, sample_folder
from underset.app.planning import Planned
from underset.app.weigh_words import WEIGH_DE, Amount, weigh_told
from underset.cli import main
from underset.errors import said
from underset.setting.wording import step_word
from underset.setting.wording_terms import FIGURES_DE, SOURCES_DE, STEPS_DE

TODAY = workshop().about.today
CASES = (
    Wish("harbour-hatch", "hatch-engine-out", ("north",), remedies=False),
    Wish("harbourmaster-classic", "classic-rear-axle-out", ("north",), remedies=False),
    Wish("lock-runabout", None, ("south",), remedies=False),
)
# Words of our own that would betray a sentence, a source or a name left in English; none of them
# is a German word, too.
ENGLISH = re.compile(
    r"\b(the|and|of|from|with|without|not|yes|no|none|at|is|are|by|to|or"
    r"|raised|lowered|ahead|behind|left|right|front|rear|off|away|added|removed|moved"
    r"|policy|plate|source|practice|section|abstract|loads|load|mass|weight|weights|share|least"
    r"|greatest|height|level|stiffness|friction|balance|across|along|askew|point|points|pad|pads"
    r"|push|stop|read|expected|asked|known|accepted|step|measure|axle|wheel|arm|arms|kerb)\b"
)  # fmt: skip
# Formulas are notation; titles and what a prior was made from are as printed; then fields by name.
SKIPPED = re.compile(
    r"`[^`]*`|Schätzung: [^;|]*|{\w+}|weights\.(front|rear|lf|rf|lr|rr)|doi \S+|Safety 2022"
)


@cache
def names_on_file() -> re.Pattern[str]:
    """Every text of the sample's records, the longest first."""
    found = {
        text
        for path in Path(sample_folder()).rglob("*.toml")
        for text in re.findall(r'"([^"\n]+)"|^id = (\S+)', path.read_text("utf-8"))
        for text in text
        if re.search("[a-z]{2}", text)
    }
    ids = {path.stem for path in Path(sample_folder()).rglob("*.toml")}
    whole = sorted({n for n in found | ids if not ENGLISH.fullmatch(n)}, key=lambda t: -len(t))
    return re.compile(r"(?<![\w-])(" + "|".join(map(re.escape, whole)) + r")(?![\w-])")


def english_in(text: str) -> list[str]:
    """Lines with an English word of ours."""
    plain = re.sub(r"<style.*?</style>|<[^>]*>|\\", " ", text, flags=re.S)
    plain = re.sub(r"\s*\n\s*", " ", plain) if "<svg" in text else plain
    plain = plain.replace("&#39;", "'").replace("&amp;", "&")
    plain = names_on_file().sub("·", SKIPPED.sub("·", plain))
    return [plain[max(0, m.start() - 60) : m.end() + 40] for m in ENGLISH.finditer(plain)]


@cache
def planned(number: int) -> Planned:
    assert TODAY is not None
    return make_plan(workshop(), CASES[number], TODAY)


@pytest.mark.parametrize("number", range(len(CASES)))
def test_verdict_card_and_working_hold_no_english(number: int) -> None:
    shop, plan = workshop(), planned(number)
    about = (shop, plan, "2026-11-20", "metric", "de")
    # The table of steps breaks names over lines; the card tells them whole.
    text = re.sub(r"Zustände.*?\n\n", "", rendering.verdict(*about), flags=re.S)
    found = {
        "text": english_in(re.sub(r"\n +", " ", text)),
        "card": english_in(rendering.card(*about, ".svg").decode()),
        "working": english_in(rendering.working(*about, ".md").decode()),
    }
    assert found == {"text": [], "card": [], "working": []}


def test_the_search_finds_what_is_left_in_english() -> None:
    english = rendering.verdict(workshop(), planned(0), "2026-11-20", "metric", "en")
    assert len(english_in(english)) > 20
    assert english_in("erfüllt; raised. [1] shop policy") != []
    assert english_in("[8] plate, 3:1") != []


def test_chances_in_german_hold_no_english() -> None:
    told = likely.chances_text(likely.chances(planned(0), 100), "de")
    assert english_in(told) == []
    assert "Reibung der Teller" in told


def test_weighing_in_german_holds_no_english(capsys: pytest.CaptureFixture[str]) -> None:
    at = ("--vehicle", "harbour-hatch", "--by", "Tavi", "--language", "de")
    loads = ("--load", "leer: 782 ± 3 kg, 521 ± 3 kg", "--load", "nochmal: 840 kg, 521 ± 3 kg")
    main(["weigh", "scales", *at, *loads])
    main(["weigh", "height", *at, "--raised", "rear: 400 mm, 796 kg", "--radii", "305 mm, 305 mm"])
    told = capsys.readouterr().out
    assert english_in(told) == []
    assert "passt nicht: Vorderachse liegt um" in told
    assert all(not english_in(german) for german in WEIGH_DE.values())


def test_a_figure_of_a_weighing_in_the_shops_units() -> None:
    figures = {
        "read": Amount(4448.2216, "N"),
        "low": Amount(0.0, "N"),
        "high": Amount(8896.44, "N"),
    }
    template = "{name}: {read} read, {low} to {high} expected"
    told = said(template, name="total weight", **figures)
    assert told == "total weight: 4448 N read, 0 N to 8896 N expected"
    assert weigh_told(told, "inch") == "total weight: 1000 lbf read, 0 lbf to 2000 lbf expected"
    assert weigh_told(told, "inch", "de") == (
        "Gesamtgewicht: 1000 lbf gelesen, 0 lbf bis 2000 lbf erwartet"
    )
    assert Amount(-0.0194, "m", 0.0011).told(language="de") == "−19 ± 2 mm"


def test_terms_of_checks_are_german() -> None:
    for table in (FIGURES_DE, SOURCES_DE, STEPS_DE):
        assert [g for g in table.values() if english_in(g)] == []
    assert step_word("rear-axle off", "de") == "rear-axle ab"
    assert step_word("Undo the bolts", "de") == "Undo the bolts"
