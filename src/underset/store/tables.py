"""The tables as the migrations leave them. Tables are made by migrations only.

Append-only, held by triggers on both engines: documents, events, event_subjects, record_versions.
"""

from __future__ import annotations

from typing import Any, Final

from sqlalchemy import (
    BigInteger,
    Boolean,
    Column,
    ForeignKey,
    Index,
    Integer,
    MetaData,
    Table,
    Text,
)

METADATA: Final = MetaData(
    naming_convention={
        "ix": "ix_%(table_name)s_%(column_0_N_name)s",
        "uq": "uq_%(table_name)s_%(column_0_N_name)s",
        "fk": "fk_%(table_name)s_%(column_0_N_name)s",
        "pk": "pk_%(table_name)s",
    }
)

# Decision: texts sort by code point on both engines, so that lists and comparisons agree.
WORDS: Final = Text().with_variant(Text(collation="C"), "postgresql")
# Decision: on SQLite an INTEGER key is the row's own number; BIGINT would need a second tree.
NUMBER: Final = BigInteger().with_variant(Integer(), "sqlite")

APPEND_ONLY: Final = ("documents", "events", "event_subjects", "record_versions")


def _written() -> tuple[Column[Any], ...]:
    """When something was written, by whom and where."""
    return tuple(Column(name, WORDS, nullable=False) for name in ("at", "person", "device"))


def _record() -> tuple[Column[Any], ...]:
    """What is said of one version of a record."""
    return (
        Column("label", WORDS, nullable=False),
        Column("sha", WORDS, ForeignKey("documents.sha"), nullable=False),
        *_written(),
        Column("removed", Boolean, nullable=False),
    )


BOOK: Final = Table(
    "book",
    METADATA,
    Column("id", WORDS, primary_key=True),
    Column("seq", NUMBER, nullable=False),
    Column("hash", WORDS, nullable=False),
)

DOCUMENTS: Final = Table(
    "documents",
    METADATA,
    Column("sha", WORDS, primary_key=True),
    Column("body", WORDS, nullable=False),
)

EVENTS: Final = Table(
    "events",
    METADATA,
    Column("seq", NUMBER, primary_key=True, autoincrement=False),
    *_written(),
    Column("kind", WORDS, nullable=False),
    Column("subject", WORDS, nullable=False),
    Column("key", WORDS, nullable=False, unique=True),
    Column("payload", WORDS, nullable=False),
    Column("previous", WORDS, nullable=False),
    Column("hash", WORDS, nullable=False),
    Index(None, "at", "seq"),
    Index(None, "kind", "at", "seq"),
    Index(None, "person", "at", "seq"),
    Index(None, "kind", "person", "at", "seq"),
)

EVENT_SUBJECTS: Final = Table(
    "event_subjects",
    METADATA,
    Column("subject", WORDS, primary_key=True),
    Column("at", WORDS, primary_key=True),
    Column("seq", NUMBER, ForeignKey("events.seq"), primary_key=True, autoincrement=False),
    Column("kind", WORDS, nullable=False),
    Index(None, "seq"),
    Index(None, "subject", "kind", "at", "seq"),
    sqlite_with_rowid=False,
)

RECORDS: Final = Table(
    "records",
    METADATA,
    Column("kind", WORDS, primary_key=True),
    Column("id", WORDS, primary_key=True),
    Column("version", Integer, nullable=False),
    *_record(),
)

RECORD_VERSIONS: Final = Table(
    "record_versions",
    METADATA,
    Column("kind", WORDS, primary_key=True),
    Column("id", WORDS, primary_key=True),
    Column("version", Integer, primary_key=True, autoincrement=False),
    *_record(),
    Column("event", NUMBER, ForeignKey("events.seq"), nullable=False, unique=True),
)

DRAFTS: Final = Table(
    "drafts",
    METADATA,
    Column("kind", WORDS, primary_key=True),
    Column("id", WORDS, primary_key=True),
    Column("version", Integer, nullable=False),
    Column("body", WORDS, nullable=False),
    *_written(),
)

ACCOUNTS: Final = Table(
    "accounts",
    METADATA,
    Column("name", WORDS, primary_key=True),
    Column("label", WORDS, nullable=False),
    Column("secret", WORDS, nullable=False),
    Column("roles", WORDS, nullable=False),
    Column("active", Boolean, nullable=False),
    Column("version", Integer, nullable=False),
    Column("failed", Integer, nullable=False),
    Column("locked_until", WORDS, nullable=False),
    *_written(),
)

SESSIONS: Final = Table(
    "sessions",
    METADATA,
    Column("token_sha", WORDS, primary_key=True),
    Column("account", WORDS, ForeignKey("accounts.name"), nullable=False),
    Column("device", WORDS, nullable=False),
    Column("began", WORDS, nullable=False),
    Column("seen", WORDS, nullable=False),
    Column("ends", WORDS, nullable=False),
    Index(None, "account"),
)
