"""English and German hold the same words, all of them used, none missing."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import underset.card
from underset.card.cautions import KEYS
from underset.card.view import Titles
from underset.card.words import LANGUAGES, words_in
from underset.card.words_de import WORDS as GERMAN
from underset.card.words_en import WORDS as ENGLISH
from underset.errors import InputError, InternalError
from underset.setting.catalogue import GROUPS
from underset.setting.result import CORNERS, Outcome, Status

SOURCES = [p.read_text("utf-8") for p in Path(underset.card.__file__).parent.glob("*.py")]


def test_both_languages_hold_the_same_keys() -> None:
    assert sorted(ENGLISH) == sorted(GERMAN)


@pytest.mark.parametrize("key", sorted(ENGLISH))
def test_both_languages_fill_the_same_places(key: str) -> None:
    assert places(ENGLISH[key]) == places(GERMAN[key])
    assert ENGLISH[key].strip() == ENGLISH[key] != ""
    assert GERMAN[key].strip() == GERMAN[key] != ""


def test_status_words_of_one_language_differ_by_more_than_two_letters() -> None:
    for language in LANGUAGES:
        words = [words_in(language)[f"status.{s.value}"] for s in Status]
        pairs = [(a, b) for a in words for b in words if a < b]
        assert all(distance(a, b) > 2 for a, b in pairs), words


def test_every_key_is_used_somewhere() -> None:
    text = "\n".join(s for s in SOURCES if "WORDS: Final" not in s)
    unused = [key for key in ENGLISH if not is_used(key, text)]
    assert unused == []


def test_families_of_keys_are_complete() -> None:
    wanted = [f"titles.{n}" for n in Titles.__dataclass_fields__]
    wanted += [f"caution.{key}" for key in KEYS]
    wanted += [f"group.{g}" for g in GROUPS]
    wanted += [f"status.{s.value}" for s in Status]
    wanted += [f"outcome.{o.value}" for o in Outcome]
    wanted += [f"corner.{c}" for c in CORNERS]
    assert [key for key in wanted if key not in ENGLISH] == []


def test_an_unknown_language_is_refused_with_the_known_ones() -> None:
    with pytest.raises(InputError, match="en, de"):
        words_in("xx")


def test_a_missing_word_is_our_own_slip() -> None:
    with pytest.raises(InternalError, match=r"no\.such"):
        words_in("en")["no.such"]


def test_a_term_that_is_not_in_the_catalogue_stands_for_itself() -> None:
    assert words_in("de").named("contact", "pinch weld") == "Schwellerfalz"
    assert words_in("de").named("contact", "rail of our own") == "rail of our own"


FAMILIES = (
    "contact", "zone", "support", "heading", "arm", "titles", "caution", "group", "status",
)  # fmt: skip


def is_used(key: str, text: str) -> bool:
    family, _, rest = key.partition(".")
    if family in (*FAMILIES, "outcome") or (family == "corner" and rest in CORNERS):
        return f'"{family}"' in text or f'f"{family}.{{' in text
    stem = re.sub(r"\.(one|many)$", "", key)
    short = stem.removeprefix("work.").removeprefix("draw.")
    parts = (f'"{stem}"', f"'{stem}'", f'"{short}"')
    return f'"{key}"' in text or any(part in text for part in parts) or is_told(stem, text)


def is_told(stem: str, text: str) -> bool:
    """Titles and descriptions of figures are put together from the figure's name."""
    return f'"{stem.removeprefix("draw.").removesuffix(".told")}"' in text


def places(words: str) -> list[str]:
    return sorted(re.findall(r"{(\w+)}", words))


def distance(a: str, b: str) -> int:
    """Levenshtein distance."""
    row = list(range(len(b) + 1))
    for i, x in enumerate(a, start=1):
        last, row[0] = row[0], i
        for j, y in enumerate(b, start=1):
            last, row[j] = row[j], min(row[j] + 1, row[j - 1] + 1, last + (x != y))
    return row[-1]
