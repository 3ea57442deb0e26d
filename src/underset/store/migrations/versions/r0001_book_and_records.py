"""Documents, the book of events, records with their versions, drafts, accounts, sessions."""

from __future__ import annotations

import uuid

import sqlalchemy as sa
from alembic import op

from underset.store.canonical import first_link

revision = "r0001"
down_revision = None

WORDS = sa.Text().with_variant(sa.Text(collation="C"), "postgresql")
NUMBER = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
APPEND_ONLY = ("documents", "events", "event_subjects", "record_versions")


def upgrade() -> None:
    """Make every table, then the guards that keep what is written."""
    _book()
    _records()
    _people()
    postgres = op.get_context().dialect.name == "postgresql"
    for statement in _postgres_guards() if postgres else _sqlite_guards():
        op.execute(sa.text(statement))
    book = uuid.uuid4().hex
    op.execute(
        sa.text("INSERT INTO book (id, seq, hash) VALUES (:id, 0, :hash)").bindparams(
            id=book, hash=first_link(book)
        )
    )


def _words(*names: str) -> list[sa.Column[str]]:
    return [sa.Column(name, WORDS, nullable=False) for name in names]


def _book() -> None:
    op.create_table(
        "book",
        *_words("id"),
        sa.Column("seq", NUMBER, nullable=False),
        *_words("hash"),
        sa.PrimaryKeyConstraint("id", name="pk_book"),
    )
    op.create_table(
        "documents",
        *_words("sha", "body"),
        sa.PrimaryKeyConstraint("sha", name="pk_documents"),
    )
    op.create_table(
        "events",
        sa.Column("seq", NUMBER, autoincrement=False, nullable=False),
        *_words("at", "person", "device", "kind", "subject", "key", "payload", "previous", "hash"),
        sa.PrimaryKeyConstraint("seq", name="pk_events"),
        sa.UniqueConstraint("key", name="uq_events_key"),
    )
    op.create_index("ix_events_at_seq", "events", ["at", "seq"])
    op.create_index("ix_events_kind_at_seq", "events", ["kind", "at", "seq"])
    op.create_index("ix_events_person_at_seq", "events", ["person", "at", "seq"])
    op.create_index("ix_events_kind_person_at_seq", "events", ["kind", "person", "at", "seq"])
    op.create_table(
        "event_subjects",
        *_words("subject", "at"),
        sa.Column("seq", NUMBER, autoincrement=False, nullable=False),
        *_words("kind"),
        sa.PrimaryKeyConstraint("subject", "at", "seq", name="pk_event_subjects"),
        sa.ForeignKeyConstraint(["seq"], ["events.seq"], name="fk_event_subjects_seq"),
        sqlite_with_rowid=False,
    )
    op.create_index("ix_event_subjects_seq", "event_subjects", ["seq"])
    op.create_index(
        "ix_event_subjects_subject_kind_at_seq", "event_subjects", ["subject", "kind", "at", "seq"]
    )


def _records() -> None:
    common = ("label", "sha", "at", "person", "device")
    op.create_table(
        "records",
        *_words("kind", "id"),
        sa.Column("version", sa.Integer, nullable=False),
        *_words(*common),
        sa.Column("removed", sa.Boolean, nullable=False),
        sa.PrimaryKeyConstraint("kind", "id", name="pk_records"),
        sa.ForeignKeyConstraint(["sha"], ["documents.sha"], name="fk_records_sha"),
    )
    op.create_table(
        "record_versions",
        *_words("kind", "id"),
        sa.Column("version", sa.Integer, autoincrement=False, nullable=False),
        *_words(*common),
        sa.Column("removed", sa.Boolean, nullable=False),
        sa.Column("event", NUMBER, nullable=False),
        sa.PrimaryKeyConstraint("kind", "id", "version", name="pk_record_versions"),
        sa.ForeignKeyConstraint(["sha"], ["documents.sha"], name="fk_record_versions_sha"),
        sa.ForeignKeyConstraint(["event"], ["events.seq"], name="fk_record_versions_event"),
        sa.UniqueConstraint("event", name="uq_record_versions_event"),
    )
    op.create_table(
        "drafts",
        *_words("kind", "id"),
        sa.Column("version", sa.Integer, nullable=False),
        *_words("body", "at", "person", "device"),
        sa.PrimaryKeyConstraint("kind", "id", name="pk_drafts"),
    )


