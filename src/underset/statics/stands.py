"""A push up under the vehicle: table, jack or support stand, and the parts that come off.

Pad loads are linear in a push P at (x, y) and in P x and P y, so every demand on them is one
straight line in P for a fixed place, and one half-plane of places for a fixed P. Ranges of
preload and regions of places are therefore exact.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf

from underset.errors import InputError
from underset.statics.kernels import Point
from underset.statics.padloads import Pads, load_forms
from underset.statics.support import Polygon, edge_forms, hull

SLACK = 1e-9  # N or N m of rounding that breaks no demand


@dataclass(frozen=True, slots=True)
class StandLimits:
    """What every pad state must keep while a stand pushes.

    least_share: least part of the remaining weight on each pad; pad_limits: greatest load of each
    pad in N; front_share: (least, greatest) part of the remaining weight on the front pads;
    margin: least distance in m of the remaining weight from each edge of the pads' polygon.
    None leaves a demand out.
    """

    least_share: float | None = None
    pad_limits: Sequence[float] | None = None
    front_share: tuple[float, float] | None = None
    margin: float | None = None


@dataclass(frozen=True, slots=True)
class Demand:
    """One demand: free + P (push + along x + across y) must not be negative."""

    name: str
    free: float
    push: float
    along: float
    across: float


@dataclass(frozen=True, slots=True)
class Preload:
    """Closed interval of preloads in N that meets every demand, and the demand at each end."""

    low: float
    high: float
    low_by: str
    high_by: str


@dataclass(frozen=True, slots=True)
class Clash:
    """No preload meets every demand: one demand needs at least `needed` N, the other at most
    `allowed` N. A demand that no preload can meet stands alone, with needed = inf.
    """

    needed: float
    allowed: float
    needed_by: str
    allowed_by: str


@dataclass(frozen=True, slots=True)
class Removable:
    """Weight in N that may come off at one place before a limit is met; None where it never is.

    `to_split`: until the front share leaves its limits; `to_empty`: until `pad` carries nothing.
    """

    to_split: float | None
    to_empty: float | None
    pad: int | None


def stand_rise(
    supports: Pads, weight: float, at: Point, stiffness: Sequence[float], preload: float
) -> float:
    """Height in m over the pads' level to which the last support is set to take `preload` N.

    Holds while every pad carries load. With this height in `contact_loads`, later states show what
    the stand then carries: it does not keep its preload when weight comes off.
    """
    a, b, c = load_forms(supports, stiffness)[-1]
    x, y = supports[-1]
    resting = weight * (a + b * at[0] + c * at[1])
    return (preload - resting) / (stiffness[-1] * (1.0 - a - b * x - c * y))


def stand_demands(
    pads: Pads,
    weight: float,
    at: Point,
    limits: StandLimits,
    stiffness: Sequence[float] | None = None,
) -> tuple[Demand, ...]:
    """Every demand of `limits` on one state of weight (N) and CG, as lines in the push.

    Concatenate the demands of several states or corners to find what serves all of them.
    """
    forms = load_forms(pads, stiffness)
    state = (weight, weight * at[0], weight * at[1])
    demands = [_demand("weight left on the pads", state, (1.0, 0.0, 0.0))]
    if limits.least_share is not None:
        share = limits.least_share
        for name, (a, b, c) in _named("least load", forms):
            demands.append(_demand(name, state, (a - share, b, c)))
    if limits.pad_limits is not None:
        for (name, (a, b, c)), limit in zip(
            _named("load limit", forms), limits.pad_limits, strict=True
        ):
            demands.append(_demand(name, state, (-a, -b, -c), limit))
    if limits.front_share is not None:
        demands += _split_demands(forms, state, limits.front_share)
    if limits.margin is not None:
        for (a, b, c), name in _edges(pads):
            demands.append(_demand(name, state, (a - limits.margin, b, c)))
    return tuple(demands)


def preload_range(
    demands: Sequence[Demand], place: Point, greatest: float = inf
) -> Preload | Clash:
    """All preloads from 0 to `greatest` N at `place` that meet every demand, or why none does."""
    low, high, low_by, high_by = 0.0, greatest, "no push", "greatest push"
    for demand in demands:
        slope = demand.push + demand.along * place[0] + demand.across * place[1]
        if abs(slope) <= 1e-12:
            if demand.free < -SLACK:
                return Clash(inf, high, demand.name, high_by)
            continue
        bound = -demand.free / slope
        if slope > 0.0 and bound > low:
            low, low_by = bound, demand.name
        if slope < 0.0 and bound < high:
            high, high_by = bound, demand.name
    if low > high:
        return Clash(low, high, low_by, high_by)
    return Preload(low, high, low_by, high_by)


def place_region(demands: Sequence[Demand], preload: float, area: Polygon) -> Polygon:
    """The part of a convex area where a stand of this preload in N meets every demand.

    Empty where no place does. Each demand cuts the area along one straight line.
    """
    region = list(area)
    for demand in demands:
        rise = (
            demand.free + preload * demand.push,
            preload * demand.along,
            preload * demand.across,
        )
        region = _cut(region, rise)
    return tuple(region)


def removable(
    pads: Pads,
    weight: float,
    at: Point,
    place: Point,
    front_limits: tuple[float, float] | None = None,
    stiffness: Sequence[float] | None = None,
) -> Removable:
    """How much weight in N may come off at `place` before the split or a pad's contact is lost.

    0 where the limit is broken already. Weight taken off acts like a push up at that place.
    """
    to_split: float | None = None
    if front_limits is not None:
        state = (weight, weight * at[0], weight * at[1])
        forms = load_forms(pads, stiffness)
        split = _split_demands(forms, state, front_limits)
        to_split = _first_broken(split, place, weight)[0]
    empty = stand_demands(pads, weight, at, StandLimits(least_share=0.0), stiffness)[1:]
    to_empty, pad = _first_broken(empty, place, weight)
    return Removable(to_split, to_empty, pad)


def _first_broken(
    demands: Sequence[Demand], place: Point, weight: float
) -> tuple[float | None, int | None]:
    """Least push below the whole weight at which a demand breaks, and its index."""
    best: tuple[float | None, int | None] = (None, None)
    least = weight * (1.0 - 1e-9)
    for i, demand in enumerate(demands):
        slope = demand.push + demand.along * place[0] + demand.across * place[1]
        if demand.free < -SLACK:
            return 0.0, i
        if slope < 0.0 and -demand.free / slope < least:
            least = max(0.0, -demand.free / slope)
            best = (least, i)
    return best


def _demand(
    name: str,
    state: tuple[float, float, float],
    form: tuple[float, float, float],
    offset: float = 0.0,
) -> Demand:
    """Demand offset + form . (W - P, W x - P x_P, W y - P y_P) >= 0."""
    a, b, c = form
    return Demand(name, offset + a * state[0] + b * state[1] + c * state[2], -a, -b, -c)


def _split_demands(
    forms: Sequence[tuple[float, float, float]],
    state: tuple[float, float, float],
    share: tuple[float, float],
) -> list[Demand]:
    least, greatest = share
    if not 0.0 <= least <= greatest <= 1.0:
        raise InputError("front share limits", share, "two parts of 1, the smaller first")
    a, b, c = (forms[0][j] + forms[1][j] for j in (0, 1, 2))
    return [
        _demand("least front share", state, (a - least, b, c)),
        _demand("greatest front share", state, (greatest - a, -b, -c)),
    ]


def _named(
    what: str, forms: Sequence[tuple[float, float, float]]
) -> list[tuple[str, tuple[float, float, float]]]:
    return [(f"{what} of {_pad_name(i)}", form) for i, form in enumerate(forms)]


def _pad_name(index: int) -> str:
    corners = ("LF", "RF", "LR", "RR")
    return corners[index] if index < 4 else f"support {index + 1}"


def _edges(pads: Pads) -> list[tuple[tuple[float, float, float], str]]:
    polygon = hull(pads)
    if len(polygon) < 3:
        raise InputError("pads", tuple(pads), "must not all stand in one line")
    names = [_pad_name(list(pads).index(corner)) for corner in polygon]
    nexts = (*names[1:], names[0])
    forms = edge_forms(polygon)
    return [
        (form, f"margin to edge {p}-{q}") for form, p, q in zip(forms, names, nexts, strict=True)
    ]


def _cut(region: list[Point], form: tuple[float, float, float]) -> list[Point]:
    """The part of a convex region where a + b x + c y >= 0."""
    a, b, c = form
    kept: list[Point] = []
    for i, (qx, qy) in enumerate(region):
        px, py = region[i - 1]
        before, here = a + b * px + c * py, a + b * qx + c * qy
        if (before >= 0.0) != (here >= 0.0):
            part = before / (before - here)
            kept.append((px + part * (qx - px), py + part * (qy - py)))
        if here >= 0.0:
            kept.append((qx, qy))
    return kept
