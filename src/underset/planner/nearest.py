"""Why no candidate arose at all, and by how much: the nearest miss of reach, stack or balance."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import TYPE_CHECKING, Final

from underset.geometry import Arm, Restraint, Zone, arm_windows, intersect, union
from underset.planner.candidates import REACHABLE, cg_limits
from underset.planner.stacks import by_corners, feasible, level_choices, stacks_for
from underset.setting.checks import at_least, at_most, not_known, yes
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
    from underset.planner.stacks import StackChoice
    from underset.setting.evaluate import Case
    from underset.setting.numbers import AdapterNumbers, PointSetNumbers

FAR = 2.0  # m: misses beyond this are told as "more than"


def refusal_without_candidate(
    approach: Approach, has_stacks: bool, has_windows: bool
) -> Iterator[Check]:
    """The checks that refused an approach before any setting could be made."""
    if not has_windows:
        yield _window_miss(approach)
    if not has_stacks:
        miss, barred = _stack_miss(approach), tuple(_barred(approach))
        if all(check.name != miss.name for check in barred):
            yield miss
        yield from barred


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


# --- pieces that are there and may not be used ---------------------------------------------------


def _barred(approach: Approach) -> Iterator[Check]:
    """The rules each of which alone keeps the shelf from four stacks that stand level."""
    case, points = approach.case, approach.points
    for name, without in _RULES.items():
        lifted = without(case)
        by_corner = by_corners(lifted, points)
        choice = next(level_choices(lifted, points, by_corner), None) if lifted != case else None
        if choice is not None:
            yield _told(name, case, points, choice)


def _told(name: str, case: Case, points: PointSetNumbers, choice: StackChoice) -> Check:
    """What the rule says of four stacks that stand only without it."""
    if name == "stack_height":
        tallest, corner = max((p.up - choice.seat, p.corner) for p in points.points)
        return at_most(name, tallest, case.bay.greatest_stack or 0.0, where=corner)
    used = Counter(i for s in choice.stacks for i in s.ids)
    types = case.shelf.types
    if name == "stack_stock":
        bad = [types[i].label for i, wanted in used.items() if wanted > types[i].count]
        return yes(name, ok=False, note=("out of service", ", ".join(bad)))
    if name == "cradle_battery":
        if case.vehicle.battery is None:
            return not_known(name, "propulsion not given")
        return yes(name, ok=False, note=("cradle under a battery vehicle",))
    bad = [types[i].label for i in used if _BARS[name](case, types[i])]
    return yes(name, ok=False, note=(name, ", ".join(bad)))


_BARS: Final[dict[str, Callable[[Case, AdapterNumbers], bool]]] = {
    "maker_rated": lambda case, t: not t.maker_rated,
    "approved": lambda case, t: bool(case.bay.approved) and t.id not in case.bay.approved,
}


def _with_types(case: Case, **changed: Callable[[AdapterNumbers], object]) -> Case:
    types = {
        name: replace(t, **{field: make(t) for field, make in changed.items()})  # type: ignore[arg-type]
        for name, t in case.shelf.types.items()
    }
    return replace(case, shelf=replace(case.shelf, types=types))


_RULES: Final[dict[str, Callable[[Case], Case]]] = {
    "maker_rated": lambda case: _with_types(case, maker_rated=lambda t: True),
    "approved": lambda case: replace(case, bay=replace(case.bay, approved=())),
    "cradle_battery": lambda case: _with_types(case, cradle=lambda t: False),
    "stack_stock": lambda case: _with_types(case, count=lambda t: t.count + t.out_of_service),
    "stack_height": lambda case: replace(case, bay=replace(case.bay, greatest_stack=None)),
}
"""By check: the case as it would be without the rule."""
