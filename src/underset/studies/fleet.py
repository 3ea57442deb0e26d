"""A synthetic fleet: invented vehicles with realistic figures, for studies and speed.

Every figure of vehicle i comes from a counter-based stream of (seed, i, name of the figure), so a
vehicle is the same alone, in any chunk and on any worker. Figures are rounded to whole millimetres
and kilograms as a workshop writes them, and the columns hold exactly what a record reads back.

SplitMix64 as mixer: Steele, Lea and Flood, OOPSLA 2014, 453-472.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, fields
from functools import cached_property
from math import erf, sqrt
from typing import TYPE_CHECKING, Any, TypeAlias
from zlib import crc32

import numpy as np

from underset.errors import InputError
from underset.records.vehicle import Contact
from underset.studies.fleet_data import (
    CG_SIDE,
    CLASSES,
    FRONT_OVERHANG,
    PACK_SHARE,
    Line,
    Spread,
)

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats: TypeAlias = NDArray[np.float64]
    Codes: TypeAlias = NDArray[np.int8]

CONTACTS = tuple(Contact)
ZONES = ("skirt left", "skirt right", "battery", "tank", "exhaust")
CHUNK = 4096
_MM = 0.001  # the factor with which a record reads "mm"
_CUT = 2.5  # standard deviations at which every spread is cut off


@dataclass(frozen=True, slots=True)
class Columns:
    """Vehicles as columns: a row each, SI units, NaN where a vehicle has no such thing.

    `points` is (n, 4, 3): aft, side, up in the order LF, RF, LR, RR. `zones` is (n, 5, 5): aft from
    and to, side from and to, underside, in the order of `ZONES`. `contact` and `kind` index
    `CONTACTS` and `CLASSES`.
    """

    index: NDArray[np.int64]
    kind: Codes
    contact: Codes
    wheelbase: Floats
    track_front: Floats
    track_rear: Floats
    tyre_width: Floats
    tyre_diameter: Floats
    length: Floats
    width: Floats
    width_mirrors: Floats
    height: Floats
    overhang_front: Floats
    sill_height: Floats
    front_mass: Floats
    rear_mass: Floats
    cg_height: Floats
    cg_side: Floats
    droop_front: Floats
    droop_rear: Floats
    points: Floats
    along: Floats
    across: Floats
    flange_thickness: Floats
    flange_depth: Floats
    zones: Floats
    pack_mass: Floats
    door_hinge: Floats
    door_length: Floats
    bonnet_open: Floats
    tail_open: Floats

    def __len__(self) -> int:
        """Number of vehicles."""
        return len(self.index)

    def row(self, i: int) -> dict[str, Any]:
        """One vehicle's figures by name."""
        return {f.name: getattr(self, f.name)[i] for f in fields(self)}


@dataclass(frozen=True)
class Fleet:
    """So many vehicles from one seed; `shares` may replace the assumed mix of classes by name."""

    count: int
    seed: int = 0
    shares: Mapping[str, float] | None = None

    def __post_init__(self) -> None:
        """Refuse an unknown class, a negative share or a size out of range."""
        if not 0 <= self.count <= 10**9:
            raise InputError("count", self.count, "a fleet has from 0 to a thousand million")
        if not 0 <= self.seed < 2**63:
            raise InputError("seed", self.seed, "a seed is a whole number, not negative")
        for name, share in (self.shares or {}).items():
            if name not in {c.name for c in CLASSES}:
                known = ", ".join(c.name for c in CLASSES)
                raise InputError("shares", name, f"classes are {known}")
            if not 0.0 <= share < 1e9:
                raise InputError(f"shares.{name}", share, "a share is not negative")
        if self.shares is not None and not sum(self.shares.values()) > 0.0:
            raise InputError("shares", dict(self.shares), "at least one share is above zero")

    @cached_property
    def _cumulated(self) -> Floats:
        shares = [c.share for c in CLASSES]
        if self.shares is not None:
            shares = [self.shares.get(c.name, 0.0) for c in CLASSES]
        return np.cumsum(shares) / sum(shares)

    def columns(self, start: int, stop: int) -> Columns:
        """Vehicles start to stop - 1 as columns."""
        if not 0 <= start <= stop <= self.count:
            raise InputError("range", (start, stop), f"vehicles are 0 to {self.count}")
        draw = _Draw(self.seed, np.arange(start, stop))
        kind = np.searchsorted(self._cumulated, draw.uniform("class"), side="right")
        return _columns(draw, np.minimum(kind, len(CLASSES) - 1).astype(np.int8))

    def chunks(self, size: int = CHUNK) -> Iterator[Columns]:
        """The whole fleet in pieces, one in memory at a time."""
        for start in range(0, self.count, size):
            yield self.columns(start, min(start + size, self.count))


