"""What a record says was done is dated today or before: nothing is checked ahead of its day."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import Any

from underset.errors import InputError, said
from underset.records.workshop import Workshop, WorkshopFile


def not_ahead(field: str, day: date, today: date) -> InputError | None:
    """A refusal of a day after today; None when the day has come."""
    if day <= today:
        return None
    allowed = said(
        "today, {today}, or a day before: this was done already", today=today.isoformat()
    )
    remedy = "Correct the date, or write it down on the day it is done; check this machine's clock."
    return InputError(field, day.isoformat(), allowed, remedy)


def done_ahead(record: Any, today: date, place: str = "") -> list[InputError]:
    """Every examination, inspection, instruction or source of a record dated after today."""
    found = (not_ahead(field, day, today) for field, day in _done(record) if day)
    return [error.at(place) if place else error for error in found if error]


def done_ahead_in(workshop: Workshop, today: date) -> list[InputError]:
    """The same for a whole workshop, told with the file each stands in."""
    errors = done_ahead(workshop.about, today, "workshop.toml")
    for folder in ("vehicles", "bays", "adapters", "jobs"):
        for name, record in getattr(workshop, folder).items():
            errors += done_ahead(record, today, f"{folder}/{name}.toml")
    return errors


def _done(record: Any) -> Iterator[tuple[str, date | None]]:
    if isinstance(record, WorkshopFile):
        yield from ((f"people[{i}].trained", p.trained) for i, p in enumerate(record.people))
    for name, source in getattr(record, "sources", {}).items():
        yield f"sources.{name}.date", source.date
    for head, tail in (("inspection", "examined"), ("intake", "asked_on")):
        yield f"{head}.{tail}", getattr(getattr(record, head, None), tail, None)
    yield from (
        (f"lots[{i}].inspected", x.inspected) for i, x in enumerate(getattr(record, "lots", ()))
    )
