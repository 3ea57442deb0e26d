"""The inner arithmetic of statics: plain functions on floats and tuples of floats.

A batch engine compiles these very functions, so they use no dicts, records, exceptions or
type tests. What cannot be solved comes back as NaN, or as a mask of -1.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import nan

Point = tuple[float, float]

FLAT = 1e-12  # least ratio of the two second moments of a pad layout that still is a plane
SLACK = 1e-10  # part of the mean compression within which a pad counts as just touching


def masked_plane(
    pads: Sequence[Point],
    stiffness: Sequence[float],
    raised: Sequence[float],
    wrench: tuple[float, float, float],
    mask: int,
) -> tuple[float, float, float]:
    """Plane `a + b x + c y` of compression of the springs in `mask` under a rigid body.

    `wrench` is (force down, force * x, force * y). Springs are `raised` by heights that add to
    their compression. NaN where the springs in the mask do not span a plane.
    """
    force, about_x, about_y = wrench
    total = sum_x = sum_y = 0.0
    for i in range(len(pads)):
        if mask >> i & 1:
            k = stiffness[i]
            x, y = pads[i]
            lift = k * raised[i]
            total += k
            sum_x += k * x
            sum_y += k * y
            force -= lift
            about_x -= lift * x
            about_y -= lift * y
    if total <= 0.0:
        return nan, nan, nan
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
    if determinant <= FLAT * (xx + yy) ** 2:
        return nan, nan, nan
    about_x -= force * mid_x
    about_y -= force * mid_y
    b = (about_x * yy - about_y * xy) / determinant
    c = (about_y * xx - about_x * xy) / determinant
    return force / total - b * mid_x - c * mid_y, b, c


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
        abc = masked_plane(pads, stiffness, raised, wrench, mask)
        if abc[0] != abc[0]:
            break
        found = touching(pads, raised, abc, slack)
        if found == mask:
            return abc[0], abc[1], abc[2], mask
        mask = found
    for mask in range(7, 1 << count):
        abc = masked_plane(pads, stiffness, raised, wrench, mask)
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


def warp_compliance(
    pads: Sequence[Point],
    pattern: Sequence[float],
    stiffness: Sequence[float],
    twist_stiffness: float,
) -> float:
    """Height of warp per unit of the pattern: sum n_i^2/k_i + (sum_front n_i y_i)^2/K, m/N."""
    flex = 0.0
    for i in range(4):
        flex += pattern[i] * pattern[i] / stiffness[i]
    torque = pattern[0] * pads[0][1] + pattern[1] * pads[1][1]
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
        reach = (ex * (at[1] - py) - ey * (at[0] - px)) / (ex * ex + ey * ey) ** 0.5
        if reach < least:
            least = reach
        px, py = qx, qy
    return least
