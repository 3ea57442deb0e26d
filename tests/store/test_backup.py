"""Backups of a store in use, restored into either engine, and every difference found."""

from __future__ import annotations

import json
import sqlite3
import threading
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

import pytest

from tests.store_cases import JORUN, PAYLOADS, SHA, check, fill, quayside
from underset.errors import AppError, InputError, StoreError
from underset.records import Vehicle
from underset.store import (
    Copied,
    Store,
    back_up,
    check_backup,
    compare,
    export_book,
    open_store,
    opened_book,
    restore,
    sign_in,
)

SHOP = quayside()


@pytest.fixture
def full(store: Store) -> Store:
    """A store with something of everything."""
    with store.write(JORUN) as tx:
        fill(tx, SHOP)
        for kind, payload in PAYLOADS.items():
            if kind != "record changed":
                tx.book.append(payload)
        tx.book.keep({"result": [1.5, "ü", "\u2028", 1e-9]})
        hatch = SHOP.vehicles["harbour-hatch"].model_copy(update={"notes": "changed"})
        tx.records.put("harbour-hatch", hatch, version=1)
        tx.records.remove(Vehicle, "ferry-saloon", version=1)
        tx.drafts.save("vehicle", "half", {"label": "½"}, version=0)
        tx.accounts.add("jorun", "Jorun", "834512", ["lead"])
        tx.accounts.begin_session("jorun", "tablet-2", timedelta(hours=1))
    return store


def ends(store: Store) -> tuple[int, str]:
    with store.read() as tx:
        head = tx.book.head()
    return head.seq, head.hash


# --- the same again -------------------------------------------------------------------------------


@pytest.mark.parametrize("target", ["file", "server"])
def test_a_backup_restores_the_same_into_either_engine(
    full: Store, tmp_path: Path, target: str, request: pytest.FixtureRequest
) -> None:
    copied = back_up(full, tmp_path / "backup")
    into = str(tmp_path / "new.db")
    if target == "server":
        into = second_schema(request)
    restored = restore(tmp_path / "backup", into, by=JORUN)
    assert (copied.events, copied.head) == (restored.events, restored.head) == ends(full)
    with open_store(into, create=False) as other:
        assert compare(full, other) == ()
        with other.read() as tx:
            assert tx.verify().whole
            assert tx.records.get(Vehicle, "harbour-hatch").record.notes == "changed"
            assert tx.records.history(Vehicle, "ferry-saloon")[0].removed
            assert tx.drafts.get("vehicle", "half").body == {"label": "½"}
        assert sign_in(other, "jorun", "834512").account is not None
        with other.write(JORUN) as tx:  # and the book goes on where it ended
            assert tx.book.append(check()).seq == copied.events + 1
            assert tx.verify().whole
        assert set(compare(full, other)) == {"events"}


def second_schema(request: pytest.FixtureRequest) -> str:
    """One more empty schema on the server, beside the one a store may be in already."""
    from uuid import uuid4

    import psycopg

    database = str(request.getfixturevalue("postgres_database"))
    name = f"s{uuid4().hex}"
    with psycopg.connect(database, autocommit=True) as connection:
        connection.execute(f"CREATE SCHEMA {name}".encode())
    return f"{database}?options=-csearch_path%3D{name}"


def test_a_backup_is_checked_by_restoring_it(full: Store, tmp_path: Path) -> None:
    back_up(full, tmp_path / "backup")
    assert check_backup(tmp_path / "backup") == Copied(str(tmp_path / "backup"), *ends(full))
    assert [path.name for path in tmp_path.iterdir() if "check" in path.name] == []


def test_nobody_stays_signed_in_through_a_backup(full: Store, tmp_path: Path) -> None:
    back_up(full, tmp_path / "backup")
    restore(tmp_path / "backup", tmp_path / "new.db", by=JORUN)
    for path in (tmp_path / "backup", tmp_path / "new.db"):
        if path.read_bytes().startswith(b"SQLite format 3"):
            with sqlite3.connect(path) as found:
                assert found.execute("SELECT count(*) FROM sessions").fetchone() == (0,)
            found.close()
        else:
            assert "sessions" not in path.read_text("utf-8")


def test_a_backup_is_made_while_others_write(store: Store, tmp_path: Path) -> None:
    stop = threading.Event()
    acknowledged: list[int] = []

    def client() -> None:
        while not stop.is_set():
            with store.write(JORUN) as tx:
                seq = tx.book.append(check()).seq
            acknowledged.append(seq)

    thread = threading.Thread(target=client)
    thread.start()
    try:
        copies = []
        for number in range(3):
            while len(acknowledged) < 5 * (number + 1):
                assert thread.is_alive()
            before = acknowledged[-1]
            copies.append((before, back_up(store, tmp_path / f"backup-{number}")))
    finally:
        stop.set()
        thread.join()
    for number, (before, copied) in enumerate(copies):
        assert copied.events >= before
        assert check_backup(tmp_path / f"backup-{number}").events == copied.events


