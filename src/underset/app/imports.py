"""Tables of vehicles, adapters or lifts taken in all or nothing, after a look at what would change.

A row for a record on file changes the figures it gives and leaves the others; every figure it
changes names the row's source. What a table cannot hold (zones, doors, ...) stays as it is.
"""

from __future__ import annotations

import re
import threading
import time
from collections import OrderedDict
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from secrets import token_hex
from typing import Any, Final

from underset.app.shop import Actor, Shop
from underset.errors import ConflictError, InputError, InputErrors, said
from underset.records import (
    TABLES,
    Adapter,
    Bay,
    Complaint,
    Record,
    TableColumn,
    Vehicle,
    Workshop,
    between,
    complaints,
    csv_text,
    done_ahead,
    from_json,
    read_table,
    to_json,
)
from underset.store import Change

MODELS: Final[dict[str, type[Any]]] = {"vehicle": Vehicle, "adapter": Adapter, "lift": Bay}
_PLACES: Final = {"vehicle": "vehicles", "adapter": "adapters", "lift": "bays"}
_TABLE: Final = "table"
_MOST_HELD, _HELD_SECONDS = 8, 1800.0


@dataclass(frozen=True, slots=True)
class ImportLine:
    """One row: what taking it in would do, and what looks odd in it."""

    id: str
    label: str
    change: str  # added, changed, same
    looks: tuple[Complaint, ...]


@dataclass(frozen=True, slots=True)
class Preview:
    """A table read whole: its lines, or every complaint and no line."""

    kind: str
    lines: tuple[ImportLine, ...]
    wrong: tuple[InputError, ...]
    changes: tuple[Change, ...] = field(default=(), repr=False)

    @property
    def useful(self) -> bool:
        """Whether taking it in would change anything."""
        return any(line.change != "same" for line in self.lines)


def preview(shop: Shop, kind: str, content: Path | bytes, name: str = "") -> Preview:
    """What a table would do; nothing is stored. All complaints of all rows are told at once."""
    if kind not in MODELS:
        raise InputError("kind", kind, said("one of {known}", known=", ".join(MODELS)))
    try:
        records = read_table(kind, content, name)
        with shop.store.read() as tx:
            heads = {x.id: x.version for x in tx.records.listed(MODELS[kind])}
        on_file = getattr(shop.workshop(), _PLACES[kind])
        merged, wrong = _merged(kind, records, on_file)
        if not wrong:
            wrong = _against_others(shop.workshop(), kind, merged)
            wrong += [e for id, r in merged.items() for e in done_ahead(r, shop.day(), id)]
        if wrong:
            raise InputErrors(wrong)
    except InputErrors as errors:
        return Preview(kind, (), errors.errors)
    except InputError as error:
        return Preview(kind, (), (error,))
    changes = tuple(Change(id, r, heads.get(id, 0)) for id, r in merged.items())
    return Preview(kind, tuple(_line(id, r, on_file) for id, r in merged.items()), (), changes)


def _line(id: str, record: Any, on_file: Mapping[str, Any]) -> ImportLine:
    before = on_file.get(id)
    change = "added" if before is None else "same" if before == record else "changed"
    return ImportLine(id, record.label, change, complaints(record))


def take_in(shop: Shop, seen: Preview, by: Actor) -> int:
    """Store all rows over the versions that were looked at, or none; how many changed is returned.

    Raises ConflictError when one of them was changed after the look.
    """
    if seen.wrong:
        raise InputErrors(seen.wrong)
    with shop.store.write(by) as tx:
        return tx.records.put_all(MODELS[seen.kind], seen.changes)


# --- rows over records on file --------------------------------------------------------------------


def _merged(
    kind: str, records: Mapping[str, Record], on_file: Mapping[str, Record]
) -> tuple[dict[str, Record], list[InputError]]:
    found: dict[str, Record] = {}
    wrong: list[InputError] = []
    for id, record in records.items():
        before = on_file.get(id)
        try:
            found[id] = record if before is None else _row_over(kind, id, to_json(before), record)
        except InputErrors as errors:
            wrong += errors.errors
        except InputError as error:
            wrong.append(error)
    return found, wrong


