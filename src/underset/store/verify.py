"""Checks that nothing in the book or the records was changed behind the store's back."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import islice
from typing import Any, Final

from pydantic import ValidationError
from sqlalchemy import Select, and_, exists, select
from sqlalchemy.engine import Row

from underset.errors import said
from underset.store.book import Book
from underset.store.canonical import digest, first_link, link_hash
from underset.store.kinds import KINDS
from underset.store.tables import (
    DOCUMENTS,
    EVENT_SUBJECTS,
    EVENTS,
    RECORD_VERSIONS,
    RECORDS,
)
from underset.store.work import Work

_CHUNK: Final = 1000
_SAME: Final = and_(*(column == RECORD_VERSIONS.c[column.name] for column in RECORDS.columns))
_VERSION_ID: Final = (RECORD_VERSIONS.c.kind, RECORD_VERSIONS.c.id)
Index = set[tuple[str, str, str]]  # subjects of an event, each with its time and kind


@dataclass(frozen=True, slots=True)
class Broken:
    """The first place where the book does not hold: which event or row, and what is wrong."""

    where: str
    reason: str


@dataclass(frozen=True, slots=True)
class Verdict:
    """What a check of the whole book found; `head` is the hash to hold a copy against."""

    events: int
    head: str
    broken: Broken | None = None

    @property
    def whole(self) -> bool:
        """Whether every link, document and version holds."""
        return self.broken is None


@dataclass(slots=True)
class Chain:
    """Follows events one by one; `next` says what is wrong with an event, or nothing."""

    book: str
    seq: int = 0
    hash: str = ""

    def __post_init__(self) -> None:
        self.hash = self.hash or first_link(self.book)

    def next(self, event: Mapping[str, Any]) -> Broken | None:
        """Hold one more event, as columns by name, against the chain so far."""
        where = _event(self.seq + 1)
        if event["seq"] != self.seq + 1:
            return Broken(
                where, said("it is missing: event {seq} stands in its place", seq=event["seq"])
            )
        if event["previous"] != self.hash:
            return Broken(where, said("it is not chained to event {seq}", seq=self.seq))
        try:
            found = link_hash(event)
        except (ValueError, RecursionError):
            return Broken(where, "its content cannot be read")
        if found != event["hash"]:
            return Broken(where, "its content is not what its hash was made from")
        self.seq, self.hash = event["seq"], event["hash"]
        return None


def _event(seq: int) -> str:
    return said("event {seq}", seq=seq)


def verify(work: Work) -> Verdict:
    """Walk the whole book of an open reading transaction and name the first broken link."""
    head = Book(work).head()
    chain = Chain(head.book)
    broken = (
        _broken_event(work, chain)
        or _broken_end(chain, head.seq, head.hash)
        or _broken_document(work)
        or _broken_record(work, chain.seq)
    )
    return Verdict(chain.seq, chain.hash, broken)


def _broken_event(work: Work, chain: Chain) -> Broken | None:
    with work.stream(select(EVENTS).order_by(EVENTS.c.seq)) as rows:
        found = (_broken_among(work, chain, some) for some in _chunks(iter(rows)))
        return next((broken for broken in found if broken), None)


def _broken_among(work: Work, chain: Chain, some: list[Row[Any]]) -> Broken | None:
    links = _links(work, some[0].seq, some[-1].seq)
    versions = _versions(work, some[0].seq, some[-1].seq)
    for row in some:
        event, about = row._asdict(), links.get(row.seq, set())
        broken = chain.next(event) or _broken_index(event, about, versions.get(row.seq))
        if broken:
            return broken
    return None


def _broken_index(
    event: Mapping[str, Any], subjects: Index, version: tuple[Any, ...] | None
) -> Broken | None:
    """What the search index and the history of records hold about an event, against the event."""
    where = _event(event["seq"])
    about, recorded = _said(event)
    if about is not None and about != subjects:
        return Broken(where, "it is not listed under its subjects")
    if recorded != version:
        return Broken(where, "the history of its record says something else")
    return None


def _said(event: Mapping[str, Any]) -> tuple[Index | None, tuple[Any, ...] | None]:
    kind = KINDS.get(event["kind"])
    if kind is None:
        return None, None  # a newer version's kind: its chain link was held, its index cannot be
    try:
        payload = kind.model_validate(json.loads(event["payload"]))
    except ValidationError:
        return None, None
    about = {(subject, event["at"], event["kind"]) for subject in payload.about()}
    if event["kind"] != "record changed":
        return about, None
    told = payload.model_dump()
    return about, (told["kind"], told["id"], told["version"], told["sha"], told["change"])


def _links(work: Work, first: int, last: int) -> dict[int, Index]:
    wanted = select(EVENT_SUBJECTS).where(EVENT_SUBJECTS.c.seq.between(first, last))
    found: dict[int, Index] = {}
    for row in work.conn.execute(wanted):
        found.setdefault(row.seq, set()).add((row.subject, row.at, row.kind))
    return found


def _versions(work: Work, first: int, last: int) -> dict[int, tuple[Any, ...]]:
    wanted = select(RECORD_VERSIONS).where(RECORD_VERSIONS.c.event.between(first, last))
    return {row.event: _as_said(row) for row in work.conn.execute(wanted)}


def _as_said(row: Row[Any]) -> tuple[Any, ...]:
    change = "removed" if row.removed else "added" if row.version == 1 else "changed"
    return (row.kind, row.id, row.version, row.sha, change)


def _broken_end(chain: Chain, seq: int, hash: str) -> Broken | None:
    if (chain.seq, chain.hash) == (seq, hash):
        return None
    ends = said("it is missing: the book ends at event {seq}", seq=seq)
    return Broken(_event(chain.seq + 1), ends)


def _broken_document(work: Work) -> Broken | None:
    with work.stream(select(DOCUMENTS.c.sha, DOCUMENTS.c.body)) as rows:
        bad = next((row.sha for row in rows if digest(row.body) != row.sha), None)
    if bad is None:
        return None
    return Broken(
        said("document {sha}", sha=bad[:12]), "its content is not what its hash was made from"
    )


def _broken_record(work: Work, last: int) -> Broken | None:
    """Every version has its event, and the list of records holds the newest version of each."""
    stale = "what is on file is not the newest of its versions"
    return (
        _first(work, select(*_VERSION_ID).where(RECORD_VERSIONS.c.event > last), "it has no event")
        or _first(work, _newest_not_listed(), stale)
        or _first(work, _listed_without_version(), stale)
    )


def _first(work: Work, wanted: Select[Any], reason: str) -> Broken | None:
    row = work.conn.execute(wanted.limit(1)).one_or_none()
    return Broken(said("{kind} {id}", kind=row.kind, id=row.id), reason) if row else None


def _newest_not_listed() -> Select[Any]:
    later = RECORD_VERSIONS.alias()
    is_later = and_(
        later.c.kind == RECORD_VERSIONS.c.kind,
        later.c.id == RECORD_VERSIONS.c.id,
        later.c.version > RECORD_VERSIONS.c.version,
    )
    joined = RECORD_VERSIONS.outerjoin(RECORDS, _SAME)
    wanted = select(*_VERSION_ID).select_from(joined).where(RECORDS.c.id.is_(None))
    return wanted.where(~exists().where(is_later))


def _listed_without_version() -> Select[Any]:
    joined = RECORDS.outerjoin(RECORD_VERSIONS, _SAME)
    wanted = select(RECORDS.c.kind, RECORDS.c.id).select_from(joined)
    return wanted.where(RECORD_VERSIONS.c.id.is_(None))


def _chunks(rows: Iterator[Row[Any]]) -> Iterator[list[Row[Any]]]:
    while some := list(islice(rows, _CHUNK)):
        yield some
