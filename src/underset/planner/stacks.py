"""Stacks: every path through matching interfaces that the shelf allows, and the four that level.

Both carriages move together, so at first touch all seats have one height z, and a stack of fixed
height h with screw travel t under a face at `up` asks for z in [up - h - t, up - h]. Order of choice:
fewest pieces, lowest stack, same kit left and right, least turning.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product

from underset.setting.evaluate import Case
from underset.setting.numbers import AdapterNumbers, PointNumbers, PointSetNumbers
from underset.setting.placing import fits


@dataclass(frozen=True, slots=True)
class Stack:
    """A path of pieces from the seat up: fixed height and screw travel in m."""

    ids: tuple[str, ...]
    fixed: float
    travel: float


@dataclass(frozen=True, slots=True)
class StackChoice:
    """Four stacks, in corner order, with the seat height and screws that level their pads."""

    seat: float
    stacks: tuple[Stack, Stack, Stack, Stack]
    screws: tuple[float, float, float, float]
    seat_low: float
    seat_high: float

    @property
    def pieces(self) -> int:
        """Pieces in all."""
        return sum(len(s.ids) for s in self.stacks)

    @property
    def key(self) -> tuple[float, ...]:
        """Ease: fewest pieces, lowest stack, same kit left and right, least turning."""
        lf, rf, lr, rr = self.stacks
        unlike = (lf.ids != rf.ids) + (lr.ids != rr.ids)
        tallest = max(s.fixed + x for s, x in zip(self.stacks, self.screws, strict=True))
        return (self.pieces, round(tallest, 6), unlike, round(sum(self.screws), 6))


def stacks_for(case: Case, point: PointNumbers) -> tuple[Stack, ...]:
    """Every stack that the shelf, the lift and the point allow, fewest pieces first."""
    allowed = [t for t in case.shelf.types.values() if _allowed(case, t)]
    found = [
        Stack(tuple(t.id for t in path), sum(t.height for t in path), sum(t.travel for t in path))
        for path in _paths(case, allowed)
        if not fits(path, case.bay.interface, point, 0.0)
    ]
    return tuple(sorted(found, key=lambda s: (len(s.ids), s.fixed, s.ids)))


def _allowed(case: Case, t: AdapterNumbers) -> bool:
    """Pieces that may be used at all; the judge says the same of any setting."""
    special = case.vehicle.special_adapter
    if not t.maker_rated or t.count < 1 or (t.cradle and case.vehicle.battery is not False):
        return False
    if case.bay.approved and t.id not in case.bay.approved:
        return False
    return special in ("none", "not given") or t.role == "spacer" or t.id == special


def _paths(case: Case, allowed: list[AdapterNumbers]) -> Iterator[list[AdapterNumbers]]:
    most = int(round(case.policy["most_spacers"]))
    grown: list[list[AdapterNumbers]] = [[]]
    while grown:
        path = grown.pop()
        face = path[-1].above if path else case.bay.interface
        if path and path[-1].role != "spacer":
            yield path
        for t in allowed:
            if t.below == face and _may_follow(path, t, most):
                grown.append([*path, t])


def _may_follow(path: list[AdapterNumbers], t: AdapterNumbers, most: int) -> bool:
    last = path[-1].role if path else "seat"
    if t.role == "spacer":
        return last in ("seat", "spacer") and len(path) < most
    return last in ("seat", "spacer") if t.role == "head" else last == "head"


def stack_choices(case: Case, points: PointSetNumbers, most: int = 6) -> tuple[StackChoice, ...]:
    """The first `most` ways to level the four pads, easiest first, at different seat heights."""
    by_corner = [_feasible(case, p) for p in points.points]
    if not all(by_corner):
        return ()
    chosen: list[StackChoice] = []
    seats: set[float] = set()
    for choice in _in_order(case, points, by_corner):
        seat = round(choice.seat, 2)
        if seat not in seats:
            seats.add(seat)
            chosen.append(choice)
        if len(chosen) >= most:
            break
    return tuple(chosen)


_Ranged = tuple[Stack, float, float]


def _feasible(case: Case, point: PointNumbers) -> list[_Ranged]:
    rows = []
    for s in stacks_for(case, point):
        low = max(point.up - s.fixed - s.travel, case.bay.seat_low)
        if case.bay.greatest_stack is not None:
            low = max(low, point.up - case.bay.greatest_stack)
        high = min(point.up - s.fixed, case.bay.seat_high)
        if low <= high + 1e-9:
            rows.append((s, low, high))
    return rows


def _in_order(
    case: Case, points: PointSetNumbers, by_corner: list[list[_Ranged]]
) -> Iterator[StackChoice]:
    """Choices by rising number of pieces; within one number by ease. Exact: nothing is skipped."""
    fronts, rears = _pairs(by_corner[0], by_corner[1]), _pairs(by_corner[2], by_corner[3])
    for pieces in sorted({a + b for a, b in product(fronts, rears)}):
        level: list[StackChoice] = []
        for a in fronts:
            for front, rear in product(fronts[a], rears.get(pieces - a, ())):
                level.extend(_choices(case, points, (*front[0], *rear[0]), front, rear))
        yield from sorted(level, key=lambda c: (c.key, [s.ids for s in c.stacks]))


_Pair = tuple[tuple[Stack, Stack], float, float]


def _pairs(left: list[_Ranged], right: list[_Ranged]) -> dict[int, list[_Pair]]:
    """Left and right stacks with a common seat height, by number of pieces."""
    found: dict[int, list[_Pair]] = {}
    for (a, low_a, high_a), (b, low_b, high_b) in product(left, right):
        low, high = max(low_a, low_b), min(high_a, high_b)
        if low <= high + 1e-9:
            found.setdefault(len(a.ids) + len(b.ids), []).append(((a, b), low, high))
    return found


def _choices(
    case: Case, points: PointSetNumbers, stacks: tuple[Stack, ...], front: _Pair, rear: _Pair
) -> Iterator[StackChoice]:
    low, high = max(front[1], rear[1]), min(front[2], rear[2])
    if low > high + 1e-9 or not in_stock(case, stacks):
        return
    # The seat stands a little below its highest so that a point lower than written can be met.
    reserve = min(max(p.up_tol for p in points.points), (high - low) / 2)
    for seat in sorted({high - reserve, low + reserve}, reverse=True):
        screws = tuple(
            min(max(p.up - seat - s.fixed, 0.0), s.travel)
            for p, s in zip(points.points, stacks, strict=True)
        )
        yield StackChoice(seat, stacks, screws, low, high)  # type: ignore[arg-type]


def in_stock(case: Case, stacks: tuple[Stack, ...]) -> bool:
    """Whether the shelf holds every piece of the four stacks at once."""
    wanted = Counter(i for s in stacks for i in s.ids)
    return all(case.shelf.types[i].count >= n for i, n in wanted.items())
