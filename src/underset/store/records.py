"""Records by kind and id: every version kept, changes of two people told apart.

A version's content is a stored document; a "record changed" event of the book names its hash, so
that the chain covers the records too.
"""

from __future__ import annotations

import json
import re
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import lru_cache
from typing import Any, Final, Generic, TypeVar, cast

from pydantic import ValidationError
from sqlalchemy import ColumnElement, and_, insert, select, update
from sqlalchemy.engine import Row

from underset.errors import ConflictError, InputError, NotFoundError, StoreError, said
from underset.records import (
    DEFAULT_POLICY,
    Adapter,
    Bay,
    Job,
    Policy,
    Record,
    Vehicle,
    Workshop,
    WorkshopFile,
    policy_from,
    to_json,
)
from underset.store.book import Book, Entry
from underset.store.canonical import canonical, digest, moment
from underset.store.kinds import RecordChanged
from underset.store.tables import DOCUMENTS, RECORD_VERSIONS, RECORDS
from underset.store.work import Work

Kind = type[Vehicle] | type[Bay] | type[Adapter] | type[Job] | type[WorkshopFile] | type[Policy]
R = TypeVar("R", Vehicle, Bay, Adapter, Job, WorkshopFile, Policy)

RECORD_KINDS: Final[dict[str, Kind]] = {
    "vehicle": Vehicle,
    "bay": Bay,
    "adapter": Adapter,
    "job": Job,
    "workshop": WorkshopFile,
    "policy": Policy,
}
_NAMES: Final = {kind: name for name, kind in RECORD_KINDS.items()}
ONLY_ID: Final = {"workshop": "workshop", "policy": "policy"}
_ID: Final = re.compile(r"[a-z0-9][a-z0-9-]{0,62}")
_NEAREST = 20
_CHUNK = 400


@dataclass(frozen=True, slots=True)
class Listed:
    """A record in a list: what it is called, and who changed it last."""

    kind: str
    id: str
    label: str
    version: int
    at: datetime
    person: str
    device: str


@dataclass(frozen=True, slots=True)
class Kept(Generic[R]):
    """One version of a record with who stored it and when; `sha` is the hash of its content."""

    kind: str
    id: str
    version: int
    record: R
    sha: str
    at: datetime
    person: str
    device: str
    removed: bool = False


@dataclass(frozen=True, slots=True)
class Change:
    """A record to be stored over the version its author has read (0: new); None takes it off."""

    id: str
    record: Record | Policy | None
    version: int = 0


