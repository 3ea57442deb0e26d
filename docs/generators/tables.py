"""The page of tables: which columns a list of vehicles, adapters or lifts may have."""

from __future__ import annotations

from docs.generators._words import code, table
from underset.records import TABLES, TableColumn
from underset.studies.batch_columns import (
    CONTACTS,
    MOST_ZONES,
    OPTIONAL,
    TWIST,
    VEHICLE_COLUMNS,
    ZONE_COLUMNS,
)
from underset.studies.batch_headers import headers
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

## A fleet for `cover --table`

Very many vehicles, `.csv` or `.parquet`, read a few thousand at a time and judged by the core
checks alone; nothing of them is put on file. The columns are the batch's own figures: SI, in the
[frame of the vehicle](../notation.md) (x ahead of the front axle, so a point behind it has a
negative x; y to the left, so the right side has a negative y), each with its unit in the header.
Every column must be there; an empty cell is *not known*. Tolerances are half widths.

What a table to be imported has is taken, too, where that is exact:

- another unit in the brackets: `wheelbase [in]`, `mass [lb]`, `roof [mm]`;
- `lf_aft`, `lf_side`, and likewise at each corner, for `lf_x`, `lf_y` (aft is x with its sign
  turned);
- `front_axle` and `rear_axle` for `mass` and `cg_x`, and with `front_axle_tol` and `rear_axle_tol`
  for `mass_tol` and `cg_x_tol`: mass is their sum, the CG lies wheelbase times rear load over mass
  behind the front axle; the tolerance is what both loads come to at worst (that of the wheelbase
  is taken for none);
- `overhang_front` for `front_x`, `height` for `roof`, `sill_height` for `sill`.

These carry their unit in brackets, too. No figure may stand there twice. What has no such second
name is worked out beforehand, as `rear_x` (front overhang less length, so mostly negative), or left
empty; a message names every column that is missing.

{_fleet()}

Zones of the underbody are upright rectangles; up to {MOST_ZONES} may follow, `zone1_...` to
`zone{MOST_ZONES}_...`, or none. A zone without an underside is none.

{_zones()}
"""


_FLEET = {
    "wheelbase": "front to rear axle",
    "mass": "mass as it comes",
    "cg": "centre of gravity",
    "lf": "left front point",
    "rf": "right front point",
    "lr": "left rear point",
    "rr": "right rear point",
    "up_tol": "tolerance of the points' height",
    "zone_along": "half length of the zone in which a pad may stand",
    "zone_across": "half width of that zone",
    "contact": "one of " + ", ".join(CONTACTS),
    "flange_thickness": "flange of a pinch weld",
    "flange_depth": "flange of a pinch weld",
    "battery": "1 battery-electric or hybrid, 0 not",
    "track_front": "front track",
    "track_rear": "rear track",
    "tyre_width": "width of a tyre",
    "tyre_diameter": "diameter of a tyre",
    "droop": "greater droop of the two axles",
    "front_x": "foremost point of the body",
    "rear_x": "rearmost point of the body, negative",
    "roof": "overall height",
    "sill": "underside of the sill above the floor",
    "twist": "body's torsional stiffness; policy's greatest where empty",
}
_OF_ZONE = {
    "underside": "height of the underside above the floor",
    "touch": "1 a pad may bear there, 0 not",
    "pass_under": "1 an arm may pass below, 0 not",
    "hv": "1 high voltage, 0 not",
}


def _fleet() -> str:
    named = zip(VEHICLE_COLUMNS, headers(), strict=False)
    rows = [
        (code(h), "" if i in (*OPTIONAL, TWIST) else "yes", _told(n))
        for i, (n, h) in enumerate(named)
    ]
    return table(["column", "must be known", "meaning"], rows)


def _told(name: str) -> str:
    if name in _FLEET:
        return _FLEET[name]
    head, _, tail = name.partition("_")
    axis, _, tol = tail.partition("_")
    words = {"x": "ahead of the front axle", "y": "to the left", "z": "above the floor"}
    words |= {"up": "height of the face that bears", "tol": "tolerance"}
    return f"{_FLEET[head]}: {words[axis]}" + (", tolerance" if tol else "")


def _zones() -> str:
    first = headers()[len(VEHICLE_COLUMNS) : len(VEHICLE_COLUMNS) + len(ZONE_COLUMNS)]
    ends = {"x": "ahead of the front axle", "y": "to the left"}
    rows = [
        (code(h), _OF_ZONE.get(n) or f"{n[2:]} end {ends[n[0]]}")
        for n, h in zip(ZONE_COLUMNS, first, strict=True)
    ]
    return table(["column", "meaning"], rows)


def _columns(columns: tuple[TableColumn, ...]) -> str:
    rows = [(code(c.name), _cell(c), "yes" if c.required else "", c.meaning) for c in columns]
    return table(["column", "cells", "needed", "meaning"], rows)


def _cell(column: TableColumn) -> str:
    if not column.measured:
        return column.kind
    units = ", ".join(unit for unit, (kind, _) in UNITS.items() if kind == column.kind)
    return f"{column.kind} in {units}"


PAGES = {"reference/tables.md": page}