def _row_over(kind: str, id: str, before: dict[str, Any], record: Record) -> Record:
    """The record on file with the figures of a row."""
    row = to_json(record)
    source = row.pop("sources", {}).get(_TABLE)
    row.pop("source", None)
    taken, n = before.get("sources", {}), 1
    while f"{_TABLE}-{n}" in taken and taken[f"{_TABLE}-{n}"] != source:
        n += 1
    name = f"{_TABLE}-{n}"
    merged, used = _overlaid(before, row, name)
    if used and source is None:
        raise InputError(
            "source_document", "nothing",
            said("a source: this row changes the {kind} {id} on file", kind=kind, id=id),
            "Fill in source_kind and source_document.", place=id,
        )  # fmt: skip
    if used:
        merged["sources"] = {**taken, name: source}
    changed: Record = from_json(MODELS[kind], merged, id)
    return changed


_MEASURED = re.compile(r"^[-+]?\d[\d.eE+-]*\s*(?:(?:±|\+/-)\s*[\d.eE+-]+\s*)?[A-Za-z°%]")


def _overlaid(before: Any, row: Any, source: str) -> tuple[Any, bool]:
    """Row over record, and whether any figure was changed; what is alike keeps its source."""
    if isinstance(row, dict) and isinstance(before, dict) and "value" not in before:
        merged, used = dict(before), False
        for key, value in row.items():
            merged[key], changed = _overlaid(before.get(key), value, source)
            used |= changed
        return merged, used
    if isinstance(row, list) and isinstance(before, list) and _tables(row):
        longer = [_overlaid(b, r, source) for b, r in zip(before, row, strict=False)]
        rest = before[len(row) :] or row[len(before) :]
        return [m for m, _ in longer] + rest, any(c for _, c in longer)
    text = before.get("value") if isinstance(before, dict) else before
    if text == row:
        return before, False
    if isinstance(row, str) and _MEASURED.match(row):
        return {"value": row, "source": source}, True
    return row, False


def _tables(items: list[Any]) -> bool:
    return bool(items) and all(isinstance(item, dict) for item in items)


def _against_others(shop: Workshop, kind: str, merged: dict[str, Any]) -> list[InputError]:
    """Contradictions between the records as they would be, apart from those there already."""
    place = _PLACES[kind]
    before = {e.message for e in between(shop)}
    changed: dict[str, Any] = {place: {**getattr(shop, place), **merged}}
    after = replace(shop, **changed)
    return [e for e in between(after) if e.message not in before]


# --- held between the look and the taking in ------------------------------------------------------


class Held:
    """Previews that wait for a yes: few, for half an hour, each for the one who looked."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._kept: OrderedDict[str, tuple[float, str, Preview]] = OrderedDict()

    def hold(self, seen: Preview, person: str) -> str:
        """Keep a preview; the oldest goes when there are too many."""
        key = token_hex(16)
        with self._lock:
            self._kept[key] = (time.monotonic(), person, seen)
            while len(self._kept) > _MOST_HELD:
                self._kept.popitem(last=False)
        return key

    def take(self, key: str, person: str) -> Preview:
        """Give a preview back, once; ConflictError when it is no longer there."""
        with self._lock:
            at, who, seen = self._kept.pop(key, (0.0, "", None))
        if seen is None or who != person or time.monotonic() - at > _HELD_SECONDS:
            raise ConflictError("This look is no longer held. Nothing was taken in; send it again.")
        return seen


# --- an empty table -------------------------------------------------------------------------------


def empty_table(kind: str) -> str:
    """A table with every column, its lengths in mm, masses in kg, and no row."""
    if kind not in TABLES:
        raise InputError("kind", kind, said("one of {known}", known=", ".join(TABLES)))
    return csv_text([[_head(column) for column in TABLES[kind]]])


_UNITS: Final = {"length": "mm", "mass": "kg", "force": "kN", "angle": "deg", "speed": "mm/s",
                 "share": "%", "duration": "months"}  # fmt: skip


def _head(column: TableColumn) -> str:
    unit = _UNITS.get(column.kind)
    return f"{column.name} [{unit}]" if column.measured and unit else column.name


def columns(kind: str) -> tuple[TableColumn, ...]:
    """The columns that a table of a kind may have."""
    return TABLES[kind]


__all__ = [
    "MODELS", "Held", "ImportLine", "Preview", "columns", "empty_table", "preview", "take_in",
]  # fmt: skip
