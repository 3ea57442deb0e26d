"""Support polygon, margins, tipping, slipping, pushes and splits between the pads.

A horizontal push F at height h above the pads moves the resultant of the weight W by F h / W in its
direction; the vehicle tips when that leaves the support polygon. Directions are angles in rad
from +x toward +y; heights are m above the pads.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import asin, atan2, cos, hypot, inf, pi, sin, tan

from underset.errors import InputError
from underset.statics.kernels import Point, inside_margin
from underset.statics.padloads import Loads, Pads, load_forms, moment_loads

Polygon = tuple[Point, ...]


@dataclass(frozen=True, slots=True)
class Push:
    """A horizontal push: force in N, direction in rad from +x toward +y, and the pad it empties."""

    force: float
    direction: float
    pad: int


def hull(points: Sequence[Point]) -> Polygon:
    """Convex hull, counter-clockwise, without points in the line of others (monotone chain)."""
    ordered = sorted(set(points))
    if len(ordered) < 3:
        return tuple(ordered)
    lower, upper = _chain(ordered), _chain(ordered[::-1])
    return tuple(lower[:-1] + upper[:-1])


def margin(polygon: Sequence[Point], at: Point) -> float:
    """Distance of a point from the nearest edge of a convex counter-clockwise polygon, in m.

    Negative outside; a polygon of fewer than three corners has no inside, so 0 or less.
    """
    if len(polygon) < 1:
        raise InputError("support polygon", tuple(polygon), "needs at least one support")
    if len(polygon) >= 3:
        inside = inside_margin(polygon, at)
        if inside >= 0.0:
            return inside
    ends = zip(polygon, (*polygon[1:], polygon[0]), strict=True)
    return -min(_to_segment(at, p, q) for p, q in ends)


def edge_forms(polygon: Sequence[Point]) -> tuple[tuple[float, float, float], ...]:
    """(a, b, c) of each edge: a point (x, y) lies a + b x + c y metres inside its line."""
    forms: list[tuple[float, float, float]] = []
    for (px, py), (qx, qy) in zip(polygon, (*polygon[1:], polygon[0]), strict=True):
        length = hypot(qx - px, qy - py)
        b, c = -(qy - py) / length, (qx - px) / length
        forms.append((-b * px - c * py, b, c))
    return tuple(forms)


def tip_force(
    polygon: Sequence[Point],
    at: Point,
    weight: float,
    height: float,
    direction: float | None = None,
) -> float:
    """Least horizontal force in N at `height` above the pads that tips, in any or one direction.

    W m / h at the nearest edge, and W m_e / (h cos) for an edge met at an angle. inf where no
    push at that height can tip; 0 where the weight already stands on or outside the edge.
    """
    if margin(polygon, at) <= 0.0:
        return 0.0
    if height <= 0.0:
        return inf
    ux, uy = (0.0, 0.0) if direction is None else (cos(direction), sin(direction))
    least = inf
    for a, b, c in edge_forms(polygon):
        toward = 1.0 if direction is None else -(b * ux + c * uy)
        if toward > 1e-12:
            least = min(least, weight * (a + b * at[0] + c * at[1]) / (height * toward))
    return least


def lean_to_tip(polygon: Sequence[Point], at: Point, cg_height: float) -> float:
    """Angle in rad by which pads and vehicle together may lean before they tip: atan(m / h)."""
    if cg_height <= 0.0:
        raise InputError("CG height above the pads", cg_height, "must be more than 0 m")
    return atan2(margin(polygon, at), cg_height)


def slip_force(weight: float, friction: float) -> float:
    """Horizontal force in N at which the vehicle slides on its pads: friction times weight."""
    if not friction >= 0.0:
        raise InputError("friction", friction, "must be 0 or more")
    return weight * friction


def push_shift(
    pads: Pads,
    force: float,
    height: float,
    direction: float,
    stiffness: Sequence[float] | None = None,
) -> Loads:
    """Change of pad loads, N, under a horizontal push at `height` above the pads.

    The push moves F h from the pads it comes from to those it goes to: 225 N at 1.0 m over pads
    1.5 m apart moves 150 N from one side to the other.
    """
    turn = force * height
    return moment_loads(pads, turn * cos(direction), turn * sin(direction), stiffness)


def unload_push(
    pads: Pads, loads: Sequence[float], height: float, stiffness: Sequence[float] | None = None
) -> Push:
    """Least push in any direction, at `height` above the pads, that empties one pad.

    Exact: a pad's load is linear in the push, so its steepest direction is against its own
    gradient. Force inf (pad -1) at height 0.
    """
    best = Push(inf, 0.0, -1)
    forms = load_forms(pads, stiffness)
    for pad, (load, (_, b, c)) in enumerate(zip(loads, forms, strict=True)):
        slope = hypot(b, c) * abs(height)
        if slope > 0.0 and max(0.0, load) / slope < best.force:
            away = atan2(-c, -b) if height > 0.0 else atan2(c, b)
            best = Push(max(0.0, load) / slope, away % (2.0 * pi), pad)
    return best


def front_share(loads: Sequence[float]) -> float:
    """Part of the load of the first four supports that the two front pads carry."""
    carried = loads[0] + loads[1] + loads[2] + loads[3]
    if not carried > 0.0:
        raise InputError("pad loads", tuple(loads), "must add up to more than nothing")
    return (loads[0] + loads[1]) / carried


def split_limits(ratio: float) -> tuple[float, float]:
    """(least, greatest) front share for splits between `ratio`:1 and 1:`ratio`; 1.5 for 3:2."""
    if not ratio >= 1.0:
        raise InputError("split", ratio, "the larger part divided by the smaller is 1 or more")
    return 1.0 / (1.0 + ratio), ratio / (1.0 + ratio)


def cg_window(ratio: float, spacing: float) -> tuple[float, float]:
    """(nearest, farthest) CG behind the front pad line, m, that keeps a split."""
    least, greatest = split_limits(ratio)
    return spacing * (1.0 - greatest), spacing * (1.0 - least)


def cross_weight(loads: Sequence[float]) -> float:
    """Part of the load on the diagonal through the left front pad (LF + RR)."""
    carried = loads[0] + loads[1] + loads[2] + loads[3]
    if not carried > 0.0:
        raise InputError("pad loads", tuple(loads), "must add up to more than nothing")
    return (loads[0] + loads[3]) / carried


def cross_transfer(loads: Sequence[float]) -> float:
    """Transfer d that balances the diagonals of a rectangle: LF - d, RF + d, LR + d, RR - d."""
    return (loads[0] + loads[3] - loads[1] - loads[2]) / 4.0


def carriage_shift(difference: float, span: float, cg_height: float) -> tuple[float, float]:
    """(angle in rad, sideways shift in m) of a CG when the carriages differ in height.

    The vehicle rolls by asin(difference / span) about the pads, and a CG at `cg_height` above
    them moves toward the lower side by height times the tangent of that angle.
    """
    if not abs(difference) < span:
        raise InputError(
            "carriage height difference", difference, f"must be less than the span of {span} m"
        )
    angle = asin(difference / span)
    return angle, cg_height * tan(angle)


def _chain(ordered: Sequence[Point]) -> list[Point]:
    chain: list[Point] = []
    for point in ordered:
        while len(chain) >= 2 and _turn(chain[-2], chain[-1], point) <= 0.0:
            chain.pop()
        chain.append(point)
    return chain


def _turn(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _to_segment(at: Point, p: Point, q: Point) -> float:
    ex, ey = q[0] - p[0], q[1] - p[1]
    length = ex * ex + ey * ey
    along = 0.0 if length == 0.0 else ((at[0] - p[0]) * ex + (at[1] - p[1]) * ey) / length
    along = min(1.0, max(0.0, along))
    return hypot(at[0] - p[0] - along * ex, at[1] - p[1] - along * ey)
