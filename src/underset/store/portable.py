"""A whole book as one file that another shop, or another engine, can read.

JSON Lines in UTF-8. First line: a header with the book's id, how many events it has and the hash
of the last. Then one line a row, `{"row": {...}, "table": "events"}`, and at last a line with the
SHA-256 of each table's rows. Everything is held against these hashes and the chain when it is read.
"""

from __future__ import annotations

import json
import os
from collections.abc import Generator, Iterable, Iterator, Mapping
from contextlib import closing, contextmanager
from hashlib import sha256
from pathlib import Path
from typing import IO, Any, Final

from pydantic import Field, ValidationError
from sqlalchemy import Table, insert, select, update

from underset.errors import InputError, StoreError
from underset.records import Record
from underset.store.book import Book
from underset.store.canonical import canonical, moment
from underset.store.kinds import payload_on_file
from underset.store.refusals import disk_refusals
from underset.store.store import Store
from underset.store.tables import (
    ACCOUNTS,
    BOOK,
    DOCUMENTS,
    DRAFTS,
    EVENT_SUBJECTS,
    EVENTS,
    RECORD_VERSIONS,
    RECORDS,
)
from underset.store.verify import Chain, verify
from underset.store.work import Work

FILE_KIND: Final = "underset book"
FILE_VERSION: Final = 1
STORE_ENDS: Final = ("", "-wal", "-shm", "-journal")  # the files of one SQLite store
LONGEST_LINE: Final = 16_000_000  # bytes
OPEN_TABLES: Final = (DOCUMENTS, EVENTS, RECORD_VERSIONS)
PRIVATE_TABLES: Final = (DRAFTS, ACCOUNTS)
_JSON_COLUMNS = ("payload", "body")
_BATCH = 500

Row = dict[str, Any]
Located = tuple[str, Row]  # name of the table, columns by name


class Header(Record):
    """First line of a book's file. `private` says whether drafts and accounts are in it."""

    book: str
    events: int = Field(ge=0)
    head: str
    made: str
    private: bool = False
    kind: str = FILE_KIND
    version: int = FILE_VERSION


class Digests:
    """SHA-256 over the rows of each table, in the order of their keys."""

    def __init__(self, private: bool) -> None:
        self._sums = {table.name: sha256() for table in tables_of(private)}

    def add(self, table: str, line: str) -> None:
        """Take one more row in, as its canonical line."""
        self._sums[table].update(line.encode("utf-8") + b"\n")

    def result(self) -> dict[str, str]:
        """The sums in hexadecimal by table."""
        return {table: sum_.hexdigest() for table, sum_ in self._sums.items()}


def tables_of(private: bool) -> tuple[Table, ...]:
    """The tables a file holds. Sessions are in none: nobody stays signed in through a copy."""
    return OPEN_TABLES + PRIVATE_TABLES if private else OPEN_TABLES


# --- writing -------------------------------------------------------------------------------------


def export_book(store: Store, path: Path, *, private: bool = False) -> Header:
    """Write the whole book to a file, safely on the disk before the old one is replaced.

    `private` adds drafts and accounts, for a backup; without it the file is fit to hand over.
    Raises StoreError when the disk refuses; nothing half-written is left.
    """
    refuse_itself(store, path)
    with store.read() as tx, disk_refusals(str(path)), replacing(path) as file:
        head = Book(tx.work).head()
        header = Header(
            book=head.book, events=head.seq, head=head.hash, made=tx.work.stamp, private=private
        )
        file.write(canonical(header.model_dump()) + "\n")
        digests = Digests(private)
        with closing(rows_of(tx.work, private)) as rows:
            for table, row in rows:
                line = line_of(table, row)
                digests.add(table, line)
                file.write(line + "\n")
        file.write(canonical({"sha256": digests.result()}) + "\n")
    return header


