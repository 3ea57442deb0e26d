"""Words of the hold points: (title, text) by key, and labels of their facts, English and German.

Where a text rests on published guidance the source stands beside it.
"""

from __future__ import annotations

from typing import Final

Words = dict[str, tuple[str, str]]

HOLD_EN: Final[Words] = {
    "bay-clear": (
        "Bay clear",
        "Floor under the lift dry and free, nobody in the bay who is not needed, arms at "
        "their parked places, nothing above the vehicle.",
    ),
    # VBG sheet 156: function test before the day's work.
    "daily-check": (
        "Daily check of the lift",
        "Lift up and down once empty, both carriages together. Restraints, pads, ropes, "
        "floor anchors looked at. A fault found: tag the lift out.",
    ),
    # DGUV Regel 109-009, 4.8.1: off-centre entry, uneven payload, wrong points, air suspension.
    "intake": (
        "Questions at the vehicle",
        "Ask, look and write down. A question that nobody answered is not known, and the "
        "vehicle stays on its tyres until it is.",
    ),
    "stopped": (
        "Vehicle stopped at its spot",
        "Measure with the tape from the mark to the middle of the front axle. Outside the "
        "window: move the vehicle, or measure the stop and plan as parked.",
    ),
    "order": (
        "Order of the arms",
        "On this side the arms pass each other one way round only.",
    ),
    "order-none": (
        "Arms of one side",
        "No order was found in which the arms of this side pass each other. Bring them in "
        "together, slowly, looking from floor level.",
    ),
    "sighted": (
        "Arm under its point",
        "Look from floor level: pad square below the point, stack and screw as listed, "
        "nothing between pad and metal.",
    ),
    "level": (
        "Pads level",
        "All four pads at one height before they touch: turn the screws, not the vehicle.",
    ),
    # DGUV Information 208-040, section 5.7: arm locks checked when the pads reach the vehicle.
    "restraints": (
        "All four restraints in mesh",
        "Pull at each arm both ways: no arm swings. One restraint that does not hold: down, "
        "no lift.",
    ),
    "touch": (
        "Touch",
        "Raise until the pads touch. All four touch together; the points stand on the inner "
        "part of their pads. Look at each one.",
    ),
    # A vehicle maker's manual: four tyres just clear, then push the body both ways before going on.
    "tyres-off": (
        "Tyres a hand's breadth off",
        "All four pads firm: none turns by hand. Push at both ends. One pad loose, or the "
        "vehicle rocks: down again, and begin anew from the arms.",
    ),
    # Guidance of an insurer of the trade (UK, 2013) names about 1 m; other sources 0.3 m.
    "about-1m": (
        "About one metre: look again",
        "Pads where they were, no arm has moved, nothing rests against the body, both "
        "carriages level. Rock once more.",
    ),
    "locks": (
        "Set down on the locks",
        "At working height lower until both carriages rest on their mechanical locks. "
        "Nobody goes under before.",
    ),
    "part-off": (
        "Before the part comes off",
        "Compare with the figures of the step after. Support the {opposite}, secure the "
        "{same} to its arms. The lift does not move from here on without a fresh check.",
    ),
    "part-off-middle": (
        "Before the part comes off",
        "Compare with the figures of the step after. It comes off near the middle: watch "
        "all four pads. The lift does not move from here on without a fresh check.",
    ),
    "table-up": (
        "Table or jack pushes up",
        "Only as far as the part is borne. Every newton above that comes off the pads: stop "
        "before the figure at which a pad goes empty.",
    ),
    "stand-set": (
        "Support stand set",
        "Set the stand at its place, preload as listed, then look at all four pads again. "
        "The lift does not move while it stands.",
    ),
    "fresh-check": (
        "Fresh check before the lift moves",
        "Parts are off. Look at all four pads and restraints as at the first lift, and "
        "compare with the figures of this step.",
    ),
    "before-lowering": (
        "Before lowering",
        "Everything from under the vehicle, tools out, doors shut, nobody near. Raise off "
        "the locks, then down; watch feet and hoses.",
    ),
    "arms-out": (
        "Arms out",
        "Tyres on the floor, pads free on all four. Arms pulled in and swung to their "
        "parked places before the vehicle moves.",
    ),
}

