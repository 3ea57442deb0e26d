"""What looks wrong in a vehicle."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from underset.errors import said
from underset.records.plausibility.common import (
    DIMENSIONS,
    POLICY,
    PRACTICE,
    Bound,
    Complaint,
    given,
    outside,
    ratio_outside,
    reversed_pair,
)
from underset.records.plausibility.points import point_complaints
from underset.records.plausibility.weights import weight_complaints
from underset.records.vehicle import Component, Door, Vehicle
from underset.units import Quantity

_SIZES: Final[dict[str, Bound]] = {
    "wheelbase": Bound(1.87, 4.47, DIMENSIONS),
    "track_front": Bound(1.16, 1.96, DIMENSIONS),
    "track_rear": Bound(1.16, 1.96, DIMENSIONS),
    "tyre_width": Bound(0.125, 0.365, PRACTICE),
    "tyre_diameter": Bound(0.48, 0.95, PRACTICE),
    "length": Bound(2.7, 7.4, DIMENSIONS),
    "width": Bound(1.46, 2.57, DIMENSIONS),
    "width_mirrors": Bound(1.5, 3.0, PRACTICE),
    "height": Bound(1.06, 2.84, "NHTSA and AllCarsDB, roof heights"),
    "overhang_front": Bound(0.3, 1.4, PRACTICE),
    "sill_height": Bound(0.08, 0.9, PRACTICE),
}
_LENGTH_SHARE: Final = Bound(0.50, 0.71, f"{DIMENSIONS}: 0.53 to 0.67 holds 98 % of them")
_TRACK_SHARE: Final = Bound(0.66, 0.93, f"{DIMENSIONS}: 0.71 to 0.89 holds 98 % of them")
_TRACKS: Final = Bound(0.90, 1.17, DIMENSIONS)
_REAR_OVERHANG: Final = Bound(0.25, 2.2, PRACTICE)
_DROOP: Final = Bound(0.01, 0.35, PRACTICE)
_CG_SHARE: Final = Bound(0.316, 0.433, "NHTSA, CG over roof height of 1,270 vehicles, 1971-2021")
_STABILITY: Final = Bound(0.87, 1.83, "NHTSA, track over twice the CG height of 1,270 vehicles")
_CG_SIDE: Final = 0.10  # m off the middle, shop policy; 52 NHTSA rows show 46 mm at most
_UNSPRUNG: Final = Bound(25.0, 400.0, PRACTICE)
_UNDER_DOOR: Final = Bound(0.08, 0.9, PRACTICE)
_STAND_UP: Final = Bound(0.08, 0.9, PRACTICE)
_STAND_LIMIT: Final = Bound(1.0e3, 5.0e4, POLICY)
_ROOF_LOAD: Final = 1.6  # m above the roof, shop policy
_PART_UP: Final = Bound(0.1, 3.6, PRACTICE)
_DOOR: Final = Bound(0.4, 1.7, PRACTICE)
_OPENS: Final = Bound(0.5, 1.75, PRACTICE)
_LID: Final = Bound(0.9, 3.6, PRACTICE)
_PACK_SHARE: Final = Bound(0.146, 0.364, "emobpy, pack over kerb mass of 108 electric cars")
_TWIST: Final = Bound(5.0e4, 3.0e6, POLICY)


def vehicle_complaints(vehicle: Vehicle) -> Iterator[Complaint]:
    """Sizes, proportions, weights, points, underbody, openings and parts."""
    for name, bound in _SIZES.items():
        what = said("{size} of a road vehicle", size=name.replace("_", " "))
        yield from outside(f"sizes.{name}", getattr(vehicle.sizes, name), bound, what)
    yield from _proportions(vehicle)
    yield from weight_complaints(vehicle)
    yield from _balance(vehicle)
    yield from _suspension(vehicle)
    yield from point_complaints(vehicle)
    yield from _underbody(vehicle)
    yield from _openings(vehicle)
    yield from _components(vehicle)


def _proportions(vehicle: Vehicle) -> Iterator[Complaint]:
    s = vehicle.sizes
    if pair := given(s.wheelbase, s.length):
        looks = "wheelbase over length is"
        yield from ratio_outside("sizes.wheelbase", pair[0] / pair[1], _LENGTH_SHARE, looks)
    for end in ("front", "rear"):
        yield from _track(vehicle, end)
    if pair := given(s.track_rear, s.track_front):
        looks = "rear over front track is"
        yield from ratio_outside("sizes.track_rear", pair[0] / pair[1], _TRACKS, looks)
    if triple := given(s.length, s.wheelbase, s.overhang_front):
        rear = triple[0] - triple[1] - triple[2]
        if not _REAR_OVERHANG.holds(rear):
            looks = said("that leaves a rear overhang of {rear:.2f} m", rear=rear)
            yield Complaint(
                "sizes.overhang_front", str(s.overhang_front), looks, "front and rear swapped",
                "Measure from the front axle to the foremost place.", _REAR_OVERHANG.source,
            )  # fmt: skip
    if (pair := given(s.width, s.width_mirrors)) and not 0.0 <= pair[1] - pair[0] <= 0.75:
        looks = "mirrors reach 0 to 0.75 m beyond the body in all"
        slip = "width and width with mirrors swapped" if pair[1] < pair[0] else ""
        yield Complaint(
            "sizes.width_mirrors", str(s.width_mirrors), looks, slip, "Measure again.", PRACTICE
        )


def _track(vehicle: Vehicle, end: str) -> Iterator[Complaint]:
    """Track against body and tyres; twin rear tyres stand further in than single ones."""
    s = vehicle.sizes
    field, track = f"sizes.track_{end}", getattr(s, f"track_{end}")
    pair = given(track, s.width)
    if pair is None:
        return
    if pair[0] >= pair[1]:
        slip = "width and track swapped, or the track measured over the outsides of the tyres"
        yield Complaint(
            field, track.text, "the track is wider than the body", slip,
            "The track runs from tyre middle to tyre middle.", DIMENSIONS,
        )  # fmt: skip
        return
    yield from ratio_outside(field, pair[0] / pair[1], _TRACK_SHARE, "track over body width is")
    if isinstance(s.tyre_width, Quantity) and pair[0] + s.tyre_width.value > pair[1] + 0.06:
        over = 1000 * (pair[0] + s.tyre_width.value - pair[1])
        yield Complaint(
            field, track.text,
            said("the tyres would stand {over:.0f} mm beyond the body", over=over),
            "track measured over the outsides of the tyres", "Measure between tyre middles.",
            PRACTICE,
        )  # fmt: skip


def _balance(vehicle: Vehicle) -> Iterator[Complaint]:
    height, side, s = vehicle.balance.height, vehicle.balance.side, vehicle.sizes
    if pair := given(height, s.height):
        looks, slip = "CG height over roof height is", ""
        if pair[0] / pair[1] > 0.9:
            slip = "roof height typed in for the CG height"
        yield from ratio_outside("balance.height", pair[0] / pair[1], _CG_SHARE, looks, slip)
    if triple := given(height, s.track_front, s.track_rear):
        factor = (triple[1] + triple[2]) / (4 * triple[0])
        looks = "track over twice the CG height is"
        yield from ratio_outside("balance.height", factor, _STABILITY, looks)
    if isinstance(side, Quantity) and abs(side.value) > _CG_SIDE:
        looks = "an empty vehicle balances within 100 mm of its middle"
        yield Complaint(
            "balance.side", side.text, looks, "load on one side", "Weigh again.", POLICY
        )


def _suspension(vehicle: Vehicle) -> Iterator[Complaint]:
    hangs = vehicle.suspension
    for end in ("front", "rear"):
        droop = getattr(hangs, f"droop_{end}")
        yield from outside(f"suspension.droop_{end}", droop, _DROOP, "droop to hanging wheels")
        mass = getattr(hangs, f"unsprung_{end}")
        what = "mass that hangs with the wheels"
        yield from outside(f"suspension.unsprung_{end}", mass, _UNSPRUNG, what, "mass")
    yield from reversed_pair("body_twist", vehicle.body_twist_low, vehicle.body_twist_high)
    for name in ("body_twist_low", "body_twist_high"):
        figure = getattr(vehicle, name)
        if isinstance(figure, Quantity) and not _TWIST.holds(figure.value):
            looks = "bodies twist by 0.9 to 52 kN m for each degree"
            slip = "a figure for each radian written for each degree, or the other way round"
            yield Complaint(name, figure.text, looks, slip, "Look it up again.", POLICY)


def _underbody(vehicle: Vehicle) -> Iterator[Complaint]:
    length, width = _body(vehicle)
    for i, zone in enumerate(vehicle.zones or ()):
        field = f"zones[{i}]"
        yield from outside(
            f"{field}.underside",
            zone.underside,
            Bound(0.05, 1.2, PRACTICE),
            said("{kind} underside", kind=zone.kind.value),
        )
        yield from _outline(f"{field}.outline", zone.outline, length, width)
        if zone.kind == "battery" and not zone.high_voltage and _electric(vehicle):
            looks = "a traction battery without high voltage"
            remedy = "Set high_voltage = true, or call the zone by another kind."
            yield Complaint(f"{field}.high_voltage", "false", looks, "left out", remedy)
    for i, place in enumerate(vehicle.stand_places):
        field = f"stand_places[{i}]"
        yield from _outline(f"{field}.outline", place.outline, length, width)
        yield from outside(f"{field}.up", place.up, _STAND_UP, "height of a place for a stand")
        what = "load limit of a place for a stand"
        yield from outside(f"{field}.limit", place.limit, _STAND_LIMIT, what, "force")


def _electric(vehicle: Vehicle) -> bool:
    return vehicle.propulsion in ("battery-electric", "hybrid")


def _body(vehicle: Vehicle) -> tuple[tuple[float, float], float]:
    """Foremost and rearmost `aft` of the body and its half width, wide open where not given."""
    s = vehicle.sizes
    front = -s.overhang_front.value if isinstance(s.overhang_front, Quantity) else -1.4
    rear = front + s.length.value if isinstance(s.length, Quantity) else s.wheelbase.value + 2.2
    half = s.width.value / 2 if isinstance(s.width, Quantity) else 1.3
    return (front - 0.05, rear + 0.05), half + 0.05


def _outline(
    field: str,
    outline: tuple[tuple[Quantity, Quantity], ...],
    length: tuple[float, float],
    half: float,
) -> Iterator[Complaint]:
    for aft, side in outline:
        if not length[0] <= aft.value <= length[1] or abs(side.value) > half:
            slip = "aft is positive rearward of the front axle; side is positive to the left"
            shown = f"{aft.text}, {side.text}"
            yield Complaint(field, shown, "a corner outside the body", slip, "Measure again.")
            return
    corners = [(a.value, s.value) for a, s in outline]
    if abs(_area(corners)) < 1e-4:
        looks = "an outline without an area"
        yield Complaint(
            field, said("{count} corners", count=len(corners)), looks, "a corner typed twice"
        )


def _area(corners: list[tuple[float, float]]) -> float:
    pairs = zip(corners, corners[1:] + corners[:1], strict=True)
    return sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in pairs) / 2


def _openings(vehicle: Vehicle) -> Iterator[Complaint]:
    (front, rear), half = _body(vehicle)
    for i, door in enumerate(vehicle.doors or ()):
        yield from _door(f"doors[{i}]", door, (front, rear), half)
    for i, lid in enumerate(vehicle.lids or ()):
        field = f"lids[{i}].open_height"
        yield from outside(
            field, lid.open_height, _LID, said("height of an open {lid}", lid=lid.kind)
        )
        if not front - 1.0 <= lid.open_aft.value <= rear + 1.0:
            looks, slip = "an open lid more than 1 m off the body", "aft is positive rearward"
            shown = lid.open_aft.text
            yield Complaint(f"lids[{i}].open_aft", shown, looks, slip, "Measure again.", PRACTICE)
    if pair := given(vehicle.roof_load_height, vehicle.sizes.height):
        above = pair[0] - pair[1]
        if not -0.02 <= above <= _ROOF_LOAD:
            looks = "a load on the roof stands 0 to 1.6 m above it"
            slip = "the height above the roof typed in for that above the floor" * (above < 0.0)
            shown = str(vehicle.roof_load_height)
            yield Complaint("roof_load_height", shown, looks, slip, "Measure again.", POLICY)


def _door(field: str, door: Door, length: tuple[float, float], half: float) -> Iterator[Complaint]:
    if (door.hinge_side.value > 0.0) != (door.side == "left"):
        looks = said("a {side} door hinged on the other side", side=door.side)
        yield Complaint(
            f"{field}.hinge_side", door.hinge_side.text, looks, "left and right swapped",
            "Side is positive to the left.",
        )  # fmt: skip
    if not length[0] <= door.hinge_aft.value <= length[1] or abs(door.hinge_side.value) > half:
        shown = f"{door.hinge_aft.text}, {door.hinge_side.text}"
        yield Complaint(
            f"{field}.hinge_aft", shown, "a hinge outside the body", "", "Measure again."
        )
    elif abs(door.hinge_side.value) < 0.6 * (half - 0.05):
        shown, slip = door.hinge_side.text, "a decimal place, or another unit"
        looks = "a hinge toward the middle of the body"
        yield Complaint(f"{field}.hinge_side", shown, looks, slip, "Measure again.", PRACTICE)
    yield from outside(f"{field}.underside", door.underside, _UNDER_DOOR, "underside of a door")
    yield from outside(f"{field}.length", door.length, _DOOR, "length of a door leaf")
    yield from outside(f"{field}.opens", door.opens, _OPENS, "opening of a door", "angle")


def _components(vehicle: Vehicle) -> Iterator[Complaint]:
    (front, rear), half = _body(vehicle)
    total = _total(vehicle)
    for i, part in enumerate(vehicle.components):
        field = f"components[{i}]"
        inside = front - 0.3 <= part.aft.value <= rear + 0.3 and abs(part.side.value) <= half
        if not inside:
            shown, slip = f"{part.aft.text}, {part.side.text}", "aft is positive rearward"
            yield Complaint(
                f"{field}.aft", shown, "a part outside the body", slip, "Measure again."
            )
        yield from outside(f"{field}.up", part.up, _PART_UP, "height of a part")
        roof = vehicle.sizes.height
        if isinstance(roof, Quantity) and roof.value + 1.0 < part.up.value <= _PART_UP.high:
            looks, slip = "a part more than 1 m above the roof", "a decimal place"
            yield Complaint(f"{field}.up", part.up.text, looks, slip, "Measure again.", POLICY)
        if total is not None:
            yield from _part_mass(field, part, total, vehicle)


def _part_mass(field: str, part: Component, total: float, vehicle: Vehicle) -> Iterator[Complaint]:
    share = part.mass.value / total
    if part.on and share > 0.5:
        looks = said("this part is {share:.0f} % of the whole vehicle", share=100 * share)
        slip = "pounds written as kg" if share * 0.4536 < 0.5 else ""
        yield Complaint(f"{field}.mass", part.mass.text, looks, slip, "Weigh again.", PRACTICE)
    pack = "battery" in part.id and vehicle.propulsion == "battery-electric"
    if pack and not _PACK_SHARE.holds(share):
        template = "a traction battery of {share:.0f} % of the vehicle; 15 to 36 % is met"
        looks = said(template, share=100 * share)
        yield Complaint(
            f"{field}.mass", part.mass.text, looks, "", "Ask again.", _PACK_SHARE.source
        )


def _total(vehicle: Vehicle) -> float | None:
    w = vehicle.weights
    for group in ((w.total,), (w.front, w.rear), (w.lf, w.rf, w.lr, w.rr)):
        loads = given(*group)
        if loads is not None:
            return sum(loads)
    return None
