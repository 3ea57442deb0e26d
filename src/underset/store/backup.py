"""Backups of a store in use, restoring them, and proof that a restored store is the same.

A backup of an SQLite store is an SQLite file made by its online backup; of a PostgreSQL store a
book's file with drafts and accounts (see portable.py). Either restores into either engine.
"""

from __future__ import annotations

import os
import sqlite3
import tempfile
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from pydantic import ValidationError

from underset.errors import StoreError
from underset.store.book import Head
from underset.store.engines import WAIT_SECONDS, connect_sqlite, open_engines
from underset.store.portable import (
    STORE_ENDS,
    Header,
    Located,
    digests_in,
    digests_of,
    export_book,
    load,
    misfit,
    not_json,
    opened_book,
    refuse_itself,
    rows_of,
    tables_of,
)
from underset.store.refusals import database_refusals, disk_refusals
from underset.store.store import Store, open_store
from underset.store.work import Actor

_MAGIC: Final = b"SQLite format 3\0"  # sqlite.org/fileformat2.html


@dataclass(frozen=True, slots=True)
class Copied:
    """A copy of a store: where it is, and where its book ends."""

    place: str
    events: int
    head: str


def back_up(store: Store, path: Path) -> Copied:
    """Copy a store to a file while it is in use; the file is complete or not there at all.

    Raises StoreError when the disk refuses. Sessions are left out.
    """
    refuse_itself(store, path)
    source = store.engines.path
    if source is None:
        header = export_book(store, path, private=True)
        return Copied(str(path), header.events, header.head)
    temporary = path.with_name(f".{path.name}.{os.getpid()}.part")
    with disk_refusals(str(path)), database_refusals(str(path)):
        try:
            _copy_sqlite(source, temporary)
            os.replace(temporary, path)
        finally:
            _remove(temporary)
    with _source(path) as (header, _):
        return Copied(str(path), header.events, header.head)


def _copy_sqlite(source: Path, target: Path) -> None:
    """Decision: all pages in one step. In WAL mode writers go on meanwhile; small steps would
    start again at every write of another connection.
    """
    os.close(os.open(target, os.O_CREAT | os.O_EXCL | os.O_RDWR, 0o600))
    reading = connect_sqlite(source, WAIT_SECONDS, query_only=True)
    copy = sqlite3.connect(target, isolation_level=None)
    try:
        reading.backup(copy)
        copy.execute("PRAGMA synchronous=FULL")
        copy.execute("PRAGMA journal_mode=DELETE")
        copy.execute("PRAGMA secure_delete=ON")
        copy.execute("DELETE FROM sessions")
    finally:
        copy.close()
        reading.close()


def restore(path: Path, into: str | Path, *, by: Actor) -> Copied:
    """Put a backup or a book's file into an empty or new store, on either engine.

    Every link, document and version is checked, and afterwards all tables compared. Raises
    StoreError when the store is not empty or anything differs; then nothing is stored.
    """
    with _source(path) as (header, rows), _new_store(into) as store:
        with store.write(by) as tx:
            load(tx.work, header, rows)
        return Copied(store.place, header.events, header.head)


@contextmanager
def _new_store(into: str | Path) -> Iterator[Store]:
    """A store to be filled; a file that was made for it is taken away again when that fails."""
    path = open_engines(into).path
    made = path is not None and not path.exists()
    try:
        with open_store(into) as store:
            yield store
    except BaseException:
        if path is not None and made:
            _remove(path)
        raise


def _remove(path: Path) -> None:
    for end in STORE_ENDS:
        Path(f"{path}{end}").unlink(missing_ok=True)


def check_backup(path: Path) -> Copied:
    """Restore a backup into an empty store of its own, compare every row, leave nothing."""
    with tempfile.TemporaryDirectory(prefix="underset-check-") as folder:
        trial = Path(folder) / "trial.db"
        copied = restore(path, trial, by=Actor("backup check"))
        with _source(path) as (header, rows):
            wanted = digests_of(rows, header.private)
        with open_store(trial) as store, store.read() as tx:
            found = digests_in(tx.work, header.private)
    differing = [table for table in wanted if wanted[table] != found[table]]
    if differing:
        raise StoreError(f"{path} does not restore the same: {', '.join(differing)} differ.")
    return Copied(str(path), copied.events, copied.head)


def compare(one: Store, other: Store, *, private: bool = True) -> tuple[str, ...]:
    """Names of the tables whose rows differ between two stores; none when they hold the same."""
    with one.read() as tx, other.read() as ty:
        mine, theirs = (digests_in(t.work, private) for t in (tx, ty))
    return tuple(table for table in mine if mine[table] != theirs[table])


@contextmanager
def _source(path: Path) -> Iterator[tuple[Header, Iterator[Located]]]:
    """Header and rows of a backup, whichever of the two forms it has."""
    with disk_refusals(str(path)), path.open("rb") as file:
        sqlite = file.read(len(_MAGIC)) == _MAGIC
    if not sqlite:
        with opened_book(path) as book:
            yield book.header, book.rows()
        return
    with open_store(path, read_only=True) as store, store.read() as tx:
        header = _header(tx.book.head(), tx.work.stamp, path)
        with closing(rows_of(tx.work, private=True)) as found:
            yield header, _fitting(found, path)


def _header(head: Head, made: str, path: Path) -> Header:
    """What a book's file says first; StoreError where a hand has been at the end of the book."""
    try:
        return Header(book=head.book, events=head.seq, head=head.hash, made=made, private=True)
    except ValidationError as error:
        raise StoreError(
            f"{path} does not say where its book ends: {head.seq!r:.40} is no number of entries, "
            f"or {head.hash!r:.80} no hash. Take another backup."
        ) from error


def _fitting(rows: Iterator[Located], path: Path) -> Iterator[Located]:
    """Rows of a file that somebody may have made by hand: SQLite keeps any type anywhere."""
    tables = {table.name: table for table in tables_of(private=True)}
    for name, row in rows:
        if wrong := misfit(tables[name], row) or not_json(row):
            raise StoreError(f"{path} holds a row of {name} that is none: {wrong}.")
        yield name, row