HOLD_DE: Final[Words] = {
    "bay-clear": (
        "Platz frei",
        "Boden unter der Hebebühne trocken und frei, niemand am Platz, der nicht gebraucht "
        "wird, Arme in Ruhestellung, nichts über dem Fahrzeug.",
    ),
    "daily-check": (
        "Tägliche Prüfung der Hebebühne",
        "Einmal leer auf und ab, beide Hubwagen gemeinsam. Armarretierungen, Teller, Seile, "
        "Anker angesehen. Mangel gefunden: Bühne sperren.",
    ),
    "intake": (
        "Fragen am Fahrzeug",
        "Fragen, nachsehen, aufschreiben. Was niemand beantwortet hat, ist nicht bekannt; "
        "bis dahin bleibt das Fahrzeug auf den Rädern.",
    ),
    "stopped": (
        "Fahrzeug steht an seiner Stelle",
        "Mit dem Bandmaß von der Marke zur Mitte der Vorderachse messen. Außerhalb des "
        "Bereichs: umstellen, oder den Stand messen und neu planen.",
    ),
    "order": (
        "Reihenfolge der Arme",
        "Auf dieser Seite kommen die Arme nur so aneinander vorbei.",
    ),
    "order-none": (
        "Arme einer Seite",
        "Es wurde keine Reihenfolge gefunden, in der die Arme dieser Seite aneinander "
        "vorbeikommen. Gemeinsam und langsam einschwenken, vom Boden aus sehen.",
    ),
    "sighted": (
        "Arm unter seinem Punkt",
        "Vom Boden aus sehen: Teller gerade unter dem Punkt, Aufbau und Spindel wie "
        "angegeben, nichts zwischen Teller und Blech.",
    ),
    "level": (
        "Teller auf einer Höhe",
        "Alle vier Teller auf gleicher Höhe, bevor sie anliegen: an den Spindeln drehen.",
    ),
    "restraints": (
        "Alle vier Armarretierungen eingerastet",
        "An jedem Arm in beide Richtungen ziehen: keiner schwenkt. Hält eine nicht: "
        "ablassen, nicht heben.",
    ),
    "touch": (
        "Anlegen",
        "Heben, bis die Teller anliegen. Alle vier zugleich; die Punkte stehen auf dem "
        "inneren Teil ihrer Teller. Jeden ansehen.",
    ),
    "tyres-off": (
        "Räder eine Handbreit frei",
        "Alle vier Teller fest: keiner lässt sich von Hand drehen. An beiden Enden drücken. "
        "Ein Teller lose oder das Fahrzeug wippt: ablassen und bei den Armen neu beginnen.",
    ),
    "about-1m": (
        "Etwa ein Meter: nochmals sehen",
        "Teller, wo sie waren, kein Arm gewandert, nichts liegt an, beide Hubwagen gleich "
        "hoch. Noch einmal rütteln.",
    ),
    "locks": (
        "Auf die Rasten absetzen",
        "In Arbeitshöhe ablassen, bis beide Hubwagen auf ihren mechanischen Rasten stehen. "
        "Vorher geht niemand darunter.",
    ),
    "part-off": (
        "Bevor das Teil abkommt",
        "Mit den Zahlen danach vergleichen. Das {opposite} abstützen, das {same} an seinen "
        "Armen sichern. Die Bühne bewegt sich ab hier nicht ohne neue Prüfung.",
    ),
    "part-off-middle": (
        "Bevor das Teil abkommt",
        "Mit den Zahlen danach vergleichen. Es kommt nahe der Mitte ab: alle vier Teller "
        "beobachten. Die Bühne bewegt sich ab hier nicht ohne neue Prüfung.",
    ),
    "table-up": (
        "Tisch oder Heber drückt",
        "Nur so weit, bis das Teil getragen ist. Jedes Newton mehr fehlt den Tellern: vor "
        "der Zahl aufhören, bei der ein Teller leer wird.",
    ),
    "stand-set": (
        "Stütze gesetzt",
        "Stütze an ihre Stelle setzen, Vorlast wie angegeben, dann alle vier Teller "
        "nochmals ansehen. Die Bühne bewegt sich nicht, solange sie steht.",
    ),
    "fresh-check": (
        "Neue Prüfung, bevor sich die Bühne bewegt",
        "Teile sind ab. Alle vier Teller und Armarretierungen ansehen wie beim ersten Heben "
        "und mit den Zahlen dieses Schrittes vergleichen.",
    ),
    "before-lowering": (
        "Vor dem Ablassen",
        "Alles unter dem Fahrzeug weg, Werkzeug heraus, Türen zu, niemand in der Nähe. Aus "
        "den Rasten heben, dann ablassen; auf Füße und Schläuche achten.",
    ),
    "arms-out": (
        "Arme heraus",
        "Räder am Boden, alle vier Teller frei. Arme einfahren und in Ruhestellung "
        "schwenken, bevor das Fahrzeug fährt.",
    ),
}

