"""What the events of the book make of the records: out of service, open, overdue, authorised.

Pure functions. Two rules hold throughout: what is not on file stays not known, and only an event
of the right kind lifts a refusal (a passed examination, a cleared defect, a return to service).
What is dated after the day it was written down counts for no day: nothing is checked ahead.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any, Final

from underset.records import Adapter, Bay, Policy, Workshop
from underset.setting import PiecesOut, Standing, due_on, standing_on_file
from underset.store.book import Book, Event
from underset.store.kinds import (
    AdapterInspection,
    AuthorisationGiven,
    AuthorisationWithdrawn,
    DailyCheck,
    DefectCleared,
    DefectReported,
    Examination,
    Payload,
    Returned,
    SourceChecked,
    TakenOut,
    Training,
)

_MONTH: Final = 30.4375 * 86_400.0  # s, the mean month of the calendar
_TAKEN, _DAILY, _EXAMINED = "taken out", "daily check", "examination"


@dataclass(frozen=True, slots=True)
class Defect:
    """A defect that was reported and not yet cleared."""

    id: str
    thing: str
    thing_id: str
    text: str
    stops_use: bool
    where: str
    count: int
    reported: Event


@dataclass(frozen=True, slots=True)
class Due:
    """Something that falls due. Never done: `last` and `due` are None, and it is overdue."""

    what: str
    subject: str
    label: str
    last: date | None
    due: date | None
    days_left: int | None

    @property
    def overdue(self) -> bool:
        """Whether it had to be done before today, or never was done."""
        return self.days_left is None or self.days_left < 0


@dataclass(slots=True)
class _Tally:
    """What is gathered while the events are gone through in order."""

    workshop: Workshop
    today: date
    last: date = date.max  # latest day on which what the event says can have been done
    lifts: dict[str, dict[str, str]] = field(default_factory=dict)  # bay -> cause -> reason
    minor: dict[str, dict[str, str]] = field(default_factory=dict)  # bay -> defect -> text
    examined: dict[str, date] = field(default_factory=dict)
    failed: dict[str, date] = field(default_factory=dict)  # bay -> day of an examination not passed
    checked: dict[str, date] = field(default_factory=dict)
    pieces: dict[str, dict[tuple[str, str], PiecesOut]] = field(default_factory=dict)
    inspected: dict[str, dict[str, date | None]] = field(default_factory=dict)
    authorised: dict[str, set[str]] = field(default_factory=dict)
    trained: dict[str, dict[str, date]] = field(default_factory=dict)
    sources: dict[str, dict[str, date]] = field(default_factory=dict)
    doubted: dict[str, dict[str, str]] = field(default_factory=dict)


def standing_events(book: Book, workshop: Workshop) -> tuple[Event, ...]:
    """The events that `standing_of` needs, in the order of the book.

    Decision: daily checks pile up by the thousand and only the last of each bay counts, so only
    that one is read; all other kinds are few and are read whole.
    """
    checks = book.latest_of(DailyCheck.KIND, [f"bay/{bay}" for bay in workshop.bays])
    others = book.all_of(kind.KIND for kind in _RULES if kind is not DailyCheck)
    return tuple(sorted((*checks, *others), key=lambda event: event.seq))


def standing_of(
    workshop: Workshop, events: Iterable[Event], *, today: date, person: str | None = None
) -> Standing:
    """The workshop's standing on a day, from its records and its events in the order of the book.

    Whether daily checks and authorisations are demanded is the shop's rule: set with
    `dataclasses.replace`.
    """
    start = standing_on_file(workshop, today, person)
    tally = _Tally(
        workshop,
        today,
        examined=dict(start.examined),
        inspected={k: dict(v) for k, v in start.adapters_inspected.items()},
        authorised={k: set(v) for k, v in start.authorised.items()},
        trained={k: dict(v) for k, v in start.trained.items()},
        sources={k: dict(v) for k, v in start.sources_checked.items()},
    )
    for event in events:
        payload = event.read()
        tally.last = today if workshop.about.today else min(today, _written_on(event))
        _RULES[type(payload)](tally, payload)
    return _result(start, tally)


def _written_on(event: Event) -> date:
    """The day of an entry in the shop's own time: what it says was done cannot be of a later one.

    Decision: a workshop whose day stands still (the sample) has no clock to compare with.
    """
    return event.at.astimezone().date()


def _result(start: Standing, tally: _Tally) -> Standing:
    out = {bay: "; ".join(causes.values()) for bay, causes in tally.lifts.items() if causes}
    minor = {bay: tuple(texts.values()) for bay, texts in tally.minor.items() if texts}
    bays, outs = {*minor, *start.lift_defects}, {*out, *start.lifts_out}
    return replace(
        start,
        lifts_out={b: "; ".join(o[b] for o in (start.lifts_out, out) if b in o) for b in outs},
        lift_defects={b: (*start.lift_defects.get(b, ()), *minor.get(b, ())) for b in bays},
        examined=tally.examined,
        daily_checked=tally.checked,
        adapters_out={
            adapter: tuple(out for out in lots.values() if out.count)
            for adapter, lots in tally.pieces.items()
            if any(out.count for out in lots.values())
        },
        adapters_inspected=tally.inspected,
        authorised={person: frozenset(kinds) for person, kinds in tally.authorised.items()},
        trained=tally.trained,
        sources_checked=tally.sources,
        sources_doubted={vehicle: sets for vehicle, sets in tally.doubted.items() if sets},
    )


# --- one rule for each kind of event --------------------------------------------------------------


def _daily_check(tally: _Tally, said: DailyCheck) -> None:
    causes = tally.lifts.setdefault(said.bay, {})
    if said.fit and said.on > tally.last:
        return
    if said.fit:
        causes.pop(_DAILY, None)
        tally.checked[said.bay] = max(said.on, tally.checked.get(said.bay, said.on))
    else:
        wrong = [item for item, found in said.items.items() if found == "not in order"]
        causes[_DAILY] = f"daily check of {said.on}: {said.note or ', '.join(wrong) or 'not fit'}"
        tally.checked.pop(said.bay, None)


def _examination(tally: _Tally, said: Examination) -> None:
    causes = tally.lifts.setdefault(said.bay, {})
    if said.passed and said.on > tally.last:
        return
    if said.passed:
        tally.examined[said.bay] = max(said.on, tally.examined.get(said.bay, said.on))
        if said.on >= tally.failed.get(said.bay, said.on):
            causes.pop(_EXAMINED, None)
    else:
        tally.failed[said.bay] = max(said.on, tally.failed.get(said.bay, said.on))
        causes[_EXAMINED] = f"examination of {said.on} not passed: {said.note or said.by}"


def _defect_reported(tally: _Tally, said: DefectReported) -> None:
    if said.thing == "adapter":
        if said.stops_use:
            _pieces(tally, said.id, said.where, said.defect, said.count, said.text)
        return
    into = tally.lifts if said.stops_use else tally.minor
    into.setdefault(said.id, {})[f"defect {said.defect}"] = said.text


def _defect_cleared(tally: _Tally, said: DefectCleared) -> None:
    for into in (tally.lifts, tally.minor):
        into.get(said.id, {}).pop(f"defect {said.defect}", None)
    lots = tally.pieces.get(said.id, {})
    for place in [place for place in lots if place[1] == said.defect]:
        del lots[place]


def _taken_out(tally: _Tally, said: TakenOut) -> None:
    if said.thing == "bay":
        tally.lifts.setdefault(said.id, {})[_TAKEN] = said.reason
    else:
        _pieces(tally, said.id, said.where, "", said.count, said.reason)


def _returned(tally: _Tally, said: Returned) -> None:
    if said.thing == "bay":
        for cause in (_TAKEN, _DAILY):
            tally.lifts.get(said.id, {}).pop(cause, None)
    else:
        _pieces(tally, said.id, said.where, "", -said.count, said.reason)


def _adapter_inspection(tally: _Tally, said: AdapterInspection) -> None:
    """The day counts for a place only when no fewer pieces were seen than are kept there."""
    adapter = tally.workshop.adapters.get(said.adapter)
    places = tally.inspected.setdefault(said.adapter, {})
    kept = _kept_at(adapter, said.where) if adapter else 0
    if said.seen >= kept and said.on <= tally.last:
        for where in [said.where] if said.where else list(places):
            before = places.get(where)
            places[where] = max(said.on, before) if before else said.on
    if said.failed:
        reason = f"inspection of {said.on}: {said.note or 'failed'}"
        _pieces(tally, said.adapter, said.where, "", said.failed, reason)


def _training(tally: _Tally, said: Training) -> None:
    if said.on > tally.last:
        return
    days = tally.trained.setdefault(said.person, {})
    days[said.lift_kind] = max(said.on, days.get(said.lift_kind, said.on))


def _authorisation_given(tally: _Tally, said: AuthorisationGiven) -> None:
    if said.on <= tally.today and (said.until is None or tally.today <= said.until):
        tally.authorised.setdefault(said.person, set()).add(said.lift_kind)


def _authorisation_withdrawn(tally: _Tally, said: AuthorisationWithdrawn) -> None:
    if said.on <= tally.today:
        tally.authorised.setdefault(said.person, set()).discard(said.lift_kind)


def _source_checked(tally: _Tally, said: SourceChecked) -> None:
    doubts = tally.doubted.setdefault(said.vehicle, {})
    if said.differs:
        doubts[said.point_set] = said.differs
        return
    if said.on > tally.last:
        return
    doubts.pop(said.point_set, None)
    days = tally.sources.setdefault(said.vehicle, {})
    days[said.point_set] = max(said.on, days.get(said.point_set, said.on))


def _pieces(tally: _Tally, adapter: str, where: str, defect: str, count: int, reason: str) -> None:
    """Take pieces at a place off service or, with a negative count, put them back."""
    lots = tally.pieces.setdefault(adapter, {})
    before = lots.get((where, defect), PiecesOut(0, where))
    left = max(0, before.count + count)
    lots[where, defect] = PiecesOut(left, where, reason if count > 0 else before.reason)


def _kept_at(adapter: Adapter, where: str) -> int:
    return sum(x.count for x in adapter.lots if x.in_service and where in ("", x.where))


_RULES: Final[dict[type[Payload], Callable[[_Tally, Any], None]]] = {
    DailyCheck: _daily_check,
    Examination: _examination,
    DefectReported: _defect_reported,
    DefectCleared: _defect_cleared,
    TakenOut: _taken_out,
    Returned: _returned,
    AdapterInspection: _adapter_inspection,
    Training: _training,
    AuthorisationGiven: _authorisation_given,
    AuthorisationWithdrawn: _authorisation_withdrawn,
    SourceChecked: _source_checked,
}


# --- lists for people -----------------------------------------------------------------------------


def open_defects(events: Iterable[Event]) -> tuple[Defect, ...]:
    """Defects reported and not cleared, in the order they were reported."""
    found: dict[str, Defect] = {}
    for event in events:
        said = event.read()
        if isinstance(said, DefectReported):
            about = (said.defect, said.thing, said.id, said.text, said.stops_use)
            found[said.defect] = Defect(*about, said.where, said.count, event)
        elif isinstance(said, DefectCleared):
            found.pop(said.defect, None)
    return tuple(found.values())


def dues(workshop: Workshop, standing: Standing) -> tuple[Due, ...]:
    """Everything that falls due by policy, the latest first: never done, then longest overdue."""
    found = [
        *_lift_dues(workshop, standing),
        *_adapter_dues(workshop, standing),
        *_source_dues(workshop, standing),
        *_training_dues(workshop, standing),
    ]
    return tuple(
        sorted(found, key=lambda d: (d.days_left is not None, d.days_left or 0, d.subject))
    )


def _lift_dues(workshop: Workshop, standing: Standing) -> Iterator[Due]:
    for id, bay in workshop.bays.items():
        subject = f"bay/{id}"
        last = standing.examined.get(id)
        yield _due(
            "examination", subject, bay.label, last, _interval_of(bay, workshop.policy), standing
        )
        checked = standing.daily_checked.get(id)
        yield _due("daily check", subject, bay.label, checked, 0.0, standing)


def _adapter_dues(workshop: Workshop, standing: Standing) -> Iterator[Due]:
    for id, adapter in workshop.adapters.items():
        months = adapter.interval_months
        interval = months * _MONTH if months else workshop.policy["adapter_inspection"]
        for where, last in standing.adapters_inspected.get(id, {}).items():
            label = f"{adapter.label}, {where}"
            yield _due("adapter inspection", f"adapter/{id}", label, last, interval, standing)


def _source_dues(workshop: Workshop, standing: Standing) -> Iterator[Due]:
    interval = workshop.policy["source_age"]
    for id, vehicle in workshop.vehicles.items():
        for points in vehicle.point_sets:
            last = standing.source_checked_on(id, points.id)
            label = f"{vehicle.label}, {points.label}"
            yield _due("source", f"vehicle/{id}", label, last, interval, standing)


def _training_dues(workshop: Workshop, standing: Standing) -> Iterator[Due]:
    interval = workshop.policy["training"]
    for person in workshop.about.people:
        for kind in sorted(standing.authorised.get(person.id, ())):
            last = standing.trained_on(person.id, kind)
            label = f"{person.name}, {kind}"
            yield _due("training", f"person/{person.id}", label, last, interval, standing)


def _due(
    what: str, subject: str, label: str, last: date | None, interval: float, standing: Standing
) -> Due:
    if last is None:
        return Due(what, subject, label, None, None, None)
    due = due_on(last, interval)
    return Due(what, subject, label, last, due, (due - standing.today).days)


def _interval_of(bay: Bay, policy: Policy) -> float:
    own = bay.inspection.interval
    return own.value if own else policy["examination"]
