"""Sentences that refuse or doubt a figure, in the language of whoever reads them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from underset.app.words_sentences_de import SENTENCES_DE
from underset.errors import InputError, Said
from underset.records import Complaint

_TABLES: Final[Mapping[str, Mapping[str, str]]] = {"de": SENTENCES_DE}
_LINES: Final = {
    "en": "{where}: received “{got}”; {allowed}. {more}",
    "de": "{where}: erhalten „{got}“; {allowed}. {more}",
}
_LIKELY: Final = {"en": "Likely", "de": "Vermutlich"}


def worded(text: str, language: str) -> str:
    """A sentence in a language; what has no words there stays as it is: names, codes, figures."""
    table = _TABLES.get(language, {})
    if not isinstance(text, Said):
        return table.get(text, text)
    figures = {k: worded(v, language) if isinstance(v, str) else v for k, v in text.figures.items()}
    return table.get(text.template, text.template).format(**figures)


def worded_error(error: InputError, language: str) -> InputError:
    """The same error, worded."""
    value = worded(error.value, language) if isinstance(error.value, str) else error.value
    allowed, remedy = worded(error.allowed, language), worded(error.remedy, language)
    return InputError(error.field, value, allowed, remedy, place=error.place)


def refused(error: InputError, language: str) -> str:
    """An error as one line of a page."""
    e = worded_error(error, language)
    return (
        _LINES[language]
        .format(where=e.field, got=e.value, allowed=e.allowed, more=e.remedy)
        .rstrip()
    )


def worded_complaint(c: Complaint, language: str) -> Complaint:
    """The same complaint, worded."""
    value, looks, slip, remedy = (
        worded(text, language) for text in (c.value, c.looks, c.slip, c.remedy)
    )
    return Complaint(c.field, value, looks, slip, remedy, c.source, c.place)


def doubted(c: Complaint, language: str) -> str:
    """A complaint as one line of a page."""
    told = worded_complaint(c, language)
    slip = f" {_LIKELY[language]}: {told.slip}." if told.slip else ""
    return f"{told.field} = {told.value}: {told.looks}.{slip} {told.remedy}".rstrip()


__all__ = ["doubted", "refused", "worded", "worded_complaint", "worded_error"]
