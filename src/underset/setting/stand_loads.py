"""What a support stand takes as a job goes on: it does not keep the preload it was set with.

A stand on the floor is one more spring under the vehicle. When weight comes off or on, a soft stand
keeps its preload P, a rigid one takes P + d / c: d is how far the body would settle at its place
without it, c what it settles there under one newton, both over equal pad springs k = 1. The load of
a stand of any stiffness lies between the two, because it grows or falls steadily with stiffness.
Source: one redundant support by the force method, statics handbooks; reciprocity (Maxwell, Betti).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from underset.setting.state import State, Support
from underset.statics import Item
from underset.units import G0

Point = tuple[float, float]
Form = tuple[float, float, float]
STAND = "stand"


def with_stand_loads(states: Sequence[State], forms: Sequence[Form]) -> tuple[State, ...]:
    """The states with each stand's force as it then is: middle of its range, and half the range.

    `forms` are the pads' shares of a unit weight (`statics.load_forms`). Decision: with several
    stands each is followed by itself, the others keeping their preloads.
    """
    set_in: dict[str, State] = {}
    followed = []
    for state in states:
        stands = [s for s in state.supports if s.kind == STAND]
        set_in = {s.name: set_in.get(s.name, state) for s in stands}
        if stands:
            loaded = tuple(_loaded(s, set_in, state, forms) for s in state.supports)
            state = replace(state, supports=loaded)
        followed.append(state)
    return tuple(followed)


def _loaded(
    support: Support, set_in: dict[str, State], state: State, forms: Sequence[Form]
) -> Support:
    if support.kind != STAND:
        return support
    more_low, more_high = load_change(set_in[support.name], state, support.place, forms)
    low = max(0.0, support.force - support.force_tol + more_low)
    high = max(0.0, support.force + support.force_tol + more_high)
    return replace(support, force=(low + high) / 2, force_tol=(high - low) / 2)


def load_change(
    earlier: State, later: State, place: Point, forms: Sequence[Form]
) -> tuple[float, float]:
    """Least and greatest change, N, of a stand's load at `place` in V between two states."""
    x, y = place
    shares = [a + b * x + c * y for a, b, c in forms]
    give = sum(s * s for s in shares)
    a, b, c = (sum(s * f[k] for s, f in zip(shares, forms, strict=True)) for k in range(3))
    low = high = 0.0
    for sign, item in _changes(earlier, later):
        least, most = _span(item, (a, b, c))
        low += min(sign * least, sign * most)
        high += max(sign * least, sign * most)
    return min(0.0, G0 * low / give), max(0.0, G0 * high / give)


def _changes(earlier: State, later: State) -> Iterable[tuple[float, Item]]:
    """Entries that came (+1) and went (-1): masses, and tables pushing up; stands left aside."""
    before, after = _entries(earlier), _entries(later)
    yield from ((1.0, i) for i in after if i not in before)
    yield from ((-1.0, i) for i in before if i not in after)


def _entries(state: State) -> tuple[Item, ...]:
    tables = replace(state, supports=tuple(s for s in state.supports if s.kind != STAND))
    return (*state.items, *tables.supports_as_items())


def _span(item: Item, form: Form) -> tuple[float, float]:
    """Least and greatest mass times an affine function of place, over an entry's tolerances."""
    a, b, c = form
    value = a + b * item.place[0] + c * item.place[1]
    tol = abs(b) * item.place_tol[0] + abs(c) * item.place_tol[1]
    corners = [
        mass * at
        for mass in (item.mass - item.mass_tol, item.mass + item.mass_tol)
        for at in (value - tol, value + tol)
    ]
    return min(corners), max(corners)
