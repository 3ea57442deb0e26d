"""Driver errors of both engines become StoreError or ConflictError here, and nowhere else."""

from __future__ import annotations

import errno
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Final

from sqlalchemy.exc import DBAPIError, SQLAlchemyError
from sqlalchemy.exc import TimeoutError as QueueTimeout

from underset.errors import ConflictError, StoreError, said

_SAFE: Final = "Nothing of this change was stored; what was stored before is safe."

FULL: Final = "the disk of {place} is full. {safe} Make room, then do it again."
READ_ONLY: Final = (
    "{place} may only be read. {safe} Allow writing to the file and its folder, then do it again."
)
LOCKED: Final = (
    "{place} is locked by another program. {safe} Wait until a backup or import has ended, "
    "then do it again."
)
UNREACHABLE: Final = (
    "{place} cannot be reached. Check that the server runs, its address and the network. ({said})"
)
LOST: Final = (
    "contact with {place} was lost; whether the last change was stored is not known. "
    "Send it again: an event with the same key counts once. ({said})"
)
REFUSED: Final = "{place} does not let us in: check user, password and database name. ({said})"
NOT_ALLOWED: Final = "the database user may not do this in {place}. {safe} ({said})"
DAMAGED: Final = (
    "{place} is damaged or not a store. Nothing was changed. Keep the file as it is and restore "
    "the last backup into a new store. ({said})"
)
NO_FILE: Final = "{place} cannot be opened: check that its folder is there and may be written."
DISK: Final = "the disk of {place} fails. {safe} Check the disk before going on. ({said})"
APPEND_ONLY: Final = "the book of {place} takes additions only. {safe} ({said})"
BUSY: Final = "{place} has no more room for work at the moment. {safe} Do it again. ({said})"
OTHER: Final = "{place} refused. {safe} ({said})"
CONFLICT: Final = (
    "somebody else changed the same thing in {place} at the same moment. {safe} "
    "Read it again and repeat your change."
)

# Primary names of SQLite's result codes (sqlite.org/rescode.html), errors only.
SQLITE: Final[dict[str, str]] = {
    "ABORT": OTHER,
    "AUTH": NOT_ALLOWED,
    "BUSY": LOCKED,
    "CANTOPEN": NO_FILE,
    "CONSTRAINT": OTHER,
    "CORRUPT": DAMAGED,
    "EMPTY": OTHER,
    "ERROR": OTHER,
    "FORMAT": DAMAGED,
    "FULL": FULL,
    "INTERNAL": OTHER,
    "INTERRUPT": OTHER,
    "IOERR": DISK,
    "LOCKED": LOCKED,
    "MISMATCH": OTHER,
    "MISUSE": OTHER,
    "NOLFS": DISK,
    "NOMEM": BUSY,
    "NOTADB": DAMAGED,
    "NOTFOUND": OTHER,
    "PERM": NOT_ALLOWED,
    "PROTOCOL": LOCKED,
    "RANGE": OTHER,
    "READONLY": READ_ONLY,
    "SCHEMA": OTHER,
    "TOOBIG": OTHER,
}
SQLITE_EXACT: Final[dict[str, str]] = {
    "SQLITE_CONSTRAINT_TRIGGER": APPEND_ONLY,
    "SQLITE_CONSTRAINT_PRIMARYKEY": CONFLICT,
    "SQLITE_CONSTRAINT_UNIQUE": CONFLICT,
}

# Classes of SQLSTATE and single codes (PostgreSQL manual, appendix A); the longest match counts.
POSTGRES: Final[dict[str, str]] = {
    "08": LOST,
    "22": OTHER,
    "23": OTHER,
    "23505": CONFLICT,
    "25": OTHER,
    "25006": READ_ONLY,
    "28": REFUSED,
    "3D": REFUSED,
    "40": CONFLICT,
    "42": OTHER,
    "42501": NOT_ALLOWED,
    "53": BUSY,
    "53100": FULL,
    "54": OTHER,
    "55": OTHER,
    "55P03": LOCKED,
    "57": LOST,
    "57014": LOCKED,
    "58": DISK,
    "F0": OTHER,
    "P0001": APPEND_ONLY,
    "XX": DAMAGED,
    "XX000": OTHER,
}


@contextmanager
def database_refusals(place: str) -> Iterator[None]:
    """Errors of the driver and the pool inside this block become errors of ours."""
    try:
        yield
    except (SQLAlchemyError, sqlite3.Error) as error:
        raise refusal(error, place) from error


@contextmanager
def disk_refusals(place: str) -> Iterator[None]:
    """Errors of the disk inside this block become errors of ours; it handles this place alone."""
    try:
        yield
    except OSError as error:
        raise refusal(error, place) from error


def refusal(error: Exception, place: str) -> StoreError:
    """The error of ours that says what a driver's error means; `place` is a path or address."""
    told = sentence_for(error)
    kind = ConflictError if told is CONFLICT else StoreError
    words = next((line for line in str(_cause(error)).splitlines() if line), type(error).__name__)
    return kind(said(told, place=place, said=words.strip(), safe=_SAFE))


def sentence_for(error: Exception) -> str:
    """Which of the sentences above fits a driver's error."""
    cause = _cause(error)
    if isinstance(cause, QueueTimeout):
        return LOCKED
    if isinstance(cause, OSError):
        return _of_disk(cause)
    if isinstance(cause, sqlite3.Error):
        return of_sqlite(getattr(cause, "sqlite_errorname", None) or "")
    state = getattr(cause, "sqlstate", None)
    if state:
        return of_postgres(state)
    if isinstance(error, DBAPIError) and type(cause).__name__ == "OperationalError":
        return LOST if error.connection_invalidated else UNREACHABLE
    return OTHER


def of_sqlite(name: str) -> str:
    """The sentence for a result code's name such as SQLITE_IOERR_WRITE."""
    if name in SQLITE_EXACT:
        return SQLITE_EXACT[name]
    parts = name.split("_")
    return SQLITE.get(parts[1], OTHER) if len(parts) > 1 else OTHER


def of_postgres(state: str) -> str:
    """The sentence for a SQLSTATE such as 53100."""
    return POSTGRES.get(state) or POSTGRES.get(state[:2], OTHER)


def _of_disk(error: OSError) -> str:
    if error.errno in (errno.ENOSPC, errno.EDQUOT, errno.EFBIG):
        return FULL
    if error.errno in (errno.EACCES, errno.EROFS, errno.EPERM):
        return READ_ONLY
    if error.errno in (errno.ENOENT, errno.ENOTDIR, errno.EISDIR):
        return NO_FILE
    return DISK


def _cause(error: Exception) -> BaseException:
    if isinstance(error, DBAPIError) and error.orig is not None:
        return error.orig
    return error
