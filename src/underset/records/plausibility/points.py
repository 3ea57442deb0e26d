"""What looks wrong in the lifting points of a vehicle."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from underset.errors import said
from underset.records.plausibility.common import (
    POLICY,
    PRACTICE,
    Bound,
    Complaint,
    likely_slip,
    outside,
)
from underset.records.vehicle import Contact, LiftingPoint, PointSet, Vehicle
from underset.units import Quantity

_UP: Final = Bound(0.08, 0.9, PRACTICE)
# Half-lengths of the usable zone along and across, by what bears.
_ZONES: Final[dict[Contact, tuple[Bound, Bound]]] = {
    Contact.BOSS: (Bound(0.005, 0.12, PRACTICE), Bound(0.005, 0.12, PRACTICE)),
    Contact.PINCH: (Bound(0.008, 0.20, PRACTICE), Bound(0.001, 0.02, PRACTICE)),
    Contact.RAIL: (Bound(0.010, 0.30, PRACTICE), Bound(0.005, 0.08, PRACTICE)),
    Contact.PEG: (Bound(0.003, 0.05, PRACTICE), Bound(0.003, 0.05, PRACTICE)),
}
_FLANGE: Final = Bound(0.0015, 0.012, PRACTICE)
_FLANGE_DEPTH: Final = Bound(0.006, 0.045, PRACTICE)
_LIMIT: Final = Bound(1.5e3, 4.0e4, POLICY)
_LEAST_SIDE: Final = 0.20  # m from the middle, shop policy
_PAIR: Final = 0.05  # m that left and right may differ along, across and in height, shop policy


def point_complaints(vehicle: Vehicle) -> Iterator[Complaint]:
    """Each point against the body, and the points of one set against each other."""
    for i, points in enumerate(vehicle.point_sets):
        for j, point in enumerate(points.points):
            yield from _point(f"point_sets[{i}].points[{j}]", point, vehicle)
        yield from _set(f"point_sets[{i}]", points, vehicle)


def _point(field: str, p: LiftingPoint, vehicle: Vehicle) -> Iterator[Complaint]:
    base = vehicle.sizes.wheelbase.value
    if not 0.0 < p.aft.value < base:
        yield Complaint(
            f"{field}.aft", p.aft.text, "a lifting point outside the wheelbase",
            _aft_slip(p.aft, base), "Aft runs rearward from the front axle.", PRACTICE,
        )  # fmt: skip
    yield from _side(field, p, vehicle)
    yield from outside(f"{field}.up", p.up, _UP, "height of a lifting point")
    for name, bound in zip(("along", "across"), _ZONES[p.contact], strict=True):
        half = getattr(p, name)
        yield from outside(
            f"{field}.{name}", half, bound, said("half-length {name} of a usable zone", name=name)
        )
    yield from outside(f"{field}.limit", p.limit, _LIMIT, "load limit of one point", "force")
    yield from outside(f"{field}.flange_thickness", p.flange_thickness, _FLANGE, "a flange")
    yield from outside(f"{field}.flange_depth", p.flange_depth, _FLANGE_DEPTH, "depth of a flange")


def _aft_slip(aft: Quantity, base: float) -> str:
    if 0.0 < -aft.value < base:
        return "sign: aft is positive rearward of the front axle"
    return likely_slip(aft.value, aft.unit, Bound(0.1 * base, 0.95 * base, ""))


def _side(field: str, p: LiftingPoint, vehicle: Vehicle) -> Iterator[Complaint]:
    side, width = p.side.value, vehicle.sizes.width
    if (side > 0.0) != (p.corner in ("LF", "LR")):
        looks = said("corner {corner} on the other side of the vehicle", corner=p.corner.value)
        slip, remedy = "left and right swapped", "Side is positive to the left."
        yield Complaint(f"{field}.side", p.side.text, looks, slip, remedy)
    half = width.value / 2 if isinstance(width, Quantity) else 1.3
    if not _LEAST_SIDE <= abs(side) <= half:
        template = "points stand {low:g} to {high:.2f} m from the middle"
        looks = said(template, low=_LEAST_SIDE, high=half)
        slip = likely_slip(abs(side), p.side.unit, Bound(_LEAST_SIDE, half, ""))
        if not slip and abs(side) <= 2 * half:
            slip = "the distance between left and right point typed in"
        yield Complaint(f"{field}.side", p.side.text, looks, slip, "Measure again.", POLICY)


def _set(field: str, points: PointSet, vehicle: Vehicle) -> Iterator[Complaint]:
    by_corner = {p.corner.value: p for p in points.points}
    if len(by_corner) < 4:
        return
    lf, rf, lr, rr = (by_corner[c] for c in ("LF", "RF", "LR", "RR"))
    for left, right in ((lf, rf), (lr, rr)):
        yield from _pair(field, left, right)
    front, rear = (lf.aft.value + rf.aft.value) / 2, (lr.aft.value + rr.aft.value) / 2
    if front >= rear:
        shown = said("front {front}, rear {rear}", front=lf.aft.text, rear=lr.aft.text)
        looks, slip = "the front points stand behind the rear ones", "front and rear swapped"
        yield Complaint(f"{field}.points", shown, looks, slip, "Aft runs rearward.")
    elif rear - front < 0.3 * vehicle.sizes.wheelbase.value:
        shown = said("{distance:.2f} m apart", distance=rear - front)
        looks = "front and rear points stand closer than 30 % of the wheelbase"
        yield Complaint(f"{field}.points", shown, looks, "", "Measure again.", POLICY)


def _pair(field: str, left: LiftingPoint, right: LiftingPoint) -> Iterator[Complaint]:
    """Left and right points of one end are usually mirror images."""
    rows = (
        ("up", left.up.value - right.up.value, "in height"),
        ("aft", left.aft.value - right.aft.value, "along the vehicle"),
        ("side", abs(left.side.value) - abs(right.side.value), "in distance from the middle"),
    )
    for name, off, how in rows:
        if abs(off) > _PAIR:
            shown = f"{getattr(left, name).text}, {getattr(right, name).text}"
            template = "left and right differ by {off:.0f} mm {how}"
            looks = said(template, off=1000 * abs(off), how=how)
            where = f"{field}.points {left.corner} and {right.corner}, {name}"
            yield Complaint(where, shown, looks, "a figure mistyped", "Measure again.", POLICY)
