"""The columns that a table of vehicles, adapters or lifts may have: one row is one record.

A table holds the plain figures. What needs a drawing (zones, doors, arm profiles, stand places) or
a list of its own (steps of a job) is written in the record's own file.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from underset.units import UNITS

Path = tuple[str | int, ...]
Line = tuple[str, str, str, str] | tuple[str, str, str, str, bool]

QUANTITIES: Final = frozenset(kind for kind, _ in UNITS.values())
WORDS: Final = ("text", "yes or no", "date", "whole number", "number", "list")


@dataclass(frozen=True, slots=True)
class TableColumn:
    """One column: its name, where its figure stands in the record, what a cell may hold.

    `kind` is a kind of quantity ("length", "mass", ...) or one of WORDS.
    """

    name: str
    path: Path
    kind: str
    meaning: str
    required: bool = False

    @property
    def measured(self) -> bool:
        """Whether its cells are quantities, with the unit in the header."""
        return self.kind in QUANTITIES


def _group(at: Path, *columns: Line) -> list[TableColumn]:
    """Columns whose figures stand in one part of a record: name, field, kind, meaning, needed."""
    return [TableColumn(name, (*at, field), *rest) for name, field, *rest in columns]


_NAMES: Final = [
    TableColumn("id", ("id",), "text", "short name: small letters, digits and hyphens", True),
    TableColumn("label", ("label",), "text", "what people call it", True),
]
_ABOUT: Final = [
    TableColumn("invented", ("invented",), "yes or no", "made up, for practice"),
    TableColumn("notes", ("notes",), "text", "anything else worth knowing"),
    *_group(
        ("sources", "table"),
        (
            "source_kind",
            "kind",
            "text",
            "maker's document, plate, measured here, ...",
        ),
        ("source_document", "document", "text", "document the figures of this row come from"),
        ("source_by", "by", "text", "who measured or copied them"),
        ("source_date", "date", "date", "day of the document or measurement"),
        ("source_edition", "edition", "text", "edition of the document"),
        ("source_page", "page", "text", "page of the document"),
    ),
]

CORNERS: Final = ("lf", "rf", "lr", "rr")
ARMS: Final = ("left_front", "right_front", "left_rear", "right_rear")
_CORNER_WORDS: Final = ("left front", "right front", "left rear", "right rear")


def _point(number: int) -> list[TableColumn]:
    corner, words = CORNERS[number], _CORNER_WORDS[number]
    left, at = corner.startswith("l"), ("point_sets", 0, "points", number)
    return [
        TableColumn(f"{corner}_{name}", (*at, name), kind, f"{words} point: {means}", left and need)
        for name, kind, means, need in (
            ("aft", "length", "behind the front axle", True),
            ("side", "length", "left of the middle, right is negative", True),
            ("up", "length", "height of the face that bears, at ride height", True),
            ("contact", "text", "flat boss, pinch weld, frame rail or peg hole", True),
            ("along", "length", "half length of the usable zone", True),
            ("across", "length", "half width of the usable zone", True),
            ("flange_thickness", "length", "thickness of the flange", False),
            ("flange_depth", "length", "depth of the flange", False),
            ("limit", "force", "greatest load the maker allows", False),
        )
    ]


VEHICLE: Final = (
    *_NAMES,
    *_group(
        (),
        ("drive", "drive", "text", "front, rear, rear engine, all-wheel, four-wheel"),
        ("body", "body", "text", "car, SUV, pickup, minivan, van, other"),
        ("construction", "construction", "text", "unibody or body-on-frame"),
        ("propulsion", "propulsion", "text", "combustion, hybrid or battery-electric"),
        ("steering", "steering", "text", "left or right"),
        ("special_adapter", "special_adapter", "text", "adapter the maker demands, or none"),
        ("roof_load_height", "roof_load_height", "length", "height with its roof load, or none"),
    ),
    *_group(
        ("sizes",),
        ("wheelbase", "wheelbase", "length", "front to rear axle", True),
        ("track_front", "track_front", "length", "front track"),
        ("track_rear", "track_rear", "length", "rear track"),
        ("tyre_width", "tyre_width", "length", "width of a tyre"),
        ("tyre_diameter", "tyre_diameter", "length", "diameter of a tyre"),
        ("length", "length", "length", "overall length"),
        ("width", "width", "length", "width without mirrors"),
        ("width_mirrors", "width_mirrors", "length", "width with mirrors"),
        ("height", "height", "length", "overall height"),
        ("overhang_front", "overhang_front", "length", "front axle to foremost point"),
        ("sill_height", "sill_height", "length", "underside of the sill above the floor"),
    ),
    *_group(
        ("weights",),
        ("weighed_as", "state", "text", "state when weighed, such as empty, full tank", True),
        ("front_axle", "front", "mass", "load of the front axle"),
        ("rear_axle", "rear", "mass", "load of the rear axle"),
        ("lf_load", "lf", "mass", "load of the left front wheel"),
        ("rf_load", "rf", "mass", "load of the right front wheel"),
        ("lr_load", "lr", "mass", "load of the left rear wheel"),
        ("rr_load", "rr", "mass", "load of the right rear wheel"),
        ("total", "total", "mass", "total mass"),
        ("front_share", "front_share", "share", "share of the front axle"),
    ),
    *_group(
        ("balance",),
        ("cg_height", "height", "length", "measured height of the centre of gravity"),
        ("cg_side", "side", "length", "measured distance of it to the left of the middle"),
    ),
    *_group(
        ("suspension",),
        ("droop_front", "droop_front", "length", "front wheels: from ride height to hanging free"),
        ("droop_rear", "droop_rear", "length", "rear wheels: from ride height to hanging free"),
        ("unsprung_front", "unsprung_front", "mass", "mass that hangs with the front wheels"),
        ("unsprung_rear", "unsprung_rear", "mass", "mass that hangs with the rear wheels"),
        ("air_suspension", "air", "text", "yes, no or not asked"),
    ),
    *_group(
        ("point_sets", 0),
        ("points_id", "id", "text", "short name of the four lifting points, if not 'points'"),
        ("points_label", "label", "text", "what people call them, if not 'Lifting points'"),
    ),
    TableColumn("mirrored", ("mirrored",), "yes or no", "the right side mirrors the left"),
    *(column for number in range(4) for column in _point(number)),
    *_ABOUT,
)  # fmt: skip

ADAPTER: Final = (
    *_NAMES,
    *_group(
        (),
        ("role", "role", "text", "spacer, head or block", True),
        ("below", "below", "text", "interface below, such as pin-60", True),
        ("above", "above", "text", "interface above, where pieces go on top"),
        ("height", "height", "length", "what it adds with its screw fully in", True),
        ("travel", "travel", "length", "what its screw adds"),
        ("thread", "thread", "length", "rise of one turn"),
        ("contacts", "contacts", "list", "contacts it serves, such as flat boss; frame rail"),
        ("cradle", "cradle", "yes or no", "it is a frame cradle"),
        ("width", "width", "length", "full width of its contact"),
        ("slot", "slot", "length", "width of its groove"),
        ("slot_depth", "slot_depth", "length", "depth of its groove"),
        ("rating", "rating", "mass", "load it is rated for", True),
        ("clean_rubber", "clean_rubber", "yes or no", "its contact is clean rubber"),
        ("raised_edges", "raised_edges", "yes or no", "it has raised edges"),
        ("edges_near_battery", "edges_near_battery", "yes or no", "edges may stand near a battery"),
        ("maker_rated", "maker_rated", "yes or no", "rated by its maker for lifting", True),
        ("interval_months", "interval_months", "whole number", "months between inspections"),
        ("price", "price", "number", "price of one piece"),
    ),
    *_group(
        ("lots", 0),
        ("count", "count", "whole number", "how many there are"),
        ("where", "where", "text", "shelf, or the id of a bay"),
        ("in_service", "in_service", "yes or no", "they may be used"),
        ("inspected", "inspected", "date", "day of the last inspection"),
        ("lot_note", "note", "text", "about these pieces"),
    ),
    *_ABOUT,
)


def _arm(number: int) -> list[TableColumn]:
    arm, words = ARMS[number], _CORNER_WORDS[number]
    left, at = arm.startswith("left"), ("arms", arm)
    return [
        TableColumn(f"{arm}_{name}", (*at, name), kind, f"{words} arm: {means}", left and need)
        for name, kind, means, need in (
            ("pivot_x", "length", "pivot ahead of the column line", True),
            ("pivot_y", "length", "pivot left of the middle", True),
            ("swing_low", "angle", "least swing from straight inward", True),
            ("swing_high", "angle", "greatest swing from straight inward", True),
            ("reach_low", "length", "least reach, pivot to seat", True),
            ("reach_high", "length", "greatest reach, pivot to seat", True),
            ("parked_swing", "angle", "swing when parked", False),
            ("limit", "force", "greatest load of this arm", False),
        )
    ]


def _column(number: int, side: str) -> list[TableColumn]:
    at, left = ("columns", number), side == "left"
    return [
        TableColumn(f"{side}_column_{name}", (*at, name), kind, f"{side} column: {means}", left)
        for name, kind, means in (
            ("x", "length", "middle ahead of the column line"),
            ("y", "length", "middle left of the bay's middle"),
            ("along", "length", "size along the bay"),
            ("across", "length", "size across the bay"),
            ("turn", "angle", "turned to the left by"),
        )
    ]


LIFT: Final = (
    *_NAMES,
    *_group(
        (),
        ("lift_kind", "lift_kind", "text", "kind of lift, as authorisations name it", True),
        ("approach", "approach", "text", "forward only or either way"),
        ("raise_speed", "raise_speed", "speed", "speed of raising"),
        ("lower_speed", "lower_speed", "speed", "speed of lowering"),
        ("carriage_difference", "carriage_difference", "length", "carriages differ in height by"),
        ("adapters_approved", "adapters_approved", "list", "ids of adapters its maker approves"),
    ),
    TableColumn("mirrored", ("mirrored",), "yes or no", "the right side mirrors the left"),
    *_column(0, "left"),
    *_column(1, "right"),
    *(column for number in range(4) for column in _arm(number)),
    *_group(
        ("restraint",),
        ("restraint", "kind", "text", "toothed, stepless or missing", True),
        ("tooth_pitch", "pitch", "angle", "swing from tooth to tooth"),
        ("tooth_offset", "offset", "angle", "swing of the first tooth"),
    ),
    *_group(
        ("seat",),
        ("seat_interface", "interface", "text", "interface of the seat, such as pin-60", True),
        ("seat_lowest", "lowest", "length", "lowest seat above the floor", True),
        ("seat_highest", "highest", "length", "highest seat above the floor", True),
        ("greatest_stack", "greatest_stack", "length", "greatest height of a stack"),
    ),
    *_group(
        ("plate",),
        ("rated", "rated", "mass", "rated capacity", True),
        ("per_arm", "per_arm", "force", "greatest load of one arm"),
        ("split_high", "split_high", "text", "greatest split of front and rear pads, such as 3:1"),
        ("plate_edition", "edition", "text", "edition of the lift's instructions"),
        ("made", "made", "date", "day it was made"),
        ("cg_low", "cg_low", "length", "balance window, rear end, ahead of the column line"),
        ("cg_high", "cg_high", "length", "balance window, front end, ahead of the column line"),
        ("wheelbase_low", "wheelbase_low", "length", "least wheelbase"),
        ("wheelbase_high", "wheelbase_high", "length", "greatest wheelbase"),
        ("width_high", "width_high", "length", "greatest width of a vehicle"),
        ("drive_through", "drive_through", "length", "gap between the columns"),
    ),
    *_group(
        ("surroundings",),
        ("ceiling", "ceiling", "length", "height of the ceiling, or none"),
        ("stop_bar", "stop_bar", "length", "height of the overhead stop bar, or none"),
        ("stop_bar_x", "stop_bar_x", "length", "stop bar ahead of the column line"),
        ("free_ahead", "free_ahead", "length", "free floor ahead of the column line"),
        ("free_behind", "free_behind", "length", "free floor behind the column line"),
        ("free_left", "free_left", "length", "free floor to the left of the middle"),
        ("free_right", "free_right", "length", "free floor to the right of the middle"),
        ("floor_level", "floor_level", "text", "yes, no or not known"),
        ("floor_certificate", "floor_certificate", "text", "yes, no or not known"),
        ("mark", "mark", "text", "what the floor mark is"),
        ("mark_x", "mark_x", "length", "floor mark ahead of the column line"),
    ),
    *_group(
        ("inspection",),
        ("examined", "examined", "date", "day of the last examination"),
        ("examined_by", "examined_by", "text", "who examined it"),
        ("examination_interval", "interval", "duration", "time between examinations"),
        ("in_service", "in_service", "yes or no", "it may be used"),
        ("defect", "defect", "text", "defect that is open"),
    ),
    *_ABOUT,
)  # fmt: skip

TABLES: Final[dict[str, tuple[TableColumn, ...]]] = {
    "vehicle": VEHICLE,
    "adapter": ADAPTER,
    "lift": LIFT,
}