@dataclass(frozen=True, slots=True)
class Records:
    """The records as one open transaction sees them."""

    work: Work

    # --- reading ---------------------------------------------------------------------------------

    def get(self, kind: type[R], id: str) -> Kept[R]:
        """The newest version of a record; NotFoundError when there is none or it was removed."""
        head = self._head(_NAMES[kind], id)
        if head is None or head.removed:
            raise NotFoundError(_NAMES[kind], id, self._near(_NAMES[kind], id))
        return self._kept(kind, _versions(_NAMES[kind], id, head.version))[0]

    def version(self, kind: type[R], id: str, version: int) -> Kept[R]:
        """One version of a record, however old, removed or not."""
        found = self._kept(kind, _versions(_NAMES[kind], id, version))
        if not found:
            raise NotFoundError(f"version of {_NAMES[kind]} {id}", str(version), [])
        return found[0]

    def content(self, kind: type[R], sha: str) -> R:
        """The record whose stored content has that hash; NotFoundError when there is none."""
        return record_from(kind, canonical(Book(self.work).document(sha)))

    def history(self, kind: type[R], id: str) -> tuple[Kept[R], ...]:
        """Every version of a record, newest first; empty when there never was one."""
        return self._kept(kind, _versions(_NAMES[kind], id))[::-1]

    def listed(self, kind: type[R]) -> tuple[Listed, ...]:
        """All records of a kind by id, without their content."""
        name = _NAMES[kind]
        wanted = select(RECORDS).where(RECORDS.c.kind == name, ~RECORDS.c.removed)
        rows = self.work.conn.execute(wanted.order_by(RECORDS.c.id))
        return tuple(
            Listed(name, r.id, r.label, r.version, moment(r.at), r.person, r.device) for r in rows
        )

    def every(self, kind: type[R], ids: Collection[str] | None = None) -> dict[str, R]:
        """Records of a kind by id, or those of them whose ids are given."""
        wanted = select(RECORDS.c.id, DOCUMENTS.c.body).join(DOCUMENTS).order_by(RECORDS.c.id)
        wanted = wanted.where(RECORDS.c.kind == _NAMES[kind], ~RECORDS.c.removed)
        if ids is not None:
            wanted = wanted.where(RECORDS.c.id.in_(list(ids)))
        return {r.id: record_from(kind, r.body) for r in self.work.conn.execute(wanted)}

    def workshop(self, vehicles: Collection[str] | None = None) -> Workshop:
        """Everything on file together; `vehicles` limits it to those, where there are very many."""
        about = self.every(WorkshopFile).get(ONLY_ID["workshop"])
        if about is None:
            raise NotFoundError("workshop", ONLY_ID["workshop"], [])
        return Workshop(
            about=about,
            policy=self.every(Policy).get(ONLY_ID["policy"], DEFAULT_POLICY),
            vehicles=self.every(Vehicle, vehicles),
            bays=self.every(Bay),
            adapters=self.every(Adapter),
            jobs=self.every(Job),
        )

    # --- writing ---------------------------------------------------------------------------------

    def put(self, id: str, record: R, *, version: int) -> Kept[R]:
        """Store a record over the version its author has read (0: it is new).

        The same content again makes no new version. Raises ConflictError, naming who changed it and
        when, if the version on file is another one.
        """
        self.put_all(type(record), [Change(id, record, version)])
        return self.get(type(record), id)

    def remove(self, kind: type[R], id: str, *, version: int) -> None:
        """Take a record off the lists; its versions stay."""
        self.put_all(kind, [Change(id, None, version)])

    def put_all(self, kind: type[R], changes: Sequence[Change]) -> int:
        """Store many records of one kind, all or none; how many were really changed is returned."""
        name = _NAMES[kind]
        ids = [change.id for change in changes]
        if len(set(ids)) < len(ids):
            raise InputError("id", name, "each id stands once in one change")
        heads = self._heads(name, ids)
        fresh = []
        for change in changes:
            head = heads.get(change.id)
            _check(name, change, head)
            text = canonical(body_of(change.record)) if change.record else ""
            sha = digest(text) if text else head.sha if head else ""
            if head is None or head.sha != sha or head.removed != (change.record is None):
                fresh.append((_row(name, change, sha, head), text))
        if fresh:
            self._store(fresh)
        return len(fresh)

    # --- inside ----------------------------------------------------------------------------------

    def _store(self, fresh: list[tuple[dict[str, Any], str]]) -> None:
        book, actor = Book(self.work), self.work.actor
        book.keep_all([text for _, text in fresh if text])
        who = {"at": self.work.stamp, "person": actor.person, "device": actor.device}
        rows = [{**row, **who} for row, _ in fresh]
        events = book.append_all([Entry(_event(row)) for row in rows])
        versions = [{**row, "event": e.seq} for row, e in zip(rows, events, strict=True)]
        self.work.conn.execute(insert(RECORD_VERSIONS), versions)
        self._move_heads(rows)

    def _move_heads(self, rows: list[dict[str, Any]]) -> None:
        new = [row for row in rows if row["version"] == 1]
        if new:
            self.work.conn.execute(insert(RECORDS), new)
        for row in rows:
            if row["version"] > 1:
                here = and_(RECORDS.c.kind == row["kind"], RECORDS.c.id == row["id"])
                self.work.conn.execute(update(RECORDS).where(here).values(row))

    def _head(self, name: str, id: str) -> Row[Any] | None:
        return self._heads(name, [id]).get(id) if _ID.fullmatch(id) else None

    def _heads(self, name: str, ids: Sequence[str]) -> dict[str, Row[Any]]:
        found: dict[str, Row[Any]] = {}
        for at in range(0, len(ids), _CHUNK):
            some = RECORDS.c.id.in_(ids[at : at + _CHUNK])
            rows = self.work.conn.execute(select(RECORDS).where(RECORDS.c.kind == name, some))
            found |= {row.id: row for row in rows}
        return found

    def _kept(self, kind: type[R], which: ColumnElement[bool]) -> tuple[Kept[R], ...]:
        wanted = select(RECORD_VERSIONS, DOCUMENTS.c.body).join(DOCUMENTS).where(which)
        rows = self.work.conn.execute(wanted.order_by(RECORD_VERSIONS.c.version))
        return tuple(
            Kept(
                kind=r.kind,
                id=r.id,
                version=r.version,
                record=record_from(kind, r.body),
                sha=r.sha,
                at=moment(r.at),
                person=r.person,
                device=r.device,
                removed=r.removed,
            )
            for r in rows
        )

    def _near(self, name: str, id: str) -> list[str]:
        """Some ids on file, from where the unknown one would stand in the list."""
        mine = and_(RECORDS.c.kind == name, ~RECORDS.c.removed)
        there = select(RECORDS.c.id).where(mine)
        if _ID.fullmatch(id):
            there = there.where(RECORDS.c.id >= id[:1])
        return list(self.work.conn.scalars(there.order_by(RECORDS.c.id).limit(_NEAREST)))


