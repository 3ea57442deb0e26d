"""The judge's demands on one state as straight lines in the load F of a stand at (x, y) in V.

Each is free + F (push + along x + across y) >= 0 at the worst corner of the ledger: a stand takes
F off the weight, F x and F y off its moments, and the judge's ranges are sums over the ledger.
Sliding and the step's own pushes are not linear in F; the judge looks at them afterwards.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import hypot, inf

from underset.setting import loads
from underset.setting.evaluate import Case
from underset.setting.loads import Footing
from underset.setting.result import CORNERS
from underset.setting.stand_loads import STAND
from underset.setting.state import State
from underset.statics import Demand, Item, sum_range, total
from underset.units import G0

Form = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class _Borne:
    """A state without its stands: ledger with tables, greatest weight (N), shift of the CG (m).

    What the shift moves is not less for what a stand takes: the whole vehicle leans.
    """

    items: tuple[Item, ...]
    weight: float
    shift: tuple[float, float]


def demands_on(state: State, foot: Footing, case: Case) -> Iterator[Demand]:
    """Every demand of the judge that is linear in a stand's load."""
    items = state.items + tuple(
        i for s, i in zip(state.supports, state.supports_as_items(), strict=True) if s.kind != STAND
    )
    carried = total(items)
    shift = loads.shift_of(total(state.items), carried, foot)
    borne = _Borne(items, G0 * carried.mass_high, shift)
    yield from _least_loads(borne, foot, case)
    yield from _greatest_loads(borne, foot)
    yield from _split(borne, foot, case)
    yield from _edges(borne, foot, case)


def _low(borne: _Borne, form: Form) -> float:
    return G0 * sum_range(borne.items, (*form, 0.0))[0]


def _high(borne: _Borne, form: Form) -> float:
    return G0 * sum_range(borne.items, (*form, 0.0))[2]


def _least_loads(borne: _Borne, foot: Footing, case: Case) -> Iterator[Demand]:
    """Each pad keeps its least share of the weight, and stays on under a person's push."""
    share, (wanted, height) = case.policy["least_pad_stop"], _push(foot, case)
    for name, (a, b, c), n in zip(CORNERS, foot.forms, foot.pattern, strict=True):
        wobble = loads.moved(b, c, borne.shift)
        low = _low(borne, (a, b, c)) - foot.warp * abs(n) - borne.weight * wobble
        yield Demand(f"least load of {name}", low - share * borne.weight, share - a, -b, -c)
        pushed = wanted * hypot(b, c) * height
        yield Demand(f"a person's push at {name}", low - pushed, -a, -b, -c)


def _greatest_loads(borne: _Borne, foot: Footing) -> Iterator[Demand]:
    """No arm, piece or lifting point carries more than its limit."""
    points = [inf if limit is None else limit for limit in foot.point_limits]
    limits = map(min, foot.arm_limits, foot.ratings, points)
    for name, (a, b, c), n, limit in zip(CORNERS, foot.forms, foot.pattern, limits, strict=True):
        if limit < inf:
            wobble = loads.moved(b, c, borne.shift)
            high = _high(borne, (a, b, c)) + foot.warp * abs(n) + borne.weight * wobble
            yield Demand(f"load limit of {name}", limit - high, a, b, c)


def _split(borne: _Borne, foot: Footing, case: Case) -> Iterator[Demand]:
    """The front pads' share stays within the permitted split, as a sum over the ledger."""
    (a1, b1, c1), (a2, b2, c2) = foot.forms[:2]
    a, b, c = a1 + a2, b1 + b2, c1 + c2
    limit = loads.split_limit(case.bay, case.policy)[0]
    least, room = 1.0 - limit, borne.weight * loads.moved(b, c, borne.shift)
    room += foot.warp * abs(foot.pattern[0] + foot.pattern[1])
    yield Demand("greatest front share", -_high(borne, (a - limit, b, c)) - room, a - limit, b, c)
    yield Demand("least front share", _low(borne, (a - least, b, c)) - room, least - a, -b, -c)


def _edges(borne: _Borne, foot: Footing, case: Case) -> Iterator[Demand]:
    """The weight stays inside the pads, and does not tip under a person's push."""
    stop, (wanted, height) = case.policy["edge_stop"], _push(foot, case)
    for number, (a, b, c) in enumerate(foot.edges):
        wobble = borne.weight * loads.moved(b, c, borne.shift)
        inside = _low(borne, (a - stop, b, c)) - wobble
        yield Demand(f"edge {number + 1}", inside, stop - a, -b, -c)
        if height > 0.0:
            low = _low(borne, (a, b, c)) - wobble - wanted * height
            yield Demand(f"tipping over edge {number + 1}", low, -a, -b, -c)


def _push(foot: Footing, case: Case) -> tuple[float, float]:
    """A person's push with its factor, N, and its height above the pads, m; 0 if not known."""
    wanted = case.policy["push_force"] * case.policy["push_factor"]
    if case.vehicle.roof is None:
        return wanted, 0.0
    return wanted, max(0.0, foot.above(case.vehicle.roof), foot.above(case.vehicle.sill or 0.0))
