"""Synthetic vehicles as records, reading back exactly what stands in the columns."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from math import isnan
from typing import Any

from underset.records.vehicle import Contact, Vehicle
from underset.studies.fleet import CONTACTS, ZONES, Columns, Fleet
from underset.studies.fleet_data import CLASSES

CORNERS = ("LF", "RF", "LR", "RR")


def vehicle_of(columns: Columns, i: int, stated: date) -> Vehicle:
    """Row i as a record; `stated` is the day its figures are said to come from.

    Marked as invented, with "invented" as the kind of its source.
    """
    row = columns.row(i)
    kind = CLASSES[row["kind"]]
    return Vehicle.model_validate(
        {
            "label": f"Synthetic {row['index']}: {kind.name}",
            "invented": True,
            "source": "fleet",
            "sources": {"fleet": _source(stated)},
            "drive": kind.drive.value,
            "body": kind.body.value,
            "construction": "body-on-frame" if kind.frame else "unibody",
            "propulsion": "battery-electric" if kind.battery else "combustion",
            "steering": "left",
            "sizes": {name: _mm(row[name]) for name in _SIZES},
            "weights": {
                "state": "kerb, synthetic",
                "front": f"{row['front_mass']:.0f} ± 10 kg",
                "rear": f"{row['rear_mass']:.0f} ± 10 kg",
            },
            "balance": {
                "height": f"{_whole(row['cg_height'])} ± 20 mm",
                "side": f"{_whole(row['cg_side'])} ± 10 mm",
            },
            "suspension": {
                "droop_front": _mm(row["droop_front"]),
                "droop_rear": _mm(row["droop_rear"]),
                "air": "no",
            },
            "point_sets": [_point_set(row)],
            "zones": [z for k in range(len(ZONES)) for z in _zone(row, k)],
            "doors": [_door(row, side) for side in ("left", "right")],
            "lids": _lids(row),
            "components": _pack(row),
            "roof_load_height": "none",
            "special_adapter": "none",
            "intake": _INTAKE,
        }
    )


def vehicles(fleet: Fleet, stated: date) -> Iterator[tuple[str, Vehicle]]:
    """The whole fleet as (id, record), one after the other."""
    for columns in fleet.chunks():
        for i in range(len(columns)):
            yield name_of(int(columns.index[i])), vehicle_of(columns, i, stated)


def name_of(index: int) -> str:
    """The id of vehicle `index`."""
    return f"synthetic-{index:08}"


_SIZES = (
    "wheelbase", "track_front", "track_rear", "tyre_width", "tyre_diameter", "length", "width",
    "width_mirrors", "height", "overhang_front", "sill_height",
)  # fmt: skip
_INTAKE = {
    "rust_at_points": "no",
    "repair_at_points": "no",
    "hidden_payload": "no",
    "person_in_vehicle": "no",
    "air_suspension_in_lift_mode": "not fitted",
    "entered_straight": "yes",
}
_KINDS = {"skirt left": "skirt", "skirt right": "skirt"}


def _whole(metres: float) -> int:
    return round(metres * 1000)


def _mm(metres: float) -> str:
    return f"{_whole(metres)} mm"


def _source(stated: date) -> dict[str, Any]:
    return {
        "kind": "invented",
        "document": "Synthetic fleet, drawn from class figures of open data",
        "date": stated.isoformat(),
    }


def _point_set(row: dict[str, Any]) -> dict[str, Any]:
    contact = CONTACTS[row["contact"]]
    flange = {}
    if contact is Contact.PINCH:
        names = ("flange_thickness", "flange_depth")
        flange = {name: _mm(row[name]) for name in names}
    points = [
        {"corner": corner, "aft": _mm(aft), "side": _mm(side), "up": _mm(up)}
        | {"contact": contact.value, "along": _mm(row["along"]), "across": _mm(row["across"])}
        | flange
        for corner, (aft, side, up) in zip(CORNERS, row["points"], strict=True)
    ]
    return {"id": "synthetic", "label": contact.value, "points": points}


def _zone(row: dict[str, Any], k: int) -> Iterator[dict[str, Any]]:
    low, high, inner, outer, underside = row["zones"][k]
    if isnan(underside):
        return
    corners = ((low, inner), (high, inner), (high, outer), (low, outer))
    yield {
        "id": ZONES[k].replace(" ", "-"),
        "kind": _KINDS.get(ZONES[k], ZONES[k]),
        "outline": [[_mm(aft), _mm(side)] for aft, side in corners],
        "underside": _mm(underside),
        "high_voltage": ZONES[k] == "battery",
    }


def _door(row: dict[str, Any], side: str) -> dict[str, Any]:
    half = row["width"] / 2 - 0.03
    return {
        "id": f"front-{side}",
        "side": side,
        "hinge_aft": _mm(row["door_hinge"]),
        "hinge_side": _mm(half if side == "left" else -half),
        "length": _mm(row["door_length"]),
        "opens": "68 deg",
    }


def _lids(row: dict[str, Any]) -> list[dict[str, Any]]:
    tail = row["length"] - row["overhang_front"] - 0.2
    bonnet = {"open_height": _mm(row["bonnet_open"]), "open_aft": "0 mm"}
    gate = {"open_height": _mm(row["tail_open"]), "open_aft": _mm(tail)}
    return [
        {"id": "bonnet", "kind": "bonnet"} | bonnet,
        {"id": "tailgate", "kind": "tailgate"} | gate,
    ]


def _pack(row: dict[str, Any]) -> list[dict[str, Any]]:
    """The traction battery between the axles, its own CG 80 mm above its underside (assumed)."""
    if isnan(row["pack_mass"]):
        return []
    return [
        {
            "id": "traction-battery",
            "label": "Traction battery",
            "mass": f"{row['pack_mass']:.0f} kg",
            "aft": _mm(row["wheelbase"] / 2),
            "side": "0 mm",
            "up": _mm(row["zones"][ZONES.index("battery")][4] + 0.08),
        }
    ]
