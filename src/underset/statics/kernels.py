"""The inner arithmetic of statics: plain functions on floats and tuples of floats.

A batch engine compiles these very functions, so they use no dicts, records, exceptions or
type tests. What cannot be solved comes back as NaN, or as a mask of -1.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import hypot, nan

Point = tuple[float, float]

FLAT = 1e-12  # least ratio of the two second moments of a pad layout that still is a plane
SLACK = 1e-10  # part of the mean compression within which a pad counts as just touching


def layout(
    pads: Sequence[Point], stiffness: Sequence[float], mask: int
) -> tuple[float, float, float, float, float, float]:
    """(K, x, y, ixx, ixy, iyy) of the springs in `mask`.

    K is the sum of stiffness and (x, y) its centre; ixx, ixy, iyy is the inverse of the second
    moments about the centre. NaN where these springs do not span a plane.
    """
    total = sum_x = sum_y = 0.0
    for i in range(len(pads)):
        if mask >> i & 1:
            k = stiffness[i]
            x, y = pads[i]
            total += k
            sum_x += k * x
            sum_y += k * y
    if not total > 0.0:
        return nan, nan, nan, nan, nan, nan
    mid_x, mid_y = sum_x / total, sum_y / total
    xx = xy = yy = 0.0
    for i in range(len(pads)):
        if mask >> i & 1:
            k = stiffness[i]
            x, y = pads[i]
            x -= mid_x
            y -= mid_y
            xx += k * x * x
            xy += k * x * y
            yy += k * y * y
    determinant = xx * yy - xy * xy
    if not determinant > FLAT * (xx + yy) ** 2:
        return nan, nan, nan, nan, nan, nan
    return total, mid_x, mid_y, yy / determinant, -xy / determinant, xx / determinant


def plane(
    spread: tuple[float, float, float, float, float, float], wrench: tuple[float, float, float]
) -> tuple[float, float, float]:
    """Plane `a + b x + c y` of compression of a `layout` of springs under a rigid body.

    `wrench` is (force down, force * x, force * y); spring i carries k_i (a + b x_i + c y_i).
    """
    total, mid_x, mid_y, ixx, ixy, iyy = spread
    force, about_x, about_y = wrench
    about_x -= force * mid_x
    about_y -= force * mid_y
    b = ixx * about_x + ixy * about_y
    c = ixy * about_x + iyy * about_y
    return force / total - b * mid_x - c * mid_y, b, c


def raised_plane(
    pads: Sequence[Point],
    stiffness: Sequence[float],
    raised: Sequence[float],
    wrench: tuple[float, float, float],
    mask: int,
) -> tuple[float, float, float]:
    """`plane` of the springs in `mask`, each compressed more by the height it is `raised`."""
    force, about_x, about_y = wrench
    for i in range(len(pads)):
        if mask >> i & 1:
            x, y = pads[i]
            lift = stiffness[i] * raised[i]
            force -= lift
            about_x -= lift * x
            about_y -= lift * y
    return plane(layout(pads, stiffness, mask), (force, about_x, about_y))


def touching(
    pads: Sequence[Point], raised: Sequence[float], abc: tuple[float, float, float], slack: float
) -> int:
    """Mask of the springs that the plane compresses by more than `-slack`."""
    a, b, c = abc
    mask = 0
    for i in range(len(pads)):
        x, y = pads[i]
        if a + b * x + c * y + raised[i] >= -slack:
            mask |= 1 << i
    return mask


def contact(
    pads: Sequence[Point],
    stiffness: Sequence[float],
    raised: Sequence[float],
    wrench: tuple[float, float, float],
) -> tuple[float, float, float, int]:
    """Plane and mask of pressed springs when springs push but never pull; mask -1 if it tips.

    The loads minimise sum F^2/(2k) - F raised under equilibrium and F >= 0: strictly convex, so a
    mask whose plane presses its own springs and no other is the one answer. Repeating
    mask -> plane -> mask (Newton's method on a piecewise linear equation) mostly finds it in two
    or three turns; else every mask is tried.
    """
    count = len(pads)
    total = 0.0
    for k in stiffness:
        total += k
    slack = SLACK * abs(wrench[0]) / total
    mask = (1 << count) - 1
    for _ in range(2 * count):
        abc = raised_plane(pads, stiffness, raised, wrench, mask)
        if abc[0] != abc[0]:
            break
        found = touching(pads, raised, abc, slack)
        if found == mask:
            return abc[0], abc[1], abc[2], mask
        mask = found
    for mask in range(7, 1 << count):
        abc = raised_plane(pads, stiffness, raised, wrench, mask)
        if abc[0] == abc[0]:
            wide = touching(pads, raised, abc, slack)
            tight = touching(pads, raised, abc, -slack)
            if wide & mask == mask and tight & mask == tight:
                return abc[0], abc[1], abc[2], mask
    return nan, nan, nan, -1


def warp4(pads: Sequence[Point]) -> tuple[float, float, float, float]:
    """Loads on four pads that sum to nothing in force and both moments, before scaling.

    Each is the signed area of the triangle of the other three pads, signs in turn + - + -.
    """
    (x0, y0), (x1, y1), (x2, y2), (x3, y3) = pads[0], pads[1], pads[2], pads[3]
    return (
        (x2 - x1) * (y3 - y1) - (x3 - x1) * (y2 - y1),
        -((x2 - x0) * (y3 - y0) - (x3 - x0) * (y2 - y0)),
        (x1 - x0) * (y3 - y0) - (x3 - x0) * (y1 - y0),
        -((x1 - x0) * (y2 - y0) - (x2 - x0) * (y1 - y0)),
    )


def off_axis(pads: Sequence[Point], at: Point) -> float:
    """Distance of a point left of the line through the middles of the rear and the front pair."""
    rear_x, rear_y = (pads[2][0] + pads[3][0]) / 2.0, (pads[2][1] + pads[3][1]) / 2.0
    ux, uy = (pads[0][0] + pads[1][0]) / 2.0 - rear_x, (pads[0][1] + pads[1][1]) / 2.0 - rear_y
    length = hypot(ux, uy)
    if not length > 0.0:
        return 0.0
    return (ux * (at[1] - rear_y) - uy * (at[0] - rear_x)) / length


def front_torque(pads: Sequence[Point], loads: Sequence[float]) -> float:
    """Torque of the two front pads' loads on the body about the line of `off_axis`."""
    return loads[0] * off_axis(pads, pads[0]) + loads[1] * off_axis(pads, pads[1])


def warp_compliance(
    pads: Sequence[Point],
    pattern: Sequence[float],
    stiffness: Sequence[float],
    twist_stiffness: float,
) -> float:
    """Height of warp per unit of the pattern: sum n_i^2/k_i + (sum_front n_i y_i)^2/K, m/N.

    y_i is taken from the line through the middles of both pairs, so that the result is the same
    wherever and whichever way round the vehicle stands.
    """
    flex = 0.0
    for i in range(4):
        flex += pattern[i] * pattern[i] / stiffness[i]
    torque = front_torque(pads, pattern)
    return flex + torque * torque / twist_stiffness


def mean_high(
    lows: Iterable[float], spreads: Iterable[float], values: Iterable[float], start: float
) -> float:
    """Greatest weighted mean of `values` over all weights from `lows` to `lows + spreads`.

    `start` is any attained mean. Each turn gives every value above the mean its greatest weight
    and the others their least; the mean rises until nothing changes, which is the exact maximum
    (Dinkelbach 1967, On Nonlinear Fractional Programming, Management Science 13(7)). The sum of
    the lows must be positive.
    """
    least = moment_least = 0.0
    for low, value in zip(lows, values):  # noqa: B905  (numba knows no strict=)
        least += low
        moment_least += low * value
    best = start
    while True:
        weight, moment = least, moment_least
        for spread, value in zip(spreads, values):  # noqa: B905
            if value > best:
                weight += spread
                moment += spread * value
        mean = moment / weight
        if not mean > best:
            return best
        best = mean


def inside_margin(polygon: Sequence[Point], at: Point) -> float:
    """Least signed distance from the edge lines of a counter-clockwise convex polygon."""
    least = 1e300
    px, py = polygon[len(polygon) - 1]
    for i in range(len(polygon)):
        qx, qy = polygon[i]
        ex, ey = qx - px, qy - py
        reach = (ex * (at[1] - py) - ey * (at[0] - px)) / hypot(ex, ey)
        least = min(least, reach)
        px, py = qx, qy
    return least
