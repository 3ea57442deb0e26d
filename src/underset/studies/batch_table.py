"""Vehicles from a table, CSV or Parquet, a chunk in memory at a time; and written as CSV.

Columns carry their unit in the header, as `wheelbase [m]`; the contact is written in words. What
else may stand there: `batch_headers`. An empty field is *not known*. Zones are rectangles:
`zone1_x_low [m]` and so on, up to eight.
"""

from __future__ import annotations

import csv
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from itertools import islice
from math import isnan, nan
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeAlias

import numpy as np

from underset.errors import InputError
from underset.studies import batch_columns as at
from underset.studies.batch_headers import (
    AXLE_TOLS,
    AXLES,
    Given,
    columns_in,
    from_axles,
    header,
    headers,
)
from underset.studies.proof import require_extra
from underset.units import BOUNDS

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats: TypeAlias = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Vehicles:
    """Rows of vehicles, their zones, and how many zones each has."""

    rows: Floats
    zones: Floats
    counts: NDArray[np.int64]


_MORE = "more cells"
_KINDS = {"m": "length", "kg": "mass", "N m/rad": "twist"}
_POSITIVE = frozenset(
    {
        "wheelbase",
        "mass",
        *AXLES,
        "track_front",
        "track_rear",
        "tyre_width",
        "tyre_diameter",
        "roof",
    }
)


def read_table(path: Path, size: int, twist: float) -> Iterator[Vehicles]:
    """Chunks of a table. `twist` stands in where a vehicle has no stiffness of its own.

    Raises InputError for another ending, a damaged file, columns that are missing, twice there or
    in no unit of theirs, and for a field that is no figure a vehicle can have.
    """
    if path.suffix == ".csv":
        yield from _read_csv(path, size, twist)
    elif path.suffix == ".parquet":
        yield from _read_parquet(path, size, twist)
    else:
        raise InputError("table", path.name, "a file ending in .csv or .parquet")


def rows_in(path: Path) -> int:
    """Rows of a table, read off it in blocks; 0 where that cannot be told.

    Raises InputError as `read_table` does for a Parquet file without its reader.
    """
    if not path.is_file():
        return 0
    if path.suffix == ".parquet":
        require_extra("pyarrow", "speed")
        from pyarrow.parquet import ParquetFile

        with _damage_told(path), ParquetFile(path) as table:
            count: int = table.metadata.num_rows
            return count
    lines, last = 0, b"\n"
    with path.open("rb") as file:
        while block := file.read(1 << 20):
            lines, last = lines + block.count(b"\n"), block[-1:]
    return max(0, lines - (last == b"\n"))


def _read_csv(path: Path, size: int, twist: float) -> Iterator[Vehicles]:
    with _damage_told(path), path.open(encoding="utf-8-sig", newline="") as file:
        reader = csv.DictReader(file, restkey=_MORE, strict=True)
        given = columns_in(reader.fieldnames or (), f"table {path.name}")
        line = 2
        while rows := list(islice(reader, size)):
            yield _vehicles(rows, given, twist, line)
            line += len(rows)


def _read_parquet(path: Path, size: int, twist: float) -> Iterator[Vehicles]:
    require_extra("pyarrow", "speed")
    from pyarrow.parquet import ParquetFile

    with _damage_told(path), ParquetFile(path) as file:
        given = columns_in(file.schema_arrow.names, f"table {path.name}")
        line = 1
        for batch in file.iter_batches(batch_size=size):
            yield _vehicles(batch.to_pylist(), given, twist, line)
            line += batch.num_rows


@contextmanager
def _damage_told(path: Path) -> Iterator[None]:
    """What a reader says of a damaged file, as an error of ours; it handles this file alone."""
    try:
        yield
    except OSError as error:
        told = error.strerror or "the file is damaged"
        raise InputError("table", path.name, f"cannot be read: {told}") from error
    except UnicodeDecodeError as error:
        allowed = "text in UTF-8"
        raise InputError("table", path.name, allowed, "Save it as CSV UTF-8.") from error
    except csv.Error as error:
        raise InputError("table", path.name, f"rows of quoted cells ({error})") from error
    except ValueError as error:  # pyarrow's own errors are of this kind
        raise InputError("table", path.name, f"a table that opens ({_line(error)})") from error


def _line(error: Exception) -> str:
    return str(error).partition("\n")[0][:120]


