"""Who does something, and the open transaction in which it is done."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, CursorResult, Select

from underset.errors import InputError, InternalError, said
from underset.store.canonical import stamp

_LONGEST = 120
_AT_ONCE = 1000


@dataclass(frozen=True, slots=True)
class Actor:
    """The person who acts and the device they use; a person is named by id."""

    person: str
    device: str = ""

    def __post_init__(self) -> None:
        plain_text("person", self.person)
        if self.device:
            plain_text("device", self.device)


def plain_text(name: str, text: str, longest: int = _LONGEST) -> str:
    """A short printable text as it is; raises InputError for anything else."""
    if not text or len(text) > longest or not text.isprintable():
        raise InputError(name, text, said("1 to {most} printable characters", most=longest))
    return text


@dataclass(frozen=True, slots=True)
class Work:
    """An open transaction: its connection, its one moment, and who writes in it, if anybody."""

    conn: Connection
    now: datetime
    by: Actor | None = None

    @property
    def actor(self) -> Actor:
        """Who writes; a transaction opened for reading has nobody, and asking is our own slip."""
        if self.by is None:
            raise InternalError("a transaction opened for reading was asked to write.")
        return self.by

    @contextmanager
    def stream(self, wanted: Select[Any]) -> Iterator[CursorResult[Any]]:
        """The rows of a query a part at a time, so that memory does not grow with their number."""
        with self.conn.execute(wanted.execution_options(yield_per=_AT_ONCE)) as rows:
            yield rows

    @property
    def stamp(self) -> str:
        """The moment of this transaction as the store writes it."""
        return stamp(self.now)
