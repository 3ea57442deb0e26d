"""Bays in order for one vehicle and job, each with its verdict or its reasons in words."""

from __future__ import annotations

from dataclasses import dataclass

from underset.app.planning import Planned, bay_key
from underset.records.workshop import Workshop
from underset.setting.result import Check, Outcome, Plan, Status
from underset.setting.wording import amount, say, title

REASONS = 3


@dataclass(frozen=True, slots=True)
class BayRank:
    """One bay: outcome, status key, what decides, where the vehicle stops."""

    bay: str
    label: str
    outcome: str
    key: str
    usable: bool
    spot: str
    heading: str
    reasons: tuple[str, ...]


_KEYS = {
    Status.HOLDS: "holds",
    Status.WATCH: "watch",
    Status.NOT_KNOWN: "unknown",
    Status.STOPS: "stops",
}


def ranked_bays(
    workshop: Workshop, planned: Planned, units: str, language: str
) -> tuple[BayRank, ...]:
    """Every bay asked for, best first."""
    names = sorted(planned.by_bay, key=lambda n: bay_key(planned.by_bay[n], n))
    return tuple(_rank(workshop, planned.by_bay[n], n, units, language) for n in names)


def _rank(workshop: Workshop, plan: Plan, name: str, units: str, language: str) -> BayRank:
    best, usable = plan.best, plan.outcome is Outcome.FOUND
    status = best.status if usable and best else _of_outcome(plan.outcome)
    return BayRank(
        bay=name,
        label=workshop.bay(name).label,
        outcome=plan.outcome.value,
        key=_KEYS[status],
        usable=usable,
        spot=_spot(plan, units, language) if usable else "",
        heading=best.setting.heading if best else "",
        reasons=tuple(_reasons(plan, units, language)),
    )


def _of_outcome(outcome: Outcome) -> Status:
    return Status.STOPS if outcome is Outcome.NONE else Status.NOT_KNOWN


_WAYS = {
    "en": ("past {mark}", "short of {mark}", "the column line"),
    "de": ("hinter {mark}", "vor {mark}", "Säulenlinie"),
}


def _spot(plan: Plan, units: str, language: str) -> str:
    """Where the front axle stops, as the card says it: so far past the mark, or short of it."""
    assert plan.best is not None
    beyond, before, column_line = _WAYS[language]
    name, x = (plan.scene.mark if plan.scene else None) or (column_line, 0.0)
    distance = plan.best.setting.spot - x
    way = beyond if distance >= 0.0 else before
    return f"{amount(abs(distance), 'm', units, language)} {way.format(mark=name)}"


def _reasons(plan: Plan, units: str, language: str) -> list[str]:
    """The watched checks and the least margin of a usable setting; else why there is none."""
    if plan.outcome is Outcome.FOUND and plan.best is not None:
        watched = [c for c in plan.best.checks if c.status is Status.WATCH]
        return _told(watched or _tightest(plan.best.checks), units, language)
    if plan.outcome is Outcome.INCOMPLETE:
        return [m.why for m in plan.missing[:REASONS]]
    found = []
    for refusal in plan.refusals[:REASONS]:
        if refusal.nearest is None:
            found.append(f"{title(refusal.check, language)} × {refusal.count}")
        else:
            found.append(say(refusal.nearest, units, language))
    return found


def _tightest(checks: tuple[Check, ...]) -> list[Check]:
    ranked = [c for c in checks if c.slack is not None]
    return sorted(ranked, key=lambda c: c.slack or 0.0)[:1]


def _told(checks: list[Check], units: str, language: str) -> list[str]:
    first: dict[tuple[str, str], Check] = {}
    for c in checks:
        first.setdefault((c.name, c.where), c)
    return [say(c, units, language) for c in list(first.values())[:REASONS]]