def refuse_itself(store: Store, path: Path) -> None:
    """Raise InputError for a copy that would take the place of the store's own file."""
    own = store.engines.path
    if own is not None and path.resolve() in {Path(f"{own.resolve()}{e}") for e in STORE_ENDS}:
        raise InputError("file", str(path), "another file than the store itself")


def rows_of(work: Work, private: bool) -> Generator[Located, None, None]:
    """Every row of every table a file holds, in the order of their keys.

    To be closed before the transaction ends, also where something fails on the way.
    """
    for table in tables_of(private):
        wanted = select(table).order_by(*table.primary_key.columns)
        with work.stream(wanted) as rows:
            for row in rows:
                yield table.name, row._asdict()


def line_of(table: str, row: Row) -> str:
    """A row as its line in the file, stored JSON as JSON."""
    fields = {k: json.loads(v) if k in _JSON_COLUMNS else v for k, v in row.items()}
    return canonical({"row": fields, "table": table})


def digests_of(rows: Iterable[Located], private: bool) -> dict[str, str]:
    """The sums over rows, to compare a store with another store or a file."""
    digests = Digests(private)
    for table, row in rows:
        digests.add(table, line_of(table, row))
    return digests.result()


def digests_in(work: Work, private: bool) -> dict[str, str]:
    """The sums over all rows of an open store."""
    with closing(rows_of(work, private)) as rows:
        return digests_of(rows, private)


@contextmanager
def replacing(path: Path) -> Iterator[IO[str]]:
    """A text file that takes the place of `path` when the block ends well, and vanishes if not."""
    temporary = path.with_name(f".{path.name}.{os.getpid()}.part")
    try:
        with os.fdopen(
            os.open(temporary, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600), "w", encoding="utf-8"
        ) as file:
            yield file
            file.flush()
            os.fsync(file.fileno())
        os.replace(temporary, path)
    finally:
        temporary.unlink(missing_ok=True)


# --- reading -------------------------------------------------------------------------------------


class BookFile:
    """A book's file being read: the header at once, the rows one by one, the sums at the end."""

    def __init__(self, path: Path, file: IO[bytes]) -> None:
        self._path, self._file, self._line = path, file, 0
        try:
            self.header = Header.model_validate(self._json())
        except ValidationError as error:
            raise self._refused("the first line is not the header of a book's file") from error
        if (self.header.kind, self.header.version) != (FILE_KIND, FILE_VERSION):
            raise self._refused("it is not a book's file, or of a newer version")

    def rows(self) -> Iterator[Located]:
        """The rows by table; raises InputError for a line that does not fit or sums that differ."""
        tables = {table.name: table for table in tables_of(self.header.private)}
        digests = Digests(self.header.private)
        while "sha256" not in (found := self._json()):
            name = found.get("table")
            if not isinstance(name, str) or name not in tables or set(found) != {"row", "table"}:
                raise self._refused("it is not a row of a table")
            digests.add(name, canonical(found))
            yield name, self._columns(tables[name], found["row"])
        if found != {"sha256": digests.result()} or self._file.readline(1):
            raise self._refused("the sums do not fit what was read: the file was cut or changed")

    def _columns(self, table: Table, row: Any) -> Row:
        if not isinstance(row, dict) or set(row) != set(table.c.keys()):
            raise self._refused(f"a row of {table.name} has other columns")
        plain = {k: canonical(v) if k in _JSON_COLUMNS else v for k, v in row.items()}
        if wrong := misfit(table, plain):
            raise self._refused(wrong)
        return plain

    def _json(self) -> dict[str, Any]:
        self._line += 1
        line = self._file.readline(LONGEST_LINE + 1)
        if not line.endswith(b"\n"):
            raise self._refused("the file ends in the middle, or a line is too long")
        try:
            found = json.loads(line.decode("utf-8"))
        except (ValueError, RecursionError) as error:
            raise self._refused("it is not JSON") from error
        if not isinstance(found, dict):
            raise self._refused("it is not a JSON object")
        return found

    def _refused(self, why: str) -> InputError:
        place = f"{self._path.name}, line {self._line}"
        return InputError("book", self._path.name, why, "Ask for the file again.", place=place)


