"""Rows of the form that are lists in the record: what hangs below, doors, lids.

A zone of the form is an upright rectangle. Other outlines stay as the record has them.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Any, Final

from underset.app.entry_fields import LISTS, LOOKED, MOST_ROWS, ROWS, shown

Quantity = Callable[[str, Any], Any]
_PLACE = re.compile(r"^(zones|doors|lids)\[(\d+)\]\.?([a-z_]*)(?:\[(\d+)\])?(?:\[(\d+)\])?")
_PARTS: Final = {name: part for part, name in LISTS.items()}
# Corners of a rectangle in the order of its outline: columns of aft and side.
_CORNERS: Final = (("from", "left"), ("to", "left"), ("to", "right"), ("from", "right"))


def rows_of(data: Mapping[str, Any]) -> dict[str, str]:
    """The rows of a record as fields."""
    fields: dict[str, str] = {}
    for part, name in LISTS.items():
        listed = [item for item in data.get(name) or () if part != "zone" or is_rectangle(item)]
        for n, item in enumerate(listed[:MOST_ROWS]):
            read = _zone_fields(item) if part == "zone" else _plain_fields(part, item)
            fields |= {f"{part}-{n}-{column}": text for column, text in read.items()}
    return fields


def _plain_fields(part: str, item: Mapping[str, Any]) -> dict[str, str]:
    return {column: shown(item.get(column)) for column, _ in ROWS[part]}


def _zone_fields(item: Mapping[str, Any]) -> dict[str, str]:
    (start, left), _, (end, right), _ = item["outline"]
    return {
        "kind": item["kind"], "from": shown(start), "to": shown(end), "left": shown(left),
        "right": shown(right), "underside": shown(item["underside"]),
        "touch": shown(item.get("touch", False)), "pass": shown(item.get("pass_under", True)),
        "voltage": shown(item.get("high_voltage", False)),
    }  # fmt: skip


def is_rectangle(item: Mapping[str, Any]) -> bool:
    """Whether a zone's outline is the upright rectangle that a row can hold."""
    outline = [tuple(shown(x) for x in corner) for corner in item.get("outline", ())]
    if len(outline) != 4:
        return False
    (a, left), _, (b, right), _ = outline
    return outline == [(a, left), (b, left), (b, right), (a, right)]


def with_rows(data: dict[str, Any], fields: Mapping[str, str], quantity: Quantity) -> None:
    """Put the rows into the record's lists; a list nobody has looked for is not there."""
    for part, name in LISTS.items():
        before = list(data.get(name) or ())
        others = [z for z in before if part == "zone" and not is_rectangle(z)]
        ours = [z for z in before if z not in others]
        rows = row_numbers(part, fields)
        if not rows and not others and fields.get(LOOKED[part]) != "yes":
            data.pop(name, None)
            continue
        made = [_row(part, fields, n, _old(ours, n), quantity) for n in rows]
        data[name] = [*_named(part, made, others), *others]


def _old(ours: list[Any], n: int) -> Mapping[str, Any]:
    return ours[n] if n < len(ours) else {}


def row_numbers(part: str, fields: Mapping[str, str]) -> list[int]:
    """Rows in which a figure is typed; choices alone make no row."""
    figures = [column for column, kind in ROWS[part] if kind in ("", "angle")]
    return [n for n in range(MOST_ROWS) if any(fields.get(f"{part}-{n}-{c}", "") for c in figures)]


def _row(
    part: str, fields: Mapping[str, str], n: int, old: Mapping[str, Any], quantity: Quantity
) -> dict[str, Any]:
    typed = {c: fields.get(f"{part}-{n}-{c}", "") for c, _ in ROWS[part]}
    if part == "zone":
        return _zone(typed, old, quantity)
    made = {k: v for k, v in old.items() if k not in typed}
    for column, kind in ROWS[part]:
        if typed[column]:
            measured = kind in ("", "angle")
            made[column] = quantity(typed[column], old.get(column)) if measured else typed[column]
    return made


def _zone(typed: Mapping[str, str], old: Mapping[str, Any], quantity: Quantity) -> dict[str, Any]:
    outline = old.get("outline") or [[None, None]] * 4
    corners = [
        [quantity(typed[a], was[0]), quantity(typed[s], was[1])]
        for (a, s), was in zip(_CORNERS, outline, strict=True)
    ]
    kept = {"id": old["id"]} if "id" in old else {}
    said = {"touch": typed["touch"] == "yes", "pass_under": typed["pass"] != "no",
            "high_voltage": typed["voltage"] == "yes"}  # fmt: skip
    # What nobody said and is usual stays unsaid: a form sent unchanged makes no new version.
    usual = {"touch": False, "pass_under": True, "high_voltage": False}
    return {
        **kept, "kind": typed["kind"], "outline": corners,
        "underside": quantity(typed["underside"], old.get("underside")),
        **{k: v for k, v in said.items() if k in old or v != usual[k]},
    }  # fmt: skip


def _named(part: str, made: list[dict[str, Any]], others: list[Any]) -> list[dict[str, Any]]:
    """Rows with ids: their own, or kind and number."""
    taken = {item["id"] for item in [*made, *others] if "id" in item}
    for item in made:
        stem, n = str(item.get("kind") or item.get("side") or part).replace(" ", "-"), 1
        while "id" not in item:
            if f"{stem}-{n}" not in taken:
                item["id"] = f"{stem}-{n}"
                taken.add(item["id"])
            n += 1
    return made


def field_of_row(path: str, data: Mapping[str, Any]) -> str:
    """The form's field for a place in a list of the record, or nothing."""
    match = _PLACE.match(path)
    if match is None:
        return ""
    name, n, column, corner, axis = match.groups()
    part = _PARTS[name]
    if column == "outline":
        pair = _CORNERS[int(corner or 0) % 4]
        column = pair[int(axis or 0) % 2]
    known = {c for c, _ in ROWS[part]}
    column = {"pass_under": "pass", "high_voltage": "voltage"}.get(column, column)
    return f"{part}-{n}-{column if column in known else ROWS[part][0][0]}"
