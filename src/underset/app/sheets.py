"""Measure sheets for vehicle, lift and shelf: what is measured, numbered in drawing and table."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Final

from underset import __version__
from underset.app.entry_check import sketch
from underset.app.entry_fields import BY_NAME, CORNERS, ENTRIES, ROWS
from underset.app.words_entry_de import FIGURES_DE
from underset.app.words_entry_en import FIGURES_EN
from underset.card import (
    MeasureSheet,
    MeasureTable,
    lift_svg,
    measure_html,
    measure_pdf,
    shelf_svg,
    vehicle_svg,
)
from underset.errors import InputError, said
from underset.records import TABLES

KINDS: Final = ("vehicle", "lift", "shelf")
FORMATS: Final = ("pdf", "html")
_BLANK_ROWS: Final = {"zone": 6, "door": 4, "lid": 2}
_PIECES: Final = 13
_ARMS: Final = ("left_front", "right_front", "left_rear", "right_rear")
_ARM: Final = ("pivot_x", "pivot_y", "swing_low", "swing_high", "reach_low", "reach_high",
               "parked_swing", "limit")  # fmt: skip
_COLUMN: Final = ("x", "y", "along", "across", "turn")
_LIFT: Final = {
    "seat": ("seat_interface", "seat_lowest", "seat_highest", "greatest_stack", "restraint",
             "tooth_pitch", "tooth_offset"),
    "plate": ("rated", "per_arm", "split_high", "plate_edition", "width_high", "drive_through",
              "raise_speed", "lower_speed", "examined", "examined_by"),
    "around": ("ceiling", "stop_bar", "stop_bar_x", "free_ahead", "free_behind", "free_left",
               "free_right", "mark", "mark_x"),
}  # fmt: skip
_PIECE: Final = ("label", "role", "below", "above", "height", "travel", "thread", "width", "slot",
                 "slot_depth", "rating", "count")  # fmt: skip


def sheet(kind: str, form: str, language: str, workshop: str) -> bytes:
    """A measure sheet as "pdf" or "html". Raises InputError for another kind or form."""
    if kind not in KINDS:
        raise InputError("sheet", kind, said("one of {known}", known=", ".join(KINDS)))
    if form not in FORMATS:
        raise InputError(
            "file",
            form or "no ending",
            said("a file ending in .{known}", known=" / .".join(FORMATS)),
        )
    view = _VIEWS[kind](FIGURES_DE if language == "de" else FIGURES_EN, language)
    view = replace(view, workshop=workshop)
    return measure_pdf(view) if form == "pdf" else measure_html(view).encode()


def _sheet(
    kind: str, words: Mapping[str, str], language: str, drawing: str, tables: list[MeasureTable]
) -> MeasureSheet:
    return MeasureSheet(
        language=language,
        title=words[f"sheet.title.{kind}"],
        how=words[f"sheet.how.{kind}"],
        drawing=drawing,
        drawing_note=words["sheet.drawing"],
        who=(words["sheet.who"], words["sheet.day"], words["sheet.signature"]),
        tables=tuple(tables),
        advice=words["sheet.advice"],
        workshop="",
        tool=f"Underset {__version__}",
    )


class _Numbers:
    """Numbers of figures in the order in which they are first asked for."""

    def __init__(self) -> None:
        self.given: dict[str, str] = {}

    def of(self, name: str) -> str:
        return self.given.setdefault(name, str(len(self.given) + 1))


# --- vehicle --------------------------------------------------------------------------------------


def _vehicle(words: Mapping[str, str], language: str) -> MeasureSheet:
    numbers, tables = _Numbers(), []
    for group in ("sizes", "weights", "balance"):
        names = [e.name for e in ENTRIES if e.group == group]
        rows = tuple((numbers.of(n), words[f"entry.f.{n}"], "") for n in names)
        tables.append(_lines(words[f"entry.group.{group}"], rows, words))
    tables.append(_points(words, numbers))
    about = [e.name for e in ENTRIES if e.group == "about" and e.name not in ("id", "notes")]
    asked = [e.name for e in ENTRIES if e.group == "intake"]
    for group, names in (("about", about), ("intake", asked)):
        rows = tuple(("", words[f"entry.f.{n}"], _choices(n, words)) for n in names)
        tables.append(_lines(words[f"entry.group.{group}"], rows, words))
    tables += [_list(part, words) for part in ROWS]
    labels = {n: number for n, number in numbers.given.items() if n in BY_NAME}
    labels |= {f"{c}_{w}": numbers.of(w) for c in CORNERS for w in ("aft", "side", "up")}
    told = {"title": words["entry.drawing"], "told": words["sheet.drawing"],
            "front": words["entry.front"], "left": words["entry.left"]}  # fmt: skip
    drawn = sketch({}, told, {})
    shown = {n: labels[n] for n in drawn.labels if n in labels}
    drawing = vehicle_svg(replace(drawn, labels=shown, unknown=frozenset()), "print")
    return _sheet("vehicle", words, language, drawing, tables)


def _lines(title: str, rows: tuple[tuple[str, ...], ...], words: Mapping[str, str]) -> MeasureTable:
    heads = (words["sheet.number"], words["sheet.figure"], words["sheet.value"])
    return MeasureTable(title, heads, rows)


def _choices(name: str, words: Mapping[str, str]) -> str:
    return "   ".join(f"☐ {words[f'choice.{c}']}" for c in BY_NAME[name].choices)


def _points(words: Mapping[str, str], numbers: _Numbers) -> MeasureTable:
    names = [e.word for e in ENTRIES if e.corner == "lf"]
    rows = tuple(
        (f"{numbers.of(n)}  {words[f'entry.f.{n}']}", *("" for _ in CORNERS)) for n in names
    )
    heads = (words["sheet.figure"], *(words[f"entry.corner.{c}"] for c in CORNERS))
    return MeasureTable(words["entry.group.points"], heads, rows, wide_first=False)


def _list(part: str, words: Mapping[str, str]) -> MeasureTable:
    asked = [column for column, kind in ROWS[part] if kind != "corners"]
    heads = tuple(words[f"entry.r.{part}.{column}"] for column in asked)
    rows = tuple(("",) * len(heads) for _ in range(_BLANK_ROWS[part]))
    return MeasureTable(words[f"entry.group.{part}"], heads, rows, wide_first=False)


# --- lift and shelf -------------------------------------------------------------------------------


def _lift(words: Mapping[str, str], language: str) -> MeasureSheet:
    numbers = _Numbers()
    first = tuple((numbers.of(n), words[f"sheet.l.{n}"], "") for n in ("label", "lift_kind"))
    arms = [words[f"sheet.arm.{a}"] for a in _ARMS]
    columns = [words[f"sheet.column.{c}"] for c in ("left", "right")]
    tables = [
        _lines(words["entry.group.about"], first, words),
        _grid(words["sheet.arms"], _ARM, arms, numbers, words),
        _grid(words["sheet.columns"], _COLUMN, columns, numbers, words),
    ]
    for group, names in _LIFT.items():
        rows = tuple((numbers.of(n), words[f"sheet.l.{n}"], "") for n in names)
        tables.append(_lines(words[f"sheet.{group}"], rows, words))
    told = {"title": words["sheet.title.lift"], "told": words["sheet.drawing"],
            "drive_in": words["sheet.drive_in"],
            **{f"arm.{a}": words[f"sheet.arm.{a}"] for a in _ARMS},
            **{f"column.{c}": words[f"sheet.column.{c}"] for c in ("left", "right")}}  # fmt: skip
    labels = dict(numbers.given)
    labels["reach_low"] = f"{labels['reach_low']}/{labels['reach_high']}"
    labels["swing_low"] = f"{labels['swing_low']}/{labels['swing_high']}"
    return _sheet("lift", words, language, lift_svg(labels, told), tables)


def _grid(
    title: str,
    names: tuple[str, ...],
    heads: list[str],
    numbers: _Numbers,
    words: Mapping[str, str],
) -> MeasureTable:
    rows = tuple((f"{numbers.of(n)}  {words[f'sheet.l.{n}']}", *("" for _ in heads)) for n in names)
    return MeasureTable(title, (words["sheet.figure"], *heads), rows, wide_first=False)


def _shelf(words: Mapping[str, str], language: str) -> MeasureSheet:
    numbers = _Numbers()
    heads = tuple(f"{numbers.of(n)} {words[f'sheet.a.{n}']}" for n in _PIECE)
    rows = tuple(("",) * len(heads) for _ in range(_PIECES))
    told = {"title": words["sheet.title.shelf"], "told": words["sheet.drawing"]}
    table = MeasureTable(words["sheet.pieces"], heads, rows, wide_first=False)
    return _sheet("shelf", words, language, shelf_svg(numbers.given, told), [table])


def measured_names() -> dict[str, frozenset[str]]:
    """Columns of a table that each sheet asks for, so that none is forgotten."""
    lift = {f"{a}_{n}" for a in _ARMS for n in _ARM} | {
        n for names in _LIFT.values() for n in names
    }
    lift |= {f"{c}_column_{n}" for c in ("left", "right") for n in _COLUMN} | {"label", "lift_kind"}
    asked = {"vehicle": {e.name for e in ENTRIES}, "lift": lift, "shelf": set(_PIECE)}
    tables = {"vehicle": "vehicle", "lift": "lift", "shelf": "adapter"}
    return {k: frozenset(asked[k] & {c.name for c in TABLES[tables[k]]}) for k in KINDS}


_VIEWS: Final = {"vehicle": _vehicle, "lift": _lift, "shelf": _shelf}

__all__ = ["FORMATS", "KINDS", "measured_names", "sheet"]
