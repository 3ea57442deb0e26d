"""Keeping a whole workshop: backup and restore, export and import, all or nothing."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from underset.app.bookkeeping import export_to
from underset.app.imports import preview
from underset.app.imports import take_in as store_table
from underset.app.shop import Actor, Shop
from underset.errors import InputError
from underset.records import (
    Workshop,
    beyond_table,
    policy_text,
    read_workshop,
    toml_text,
    write_table,
)
from underset.store import BookKept, Copied, back_up, check_backup
from underset.store import restore as put_back

_FOLDERS = {"vehicle": "vehicles", "adapter": "adapters", "lift": "bays"}
BOOK, TABLE = ".jsonl", (".csv", ".xlsx")


@dataclass(frozen=True, slots=True)
class Moved:
    """What went in or out: how many records were really changed, of how many.

    `partly` names records that hold more than a table can.
    """

    what: str
    records: int
    changed: int
    partly: tuple[str, ...] = ()


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
        table = getattr(shop.workshop(), _FOLDERS[kind])
        _written(target, write_table(kind, table))
        more = tuple(id for id, record in table.items() if beyond_table(kind, record))
        return Moved(kind, len(table), 0, more)
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

    Records with the same id get a new version; what the source does not have stays, also within a
    record that a row is over. Raises InputErrors that list every bad row or file.
    """
    if source.is_dir():
        workshop = read_workshop(source)
        _one_kind(shop, workshop, source)
        changed = shop.take_in(workshop, by)
        return Moved("records", _count(workshop), changed)
    if source.suffix.lower() not in TABLE:
        raise InputError("import", str(source), "a workshop's folder, or a .csv or .xlsx table")
    _kind(kind)
    seen = preview(shop, kind, source)
    changed = store_table(shop, seen, by)
    return Moved(kind, len(seen.lines), changed)


def _one_kind(shop: Shop, workshop: Workshop, source: Path) -> None:
    """Decision: an invented workshop and a real one never share a store; neither could be told."""
    if not shop.empty and shop.workshop().about.invented != workshop.about.invented:
        there = "the invented sample" if shop.workshop().about.invented else "a real workshop"
        raise InputError(
            "import", str(source), f"a workshop of the same kind as the store, which holds {there}",
            "Give it a store of its own: --store FILE, or another UNDERSET_HOME.",
        )  # fmt: skip


def _kind(kind: str) -> None:
    if kind not in _FOLDERS:
        raise InputError("--kind", kind or "nothing", f"one of {', '.join(_FOLDERS)}")


def _count(workshop: Workshop) -> int:
    return 2 + sum(len(getattr(workshop, f)) for f in ("vehicles", "bays", "adapters", "jobs"))
