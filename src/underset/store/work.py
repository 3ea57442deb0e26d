"""Who does something, and the open transaction in which it is done."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import Connection

from underset.errors import InputError, InternalError
from underset.store.canonical import stamp

_LONGEST = 120


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
        raise InputError(name, text, f"1 to {longest} printable characters")
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

    @property
    def stamp(self) -> str:
        """The moment of this transaction as the store writes it."""
        return stamp(self.now)
