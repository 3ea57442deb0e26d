"""Adapter types and the stock of them."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from underset.records.base import (
    Height,
    Length,
    Mass,
    MaybeDate,
    MaybeHeight,
    MaybeLength,
    Name,
    Record,
    Sourced,
)
from underset.records.vehicle import Contact
from underset.units import NOT_GIVEN

Role = Literal["spacer", "head", "block"]


class Lot(Record):
    """Pieces of one type at one place in one condition."""

    count: int = Field(ge=0, le=1000)
    where: str = "shelf"
    in_service: bool = True
    inspected: MaybeDate = None
    note: str = ""


class Adapter(Sourced):
    """One type: a spacer goes between, a head carries the vehicle, a block stands over a head.

    `height` is what the piece adds with its screw fully in; `travel` is what the screw adds,
    `thread` the rise of one turn. `width` is the full width of the contact (its diameter when
    round), `slot` and `slot_depth` those of a groove for a flange. `raised_edges` left out
    means that nobody looked; `edges_near_battery` says whether they may stand near a high-voltage
    battery.
    """

    role: Role
    below: Name
    above: Name | None = None
    height: Length
    travel: MaybeHeight = NOT_GIVEN
    thread: MaybeLength = NOT_GIVEN
    contacts: tuple[Contact, ...] = ()
    cradle: bool = False
    width: MaybeLength = NOT_GIVEN
    slot: MaybeLength = NOT_GIVEN
    slot_depth: MaybeLength = NOT_GIVEN
    rating: Mass
    clean_rubber: bool = False
    raised_edges: bool | None = None
    edges_near_battery: bool = False
    maker_rated: bool
    interval_months: int | None = Field(default=None, ge=1, le=120)
    price: float | None = Field(default=None, ge=0, le=1e6)
    lots: tuple[Lot, ...] = ()

    def usable_count(self, bay: str) -> int:
        """Pieces in service that stand on the shared shelf or at this bay."""
        return sum(x.count for x in self.lots if x.in_service and x.where in ("shelf", bay))


__all__ = ["Adapter", "Height", "Lot", "Role"]
