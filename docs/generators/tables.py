"""The page of tables: which columns a list of vehicles, adapters or lifts may have."""

from __future__ import annotations

from docs.generators._words import code, table
from underset.records import TABLES, TableColumn
from underset.units import UNITS

_HEADINGS = {"vehicle": "Vehicles", "adapter": "Adapters", "lift": "Lifts and bays"}


def page() -> str:
    kinds = "\n\n".join(f"## {_HEADINGS[k]}\n\n{_columns(c)}" for k, c in TABLES.items())
    return f"""# Tables

Many vehicles, adapters or lifts come in from one file: comma-separated text in UTF-8 (`.csv`, also
with semicolons or tabs) or a workbook (`.xlsx`). All rows are taken or none; every bad row is
listed with its number and the reason.

The first row names the columns, in any order, with the unit where a figure is measured:
`wheelbase [mm]`. A cell then holds the number, with a decimal point and perhaps a tolerance
(`2600 ± 5`). Without a unit in the header each cell brings its own (`2600 mm`). An empty cell and
`not given` mean that nobody has said; where a thing may be missing altogether, `none` says so.

With `mirrored` saying yes, the columns of the right side stay empty and are taken from the left.

A table holds the plain figures. Zones, doors, parts that come off, arm profiles and further sets of
lifting points are written in the record's own file.

Refused are formulas, macros, links to other files, archives that unpack beyond reason, and file
names with a folder. A text that begins like a formula has an apostrophe before it, in both ways.

{kinds}
"""


def _columns(columns: tuple[TableColumn, ...]) -> str:
    rows = [(code(c.name), _cell(c), "yes" if c.required else "", c.meaning) for c in columns]
    return table(["column", "cells", "needed", "meaning"], rows)


def _cell(column: TableColumn) -> str:
    if not column.measured:
        return column.kind
    units = ", ".join(unit for unit, (kind, _) in UNITS.items() if kind == column.kind)
    return f"{column.kind} in {units}"


PAGES = {"reference/tables.md": page}
