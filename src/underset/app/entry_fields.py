"""The fields of the vehicle form: names, places in the record, kinds, groups, words to choose from.

Names and kinds are those of the columns of a table of vehicles, so that form, table and sheet
speak of one figure by one name.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from typing import Any, Final

from underset.records import TABLES, Body, Contact, Drive, ZoneKind, field_path
from underset.sources import SourceKind
from underset.units import pointed

CORNERS: Final = ("lf", "rf", "lr", "rr")
MOST_ROWS: Final = 40
MOST_SETS: Final = 8
LONGEST: Final = 600
LONGEST_OUTLINE: Final = 4000

Path = tuple[str | int, ...]

CHOICES: Final[dict[str, tuple[str, ...]]] = {
    "drive": tuple(Drive),
    "body": tuple(Body),
    "construction": ("not known", "unibody", "body-on-frame"),
    "propulsion": ("not known", "combustion", "hybrid", "battery-electric"),
    "steering": ("not known", "left", "right"),
    "air_suspension": ("not asked", "no", "yes"),
    "contact": tuple(Contact),
    "zone_kind": tuple(ZoneKind),
    "lid_kind": ("bonnet", "boot lid", "tailgate"),
    "door_side": ("left", "right"),
    "hinged_at": ("front", "rear"),
    "source_kind": tuple(SourceKind),
    "answer": ("not asked", "no", "yes"),
    "looked": ("no", "yes"),
}


@dataclass(frozen=True, slots=True)
class Entry:
    """One field of the form: `kind` is a kind of quantity, "text" or the name of its choices."""

    name: str
    path: Path
    kind: str
    group: str
    required: bool = False
    corner: str = ""
    slot: int = 0  # which set of lifting points, in the form
    was: Path | None = None  # place in the record the form stands on, where it is another one

    @property
    def before(self) -> Path:
        """Place of the figure in the record that the form stands on."""
        return self.path if self.was is None else self.was

    @property
    def choices(self) -> tuple[str, ...]:
        """Words that may stand here; none for what is typed."""
        return CHOICES.get(self.kind, ())

    @property
    def measured(self) -> bool:
        """Whether a quantity with its unit stands here."""
        return not self.choices and self.kind != "text"

    @property
    def word(self) -> str:
        """The field's name without its corner: words are the same for all four."""
        bare = bare_name(self.name)
        return bare.removeprefix(f"{self.corner}_") if self.corner else bare


def set_name(slot: int, name: str) -> str:
    """Name of a field in a slot of lifting points: bare in the first."""
    return f"set-{slot}-{name}" if slot else name


def bare_name(name: str) -> str:
    """The name of a field without its slot."""
    return _SLOTTED.sub("", name)


_SLOTTED: Final = re.compile(r"^set-[1-9]-")
_GROUPS: Final = {
    "sizes": "sizes",
    "weights": "weights",
    "balance": "balance",
    "suspension": "balance",
    "point_sets": "points",
}
_INTAKE: Final = (
    "rust_at_points",
    "repair_at_points",
    "hidden_payload",
    "person_in_vehicle",
    "entered_straight",
)


def _of_tables() -> list[Entry]:
    found = []
    for column in TABLES["vehicle"]:
        if column.name in ("invented", "mirrored") or column.name.startswith("source_"):
            continue
        corner = column.name[:2] if column.name[:3] in ("lf_", "rf_", "lr_", "rr_") else ""
        corner = corner if column.path[0] == "point_sets" else ""
        word = column.name[3:] if corner else column.name
        kind = word if word in CHOICES else column.kind
        group = _GROUPS.get(str(column.path[0]), "about")
        found.append(Entry(column.name, column.path, kind, group, column.required, corner))
    return found


ENTRIES: Final = (
    *_of_tables(),
    Entry("body_twist_low", ("body_twist_low",), "twist", "balance"),
    Entry("body_twist_high", ("body_twist_high",), "twist", "balance"),
    *(Entry(name, ("intake", name), "answer", "intake") for name in _INTAKE),
)
POINTS: Final = tuple(e for e in ENTRIES if e.group == "points")
BY_NAME: Final = {e.name: e for e in ENTRIES}
BY_PATH: Final = {field_path(e.path): e.name for e in ENTRIES}
GROUPS: Final = ("about", "sizes", "weights", "balance", "points", "intake")
SOURCE: Final = (
    "source_kind", "source_document", "source_by", "source_date", "source_edition", "source_page",
)  # fmt: skip

