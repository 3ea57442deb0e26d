"""Vehicles of a synthetic fleet as the batch's rows: what their records would read."""

from __future__ import annotations

from typing import TYPE_CHECKING, TypeAlias

import numpy as np

from underset.studies import batch_columns as at
from underset.studies.fleet import CONTACTS, ZONES, Columns
from underset.studies.fleet_data import CLASSES

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats: TypeAlias = NDArray[np.float64]

AXLE_TOL, HEIGHT_TOL, SIDE_TOL = 10.0, 0.02, 0.01  # kg, m, m: as the fleet's records say
_CONTACT = np.array([at.CONTACTS.index(c.value) for c in CONTACTS], dtype=float)
_BATTERY = np.array([float(c.battery) for c in CLASSES])


def rows_of(columns: Columns, twist: float) -> tuple[Floats, Floats, NDArray[np.int64]]:
    """(vehicles, zones, number of zones of each); `twist` is the policy's greatest stiffness."""
    rows = np.full((len(columns), at.VEHICLE_WIDTH), np.nan)
    _balance(rows, columns)
    rows[:, at.WHEELBASE] = columns.wheelbase
    for k in range(4):
        rows[:, at.POINT_X + k] = -columns.points[:, k, 0]
        rows[:, at.POINT_Y + k] = columns.points[:, k, 1]
        rows[:, at.POINT_UP + k] = columns.points[:, k, 2]
    rows[:, at.UP_TOL] = 0.0
    rows[:, at.ZONE_ALONG], rows[:, at.ZONE_ACROSS] = columns.along, columns.across
    rows[:, at.CONTACT] = _CONTACT[columns.contact]
    rows[:, at.FLANGE_THICKNESS] = columns.flange_thickness
    rows[:, at.FLANGE_DEPTH] = columns.flange_depth
    rows[:, at.BATTERY] = _BATTERY[columns.kind]
    rows[:, at.TRACK_FRONT], rows[:, at.TRACK_REAR] = columns.track_front, columns.track_rear
    rows[:, at.TYRE_WIDTH] = columns.tyre_width
    rows[:, at.TYRE_DIAMETER] = columns.tyre_diameter
    rows[:, at.DROOP] = np.maximum(columns.droop_front, columns.droop_rear)
    rows[:, at.FRONT_X] = columns.overhang_front
    rows[:, at.REAR_X] = columns.overhang_front - columns.length
    rows[:, at.ROOF], rows[:, at.SILL] = columns.height, columns.sill_height
    rows[:, at.TWIST] = twist
    return (rows, *_zones(columns))


def _balance(rows: Floats, columns: Columns) -> None:
    """Mass and CG from two axle loads, with the exact range of each over the axles' tolerance."""
    front, rear, base = columns.front_mass, columns.rear_mass, columns.wheelbase
    aft = base * rear / (front + rear)
    ends = [
        base * r / (f + r)
        for f in (front - AXLE_TOL, front + AXLE_TOL)
        for r in (rear - AXLE_TOL, rear + AXLE_TOL)
    ]
    rows[:, at.MASS], rows[:, at.MASS_TOL] = front + rear, 2 * AXLE_TOL
    rows[:, at.CG_X], rows[:, at.CG_Y] = -aft, columns.cg_side
    rows[:, at.CG_Z] = columns.cg_height
    rows[:, at.CG_X_TOL] = np.maximum(np.max(ends, axis=0) - aft, aft - np.min(ends, axis=0))
    rows[:, at.CG_Y_TOL], rows[:, at.CG_Z_TOL] = SIDE_TOL, HEIGHT_TOL


def _zones(columns: Columns) -> tuple[Floats, NDArray[np.int64]]:
    """Zones that are there, packed to the front of each vehicle's table, in the fleet's order."""
    there = ~np.isnan(columns.zones[:, :, 4])
    table = np.zeros((len(columns), at.MOST_ZONES, at.ZONE_WIDTH))
    full = np.zeros((len(columns), len(ZONES), at.ZONE_WIDTH))
    full[:, :, 0:2] = -columns.zones[:, :, 0:2]
    full[:, :, 2:5] = columns.zones[:, :, 2:5]
    full[:, :, at.PASS_UNDER] = 1.0
    full[:, ZONES.index("battery"), at.HIGH_VOLTAGE] = 1.0
    order = np.argsort(~there, axis=1, kind="stable")
    packed = np.take_along_axis(full, order[:, :, None], axis=1)
    table[:, : len(ZONES)] = packed
    return table, there.sum(axis=1).astype(np.int64)
