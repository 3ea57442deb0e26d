"""The papers of lifts, adapters and people, as pages show them; and the changes to the shelf."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from datetime import date
from typing import Any

from underset.app.shop import Actor, Shop
from underset.errors import ConflictError, InputErrors, NotFoundError
from underset.records import Adapter, Person, Workshop, WorkshopFile
from underset.records.crosscheck import between
from underset.records.schema import from_json, to_json
from underset.setting import Standing
from underset.store import Defect, Due, dues, open_defects

# What is looked at before a lift is used for the first time on a day. Function before work and
# worn pad rubber: VBG sheet 156; pads locked to the arm and end stops: DGUV Information 208-015
# (10/2019). The rest is shop policy.
DAILY_ITEMS = (
    "controls", "restraints", "arms", "pads", "locks", "level", "leaks", "anchors", "space",
)  # fmt: skip


NEVER = Due("", "", "", None, None, None)
"""What stands nowhere in the book: never done, so overdue."""


@dataclass(frozen=True, slots=True)
class LiftPapers:
    """One lift: in service or why not, defects, examination, daily check."""

    id: str
    label: str
    kind: str
    rated: str
    out: str
    defects: tuple[Defect, ...]
    examination: Due
    checked: date | None
    checked_today: bool
    check_demanded: bool


@dataclass(frozen=True, slots=True)
class PieceOut:
    """Pieces that must not be used, and why."""

    count: int
    where: str
    reason: str


@dataclass(frozen=True, slots=True)
class LotLine:
    """Pieces at one place in one condition."""

    count: int
    where: str
    in_service: bool
    inspected: str
    note: str


@dataclass(frozen=True, slots=True)
class AdapterPapers:
    """One adapter type: how many pieces there are and may be used, where, inspected until when."""

    id: str
    label: str
    role: str
    rated: str
    height: str
    maker_rated: bool
    total: int
    usable: int
    out: tuple[PieceOut, ...]
    defects: tuple[Defect, ...]
    inspections: tuple[tuple[str, Due], ...]
    lots: tuple[LotLine, ...]

    @property
    def overdue(self) -> bool:
        """Whether any place's inspection is overdue."""
        return any(term.overdue for _, term in self.inspections)


@dataclass(frozen=True, slots=True)
class PersonPapers:
    """One person: roles, kinds of lift they may work, instruction by kind."""

    id: str
    name: str
    roles: tuple[str, ...]
    skills: tuple[str, ...]
    authorised: tuple[str, ...]
    training: tuple[tuple[str, Due], ...]


@dataclass(frozen=True, slots=True)
class _Now:
    """What the papers are read from: one look at the book for a whole page."""

    workshop: Workshop
    standing: Standing
    terms: Mapping[tuple[str, str, str], Due]
    defects: tuple[Defect, ...]


def _now(shop: Shop) -> _Now:
    standing, workshop = shop.standing(), shop.workshop()
    found = dues(workshop, standing)
    terms = {(d.what, d.subject, d.label): d for d in found}
    return _Now(workshop, standing, terms, open_defects(shop.moment().events))


def overdue(shop: Shop) -> tuple[Due, ...]:
    """Everything overdue today; daily checks only where the shop asks for them."""
    standing = shop.standing()
    found = (d for d in dues(shop.workshop(), standing) if d.overdue)
    return tuple(d for d in found if d.what != "daily check" or standing.require_daily_check)


# --- lifts ---------------------------------------------------------------------------------------


def lifts(shop: Shop) -> tuple[LiftPapers, ...]:
    """Every lift by id."""
    now = _now(shop)
    return tuple(_lift(now, id) for id in sorted(now.workshop.bays))


def lift(shop: Shop, id: str) -> LiftPapers:
    """One lift's papers; NotFoundError when it is not on file."""
    return _lift(_now(shop), id)


def _lift(now: _Now, id: str) -> LiftPapers:
    bay, standing = now.workshop.bay(id), now.standing
    return LiftPapers(
        id=id,
        label=bay.label,
        kind=bay.lift_kind,
        rated=str(bay.plate.rated),
        out=standing.lifts_out.get(id, ""),
        defects=_defects(now, "bay", id),
        examination=now.terms.get(("examination", f"bay/{id}", bay.label), NEVER),
        checked=standing.daily_checked.get(id),
        checked_today=standing.checked_today(id),
        check_demanded=standing.require_daily_check,
    )


def _defects(now: _Now, thing: str, id: str) -> tuple[Defect, ...]:
    return tuple(d for d in now.defects if (d.thing, d.thing_id) == (thing, id))


# --- shelf ---------------------------------------------------------------------------------------


def shelf(shop: Shop) -> tuple[AdapterPapers, ...]:
    """Every adapter type, by role and label."""
    now = _now(shop)
    found = [_adapter(now, id) for id in now.workshop.adapters]
    return tuple(sorted(found, key=lambda a: (a.role, a.label)))


def adapter(shop: Shop, id: str) -> AdapterPapers:
    """One adapter type's papers; NotFoundError when it is not on file."""
    return _adapter(_now(shop), id)