# Rows of lists: letter before the row's number -> column, kind; "" is a length.
ROWS: Final[dict[str, tuple[tuple[str, str], ...]]] = {
    "zone": (
        ("kind", "zone_kind"), ("from", ""), ("to", ""), ("left", ""), ("right", ""),
        ("outline", "corners"),
        ("underside", ""), ("touch", "looked"), ("pass", "looked"), ("voltage", "looked"),
    ),
    "door": (
        ("side", "door_side"), ("hinge_aft", ""), ("hinge_side", ""), ("length", ""),
        ("hinged_at", "hinged_at"), ("opens", "angle"), ("underside", ""),
    ),
    "lid": (("kind", "lid_kind"), ("open_height", ""), ("open_aft", "")),
}  # fmt: skip
LOOKED: Final = {"zone": "zones_looked", "door": "doors_looked", "lid": "lids_looked"}
LISTS: Final = {"zone": "zones", "door": "doors", "lid": "lids"}


def entry_of(name: str) -> Entry | None:
    """The single figure that a field of this name holds, in whichever slot; None for others."""
    found = BY_NAME.get(bare_name(name))
    if found is None or bare_name(name) == name:
        return found
    slot = int(name.split("-")[1])
    known = found.group == "points" and slot < MOST_SETS
    return replace(found, name=name, slot=slot) if known else None


def allowed(name: str) -> bool:
    """Whether a field of this name belongs to the form: nothing else is kept."""
    if name in SOURCE or name in LOOKED.values() or name in ("sets", "drawn"):
        return True
    if entry_of(name.removeprefix("checked_")) is not None or bare_name(name) == "mirrored":
        return True
    part, _, rest = name.partition("-")
    number, _, column = rest.partition("-")
    listed = {c for c, _ in ROWS.get(part, ())}
    whole = number.isascii() and number.isdigit() and len(number) <= 2
    return whole and int(number) < MOST_ROWS and column in listed


def clean(given: dict[str, str]) -> dict[str, str]:
    """The fields of the form among what was sent, each bounded, without control signs."""
    found = {}
    for name, text in given.items():
        if allowed(name):
            found[name] = plain(name, text)
    return found


def plain(name: str, text: str) -> str:
    """A text as a field may hold it: bounded, printable; notes and outlines may have lines."""
    if name == "notes":
        lines = text.replace("\r\n", "\n").split("\n")
        return "\n".join(_printable(line) for line in lines)[:LONGEST].strip()
    if name.endswith("-outline"):
        return _printable(text.replace("\n", "; "))[:LONGEST_OUTLINE].strip().strip(";").strip()
    return pointed(_printable(text)[:LONGEST].strip())


def _printable(text: str) -> str:
    return "".join(c if c.isprintable() else " " for c in text)


def same(name: str, before: str, text: str) -> bool:
    """Whether a field still holds what the record has, as far as a field can hold it."""
    held = plain(name, before)
    return text == before or (held != before and _bare(text) == _bare(held))


def _bare(text: str) -> str:
    return "".join(c for c in text if c.isprintable() and not c.isspace())


def at(data: Any, path: Path) -> Any:
    """What stands at a path of plain data, or None."""
    for step in path:
        if isinstance(step, int):
            data = data[step] if isinstance(data, list) and step < len(data) else None
        else:
            data = data.get(step) if isinstance(data, dict) else None
        if data is None:
            return None
    return data


def put(data: dict[str, Any], path: Path, value: Any) -> None:
    """Put a value at a path; None takes away what stands there. Lists are there already."""
    here: Any = data
    for step in path[:-1]:
        here = here[step] if isinstance(step, int) else here.setdefault(step, {})
    if value is None:
        here.pop(path[-1], None)
    else:
        here[path[-1]] = value


def shown(leaf: Any) -> str:
    """A leaf as it is typed."""
    if isinstance(leaf, dict):
        return str(leaf.get("value", ""))
    if isinstance(leaf, bool):
        return "yes" if leaf else "no"
    return "" if leaf is None else str(leaf)
