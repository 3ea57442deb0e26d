"""Words of the pages, German. Each page module adds its own below its heading."""

from __future__ import annotations

from typing import Final

WORDS_DE: Final[dict[str, str]] = {
    # frame
    "product": "Underset",
    "today": "Heute",
    "vehicles": "Fahrzeuge",
    "jobs": "Arbeiten",
    "lifts": "Bühnen",
    "shelf": "Regal",
    "people": "Personen",
    "book": "Buch",
    "coverage": "Abdeckung",
    "day": "Tagestafel",
    "settings": "Einstellungen",
    "menu": "Menü",
    "skip": "Zum Inhalt",
    "invented": "Erfundene Beispieldaten: nicht verwenden",
    "advice": "Dieses Werkzeug rät. Es entscheiden die Angaben des Fahrzeugherstellers, die Anleitung der Bühne, das örtliche Recht und eine befähigte Person. Kein Ergebnis ist eine Erlaubnis.",
    "signed_in": "Angemeldet:",
    "nobody": "niemand genannt",
    "refused": "Nicht ausgeführt",
    "back": "Zurück zu heute",
    "received": "Erhalten",
    "allowed": "Zulässig",
    "remedy": "Was zu tun ist",
    # today
    "today.plan": "Heben planen",
    "today.vehicle": "Fahrzeug",
    "today.job": "Arbeit",
    "today.no_job": "nur heben",
    "today.bays": "Stände",
    "today.in_service": "in Betrieb",
    "today.out": "außer Betrieb",
    "today.defect": "Mangel gemeldet",
    "today.examined": "geprüft",
    "today.not_on_file": "nicht vermerkt",
    "today.rated": "Tragfähigkeit",
    "today.go": "Stände zeigen",
}  # fmt: skip
