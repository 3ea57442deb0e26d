"""Measure sheets: every figure of the record is asked for, numbered alike in drawing and table."""

from __future__ import annotations

import re

import pytest

from underset.app.entry_fields import ENTRIES
from underset.app.sheets import FORMATS, KINDS, measured_names, sheet
from underset.app.words_entry_de import FIGURES_DE
from underset.app.words_entry_en import FIGURES_EN
from underset.errors import InputError
from underset.records import TABLES


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("language", ["en", "de"])
def test_a_sheet_is_a_pdf(kind: str, language: str) -> None:
    made = sheet(kind, "pdf", language, "Quayside")
    assert made.startswith(b"%PDF-")
    assert made == sheet(kind, "pdf", language, "Quayside")


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize(("language", "words"), [("en", FIGURES_EN), ("de", FIGURES_DE)])
def test_a_page_has_its_words_and_needs_nothing_else(
    kind: str, language: str, words: dict[str, str]
) -> None:
    page = sheet(kind, "html", language, "Quayside <shop>").decode()
    assert f'lang="{language}"' in page
    assert f"<h1>{words[f'sheet.title.{kind}']}</h1>" in page
    assert "Quayside &lt;shop&gt;" in page
    assert not re.search(r'(?:src|href)="|<script|url\(http', page)


@pytest.mark.parametrize("kind", KINDS)
def test_numbers_in_the_drawing_stand_in_the_table(kind: str) -> None:
    page = sheet(kind, "html", "en", "")
    text = page.decode()
    drawing, tables = text.split("</svg>", 1)
    drawn = re.findall(r">(\d+(?:/\d+)?)</text>", drawing)
    numbers = {n for pair in drawn for n in pair.split("/")}
    assert len(numbers) >= 5
    listed = set(re.findall(r"<t[dh][^>]*>(\d+)(?:\s|<)", tables))
    assert numbers <= listed


def test_the_vehicle_sheet_asks_for_every_field_of_the_form() -> None:
    page = sheet("vehicle", "html", "en", "").decode()
    for entry in ENTRIES:
        if entry.name not in ("id", "notes", "points_id", "points_label"):
            assert FIGURES_EN[f"entry.f.{entry.word}"].replace("'", "&#39;") in page, entry.name


def test_sheets_ask_for_every_needed_column_of_the_tables() -> None:
    asked = measured_names()
    for kind, table in (("vehicle", "vehicle"), ("lift", "lift"), ("shelf", "adapter")):
        needed = {c.name for c in TABLES[table] if c.required}
        assert needed - asked[kind] <= {"id", "maker_rated"}


def test_both_languages_have_the_same_figures() -> None:
    assert set(FIGURES_EN) == set(FIGURES_DE)


@pytest.mark.parametrize(("kind", "form"), [("boat", "pdf"), ("lift", "doc"), ("lift", "")])
def test_other_sheets_and_files_are_refused(kind: str, form: str) -> None:
    with pytest.raises(InputError):
        sheet(kind, form, "en", "")


def test_formats_are_pdf_and_page() -> None:
    assert FORMATS == ("pdf", "html")
