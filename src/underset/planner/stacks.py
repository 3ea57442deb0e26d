"""Stacks: every path through matching interfaces that the shelf allows, and the four that level.

Both carriages move together, so at first touch all seats have one height z, and a stack of fixed
height h with screw travel t under a face at `up` asks for z in [up - h - t, up - h]. Order of
choice: fewest pieces, lowest stack, same kit left and right, least turning.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product

from underset.setting.evaluate import Case
from underset.setting.numbers import AdapterNumbers, PointNumbers, PointSetNumbers
from underset.setting.result import Setting
from underset.setting.stacks import fits


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


Known = dict[object, tuple[Stack, ...]]
"""Stacks already worked out for one case, by what of a point they depend on."""


def stacks_for(case: Case, point: PointNumbers, known: Known | None = None) -> tuple[Stack, ...]:
    """Every stack that the shelf, the lift and the point allow, fewest pieces first.

    `known` keeps them for other points of this case with the same contact and flange.
    """
    key = (point.contact, point.flange_thickness, point.flange_depth)
    if known is None:
        return _stacks_for(case, point)
    if key not in known:
        known[key] = _stacks_for(case, point)
    return known[key]


def _stacks_for(case: Case, point: PointNumbers) -> tuple[Stack, ...]:
    allowed = [t for t in case.shelf.types.values() if _allowed(case, t)]
    found = [
        Stack(tuple(t.id for t in path), sum(t.height for t in path), sum(t.travel for t in path))
        for path in _paths(case, allowed)
        if _may_fit(path, case.bay.interface, point)
    ]
    ordered = sorted(found, key=lambda s: (len(s.ids), s.fixed, s.ids))
    # The same spacers in another order stand no differently: one order of each is enough.
    kept = {(tuple(sorted(s.ids[:-1])), s.ids[-1]): s for s in reversed(ordered)}
    return tuple(s for s in ordered if kept[tuple(sorted(s.ids[:-1])), s.ids[-1]] is s)


def _may_fit(path: list[AdapterNumbers], interface: str, point: PointNumbers) -> bool:
    """Whether a stack fits as far as is known: what is not measured is the judge's to tell."""
    why = fits(path, interface, point, 0.0)
    return not why or why[0].startswith("?")


def _allowed(case: Case, t: AdapterNumbers) -> bool:
    """Pieces that may be used at all; the judge says the same of any setting."""
    special = case.vehicle.special_adapter
    if not t.maker_rated or t.count < 1 or (t.cradle and case.vehicle.battery is not False):
        return False
    if case.bay.approved and t.id not in case.bay.approved:
        return False
    return special in ("none", "not given") or t.role == "spacer" or t.id == special


def _paths(case: Case, allowed: list[AdapterNumbers]) -> Iterator[list[AdapterNumbers]]:
    most = round(case.policy["most_spacers"])
    grown: list[list[AdapterNumbers]] = [[]]
    while grown:
        path = grown.pop()
        face = path[-1].above if path else case.bay.interface
        if path and path[-1].role != "spacer":
            yield path
        grown += [[*path, t] for t in allowed if t.below == face and _may_follow(path, t, most)]


def _may_follow(path: list[AdapterNumbers], t: AdapterNumbers, most: int) -> bool:
    last = path[-1].role if path else "seat"
    if t.role == "spacer":
        return last in ("seat", "spacer") and len(path) < most
    return last in ("seat", "spacer") if t.role == "head" else last == "head"


@dataclass(frozen=True, slots=True)
class Ranged:
    """A stack under one point, and the seat heights at which its screw meets it."""

    stack: Stack
    low: float
    high: float


ByCorner = tuple[tuple[Ranged, ...], ...]


def feasible(case: Case, point: PointNumbers, known: Known | None = None) -> tuple[Ranged, ...]:
    """The stacks that can stand under a point at some seat height, fewest pieces first."""
    rows = []
    for s in stacks_for(case, point, known):
        low = max(point.up - s.fixed - s.travel, case.bay.seat_low)
        if case.bay.greatest_stack is not None:
            low = max(low, point.up - case.bay.greatest_stack)
        high = min(point.up - s.fixed, case.bay.seat_high)
        if low <= high + 1e-9:
            rows.append(Ranged(s, low, high))
    return tuple(rows)


def by_corners(case: Case, points: PointSetNumbers) -> ByCorner:
    """The stacks of each corner's point, in corner order."""
    known: Known = {}
    return tuple(feasible(case, p, known) for p in points.points)