def misfit(table: Table, row: Row) -> str:
    """What is wrong with the types of a row that comes from outside; empty when nothing is."""
    wrong = [c for c in table.columns if type(row[c.name]) is not c.type.python_type]
    return f"{wrong[0].name} is not a {wrong[0].type.python_type.__name__}" if wrong else ""


def not_json(row: Row) -> str:
    """Which column of a row should hold JSON and does not; empty when all do."""
    for name in _JSON_COLUMNS:
        try:
            json.loads(row.get(name, "0"))
        except (ValueError, RecursionError):
            return f"{name} is not JSON"
    return ""


@contextmanager
def opened_book(path: Path) -> Iterator[BookFile]:
    """A book's file open for reading; its header is checked already."""
    with disk_refusals(str(path)):
        file = path.open("rb")
    with file:
        yield BookFile(path, file)


# --- into an empty store -------------------------------------------------------------------------


def is_empty(work: Work) -> bool:
    """Whether nothing was ever stored here."""
    tables = (EVENTS, DOCUMENTS, RECORDS, DRAFTS, ACCOUNTS)
    return all(work.conn.execute(select(table).limit(1)).first() is None for table in tables)


def load(work: Work, header: Header, rows: Iterable[Located]) -> None:
    """Put a whole book into an empty store inside an open transaction, checking every link.

    Raises StoreError, naming the first broken link, or when the store is not empty; the caller's
    transaction then stores nothing.
    """
    if not is_empty(work):
        raise StoreError("this store is not empty. Restore into a new one: nothing was changed.")
    chain = Chain(header.book)
    for some in _batches(rows):
        _insert(work, some, chain)
    work.conn.execute(update(BOOK).values(id=header.book, seq=header.events, hash=header.head))
    _newest_on_file(work)
    broken = verify(work).broken
    if broken:
        raise StoreError(
            f"the book is broken at {broken.where}: {broken.reason}. Nothing was stored."
        )


def _insert(work: Work, some: list[Located], chain: Chain) -> None:
    table, rows = some[0][0], [row for _, row in some]
    if table == EVENTS.name:
        links = [link for row in rows for link in _followed(chain, row)]
        work.conn.execute(insert(EVENTS), rows)
        work.conn.execute(insert(EVENT_SUBJECTS), links)
        return
    into = {t.name: t for t in tables_of(private=True)}[table]
    work.conn.execute(insert(into), rows)


def _followed(chain: Chain, row: Mapping[str, Any]) -> list[Row]:
    broken = chain.next(row)
    if broken:
        raise StoreError(
            f"the book is broken at {broken.where}: {broken.reason}. Nothing was stored."
        )
    try:
        moment(row["at"])
    except ValueError as error:
        raise StoreError(f"event {row['seq']} has no proper time. Nothing was stored.") from error
    payload = payload_on_file(row["kind"], json.loads(row["payload"]))
    common = {"at": row["at"], "seq": row["seq"], "kind": row["kind"]}
    return [{"subject": subject, **common} for subject in payload.about()]


def _newest_on_file(work: Work) -> None:
    """Fill the list of records from their histories."""
    columns = RECORDS.c.keys()
    newest: dict[tuple[str, str], Row] = {}
    for row in work.conn.execute(select(RECORD_VERSIONS).order_by(RECORD_VERSIONS.c.version)):
        newest[row.kind, row.id] = {name: row._mapping[name] for name in columns}
    if newest:
        work.conn.execute(insert(RECORDS), list(newest.values()))


def _batches(rows: Iterable[Located]) -> Iterator[list[Located]]:
    """Rows of one table together, so many at a time."""
    some: list[Located] = []
    for located in rows:
        if some and (located[0] != some[0][0] or len(some) == _BATCH):
            yield some
            some = []
        some.append(located)
    if some:
        yield some
