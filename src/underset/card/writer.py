"""What every part of a card is written with: figures, words, and the list of sources."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Final

from underset import __version__
from underset.card.figures import Figures
from underset.card.view import StatusView
from underset.card.words import Words
from underset.setting import (
    CHECKS,
    Check,
    StateResult,
    Status,
    note_text,
    place,
    say,
    source_word,
    step_word,
    title,
)

STATUS_KEY: Final = {
    Status.HOLDS: "holds",
    Status.WATCH: "watch",
    Status.NOT_KNOWN: "unknown",
    Status.STOPS: "stops",
}


RANK: Final = {
    s: i for i, s in enumerate((Status.STOPS, Status.NOT_KNOWN, Status.WATCH, Status.HOLDS))
}


def worst_status(statuses: Iterable[Status]) -> Status:
    """Stops before not known before watch before holds."""
    return min(statuses, key=RANK.__getitem__, default=Status.HOLDS)


@dataclass(frozen=True, slots=True)
class Writer:
    """How one card is written: figures, words, and the sources met so far by number."""

    figures: Figures
    words: Words
    sources: dict[str, int] = field(default_factory=dict)

    @property
    def tool(self) -> str:
        """Tool and version."""
        return f"Underset {__version__}"

    def status(self, status: Status) -> StatusView:
        """A status as shown."""
        return StatusView(STATUS_KEY[status], self.words[f"status.{status.value}"])

    def cite(self, sources: tuple[str, ...]) -> str:
        """Numbers of sources, new ones numbered as they are met."""
        told = (source_word(s, self.figures.language) for s in dict.fromkeys(sources))
        numbers = [self.sources.setdefault(s, len(self.sources) + 1) for s in told]
        return f"[{', '.join(map(str, numbers))}]" if numbers else ""

    def title(self, name: str) -> str:
        """A check's title; a name that is not in the catalogue stands for itself."""
        return title(name, self.figures.language) if name in CHECKS else name

    def head(self, check: Check) -> str:
        """A check's title with its place."""
        where, title = self.where(check), self.title(check.name)
        return f"{title} ({where})" if where else title

    def where(self, check: Check) -> str:
        """Where a check looked, in words."""
        return place(check, self.figures.language)

    def note(self, check: Check) -> str:
        """Why a check stands as it does."""
        return note_text(check, self.figures.language)

    def step(self, state: StateResult) -> str:
        """A state's name: what the step before it did. What a person named stays as it is."""
        return step_word(state.label or state.name, self.figures.language)

    def say(self, check: Check) -> str:
        """A check in a whole sentence."""
        return say(check, self.figures.units, self.figures.language)

    def detail(self, check: Check) -> str:
        """The sentence without its head, for lines that show the head apart."""
        return self.say(check).removeprefix(f"{self.head(check)}: ")
