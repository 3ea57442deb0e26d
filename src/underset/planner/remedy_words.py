"""Sentences of remedies, English and German; figures are filled in as the shop reads them."""

from __future__ import annotations

from typing import Final

REMEDIES_EN: Final[dict[str, str]] = {
    "heading": "Drive in {heading}.",
    "point-set": "Use the lifting points “{points}”, {heading}.",
    "bay": "Take it to {bay}, {heading}.",
    "load-out": "Take at least {amount} of {load} out before lifting ({whole} on board).",
    "part-first": "Take {part} ({amount}) off on the floor before lifting.",
    "leave-on": "Leave {part} on; do that part of the job off the lift.",
    "work-lower": "Work with the seats at {amount} instead of {wanted}.",
    "adapter": "Add {count} × {adapter}{where}.",
    "adapter.own": " (on file: {have} usable here)",
    "adapter.back": " (on file: {have} usable here, {out} out of service)",
    "adapter.new": " (from the catalogue)",
    "stand": "Set a support stand under {place}, {aft} aft and {side} of the middle, preload {low} "
    "to {high}, after “{after}”; it takes {least} to {most}.",
    "measure": "Measure {field} of {record}: in {part} of its present range the setting is usable.",
    "both": "{first} And: {second}",
    "unclear": "{change} Nothing stops then; still not known: {checks}.",
    "left": "{amount} left",
    "right": "{amount} right",
    "nose-in": "nose in",
    "tail-in": "tail in",
}

REMEDIES_DE: Final[dict[str, str]] = {
    "heading": "{heading} einfahren.",
    "point-set": "Die Hebepunkte „{points}“ nehmen, {heading}.",
    "bay": "Zum Platz {bay}, {heading}.",
    "load-out": "Vor dem Heben mindestens {amount} von {load} ausladen ({whole} an Bord).",
    "part-first": "{part} ({amount}) am Boden abnehmen, dann heben.",
    "leave-on": "{part} am Fahrzeug lassen; diese Arbeit nicht auf der Bühne.",
    "work-lower": "Mit den Telleraufnahmen auf {amount} statt {wanted} arbeiten.",
    "adapter": "{count} × {adapter} dazunehmen{where}.",
    "adapter.own": " (vorhanden: {have} hier verwendbar)",
    "adapter.back": " (vorhanden: {have} hier verwendbar, {out} gesperrt)",
    "adapter.new": " (aus dem Katalog)",
    "stand": "Eine Stütze unter {place} setzen, {aft} hinter der Vorderachse und {side} der Mitte, "
    "Vorlast {low} bis {high}, nach „{after}“; sie trägt {least} bis {most}.",
    "measure": "{field} von {record} messen: in {part} des jetzigen Bereichs ist die Stellung "
    "verwendbar.",
    "both": "{first} Und: {second}",
    "unclear": "{change} Dann spricht nichts dagegen; noch nicht bekannt: {checks}.",
    "left": "{amount} links",
    "right": "{amount} rechts",
    "nose-in": "vorwärts",
    "tail-in": "rückwärts",
}
