"""Vehicle: sizes, weights, lifting points, underbody, openings, parts that come off."""

from __future__ import annotations

from enum import StrEnum
from typing import Literal

from pydantic import Field, field_validator

from underset.records.base import (
    Angle,
    Force,
    Height,
    Label,
    Length,
    LengthOrNone,
    Mass,
    MaybeDate,
    MaybeForce,
    MaybeHeight,
    MaybeLength,
    MaybeMass,
    MaybePlace,
    MaybeShare,
    MaybeTwist,
    Name,
    Note,
    Opening,
    Place,
    Record,
    Sourced,
)
from underset.units import NOT_GIVEN

Side = Literal["left", "right"]
Answer = Literal["no", "yes", "not asked"]


class Drive(StrEnum):
    """Driven axle and engine place, as far as the CG prior needs it."""

    FRONT = "front"
    REAR = "rear"
    REAR_ENGINE = "rear engine"
    ALL = "all-wheel"
    FOUR = "four-wheel"
    UNKNOWN = "not known"


class Body(StrEnum):
    """Body class, as far as the CG prior needs it."""

    CAR = "car"
    SUV = "SUV"
    PICKUP = "pickup"
    MINIVAN = "minivan"
    VAN = "van"
    OTHER = "other"


class Contact(StrEnum):
    """What the vehicle offers at a lifting point."""

    BOSS = "flat boss"
    PINCH = "pinch weld"
    RAIL = "frame rail"
    PEG = "peg hole"


class Corner(StrEnum):
    """Corners of the vehicle, always in this order."""

    LF = "LF"
    RF = "RF"
    LR = "LR"
    RR = "RR"


class Sizes(Record):
    """Outer sizes. The tape may leave any of them out except the wheelbase."""

    wheelbase: Length
    track_front: MaybeLength = NOT_GIVEN
    track_rear: MaybeLength = NOT_GIVEN
    tyre_width: MaybeLength = NOT_GIVEN
    tyre_diameter: MaybeLength = NOT_GIVEN
    length: MaybeLength = NOT_GIVEN
    width: MaybeLength = NOT_GIVEN
    width_mirrors: MaybeLength = NOT_GIVEN
    height: MaybeLength = NOT_GIVEN
    overhang_front: MaybeLength = NOT_GIVEN
    sill_height: MaybeHeight = NOT_GIVEN


class Weights(Record):
    """Axle or corner loads, or a total, and the state in which they were weighed."""

    state: Label
    front: MaybeMass = NOT_GIVEN
    rear: MaybeMass = NOT_GIVEN
    lf: MaybeMass = NOT_GIVEN
    rf: MaybeMass = NOT_GIVEN
    lr: MaybeMass = NOT_GIVEN
    rr: MaybeMass = NOT_GIVEN
    total: MaybeMass = NOT_GIVEN
    front_share: MaybeShare = NOT_GIVEN


class Balance(Record):
    """CG figures that were measured; what is not given falls back on axle loads or a prior."""

    height: MaybeLength = NOT_GIVEN
    side: MaybePlace = NOT_GIVEN


class Suspension(Record):
    """How the wheels hang: droop from ride height to hanging free, mass that hangs with them."""

    droop_front: MaybeHeight = NOT_GIVEN
    droop_rear: MaybeHeight = NOT_GIVEN
    unsprung_front: MaybeMass = NOT_GIVEN
    unsprung_rear: MaybeMass = NOT_GIVEN
    air: Answer = "not asked"


class LiftingPoint(Record):
    """One place the maker allows. `up` is the height, at ride height, of the face that bears.

    `along` and `across` are the half-lengths of the usable zone, where the pad's centre may stand.
    """

    corner: Corner
    aft: Place
    side: Place
    up: Height
    contact: Contact
    along: Height
    across: Height
    flange_thickness: MaybeLength = NOT_GIVEN
    flange_depth: MaybeLength = NOT_GIVEN
    limit: MaybeForce = NOT_GIVEN