class _Draw:
    """Figures of some vehicles, each from its own stream."""

    def __init__(self, seed: int, index: NDArray[np.int64]) -> None:
        self.index = index
        self._base = _mixed(_mixed(np.full(index.shape, seed, np.uint64)) ^ index.astype(np.uint64))

    def uniform(self, name: str) -> Floats:
        """Uniform between 0 and 1, never either."""
        bits = _mixed(self._base ^ np.uint64(crc32(name.encode())))
        return ((bits >> np.uint64(11)).astype(np.float64) + 0.5) * 2.0**-53

    def between(self, name: str, low: Floats | float, high: Floats | float) -> Floats:
        """Uniform between two figures."""
        return low + (high - low) * self.uniform(name)

    def normal(self, name: str) -> Floats:
        """Standard normal, cut off at 2.5 standard deviations."""
        from scipy.special import ndtri

        tail = 0.5 * (1.0 - erf(_CUT / sqrt(2.0)))
        z: Floats = ndtri(tail + (1.0 - 2.0 * tail) * self.uniform(name))
        return z

    def spread(self, name: str, of_class: Sequence[Spread], kind: Codes) -> Floats:
        """A figure about the mean of the vehicle's class."""
        table = np.array([(s.mean, s.sd, s.low, s.high) for s in of_class])
        mean, sd, low, high = table[kind].T
        found: Floats = np.clip(mean + sd * self.normal(name), low, high)
        return found

    def line(self, name: str, of_class: Sequence[Line], kind: Codes, x: Floats) -> Floats:
        """A figure about the line of the vehicle's class."""
        table = np.array([(s.a, s.b, s.sd, s.low, s.high) for s in of_class])
        a, b, sd, low, high = table[kind].T
        found: Floats = np.clip(a + b * x + sd * self.normal(name), low, high)
        return found

    def of_class(self, name: str, ranges: Sequence[tuple[float, float]], kind: Codes) -> Floats:
        """Uniform in the range of the vehicle's class."""
        low, high = np.array(ranges)[kind].T
        return self.between(name, low, high)


def _mixed(x: NDArray[np.uint64]) -> NDArray[np.uint64]:
    """SplitMix64's step: add the golden gamma, then mix; wraps around on purpose."""
    x = x + np.uint64(0x9E3779B97F4A7C15)
    x = (x ^ (x >> np.uint64(30))) * np.uint64(0xBF58476D1CE4E5B9)
    x = (x ^ (x >> np.uint64(27))) * np.uint64(0x94D049BB133111EB)
    return x ^ (x >> np.uint64(31))


def _columns(draw: _Draw, kind: Codes) -> Columns:
    sizes = _sizes(draw, kind)
    sizes |= _masses(draw, kind, sizes)
    sizes |= _points(draw, kind, sizes)
    sizes |= _openings(draw, sizes)
    zones = _zones(draw, kind, sizes)
    whole = {name: np.round(x) * _MM for name, x in sizes.items() if name not in _NOT_LENGTHS}
    kept = {name: sizes[name] for name in _NOT_LENGTHS}
    return Columns(index=draw.index, kind=kind, zones=np.round(zones) * _MM, **whole, **kept)