def _versions(name: str, id: str, version: int | None = None) -> ColumnElement[bool]:
    which = and_(RECORD_VERSIONS.c.kind == name, RECORD_VERSIONS.c.id == id)
    return which if version is None else and_(which, RECORD_VERSIONS.c.version == version)


def _check(name: str, change: Change, head: Row[Any] | None) -> None:
    if name in ONLY_ID and change.id != ONLY_ID[name]:
        raise InputError("id", change.id, said("one of {known}", known=ONLY_ID[name]))
    if not _ID.fullmatch(change.id):
        raise InputError("id", change.id, "an id has 1 to 63 small letters, digits and hyphens")
    on_file = 0 if head is None or head.removed else head.version
    if change.record is None and not on_file:
        raise NotFoundError(name, change.id, [])
    if change.version == on_file:
        return
    if head is None:
        raise ConflictError(
            said(
                "{kind} {id!r} is not on file, so version {version} cannot be changed.",
                kind=name, id=change.id, version=change.version,
            )
        )  # fmt: skip
    raise ConflictError(
        said(
            "{kind} {id!r} was {did} by {person}{device} on {at:%Y-%m-%d %H:%M} UTC: version "
            "{head} is on file, yours was made from version {version}. Nothing of yours was "
            "stored; read it again.",
            kind=name, id=change.id, did="removed" if head.removed else "changed",
            person=head.person, at=moment(head.at), head=head.version, version=change.version,
            device=said(" at {device}", device=head.device) if head.device else "",
        )
    )  # fmt: skip


def _row(name: str, change: Change, sha: str, head: Row[Any] | None) -> dict[str, Any]:
    return {
        "kind": name,
        "id": change.id,
        "version": (head.version if head else 0) + 1,
        "label": label_of(change.record) if change.record else head.label if head else "",
        "sha": sha,
        "removed": change.record is None,
    }


def _event(row: Mapping[str, Any]) -> RecordChanged:
    first = row["version"] == 1
    return RecordChanged(
        kind=row["kind"],
        id=row["id"],
        version=row["version"],
        sha=row["sha"],
        change="removed" if row["removed"] else "added" if first else "changed",
    )


# --- records and their stored text ---------------------------------------------------------------


def body_of(record: Record | Policy) -> dict[str, Any]:
    """What was said in a record, as JSON; a policy whole, so that a new default changes none."""
    if isinstance(record, Policy):
        return {t.name: {"value": t.text, "source": t.source} for t in record.thresholds}
    return to_json(record)


def record_from(kind: type[R], text: str) -> R:
    """The record a stored text holds. Raises StoreError when this version cannot read it."""
    return cast("R", _read(_NAMES[kind], text))


@lru_cache(maxsize=4096)
def _read(name: str, text: str) -> Record | Policy:
    """Decision: read once per content; records are frozen, so everybody may share them."""
    try:
        body = json.loads(text)
        model = RECORD_KINDS[name]
        return model.model_validate(body) if issubclass(model, Record) else policy_from(body)
    except (ValidationError, InputError) as error:
        raise StoreError(
            said(
                "a stored {kind} cannot be read by this version ({error}). "
                "Read it with the version that wrote it, or a newer one.",
                kind=name, error=str(error),
            )
        ) from error  # fmt: skip


def label_of(record: Record | Policy) -> str:
    """What people call a record."""
    if isinstance(record, Policy):
        return "Policy"
    return str(getattr(record, "label", "") or getattr(record, "name", ""))
