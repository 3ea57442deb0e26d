"""What looks wrong in the records of a workshop, or of one plan; nothing is refused or changed."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from underset.app.planning import Planned
from underset.records import Complaint, Record, Workshop, complaints, old_answers


def of_shop(workshop: Workshop, today: date) -> tuple[Complaint, ...]:
    """Every complaint about every record, days that lie ahead of today among them."""
    about = workshop.about.model_copy(update={"today": workshop.day(today)})
    return complaints(replace(workshop, about=about))


def of_plan(workshop: Workshop, planned: Planned) -> tuple[Complaint, ...]:
    """Figures that look wrong in the vehicle, the job and the bay of a plan.

    Decision: figures without a source are left to `of_shop`; a plan tells its sources anyway.
    """
    wish, best = planned.wish, planned.plan.best
    bays = (best.setting.bay,) if best else wish.bays
    records: dict[str, Record] = {
        f"vehicles/{wish.vehicle}.toml": workshop.vehicle(wish.vehicle),
        **{f"bays/{name}.toml": workshop.bay(name) for name in bays},
        **({f"jobs/{wish.job}.toml": workshop.job(wish.job)} if wish.job else {}),
    }
    found = [
        replace(c, place=place)
        for place, record in records.items()
        for c in complaints(record)
        if c.field != "source"
    ]
    asked = workshop.job(wish.job) if wish.job else None
    place = f"jobs/{wish.job}.toml" if asked and asked.intake else f"vehicles/{wish.vehicle}.toml"
    record = asked if asked and asked.intake else workshop.vehicle(wish.vehicle)
    for case in list(planned.cases.values())[:1]:
        found += [replace(c, place=place) for c in old_answers(record, case.standing.today)]
    return tuple(found)
