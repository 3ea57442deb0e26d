"""How to measure or find what is missing, by the key of what the judge misses."""

from __future__ import annotations

from typing import Final

HOW_EN: Final[dict[str, str]] = {
    "axles": "Drive each axle onto level scales, tank and load as they are now, nobody in it.",
    "corners": "Read four wheel scales on a level floor; write down the state of the vehicle.",
    "height": "Raise one axle by 600 mm or more in three steps, up and down, on a scale at the "
    "other (ISO 10392).",
    "part": "Weigh the part, or read its mass from the maker's sheet; measure where its middle is.",
    "points": "Plumb line from each lifting point to the floor, tape from the front axle and the "
    "middle line.",
    "carriages": "Measure both seats over a level floor with the lift at working height, laden.",
    "stiffness": "Dial gauge under each arm's end while a known load is put on it.",
    "tape": "Tape measure on the level floor, vehicle at ride height.",
    "droop": "Tape from hub to wheel arch, at ride height and hanging: the difference.",
    "under": "Look underneath: outline in plan and height of all that hangs below the sills.",
    "doors": "Tape: hinge, length of the leaf, greatest opening of each door.",
    "flange": "Caliper on the flange at each point: thickness and depth.",
    "head": "Caliper on the face of the head; look for edges or lugs that stand up from it.",
    "arms": "Tape along each arm: half width, top and bottom against the seat, from its tip.",
    "parked": "Angle gauge at each arm in its parked place, from straight inward.",
    "teeth": "Set one arm and read its swing with an angle gauge: any tooth tells.",
    "pitch": "Count the teeth over a quarter turn of the gear, or read the lift maker's sheet.",
    "plate": "The lift's plate and instructions.",
    "papers": "Look in the shop's papers; if nothing is there, have it examined.",
    "adapter": "Have the piece inspected and write the day into its record.",
    "source": "Compare the points with the vehicle maker's current sheet and date the source.",
    "maker": "The vehicle maker's service information for this exact model.",
    "ask": "Ask and look at the vehicle, and write the answer down.",
    "person": "Name the person who lifts.",
    "bay": "Tape measure in the bay.",
}

HOW_DE: Final[dict[str, str]] = {
    "axles": "Jede Achse auf eine ebene Waage fahren, Tank und Ladung wie jetzt, niemand darin.",
    "corners": "Vier Radwaagen auf ebenem Boden ablesen; Zustand des Fahrzeugs aufschreiben.",
    "height": "Eine Achse in drei Stufen um 600 mm oder mehr anheben, auf und ab, Waage an der "
    "anderen (ISO 10392).",
    "part": "Das Teil wiegen oder seine Masse dem Blatt des Herstellers entnehmen; Mitte messen.",
    "points": "Lot von jedem Hebepunkt zum Boden, Bandmaß von Vorderachse und Mittellinie.",
    "carriages": "Beide Telleraufnahmen über ebenem Boden messen, Bühne in Arbeitshöhe, beladen.",
    "stiffness": "Messuhr unter jedem Armende, während eine bekannte Last darauf kommt.",
    "tape": "Bandmaß auf ebenem Boden, Fahrzeug in Fahrhöhe.",
    "droop": "Bandmaß von Nabe zu Radlauf, in Fahrhöhe und hängend: der Unterschied.",
    "under": "Von unten ansehen: Umriss und Höhe von allem, was unter die Schweller hängt.",
    "doors": "Bandmaß: Scharnier, Länge des Blatts, größte Öffnung jeder Tür.",
    "flange": "Messschieber am Falz jedes Punkts: Dicke und Tiefe.",
    "head": "Messschieber an der Auflage des Kopfs; nach Rändern oder Nocken sehen.",
    "arms": "Bandmaß an jedem Arm: halbe Breite, Ober- und Unterkante gegen die Telleraufnahme.",
    "parked": "Winkelmesser an jedem Arm in Ruhestellung, von gerade einwärts.",
    "teeth": "Einen Arm setzen, seinen Schwenkwinkel messen: jeder Zahn genügt.",
    "pitch": "Zähne über eine Viertelumdrehung zählen, oder Blatt des Bühnenherstellers.",
    "plate": "Schild und Anleitung der Hebebühne.",
    "papers": "In den Papieren der Werkstatt nachsehen; ist nichts da, prüfen lassen.",
    "adapter": "Das Stück prüfen lassen und den Tag eintragen.",
    "source": "Die Punkte mit dem Blatt des Fahrzeugherstellers vergleichen, Datum eintragen.",
    "maker": "Serviceinformation des Fahrzeugherstellers für genau dieses Modell.",
    "ask": "Am Fahrzeug fragen und nachsehen, Antwort aufschreiben.",
    "person": "Sagen, wer hebt.",
    "bay": "Bandmaß am Platz.",
}