def _adapter(now: _Now, id: str) -> AdapterPapers:
    record, standing = now.workshop.adapter(id), now.standing
    out = tuple(PieceOut(p.count, p.where, p.reason) for p in standing.adapters_out.get(id, ()))
    in_lots = sum(lot.count for lot in record.lots if lot.in_service)
    return AdapterPapers(
        id=id,
        label=record.label,
        role=record.role,
        rated=str(record.rating),
        height=str(record.height),
        maker_rated=record.maker_rated,
        total=sum(lot.count for lot in record.lots),
        usable=max(0, in_lots - sum(p.count for p in out)),
        out=tuple(p for p in out if p.count),
        defects=_defects(now, "adapter", id),
        inspections=_inspections(now, id, record.label),
        lots=lots_of(record),
    )


def lots_of(adapter: Adapter) -> tuple[LotLine, ...]:
    """The lots of an adapter type in words."""
    return tuple(
        LotLine(
            lot.count, lot.where, lot.in_service,
            lot.inspected.isoformat() if lot.inspected else "", lot.note,
        )
        for lot in adapter.lots
    )  # fmt: skip


def _inspections(now: _Now, id: str, label: str) -> tuple[tuple[str, Due], ...]:
    places = now.standing.adapters_inspected.get(id, {})
    wanted = [(p, ("adapter inspection", f"adapter/{id}", f"{label}, {p}")) for p in places]
    return tuple((place, now.terms.get(key, NEVER)) for place, key in wanted)


def save_lots(shop: Shop, id: str, lots: Sequence[LotLine], version: int, by: Actor) -> None:
    """Store the pieces of an adapter type over the version their author has read.

    Raises InputErrors for what does not fit, ConflictError when somebody else changed it meanwhile.
    """
    kept = shop.record("adapter", id)
    changed = from_json(Adapter, {**to_json(kept.record), "lots": [_said(x) for x in lots]})
    workshop = shop.workshop()
    before = between(workshop)
    after = between(replace(workshop, adapters={**workshop.adapters, id: changed}))
    fresh = [e for e in after if e.message not in {b.message for b in before}]
    if fresh:
        raise InputErrors(fresh)
    shop.save("adapter", id, changed, version, by)


def _said(lot: LotLine) -> dict[str, Any]:
    return {k: v for k, v in asdict(lot).items() if v != ""}


# --- people --------------------------------------------------------------------------------------


def people(shop: Shop) -> tuple[PersonPapers, ...]:
    """Everybody on file, in the order of the workshop's list."""
    now = _now(shop)
    return tuple(_person(now, p) for p in now.workshop.about.people)


def person(shop: Shop, id: str) -> PersonPapers:
    """One person's papers; NotFoundError when they are not on file."""
    found = {p.id: p for p in people(shop)}
    if id not in found:
        raise NotFoundError("person", id, tuple(found))
    return found[id]


def _person(now: _Now, person: Person) -> PersonPapers:
    kinds = sorted(now.standing.authorised.get(person.id, ()))
    wanted = [(k, ("training", f"person/{person.id}", f"{person.name}, {k}")) for k in kinds]
    training = tuple((k, now.terms.get(key, NEVER)) for k, key in wanted)
    return PersonPapers(person.id, person.name, person.roles, person.skills, tuple(kinds), training)


def lift_kinds(shop: Shop) -> tuple[str, ...]:
    """Kinds of lift in this workshop."""
    return tuple(sorted({bay.lift_kind for bay in shop.workshop().bays.values()}))


# --- the workshop's own record -------------------------------------------------------------------


def version_of(shop: Shop, kind: str, id: str) -> int:
    """The version a form is made from."""
    return shop.record(kind, id).version


def save_person(shop: Shop, said: Mapping[str, Any], version: int, by: Actor) -> None:
    """Add a person, or change the one with that id, over the version that was read."""
    about = shop.workshop().about
    others = [to_json(p) for p in about.people]
    kept = next((p for p in others if p["id"] == said["id"]), {})
    changed = {**kept, **said}
    people = [changed if p["id"] == said["id"] else p for p in others]
    _save_about(shop, {"people": people if kept else [*people, changed]}, version, by)


def save_rules(shop: Shop, rules: Mapping[str, Any], version: int, by: Actor) -> None:
    """Change what this shop demands, over the version that was read."""
    _save_about(shop, rules, version, by)


def _save_about(shop: Shop, fields: Mapping[str, Any], version: int, by: Actor) -> None:
    kept = shop.record("workshop", "workshop")
    about = from_json(WorkshopFile, {**to_json(kept.record), **fields})
    shop.save("workshop", "workshop", about, version, by)


@dataclass(frozen=True, slots=True)
class Clash:
    """Two versions of one thing: field by field what the visitor sent and what is on file now."""

    told: str
    rows: tuple[tuple[str, str, str], ...]
    version: int


def clash(
    error: ConflictError, mine: Iterable[tuple[str, str]], theirs: Mapping[str, str], version: int
) -> Clash:
    """Both versions side by side, for the second of two tablets."""
    rows = tuple((k, v, theirs.get(k, "")) for k, v in mine)
    seen = {k for k, _, _ in rows}
    rest = tuple((k, "", v) for k, v in theirs.items() if k not in seen)
    return Clash(error.message, rows + rest, version)