_NOT_LENGTHS = ("contact", "front_mass", "rear_mass", "pack_mass")


def _sizes(draw: _Draw, kind: Codes) -> dict[str, Any]:
    """Outer sizes in mm; what each comes from stands in `fleet_data`."""
    base = np.round(draw.spread("wheelbase", [c.wheelbase for c in CLASSES], kind))
    length = draw.line("length", [c.length for c in CLASSES], kind, base)
    length = np.maximum(length, base + 900.0)
    width = np.round(draw.line("width", [c.width for c in CLASSES], kind, base))
    front = width * draw.spread("track share", [c.track_share for c in CLASSES], kind)
    rear = front + draw.spread("track step", [c.track_step for c in CLASSES], kind)
    tyre = np.round(draw.of_class("tyre width", [c.tyre_width for c in CLASSES], kind))
    widest = width - tyre + 40.0
    overhang = (length - base) * draw.spread("overhang", [FRONT_OVERHANG] * len(CLASSES), kind)
    return {
        "wheelbase": base,
        "length": length,
        "width": width,
        "height": draw.line("height", [c.height for c in CLASSES], kind, base),
        "track_front": np.minimum(front, widest),
        "track_rear": np.minimum(rear, widest),
        "overhang_front": overhang,
        "width_mirrors": width + draw.between("mirrors", 160.0, 300.0),
        "tyre_width": tyre,
        "tyre_diameter": draw.of_class("wheel", [c.tyre_diameter for c in CLASSES], kind),
        "droop_front": draw.between("droop front", 50.0, 110.0),
        "droop_rear": draw.between("droop rear", 50.0, 130.0),
    }


def _masses(draw: _Draw, kind: Codes, sizes: Mapping[str, Floats]) -> dict[str, Any]:
    """Axle loads and pack in kg, CG in mm."""
    height = np.round(sizes["height"]) / 1000
    track = (sizes["track_front"] + sizes["track_rear"]) / 2000
    on_plan = np.array([c.mass_on_plan for c in CLASSES])[kind]
    x = np.where(on_plan, sizes["length"] * sizes["width"] / 1e6, track * height)
    mass = draw.line("mass", [c.mass for c in CLASSES], kind, x)
    share = draw.spread("front share", [c.front_share for c in CLASSES], kind)
    pack = mass * draw.spread("pack share", [PACK_SHARE] * len(CLASSES), kind)
    battery = np.array([c.battery for c in CLASSES])[kind]
    ratio = draw.spread("cg share", [c.cg_share for c in CLASSES], kind)
    return {
        "front_mass": np.round(mass * share),
        "rear_mass": np.round(mass * (1.0 - share)),
        "pack_mass": np.where(battery, np.round(pack), np.nan),
        "cg_height": 1000 * height * ratio,
        "cg_side": draw.spread("cg side", [CG_SIDE] * len(CLASSES), kind),
    }


def _points(draw: _Draw, kind: Codes, sizes: Mapping[str, Floats]) -> dict[str, Any]:
    """Lifting points in mm: assumed, no open data. Left and right are mirror images."""
    frame = np.array([c.frame for c in CLASSES])[kind]
    contact = _contact(draw, kind)
    base = sizes["wheelbase"]
    front = base * np.where(
        frame, draw.between("front rail", 0.20, 0.30), draw.between("front sill", 0.20, 0.28)
    )
    rear = base * np.where(
        frame, draw.between("rear rail", 0.68, 0.80), draw.between("rear sill", 0.76, 0.86)
    )
    inset = draw.between("inset", 110.0, 200.0)
    side = np.where(frame, draw.between("rail", 390.0, 500.0), sizes["width"] / 2 - inset)
    up = draw.of_class("up", [c.points_up for c in CLASSES], kind)
    up_rear = up + draw.between("up rear", -5.0, 25.0)
    pinch, rail = contact == CONTACTS.index(Contact.PINCH), contact == CONTACTS.index(Contact.RAIL)
    points = np.stack(
        [
            np.stack([aft, sign * side, height], axis=1)
            for aft, height in ((front, up), (rear, up_rear))
            for sign in (1.0, -1.0)
        ],
        axis=1,
    )
    along = np.where(pinch, draw.between("seam", 25.0, 80.0), draw.between("along", 15.0, 35.0))
    across = np.where(pinch, draw.between("fold", 8.0, 18.0), draw.between("across", 15.0, 30.0))
    return {
        "contact": contact,
        "points": points,
        "along": np.where(rail, draw.between("along rail", 60.0, 150.0), along),
        "across": across,
        "flange_thickness": np.where(pinch, draw.between("flange", 3.0, 6.0), np.nan),
        "flange_depth": np.where(pinch, draw.between("flange depth", 14.0, 24.0), np.nan),
        "sill_height": np.where(frame, up - draw.between("sill", 20.0, 90.0), up),
    }


