"""German of what stands inside checks: places, steps, sources, names of figures and their values.

Results keep their English; a term without words here stands for itself (names on file, titles).
"""

from __future__ import annotations

import re
from typing import Final

PLACES_DE: Final = {
    "front": "vorn", "rear": "hinten",
    "ahead": "davor", "behind": "dahinter", "left": "links", "right": "rechts",
}  # fmt: skip

STEPS_DE: Final = {
    "as it stands": "wie es steht",
    "raised": "gehoben",
    "lowered": "abgelassen",
    "… off": "… ab",
    "… on": "… an",
    "… added": "… eingeladen",
    "… moved": "… verschoben",
    "… removed": "… ausgeladen",
    "… open": "… offen",
    "… closed": "… geschlossen",
    "… set": "… gesetzt",
    "… away": "… weg",
}

ANSWERS_DE: Final = {
    "yes": "ja", "no": "nein", "not asked": "nicht gefragt", "not fitted": "nicht verbaut",
}  # fmt: skip

# Titles of published sheets and articles stay as they were printed.
SOURCES_DE: Final = {
    "shop policy": "Betriebsregel",
    "common practice, no source": "übliche Praxis, ohne Quelle",
    "the lift's plate and instructions": "Typenschild und Anleitung der Bühne",
    "the vehicle maker's lifting information": "Hebeangaben des Fahrzeugherstellers",
    "the adapter's marking": "Kennzeichnung des Adapters",
    "vehicle makers' manuals, pads clear of the traction battery": "Handbücher der "
    "Fahrzeughersteller, Teller frei von der Antriebsbatterie",
    "Quebec sector body on two-post lifts, structure sound at the points": "Branchenverband in "
    "Québec zu Zwei-Säulen-Hebebühnen, tragfähige Stellen an den Punkten",
    "HSE SIM 03/2010/2, arm locks on two-post lifts": "HSE SIM 03/2010/2, Armarretierungen von "
    "Zwei-Säulen-Hebebühnen",
    "Equal springs under a rigid body (Euler 1773), doi 10.4236/am.2015.63055": "Gleiche Federn "
    "unter einem starren Körper (Euler 1773), doi 10.4236/am.2015.63055",
    "Equilibrium of a rigid body, statics handbooks": "Gleichgewicht des starren Körpers, "
    "Handbücher der Statik",
    "CCOHS push and pull force table (after Eastman Kodak 1986), standing, whole body": "CCOHS, "
    "Tafel der Schub- und Zugkräfte (nach Eastman Kodak 1986), stehend, mit ganzem Körper",
    "Engineering guide, friction Table 7.21; VDI 2700-15 practice pages, steel/steel greased, "
    "anti-slip rubber": "Ingenieurhandbuch, Reibung, Tafel 7.21; Praxisblätter zu VDI 2700-15, "
    "Stahl auf Stahl geschmiert, Antirutschgummi",
    "Burlet-Vienney et al., Safety 2022, 8(3), 58, abstract": "Burlet-Vienney et al., Safety 2022, "
    "8(3), 58, Kurzfassung",
}
_PARTS_DE: Final = (
    (re.compile(r", section (?=\d)"), ", Abschnitt "),
    (re.compile(r" \(from memory, not seen\)"), " (aus dem Gedächtnis, nicht eingesehen)"),
    (re.compile(r"^plate(?=$|, )"), "Typenschild"),
    (re.compile(r"^prior: "), "Schätzung: "),
    (re.compile(r"^maker's document(?=: |$)"), "Herstellerunterlage"),
    (re.compile(r"^weighed here(?=: |$)"), "hier gewogen"),
    (re.compile(r"^measured here(?=: |$)"), "hier gemessen"),
    (re.compile(r"^published(?=: |$)"), "veröffentlicht"),
    (re.compile(r"^estimate(?=: |$)"), "Schätzung"),
    (re.compile(r"^invented(?=: |$)"), "erfunden"),
    (re.compile(r"^memory(?=: |$)"), "aus dem Gedächtnis"),
    (re.compile(r"^axle loads(?=, |$)"), "Achslasten"),
    (re.compile(r"^corner loads(?=, |$)"), "Radlasten"),
    (re.compile(r"^a quarter of the rated capacity$"), "ein Viertel der Tragfähigkeit"),
)

FIGURES_DE: Final = {
    "CG across from": "Schwerpunkt quer aus",
    "CG along from": "Schwerpunkt längs aus",
    "CG height from": "Schwerpunkthöhe aus",
    "CG in L": "Schwerpunkt in L",
    "across": "quer",
    "along": "längs",
    "between the columns": "zwischen den Säulen",
    "body twist stiffness": "Verdrehsteifigkeit des Aufbaus",
    "difference from": "Unterschied aus",
    "force borne": "ertragene Kraft",
    "force of the step": "Kraft des Schritts",
    "friction": "Reibung",
    "front arms reach": "Auszug der vorderen Arme",
    "front share": "Anteil vorn",
    "front share, greatest": "Anteil vorn, größter",
    "front share, least": "Anteil vorn, kleinster",
    "greatest": "größter",
    "greatest load": "größte Last",
    "greatest mass": "größte Masse",
    "half a pitch at the pad": "halbe Teilung am Teller",
    "height above the pads": "Höhe über den Tellern",
    "in service here": "hier in Betrieb",
    "least": "kleinster",
    "least load": "kleinste Last",
    "lever": "Hebelarm",
    "limit from": "Grenze aus",
    "mass": "Masse",
    "mass from": "Masse aus",
    "pad lifted clear": "Teller löst sich",
    "pad stiffness": "Steifigkeit der Teller",
    "points known to ±": "Punkte bekannt auf ±",
    "push in use": "Druck bei der Arbeit",
    "rated capacity": "Tragfähigkeit",
    "rear arms reach": "Auszug der hinteren Arme",
    "room": "Spielraum",
    "room in the zone": "Spielraum in der Zone",
    "seat at touch": "Telleraufnahme beim Anlegen",
    "shift across, with unlevel carriages": "Versatz quer, mit ungleichen Hubwagen",
    "shift along by points off their places": "Versatz längs durch Punkte neben ihrem Ort",
    "sideways": "seitlich",
    "source": "Quelle",
    "turns of its screw": "Umdrehungen seiner Spindel",
    "wanted": "gebraucht",
    "warp force over the level tolerance": "Verwindungskraft über die Höhentoleranz",
    "weight": "Gewicht",
    "wheelbase": "Radstand",
    "width with mirrors": "Breite mit Spiegeln",
    "window from": "Fenster von",
    "window to": "Fenster bis",
    "yaw": "Schrägstand",
}


def source_de(text: str) -> str:
    """A source, or where a figure is from, in German; titles and names stay."""
    if text in SOURCES_DE:
        return SOURCES_DE[text]
    for pattern, german in _PARTS_DE:
        text = pattern.sub(german, text)
    return text


def step_de(label: str) -> str:
    """A step as the plan names it, in German; what a person named stays as it is."""
    if label in STEPS_DE:
        return STEPS_DE[label]
    thing, _, done = label.rpartition(" ")
    return STEPS_DE[f"… {done}"].replace("…", thing, 1) if f"… {done}" in STEPS_DE else label
