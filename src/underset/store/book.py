"""The book: events in the order they were accepted, each chained to the one before by its hash."""

from __future__ import annotations

import json
import uuid
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any, Final

from sqlalchemy import ColumnElement, Select, and_, insert, select, tuple_, union_all, update
from sqlalchemy.engine import Row

from underset.errors import ConflictError, InputError, NotFoundError, said
from underset.store.canonical import canonical, digest, link_hash, moment, stamp
from underset.store.kinds import KINDS, Payload, payload_on_file
from underset.store.tables import BOOK, DOCUMENTS, EVENT_SUBJECTS, EVENTS
from underset.store.work import Work, plain_text

MOST_ON_A_PAGE: Final = 500
_COLUMNS: Final = tuple(EVENTS.columns.keys())
_CHUNK = 500


@dataclass(frozen=True, slots=True)
class Event:
    """One event of the book. `hash` covers every other field; `previous` is the hash before it."""

    seq: int
    at: datetime
    person: str
    device: str
    kind: str
    subject: str
    key: str
    payload: Mapping[str, Any]
    previous: str
    hash: str

    def read(self) -> Payload:
        """What the event says, typed; StoreError when a newer version wrote it."""
        return payload_on_file(self.kind, self.payload)


@dataclass(frozen=True, slots=True)
class Head:
    """Where the book ends: its id, the number and hash of its last event."""

    book: str
    seq: int
    hash: str


@dataclass(frozen=True, slots=True)
class Entry:
    """An event to be: what it says, and a key under which it counts once, however often sent."""

    payload: Payload
    key: str = ""


@dataclass(frozen=True, slots=True)
class Query:
    """Which events are wanted; what is left empty does not matter. `until` itself is not in."""

    kinds: tuple[str, ...] = ()
    subject: str = ""
    person: str = ""
    since: datetime | None = None
    until: datetime | None = None
    oldest_first: bool = False


@dataclass(frozen=True, slots=True)
class Page:
    """Some events in the order asked for, and the cursor of the next page, empty at the end."""

    events: tuple[Event, ...]
    more: str