def _contact(draw: _Draw, kind: Codes) -> Codes:
    shares = np.array([[dict(c.contacts).get(k, 0.0) for k in CONTACTS] for c in CLASSES])
    upto = np.cumsum(shares, axis=1) / shares.sum(axis=1, keepdims=True)
    u = draw.uniform("contact")[:, None]
    found: Codes = np.minimum((u >= upto[kind]).sum(axis=1), len(CONTACTS) - 1).astype(np.int8)
    return found


def _zones(draw: _Draw, kind: Codes, sizes: Mapping[str, Any]) -> Floats:
    """Underbody in mm: assumed. A third have skirts or running boards; battery or tank and pipe."""
    points, width, base = sizes["points"], sizes["width"], sizes["wheelbase"]
    frame = np.array([c.frame for c in CLASSES])[kind]
    battery = np.array([c.battery for c in CLASSES])[kind]
    front, rear, up = points[:, 0, 0], points[:, 2, 0], points[:, 0, 2]
    skirted = draw.uniform("skirt") < np.where(frame, 0.4, 0.3)
    outer = width / 2 + np.where(frame, 20.0, 0.0)
    inner = np.where(frame, width / 2 - 120.0, outer - 70.0)
    low = up - draw.between("skirt low", 0.0, 30.0)
    gap = draw.between("skirt gap", 120.0, 200.0)
    skirt = [front + gap, rear - gap, inner, outer, low]
    edge = np.abs(points[:, 0, 1]) - draw.between("pack edge", 90.0, 160.0)
    pack = [0.2 * base, 0.8 * base, -edge, edge, up - draw.between("pack low", 0.0, 25.0)]
    tank_up = up + draw.between("tank up", -10.0, 60.0)
    tank = [0.72 * base, 0.93 * base, -330.0 + 0 * base, 330.0 + 0 * base, tank_up]
    pipe_up = up + draw.between("pipe up", -30.0, 40.0)
    pipe = [0.2 * base, base + 300.0, -120.0 + 0 * base, 120.0 + 0 * base, pipe_up]
    right = [skirt[0], skirt[1], -outer, -inner, low]
    there = np.stack([skirted, skirted, battery, ~battery, ~battery], axis=1)
    zones = np.stack([np.stack(z, axis=1) for z in (skirt, right, pack, tank, pipe)], axis=1)
    found: Floats = np.where(there[:, :, None], zones, np.nan)
    return found


def _openings(draw: _Draw, sizes: Mapping[str, Floats]) -> dict[str, Floats]:
    """Doors, bonnet and tail in mm: assumed."""
    return {
        "door_hinge": 0.17 * sizes["wheelbase"] + draw.between("door hinge", 0.0, 120.0),
        "door_length": draw.between("door length", 950.0, 1250.0),
        "bonnet_open": np.maximum(sizes["height"], 1450.0) + draw.between("bonnet", 250.0, 450.0),
        "tail_open": sizes["height"] + draw.between("tail", 250.0, 450.0),
    }
