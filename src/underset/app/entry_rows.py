"""Rows of the form that are lists in the record: what hangs below, doors, lids.

A zone is typed as an upright rectangle by its four edges, or corner by corner for any other
outline: "400 mm, 150 mm; 900 mm, 150 mm; 900 mm, -50 mm".
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Any, Final

from underset.app.entry_fields import LISTS, LONGEST_OUTLINE, LOOKED, MOST_ROWS, ROWS, shown
from underset.errors import InputError

Quantity = Callable[[str, Any], Any]
_PLACE = re.compile(r"^(zones|doors|lids)\[(\d+)\]\.?([a-z_]*)(?:\[(\d+)\])?(?:\[(\d+)\])?")
_PARTS: Final = {name: part for part, name in LISTS.items()}
# Corners of a rectangle in the order of its outline: columns of aft and side.
_CORNERS: Final = (("from", "left"), ("to", "left"), ("to", "right"), ("from", "right"))
EDGES: Final = ("from", "to", "left", "right")


def rows_of(data: Mapping[str, Any]) -> dict[str, str]:
    """The rows of a record as fields."""
    fields: dict[str, str] = {}
    for part, name in LISTS.items():
        for n, item in enumerate((data.get(name) or ())[:MOST_ROWS]):
            if in_form(part, item):
                read = _zone_fields(item) if part == "zone" else _plain_fields(part, item)
                fields |= {f"{part}-{n}-{column}": text for column, text in read.items()}
    return fields


def in_form(part: str, item: Mapping[str, Any]) -> bool:
    """Whether a row can hold what the record has; what it cannot stays as it is."""
    return part != "zone" or len(outline_text(item)) <= LONGEST_OUTLINE


def kept_aside(data: Mapping[str, Any]) -> int:
    """How many entries of the lists no row shows."""
    count = 0
    for part, name in LISTS.items():
        listed = data.get(name) or ()
        count += sum(n >= MOST_ROWS or not in_form(part, x) for n, x in enumerate(listed))
    return count


def _plain_fields(part: str, item: Mapping[str, Any]) -> dict[str, str]:
    return {column: shown(item.get(column)) for column, _ in ROWS[part]}


def _zone_fields(item: Mapping[str, Any]) -> dict[str, str]:
    edges = dict.fromkeys(EDGES, "") | {"outline": outline_text(item)}
    if is_rectangle(item):
        (start, left), _, (end, right), _ = item["outline"]
        texts = (shown(start), shown(end), shown(left), shown(right))
        edges = dict(zip(EDGES, texts, strict=True)) | {"outline": ""}
    return edges | {
        "kind": item["kind"], "underside": shown(item["underside"]),
        "touch": shown(item.get("touch", False)), "pass": shown(item.get("pass_under", True)),
        "voltage": shown(item.get("high_voltage", False)),
    }  # fmt: skip


def outline_text(item: Mapping[str, Any]) -> str:
    """An outline as it is typed corner by corner."""
    return "; ".join(f"{shown(a)}, {shown(s)}" for a, s in item.get("outline", ()))


def is_rectangle(item: Mapping[str, Any]) -> bool:
    """Whether a zone's outline is the upright rectangle that four edges can tell."""
    outline = [tuple(shown(x) for x in corner) for corner in item.get("outline", ())]
    if len(outline) != 4:
        return False
    (a, left), _, (b, right), _ = outline
    return outline == [(a, left), (b, left), (b, right), (a, right)]


def with_rows(data: dict[str, Any], fields: Mapping[str, str], quantity: Quantity) -> None:
    """Put the rows into the record's lists; a list nobody has looked for is not there."""
    for part, name in LISTS.items():
        before = list(data.get(name) or ())
        typed = set(row_numbers(part, fields))
        made = []
        for n in range(MOST_ROWS):
            old = before[n] if n < len(before) else {}
            if old and not in_form(part, old):
                made.append(old)
            elif n in typed:
                made.append(_row(part, fields, n, old, quantity))
        made += before[MOST_ROWS:]
        if made or fields.get(LOOKED[part]) == "yes":
            data[name] = _named(part, made)
        else:
            data.pop(name, None)


def row_numbers(part: str, fields: Mapping[str, str]) -> list[int]:
    """Rows in which a figure is typed; choices alone make no row."""
    figures = [column for column, kind in ROWS[part] if kind in ("", "angle", "corners")]
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
    kept = {"id": old["id"]} if "id" in old else {}
    said = {"touch": typed["touch"] == "yes", "pass_under": typed["pass"] != "no",
            "high_voltage": typed["voltage"] == "yes"}  # fmt: skip
    # What nobody said and is usual stays unsaid: a form sent unchanged makes no new version.
    usual = {"touch": False, "pass_under": True, "high_voltage": False}
    corners = _corners(typed["outline"]) if typed["outline"] else _rectangle(typed)
    was = old.get("outline") or []
    return {
        **kept, "kind": typed["kind"],
        "outline": [
            [quantity(text, b) for text, b in zip(corner, before, strict=True)]
            for corner, before in zip(corners, _padded(was, len(corners)), strict=True)
        ],
        "underside": quantity(typed["underside"], old.get("underside")),
        **{k: v for k, v in said.items() if k in old or v != usual[k]},
    }  # fmt: skip


def _rectangle(typed: Mapping[str, str]) -> list[tuple[str, str]]:
    return [(typed[a], typed[s]) for a, s in _CORNERS]


def _corners(text: str) -> list[tuple[str, str]]:
    parts = [p.partition(",") for p in text.split(";") if p.strip()]
    return [(aft.strip(), side.strip()) for aft, _, side in parts]


def _padded(outline: list[Any], count: int) -> list[Any]:
    return [*outline[:count], *[[None, None]] * (count - len(outline))]


def outline_errors(fields: Mapping[str, str]) -> list[InputError]:
    """Outlines that cannot be read as corners, and rows that tell one zone in two ways."""
    found = []
    for n in row_numbers("zone", fields):
        name = f"zone-{n}-outline"
        text = fields.get(name, "")
        edges = [fields.get(f"zone-{n}-{edge}", "") for edge in EDGES]
        if text and any(edges):
            allowed = "either the four edges or the corners of the outline"
            found.append(InputError(name, text, allowed))
        elif text and not all(a and s and "," not in s for a, s in _corners(text)):
            allowed = (
                "corners as two figures each, with a comma between them and a semicolon after them"
            )
            found.append(InputError(name, text, allowed))
    return found


def _named(part: str, made: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Rows with ids: their own, or kind and number."""
    taken = {item["id"] for item in made if "id" in item}
    for item in made:
        stem, n = str(item.get("kind") or item.get("side") or part).replace(" ", "-"), 1
        while "id" not in item:
            if f"{stem}-{n}" not in taken:
                item["id"] = f"{stem}-{n}"
                taken.add(item["id"])
            n += 1
    return made


def field_of_row(path: str, fields: Mapping[str, str]) -> str:
    """The form's field for a place in a list of the record, or nothing."""
    match = _PLACE.match(path)
    if match is None:
        return ""
    name, place, column, corner, axis = match.groups()
    part = _PARTS[name]
    typed = row_numbers(part, fields)
    n = typed[int(place)] if int(place) < len(typed) else int(place)
    if column == "outline" and not fields.get(f"{part}-{n}-outline"):
        pair = _CORNERS[int(corner or 0) % 4]
        column = pair[int(axis or 0) % 2]
    known = {c for c, _ in ROWS[part]}
    column = {"pass_under": "pass", "high_voltage": "voltage"}.get(column, column)
    return f"{part}-{n}-{column if column in known else ROWS[part][0][0]}"
