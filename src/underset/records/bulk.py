"""Many vehicles, adapters or lifts from one table, all or none; and a table of them.

The first row names the columns of `TABLES`, with the unit where figures are measured:
`wheelbase [mm]`. A cell may hold a tolerance (`2600 ± 5`), "not given" or "none"; an empty cell is
not given. Without a unit in the header each cell brings its own (`2600 mm`).
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from underset.errors import InputError, InputErrors, said
from underset.records.adapter import Adapter
from underset.records.base import Record
from underset.records.columns import ARMS, CORNERS, TABLES, TableColumn
from underset.records.lift import Bay
from underset.records.schema import to_json
from underset.records.sheets import LARGEST_FILE, Row, csv_text, read_sheet
from underset.records.validating import field_path, validated
from underset.records.vehicle import Vehicle
from underset.units import EXAMPLES, UNITS

MODELS: Final[dict[str, type[Record]]] = {"vehicle": Vehicle, "adapter": Adapter, "lift": Bay}
MOST_COMPLAINTS: Final = 200
_HEADER = re.compile(r"^(?P<name>[A-Za-z0-9_]+)\s*(?:\[(?P<unit>[^\[\]]+)\])?$")
_FIGURE = re.compile(r"^[-+]?[0-9.][0-9.eE+-]*(?:\s*(?:±|\+/-)\s*[0-9.][0-9.eE+-]*)?$")
_ID = re.compile(r"^[a-z0-9][a-z0-9-]{0,62}$")
_DAY = re.compile(r"^\d{4}-\d{2}-\d{2}$")
_NOT_MEASURED = ("not given", "none")
_SOURCE: Final = "table"  # name of the source that the columns source_... describe

Data = dict[str | int, Any]


@dataclass(frozen=True, slots=True)
class Heading:
    """A column as this file has it: which one, and the unit of its cells, if the header says."""

    column: TableColumn
    unit: str = ""


def read_table(kind: str, source: Path | bytes, name: str = "") -> dict[str, Record]:
    """Records by id from a CSV or XLSX file: "vehicle", "adapter" or "lift".

    `source` is a file, or the content of one that was sent under `name`. Raises InputErrors that
    list every bad row with its number and the reason; then nothing is returned.
    """
    content, name = (source, name) if isinstance(source, bytes) else (_content(source), source.name)
    rows = read_sheet(content, name, sheet=kind)
    if not rows:
        raise InputError("file", "nothing", "a header and rows below it", place=name)
    headings = _headings(kind, rows[0], name)
    found: dict[str, Record] = {}
    wrong: list[InputError] = []
    for row in rows[1:]:
        try:
            id, record = _record(kind, headings, row, name)
            if id in found:
                raise InputError("id", id, "each id once in a table", place=_place(name, row))
            found[id] = record
        except InputErrors as errors:
            wrong += errors.errors
        except InputError as error:
            wrong.append(error)
    if wrong:
        raise InputErrors(_first_of(wrong, name))
    return found


def write_table(kind: str, records: Mapping[str, Record]) -> str:
    """Records as comma-separated text that `read_table` reads back; see `beyond_table`.

    A column whose figures all have one unit has it in the header; else each cell brings its own.
    """
    flat = {id: _leaves({"id": id, **_as_table(record)}) for id, record in records.items()}
    used = [c for c in TABLES[kind] if c.required or any(c.path in f for f in flat.values())]
    units = [_common_unit(column, list(flat.values())) for column in used]
    header = [f"{c.name} [{u}]" if u else c.name for c, u in zip(used, units, strict=True)]
    rows = [
        [_cell(fields.get(column.path), unit) for column, unit in zip(used, units, strict=True)]
        for fields in flat.values()
    ]
    return csv_text([header, *rows])


def beyond_table(kind: str, record: Record) -> tuple[str, ...]:
    """Fields of a record that a table cannot hold, such as zones, doors or a second point set."""
    known = {column.path for column in TABLES[kind]}
    fixed = {("point_sets", 0, "points", n, "corner") for n in range(4)} | {
        ("columns", n, "side") for n in range(2)
    }
    data = _as_table(record)
    if data.get("source") == _SOURCE:
        del data["source"]
    return tuple(field_path(path) for path in _leaves(data) if path not in known | fixed)


# --- the header ----------------------------------------------------------------------------------


def _headings(kind: str, row: Row, name: str) -> list[Heading]:
    known = {column.name: column for column in TABLES[kind]}
    wrong: list[InputError] = list(row.wrong)
    headings: list[Heading] = []
    for cell in row.cells:
        try:
            headings.append(_heading(cell, known))
        except InputError as error:
            wrong.append(error)
    names = [heading.column.name for heading in headings]
    wrong += [
        InputError(n, n, "each column once") for n in sorted(set(names)) if names.count(n) > 1
    ]
    needed = [c.name for c in known.values() if c.required and c.name not in names]
    if needed and not wrong:
        wrong.append(
            InputError(
                "columns", ", ".join(names), said("also needed: {needed}", needed=", ".join(needed))
            )
        )
    if wrong:
        raise InputErrors([error.at(f"{name}, row {row.number}") for error in wrong])
    return headings


def _heading(cell: str, known: Mapping[str, TableColumn]) -> Heading:
    match = _HEADER.match(cell)
    name = match["name"].lower() if match else cell
    if match is None or name not in known:
        near = difflib.get_close_matches(name, known, n=1)
        remedy = said("Did you mean {near}?", near=near[0]) if near else "Take it out."
        raise InputError(
            "column", cell, said("columns are {known}", known=", ".join(known)), remedy
        )
    column, unit = known[name], (match["unit"] or "").strip()
    if unit and not column.measured:
        raise InputError(name, cell, "this column has no unit")
    if unit and (unit not in UNITS or UNITS[unit][0] != column.kind):
        units = ", ".join(u for u, (k, _) in UNITS.items() if k == column.kind)
        raise InputError(
            name, cell, said("units of {kind} are {known}", kind=column.kind, known=units)
        )
    return Heading(column, unit)


# --- one row -------------------------------------------------------------------------------------


def _record(kind: str, headings: Sequence[Heading], row: Row, name: str) -> tuple[str, Record]:
    place = _place(name, row)
    data, wrong = _data(headings, row)
    if not wrong:
        mirrored = data.pop("mirrored", False)
        _MIRROR[kind](data, mirrored, wrong)
    if wrong:
        raise InputErrors([error.at(place) for error in wrong])
    id = str(data.pop("id", ""))
    try:
        return id, validated(MODELS[kind], _with_source(_lists(data)), place)
    except InputErrors as errors:
        raise InputErrors([_in_columns(kind, error) for error in errors.errors]) from errors


def _data(headings: Sequence[Heading], row: Row) -> tuple[Data, list[InputError]]:
    """The row as nested fields, lists still as tables by number, and what is wrong with it."""
    wrong = [_named(error, headings) for error in row.wrong]
    if len(row.cells) > len(headings):
        wrong.append(
            InputError(
                "row", row.cells[-1], said("{count} cells, as in the header", count=len(headings))
            )
        )
    data: Data = {}
    bad = {error.field for error in wrong}
    for heading, cell in zip(headings, row.cells, strict=False):
        if not cell or heading.column.name in bad:
            continue
        try:
            _put(data, heading.column.path, _value(heading, cell))
        except InputError as error:
            wrong.append(error)
    wrong += [
        InputError(
            h.column.name,
            "nothing",
            said("this cell is needed: {meaning}", meaning=h.column.meaning),
        )
        for at, h in enumerate(headings)
        if h.column.required
        and (at >= len(row.cells) or not row.cells[at])
        and h.column.name not in bad
    ]
    return data, wrong


def _value(heading: Heading, cell: str) -> Any:
    column = heading.column
    return _measured(heading, cell) if column.measured else _READ[column.kind](column.name, cell)


def _measured(heading: Heading, cell: str) -> str:
    if not heading.unit or cell.split(":")[0].strip().lower() in _NOT_MEASURED:
        return cell  # which brings its own unit, or is refused later for having none
    if not _FIGURE.match(cell):
        example = EXAMPLES[heading.column.kind]
        template = "a number in {unit} with a decimal point, or no unit above and {example}"
        allowed = said(template, unit=heading.unit, example=example)
        raise InputError(heading.column.name, cell, allowed)
    return f"{cell} {heading.unit}"


def _id_or_text(name: str, cell: str) -> str:
    if name == "id" and not _ID.match(cell):
        raise InputError(name, cell, "an id has 1 to 63 small letters, digits and hyphens")
    return cell


def _yes_or_no(name: str, cell: str) -> bool:
    if cell.lower() not in ("yes", "no"):
        raise InputError(name, cell, "yes or no")
    return cell.lower() == "yes"


def _date(name: str, cell: str) -> str:
    if not _DAY.match(cell):
        raise InputError(name, cell, "a day is written year-month-day, such as 2026-11-20")
    return cell


def _whole(name: str, cell: str) -> int:
    if not (cell.isascii() and cell.isdigit() and len(cell) <= 9):
        raise InputError(name, cell, "a whole number")
    return int(cell)


def _number(name: str, cell: str) -> float:
    if not (cell.isascii() and re.fullmatch(r"\d{1,12}(\.\d{1,9})?", cell)):
        raise InputError(name, cell, "a number with a decimal point")
    return float(cell)


def _list(name: str, cell: str) -> list[str]:
    return [part.strip() for part in cell.split(";") if part.strip()]


_READ: Final[dict[str, Callable[[str, str], Any]]] = {
    "text": _id_or_text,
    "yes or no": _yes_or_no,
    "date": _date,
    "whole number": _whole,
    "number": _number,
    "list": _list,
}


def _put(data: Data, path: Sequence[str | int], value: Any) -> None:
    for step in path[:-1]:
        data = data.setdefault(step, {})
    data[path[-1]] = value


# --- right side from left ------------------------------------------------------------------------


def _mirror_vehicle(data: Data, mirrored: bool, wrong: list[InputError]) -> None:
    sets = data.setdefault("point_sets", {})
    first = sets.setdefault(0, {})
    first.setdefault("id", "points")
    first.setdefault("label", "Lifting points")
    points = first.setdefault("points", {})
    for left, right in ((0, 1), (2, 3)):
        if mirrored and points.get(right):
            wrong.append(_twice(f"{CORNERS[right]}_..."))
        elif mirrored:
            points[right] = _flipped(points.get(left, {}), "side")
    for number, corner in enumerate(CORNERS):
        points.setdefault(number, {})["corner"] = corner.upper()


def _mirror_lift(data: Data, mirrored: bool, wrong: list[InputError]) -> None:
    arms, columns = data.setdefault("arms", {}), data.setdefault("columns", {})
    pairs = [(arms, ARMS[0], ARMS[1], ("pivot_y",)), (arms, ARMS[2], ARMS[3], ("pivot_y",))]
    for part, left, right, fields in [*pairs, (columns, 0, 1, ("y", "turn"))]:
        if mirrored and part.get(right):
            wrong.append(_twice(f"{right}_..." if right != 1 else "right_column_..."))
        elif mirrored:
            part[right] = _flipped(part.get(left, {}), *fields)
    for number, side in enumerate(("left", "right")):
        columns.setdefault(number, {})["side"] = side


def _no_mirror(data: Data, mirrored: bool, wrong: list[InputError]) -> None:
    """A piece has no sides."""


_MIRROR: Final = {"vehicle": _mirror_vehicle, "adapter": _no_mirror, "lift": _mirror_lift}


def _twice(columns: str) -> InputError:
    return InputError(
        "mirrored", "yes", said("columns {columns} are empty, or mirrored is no", columns=columns)
    )


def _flipped(fields: Mapping[str | int, Any], *names: str) -> Data:
    return {k: _negated(str(v)) if k in names else v for k, v in fields.items()}


def _negated(text: str) -> str:
    return text[1:] if text.startswith("-") else "-" + text.removeprefix("+")


# --- from cells to a record ----------------------------------------------------------------------


def _lists(data: Any) -> Any:
    """Tables whose keys are numbers become lists."""
    if not isinstance(data, dict):
        return data
    if data and all(isinstance(key, int) for key in data):
        return [_lists(data[key]) for key in sorted(data)]
    return {key: _lists(value) for key, value in data.items()}


def _with_source(data: dict[str, Any]) -> dict[str, Any]:
    return {**data, "source": _SOURCE} if "sources" in data else data


def _named(error: InputError, headings: Sequence[Heading]) -> InputError:
    at = int(error.field)
    name = headings[at].column.name if at < len(headings) else f"column {at + 1}"
    return InputError(name, error.value, error.allowed)


def _in_columns(kind: str, error: InputError) -> InputError:
    """The same complaint, told by the name of the column instead of the field of the record."""
    names = {field_path(column.path): column.name for column in TABLES[kind]}
    field = names.get(error.field, error.field)
    return InputError(field, error.value, error.allowed, error.remedy, place=error.place)


def _place(name: str, row: Row) -> str:
    return f"{name}, row {row.number}"


def _first_of(wrong: list[InputError], name: str) -> list[InputError]:
    if len(wrong) <= MOST_COMPLAINTS:
        return wrong
    more = InputError(
        "table",
        f"{len(wrong)} complaints",
        said("only {most} are listed", most=MOST_COMPLAINTS),
        place=name,
    )
    return [*wrong[:MOST_COMPLAINTS], more]


def _content(path: Path) -> bytes:
    try:
        with path.open("rb") as file:
            return file.read(LARGEST_FILE + 1)
    except OSError as error:
        raise InputError(
            "file",
            path.name,
            said("a file that can be read ({reason})", reason=error.strerror or ""),
        ) from error


# --- from a record to cells ----------------------------------------------------------------------


def _leaves(data: Any, path: tuple[str | int, ...] = ()) -> dict[tuple[str | int, ...], Any]:
    """Every single figure by its path; lists of texts count as one."""
    if isinstance(data, dict) and set(data) == {"value", "source"}:
        return {path: data["value"], (*path, "source"): data["source"]}
    if isinstance(data, dict):
        items: Iterator[tuple[str | int, Any]] = iter(data.items())
    elif isinstance(data, list) and any(isinstance(item, dict | list) for item in data):
        items = iter(enumerate(data))
    else:
        return {path: data}
    return {at: leaf for key, value in items for at, leaf in _leaves(value, (*path, key)).items()}


def _common_unit(column: TableColumn, rows: Sequence[Mapping[Any, Any]]) -> str:
    if not column.measured:
        return ""
    cells = [str(row[column.path]) for row in rows if column.path in row]
    units = {_unit_of(cell) for cell in cells if cell.split(":")[0] not in _NOT_MEASURED}
    return units.pop() if len(units) == 1 else ""


def _unit_of(cell: str) -> str:
    return cell.lstrip("+-0123456789.eE± /").strip() if "/-" not in cell else ""


def _cell(value: Any, unit: str) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        return "; ".join(str(item) for item in value)
    text = str(value)
    return text.removesuffix(unit).strip() if unit else text


def _as_table(record: Record) -> dict[str, Any]:
    """A record's data; its only source, if it stands for all figures, under the table's name."""
    data = to_json(record)
    sources, name = data.get("sources", {}), data.get("source", "")
    if list(sources) == [name]:
        data |= {"sources": {_SOURCE: sources[name]}, "source": _SOURCE}
    return data
