"""What looks wrong in the weights of a vehicle."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from underset.errors import said
from underset.records.plausibility.common import (
    POLICY,
    Bound,
    Complaint,
    given,
    likely_slip,
)
from underset.records.prior import front_share_prior
from underset.records.vehicle import Body, Vehicle, Weights
from underset.units import Quantity

# Mass over length x width x height. Cars: 205 rows of UCI 1985, 105 of qatarcars 2025 and 179
# electric ones of emobpy lie between 88 and 202 kg/m3, but for one row evidently mistyped; vans and
# pickups have no open data of this kind.
_CAR_DENSITY: Final = Bound(
    85.0, 205.0, "UCI 1985, qatarcars 2025 and emobpy, mass over box volume"
)
_VAN_DENSITY: Final = Bound(55.0, 150.0, POLICY)
_MASS: Final = Bound(600.0, 5500.0, POLICY)

# Measured front shares run from 0.413 (two rear-engined cars) to 0.658 (front-drive cars). Cargo
# behind the rear axle of a van or pickup goes further down; no open data of laden vans was found.
_SHARE: Final = Bound(0.40, 0.67, "NHTSA and CVS 2011, 169 front axle shares")
_LADEN: Final = Bound(0.28, 0.67, f"NHTSA and CVS 2011; laden vans and pickups: {POLICY}")
_HALF: Final = Bound(0.42, 0.58, POLICY)  # left part of an axle load, nobody in


def weight_complaints(vehicle: Vehicle) -> Iterator[Complaint]:
    """Total, front share, left share, and sums that should agree."""
    w = vehicle.weights
    loads = _loads(w)
    yield from _sums(w)
    if loads.total is not None:
        yield from _mass(vehicle, loads.total)
    if loads.share is not None:
        yield from _front_share(vehicle, loads.share)
    yield from _left_share("lf", w.lf, w.rf)
    yield from _left_share("lr", w.lr, w.rr)


@dataclass(frozen=True, slots=True)
class _Loads:
    total: float | None
    share: float | None


def _loads(w: Weights) -> _Loads:
    corners = given(w.lf, w.rf, w.lr, w.rr)
    axles = given(w.front, w.rear)
    if corners:
        axles = (corners[0] + corners[1], corners[2] + corners[3])
    if axles:
        return _Loads(sum(axles), axles[0] / sum(axles))
    total = w.total.value if isinstance(w.total, Quantity) else None
    share = w.front_share.value if isinstance(w.front_share, Quantity) else None
    return _Loads(total, share)


def _sums(w: Weights) -> Iterator[Complaint]:
    """Axle loads add up to the total, corner loads to the axles, within their tolerances."""
    rows = (
        ("total", w.total, (w.front, w.rear)),
        ("total", w.total, (w.lf, w.rf, w.lr, w.rr)),
        ("front", w.front, (w.lf, w.rf)),
        ("rear", w.rear, (w.lr, w.rr)),
    )
    for name, whole, parts in rows:
        values = given(whole, *parts)
        if values is None or not isinstance(whole, Quantity):
            continue
        unsure = whole.tol + sum(p.tol for p in parts if isinstance(p, Quantity))
        off = values[0] - sum(values[1:])
        if abs(off) > max(unsure, 0.01 * values[0]):
            looks = said("the parts add up to {total:.0f} kg", total=sum(values[1:]))
            slip = "one figure mistyped, or weighed in another state"
            yield Complaint(f"weights.{name}", whole.text, looks, slip, "Weigh again.")


def _mass(vehicle: Vehicle, total: float) -> Iterator[Complaint]:
    bound = _mass_bound(vehicle)
    if not bound.holds(total):
        template = "a vehicle of this kind weighs {low:.0f} to {high:.0f} kg"
        looks = said(template, low=bound.low, high=bound.high)
        slip = likely_slip(total, _unit(vehicle.weights), bound)
        yield Complaint("weights", f"{total:.0f} kg", looks, slip, "Weigh again.", bound.source)


def _unit(w: Weights) -> str:
    """The unit the loads were written in."""
    figures = (w.lf, w.front, w.total)
    return next((f.unit for f in figures if isinstance(f, Quantity)), "kg")


def _mass_bound(vehicle: Vehicle) -> Bound:
    """From the box round the vehicle where its sizes are given, else what a lift ever meets."""
    s = vehicle.sizes
    box = given(s.length, s.width, s.height)
    if box is None:
        return _MASS
    volume = box[0] * box[1] * box[2]
    density = _CAR_DENSITY if vehicle.body in (Body.CAR, Body.SUV) else _VAN_DENSITY
    return Bound(density.low * volume, density.high * volume, density.source)


def _front_share(vehicle: Vehicle, share: float) -> Iterator[Complaint]:
    laden = vehicle.body in (Body.VAN, Body.PICKUP, Body.OTHER)
    bound = _LADEN if laden else _SHARE
    prior = front_share_prior(vehicle)
    shown = said("{share:.1f} % on the front axle", share=100 * share)
    if prior is not None and not prior.low <= share <= prior.high:
        mirrored = prior.low <= 1.0 - share <= prior.high
        far = abs(share - prior.mean) > 2.0 * prior.half_width or not bound.holds(share)
        if mirrored or far:
            template = "this class carries {low:.0f} to {high:.0f} % there"
            looks = said(template, low=100 * prior.low, high=100 * prior.high)
            slip = "axles swapped" if mirrored else "weighed with a load on board"
            yield Complaint("weights", shown, looks, slip, "Weigh again.", prior.source)
            return
    if not bound.holds(share):
        looks = "no vehicle of the open data carries so much or so little on its front axle"
        slip = "axles swapped" if bound.holds(1.0 - share) else "a figure mistyped"
        yield Complaint("weights", shown, looks, slip, "Weigh again.", bound.source)


def _left_share(name: str, left: object, right: object) -> Iterator[Complaint]:
    if isinstance(left, Quantity) and isinstance(right, Quantity):
        share = left.value / (left.value + right.value)
        if not _HALF.holds(share):
            shown = f"{left.text}, {right.text}"
            slip = "a corner mistyped, a load on one side, or the floor is not level"
            looks = said("{share:.0f} % of this axle load on the left", share=100 * share)
            yield Complaint(f"weights.{name}", shown, looks, slip, "Weigh again.", POLICY)