def test_an_export_holds_the_book_and_no_accounts_or_drafts(full: Store, tmp_path: Path) -> None:
    header = export_book(full, tmp_path / "book.jsonl")
    text = (tmp_path / "book.jsonl").read_text("utf-8")
    assert (header.events, header.head) == ends(full)
    assert "argon2" not in text
    assert '"table":"drafts"' not in text
    restore(tmp_path / "book.jsonl", tmp_path / "other-shop.db", by=JORUN)
    with open_store(tmp_path / "other-shop.db") as other, other.read() as tx:
        assert compare(full, other, private=False) == ()
        assert compare(full, other) == ("drafts", "accounts")
        assert tx.records.workshop().bays == SHOP.bays
        assert tx.accounts.listed() == ()


def test_an_exported_book_can_be_read_line_by_line(full: Store, tmp_path: Path) -> None:
    export_book(full, tmp_path / "book.jsonl")
    with opened_book(tmp_path / "book.jsonl") as book:
        kinds = [row["kind"] for table, row in book.rows() if table == "events"]
        assert len(kinds) == book.header.events
    assert set(kinds) == set(PAYLOADS)


def test_the_same_store_exports_the_same_rows(full: Store, tmp_path: Path) -> None:
    for name in ("one", "two"):
        export_book(full, tmp_path / name)
    one, two = ((tmp_path / name).read_text("utf-8").splitlines()[1:] for name in ("one", "two"))
    assert one == two


# --- never over something -------------------------------------------------------------------------


def test_restoring_never_writes_over_a_store(full: Store, tmp_path: Path) -> None:
    back_up(full, tmp_path / "backup")
    before = ends(full)
    with pytest.raises(StoreError, match="not empty"):
        restore(tmp_path / "backup", tmp_path / "used.db", by=JORUN) and restore(
            tmp_path / "backup", tmp_path / "used.db", by=JORUN
        )
    assert ends(full) == before
    with open_store(tmp_path / "used.db") as used:
        assert ends(used) == before


def test_a_backup_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(StoreError, match="cannot be opened"):
        restore(tmp_path / "nothing", tmp_path / "new.db", by=JORUN)
    assert list(tmp_path.iterdir()) == []


# --- files that were changed ----------------------------------------------------------------------

Lines = list[str]


def changed(find: str, replace: str) -> Callable[[Lines], Lines]:
    def change(lines: Lines) -> Lines:
        at = next(n for n, line in enumerate(lines) if n and find in line)
        return [*lines[:at], lines[at].replace(find, replace), *lines[at + 1 :]]

    return change


def header(**values: object) -> Callable[[Lines], Lines]:
    return lambda lines: [json.dumps({**json.loads(lines[0]), **values}), *lines[1:]]


def at_the_end(line: str) -> Callable[[Lines], Lines]:
    return lambda lines: [*lines[:-1], line]


