"""Nothing in the book changes unseen: the database refuses, and the check finds the rest."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

import pytest
from sqlalchemy import Connection, create_engine, text

from tests.store_cases import JORUN, PAYLOADS, TAVI, check, quayside
from underset.errors import StoreError
from underset.store import Store, Verdict

VEHICLE = quayside().vehicles["harbour-hatch"]


@pytest.fixture
def filled(store: Store) -> Store:
    """Eight events, among them two versions of a vehicle, and a document or two."""
    with store.write(JORUN) as tx:
        for day in range(3):
            tx.book.append(check(day))
        tx.records.put("harbour-hatch", VEHICLE, version=0)
    with store.write(TAVI) as tx:
        tx.records.put("harbour-hatch", VEHICLE.model_copy(update={"notes": "seen"}), version=1)
        for kind in ("hold point ticked", "hold point signed", "remark"):
            tx.book.append(PAYLOADS[kind])
    assert verdict(store) == Verdict(8, last_hash(store))
    return store


def verdict(store: Store) -> Verdict:
    with store.read() as tx:
        return tx.verify()


def last_hash(store: Store) -> str:
    with store.read() as tx:
        return tx.book.head().hash


@contextmanager
def unguarded(store: Store) -> Iterator[Connection]:
    """A connection with the guards switched off, as somebody with the file in hand could have."""
    path = store.engines.path
    if path is None:
        with store.engines.writer.begin() as conn:
            conn.execute(text("SET LOCAL session_replication_role = replica"))
            yield conn
        return
    engine = create_engine(f"sqlite:///{path}")  # which keeps no foreign keys unless it is told to
    with engine.begin() as conn:
        triggers = "SELECT name FROM sqlite_master WHERE type = 'trigger'"
        for name in list(conn.scalars(text(triggers))):
            conn.execute(text(f"DROP TRIGGER {name}"))
        yield conn
    engine.dispose()


# --- what got past the database is found ----------------------------------------------------------

TAMPERED = {
    "payload": (
        "UPDATE events SET payload = replace(payload, 'true', 'false') WHERE seq = 2",
        "event 2",
    ),
    "payload is no JSON": ("UPDATE events SET payload = '{' WHERE seq = 2", "event 2"),
    "person": ("UPDATE events SET person = 'nobody' WHERE seq = 3", "event 3"),
    "device": ("UPDATE events SET device = '' WHERE seq = 1", "event 1"),
    "time": ("UPDATE events SET at = '2020-01-01T00:00:00.000000Z' WHERE seq = 6", "event 6"),
    "kind": ("UPDATE events SET kind = 'remark' WHERE seq = 1", "event 1"),
    "subject": ("UPDATE events SET subject = 'bay/south' WHERE seq = 1", "event 1"),
    "key": ("UPDATE events SET key = 'mine' WHERE seq = 1", "event 1"),
    "hash": ("UPDATE events SET hash = previous WHERE seq = 4", "event 4"),
    "previous": ("UPDATE events SET previous = hash WHERE seq = 4", "event 4"),
    "cut out of the middle": ("DELETE FROM events WHERE seq = 6", "event 6"),
    "first cut off": ("DELETE FROM events WHERE seq = 1", "event 1"),
    "last cut off": ("DELETE FROM events WHERE seq = 8", "event 8"),
    "two changed places": (
        "UPDATE events SET seq = CASE seq WHEN 1 THEN -2 ELSE -1 END WHERE seq IN (1, 2); "
        "UPDATE events SET seq = -seq WHERE seq < 0",
        "event 1",
    ),
    "the book's own end": ("UPDATE book SET seq = 7", "event 9"),
    "another book's id": ("UPDATE book SET id = 'other'", "event 1"),
    "hidden from a subject": ("DELETE FROM event_subjects WHERE seq = 7", "event 7"),
    "listed elsewhere": ("UPDATE event_subjects SET subject = 'bay/yard' WHERE seq = 2", "event 2"),
    "listed as another kind": ("UPDATE event_subjects SET kind = 'x' WHERE seq = 2", "event 2"),
    "listed at another time": ("UPDATE event_subjects SET at = '2001' WHERE seq = 2", "event 2"),
    "a version left out": ("DELETE FROM record_versions WHERE version = 1", "event 4"),
    "a version pointing elsewhere": (
        "UPDATE record_versions SET sha = (SELECT sha FROM record_versions WHERE version = 2) "
        "WHERE version = 1",
        "event 4",
    ),
    "a version moved to another event": (
        "UPDATE record_versions SET event = 1 WHERE version = 1",
        "event 1",
    ),
    "an old version put on file": ("UPDATE records SET version = 1", "vehicle harbour-hatch"),
    "taken off the list": ("DELETE FROM records", "vehicle harbour-hatch"),
    "a record that nobody stored": (
        "INSERT INTO records SELECT kind, 'ghost', version, label, sha, at, person, device, "
        "removed FROM records",
        "vehicle ghost",
    ),
    "a version that nobody stored": (
        "INSERT INTO record_versions SELECT kind, id, 3, label, sha, at, person, device, removed, "
        "99 FROM record_versions WHERE version = 2; UPDATE records SET version = 3",
        "vehicle harbour-hatch",
    ),
    "another name on the list": ("UPDATE records SET label = 'x'", "vehicle harbour-hatch"),
    "removed unseen": ("UPDATE records SET removed = true", "vehicle harbour-hatch"),
    "a document": ("UPDATE documents SET body = replace(body, 'seen', 'new')", "document"),
}


@pytest.mark.parametrize("what", TAMPERED)
def test_the_first_broken_link_is_named(filled: Store, what: str) -> None:
    statements, where = TAMPERED[what]
    with unguarded(filled) as conn:
        changed = [conn.execute(text(one)).rowcount for one in statements.split("; ")]
    assert all(changed)
    found = verdict(filled)
    assert not found.whole
    assert found.broken is not None
    assert found.broken.where.startswith(where), found.broken
    assert found.broken.reason


def test_a_clever_forger_who_hashes_again_is_caught_by_the_link_after(filled: Store) -> None:
    from underset.store.canonical import link_hash

    with unguarded(filled) as conn:
        row = conn.execute(text("SELECT * FROM events WHERE seq = 2")).one()._asdict()
        row["payload"] = row["payload"].replace("true", "false")
        row["hash"] = link_hash(row)
        conn.execute(text("UPDATE events SET payload = :payload, hash = :hash WHERE seq = 2"), row)
    found = verdict(filled).broken
    assert found is not None
    assert (found.where, found.reason) == ("event 3", "it is not chained to event 2")


def test_a_kind_of_event_from_a_newer_version_does_not_break_the_chain(filled: Store) -> None:
    from underset.store.canonical import link_hash

    with unguarded(filled) as conn:
        row = conn.execute(text("SELECT * FROM events WHERE seq = 8")).one()._asdict()
        row |= {"seq": 9, "kind": "teleported", "key": "new", "previous": row["hash"]}
        row["hash"] = link_hash(row)
        names = ", ".join(row)
        conn.execute(text(f"INSERT INTO events ({names}) VALUES (:{', :'.join(row)})"), row)
        conn.execute(text("UPDATE book SET seq = 9, hash = :hash"), row)
    assert verdict(filled) == Verdict(9, row["hash"])
    with filled.read() as tx:
        event = tx.book.get(9)
    with pytest.raises(StoreError, match="newer one"):
        event.read()


# --- the database refuses -------------------------------------------------------------------------

REFUSED = {
    "change an event": "UPDATE events SET person = 'nobody'",
    "change no content of an event": "UPDATE events SET person = person WHERE seq = 1",
    "delete an event": "DELETE FROM events WHERE seq = 8",
    "change the index": "UPDATE event_subjects SET subject = 'bay/yard'",
    "delete from the index": "DELETE FROM event_subjects",
    "change a document": "UPDATE documents SET body = '{}'",
    "delete a document": "DELETE FROM documents",
    "change a version": "UPDATE record_versions SET label = 'x'",
    "delete a version": "DELETE FROM record_versions",
    "leave a gap": "INSERT INTO events SELECT seq + 9, at, person, device, kind, subject, 'k', "
    "payload, hash, hash FROM events WHERE seq = 8",
    "fork the chain": "INSERT INTO events SELECT 9, at, person, device, kind, subject, 'k', "
    "payload, previous, hash FROM events WHERE seq = 8",
}
SQLITE_ONLY = {
    "replace an event": "INSERT OR REPLACE INTO events SELECT seq, at, 'nobody', device, kind, "
    "subject, key, payload, previous, hash FROM events WHERE seq = 8",
    "replace an event by its key": "INSERT OR REPLACE INTO events SELECT 9, at, person, device, "
    "kind, subject, key, payload, hash, hash FROM events WHERE seq = 8",
    "replace a document": "INSERT OR REPLACE INTO documents SELECT sha, '{}' FROM documents",
    "replace a version": "INSERT OR REPLACE INTO record_versions SELECT kind, id, version, 'x', "
    "sha, at, person, device, removed, event FROM record_versions",
    "replace on conflict": "UPDATE OR REPLACE events SET seq = 1 WHERE seq = 2",
}
POSTGRES_ONLY = {
    "empty the events": "TRUNCATE events CASCADE",
    "empty the documents": "TRUNCATE documents CASCADE",
    "change on conflict": "INSERT INTO documents SELECT sha, body FROM documents "
    "ON CONFLICT (sha) DO UPDATE SET body = '{}'",
}


def refused(store: Store, statement: str) -> None:
    before = verdict(store)
    with pytest.raises(StoreError, match="takes additions only"), store.write(JORUN) as tx:
        tx.work.conn.execute(text(statement))
    assert verdict(store) == before
    assert before.whole


@pytest.mark.parametrize("what", REFUSED)
def test_both_databases_refuse_to(filled: Store, what: str) -> None:
    refused(filled, REFUSED[what])


@pytest.mark.parametrize("place", ["sqlite"], indirect=True)
@pytest.mark.parametrize("what", SQLITE_ONLY)
def test_sqlite_refuses_to(filled: Store, what: str) -> None:
    refused(filled, SQLITE_ONLY[what])


@pytest.mark.postgres
@pytest.mark.parametrize("place", ["postgresql"], indirect=True)
@pytest.mark.parametrize("what", POSTGRES_ONLY)
def test_postgresql_refuses_to(filled: Store, what: str) -> None:
    refused(filled, POSTGRES_ONLY[what])