@dataclass(frozen=True, slots=True)
class Book:
    """The book as one open transaction sees it."""

    work: Work

    # --- writing ---------------------------------------------------------------------------------

    def append(self, payload: Payload, *, key: str = "") -> Event:
        """Add one event and return it as stored.

        An event with the same key and content as before is not added again: the first one is
        returned. Raises ConflictError when the key was used for something else.
        """
        return self.append_all([Entry(payload, key)])[0]

    def append_all(self, entries: Sequence[Entry]) -> tuple[Event, ...]:
        """Add many events in order, each like `append`."""
        head = self.head()
        known = self._under_keys([e.key for e in entries if e.key])
        fresh: list[tuple[dict[str, Any], Payload]] = []
        events: list[Event] = []
        for entry in entries:
            event = known.get(entry.key)
            if event is not None:
                _same(event, entry, self.work.actor.person)
            else:
                row = self._row(entry, head)
                fresh.append((row, entry.payload))
                head = Head(head.book, row["seq"], row["hash"])
                event = known[row["key"]] = event_from(row)
            events.append(event)
        if fresh:
            self._write(fresh, head)
        return tuple(events)

    def keep(self, document: Any) -> str:
        """Store a JSON document under its own hash, once, and return the hash."""
        return self.keep_all([canonical(document)])[0]

    def keep_all(self, texts: Sequence[str]) -> tuple[str, ...]:
        """Store canonical texts under their hashes; those already there are left as they are."""
        bodies = {digest(text): text for text in texts}
        there = set()
        for some in _chunks(list(bodies)):
            there |= set(
                self.work.conn.scalars(select(DOCUMENTS.c.sha).where(DOCUMENTS.c.sha.in_(some)))
            )
        rows = [{"sha": sha, "body": body} for sha, body in bodies.items() if sha not in there]
        if rows:
            self.work.conn.execute(insert(DOCUMENTS), rows)
        return tuple(digest(text) for text in texts)

    # --- reading ---------------------------------------------------------------------------------

    def head(self) -> Head:
        """Where the book ends."""
        row = self.work.conn.execute(select(BOOK.c.id, BOOK.c.seq, BOOK.c.hash)).one()
        return Head(row.id, row.seq, row.hash)

    def get(self, seq: int) -> Event:
        """The event of that number; NotFoundError when the book is shorter."""
        row = self.work.conn.execute(select(EVENTS).where(EVENTS.c.seq == seq)).one_or_none()
        if row is None:
            raise NotFoundError("event", str(seq), [f"1 to {self.head().seq}"])
        return event_of(row)

    def under_key(self, key: str) -> Event | None:
        """The event that was sent with a key, if it was stored."""
        return self._under_keys([key]).get(key)

    def document(self, sha: str) -> Any:
        """A stored document by its hash; NotFoundError when there is none."""
        body = self.work.conn.scalar(select(DOCUMENTS.c.body).where(DOCUMENTS.c.sha == sha))
        if body is None:
            raise NotFoundError("document", sha, [])
        return json.loads(body)

    def find(self, query: Query = Query(), *, after: str = "", limit: int = 50) -> Page:
        """One page of the events that a query wants, newest first unless it says otherwise.

        `after` is the cursor of the page before. Decision: pages begin after a place in the order,
        not after a count, so that the thousandth page costs what the first one does.
        """
        if not 1 <= limit <= MOST_ON_A_PAGE:
            most = said("1 to {most} events on a page", most=MOST_ON_A_PAGE)
            raise InputError("limit", limit, most)
        _check(query)
        rows = self.work.conn.execute(_page(query, after, limit + 1)).all()
        more = _cursor(rows[limit - 1]) if len(rows) > limit else ""
        return Page(tuple(event_of(row) for row in rows[:limit]), more)

    def all_of(self, kinds: Iterable[str]) -> tuple[Event, ...]:
        """Every event of some kinds in the order of the book."""
        wanted = select(EVENTS).where(EVENTS.c.kind.in_(list(kinds))).order_by(EVENTS.c.seq)
        return tuple(event_of(row) for row in self.work.conn.execute(wanted))

    def latest_of(self, kind: str, subjects: Iterable[str]) -> tuple[Event, ...]:
        """The last event of a kind on each subject, in the order of the book."""
        found = [self.find(Query(kinds=(kind,), subject=s), limit=1).events for s in subjects]
        return tuple(sorted((e for events in found for e in events), key=lambda e: e.seq))

    # --- inside ----------------------------------------------------------------------------------

    def _under_keys(self, keys: Sequence[str]) -> dict[str, Event]:
        found: dict[str, Event] = {}
        for some in _chunks(keys):
            rows = self.work.conn.execute(select(EVENTS).where(EVENTS.c.key.in_(some)))
            found |= {row.key: event_of(row) for row in rows}
        return found

    def _row(self, entry: Entry, head: Head) -> dict[str, Any]:
        about, actor = entry.payload.about(), self.work.actor
        row = {
            "seq": head.seq + 1,
            "at": self.work.stamp,
            "person": actor.person,
            "device": actor.device,
            "kind": entry.payload.KIND,
            "subject": about[0],
            "key": plain_text("key", entry.key or uuid.uuid4().hex),
            "payload": canonical(entry.payload.model_dump(mode="json")),
            "previous": head.hash,
        }
        return {**row, "hash": link_hash(row)}

    def _write(self, fresh: list[tuple[dict[str, Any], Payload]], head: Head) -> None:
        links = [
            {"subject": subject, "at": row["at"], "seq": row["seq"], "kind": row["kind"]}
            for row, payload in fresh
            for subject in payload.about()
        ]
        self.work.conn.execute(insert(EVENTS), [row for row, _ in fresh])
        self.work.conn.execute(insert(EVENT_SUBJECTS), links)
        self.work.conn.execute(update(BOOK).values(seq=head.seq, hash=head.hash))


def event_of(row: Row[Any]) -> Event:
    """An event from a row of the table."""
    return event_from(row._asdict())


