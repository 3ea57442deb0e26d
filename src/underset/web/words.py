"""Words of the pages by language: complete catalogues, read by key."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from underset.app.words_entry_de import FIGURES_DE
from underset.app.words_entry_en import FIGURES_EN
from underset.web.words_de import WORDS_DE
from underset.web.words_en import WORDS_EN
from underset.web.words_entry_de import ENTRY_DE
from underset.web.words_entry_en import ENTRY_EN
from underset.web.words_studies_de import STUDIES_DE
from underset.web.words_studies_en import STUDIES_EN

LANGUAGES = ("en", "de")


class Words(Mapping[str, str]):
    """The catalogue of one language."""

    def __init__(self, language: str, table: Mapping[str, str]) -> None:
        self.language, self._table = language, table

    def __getitem__(self, key: str) -> str:
        return self._table[key]

    def __iter__(self) -> Iterator[str]:
        return iter(self._table)

    def __len__(self) -> int:
        return len(self._table)

    def fill(self, key: str, **figures: object) -> str:
        """A text with figures in it."""
        return self._table[key].format(**figures)


_ALL = {
    "en": Words("en", WORDS_EN | ENTRY_EN | FIGURES_EN | STUDIES_EN),
    "de": Words("de", WORDS_DE | ENTRY_DE | FIGURES_DE | STUDIES_DE),
}


def words_in(language: str) -> Words:
    """The catalogue of a language; English for one that is not there."""
    return _ALL.get(language, _ALL["en"])
