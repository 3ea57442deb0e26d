"""Words of the studies' tables and pictures by language."""

from __future__ import annotations

from typing import Final

WORDS: Final[dict[str, dict[str, str]]] = {
    "en": {
        "vehicle": "Vehicle", "bay": "Bay", "visits": "visits a year", "outcome": "outcome",
        "holds": "takes it", "watch": "takes it, watch", "none": "no", "incomplete": "not known", "limit": "search stopped",
        "served": "{0} of {1} vehicles can be lifted", "share": "{0} of all visits", "by_bay": "{0}: {1} of {2} vehicles",
        "reasons": "Why not, and what would change it", "least": "least margin", "then": "What would do:",
        "invented": "Invented sample data: not for use.", "advice": "Advice only; people decide. No verdict is a permission.",
        "cost": "cost", "bought": "Buy", "nothing": "nothing to buy", "unserved": "Still not served", "lacks": "lacks",
        "not_sold": "no way at any price", "proved": "proved", "gap": "gap {0}", "budget": "within {0}", "wanted": "for {0} of visits",
        "alone": "alone", "with_shelf": "with its best shelf", "shelf_cost": "shelf costs", "sensitivity": "Which figure matters",
        "late": "late", "refused": "Not on the board", "short": "short of {0} {1}: have {2}, want {3}", "minutes": "min",
        "board": "Day board", "person": "Person", "job": "Job", "from": "From", "to": "To", "pieces": "Pieces",
    },
    "de": {
        "vehicle": "Fahrzeug", "bay": "Platz", "visits": "Besuche im Jahr", "outcome": "Ergebnis",
        "holds": "nimmt es auf", "watch": "nimmt es auf, beachten", "none": "nein", "incomplete": "nicht bekannt", "limit": "Suche abgebrochen",
        "served": "{0} von {1} Fahrzeugen können gehoben werden", "share": "{0} aller Besuche", "by_bay": "{0}: {1} von {2} Fahrzeugen",
        "reasons": "Warum nicht, und was es ändern würde", "least": "kleinster Abstand", "then": "Was hülfe:",
        "invented": "Erfundene Beispieldaten: nicht verwenden.", "advice": "Nur Rat; Menschen entscheiden. Kein Ergebnis ist eine Erlaubnis.",
        "cost": "Kosten", "bought": "Kaufen", "nothing": "nichts zu kaufen", "unserved": "Weiter nicht bedient", "lacks": "es fehlt",
        "not_sold": "zu keinem Preis", "proved": "bewiesen", "gap": "Lücke {0}", "budget": "bis {0}", "wanted": "für {0} der Besuche",
        "alone": "allein", "with_shelf": "mit bestem Regal", "shelf_cost": "Regal kostet", "sensitivity": "Welches Maß zählt",
        "late": "zu spät", "refused": "Nicht auf der Tafel", "short": "zu wenig {0} {1}: da {2}, nötig {3}", "minutes": "min",
        "board": "Tagestafel", "person": "Person", "job": "Auftrag", "from": "Von", "to": "Bis", "pieces": "Teile",
    },
}  # fmt: skip
