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
        "not_sold": "nothing on sale would do, as far as its figures are known", "proved": "proved", "gap": "gap {0}", "budget": "within {0}", "wanted": "for {0} of visits",
        "stopped": "stopped at its time limit with nothing proved", "stopped share": "stopped at its time limit: no purchase for that money serves more than {0}",
        "stopped cost": "stopped at its time limit: no purchase below {0} would do", "tie share": "the same share may be had for less",
        "tie cost": "the same cost may serve more", "curve_cut": "Not every choice worth having is shown and proved: more time may bring more.",
        "alone": "alone", "with_shelf": "with its best shelf", "shelf_cost": "shelf costs", "sensitivity": "Which figure matters",
        "with_others": "the shop with one more of it {0} of all visits ({1})", "no_shelf": "with its best shelf: not settled within the time",
        "shelf_adds_nothing": "no adapters on sale would add to that", "no_gain": "No visit more by", "no_figure": "none of the six, changed alone",
        "figure arm reach": "greatest arm reach", "figure least reach": "least arm reach", "figure tooth pitch": "tooth pitch of arm restraint",
        "figure lowest seat": "lowest seat height", "figure rise": "rise", "figure capacity": "rated capacity", "halved": "halved",
        "out_of_reach": "out of reach at any price; at most {0}", "no_answer": "stopped at its time limit without an answer",
        "changes": "Changed from the board before", "change new": "new", "change bay": "bay", "change person": "person", "change start": "start",
        "cut_short": "Cut short by the clock: more time may give a better board.",
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
        "not_sold": "nichts im Angebot hülfe, soweit seine Angaben bekannt sind", "proved": "bewiesen", "gap": "Lücke {0}", "budget": "bis {0}", "wanted": "für {0} der Besuche",
        "stopped": "an der Zeitgrenze abgebrochen, nichts bewiesen", "stopped share": "an der Zeitgrenze abgebrochen: kein Kauf für dieses Geld bedient mehr als {0}",
        "stopped cost": "an der Zeitgrenze abgebrochen: kein Kauf unter {0} genügt", "tie share": "derselbe Anteil ist vielleicht billiger zu haben",
        "tie cost": "dieselben Kosten bedienen vielleicht mehr", "curve_cut": "Nicht jede lohnende Wahl ist gezeigt und bewiesen: mehr Zeit bringt vielleicht mehr.",
        "alone": "allein", "with_shelf": "mit bestem Regal", "shelf_cost": "Regal kostet", "sensitivity": "Welches Maß zählt",
        "with_others": "der Betrieb mit einer weiteren davon {0} aller Besuche ({1})", "no_shelf": "mit bestem Regal: in der Zeit nicht entschieden",
        "shelf_adds_nothing": "kein käuflicher Adapter brächte mehr", "no_gain": "Kein Besuch mehr durch", "no_figure": "keines der sechs, allein geändert",
        "figure arm reach": "größte Reichweite der Arme", "figure least reach": "kleinste Reichweite der Arme", "figure tooth pitch": "Zahnteilung der Armsperre",
        "figure lowest seat": "tiefste Telleraufnahme", "figure rise": "Hub", "figure capacity": "Tragfähigkeit", "halved": "halbiert",
        "out_of_reach": "zu keinem Preis erreichbar; höchstens {0}", "no_answer": "endete an der Zeitgrenze ohne Antwort",
        "changes": "Geändert gegenüber der Tafel davor", "change new": "neu", "change bay": "Platz", "change person": "Person", "change start": "Beginn",
        "cut_short": "Von der Uhr gekürzt: mehr Zeit kann eine bessere Tafel geben.",
        "late": "zu spät", "refused": "Nicht auf der Tafel", "short": "zu wenig {0} {1}: da {2}, nötig {3}", "minutes": "min",
        "board": "Tagestafel", "person": "Person", "job": "Auftrag", "from": "Von", "to": "Bis", "pieces": "Teile",
    },
}  # fmt: skip
