"""Spot windows: exact intervals of stopping places for one arm, and for four arms together."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from underset.geometry import kernels
from underset.geometry.intervals import Interval, intersect, union
from underset.geometry.linkage import Arm, Restraint, Teeth, Zone, tooth_swings

if TYPE_CHECKING:
    from underset.geometry.poses import Point

TeethInUse = tuple[int | None, ...]
"""Teeth of one arm that work, in rising order; a free arm shows (None,)."""


@dataclass(frozen=True, slots=True)
class ArmWindow:
    """Closed interval of spots for one arm on one tooth; tooth and swing are None if it is free."""

    low: float
    high: float
    tooth: int | None
    swing: float | None


@dataclass(frozen=True, slots=True)
class Piece:
    """Part of a spot window in which the same teeth work throughout, one tuple for each arm."""

    low: float
    high: float
    teeth_by_arm: tuple[TeethInUse, ...]


@dataclass(frozen=True, slots=True)
class SpotWindow:
    """Greatest closed interval of spots in which every arm has at least one tooth."""

    low: float
    high: float
    pieces: tuple[Piece, ...]


def arm_windows(
    arm: Arm, restraint: Restraint, point_at_zero: Point, zone: Zone
) -> tuple[ArmWindow, ...]:
    """Spots s at which the pad can stand within the zone about (point_at_zero.x + s, .y).

    Exact. With teeth one closed interval for each tooth that works, in the order of the teeth.
    Free: the arm's sector cut by the zone's band and carried to x, in rising order.
    """
    numbers, size = arm.numbers(), (zone.along, zone.across)
    if not isinstance(restraint, Teeth):
        found = union(kernels.sector_windows(numbers, point_at_zero, size))
        return tuple([ArmWindow(low, high, None, None) for low, high in found])
    windows = []
    for tooth, swing in tooth_swings(arm, restraint):
        low, high = kernels.tooth_window(numbers, swing, point_at_zero, size)
        if low <= high:
            windows.append(ArmWindow(low, high, tooth, swing))
    return tuple(windows)


def spot_windows(
    arms: tuple[tuple[ArmWindow, ...], ...], limits: tuple[Interval, ...]
) -> tuple[SpotWindow, ...]:
    """Greatest closed intervals within the limits where every arm has at least one tooth.

    `limits` is a list of closed intervals whose union is allowed. Each window is split into pieces
    at every change of the set of usable teeth; a spot on a split belongs to both pieces.
    """
    shared = union(limits)
    for windows in arms:
        shared = intersect(shared, union([(w.low, w.high) for w in windows]))
    return tuple([SpotWindow(low, high, _pieces(arms, low, high)) for low, high in shared])


def _pieces(arms: tuple[tuple[ArmWindow, ...], ...], low: float, high: float) -> tuple[Piece, ...]:
    """Split [low, high] where a tooth of any arm begins or ends, and join equal neighbours."""
    inside = [[w for w in windows if w.low <= high and w.high >= low] for windows in arms]
    cuts = {low, high}
    for windows in inside:
        for w in windows:
            cuts.update(x for x in (w.low, w.high) if low < x < high)
    ends = sorted(cuts)
    pieces: list[Piece] = []
    for a, b in zip(ends, ends[1:] or ends, strict=False):
        teeth = tuple([tuple([w.tooth for w in ws if w.low <= a and w.high >= b]) for ws in inside])
        if pieces and pieces[-1].teeth_by_arm == teeth:
            pieces[-1] = Piece(pieces[-1].low, b, teeth)
        else:
            pieces.append(Piece(a, b, teeth))
    return tuple(pieces)
