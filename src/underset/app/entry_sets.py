"""Sets of lifting points in the form: each in a slot of its own, added, copied and removed there.

The fields of the first slot have the bare names of a table's columns, those of slot 2 begin with
`set-2-`. The field `sets` lists the slots in order and which set of the record each stems from
("0:0 1:1 2:1 3:"): a figure nobody touched keeps its source, in a copied set too.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from copy import deepcopy
from dataclasses import dataclass, replace
from typing import Any, Final

from underset.app.entry_fields import CORNERS, ENTRIES, MOST_SETS, POINTS, Entry, set_name

_SLOT: Final = re.compile(r"^(\d{1,2}):(\d{0,2})$")
_NOWHERE: Final = 10_000  # no record has so many sets


@dataclass(frozen=True, slots=True)
class Slot:
    """Where one set stands in the form, and which set of the record it stems from."""

    number: int
    origin: int | None = None


def slots_of(fields: Mapping[str, str], base: Mapping[str, Any]) -> tuple[Slot, ...]:
    """The slots of a form, at least one; without the field `sets` those of the record."""
    count = len(base.get("point_sets") or ())
    found: dict[int, Slot] = {}
    for text in fields.get("sets", "").split():
        match = _SLOT.match(text)
        if match and int(match[1]) < MOST_SETS:
            origin = int(match[2]) if match[2] else _NOWHERE
            number = int(match[1])
            found.setdefault(number, Slot(number, origin if origin < count else None))
    if found:
        return tuple(found.values())
    return tuple(Slot(n, n) for n in range(min(count, MOST_SETS))) or (Slot(0),)


def told(slots: tuple[Slot, ...]) -> str:
    """The field `sets`."""
    return " ".join(f"{s.number}:{'' if s.origin is None else s.origin}" for s in slots)


def entries_of(slots: tuple[Slot, ...]) -> tuple[Entry, ...]:
    """Every single figure of a form with these slots, each at its place in the record."""
    found = [e for e in ENTRIES if e.group != "points"]
    for place, slot in enumerate(slots):
        origin = _NOWHERE if slot.origin is None else slot.origin
        for e in POINTS:
            path, was = (("point_sets", n, *e.path[2:]) for n in (place, origin))
            name = set_name(slot.number, e.name)
            found.append(replace(e, name=name, path=path, was=was, slot=slot.number))
    return tuple(found)


def with_sets(data: dict[str, Any], slots: tuple[Slot, ...]) -> None:
    """Put the slots' sets into the data as the record has them; those beyond the form stay."""
    before = data.get("point_sets") or []
    made = [{} if s.origin is None else deepcopy(before[s.origin]) for s in slots]
    data["point_sets"] = [*made, *before[MOST_SETS:]]
    points_there(data)


def points_there(data: dict[str, Any]) -> None:
    """At least one set, and in each the four corners in order."""
    sets = data.setdefault("point_sets", [])
    if not sets:
        sets.append({})
    for one in sets:
        points = one.setdefault("points", [])
        points.extend({} for _ in range(len(points), len(CORNERS)))
        for point, corner in zip(points, CORNERS, strict=False):
            point.setdefault("corner", corner.upper())


def name_sets(data: dict[str, Any]) -> None:
    """Short name and name for sets that were given none."""
    sets = data["point_sets"]
    taken = {s["id"] for s in sets if s.get("id")}
    for place, one in enumerate(sets):
        n = place + 1
        while not one.get("id"):
            stem = "points" if n == 1 else f"points-{n}"
            one.update({} if stem in taken else {"id": stem})
            n += 1
        taken.add(one["id"])
        one.setdefault("label", "Lifting points" if place == 0 else f"Lifting points {place + 1}")


def changed(fields: Mapping[str, str], base: Mapping[str, Any], wish: str) -> dict[str, str]:
    """The fields after `add`, `copy-2` or `remove-2`; other wishes change nothing."""
    slots = slots_of(fields, base)
    verb, _, number = wish.partition("-")
    chosen = next((s for s in slots if str(s.number) == number), None)
    free = next((n for n in range(MOST_SETS) if n not in [s.number for s in slots]), None)
    if verb == "remove" and chosen is not None and len(slots) > 1:
        left = tuple(s for s in slots if s is not chosen)
        gone = {set_name(chosen.number, e.name) for e in POINTS}
        gone |= {set_name(chosen.number, "mirrored")}
        return {n: t for n, t in fields.items() if n not in gone} | {"sets": told(left)}
    if verb == "add" and free is not None:
        fresh = {set_name(free, "mirrored"): "yes"}
        return {**fields, **fresh, "sets": told((*slots, Slot(free)))}
    if verb == "copy" and chosen is not None and free is not None:
        return _copied(fields, slots, chosen, free)
    return dict(fields)


def _copied(
    fields: Mapping[str, str], slots: tuple[Slot, ...], chosen: Slot, free: int
) -> dict[str, str]:
    names = [*(e.name for e in POINTS), "mirrored"]
    copy = {
        set_name(free, n): fields[set_name(chosen.number, n)]
        for n in names
        if set_name(chosen.number, n) in fields
    }
    label = copy.get(set_name(free, "points_label"), "")
    copy |= {set_name(free, "points_id"): "", set_name(free, "points_label"): f"{label} 2".strip()}
    return {**fields, **copy, "sets": told((*slots, replace(chosen, number=free)))}


__all__ = [
    "Slot", "changed", "entries_of", "name_sets", "points_there", "slots_of", "told", "with_sets",
]  # fmt: skip
