"""What the workshop's book says on one day: out of service, overdue, checked, authorised.

Plain facts with dates; the judge compares them with policy. `standing_on_file` knows only the
records; the store adds what its events say. An entry that is not there means *not known*, never
"in order".
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta

from underset.records import Adapter, Bay, Person, Vehicle, Workshop

SHELF = "shelf"
ANY_KIND = ""  # training that names no kind of lift counts for all of them


@dataclass(frozen=True, slots=True)
class PiecesOut:
    """Pieces of one adapter type taken out of service; an empty `where` may be any place."""

    count: int
    where: str = ""
    reason: str = ""


@dataclass(frozen=True, slots=True)
class Standing:
    """The workshop's papers on the day `today`, as the judge takes them.

    - `person`: id of who will lift; None when nobody has said.
    - `require_daily_check`, `require_authorisation`: whether this shop's rule makes a missing daily
      check or authorisation stop; without the rule the judge says nothing about it.
    - `lifts_out`: bay id -> reason. A bay that is not listed is in service.
    - `lift_defects`: bay id -> open defects that were reported as not stopping use.
    - `examined`: bay id -> day of the last examination passed. Not listed: not known.
    - `daily_checked`: bay id -> day of the last daily check that found the lift fit.
    - `adapters_out`: adapter id -> pieces out, beside those a record's lots say are out.
    - `adapters_inspected`: adapter id -> place ("shelf" or a bay id) -> day of the last inspection
      passed by every piece kept there; None where a lot has no such day.
    - `authorised`: person id -> kinds of lift; a person who is not listed is not on file.
    - `trained`: person id -> kind of lift (ANY_KIND for all) -> day of the last training.
    - `sources_checked`: vehicle id -> point set id -> day its lifting points were last confirmed.
    - `sources_doubted`: vehicle id -> point set id -> what a re-check found to differ.
    """

    today: date
    person: str | None = None
    require_daily_check: bool = False
    require_authorisation: bool = False
    lifts_out: Mapping[str, str] = field(default_factory=dict)
    lift_defects: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    examined: Mapping[str, date] = field(default_factory=dict)
    daily_checked: Mapping[str, date] = field(default_factory=dict)
    adapters_out: Mapping[str, tuple[PiecesOut, ...]] = field(default_factory=dict)
    adapters_inspected: Mapping[str, Mapping[str, date | None]] = field(default_factory=dict)
    authorised: Mapping[str, frozenset[str]] = field(default_factory=dict)
    trained: Mapping[str, Mapping[str, date]] = field(default_factory=dict)
    sources_checked: Mapping[str, Mapping[str, date]] = field(default_factory=dict)
    sources_doubted: Mapping[str, Mapping[str, str]] = field(default_factory=dict)

    def pieces_out(self, adapter: str, bay: str) -> int:
        """Pieces to take off those a bay may use: from the shelf, the bay or a place not said."""
        return sum(
            out.count for out in self.adapters_out.get(adapter, ()) if out.where in ("", SHELF, bay)
        )

    def inspected_on(self, adapter: str, bay: str) -> date | None:
        """Oldest inspection among pieces a bay may use; None when one of them has none."""
        places = self.adapters_inspected.get(adapter, {})
        days = [places[where] for where in (SHELF, bay) if where in places]
        known = [day for day in days if day is not None]
        return min(known) if known and len(known) == len(days) else None

    def checked_today(self, bay: str) -> bool:
        """Whether the lift was found fit by a daily check on this very day."""
        return self.daily_checked.get(bay) == self.today

    def may_lift(self, lift_kind: str) -> bool | None:
        """Whether the person is authorised for a kind of lift; None: nobody said who lifts."""
        if self.person is None:
            return None
        return lift_kind in self.authorised.get(self.person, frozenset())

    def trained_on(self, person: str, lift_kind: str) -> date | None:
        """Last training of a person that counts for a kind of lift."""
        days = self.trained.get(person, {})
        return max((days[kind] for kind in (lift_kind, ANY_KIND) if kind in days), default=None)

    def source_checked_on(self, vehicle: str, point_set: str) -> date | None:
        """Day the lifting points of one set were last confirmed against their source."""
        return self.sources_checked.get(vehicle, {}).get(point_set)


def due_on(done: date, interval: float) -> date:
    """Last day on which something done on `done` still counts; interval in seconds.

    Decision: whole days, rounded down, so that "12 months" (365.25 days) ends after 365 days.
    """
    return done + timedelta(days=math.floor(interval / 86_400.0))


def standing_on_file(workshop: Workshop, today: date, person: str | None = None) -> Standing:
    """What the records alone say; daily checks are not in them, so none is known."""
    return Standing(
        today=today,
        person=person,
        lifts_out={k: _why_out(b) for k, b in workshop.bays.items() if not b.inspection.in_service},
        lift_defects={k: (b.inspection.defect,) for k, b in workshop.bays.items() if _minor(b)},
        examined={
            k: b.inspection.examined for k, b in workshop.bays.items() if b.inspection.examined
        },
        adapters_inspected={k: _inspected(a) for k, a in workshop.adapters.items()},
        authorised={p.id: frozenset(p.authorised_for) for p in workshop.about.people},
        trained={p.id: _trained(p) for p in workshop.about.people},
        sources_checked={k: _confirmed(v) for k, v in workshop.vehicles.items()},
    )


def _why_out(bay: Bay) -> str:
    return bay.inspection.defect or "its record says it is out of service"


def _minor(bay: Bay) -> bool:
    return bay.inspection.in_service and bool(bay.inspection.defect)


def _inspected(adapter: Adapter) -> dict[str, date | None]:
    """Per place the oldest day over the lots in service there; None as soon as one has none."""
    days: dict[str, list[date | None]] = {}
    for lot in adapter.lots:
        if lot.in_service and lot.count:
            days.setdefault(lot.where, []).append(lot.inspected)
    return {where: _oldest(found) for where, found in days.items()}


def _oldest(days: list[date | None]) -> date | None:
    known = [day for day in days if day is not None]
    return min(known) if len(known) == len(days) else None


def _trained(person: Person) -> dict[str, date]:
    return {ANY_KIND: person.trained} if person.trained else {}


def _confirmed(vehicle: Vehicle) -> dict[str, date]:
    named = {s.id: vehicle.sources.get(s.source or vehicle.source) for s in vehicle.point_sets}
    return {point_set: source.date for point_set, source in named.items() if source and source.date}
