"""Checks that nothing in the book or the records was changed behind the store's back."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import islice
from typing import Any, Final

from pydantic import ValidationError
from sqlalchemy import and_, func, or_, select
from sqlalchemy.engine import Row

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
Index = set[tuple[str, str]]  # subjects of an event, each with its time


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
        where = f"event {self.seq + 1}"
        if event["seq"] != self.seq + 1:
            return Broken(where, f"it is missing: event {event['seq']} stands in its place")
        if event["previous"] != self.hash:
            return Broken(where, f"it is not chained to event {self.seq}")
        try:
            found = link_hash(event)
        except ValueError:
            return Broken(where, "its content cannot be read")
        if found != event["hash"]:
            return Broken(where, "its content is not what its hash was made from")
        self.seq, self.hash = event["seq"], event["hash"]
        return None


def verify(work: Work) -> Verdict:
    """Walk the whole book of an open reading transaction and name the first broken link."""
    head = Book(work).head()
    chain = Chain(head.book)
    broken = (
        _broken_event(work, chain)
        or _broken_end(chain, head.seq, head.hash)
        or _broken_document(work)
        or _broken_record(work)
    )
    return Verdict(chain.seq, chain.hash, broken)


def _broken_event(work: Work, chain: Chain) -> Broken | None:
    rows = work.conn.execution_options(yield_per=_CHUNK).execute(
        select(EVENTS).order_by(EVENTS.c.seq)
    )
    for some in _chunks(iter(rows)):
        first, last = some[0].seq, some[-1].seq
        links = _links(work, first, last)
        versions = _versions(work, first, last)
        for row in some:
            event = row._asdict()
            broken = chain.next(event) or _broken_index(
                event, links.get(row.seq, set()), versions.get(row.seq)
            )
            if broken:
                return broken
    return None


def _broken_index(
    event: Mapping[str, Any], subjects: Index, version: tuple[Any, ...] | None
) -> Broken | None:
    """What the search index and the history of records hold about an event, against the event."""
    where = f"event {event['seq']}"
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
    about = {(subject, event["at"]) for subject in payload.about()}
    if event["kind"] != "record changed":
        return about, None
    said = payload.model_dump()
    return about, (said["kind"], said["id"], said["version"], said["sha"], said["change"])


def _links(work: Work, first: int, last: int) -> dict[int, Index]:
    wanted = select(EVENT_SUBJECTS).where(EVENT_SUBJECTS.c.seq.between(first, last))
    found: dict[int, Index] = {}
    for row in work.conn.execute(wanted):
        found.setdefault(row.seq, set()).add((row.subject, row.at))
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
    return Broken(f"event {chain.seq + 1}", f"it is missing: the book ends at event {seq}")


def _broken_document(work: Work) -> Broken | None:
    rows = work.conn.execution_options(yield_per=_CHUNK).execute(
        select(DOCUMENTS.c.sha, DOCUMENTS.c.body)
    )
    for row in rows:
        if digest(row.body) != row.sha:
            return Broken(
                f"document {row.sha[:12]}", "its content is not what its hash was made from"
            )
    return None


def _broken_record(work: Work) -> Broken | None:
    """The list of records holds the newest version of each, as its history has it."""
    newest = (
        select(
            RECORD_VERSIONS.c.kind,
            RECORD_VERSIONS.c.id,
            func.max(RECORD_VERSIONS.c.version).label("version"),
        )
        .group_by(RECORD_VERSIONS.c.kind, RECORD_VERSIONS.c.id)
        .subquery()
    )
    same = and_(
        *(RECORDS.c[n] == RECORD_VERSIONS.c[n] for n in ("kind", "id", "version", "sha", "removed"))
    )
    history = RECORD_VERSIONS.join(
        newest,
        and_(*(RECORD_VERSIONS.c[n] == newest.c[n] for n in ("kind", "id", "version"))),
    )
    stray = (
        select(RECORD_VERSIONS.c.kind, RECORD_VERSIONS.c.id)
        .select_from(history.outerjoin(RECORDS, same))
        .where(or_(RECORDS.c.id.is_(None)))
        .limit(1)
    )
    row = work.conn.execute(stray).one_or_none()
    if row is not None:
        return Broken(f"{row.kind} {row.id}", "what is on file is not the newest of its versions")
    return None


def _chunks(rows: Iterator[Row[Any]]) -> Iterator[list[Row[Any]]]:
    while some := list(islice(rows, _CHUNK)):
        yield some