def event_from(row: Mapping[str, Any]) -> Event:
    """An event from the columns of the table by name."""
    fields = {name: row[name] for name in _COLUMNS}
    return Event(**{**fields, "at": moment(row["at"]), "payload": json.loads(row["payload"])})


def _same(event: Event, entry: Entry, person: str) -> None:
    """Refuse a key that stands for something else already."""
    sent = json.loads(canonical(entry.payload.model_dump(mode="json")))
    if (event.kind, event.person, event.payload) != (entry.payload.KIND, person, sent):
        raise ConflictError(
            said(
                "the key {key!r} already stands for event {seq} ({kind}, by {person} at "
                "{at:%Y-%m-%d %H:%M} UTC). Send a new event under a new key.",
                key=entry.key, seq=event.seq, kind=event.kind, person=event.person, at=event.at,
            )
        )  # fmt: skip


# --- queries -------------------------------------------------------------------------------------


def _check(query: Query) -> None:
    for kind in query.kinds:
        if kind not in KINDS:
            raise InputError("kind", kind, said("one of {known}", known=", ".join(KINDS)))
    for name in ("subject", "person"):
        if getattr(query, name):
            plain_text(name, getattr(query, name))


def _page(query: Query, after: str, count: int) -> Any:
    """The statement for one page.

    Decision: several kinds are one short list each, put together: either engine then walks its
    index instead of sorting everything of those kinds.
    """
    singles = [replace(query, kinds=(kind,)) for kind in query.kinds] or [query]
    parts = [_one_kind(single, after, count) for single in singles]
    if len(parts) == 1:
        return parts[0]
    joined = union_all(*(select(part.subquery()) for part in parts)).subquery()
    return select(joined).order_by(*_order(query, joined.c.at, joined.c.seq)).limit(count)


def _one_kind(query: Query, after: str, count: int) -> Select[Any]:
    keyed = EVENT_SUBJECTS if query.subject else EVENTS
    at, seq = keyed.c.at, keyed.c.seq
    wanted = select(EVENTS)
    if query.subject:
        wanted = wanted.join(EVENT_SUBJECTS, EVENT_SUBJECTS.c.seq == EVENTS.c.seq)
    conditions = [*_conditions(query, at), *_beyond(query, after, at, seq)]
    return wanted.where(and_(True, *conditions)).order_by(*_order(query, at, seq)).limit(count)


def _conditions(query: Query, at: ColumnElement[str]) -> list[ColumnElement[bool]]:
    conditions: list[ColumnElement[bool]] = []
    if query.kinds:
        kinds = (EVENT_SUBJECTS if query.subject else EVENTS).c.kind
        conditions.append(kinds == query.kinds[0])
    if query.subject:
        conditions.append(EVENT_SUBJECTS.c.subject == query.subject)
    if query.person:
        conditions.append(EVENTS.c.person == query.person)
    if query.since:
        conditions.append(at >= stamp(query.since))
    if query.until:
        conditions.append(at < stamp(query.until))
    return conditions


def _beyond(
    query: Query, after: str, at: ColumnElement[str], seq: ColumnElement[int]
) -> list[ColumnElement[bool]]:
    if not after:
        return []
    place = tuple_(*_read_cursor(after))
    return [tuple_(at, seq) > place if query.oldest_first else tuple_(at, seq) < place]


def _order(query: Query, *columns: ColumnElement[Any]) -> list[ColumnElement[Any]]:
    return [column.asc() if query.oldest_first else column.desc() for column in columns]


def _cursor(row: Row[Any]) -> str:
    return f"{row.at}_{row.seq}"


def _read_cursor(text: str) -> tuple[str, int]:
    at, _, seq = text.partition("_")
    try:
        return stamp(moment(at)), int(seq)
    except ValueError as error:
        raise InputError("after", text, "the cursor that came with the page before") from error


def _chunks(items: Sequence[str]) -> Iterable[Sequence[str]]:
    return (items[at : at + _CHUNK] for at in range(0, len(items), _CHUNK))
