"""What looks wrong in an adapter type."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from underset.records.adapter import Adapter
from underset.records.plausibility.common import PRACTICE, Bound, Complaint, given, outside
from underset.records.vehicle import Contact
from underset.units import Quantity

_HEIGHT: Final = Bound(0.008, 0.4, PRACTICE)
_TRAVEL: Final = Bound(0.012, 0.0765, PRACTICE)  # a screw pad travels up to about 76 mm (3 in)
_THREAD: Final = Bound(0.001, 0.010, PRACTICE)
_WIDTH: Final = Bound(0.015, 0.30, PRACTICE)
_DEPTH: Final = Bound(0.008, 0.06, PRACTICE)
_SLOT: Final = Bound(0.003, 0.05, PRACTICE)
_RATING: Final = Bound(300.0, 4000.0, PRACTICE)
_PEG: Final = 0.07  # m: wider contacts enter no peg hole, common practice


def adapter_complaints(adapter: Adapter) -> Iterator[Complaint]:
    """Heights, screw, contact and rating."""
    yield from outside("height", adapter.height, _HEIGHT, "height of one piece")
    yield from _screw(adapter)
    yield from outside("width", adapter.width, _WIDTH, "width of a contact")
    yield from outside("slot", adapter.slot, _SLOT, "width of a slot for a flange")
    yield from outside("slot_depth", adapter.slot_depth, _DEPTH, "depth of a slot for a flange")
    yield from outside("rating", adapter.rating, _RATING, "rating of one piece", "mass")
    yield from _contact(adapter)


def _screw(a: Adapter) -> Iterator[Complaint]:
    if isinstance(a.travel, Quantity) and a.travel.value > _TRAVEL.high:
        looks = "screw pads travel up to about 76 mm; beyond that spacers"
        slip = "total height typed in for the travel, or cm for inches"
        remedy = "Measure from fully in to fully out."
        yield Complaint("travel", a.travel.text, looks, slip, remedy, _TRAVEL.source)
    elif a.role != "spacer" and isinstance(a.travel, Quantity) and a.travel.value > 0.0:
        yield from outside("travel", a.travel, _TRAVEL, "travel of a screw")
    yield from outside("thread", a.thread, _THREAD, "rise of one turn")
    if a.role == "spacer" and isinstance(a.travel, Quantity) and a.travel.value > 0.0:
        looks = "a spacer has no screw"
        yield Complaint("travel", a.travel.text, looks, "a head called a spacer", "Check the role.")
    turns = given(a.travel, a.thread)
    if turns and turns[0] > 0.0 and turns[0] < turns[1]:
        looks, slip = "less than one turn of travel", "travel and thread swapped"
        yield Complaint("thread", str(a.thread), looks, slip, "Measure again.")


def _contact(a: Adapter) -> Iterator[Complaint]:
    if a.role == "block" and not a.contacts:
        looks = "a block that serves no contact"
        yield Complaint("contacts", "none", looks, "left out", "Say what it may carry.")
    if a.role == "head" and not a.contacts and a.above is None:
        looks = "a head that serves no contact and carries no block"
        yield Complaint("contacts", "none", looks, "left out", "Say what it may carry.")
    if Contact.PINCH in a.contacts and given(a.slot, a.slot_depth) is None:
        looks = "it serves pinch welds, but the slot is not given"
        yield Complaint("slot", str(a.slot), looks, "left out", "Measure width and depth.")
    if Contact.PEG in a.contacts and isinstance(a.width, Quantity) and a.width.value > _PEG:
        looks = "too wide for a peg hole"
        yield Complaint("width", a.width.text, looks, "width of the base typed in", "", PRACTICE)
    widths = given(a.slot, a.width)
    if widths and widths[0] >= widths[1]:
        looks, slip = "the slot is as wide as the piece", "slot and width swapped"
        yield Complaint("slot", str(a.slot), looks, slip, "Measure again.")
    depths = given(a.slot_depth, a.height)
    if depths and depths[0] >= depths[1]:
        looks, slip = "the slot is as deep as the piece is high", "depth and height swapped"
        yield Complaint("slot_depth", str(a.slot_depth), looks, slip, "Measure again.")
