"""German words of the card, the drawings and the working."""

from __future__ import annotations

from typing import Final

WORDS: Final[dict[str, str]] = {
    "title": "Einstellkarte",
    "invented": "ERFUNDENE BEISPIELDATEN – nicht verwenden",
    "advice": (
        "Diese Seite berät. Es entscheiden die Serviceangaben des Fahrzeugherstellers, die"
        " Anleitung des Bühnenherstellers, das örtliche Recht und eine befähigte Person. Kein"
        " Befund ist eine Erlaubnis."
    ),
    # outcome and status
    "outcome.found": "Einstellung gefunden",
    "outcome.unusable": "so nicht brauchbar",
    "outcome.none": "keine Einstellung möglich",
    "outcome.limit": "Suche an ihrer Grenze beendet",
    "outcome.incomplete": "Angaben fehlen",
    "status.holds": "erfüllt",
    "status.watch": "beachten",
    "status.not known": "nicht bekannt",
    "status.stops": "gesperrt",
    "verdict.holds.one": (
        "Eine Einstellung wurde gefunden, jede Prüfung ist erfüllt. Die Haltepunkte zeichnen"
        " Menschen ab."
    ),
    "verdict.holds.many": (
        "Eine Einstellung wurde gefunden, jede Prüfung ist in allen {n} Zuständen erfüllt. Die"
        " Haltepunkte zeichnen Menschen ab."
    ),
    "verdict.watch.one": "Eine Einstellung wurde gefunden; {n} Prüfung ist zu beachten.",
    "verdict.watch.many": "Eine Einstellung wurde gefunden; {n} Prüfungen sind zu beachten.",
    "verdict.unknown.one": (
        "Eine Einstellung wurde gefunden, aber {n} Prüfung ist nicht bekannt. Erst klären, dann heben."
    ),
    "verdict.unknown.many": (
        "Eine Einstellung wurde gefunden, aber {n} Prüfungen sind nicht bekannt. Erst klären, dann"
        " heben."
    ),
    "verdict.stops": "Nicht heben: Die Einstellung ist gesperrt ab „{state}“.",
    "verdict.parked": "Nicht heben: so wie das Fahrzeug steht, ist keine Einstellung möglich.",
    "verdict.none.one": "Nicht heben: keine Einstellung möglich; {n} Anordnung wurde geprüft.",
    "verdict.none.many": "Nicht heben: keine Einstellung möglich; {n} Anordnungen wurden geprüft.",
    "verdict.limit.one": (
        "Nicht heben: Die Suche endete nach {n} Anordnung an ihrer Grenze; nichts ist bewiesen."
    ),
    "verdict.limit.many": (
        "Nicht heben: Die Suche endete nach {n} Anordnungen an ihrer Grenze; nichts ist bewiesen."
    ),
    "verdict.incomplete.one": "Nicht heben: {n} Angabe fehlt, ohne sie ist nichts bewiesen.",
    "verdict.incomplete.many": ("Nicht heben: {n} Angaben fehlen, ohne sie ist nichts bewiesen."),
    "verdict.nothing": "Nicht heben: Nichts wurde beurteilt, also ist keine Aussage möglich.",
    # who and where
    "bay": "Platz",
    "bay.any": "jeder erfasste Platz",
    "vehicle": "Fahrzeug",
    "job": "Auftrag",
    "job.none": "nur heben, kein Auftrag erfasst",
    "reference.none": "nicht im Buch",
    "date.none": "ohne Datum",
    "spot": "Vorderachse anhalten",
    "spot.window": "Fenster",
    "spot.stands": "Vorderachse steht",
    "checks.open": "das lässt offen: {checks}",
    "checks.every_step": "bei jedem Schritt",
    "spot.measured": "wie gemessen",
    "spot.unproved": "kein Fenster: nichts ist nachgewiesen, solange eine Prüfung sperrt oder nicht bekannt ist",
    "spot.unproved.mark": "{span} (nicht nachgewiesen)",
    "spot.beyond": "hinter",
    "spot.before": "vor",
    "spot.column_line": "Säulenlinie",
    "spot.signed": "(+ ist dahinter)",
    "heading": "Einfahren",
    "heading.nose-in": "vorwärts",
    "heading.nose_in": "vorwärts",
    "heading.tail-in": "rückwärts",
    "heading.tail_in": "rückwärts",
    "heading.askew": "steht schräg wie gemessen",
    "seat": "Telleraufnahme",
    "seat.note": "alle Teller zugleich",
    "rise": "Hub höchstens",
    "rise.ceiling": "Decke {height}",
    "rise.stop_bar": "Bügel {height}",
    "point_set": "Aufnahmepunkte",
    # corners
    "corner.LF": "vorn links",
    "corner.RF": "vorn rechts",
    "corner.LR": "hinten links",
    "corner.RR": "hinten rechts",
    "arm.left_front": "Arm vorn links",
    "arm.right_front": "Arm vorn rechts",
    "arm.left_rear": "Arm hinten links",
    "arm.right_rear": "Arm hinten rechts",
    "corner.tooth": "Zahn",
    "corner.no_tooth": "ohne Zähne",
    "corner.swing": "Schwenkwinkel",
    "corner.reach": "Auszug",
    "corner.screw_in": "Spindel ganz eingedreht",
    "corner.screw_out": "Spindel {length} heraus",
    "corner.turns.one": "{n} Umdr.",
    "corner.turns.many": "{n} Umdr.",
    "corner.turns_unknown": "unbekannt",
    "contact.flat boss": "ebene Auflage",
    "contact.pinch weld": "Schwellerfalz",
    "contact.frame rail": "Rahmenträger",
    "contact.peg hole": "Zapfenloch",
    "zone.skirt": "Schürze",
    "zone.running board": "Trittbrett",
    "zone.battery": "Batterie",
    "zone.tank": "Tank",
    "zone.exhaust": "Auspuff",
    "zone.line": "Leitung",
    "zone.floor": "Boden",
    "support.stand": "Stütze",
    "support.table": "Tisch",
    "support.jack": "Heber",
    # headings and labels of the page
    "titles.corners": "Arme und Aufbauten",
    "titles.states": "Zustände des Auftrags, in {mass}, {length} und {force}",
    "titles.step": "Schritt",
    "titles.mass": "Masse",
    "titles.cg": "SP hinten",
    "titles.side": "SP links",
    "titles.least": "min. Last",
    "titles.split": "vorn : hinten",
    "titles.status": "Befund",
    "titles.checks": "Worauf zu achten ist",
    "titles.nearest_checks": "Was die nächstliegende Einstellung sperrt ({bay}, {heading})",
    "titles.hold_points": "Haltepunkte: abhaken oder zeichnen",
    "titles.signature": "Zeichen",
    "titles.cautions": "Warnhinweise",
    "titles.sources": "Quellen",
    "titles.refusals": "Was ablehnte",
    "titles.remedies": "Was es möglich machte",
    "titles.missing": "Was fehlt",
    "titles.tooth": "Zahn",
    "titles.swing": "Winkel",
    "titles.reach": "Auszug, {length}",
    "titles.turns": "Umdrehungen",
    "titles.load": "Last, {force}",
    "titles.stack": "Aufbau",
    "titles.more": "{n} weitere in der Berechnung",
    "titles.scan": "Datensatz scannen",
    "titles.page": "Seite {n} von {m}",
    # drawings
    "titles.plan_view": "Platz von oben",
    "titles.side_view": "Platz von rechts",
    "draw.front": "VORN",
    "titles.front_view": "Platz von der Einfahrt",
    "draw.drive_in": "Einfahrt",
    "draw.vehicle": "Fahrzeug",
    "draw.cg": "SP",
    "draw.cg_long": "Schwerpunkt mit seiner Toleranz",
    "draw.roof_unknown": "Höhe unbekannt",
    "draw.ceiling": "Decke bei",
    "draw.stop_bar": "Abschaltbügel bei",
    "draw.rise": "Hub höchstens",
    "draw.told": "Maßstab {ratio} auf Papier. Fahrzeug {heading}",
    "draw.frame_lift": "Achsen L, die Bühne",
    "draw.frame_lift.told": (
        "Ursprung am Boden mitten zwischen den Säulen; x in Einfahrrichtung, y nach links, z"
        " nach oben."
    ),
    "draw.frame_vehicle": "Achsen V, das Fahrzeug",
    "draw.frame_vehicle.told": (
        "Ursprung am Boden unter der Mitte der Vorderachse; x nach vorn, y nach links, z nach"
        " oben. Datensätze sagen nach hinten (gegen x), seitlich (längs y) und hoch."
    ),
    "draw.pose": "Lage von V in L",
    "draw.pose.told": "Halt s, seitlich t und Gierwinkel psi stellen das Fahrzeug in den Platz.",
    "draw.arm_angles": "Winkel der Arme",
    "draw.arm_angles.told": (
        "Schwenkwinkel phi von gerade einwärts zum eigenen Ende hin; Zähne je Teilung p; Auszug r."
    ),
    "draw.stack_heights": "Höhen im Aufbau",
    "draw.stack_heights.told": (
        "Höhe der Telleraufnahme z plus Aufbauhöhe h ist die Höhe des Aufnahmepunkts, an allen vier Armen."
    ),
    "draw.inward": "gerade einwärts",
    "draw.own_end": "zum eigenen Ende",
    "draw.seat": "Telleraufnahme",
    "draw.floor": "Boden",
    "draw.spacer": "Distanzstück",
    "draw.head": "Kopf",
    "draw.screw": "Spindel",
    "draw.point": "Aufnahmepunkt",
    # groups of checks
    "group.placing": "Aufstellung",
    "group.stack": "Aufbauten",
    "group.load": "Lasten",
    "group.stability": "Standsicherheit",
    "group.clearance": "Freiräume",
    "group.papers": "Nachweise",
    "group.intake": "Annahme",
    "group.other": "Andere Prüfungen",
    # cautions
    "caution.points": (
        "Nur an den Herstellerpunkten genau dieses Modells heben. Veröffentlichte Punkte setzen"
        " ein vollständiges Fahrzeug voraus."
    ),
    "caution.limits": (
        "Tragfähigkeit, Anteil eines Arms und angegebene Verteilung vorn zu hinten bei keinem"
        " Schritt überschreiten."
    ),
    "caution.restraints": (
        "Alle Armarretierungen voll im Eingriff, bevor Last kommt. Ohne Arretierung nicht heben."
    ),
    "caution.all_pads": (
        "Alle vier Teller tragen. Lässt sich einer von Hand drehen: halt, absenken, neu aufnehmen."
    ),
    "caution.just_clear": (
        "Heben, bis die Reifen gerade frei sind: schauen, an beiden Enden drücken. Bei etwa 1 m"
        " noch einmal. Dann in die Rasten absetzen."
    ),
    "caution.parts_off": (
        "Vor dem Ausbau schwerer Teile: Gegenseite abstützen, gleiche Seite sichern, danach die"
        " Bühne nicht ohne neue Prüfung bewegen."
    ),
    "caution.surface": (
        "Teller auf ebenes, sauberes Metall, Punkt nahe der Tellermitte. Verschlissenen Gummi"
        " ersetzen. Kein Holz, nichts Selbstgebautes."
    ),
    "caution.heavy_end": "Das schwere Ende gehört auf die kurzen Arme.",
    "caution.unload": (
        "Erst entladen. Nach verdeckter Ladung, Werkzeug, Kraftstoff und Wasser fragen."
    ),
    "caution.battery": "Teller, Arme und Kanten vom Batteriegehäuse fernhalten.",
    "caution.rust": "Rost oder Reparatur am Aufnahmepunkt: dort nicht heben.",
    "caution.papers": (
        "Prüfung überfällig oder tägliche Prüfung nicht gemacht: Bühne nicht benutzen."
    ),
    "caution.bolts": "Fest sitzende Schrauben möglichst am Boden lösen.",
    "caution.space": "0,5 m Abstand zu festen Teilen halten. Beim Absenken auf Füße achten.",
    "caution.estimates": "Der Schwerpunkt ist geschätzt. Gemessene Lasten gehen vor.",
    "caution.floor": "Boden und Anker: Nur die Bescheinigung des Errichters zählt.",
    # plain text and working
    "text.hold_points": "{n} Haltepunkte, davon {signed} zu zeichnen, stehen auf der Karte.",
    "titles.nearest": "Am nächsten dran",
    "titles.notes": "Bemerkungen",
    "work.title": "Berechnung",
    "work.summary": "Überblick",
    "work.setting": "Die Einstellung",
    "work.arms": "Arme",
    "work.stacks": "Aufbauten",
    "work.states": "Zustände, Lasten und Reste",
    "work.checks": "Prüfungen",
    "work.search": "Die Suche",
    "work.formula": "Formel",
    "work.state": "Zustand",
    "work.where": "Ort",
    "work.demand": "Gefunden",
    "work.limit": "Grenze",
    "work.margin": "Abstand",
    "work.nominal": "Nennwert",
    "work.status": "Befund",
    "work.inputs": "Verwendete Werte",
    "work.item": "Größe",
    "work.value": "Wert",
    "work.low": "kleinste",
    "work.high": "größte",
    "work.mass": "Masse",
    "work.cg": "Schwerpunkt in L: x, y, z",
    "work.cg_vehicle": "Schwerpunkt ab Vorderachse: hinten, links, hoch",
    "work.pads": "Tellerlasten",
    "work.supports": "Stützen und Tische",
    "work.void": "Masse oder Schwerpunkt ist nicht bekannt: Kein Wert dieses Zustands gilt.",
    "work.residuals": "Reste: Kraft, Moment um x, um y",
    "work.residuals.note": (
        "Was das Gleichgewicht übrig lässt; nahe null, sonst gilt das Ergebnis nicht."
    ),
    "work.corner": "Ecke",
    "work.arm": "Arm",
    "work.pad": "Tellermitte x, y in L",
    "work.off": "Neben dem Punkt: längs, quer",
    "work.piece": "Teil",
    "work.from": "von",
    "work.to": "bis",
    "work.spot": "Halt (Vorderachse ab Säulenlinie)",
    "work.window": "Haltefenster, mit Umstecken",
    "work.fixed": "Haltefenster mit diesen Zähnen",
    "work.sideways": "Seitlich",
    "work.yaw": "Gierwinkel",
    "work.candidates": "Anordnungen",
    "work.choices": "Gefundene Einstellungen, beste zuerst",
    "work.record": "Datensatz",
    "work.units": "Formeln in SI: m, kg, N, rad. Zeichen wie auf der Seite der Bezeichnungen.",
    "work.count": "Anzahl",
    "work.slack": "kleinster Abstand, Verhältnis",
    "work.screw": "Spindel",
    "work.turns": "Umdrehungen",
    "work.number": "Nr.",
    "work.hold_point": "Haltepunkt",
    "work.how": "wie",
    "work.facts": "Werte",
    "work.sign": "gezeichnet",
    "work.hold_points": "Haltepunkte",
    "work.cautions": "Warnhinweise",
}