def _people() -> None:
    op.create_table(
        "accounts",
        *_words("name", "label", "secret", "roles"),
        sa.Column("active", sa.Boolean, nullable=False),
        sa.Column("version", sa.Integer, nullable=False),
        sa.Column("failed", sa.Integer, nullable=False),
        *_words("locked_until", "at", "person", "device"),
        sa.PrimaryKeyConstraint("name", name="pk_accounts"),
    )
    op.create_table(
        "sessions",
        *_words("token_sha", "account", "device", "began", "seen", "ends"),
        sa.PrimaryKeyConstraint("token_sha", name="pk_sessions"),
        sa.ForeignKeyConstraint(["account"], ["accounts.name"], name="fk_sessions_account"),
    )
    op.create_index("ix_sessions_account", "sessions", ["account"])


# --- what is written stays: refused by the database itself, whoever asks -------------------------


def _sqlite_guards() -> list[str]:
    """Triggers against UPDATE and DELETE, and against INSERT OR REPLACE, which deletes unseen."""
    guards = [
        f"CREATE TRIGGER {table}_no_{verb.lower()} BEFORE {verb} ON {table} "
        f"BEGIN SELECT RAISE(ABORT, '{table} takes additions only'); END"
        for table in APPEND_ONLY
        for verb in ("UPDATE", "DELETE")
    ]
    same = {
        "documents": "sha = NEW.sha",
        "events": "seq = NEW.seq OR key = NEW.key",
        "event_subjects": "subject = NEW.subject AND at = NEW.at AND seq = NEW.seq",
        "record_versions": "kind = NEW.kind AND id = NEW.id AND version = NEW.version "
        "OR event = NEW.event",
    }
    guards += [
        f"CREATE TRIGGER {table}_no_replace BEFORE INSERT ON {table} "
        f"WHEN EXISTS (SELECT 1 FROM {table} WHERE {found}) "
        f"BEGIN SELECT RAISE(ABORT, '{table} takes additions only'); END"
        for table, found in same.items()
    ]
    guards.append(
        "CREATE TRIGGER events_in_order BEFORE INSERT ON events "
        "WHEN NEW.seq <> (SELECT coalesce(max(seq), 0) + 1 FROM events) OR NEW.seq > 1 AND "
        "NEW.previous <> (SELECT hash FROM events WHERE seq = NEW.seq - 1) "
        "BEGIN SELECT RAISE(ABORT, 'an event follows the one before it'); END"
    )
    return guards


def _postgres_guards() -> list[str]:
    guards = [
        "CREATE FUNCTION additions_only() RETURNS trigger LANGUAGE plpgsql AS $$ "
        "BEGIN RAISE EXCEPTION '% takes additions only', TG_TABLE_NAME; END $$",
        "CREATE FUNCTION events_in_order() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN "
        "IF NEW.seq <> (SELECT coalesce(max(seq), 0) + 1 FROM events) OR NEW.seq > 1 AND "
        "NEW.previous <> (SELECT hash FROM events WHERE seq = NEW.seq - 1) THEN "
        "RAISE EXCEPTION 'an event follows the one before it'; END IF; RETURN NEW; END $$",
        "CREATE TRIGGER events_in_order BEFORE INSERT ON events "
        "FOR EACH ROW EXECUTE FUNCTION events_in_order()",
    ]
    for table in APPEND_ONLY:
        guards += [
            f"CREATE TRIGGER {table}_no_change BEFORE UPDATE OR DELETE ON {table} "
            "FOR EACH ROW EXECUTE FUNCTION additions_only()",
            f"CREATE TRIGGER {table}_no_truncate BEFORE TRUNCATE ON {table} "
            "FOR EACH STATEMENT EXECUTE FUNCTION additions_only()",
        ]
    return guards