class PointSet(Record):
    """The four lifting points that one source allows to be used together."""

    id: Name
    label: Label
    source: str = ""
    points: tuple[LiftingPoint, LiftingPoint, LiftingPoint, LiftingPoint]

    @field_validator("points", mode="after")
    @classmethod
    def _in_corner_order(cls, points: tuple[LiftingPoint, ...]) -> tuple[LiftingPoint, ...]:
        order = list(Corner)
        return tuple(sorted(points, key=lambda p: order.index(p.corner)))


class ZoneKind(StrEnum):
    """What hangs under the body."""

    SKIRT = "skirt"
    RUNNING_BOARD = "running board"
    BATTERY = "battery"
    TANK = "tank"
    EXHAUST = "exhaust"
    LINE = "line"
    FLOOR = "floor"


class Zone(Record):
    """Part of the underbody: outline in plan as (aft, side) corners, and its underside height.

    `touch` says whether a pad may bear on it, `pass_under` whether an arm may pass below it.
    """

    id: Name
    kind: ZoneKind
    outline: tuple[tuple[Place, Place], ...] = Field(min_length=3)
    underside: Height
    touch: bool = False
    pass_under: bool = True
    high_voltage: bool = False


class Door(Record):
    """A side door: hinge place, leaf length, way it swings, greatest opening."""

    id: Name
    side: Side
    hinge_aft: Place
    hinge_side: Place
    length: Length
    hinged_at: Literal["front", "rear"] = "front"
    opens: Opening
    underside: MaybeHeight = NOT_GIVEN


class Lid(Record):
    """Bonnet, boot lid or tailgate: highest place it reaches when open, above floor."""

    id: Name
    kind: Literal["bonnet", "boot lid", "tailgate"]
    open_height: Length
    open_aft: Place


class Component(Record):
    """A part that comes off, or something carried: mass and place of its own CG."""

    id: Name
    label: Label
    mass: Mass
    aft: Place
    side: Place
    up: Height
    on: bool = True


class StandPlace(Record):
    """A stretch of underbody where a support stand may bear, as (aft, side) corners."""

    id: Name
    label: Label
    outline: tuple[tuple[Place, Place], ...] = Field(min_length=3)
    up: Height
    limit: MaybeForce = NOT_GIVEN


class Intake(Record):
    """Facts no drawing shows, asked at the vehicle. "not asked" is never "no"."""

    rust_at_points: Answer = "not asked"
    repair_at_points: Answer = "not asked"
    hidden_payload: Answer = "not asked"
    person_in_vehicle: Answer = "not asked"
    air_suspension_in_lift_mode: Literal["no", "yes", "not asked", "not fitted"] = "not asked"
    entered_straight: Answer = "not asked"
    asked_by: str = ""
    asked_on: MaybeDate = None


class Vehicle(Sourced):
    """One road vehicle, or one kind of it."""

    drive: Drive = Drive.UNKNOWN
    body: Body = Body.OTHER
    construction: Literal["unibody", "body-on-frame", "not known"] = "not known"
    propulsion: Literal["combustion", "hybrid", "battery-electric", "not known"] = "not known"
    steering: Literal["left", "right", "not known"] = "not known"
    sizes: Sizes
    weights: Weights
    balance: Balance = Balance()
    suspension: Suspension = Suspension()
    body_twist_low: MaybeTwist = NOT_GIVEN
    body_twist_high: MaybeTwist = NOT_GIVEN
    point_sets: tuple[PointSet, ...] = Field(min_length=1)
    zones: tuple[Zone, ...] | None = None
    doors: tuple[Door, ...] | None = None
    lids: tuple[Lid, ...] | None = None
    components: tuple[Component, ...] = ()
    stand_places: tuple[StandPlace, ...] = ()
    roof_load_height: LengthOrNone = NOT_GIVEN
    special_adapter: str = "not given"
    intake: Intake = Intake()


__all__ = [
    "Angle",
    "Answer",
    "Balance",
    "Body",
    "Component",
    "Contact",
    "Corner",
    "Door",
    "Drive",
    "Force",
    "Intake",
    "Lid",
    "LiftingPoint",
    "Note",
    "PointSet",
    "Side",
    "Sizes",
    "StandPlace",
    "Suspension",
    "Vehicle",
    "Weights",
    "Zone",
    "ZoneKind",
]
