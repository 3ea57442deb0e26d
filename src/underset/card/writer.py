"""What every part of a card is written with: figures, words, and the list of sources."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Final

from underset.card.figures import Figures
from underset.card.view import StatusView
from underset.card.words import Words
from underset.setting.result import Check, Status

try:
    from underset.setting.wording import say
except ImportError:  # until the sentences are there

    def say(check: Check, units: str, language: str) -> str:
        f = Figures(units, language)
        shown = f.in_kind(check.demand, check.unit)
        limit = f.in_kind(check.limit, check.unit)
        return f"{check.name} {check.where}: {shown} against {limit}"

STATUS_KEY: Final = {
    Status.HOLDS: "holds",
    Status.WATCH: "watch",
    Status.NOT_KNOWN: "unknown",
    Status.STOPS: "stops",
}


@dataclass(frozen=True, slots=True)
class Writer:
    """How one card is written: figures, words, and the sources met so far by number."""

    figures: Figures
    words: Words
    sources: dict[str, int] = field(default_factory=dict)

    def status(self, status: Status) -> StatusView:
        """A status as shown."""
        return StatusView(STATUS_KEY[status], self.words[f"status.{status.value}"])

    def cite(self, sources: tuple[str, ...]) -> str:
        """Numbers of sources, new ones numbered as they are met."""
        numbers = [self.sources.setdefault(s, len(self.sources) + 1) for s in dict.fromkeys(sources)]
        return f"[{', '.join(map(str, numbers))}]" if numbers else ""

    def say(self, check: Check) -> str:
        """A check in a sentence."""
        return say(check, self.figures.units, self.figures.language)
