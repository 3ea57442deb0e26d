"""Workshop folders as a shop writes them, plain enough for a calculation by hand beside them.

Arms without teeth, no tolerances, nothing under the body: what is asked of a case is in it alone.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from typing import Any

from underset.app import Planned, Wish, make_plan, open_workshop

DAY = date(2026, 11, 20)
PAPER = {"sheet": {"kind": "maker's document", "document": "sheet", "date": DAY.replace(month=6)}}
Table = dict[str, Any]


@dataclass(frozen=True)
class Car:
    """Mass and balance in kg and mm, pads by corner as (aft, side), weighed on four scales."""

    mass: float = 1600.0
    aft: float = 1300.0
    side: float = 0.0
    wheelbase: float = 2800.0
    points: tuple[tuple[float, float], ...] = ((600, 500), (600, -500), (2200, 500), (2200, -500))
    unit: str = "kg"
    length_unit: str = "mm"
    more: Mapping[str, Any] = field(default_factory=dict)

    @property
    def loads(self) -> Table:
        """Wheel loads, track 1,500 mm at both axles, the side shared by the axles' loads."""
        rear = self.mass * self.aft / self.wheelbase
        tip = 2.0 * self.side / 1500.0
        axles = (("l", 1.0 + tip), ("r", 1.0 - tip))
        return {
            f"{side}{end}": f"{axle / 2 * part:.9f} {self.unit}"
            for end, axle in (("f", self.mass - rear), ("r", rear))
            for side, part in axles
        }

    def table(self) -> Table:
        """The record."""
        unit = self.length_unit
        points = [
            {
                "corner": corner, "aft": f"{aft} {unit}", "side": f"{side} {unit}", "up": "200 mm",
                "contact": "flat boss", "along": "30 mm", "across": "30 mm",
            }
            for corner, (aft, side) in zip(("LF", "RF", "LR", "RR"), self.points, strict=True)
        ]  # fmt: skip
        return {
            "label": "Car", "drive": "front", "body": "car", "construction": "unibody",
            "propulsion": "combustion", "steering": "left", "source": "sheet",
            "body_twist_low": "20 kN m/deg", "body_twist_high": "20 kN m/deg",
            "roof_load_height": "none", "special_adapter": "none", "zones": [], "doors": [],
            "lids": [], "sources": PAPER,
            "sizes": {
                "wheelbase": f"{self.wheelbase} {unit}", "track_front": "1500 mm",
                "track_rear": "1500 mm", "tyre_width": "200 mm", "tyre_diameter": "640 mm",
                "length": "4400 mm", "width": "1800 mm", "width_mirrors": "2000 mm",
                "height": "1500 mm", "overhang_front": "800 mm", "sill_height": "300 mm",
            },
            "weights": {"state": "as weighed", **self.loads},
            "balance": {"height": "550 mm"},
            "suspension": {"droop_front": "80 mm", "droop_rear": "80 mm", "air": "no"},
            "point_sets": [{"id": "points", "label": "Points", "points": points}],
            "intake": {
                "rust_at_points": "no", "repair_at_points": "no", "hidden_payload": "no",
                "person_in_vehicle": "no", "air_suspension_in_lift_mode": "not fitted",
                "entered_straight": "yes",
            },
            **self.more,
        }  # fmt: skip


def arm(x: float, y: float, **more: Any) -> Table:
    """An arm that takes 60 kN."""
    station = {"half_width": "50 mm", "top": "0 mm", "bottom": "-50 mm"}
    return {
        "pivot_x": f"{x} mm", "pivot_y": f"{y} mm", "swing_low": "-15 deg", "limit": "60 kN",
        "swing_high": "100 deg", "reach_low": "600 mm", "reach_high": "1150 mm",
        "parked_swing": "95 deg",
        "profile": [{"from_tip": f"{at} mm", **station} for at in (0, 600)],
        **more,
    }  # fmt: skip


def bay(plate: Table | None = None, room: Table | None = None, **more: Any) -> Table:
    """A symmetric lift with everything on its plate that a case does not ask about."""
    columns = [
        {"side": s, "x": "0 mm", "y": y, "along": "300 mm", "across": "300 mm", "turn": "0 deg"}
        for s, y in (("left", "1570 mm"), ("right", "-1570 mm"))
    ]
    arms = {
        f"{side}_{end}": arm(x, y)
        for side, y in (("left", 1300), ("right", -1300))
        for end, x in (("front", 180), ("rear", -180))
    }
    return {
        "label": "Bay", "lift_kind": "two-post", "source": "sheet", "sources": PAPER,
        "approach": "either way", "carriage_difference": "0 mm", "columns": columns, "arms": arms,
        "restraint": {"kind": "stepless"},
        "seat": {
            "interface": "pin", "lowest": "100 mm", "highest": "1900 mm",
            "greatest_stack": "400 mm",
        },
        "plate": {
            "rated": "4000 kg", "per_arm": "60 kN", "cg_low": "-2 m", "cg_high": "2 m",
            **(plate or {}),
        },
        "inspection": {"examined": DAY.replace(month=6), "interval": "12 months"},
        "surroundings": {
            "ceiling": "none", "stop_bar": "none", "free_ahead": "none", "free_behind": "none",
            "free_left": "none", "free_right": "none", "floor_level": "yes",
            "floor_certificate": "yes", "mark": "line", "mark_x": "0 mm", **(room or {}),
        },
        **more,
    }  # fmt: skip


PAD: Table = {
    "label": "Pad", "source": "sheet", "sources": PAPER, "role": "head", "below": "pin",
    "height": "60 mm", "travel": "70 mm", "thread": "5 mm", "contacts": ["flat boss"],
    "width": "120 mm", "rating": "6 t", "clean_rubber": True, "maker_rated": True,
    "raised_edges": False, "lots": [{"count": 4, "inspected": DAY.replace(month=6)}],
}  # fmt: skip
EXACT = {"level_pad": "0 mm", "level_carriage": "0 mm"}


def planned(
    folder: Path, car: Car, lift: Table | None = None, steps: list[Table] | None = None,
    policy: Mapping[str, str] = EXACT,
) -> Planned:  # fmt: skip
    """The plan of one vehicle in one bay of a folder written for it."""
    for kind, name, table in (
        ("vehicles", "car", car.table()), ("bays", "bay", lift or bay()), ("adapters", "pad", PAD),
        ("jobs", "job", {"label": "Job", "source": "sheet", "sources": PAPER, "vehicle": "car",
                         "steps": steps or []}),
    ):  # fmt: skip
        (folder / kind).mkdir(parents=True, exist_ok=True)
        (folder / kind / f"{name}.toml").write_text(_toml(table), "utf-8")
    (folder / "workshop.toml").write_text('name = "Shop"\n', "utf-8")
    (folder / "policy.toml").write_text(_toml(dict(policy)), "utf-8")
    job = "job" if steps else None
    return make_plan(open_workshop(folder), Wish("car", job, ("bay",), remedies=False), DAY)


def _toml(table: Table) -> str:
    return "".join(f"{key} = {_value(value)}\n" for key, value in table.items())


def _value(value: Any) -> str:
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{json.dumps(k)} = {_value(v)}" for k, v in value.items()) + " }"
    if isinstance(value, list):
        return "[" + ", ".join(map(_value, value)) + "]"
    return value.isoformat() if isinstance(value, date) else json.dumps(value, ensure_ascii=False)