def stack_choices(case: Case, points: PointSetNumbers, most: int = 6) -> tuple[StackChoice, ...]:
    """The first `most` ways to level the four pads, easiest first, at different seat heights."""
    chosen: list[StackChoice] = []
    seats: set[float] = set()
    by_corner = by_corners(case, points)
    for choice in level_choices(case, points, by_corner):
        for here in (choice, lowest(choice, points)):
            if round(here.seat, 2) not in seats:
                seats.add(round(here.seat, 2))
                chosen.append(here)
        if len(chosen) >= most:
            break
    return tuple(chosen[:most])


def level_choices(
    case: Case, points: PointSetNumbers, by_corner: ByCorner
) -> Iterator[StackChoice]:
    """Every way to level the four pads with these stacks, by rising number of pieces.

    Within one number those with like kits left and right come first, each by ease: a choice of
    unlike kits is easier only where the shelf is short of the lower one. Exact: none is skipped.
    """
    if not all(by_corner):
        return
    fronts, rears = _pairs(by_corner[0], by_corner[1]), _pairs(by_corner[2], by_corner[3])
    for pieces in sorted({a + b for a, b in product(fronts, rears)}):
        for like in (True, False):
            rows = [
                (front, rear)
                for a in fronts
                for front, rear in product(fronts[a], rears.get(pieces - a, ()))
                if (front.like and rear.like) is like
            ]
            found = [_choice(case, points, front, rear) for front, rear in rows]
            level = [c for c in found if c is not None]
            yield from sorted(level, key=lambda c: (c.key, [s.ids for s in c.stacks]))


@dataclass(frozen=True, slots=True)
class _Pair:
    """Left and right stacks of one end, and the seat heights that serve both."""

    stacks: tuple[Stack, Stack]
    low: float
    high: float

    @property
    def like(self) -> bool:
        return self.stacks[0].ids == self.stacks[1].ids


def _pairs(left: tuple[Ranged, ...], right: tuple[Ranged, ...]) -> dict[int, list[_Pair]]:
    """Left and right stacks with a common seat height, by number of pieces."""
    found: dict[int, list[_Pair]] = {}
    for a, b in product(left, right):
        low, high = max(a.low, b.low), min(a.high, b.high)
        if low <= high + 1e-9:
            pieces = len(a.stack.ids) + len(b.stack.ids)
            found.setdefault(pieces, []).append(_Pair((a.stack, b.stack), low, high))
    return found


def _choice(case: Case, points: PointSetNumbers, front: _Pair, rear: _Pair) -> StackChoice | None:
    low, high = max(front.low, rear.low), min(front.high, rear.high)
    stacks = (*front.stacks, *rear.stacks)
    if low > high + 1e-9 or not in_stock(case, stacks):
        return None
    # The seat stands a little below its highest so that a point lower than written can be met.
    seat = high - min(max(p.up_tol for p in points.points), (high - low) / 2)
    return StackChoice(seat, stacks, _screws(points, stacks, seat), low, high)


def lowest(choice: StackChoice, points: PointSetNumbers) -> StackChoice:
    """The choice with its seat as low as its screws allow, but for the same reserve."""
    return seated(choice, points, choice.seat_low, choice.seat) or choice


def seated(
    choice: StackChoice, points: PointSetNumbers, roomy: float, greatest: float
) -> StackChoice | None:
    """The choice with its seat as high as it likes but for `roomy`, and never over `greatest`.

    None where its screws cannot bring the seat down that far.
    """
    if choice.seat_low > greatest:
        return None
    reserve = choice.seat_high - choice.seat
    low = min(choice.seat_low + reserve, choice.seat)
    seat = min(choice.seat, max(low, roomy), greatest)
    screws = _screws(points, choice.stacks, seat)
    return StackChoice(seat, choice.stacks, screws, choice.seat_low, choice.seat_high)


def choice_of(case: Case, setting: Setting) -> StackChoice:
    """The stacks of a setting as the planner chooses them."""
    a, b, c, d = (_stack_of(case, arm.stack_ids) for arm in setting.arms)
    e, f, g, h = (arm.screw for arm in setting.arms)
    return StackChoice(setting.seat, (a, b, c, d), (e, f, g, h), setting.seat, setting.seat)


def _stack_of(case: Case, ids: tuple[str, ...]) -> Stack:
    types = [case.shelf.types[i] for i in ids]
    return Stack(ids, sum(t.height for t in types), sum(t.travel for t in types))


def _screws(
    points: PointSetNumbers, stacks: tuple[Stack, ...], seat: float
) -> tuple[float, float, float, float]:
    a, b, c, d = (
        min(max(p.up - seat - s.fixed, 0.0), s.travel)
        for p, s in zip(points.points, stacks, strict=True)
    )
    return a, b, c, d


def in_stock(case: Case, stacks: tuple[Stack, ...]) -> bool:
    """Whether the shelf holds every piece of the four stacks at once."""
    wanted = Counter(i for s in stacks for i in s.ids)
    return all(case.shelf.types[i].count >= n for i, n in wanted.items())
