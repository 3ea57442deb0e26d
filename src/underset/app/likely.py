"""The report of chances in words: how often each check fails, and what drives it."""

from __future__ import annotations

from dataclasses import replace

from underset.app.planning import Planned
from underset.errors import InputError
from underset.setting.wording import title
from underset.studies.chances import Chances, chances_of

HEADS = {
    "en": (
        "Chance that some check fails within the stated tolerances: {0:.1%}, with 95 % confidence "
        "{1:.1%} to {2:.1%} ({3} draws, seed {4})",
        "Measure next: {0}",
        "No draw failed. What the least margin hangs on most: {0}",
    ),
    "de": (
        "Wahrscheinlichkeit, dass eine Prüfung in den Toleranzen fehlschlägt: "
        "{0:.1%}, mit 95 % Sicherheit {1:.1%} bis {2:.1%} ({3} Züge, Startwert {4})",
        "Als Nächstes messen: {0}",
        "Kein Zug schlug fehl. Woran der kleinste Abstand am meisten hängt: {0}",
    ),
}


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
    lines = [head.format(report.any_fails, *report.confidence, report.draws, report.seed)]
    for row in sorted(report.rows, key=lambda r: (-r.fails, r.check)):
        drivers = ", ".join(f"{d.figure} {d.part:.0%}" for d in row.drivers[:3])
        head = title(row.check, language) + (f" ({row.state})" if row.state else "")
        lines.append(f"  {row.fails:6.1%}  {head}" + (f": {drivers}" if drivers else ""))
    last = measure if report.any_fails > 0.0 else none_failed
    lines.append(last.format(report.measure_next or "–"))
    return "\n".join(lines)
