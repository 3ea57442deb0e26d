"""Fuzzing of what a store takes in whole: a book's file (JSON lines) and a backup (SQLite).

Refused means: with words, and nothing left where the store would have been. Taken means: the chain
holds, every page of the book and every record can be read or says why not, and what is exported
again has the same rows.
"""

from __future__ import annotations

import json
import random
import sqlite3
import tempfile
from collections.abc import Iterator
from contextlib import closing, suppress
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

from benchmarks.fuzz_grow import ODD_TEXTS, changed, lines_changed
from underset.errors import AppError, InputError, StoreError

SAMPLE = Path(__file__).resolve().parents[1] / "examples" / "quayside"
LONGEST_BOOK = 400_000
TODAY = date(2026, 11, 20)
CHAINED = ("seq", "at", "person", "device", "kind", "subject", "key", "previous")


# --- targets --------------------------------------------------------------------------------------


def read_book(content: bytes) -> None:
    """A book's file as it is, and once more with sums, chain and hashes made anew by a forger."""
    refused = None
    try:
        restored(content)
    except InputError as error:
        refused = error
    forged = with_new_hashes(content)
    if forged is not None and forged != content:
        restored(forged)
    elif refused is not None:
        raise refused


def read_backup(content: bytes) -> None:
    """A store's file, damaged or changed by hand, taken for a backup."""
    restored(content)


def restored(content: bytes) -> None:
    """Restore a file; raises InputError where it is refused, AssertionError where a rule breaks."""
    from underset.app import Actor
    from underset.store import restore

    with tempfile.TemporaryDirectory(prefix="underset-fuzz-") as folder:
        sent, into = Path(folder, "sent.jsonl"), Path(folder, "new.db")
        sent.write_bytes(content)
        try:
            copied = restore(sent, into, by=Actor("fuzz"))
        except AppError as error:
            left = sorted(p.name for p in Path(folder).iterdir() if p != sent)
            assert not [name for name in left if name.startswith("new.db")], left
            assert sent.read_bytes() == content, "the file itself was changed"
            if isinstance(error, StoreError):
                raise InputError("book", "a file", error.message) from error
            raise
        _read_through(into, copied.events)


def _read_through(place: Path, events: int) -> None:
    """Everything in a store that was taken in; what cannot be read says so with an error of ours.

    Decision: a record or an event that a forger made unreadable, with every hash right, is kept: a
    newer version may have written it.
    """
    from underset.app import Actor, bookkeeping, open_shop, plain
    from underset.store import back_up, compare, open_store, restore

    with closing(open_shop(place, create=False, clock=lambda: TODAY)) as shop:
        chain = bookkeeping.chain(shop)
        assert (chain.whole, chain.events) == (True, events), chain
        after, pages = "", 0
        with suppress(StoreError):
            while pages == 0 or after:
                page = bookkeeping.search(shop, bookkeeping.Asked(after=after), 200)
                after, pages = page.more, pages + 1
                assert pages <= events // 200 + 1
        with suppress(AppError):
            shop.moment()
        with suppress(AppError):
            plain.standing_data(shop, None)
        back_up(shop.store, place.with_name("again"))
    restore(place.with_name("again"), place.with_name("again.db"), by=Actor("fuzz"))
    with open_store(place) as one, open_store(place.with_name("again.db")) as other:
        assert compare(one, other) == ()


# --- a forger -------------------------------------------------------------------------------------


def with_new_hashes(content: bytes) -> bytes | None:
    """The same lines with documents, chain, header and sums made to fit; None where none can be."""
    from underset.errors import InputError
    from underset.store.portable import Digests

    try:
        lines = [json.loads(x) for x in content.decode("utf-8").split("\n") if x.strip()]
        header, rows = lines[0], [x for x in lines[1:] if "sha256" not in x]
        _new_documents(rows)
        _new_chain(header, [x["row"] for x in rows if x["table"] == "events"])
        digests = Digests(bool(header["private"]))
        texts = [_canonical(x) for x in rows]
        for row, text in zip(rows, texts, strict=True):
            digests.add(row["table"], text)
        sums = _canonical({"sha256": digests.result()})
        return "".join(f"{x}\n" for x in (_canonical(header), *texts, sums)).encode()
    except (ValueError, KeyError, TypeError, AttributeError, IndexError, RecursionError):
        return None
    except InputError:
        return None


def _new_documents(rows: list[Any]) -> None:
    """Documents named by their content, wherever their name stands."""
    from underset.store.canonical import digest

    names = {}
    for row in rows:
        if row["table"] == "documents":
            new = digest(_canonical(row["row"]["body"]))
            names[row["row"]["sha"]] = row["row"]["sha"] = new
    for row in rows:
        for holder in (row["row"], row["row"].get("payload")):
            if isinstance(holder, dict) and holder.get("sha") in names:
                holder["sha"] = names[holder["sha"]]


def _new_chain(header: dict[str, Any], events: list[dict[str, Any]]) -> None:
    from underset.store.canonical import digest, first_link

    before = first_link(header["book"])
    for event in events:
        event["previous"] = before
        linked = {name: event[name] for name in CHAINED}
        event["hash"] = before = digest(_canonical({**linked, "payload": event["payload"]}))
    header["events"], header["head"] = len(events), before


def _canonical(value: Any) -> str:
    from underset.store.canonical import canonical

    return canonical(value)


# --- what inputs grow from ------------------------------------------------------------------------


