"""Every error of either driver has its counterpart among ours, with words that say what to do."""

from __future__ import annotations

import re
import sqlite3

import psycopg.errors
import pytest
from sqlalchemy.exc import DBAPIError, IntegrityError, OperationalError
from sqlalchemy.exc import TimeoutError as QueueTimeout

from underset.errors import ConflictError, StoreError
from underset.store import refusals
from underset.store.refusals import of_postgres, of_sqlite, refusal

# The primary result codes of sqlite.org/rescode.html that are errors, typed from there.
PRIMARY = re.findall(
    r"\w+",
    "ABORT AUTH BUSY CANTOPEN CONSTRAINT CORRUPT EMPTY ERROR FORMAT FULL INTERNAL INTERRUPT IOERR "
    "LOCKED MISMATCH MISUSE NOLFS NOMEM NOTADB NOTFOUND PERM PROTOCOL RANGE READONLY SCHEMA TOOBIG",
)
# Constants of the driver's module with the same first word that are no result codes.
SQLITE_NAMES = [
    name
    for name in dir(sqlite3)
    if name.startswith("SQLITE_") and name.split("_")[1] in PRIMARY and name != "SQLITE_AUTH_USER"
]
STATES = {
    found.sqlstate: name
    for name, found in vars(psycopg.errors).items()
    if isinstance(found, type) and isinstance(getattr(found, "sqlstate", None), str)
}
# Classes of SQLSTATE that nothing this package does can meet: foreign data, roles, cursors, ...
NEVER_MET = set(
    re.findall(
        r"\w+", "01 02 03 09 0A 0B 0F 0L 0P 0Z 10 20 21 24 26 27 2B 2D 2F 34 38 39 3B 3F 44 72 HV"
    )
)
CONSTANTS = {
    name: text
    for name, text in vars(refusals).items()
    if name[0].isalpha() and name.isupper() and isinstance(text, str)
}


def test_every_result_code_of_sqlite_has_a_sentence_of_its_own() -> None:
    assert len(SQLITE_NAMES) > 80
    assert sorted(refusals.SQLITE) == sorted(PRIMARY)
    assert {of_sqlite(name) for name in SQLITE_NAMES} <= set(CONSTANTS.values())


def test_every_class_of_sqlstate_is_told_or_known_never_to_be_met() -> None:
    classes = {state[:2] for state in STATES}
    told = {state[:2] for state in refusals.POSTGRES}
    assert len(STATES) > 200
    assert classes - told - NEVER_MET == set()
    assert told & NEVER_MET == set()
    assert all(state in STATES for state in refusals.POSTGRES if len(state) == 5)


@pytest.mark.parametrize(
    ("state", "words"),
    [
        ("53100", "disk of the book is full"),
        ("25006", "may only be read"),
        ("55P03", "locked"),
        ("57P01", "contact with the book was lost"),
        ("08006", "contact with the book was lost"),
        ("28P01", "does not let us in"),
        ("3D000", "does not let us in"),
        ("42501", "may not do this"),
        ("40001", "somebody else"),
        ("P0001", "additions only"),
        ("XX001", "damaged"),
        ("58030", "fails"),
        ("99999", "refused"),
    ],
)
def test_a_postgresql_error_in_words(state: str, words: str) -> None:
    cause = STATES.get(state) and getattr(psycopg.errors, STATES[state])("the server's words")
    assert words in of_postgres(state).format(place="the book", said="", safe="")
    if cause:
        told = refusal(OperationalError("SELECT 1", {}, cause), "the book")
        assert words in told.message


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("SQLITE_FULL", "disk of the book is full"),
        ("SQLITE_READONLY_DBMOVED", "may only be read"),
        ("SQLITE_BUSY_SNAPSHOT", "locked"),
        ("SQLITE_CANTOPEN_ISDIR", "cannot be opened"),
        ("SQLITE_NOTADB", "damaged"),
        ("SQLITE_IOERR_FSYNC", "fails"),
        ("SQLITE_CONSTRAINT_TRIGGER", "additions only"),
        ("SQLITE_CONSTRAINT_FOREIGNKEY", "refused"),
        ("", "refused"),
    ],
)
def test_an_sqlite_error_in_words(name: str, words: str) -> None:
    cause = sqlite3.OperationalError("the driver's words")
    cause.sqlite_errorname = name
    assert words in refusal(OperationalError("SELECT 1", {}, cause), "the book").message


def test_two_at_the_same_key_are_a_conflict() -> None:
    cause = psycopg.errors.UniqueViolation("duplicate key")
    assert isinstance(refusal(IntegrityError("INSERT", {}, cause), "the book"), ConflictError)
    other = psycopg.errors.ForeignKeyViolation("no such row")
    assert not isinstance(refusal(IntegrityError("INSERT", {}, other), "the book"), ConflictError)


@pytest.mark.parametrize(("lost", "words"), [(True, "was lost"), (False, "cannot be reached")])
def test_no_answer_before_and_during_a_connection(lost: bool, words: str) -> None:
    cause = psycopg.OperationalError("server closed the connection unexpectedly")
    error = OperationalError("COMMIT", {}, cause, connection_invalidated=lost)
    assert words in refusal(error, "the book").message


@pytest.mark.parametrize(
    ("error", "words"),
    [
        (OSError(28, "No space left on device"), "is full"),
        (OSError(27, "File too large"), "is full"),
        (OSError(13, "Permission denied"), "may only be read"),
        (OSError(30, "Read-only file system"), "may only be read"),
        (OSError(2, "No such file"), "cannot be opened"),
        (OSError(5, "Input/output error"), "fails"),
        (QueueTimeout("queue"), "locked"),
        (DBAPIError("SELECT", {}, ValueError("odd")), "refused"),
    ],
)
def test_errors_of_disk_and_queue(error: Exception, words: str) -> None:
    assert words in refusal(error, "the book").message


def test_every_sentence_names_the_place_and_ends_as_one() -> None:
    assert len(CONSTANTS) >= 12
    for text in CONSTANTS.values():
        told = text.format(place="/shop/book.db", said="said", safe="Safe.")
        assert "/shop/book.db" in told
        assert told.endswith((".", ")"))
    assert issubclass(ConflictError, StoreError)
