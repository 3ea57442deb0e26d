"""Keeping a whole workshop: backup and restore, export and import, all or nothing."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from underset.app.bookkeeping import export_to
from underset.app.shop import Actor, Shop
from underset.errors import InputError, InputErrors
from underset.records import (
    Workshop,
    between,
    beyond_table,
    policy_text,
    read_table,
    read_workshop,
    toml_text,
    write_table,
)
from underset.store import BookKept, Change, Copied, back_up, check_backup
from underset.store import restore as put_back
from underset.store.records import RECORD_KINDS

TABLE_KINDS = {"vehicle": "vehicle", "adapter": "adapter", "lift": "bay"}
_FOLDERS = {"vehicle": "vehicles", "adapter": "adapters", "bay": "bays"}
BOOK, TABLE = ".jsonl", (".csv", ".xlsx")


@dataclass(frozen=True, slots=True)
class Moved:
    """What went in or out: how many records were really changed, of how many."""

    what: str
    records: int
    changed: int


def backed_up(shop: Shop, path: Path, by: Actor, check: bool) -> Copied:
    """Copy the store to a file while it is in use; `check` also restores it and compares all rows.

    Decision: the entry "backed up" is written first, so that the copy holds it too.
    """
    if path.is_dir() or not path.parent.is_dir():
        raise InputError("backup", str(path), "a file in a folder that is there")
    with shop.store.write(by) as tx:
        head = tx.book.head()
        said = {"book": head.book, "what": "backed up", "events": head.seq, "head": head.hash}
        tx.book.append(BookKept.model_validate(said))
    copied = back_up(shop.store, path)
    return check_backup(path) if check else copied


def restored(path: Path, into: str | Path, by: Actor) -> Copied:
    """Put a backup or a book's file into a new or empty store; StoreError when it is not empty."""
    if not path.is_file():
        raise InputError("restore", str(path), "a backup or a book's file that is there")
    return put_back(path, into, by=by)


# --- export --------------------------------------------------------------------------------------


def export(shop: Shop, target: Path, kind: str, by: Actor) -> Moved:
    """Write a workshop's folder, one kind of record as a table, or the whole book.

    A name that ends in .jsonl gets the book, one in .csv a table of `kind`; any other is a folder.
    """
    if target.suffix == BOOK:
        header = export_to(shop, target, by)
        return Moved("events", header.events, 0)
    if target.suffix == ".csv":
        _kind(kind)
        table = getattr(shop.workshop(), _FOLDERS[TABLE_KINDS[kind]])
        _written(target, write_table(kind, table))
        return Moved(kind, len(table), 0)
    files = folder_of(shop.workshop())
    if target.exists() and (not target.is_dir() or any(target.iterdir())):
        raise InputError("export", str(target), "a folder that is empty or not there yet")
    for name, text in files.items():
        place = target / name
        place.parent.mkdir(parents=True, exist_ok=True)
        _written(place, text)
    return Moved("files", len(files), 0)


def folder_of(workshop: Workshop) -> dict[str, str]:
    """The files of a workshop's folder by name, as `read_workshop` reads them."""
    files = {
        "workshop.toml": toml_text(workshop.about),
        "policy.toml": policy_text(workshop.policy),
    }
    for folder in ("vehicles", "bays", "adapters", "jobs"):
        table = getattr(workshop, folder)
        files |= {f"{folder}/{id}.toml": toml_text(record) for id, record in table.items()}
    return files


def _written(place: Path, text: str) -> None:
    try:
        place.write_text(text, encoding="utf-8")
    except OSError as error:
        raise InputError("file", str(place), f"cannot be written: {error.strerror}") from error


# --- import --------------------------------------------------------------------------------------


def take_in(shop: Shop, source: Path, kind: str, by: Actor) -> Moved:
    """Put a workshop's folder, or a table of `kind`, on file: every record or none.

    Records with the same id get a new version; what the source does not have stays. Raises
    InputErrors that list every bad row or file.
    """
    if source.is_dir():
        workshop = read_workshop(source)
        changed = shop.take_in(workshop, by)
        return Moved("records", _count(workshop), changed)
    if source.suffix.lower() not in TABLE:
        raise InputError("import", str(source), "a workshop's folder, or a .csv or .xlsx table")
    _kind(kind)
    return take_table(shop, kind, read_table(kind, source), by)


def take_table(shop: Shop, kind: str, records: Mapping[str, Any], by: Actor) -> Moved:
    """Put a table's records on file, all or none; they must fit those that are there."""
    name = TABLE_KINDS[kind]
    workshop, folder = shop.workshop(), _FOLDERS[name]
    table: Mapping[str, Any] = getattr(workshop, folder)
    _nothing_lost(kind, table, records)
    together: dict[str, Any] = {folder: {**table, **records}}
    merged = replace(workshop, **together)
    known = {e.message for e in between(workshop)}
    fresh = [e for e in between(merged) if e.message not in known]
    if fresh:
        raise InputErrors(fresh)
    model = RECORD_KINDS[name]
    with shop.store.write(by) as tx:
        heads = {x.id: x.version for x in tx.records.listed(model)}  # type: ignore[type-var]
        changes = [Change(id, record, heads.get(id, 0)) for id, record in records.items()]
        changed = tx.records.put_all(model, changes)  # type: ignore[type-var]
    return Moved(kind, len(records), changed)


def _nothing_lost(kind: str, there: Mapping[str, Any], records: Mapping[str, Any]) -> None:
    """A table cannot hold all of a record: it must not take the rest away from one on file."""
    beyond = {id: beyond_table(kind, there[id]) for id in records if id in there}
    wrong = [
        InputError(
            "id", id, f"a record without {', '.join(fields[:4])}, which no table holds",
            "Change it in its form, or import a folder.",
        )
        for id, fields in beyond.items()
        if fields and there[id] != records[id]
    ]  # fmt: skip
    if wrong:
        raise InputErrors(wrong)


def _kind(kind: str) -> None:
    if kind not in TABLE_KINDS:
        raise InputError("--kind", kind or "nothing", f"one of {', '.join(TABLE_KINDS)}")


def _count(workshop: Workshop) -> int:
    return 2 + sum(len(getattr(workshop, f)) for f in ("vehicles", "bays", "adapters", "jobs"))