@cache
def small_store() -> bytes:
    """A store's file with some of everything: records, events of every kind, draft, account."""
    from tests.store_cases import PAYLOADS
    from underset.app import Actor
    from underset.records import read_workshop
    from underset.store import back_up, open_store

    shop = read_workshop(SAMPLE)
    with tempfile.TemporaryDirectory() as folder, open_store(Path(folder, "a.db")) as store:
        with store.write(Actor("jorun", "tablet-2")) as tx:
            tx.records.put("workshop", shop.about, version=0)
            tx.records.put("policy", shop.policy, version=0)
            hatch = shop.vehicles["harbour-hatch"]
            tx.records.put("harbour-hatch", hatch, version=0)
            tx.records.put("south", shop.bays["south"], version=0)
            tx.records.put("harbour-hatch", hatch.model_copy(update={"notes": "new"}), version=1)
            for id in ("screw-pad-short", "pinch-block"):
                tx.records.put(id, shop.adapters[id], version=0)
            for kind, payload in PAYLOADS.items():
                if kind != "record changed":
                    tx.book.append(payload)
            tx.book.keep({"result": [1.5, "ü", "\u2028", 1e-9]})
            tx.drafts.save("vehicle", "half", {"label": "½"}, version=0)
            tx.accounts.add("jorun", "Jorun", "834512", ["lead"])
        back_up(store, Path(folder, "backup"))
        return Path(folder, "backup").read_bytes()


@cache
def small_books() -> tuple[bytes, ...]:
    """The same as a book's file, for another shop and, with drafts and accounts, as a backup."""
    from underset.store import export_book, open_store

    with tempfile.TemporaryDirectory() as folder:
        Path(folder, "a.db").write_bytes(small_store())
        with open_store(Path(folder, "a.db")) as store:
            for private in (False, True):
                export_book(store, Path(folder, f"{private}"), private=private)
        return tuple(Path(folder, f"{p}").read_bytes() for p in (False, True))


def grow_book(rng: random.Random, content: bytes) -> bytes:
    """Mostly changes of lines and of JSON in them; at times of bytes, or of the whole file."""
    how = rng.random()
    if how < 0.75:
        return lines_changed(rng, content, LONGEST_BOOK)
    if how < 0.9:
        return changed(rng, content, LONGEST_BOOK)
    return rng.choice((
        b"\xef\xbb\xbf" + content, content.replace(b"\n", b"\r\n"), content[: rng.randrange(900)],
        content.replace(b"\n", b"\r"), content + content, content.decode().encode("utf-16")
        if content.isascii() else b"\xff\xfe" + content, content.rstrip(b"\n"), b"\n" + content,
        content[: rng.randrange(len(content) + 1)], content.replace(b'"', b"'"),
    ))  # fmt: skip


TABLES = (
    "book", "documents", "events", "event_subjects", "records", "record_versions", "drafts",
    "accounts", "sessions", "alembic_version",
)  # fmt: skip


def grow_store(rng: random.Random, content: bytes) -> bytes:
    """Bytes of the file changed, cut or moved by pages, or its rows changed by SQL."""
    if rng.random() < 0.5:
        return _by_hand(rng, content)
    for _ in range(rng.randint(1, 3)):
        at = rng.randrange(len(content) + 1)
        if rng.random() < 0.3:  # the header and the first page say how the rest is read
            at = rng.randrange(min(len(content), 400) + 1)
        piece = rng.choice((b"", rng.randbytes(1), rng.randbytes(8), bytes(64), b"\xff" * 4))
        content = content[:at] + piece + content[at + len(piece) :]
    if rng.random() < 0.2:
        content = content[: rng.randrange(len(content) + 1)]
    return content


def _by_hand(rng: random.Random, content: bytes) -> bytes:
    """Statements of somebody with the file and no scruples; those that fail change nothing."""
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder, "a.db")
        place.write_bytes(content)
        with suppress(sqlite3.Error, UnicodeError, OverflowError):
            _loosened(place)
            with closing(sqlite3.connect(place, isolation_level=None)) as loose:
                for _ in range(rng.randint(1, 3)):
                    _one_statement(rng, loose)
        return place.read_bytes()


def _loosened(place: Path) -> None:
    """No triggers and no NOT NULL any more."""
    with closing(sqlite3.connect(place, isolation_level=None)) as loose:
        loose.executescript(
            "PRAGMA writable_schema=ON; DELETE FROM sqlite_master WHERE type='trigger';"
            "UPDATE sqlite_master SET sql = replace(sql, 'NOT NULL', '')"
        )


def _one_statement(rng: random.Random, loose: sqlite3.Connection) -> None:
    table = rng.choice(TABLES)
    columns = [row[1] for row in loose.execute(f"PRAGMA table_info({table})")]
    if not columns or rng.random() < 0.1:
        loose.execute(rng.choice(tuple(_statements(table))))
        return
    column = rng.choice(columns)
    some = rng.choice(("", "", " WHERE random() % 3 = 0"))
    loose.execute(f"UPDATE OR REPLACE {table} SET {column} = ?{some}", (_cell(rng),))


def _statements(table: str) -> Iterator[str]:
    yield f"DELETE FROM {table}"
    yield f"DROP TABLE {table}"
    yield f"INSERT OR REPLACE INTO {table} SELECT * FROM {table} LIMIT 1"
    yield f"ALTER TABLE {table} RENAME TO gone"
    yield f"ALTER TABLE {table} ADD COLUMN more TEXT"
    yield "PRAGMA user_version = 99"
    yield "CREATE TABLE more (a)"
    yield "CREATE TRIGGER t AFTER INSERT ON events BEGIN DELETE FROM events; END"


def _cell(rng: random.Random) -> Any:
    texts = [t for t in ODD_TEXTS if t.isprintable()]
    return rng.choice((
        None, 0, 1, -1, 2**62, 0.5, b"\x00\xff", *rng.sample(texts, 6), "[" * 3000, "{}", "[]",
        '{"a": 1e999}', "2026-11-20T08:00:00.000000Z", "NaN",
    ))  # fmt: skip