def _vehicles(
    rows: list[dict[str, Any]], given: Mapping[str, Given], twist: float, line: int
) -> Vehicles:
    table = np.full((len(rows), at.VEHICLE_WIDTH), nan)
    zones = np.zeros((len(rows), at.MOST_ZONES, at.ZONE_WIDTH))
    counts = np.zeros(len(rows), dtype=np.int64)
    _cells_fit(rows, line)
    for k, name in enumerate(at.VEHICLE_COLUMNS):
        if k == at.CONTACT:
            table[:, k] = [_contact(row, line + i) for i, row in enumerate(rows)]
        else:
            table[:, k] = _column(rows, given.get(name), name, line)
    _by_axles(table, rows, given, line)
    for zone in range(at.MOST_ZONES):
        figures = np.array(
            [
                _column(rows, given.get(name), name, line)
                for name in (f"zone{zone + 1}_{c}" for c in at.ZONE_COLUMNS)
            ]
        ).T
        there = np.flatnonzero(np.isfinite(figures[:, at.UNDERSIDE]))
        zones[there, counts[there]] = figures[there]
        counts[there] += 1
    table[:, at.TWIST] = np.where(np.isnan(table[:, at.TWIST]), twist, table[:, at.TWIST])
    return Vehicles(table, zones, counts)


def _by_axles(
    table: Floats, rows: list[dict[str, Any]], given: Mapping[str, Given], line: int
) -> None:
    """Mass and CG from the loads of both axles, where the table holds those."""
    if AXLES[0] not in given or "mass" in given:
        return
    loads, tols = (
        [np.array(_column(rows, given.get(n), n, line)) for n in names]
        for names in (AXLES, AXLE_TOLS)
    )
    told = all(n in given for n in AXLE_TOLS)
    mass, x, mass_tol, x_tol = from_axles(table, loads, tols if told else None)
    table[:, at.MASS], table[:, at.CG_X] = mass, x
    if mass_tol is not None and x_tol is not None:
        table[:, at.MASS_TOL], table[:, at.CG_X_TOL] = mass_tol, x_tol


def _cells_fit(rows: list[dict[str, Any]], line: int) -> None:
    """No row has more cells than the header, where the last ones would be read by nobody."""
    for i, row in enumerate(rows):
        more = row.get(_MORE)
        if more:
            raise InputError(f"line {line + i}", more[0], "as many cells as in the header")


def _column(rows: list[dict[str, Any]], given: Given | None, bare: str, line: int) -> list[float]:
    """One column as figures in our unit, NaN where a field is empty."""
    if given is None:
        return [nan] * len(rows)
    name, factor = given.head, given.factor
    texts = [row[name] for row in rows]
    try:
        figures = [nan if t is None or t == "" else float(t) * factor for t in texts]
    except (ValueError, TypeError):
        return [_figure(row, name, line + i) for i, row in enumerate(rows)]  # says which line
    unit = header(bare).partition(" [")[2]
    most = BOUNDS[_KINDS[unit[:-1]]] if unit else 1.0
    low = 0.0 if bare in _POSITIVE or bare.endswith("_tol") or not unit else -most
    for i, x in enumerate(figures):
        if not (low <= x <= most or isnan(x)) or (x == 0.0 and bare in _POSITIVE):
            more = "more than 0" if bare in _POSITIVE else f"from {low:g}"
            within = f"{more} to {most:g}" + (f" {unit[:-1]}" if factor != 1.0 else "")
            raise InputError(f"line {line + i}, {name}", texts[i], within)
    return figures


def _figure(row: Mapping[str, Any], name: str, line: int) -> float:
    text = row.get(name)
    if text is None or text == "":
        return nan
    try:
        return float(text)
    except (ValueError, TypeError) as error:
        raise InputError(f"line {line}, {name}", text, "a figure, or nothing") from error


def _contact(row: Mapping[str, Any], line: int) -> float:
    word = row.get("contact") or ""
    if word == "":
        return nan
    if word not in at.CONTACTS:
        raise InputError(f"line {line}, contact", word, f"one of {', '.join(at.CONTACTS)}")
    return float(at.CONTACTS.index(word))


def write_csv(path: Path, chunks: Iterable[Vehicles]) -> int:
    """Write vehicles as a table that reads back exactly; gives their number."""
    count = 0
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(headers())
        for them in chunks:
            for i in range(len(them.rows)):
                writer.writerow(_fields(them, i))
                count += 1
    return count


def _fields(them: Vehicles, i: int) -> list[str]:
    row = [_text(x) for x in them.rows[i]]
    contact = them.rows[i, at.CONTACT]
    row[at.CONTACT] = "" if np.isnan(contact) else at.CONTACTS[int(contact)]
    for zone in range(at.MOST_ZONES):
        there = zone < them.counts[i]
        row += [_text(x) if there else "" for x in them.zones[i, zone]]
    return row


def _text(x: float) -> str:
    return "" if np.isnan(x) else repr(float(x))
