"""Words of the card in the reader's language."""

from __future__ import annotations

from dataclasses import dataclass
from importlib import import_module
from typing import Final, cast

from underset.errors import InputError, InternalError

LANGUAGES: Final = ("en", "de")


@dataclass(frozen=True, slots=True)
class Words:
    """The catalogue of one language: `words["key"]` is a text, `words.fill` one with figures."""

    language: str
    _texts: dict[str, str]

    def __getitem__(self, key: str) -> str:
        if key not in self._texts:
            raise InternalError(f"No {self.language} words for {key!r}.")
        return self._texts[key]

    def fill(self, key: str, **figures: object) -> str:
        """A text with its places filled in."""
        return self[key].format(**figures)

    def count(self, key: str, number: int, **figures: object) -> str:
        """A text in the singular (`key.one`) or plural (`key.many`) with its number as {n}."""
        return self.fill(f"{key}.one" if number == 1 else f"{key}.many", n=number, **figures)

    def named(self, group: str, name: str) -> str:
        """The word for a record's term, or the term itself when it is not in the catalogue."""
        return self._texts.get(f"{group}.{name}", name)


_LOADED: dict[str, Words] = {}


def words_in(language: str) -> Words:
    """The catalogue of a language; raises InputError for one that is not there."""
    if language not in LANGUAGES:
        raise InputError("language", language, f"languages are {', '.join(LANGUAGES)}")
    if language not in _LOADED:
        module = import_module(f"underset.card.words_{language}")
        _LOADED[language] = Words(language, cast("dict[str, str]", module.WORDS))
    return _LOADED[language]
