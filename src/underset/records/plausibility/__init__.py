"""What looks wrong in a record though it can be read: every complaint at once, each with its slip.

Passing is necessary, not sufficient: a record without a complaint may still be wrong, and a
complaint may turn out to be a rare vehicle. People decide; nothing is refused or changed here.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Any, Final

from underset.records.adapter import Adapter
from underset.records.base import Record, Sourced
from underset.records.crosscheck import between, figures, within
from underset.records.job import Job
from underset.records.lift import Bay
from underset.records.plausibility.adapter import adapter_complaints
from underset.records.plausibility.bay import bay_complaints
from underset.records.plausibility.common import Complaint, from_error
from underset.records.plausibility.shop import job_complaints, old_answers, shop_complaints
from underset.records.plausibility.vehicle import vehicle_complaints
from underset.records.vehicle import Vehicle
from underset.records.workshop import Workshop

_OF_KIND: Final[tuple[tuple[type[Record], Callable[[Any], Iterator[Complaint]]], ...]] = (
    (Vehicle, vehicle_complaints),
    (Bay, bay_complaints),
    (Adapter, adapter_complaints),
    (Job, job_complaints),
)


def complaints(record: Record | Workshop) -> tuple[Complaint, ...]:
    """Everything that looks wrong in one record, or in all records of a workshop."""
    if isinstance(record, Workshop):
        return tuple(_of_workshop(record))
    return tuple(_of_record(record))


def _of_record(record: Record) -> Iterator[Complaint]:
    yield from (from_error(e) for e in within(record))
    for kind, check in _OF_KIND:
        if isinstance(record, kind):
            yield from check(record)
    if isinstance(record, Sourced):
        yield from _unsourced(record)


def _of_workshop(shop: Workshop) -> Iterator[Complaint]:
    for folder in ("vehicles", "bays", "adapters", "jobs"):
        for name, record in getattr(shop, folder).items():
            place = f"{folder}/{name}.toml"
            yield from (replace(c, place=place) for c in _of_record(record))
    yield from (from_error(e) for e in between(shop))
    yield from shop_complaints(shop)


def _unsourced(record: Sourced) -> Iterator[Complaint]:
    """One complaint for all figures that nobody stands for, however many they are."""
    if record.source:
        return
    bare = [path for path, q in figures(record) if not q.source]
    if bare:
        shown = ", ".join(bare[:3]) + (f" and {len(bare) - 3} more" if len(bare) > 3 else "")
        yield Complaint(
            "source", shown, "figures without a source", "a source was not written down",
            "Name a source for the record or for each of these figures.",
        )  # fmt: skip


__all__ = ["Complaint", "complaints", "old_answers"]
