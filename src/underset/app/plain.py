"""Results as plain data for programs: what the JSON API answers. SI units; keys spell them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, is_dataclass, replace
from datetime import date, datetime
from enum import Enum
from typing import TYPE_CHECKING, Any, cast

from underset.app.planning import Planned
from underset.app.runs import Run
from underset.app.setting_at import There
from underset.app.shop import Actor, Shop
from underset.errors import InputErrors
from underset.records import Workshop, between, from_json, policy_from
from underset.store import RECORD_KINDS, Kept, Listed, body_of

if TYPE_CHECKING:
    from underset.app.bookkeeping import Line
    from underset.app.kept_plans import KeptPlan, PlanAgain

Json = dict[str, Any]
_TABLES = {"vehicle": "vehicles", "bay": "bays", "adapter": "adapters", "job": "jobs"}
_SINGLE = {"workshop": "about", "policy": "policy"}


def plain(value: object) -> Any:
    """Any record or result as JSON data: dates as text, sets in order, enumerations by value."""
    if is_dataclass(value) and not isinstance(value, type):
        return {f.name: plain(getattr(value, f.name)) for f in fields(value)}
    if isinstance(value, Mapping):
        return {str(k): plain(v) for k, v in value.items()}
    if isinstance(value, set | frozenset):
        return sorted(plain(v) for v in value)
    if isinstance(value, list | tuple):
        return [plain(v) for v in value]
    if isinstance(value, Enum):
        return value.value
    return value.isoformat() if isinstance(value, date | datetime) else value


def plan_data(planned: Planned, units: str, language: str) -> Json:
    """A plan in its published form; sentences in `units` and `language`."""
    from underset.app.plan_words import plan_in
    from underset.card import plan_json

    return plan_json(plan_in(planned, language), units=units, language=language)


def there_data(there: There, units: str, language: str) -> Json:
    """A judged stop: setting and states, or the corners that no arm reaches."""
    from underset.card import evaluation_json

    found = there.evaluation
    return {
        "reached": found is not None,
        "unreached": list(there.unreached),
        "windows_m": [list(w) for w in there.windows],
        "evaluation": evaluation_json(found, units=units, language=language) if found else None,
    }


def run_data(run: Run) -> Json:
    """A run with every hold point and what was said at it."""
    points = [
        {
            **{
                "id": p.point.id,
                "title": p.point.title,
                "text": p.point.text,
                "sign": p.point.sign,
            },
            **{"answer": p.answer, "person": p.person, "at": plain(p.at), "note": p.note},
        }
        for p in run.points
    ]
    told = {
        k: getattr(run, k) for k in ("id", "vehicle", "bay", "job", "plan", "invented", "ended")
    }
    return {**told, "next_open": run.next_open, "points": points}


def standing_data(shop: Shop, person: str | None) -> Json:
    """What the book says today of lifts, adapters, people and sources."""
    return cast("Json", plain(shop.standing(person)))


def kept_plan_data(kept: KeptPlan) -> Json:
    """A plan of the book as it was written down."""
    made, event = kept.made, kept.event
    said = {k: plain(getattr(made, k)) for k in ("vehicle", "bay", "job", "outcome", "status")}
    about = {k: plain(getattr(event, k)) for k in ("seq", "at", "person", "device")}
    return {
        "id": made.plan, **said, "invented": made.invented, **about,
        "versions": dict(made.versions), "result": kept.result,
    }  # fmt: skip


def plan_again_data(again: PlanAgain) -> Json:
    """What this version finds otherwise than the version of then."""
    return {
        "id": again.made.plan, "day": again.day.isoformat(), "version": again.version,
        "version_now": again.version_now, "same": not again.differs,
        "differs": plain(again.differs),
    }  # fmt: skip


def line_data(line: Line) -> Json:
    """One event of the book."""
    return {**plain(line), "facts": dict(line.facts)}


def listed_data(listed: Listed) -> Json:
    """A record in a list."""
    return cast("Json", plain(listed))


def record_data(kept: Kept[Any]) -> Json:
    """A record with its version; PUT it back with that version."""
    about = {k: plain(getattr(kept, k)) for k in ("kind", "id", "version", "sha", "at", "person")}
    return {**about, "device": kept.device, "record": body_of(kept.record)}


def save_record(shop: Shop, named: tuple[str, str], said: Json, version: int, by: Actor) -> Json:
    """Store a record (kind, id) over the version its author has read (0: new).

    Raises InputErrors for what does not fit or contradicts other records, ConflictError when
    somebody else changed it meanwhile.
    """
    kind, id = named
    model: Any = RECORD_KINDS[kind]
    record = policy_from(said) if kind == "policy" else from_json(model, said)
    now = shop.workshop()
    before = {e.message for e in between(now)}
    fresh = [e for e in between(_workshop_with(now, kind, id, record)) if e.message not in before]
    if fresh:
        raise InputErrors(fresh)
    return record_data(shop.save(kind, id, record, version, by))


def _workshop_with(workshop: Workshop, kind: str, id: str, record: Any) -> Workshop:
    if kind in _SINGLE:
        changed: Json = {_SINGLE[kind]: record}
    else:
        changed = {_TABLES[kind]: {**getattr(workshop, _TABLES[kind]), id: record}}
    return replace(workshop, **changed)
