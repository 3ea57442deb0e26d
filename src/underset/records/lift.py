"""Bay and lift: columns, arms, restraint, seats, limits, inspection."""

from __future__ import annotations

from enum import StrEnum
from typing import Literal

from pydantic import Field

from underset.records.base import (
    Angle,
    Duration,
    Height,
    Label,
    Length,
    LengthOrNone,
    Mass,
    MaybeAngle,
    MaybeDate,
    MaybeForce,
    MaybeHeight,
    MaybeLength,
    MaybePlace,
    MaybeSpeed,
    Name,
    Place,
    Record,
    Sourced,
)
from underset.units import NOT_GIVEN


class ArmPlace(StrEnum):
    """Arms by their place on the lift, seen the way a vehicle drives in; always in this order."""

    LEFT_FRONT = "left_front"
    RIGHT_FRONT = "right_front"
    LEFT_REAR = "left_rear"
    RIGHT_REAR = "right_rear"


class Station(Record):
    """Cross-section of an arm: distance from its tip, half width, top and bottom against the seat.

    `top` and `bottom` are heights above the seat face, negative below it.
    """

    from_tip: Height
    half_width: Length
    top: Place
    bottom: Place


class SwingArm(Record):
    """One arm. Swing is measured from straight inward toward the arm's own end of the lift."""

    pivot_x: Place
    pivot_y: Place
    swing_low: Angle
    swing_high: Angle
    reach_low: Length
    reach_high: Length
    parked_swing: MaybeAngle = NOT_GIVEN
    profile: tuple[Station, ...] | None = None
    limit: MaybeForce = NOT_GIVEN


class Arms(Record):
    """The four arms by place."""

    left_front: SwingArm
    right_front: SwingArm
    left_rear: SwingArm
    right_rear: SwingArm

    def in_order(self) -> tuple[SwingArm, SwingArm, SwingArm, SwingArm]:
        """Left front, right front, left rear, right rear."""
        return (self.left_front, self.right_front, self.left_rear, self.right_rear)


class Column(Record):
    """A column with its carriage, as a rectangle in plan turned by `turn`."""

    side: Literal["left", "right"]
    x: Place
    y: Place
    along: Length
    across: Length
    turn: Angle


class ArmRestraint(Record):
    """The toothed gear that holds an arm at its swing, or a clamp that holds it anywhere."""

    kind: Literal["toothed", "stepless", "missing"]
    pitch: MaybeAngle = NOT_GIVEN
    offset: MaybeAngle = NOT_GIVEN


class Seat(Record):
    """The bore or face at the arm's end that takes a stack."""

    interface: Name
    lowest: Length
    highest: Length
    greatest_stack: MaybeLength = NOT_GIVEN


class Plate(Record):
    """What the lift's plate and instructions allow."""

    rated: Mass
    per_arm: MaybeForce = NOT_GIVEN
    split_high: str = "not given"
    edition: str = "not given"
    made: MaybeDate = None
    cg_low: MaybePlace = NOT_GIVEN
    cg_high: MaybePlace = NOT_GIVEN
    wheelbase_low: MaybeLength = NOT_GIVEN
    wheelbase_high: MaybeLength = NOT_GIVEN
    width_high: MaybeLength = NOT_GIVEN
    drive_through: MaybeLength = NOT_GIVEN


class Inspection(Record):
    """Examination by a qualified person, and whether the lift is in service."""

    examined: MaybeDate = None
    examined_by: str = ""
    interval: Duration | None = None
    in_service: bool = True
    defect: str = ""


class Surroundings(Record):
    """What stands around and above, measured from L's origin."""

    ceiling: LengthOrNone = NOT_GIVEN
    stop_bar: LengthOrNone = NOT_GIVEN
    stop_bar_x: MaybePlace = NOT_GIVEN
    free_ahead: LengthOrNone = NOT_GIVEN
    free_behind: LengthOrNone = NOT_GIVEN
    free_left: LengthOrNone = NOT_GIVEN
    free_right: LengthOrNone = NOT_GIVEN
    floor_level: Literal["yes", "no", "not known"] = "not known"
    floor_certificate: Literal["yes", "no", "not known"] = "not known"
    mark: str = ""
    mark_x: MaybePlace = NOT_GIVEN


class Bay(Sourced):
    """One bay with its two-post swing-arm lift."""

    lift_kind: Label
    columns: tuple[Column, Column]
    arms: Arms
    restraint: ArmRestraint
    seat: Seat
    plate: Plate
    surroundings: Surroundings = Surroundings()
    inspection: Inspection = Inspection()
    approach: Literal["forward only", "either way"] = "either way"
    raise_speed: MaybeSpeed = NOT_GIVEN
    lower_speed: MaybeSpeed = NOT_GIVEN
    carriage_difference: MaybeHeight = NOT_GIVEN
    adapters_approved: tuple[Name, ...] = Field(default=())


__all__ = [
    "ArmPlace",
    "ArmRestraint",
    "Arms",
    "Bay",
    "Column",
    "Inspection",
    "Plate",
    "Seat",
    "Station",
    "Surroundings",
    "SwingArm",
]
