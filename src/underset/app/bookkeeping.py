"""The book for people: say something, search it, read one event, check the chain, hand it over."""

from __future__ import annotations

import tempfile
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path
from typing import Any

from underset.app.shop import Actor, Shop
from underset.app.wording import worded
from underset.errors import InputError, NotFoundError
from underset.errors import said as told
from underset.records import not_ahead
from underset.store import (
    KINDS,
    AuthorisationGiven,
    AuthorisationWithdrawn,
    BookKept,
    Event,
    Header,
    Payload,
    PlanMade,
    Query,
    export_book,
    payload_from,
)

KIND_NAMES = tuple(KINDS)
PLAN_MADE = PlanMade.KIND
ON_A_PAGE = 50
_TABLES = {"bay": "bays", "adapter": "adapters", "vehicle": "vehicles"}


@dataclass(frozen=True, slots=True)
class Asked:
    """Which events are wanted; what is empty does not matter. `day` is one day in UTC."""

    kind: str = ""
    subject: str = ""
    person: str = ""
    day: date | None = None
    after: str = ""


@dataclass(frozen=True, slots=True)
class Line:
    """One event as people read it: what it says is in `facts`, name and text."""

    seq: int
    at: datetime
    person: str
    device: str
    kind: str
    subject: str
    subjects: tuple[str, ...]
    facts: tuple[tuple[str, str], ...]
    key: str
    previous: str
    hash: str


@dataclass(frozen=True, slots=True)
class Lines:
    """Some events, newest first, and the cursor of the next page, empty at the end."""

    lines: tuple[Line, ...]
    more: str


@dataclass(frozen=True, slots=True)
class Chain:
    """What a walk along the whole chain found; `where` and `why` name the first broken link."""

    events: int
    head: str
    whole: bool
    where: str = ""
    why: str = ""


def say(shop: Shop, kind: str, said: Mapping[str, Any], by: Actor, key: str = "") -> Line:
    """Write one event down; under the same key it counts once, however often it is sent.

    Raises InputErrors for what does not fit, InputError for what was done on a day to come by the
    shop's own clock, NotFoundError for a bay, adapter or person that is not
    on file, ConflictError for a key that stands for something else.
    """
    _readable(said)
    _on_file(shop, said)
    payload = payload_from(kind, said)
    _done_by(shop.day(), payload)
    return line_of(shop.write_down(payload, by, key))


def _done_by(today: date, payload: Payload) -> None:
    """Only an authorisation may begin or end on a day to come; a check is of the day it is done."""
    day = getattr(payload, "on", None)
    if day is None or isinstance(payload, AuthorisationGiven | AuthorisationWithdrawn):
        return
    if wrong := not_ahead("on", day, today):
        raise wrong


def _readable(said: Mapping[str, Any]) -> None:
    """No signs in a text that nobody can see: they would hide what an entry says."""
    for field, value in said.items():
        if isinstance(value, str) and any(ord(c) < 32 and c not in "\n\r\t" for c in value):
            raise InputError(field, value, "text without control characters")


def _on_file(shop: Shop, said: Mapping[str, Any]) -> None:
    workshop = shop.workshop()
    named = {k: str(said[k]) for k in ("bay", "adapter", "vehicle") if said.get(k)}
    if said.get("thing") in ("bay", "adapter"):
        named[str(said["thing"])] = str(said.get("id", ""))
    for kind, name in named.items():
        known = getattr(workshop, _TABLES[kind])
        if name not in known:
            raise NotFoundError(kind, name, tuple(known))
    person = said.get("person")
    people = [p.id for p in workshop.about.people]
    if person and person not in people:
        raise NotFoundError("person", str(person), people)


def search(shop: Shop, asked: Asked, limit: int = ON_A_PAGE) -> Lines:
    """A page of the book, newest first. Raises InputError for a kind or cursor there is not."""
    if asked.kind and asked.kind not in KINDS:
        raise InputError("kind", asked.kind, told("one of {known}", known=", ".join(KINDS)))
    day = asked.day
    query = Query(
        kinds=(asked.kind,) if asked.kind else (),
        subject=asked.subject,
        person=asked.person,
        since=datetime.combine(day, time.min, UTC) if day else None,
        until=datetime.combine(day, time.min, UTC) + timedelta(days=1) if day else None,
    )
    page = shop.events(query, asked.after, limit)
    return Lines(tuple(line_of(e) for e in page.events), page.more)


def event(shop: Shop, number: int) -> Line:
    """One event by its number; NotFoundError when the book is shorter."""
    with shop.store.read() as tx:
        return line_of(tx.book.get(number))


def line_of(event: Event) -> Line:
    """An event as people read it."""
    facts = tuple((k, _told(v)) for k, v in event.payload.items() if _told(v))
    return Line(
        event.seq, event.at, event.person, event.device, event.kind, event.subject,
        event.read().about(), facts, event.key, event.previous, event.hash,
    )  # fmt: skip


def _told(value: object) -> str:
    if isinstance(value, dict):
        return "; ".join(f"{k}: {_told(v)}" for k, v in value.items())
    if isinstance(value, list | tuple):
        return "; ".join(_told(v) for v in value)
    if isinstance(value, bool):
        return "yes" if value else "no"
    return "" if value is None else str(value)


def chain(shop: Shop, language: str = "en") -> Chain:
    """Walk the whole book and name the first broken link, if there is one, in a language."""
    with shop.store.read() as tx:
        verdict = tx.verify()
    broken = verdict.broken
    if broken is None:
        return Chain(verdict.events, verdict.head, whole=True)
    where, why = worded(broken.where, language), worded(broken.reason, language)
    return Chain(verdict.events, verdict.head, whole=False, where=where, why=why)


def export_to(shop: Shop, path: Path, by: Actor) -> Header:
    """Write the whole book to a file that another shop can read, and note that in the book."""
    header = export_book(shop.store, path)
    _kept(shop, header.book, "exported", header.events, header.head, by)
    return header


def exported(shop: Shop, by: Actor) -> Path:
    """The whole book as a temporary file; who asks for it takes it away."""
    folder = Path(tempfile.mkdtemp(prefix="underset-book-"))
    export_to(shop, folder / "book.jsonl", by)
    return folder / "book.jsonl"


def _kept(shop: Shop, book: str, what: str, events: int, head: str, by: Actor) -> None:
    said = {"book": book, "what": what, "events": events, "head": head}
    shop.write_down(BookKept.model_validate(said), by)


def day_in(text: str, field: str = "day") -> date | None:
    """A day as forms send it; None when empty."""
    if not text:
        return None
    try:
        return date.fromisoformat(text)
    except ValueError as error:
        raise InputError(field, text, "a day such as 2026-11-20") from error