LABELS_DE: Final[dict[str, str]] = {
    "all round": "ringsum",
    "approach": "Einfahrt",
    "nose-in": "vorwärts",
    "tail-in": "rückwärts",
    "last examined": "zuletzt geprüft",
    "checked today": "heute geprüft",
    "front axle past": "Vorderachse hinter",
    "front axle short of": "Vorderachse vor",
    "least": "mindestens",
    "greatest": "höchstens",
    "at most short of it": "höchstens davor",
    "at most past it": "höchstens dahinter",
    "sideways": "seitlich",
    "askew": "schräg",
    "first": "zuerst",
    "then": "danach",
    "arm": "Arm",
    "tooth": "Zahn",
    "swing": "Schwenkwinkel",
    "reach": "Auszug",
    "stack": "Aufbau",
    "screw out": "Spindel heraus",
    "turns": "Umdrehungen",
    "contact": "Auflage",
    "pad ahead of point": "Teller vor dem Punkt",
    "pad behind point": "Teller hinter dem Punkt",
    "pad left of point": "Teller links vom Punkt",
    "pad right of point": "Teller rechts vom Punkt",
    "each pad within": "jeder Teller auf",
    "one pad this far off lifts another clear": "so viel an einem Teller hebt einen anderen ab",
    "seat height": "Telleraufnahme auf",
    "load": "Last",
    "least load": "kleinste Last",
    "part": "Teil",
    "least pad now": "kleinste Tellerlast jetzt",
    "least pad after": "kleinste Tellerlast danach",
    "on the front pads now": "auf den vorderen Tellern jetzt",
    "on the front pads after": "auf den vorderen Tellern danach",
    "CG to the nearest edge after": "Schwerpunkt zum nächsten Rand danach",
    "push in use": "Druck",
    "push that empties a pad": "Druck, der einen Teller leert",
    "preload": "Vorlast",
    "aft of the front axle": "hinter der Vorderachse",
    "left of the middle": "links der Mitte",
    "right of the middle": "rechts der Mitte",
    "off since the lift": "ab seit dem Heben",
    "rust at points": "Rost an den Punkten",
    "repair at points": "Reparatur an den Punkten",
    "hidden payload": "verborgene Ladung",
    "person in vehicle": "Person im Fahrzeug",
    "air suspension in lift mode": "Luftfederung im Hebemodus",
    "entered straight": "gerade eingefahren",
    "yes": "ja",
    "no": "nein",
    "not asked": "nicht gefragt",
    "not fitted": "nicht eingebaut",
    "not known": "nicht bekannt",
}

PLACES: Final = {
    "en": {"front": "front end", "rear": "rear end"},
    "de": {"front": "vordere Ende", "rear": "hintere Ende"},
}
ARMS: Final = {
    "en": {
        "left_front": "left front",
        "right_front": "right front",
        "left_rear": "left rear",
        "right_rear": "right rear",
    },
    "de": {
        "left_front": "vorn links",
        "right_front": "vorn rechts",
        "left_rear": "hinten links",
        "right_rear": "hinten rechts",
    },
}
