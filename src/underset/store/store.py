"""A store: opens the database, hands out transactions, translates its errors.

    with store.write(Actor("jorun", "tablet-2")) as tx:
        tx.records.put("harbour-hatch", vehicle, version=3)
        tx.book.append(DailyCheck(bay="north", on=today, fit=True))
    with store.read() as tx:
        page = tx.book.find(Query(subject="bay/north"))

All of a `with` block is stored, or nothing of it. A write inside a write is a part that may fail
alone: the outer one goes on when the error is caught.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Self

from sqlalchemy import select

from underset.errors import StoreError
from underset.store.accounts import Accounts
from underset.store.book import Book
from underset.store.drafts import Drafts
from underset.store.engines import WAIT_SECONDS, Engines, make_sqlite_file, open_engines
from underset.store.migrate import Form, bring_up, form_of, refuse_form
from underset.store.records import Records
from underset.store.refusals import database_refusals, disk_refusals
from underset.store.tables import BOOK
from underset.store.verify import Verdict, verify
from underset.store.work import Actor, Work

Clock = Callable[[], datetime]


def utc_now() -> datetime:
    """The clock a store uses unless it is given another."""
    return datetime.now(UTC)


@dataclass(frozen=True, slots=True)
class Transaction:
    """Everything in the store as one open transaction sees it."""

    work: Work

    @property
    def now(self) -> datetime:
        """The moment that everything written in this transaction carries."""
        return self.work.now

    @property
    def book(self) -> Book:
        """Events and documents."""
        return Book(self.work)

    @property
    def records(self) -> Records:
        """Vehicles, bays, adapters, jobs, workshop and policy."""
        return Records(self.work)

    @property
    def drafts(self) -> Drafts:
        """Forms that are not finished."""
        return Drafts(self.work)

    def verify(self) -> Verdict:
        """Walk the whole book and name the first broken link."""
        return verify(self.work)

    @property
    def accounts(self) -> Accounts:
        """Who may sign in, and who has."""
        return Accounts(self.work)


class Store:
    """An open store; use `open_store`. Threads may share it."""

    def __init__(self, engines: Engines, clock: Clock) -> None:
        self._engines, self._clock = engines, clock
        self._open = threading.local()

    @property
    def place(self) -> str:
        """Path or address, without any password."""
        return self._engines.place

    @property
    def engines(self) -> Engines:
        """The engines, for the parts of this package that copy whole stores."""
        return self._engines

    @contextmanager
    def read(self) -> Iterator[Transaction]:
        """A transaction that sees one moment and cannot write."""
        with database_refusals(self.place), self._engines.reader.connect() as conn, conn.begin():
            yield Transaction(Work(conn, self._clock()))

    @contextmanager
    def write(self, by: Actor) -> Iterator[Transaction]:
        """A transaction in which `by` writes, alone; all of it is stored at the end, or nothing.

        Raises StoreError when the store cannot be written, with what to do about it.
        """
        outer: Transaction | None = getattr(self._open, "transaction", None)
        if outer is not None:
            with database_refusals(self.place), outer.work.conn.begin_nested():
                yield Transaction(replace(outer.work, by=by))
            return
        with database_refusals(self.place), self._engines.writer.begin() as conn:
            # The row is locked on PostgreSQL; on SQLite the transaction is the only one already.
            conn.execute(select(BOOK.c.id).with_for_update()).one()
            self._open.transaction = Transaction(Work(conn, self._clock(), by))
            try:
                yield self._open.transaction
            finally:
                self._open.transaction = None

    def close(self) -> None:
        """Close all connections."""
        self._engines.dispose()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()


def open_store(
    where: str | Path,
    *,
    clock: Clock = utc_now,
    create: bool = True,
    wait: float = WAIT_SECONDS,
    read_only: bool = False,
) -> Store:
    """Open a store by path or postgresql:// address; its tables are made or brought up first.

    `create=False` refuses a store that is not there, `wait` is how long a write waits for another
    one. Raises StoreError when it cannot be opened or is not ours.
    """
    engines = open_engines(where, wait=wait, read_only=read_only)
    create = create and not read_only
    try:
        if engines.path is not None:
            _file_there(engines.path, create)
        with database_refusals(engines.place):
            _tables_there(engines, create, read_only)
    except BaseException:
        engines.dispose()
        raise
    return Store(engines, clock)


def _file_there(path: Path, create: bool) -> None:
    with disk_refusals(str(path)), database_refusals(str(path)):
        if path.exists():
            return
        if not create:
            raise StoreError(
                f"there is no store at {path}. Check the path, or make one there first."
            )
        try:
            make_sqlite_file(path)
        except FileExistsError:
            return  # another process made it at the same moment: its file is as good


def _tables_there(engines: Engines, create: bool, read_only: bool) -> None:
    with engines.reader.connect() as conn, conn.begin():
        form = form_of(conn)
    if form is Form.NEWEST:
        return
    refuse_form(form, engines.place)
    if read_only or not create:
        raise StoreError(f"{engines.place} {form.value}. Open it for writing once to bring it up.")
    bring_up(engines.writer, engines.place)
