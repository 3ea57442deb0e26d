"""Job: what is done to the vehicle while it is up, in order."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from underset.records.base import (
    Duration,
    Force,
    Height,
    Label,
    Mass,
    MaybeDate,
    MaybeHeight,
    MaybeLength,
    MaybePlace,
    Name,
    Place,
    Record,
    Sourced,
)
from underset.records.vehicle import Intake
from underset.units import NOT_GIVEN


class TakeOff(Record):
    """A component comes off."""

    kind: Literal["take off"]
    component: Name
    secured: bool = False


class PutOn(Record):
    """A component goes on."""

    kind: Literal["put on"]
    component: Name


class AddLoad(Record):
    """Something is put in or on the vehicle: tools, wheels in the boot, a roof load, a person."""

    kind: Literal["add load"]
    id: Name
    label: Label
    mass: Mass
    aft: Place
    side: Place
    up: Height


class MoveLoad(Record):
    """A load put in before, or a component that is on, is moved to another place."""

    kind: Literal["move load"]
    id: Name
    aft: Place
    side: Place
    up: Height


class RemoveLoad(Record):
    """A load put in before comes out."""

    kind: Literal["remove load"]
    id: Name


class Open(Record):
    """Doors or lids are opened: by id, "all doors", "bonnet", "boot lid" or "tailgate"."""

    kind: Literal["open"]
    what: str


class Close(Record):
    """Doors or lids are closed."""

    kind: Literal["close"]
    what: str


class Push(Record):
    """A push or pull while this step lasts: force, place, direction as seen by a driver."""

    kind: Literal["push"]
    label: Label
    force: Force
    up: Height
    aft: MaybePlace = NOT_GIVEN
    side: MaybePlace = NOT_GIVEN
    direction: Literal["any", "forward", "rearward", "left", "right", "up", "down"] = "any"


class TablePush(Record):
    """A table or jack pushes up while this step lasts."""

    kind: Literal["table push"]
    label: Label
    force: Force
    aft: Place
    side: Place


class StandSet(Record):
    """A support stand is set with a preload and stays."""

    kind: Literal["stand set"]
    id: Name
    preload: Force
    aft: Place
    side: Place


class StandAway(Record):
    """A support stand is taken away."""

    kind: Literal["stand away"]
    id: Name


class Raise(Record):
    """The lift is raised so that the seats stand this high above the floor."""

    kind: Literal["raise"]
    seat: MaybeLength = NOT_GIVEN
    tyre_clearance: MaybeHeight = NOT_GIVEN


class Lower(Record):
    """The lift is lowered, all the way when no seat height is given."""

    kind: Literal["lower"]
    seat: MaybeLength = NOT_GIVEN


Step = Annotated[
    TakeOff
    | PutOn
    | AddLoad
    | MoveLoad
    | RemoveLoad
    | Open
    | Close
    | Push
    | TablePush
    | StandSet
    | StandAway
    | Raise
    | Lower,
    Field(discriminator="kind"),
]


class Job(Sourced):
    """One job on one vehicle."""

    vehicle: Name
    steps: tuple[Step, ...] = ()
    intake: Intake | None = None
    duration: Duration | None = None
    due: str = ""
    received: MaybeDate = None
    skill: str = ""
    working_height: MaybeLength = NOT_GIVEN


__all__ = [
    "AddLoad",
    "Close",
    "Job",
    "Lower",
    "MoveLoad",
    "Open",
    "Push",
    "PutOn",
    "Raise",
    "RemoveLoad",
    "StandAway",
    "StandSet",
    "Step",
    "TablePush",
    "TakeOff",
]
