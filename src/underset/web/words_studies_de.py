"""Words of the coverage and day pages, German."""

from __future__ import annotations

from typing import Final

STUDIES_DE: Final[dict[str, str]] = {
    "coverage.title": "Abdeckung: welcher Platz nimmt welches Fahrzeug",
    "coverage.vehicle": "Fahrzeug",
    "coverage.visits": "Besuche im Jahr",
    "coverage.card": "Karte",
    "coverage.holds": "nimmt es auf",
    "coverage.watch": "nimmt es auf, beachten",
    "coverage.none": "nein",
    "coverage.incomplete": "nicht bekannt",
    "coverage.limit": "Suche abgebrochen",
    "coverage.margin": "kleinster Abstand {margin}",
    "coverage.served": "{served} von {all} Fahrzeugen können hier gehoben werden.",
    "coverage.share": "Das sind {share} aller Besuche.",
    "day.title": "Tagestafel",
    "day.from": "Von",
    "day.to": "Bis",
    "day.bay": "Platz",
    "day.job": "Auftrag",
    "day.person": "Person",
    "day.pieces": "Teile",
    "day.late": "Zu spät",
    "day.refused": "Nicht auf der Tafel",
    "day.nothing": "Kein Auftrag steht auf der Tafel.",
}  # fmt: skip
