"""Why no candidate arose at all, and by how much: the nearest miss of reach, stack or balance."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from underset.geometry import Arm, Restraint, Zone, arm_windows, intersect, union
from underset.planner.candidates import REACHABLE, cg_limits
from underset.planner.stacks import feasible, stacks_for
from underset.setting.checks import at_least, yes
from underset.setting.place import (
    Stop,
    restraint_of,
    served_by,
    under,
    windows,
    windows_by_corner,
)
from underset.setting.result import Check

if TYPE_CHECKING:
    from underset.planner.candidates import Approach

FAR = 2.0  # m: misses beyond this are told as "more than"


def refusal_without_candidate(
    approach: Approach, has_stacks: bool, has_windows: bool
) -> Iterator[Check]:
    """The checks that refused an approach before any setting could be made."""
    if not has_windows:
        yield _window_miss(approach)
    if not has_stacks:
        yield _stack_miss(approach)


def _window_miss(approach: Approach) -> Check:
    bay, points, heading = approach.case.bay, approach.points, approach.heading
    here = windows(bay, points, heading, (REACHABLE,))
    if here:
        low, high = cg_limits(approach.case, heading)
        miss = max(low - high, min(_apart(w.low, w.high, low, high) for w in here), 1e-6)
        return at_least("cg_window", -miss, 0.0, note=("balance outside every window",))
    alone = windows_by_corner(bay, points, Stop(heading, 0.0))
    corner = next((p.corner for p, w in zip(points.points, alone, strict=True) if not w), "")
    return at_least("arm_reach", -reach_miss(approach), 0.0, where=corner, note=("no common spot",))


def _apart(low: float, high: float, other_low: float, other_high: float) -> float:
    return max(other_low - high, low - other_high, 0.0)


_Under = tuple[Arm, tuple[float, float], Zone]
"""An arm, the point it serves at spot zero, and the point's zone."""


def reach_miss(approach: Approach) -> float:
    """Least growth of every usable zone, m, that would give a spot (bisection to 0.5 mm).

    A tooth that does not reach a grown zone reaches no smaller one, so it is not asked again.
    """
    bay, at_zero = approach.case.bay, Stop(approach.heading, 0.0)
    restraint, served = restraint_of(bay), served_by(approach.heading)
    rows: list[_Under] = [
        (*under(bay, i, p, at_zero), p.zone)
        for i, p in zip(served, approach.points.points, strict=True)
    ]
    low, high = 0.0, FAR
    while high - low > 0.0005:
        middle = (low + high) / 2
        found = _reached(rows, restraint, middle)
        if found is None:
            low = middle
        else:
            rows, high = found, middle
    return high


def _reached(rows: list[_Under], restraint: Restraint, by: float) -> list[_Under] | None:
    """The arms with only those teeth that reach their grown zones; None without a common spot."""
    shared: tuple[tuple[float, float], ...] = (REACHABLE,)
    left = []
    for arm, at, zone in rows:
        here = arm_windows(arm, restraint, at, Zone(zone.along + by, zone.across + by))
        shared = intersect(shared, union([(w.low, w.high) for w in here]))
        if not shared:
            return None
        swings = [w.swing for w in here if w.swing is not None]
        kept = replace(arm, swing_low=swings[0], swing_high=swings[-1]) if swings else arm
        left.append((kept, at, zone))
    return left


def _stack_miss(approach: Approach) -> Check:
    """Which contact no stack serves, or how far the stacks miss a common seat height."""
    for p in approach.points.points:
        if not stacks_for(approach.case, p):
            return yes("stack_fit", ok=False, where=p.corner, note=("nothing serves", p.contact))
    for p in approach.points.points:
        if not feasible(approach.case, p):
            return at_least("seat_height", -_height_miss(approach), 0.0, where=p.corner,
                            note=("no stack of this height",))  # fmt: skip
    return yes("stack_stock", ok=False, note=("no four stacks together",))


def _height_miss(approach: Approach) -> float:
    bay, worst = approach.case.bay, 0.0
    for p in approach.points.points:
        misses = []
        for s in stacks_for(approach.case, p):
            too_low = bay.seat_low - (p.up - s.fixed)
            too_high = (p.up - s.fixed - s.travel) - bay.seat_high
            tallest = bay.greatest_stack
            over = 0.0 if tallest is None else s.fixed - tallest
            misses.append(max(too_low, too_high, over, 0.0))
        worst = max(worst, min(misses))
    return worst
