"""The report of chances in words: how often each check fails, and what drives it."""

from __future__ import annotations

import re
from dataclasses import replace

from underset.app.planning import Planned
from underset.errors import InputError
from underset.setting import amount, step_word, title
from underset.studies.chances import Chances, chances_of

HEADS = {
    "en": (
        "Chance that some check fails within the stated tolerances: {0}, with 95 % confidence "
        "{1} to {2} ({3} draws, seed {4})",
        "Measure next: {0}",
        "No draw failed. What the least margin hangs on most: {0}",
    ),
    "de": (
        "Wahrscheinlichkeit, dass eine Prüfung in den Toleranzen fehlschlägt: "
        "{0}, mit 95 % Sicherheit {1} bis {2} ({3} Züge, Startwert {4})",
        "Als Nächstes messen: {0}",
        "Kein Zug schlug fehl. Woran der kleinste Abstand am meisten hängt: {0}",
    ),
}

# What is drawn, in German; the first that fits. A name on file stays as it is.
_DRAWN_DE = tuple(
    (re.compile(pattern), german)
    for pattern, german in (
        ("^stop along$", "Halt längs"),
        ("^stop across$", "Halt quer"),
        ("^stop askew$", "Halt schräg"),
        ("^level of pad (..)$", r"Höhe des Tellers \1"),
        ("^level of the carriages$", "Höhe der Hubwagen"),
        ("^stiffness of the arms$", "Steifigkeit der Arme"),
        ("^stiffness of the body$", "Steifigkeit des Aufbaus"),
        ("^friction of the pads$", "Reibung der Teller"),
        ("^place along of point (..)$", r"Lage längs von Punkt \1"),
        ("^place across of point (..)$", r"Lage quer von Punkt \1"),
        ("^height of point (..)$", r"Höhe von Punkt \1"),
        ("^push of (.*) in (.*)$", r"Druck von \1 in \2"),
        ("^mass of (.*)$", r"Masse von \1"),
        ("^balance along of (.*)$", r"Schwerpunkt längs von \1"),
        ("^balance across of (.*)$", r"Schwerpunkt quer von \1"),
        ("^height of (.*)$", r"Schwerpunkthöhe von \1"),
    )
)


def drawn_word(figure: str, language: str = "en") -> str:
    """What a drawn figure is called."""
    for pattern, german in _DRAWN_DE if language == "de" else ():
        if pattern.match(figure):
            return pattern.sub(german, figure).replace("kerb vehicle", "Leerfahrzeug")
    return figure


def chances(planned: Planned, draws: int, seed: int = 1) -> Chances:
    """Draw the tolerances of the best setting; states by what people call them.

    Raises InputError when there is no setting.
    """
    case, best = planned.case, planned.plan.best
    if case is None or best is None:
        raise InputError("plan", planned.plan.outcome.value, "chances need a setting to be drawn")
    report, labels = chances_of(case, best, draws, seed), {s.name: s.label for s in best.states}
    return replace(
        report, rows=tuple(replace(r, state=labels.get(r.state, "")) for r in report.rows)
    )


def chances_text(report: Chances, language: str = "en") -> str:
    """The report as plain lines, most likely failure first."""
    head, measure, none_failed = HEADS[language]
    chance = [amount(x, "1", language=language) for x in (report.any_fails, *report.confidence)]
    lines = [head.format(*chance, report.draws, report.seed)]
    for row in sorted(report.rows, key=lambda r: (-r.fails, r.check)):
        drivers = ", ".join(
            f"{drawn_word(d.figure, language)} {100.0 * d.part:.0f} %" for d in row.drivers[:3]
        )
        state = step_word(row.state, language)
        head = title(row.check, language) + (f" ({state})" if state else "")
        fails = amount(row.fails, "1", language=language)
        lines.append(f"  {fails:>7}  {head}" + (f": {drivers}" if drivers else ""))
    last = measure if report.any_fails > 0.0 else none_failed
    lines.append(last.format(drawn_word(report.measure_next, language) or "–"))
    return "\n".join(lines)
