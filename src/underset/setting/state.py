"""State of the vehicle on the lift after one step of a job: the judge's second input. In V, SI."""

from __future__ import annotations

from dataclasses import dataclass

from underset.statics import Item
from underset.units import G0

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Support:
    """A table, jack or stand pushing up with a force, N, at a place in V."""

    name: str
    place: Point
    force: float
    force_tol: float = 0.0
    kind: str = "stand"


@dataclass(frozen=True, slots=True)
class PushCase:
    """A horizontal or vertical push: force N, height above floor at ride height, direction.

    `direction` is a unit vector in V (x forward, y left, z up) or None for any horizontal one.
    `place` is where it acts, x and y in V; y is None where only the distance along is given, and
    the whole is None where nobody said.
    """

    label: str
    force: float
    up: float
    direction: tuple[float, float, float] | None
    place: tuple[float, float | None] | None = None


@dataclass(frozen=True, slots=True)
class State:
    """Ledger, supports, pushes, openings and lift height of one step.

    `lifted` is False before the lift takes the load and after it is all the way down; `parts_off`
    says whether a component is off that was taken off on the lift.
    """

    name: str
    label: str
    items: tuple[Item, ...]
    supports: tuple[Support, ...] = ()
    pushes: tuple[PushCase, ...] = ()
    doors: tuple[str, ...] = ()
    lids: tuple[str, ...] = ()
    seat: float | None = None
    tyre_clearance: float | None = None
    lifted: bool = True
    top: float | None = None
    moves_lift: bool = False
    parts_off: bool = False

    def supports_as_items(self) -> tuple[Item, ...]:
        """Pushes from below as masses that are not there: every ledger formula then holds."""
        return tuple(
            Item(s.name, -s.force / G0, s.force_tol / G0, (*s.place, 0.0)) for s in self.supports
        )