DAMAGE: dict[str, Callable[[Lines], Lines]] = {
    "a word of an event": changed("oil at the column", "all in order"),
    "a person": changed('"person":"jorun"', '"person":"nobody"'),
    "an event left out": lambda ls: [x for x in ls if '"kind":"daily check"' not in x],
    "an event twice": lambda ls: [*ls[:-2], ls[-2], ls[-2], ls[-1]],
    "a document": changed("Harbour", "Hidden"),
    "a version left out": lambda ls: [x for x in ls if '"table":"record_versions"' not in x],
    "the end cut off": lambda ls: ls[:-1],
    "half of it": lambda ls: ls[: len(ls) // 2],
    "something after the end": lambda ls: [*ls, "{}"],
    "other sums": at_the_end(json.dumps({"sha256": {"events": SHA}})),
    "no header": lambda ls: ls[1:],
    "a header of something else": header(kind="cookbook"),
    "a header of a newer form": header(version=2),
    "a header with too many fields": header(more=1),
    "another book's name": header(book="other"),
    "fewer events than told": header(events=10_000),
    "another end": header(head=SHA),
    "no JSON": changed('"events"', "'events'"),
    "a list": at_the_end("[]"),
    "deep nesting": at_the_end("[" * 200_000 + "]" * 200_000),
    "an unknown table": changed('"table":"documents"', '"table":"sqlite_master"'),
    "accounts in a file without": at_the_end('{"table":"accounts","row":{}}'),
    "a column too many": changed('"row":{"at"', '"row":{"extra":1,"at"'),
    "a number for a text": changed('"person":"jorun"', '"person":5'),
    "a text for a number": changed('"seq":3,', '"seq":"3",'),
    "a truth for a number": changed('"seq":1,', '"seq":true,'),
    "not a number": changed('"seq":3,', '"seq":NaN,'),
    "an endless number": changed('"seq":3,', '"seq":' + "9" * 10_000 + ","),
    "an unknown kind of event": changed('"kind":"remark"', '"kind":"gossip"'),
    "nothing": lambda _: [],
    "something else": lambda _: ["This is a letter.", "It is not a book."],
}  # fmt: skip


@pytest.fixture(scope="module")
def exported(tmp_path_factory: pytest.TempPathFactory) -> list[str]:
    """The lines of a book's file."""
    folder = tmp_path_factory.mktemp("book")
    with open_store(folder / "book.db") as store:
        with store.write(JORUN) as tx:
            fill(tx, SHOP)
            for kind, payload in PAYLOADS.items():
                if kind != "record changed":
                    tx.book.append(payload)
        export_book(store, folder / "book.jsonl")
    return (folder / "book.jsonl").read_text("utf-8").split("\n")[:-1]


@pytest.mark.parametrize("what", DAMAGE)
def test_a_changed_file_is_refused_and_nothing_of_it_stored(
    exported: list[str], tmp_path: Path, what: str
) -> None:
    lines = DAMAGE[what](exported)
    assert lines != exported
    (tmp_path / "book.jsonl").write_bytes("".join(f"{x}\n" for x in lines).encode())
    with pytest.raises((InputError, StoreError)) as told:
        restore(tmp_path / "book.jsonl", tmp_path / "new.db", by=JORUN)
    assert told.value.message
    assert not (tmp_path / "new.db").exists()


def test_the_unchanged_file_is_taken(exported: list[str], tmp_path: Path) -> None:
    (tmp_path / "book.jsonl").write_text("\n".join(exported) + "\n", "utf-8")
    assert restore(tmp_path / "book.jsonl", tmp_path / "new.db", by=JORUN).events > 40


def test_a_forger_who_makes_new_sums_is_caught_by_the_chain(
    exported: list[str], tmp_path: Path
) -> None:
    from underset.store.portable import Digests

    lines = changed("oil at the column", "all in order")(exported)
    digests = Digests(private=False)
    for line in lines[1:-1]:
        digests.add(json.loads(line)["table"], line)
    lines[-1] = json.dumps({"sha256": digests.result()})
    (tmp_path / "book.jsonl").write_text("\n".join(lines) + "\n", "utf-8")
    number = next(json.loads(x)["row"]["seq"] for x in exported[1:-1] if "oil at the column" in x)
    with pytest.raises(StoreError, match=f"broken at event {number}: its content"):
        restore(tmp_path / "book.jsonl", tmp_path / "new.db", by=JORUN)


def test_a_line_without_end_is_not_read_into_memory(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("underset.store.portable.LONGEST_LINE", 1000)
    (tmp_path / "book.jsonl").write_bytes(b'{"kind": "' + b"x" * 5000)
    with pytest.raises(InputError, match="too long"):
        restore(tmp_path / "book.jsonl", tmp_path / "new.db", by=JORUN)


def test_a_damaged_sqlite_backup_is_refused(local: Store, tmp_path: Path) -> None:
    with local.write(JORUN) as tx:
        for day in range(300):
            tx.book.append(check(day))
    back_up(local, tmp_path / "backup")
    content = bytearray((tmp_path / "backup").read_bytes())
    at = content.rindex(b'"bay":"north"')
    content[at + 7 : at + 12] = b"south"
    (tmp_path / "backup").write_bytes(content)
    with pytest.raises(AppError, match=r"broken at event \d+"):
        check_backup(tmp_path / "backup")


@pytest.mark.parametrize("end", ["", "-wal", "-shm"])
@pytest.mark.parametrize("how", [back_up, export_book])
def test_a_copy_never_takes_the_place_of_the_store(
    local: Store, tmp_path: Path, how: Callable[[Store, Path], object], end: str
) -> None:
    with local.write(JORUN) as tx:
        tx.book.append(check())
    with pytest.raises(InputError, match="another file than the store"):
        how(local, tmp_path / "x" / ".." / f"local.db{end}")
    with local.read() as tx:
        assert tx.verify().events == 1


BY_HAND = {
    "a blob for a text": "UPDATE events SET person = x'00ff'",
    "a text for a number": "UPDATE drafts SET version = 'one'",
    "nothing": "UPDATE documents SET body = NULL",
    "deep nesting": f"UPDATE events SET payload = '{'[' * 100_000}'",
    "no JSON": "UPDATE drafts SET body = '{'",
    "another end": "UPDATE book SET seq = 99",
    "no end": "DELETE FROM book",
    "a table less": "DROP TABLE record_versions",
    "a view for a table": "DROP TABLE drafts; CREATE VIEW drafts AS SELECT 1 AS kind",
}


@pytest.mark.parametrize("what", BY_HAND)
def test_a_backup_made_by_hand_is_refused(local: Store, tmp_path: Path, what: str) -> None:
    with local.write(JORUN) as tx:
        tx.records.put("harbour-hatch", SHOP.vehicles["harbour-hatch"], version=0)
        tx.drafts.save("vehicle", "half", {}, version=0)
    back_up(local, tmp_path / "backup")
    loose = sqlite3.connect(tmp_path / "backup", isolation_level=None)
    loose.executescript(
        "PRAGMA writable_schema=ON; DELETE FROM sqlite_master WHERE type='trigger';"
        "UPDATE sqlite_master SET sql = replace(sql, 'NOT NULL', '')"
    )
    loose.close()
    loose = sqlite3.connect(tmp_path / "backup", isolation_level=None)
    loose.executescript(BY_HAND[what])
    loose.close()
    with pytest.raises((StoreError, InputError)):
        restore(tmp_path / "backup", tmp_path / "new.db", by=JORUN)
    assert not (tmp_path / "new.db").exists()
