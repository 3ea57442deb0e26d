"""Forms that are not finished: kept as typed, checked only when they become records."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final

from sqlalchemy import and_, delete, insert, select, update
from sqlalchemy.engine import Row

from underset.errors import ConflictError, InputError, NotFoundError, said
from underset.store.canonical import canonical, moment
from underset.store.tables import DRAFTS
from underset.store.work import Work, plain_text

LARGEST: Final = 1_000_000  # characters of JSON


@dataclass(frozen=True, slots=True)
class Draft:
    """A form as somebody left it."""

    kind: str
    id: str
    version: int
    body: Mapping[str, Any]
    at: datetime
    person: str
    device: str


@dataclass(frozen=True, slots=True)
class Drafts:
    """The drafts as one open transaction sees them."""

    work: Work

    def save(self, kind: str, id: str, body: Mapping[str, Any], *, version: int) -> Draft:
        """Keep a form over the version that was read (0: a new one).

        Raises ConflictError, naming who saved it, when another version is there.
        """
        text = canonical(dict(body))
        if len(text) > LARGEST:
            raise InputError("draft", len(text), said("at most {most} characters", most=LARGEST))
        plain_text("draft", id)
        found = self._row(kind, id)
        self._check(kind, id, found, version)
        actor = self.work.actor
        row = {
            **{"kind": kind, "id": id, "version": version + 1, "body": text},
            **{"at": self.work.stamp, "person": actor.person, "device": actor.device},
        }
        if found is None:
            self.work.conn.execute(insert(DRAFTS), row)
        else:
            self.work.conn.execute(update(DRAFTS).where(_this(kind, id)).values(row))
        return self.get(kind, id)

    def get(self, kind: str, id: str) -> Draft:
        """A draft by kind and id; NotFoundError when there is none."""
        row = self._row(kind, id)
        if row is None:
            raise NotFoundError(f"draft of {kind}", id, [d.id for d in self.listed(kind)])
        return _draft(row)

    def listed(self, kind: str) -> tuple[Draft, ...]:
        """All drafts of a kind, the one saved last first."""
        wanted = (
            select(DRAFTS).where(DRAFTS.c.kind == kind).order_by(DRAFTS.c.at.desc(), DRAFTS.c.id)
        )
        return tuple(_draft(row) for row in self.work.conn.execute(wanted))

    def discard(self, kind: str, id: str, *, version: int) -> None:
        """Throw a draft away, as when it became a record; ConflictError if it was changed."""
        self._check(kind, id, self._row(kind, id), version)
        self.work.conn.execute(delete(DRAFTS).where(_this(kind, id)))

    def _row(self, kind: str, id: str) -> Row[Any] | None:
        return self.work.conn.execute(select(DRAFTS).where(_this(kind, id))).one_or_none()

    def _check(self, kind: str, id: str, found: Row[Any] | None, version: int) -> None:
        if version == (found.version if found else 0):
            return
        if found is None:
            raise ConflictError(
                said(
                    "the draft '{id}' of a {kind} is gone: it was finished or discarded.",
                    id=id,
                    kind=kind,
                )
            )
        raise ConflictError(
            said(
                "the draft '{id}' of a {kind} was saved by {person}, {at:%Y-%m-%d %H:%M} UTC. "
                "Nothing of yours was stored; read it again.",
                id=id,
                kind=kind,
                person=found.person,
                at=moment(found.at),
            )
        )


def _this(kind: str, id: str) -> Any:
    return and_(DRAFTS.c.kind == kind, DRAFTS.c.id == id)


def _draft(row: Row[Any]) -> Draft:
    return Draft(**{**row._asdict(), "body": json.loads(row.body), "at": moment(row.at)})
