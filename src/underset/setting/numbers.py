"""Numbers of one vehicle, one bay and the shelf, as `build` makes them. SI, no records.

None stands for *not known*; every user of a None says so in its check.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from underset.geometry import Arm, ArmProfile, Free, Polygon, Teeth, Zone
from underset.statics import Item

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class PointNumbers:
    """One lifting point in V: place, height of its bearing face, zone, contact."""

    corner: str
    place: Point
    place_tol: Point
    up: float
    up_tol: float
    zone: Zone
    contact: str
    flange_thickness: float | None
    flange_depth: float | None
    limit: float | None

    @property
    def runs_along(self) -> bool:
        """Whether the structure runs on past the point, so the load follows the pad along it."""
        return self.contact in ("pinch weld", "frame rail")


@dataclass(frozen=True, slots=True)
class PointSetNumbers:
    """Four points of one source, in corner order."""

    id: str
    label: str
    source: str
    points: tuple[PointNumbers, PointNumbers, PointNumbers, PointNumbers]
    looked_up: bool = True
    """Whether the source was read: not from memory, not an estimate."""


@dataclass(frozen=True, slots=True)
class ZoneNumbers:
    """Part of the underbody in V."""

    id: str
    kind: str
    outline: Polygon
    underside: float
    touch: bool
    pass_under: bool
    high_voltage: bool


@dataclass(frozen=True, slots=True)
class DoorNumbers:
    """A door in V: hinge, leaf length, closed direction, turn of opening, greatest opening."""

    id: str
    hinge: Point
    closed: float
    turn: int
    length: float
    opens: float


@dataclass(frozen=True, slots=True)
class LidNumbers:
    """Highest place of an open lid, in V."""

    id: str
    kind: str
    x: float
    height: float


@dataclass(frozen=True, slots=True)
class TyreNumbers:
    """One tyre in V: centre, width, diameter; `grown` is what their tolerances may add all round.

    `grown`: along and across, and to the diameter.
    """

    centre: Point
    width: float
    diameter: float
    grown: tuple[float, float, float] = (0.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True)
class CgBasis:
    """Where mass and CG come from, and which of them are estimates."""

    mass: str
    aft: str
    side: str
    height: str
    estimated: tuple[str, ...]
    clash: bool = False
    """Whether two weighings on file contradict each other."""


@dataclass(frozen=True, slots=True)
class VehicleNumbers:
    """One vehicle in V."""

    id: str
    label: str
    invented: bool
    battery: bool | None
    wheelbase: float
    kerb: Item | None
    height_known: bool
    basis: CgBasis
    parts: tuple[tuple[str, Item, bool], ...]
    point_sets: tuple[PointSetNumbers, ...]
    tyres: tuple[TyreNumbers, ...] | None
    zones: tuple[ZoneNumbers, ...] | None
    doors: tuple[DoorNumbers, ...] | None
    lids: tuple[LidNumbers, ...] | None
    outline: tuple[float, float, float] | None  # front x, rear x, half width
    width: float | None
    width_mirrors: float | None
    roof: float | None
    roof_load_known: bool
    """Whether it was said what stands on the roof, be it nothing."""
    sill: float | None
    twist: tuple[float, float]
    droop: float | None
    special_adapter: str
    intake: tuple[tuple[str, str], ...]
    stand_places: tuple[tuple[str, str, Polygon, float, float | None], ...]
    wheelbase_tol: float = 0.0
    air: str = "not asked"
    """Whether the record says that air suspension is fitted: yes, no or not asked."""


@dataclass(frozen=True, slots=True)
class BayNumbers:
    """One bay with its lift in L; arms in the order of ARM_PLACES."""

    id: str
    label: str
    invented: bool
    lift_kind: str
    arms: tuple[Arm, Arm, Arm, Arm]
    restraint: Teeth | Free | None
    tooth_offset_known: bool
    pitch: float | None
    profiles: tuple[ArmProfile | None, ...]
    parked: tuple[float | None, ...]
    columns: tuple[Polygon, Polygon]
    column_faces: float
    interface: str
    seat_low: float
    seat_high: float
    greatest_stack: float | None
    rated: float
    arm_limits: tuple[float | None, ...]
    split_text: str
    cg_window: tuple[float, float] | None
    wheelbase_limits: tuple[float | None, float | None]
    width_high: float | None
    drive_through: float | None
    ceiling: float | str | None
    stop_bar: tuple[float, float | None] | str | None
    free: tuple[float | str | None, ...]
    mark: tuple[str, float] | None
    floor_level: str
    floor_certificate: str
    approach: str
    interval_months: float | None
    carriage_difference: float | None
    carriage_span: float
    approved: tuple[str, ...]
    raise_speed: float | None


@dataclass(frozen=True, slots=True)
class AdapterNumbers:
    """One adapter type and how many pieces of it this bay may use."""

    id: str
    label: str
    role: str
    below: str
    above: str | None
    height: float
    travel: float
    thread: float | None
    contacts: tuple[str, ...]
    cradle: bool
    width: float | None
    slot: float | None
    slot_depth: float | None
    rating: float
    clean_rubber: bool
    raised_edges: bool | None
    edges_near_battery: bool
    maker_rated: bool
    count: int
    out_of_service: int
    inspected_months: float | None
    interval_months: float | None


@dataclass(frozen=True, slots=True)
class Shelf:
    """Adapter types by id, as one bay may use them."""

    types: dict[str, AdapterNumbers] = field(default_factory=dict)
