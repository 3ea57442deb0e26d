"""Loads of pads under a rigid body: even springs, no pull, and what a pad at a wrong height does.

Pads are points (x, y) in m, in one frame for a whole call; the first four are always left front,
right front, left rear, right rear, and any others are stands. Loads are N, positive when the pad
pushes up. Three equations of equilibrium leave one mode of four pads free: warp.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from math import inf, isfinite

from underset.errors import InputError
from underset.statics.kernels import (
    Point,
    contact,
    front_torque,
    layout,
    off_axis,
    plane,
    warp4,
    warp_compliance,
)

Pads = Sequence[Point]
Loads = tuple[float, ...]
Span = tuple[float, float]
MOST_SUPPORTS = 12  # contact_loads may have to try every subset


def even_loads(
    pads: Pads, weight: float, at: Point, stiffness: Sequence[float] | None = None
) -> Loads:
    """Loads of pads on springs under a rigid body, pull allowed: the coupled plane solution.

    F_i = k_i (a + b x_i + c y_i) with a, b, c from force and both moments. `stiffness` in N/m,
    equal springs when None. Source: elastic pile or bolt group with product of inertia, which
    trapezoids need. Raises InputError if the pads do not span a plane.
    """
    return _spread(pads, (weight, weight * at[0], weight * at[1]), stiffness)


def body_loads(
    pads: Pads, weight: float, at: Point, stiffness: Sequence[float], twist_stiffness: float
) -> Loads:
    """Loads of four sprung pads under a body that twists between its ends, pull allowed.

    `even_loads` plus the warp that makes the strain energy least, with the body twisted by
    T = sum_front F_i (y_i - y_CG). Over straight pad lines that holds for a weight at the CG and
    for one spread along the body alike. `twist_stiffness` in N m/rad between the pad lines, inf
    for a rigid body.
    """
    loads = even_loads(pads, weight, at, stiffness)
    pattern = warp_pattern(pads)
    torque = front_torque(pads, loads) - (loads[0] + loads[1]) * off_axis(pads, at)
    relief = torque * front_torque(pads, pattern) / twist_stiffness
    alpha = relief / _compliance(pads, pattern, stiffness, twist_stiffness)
    return tuple(load - alpha * n for load, n in zip(loads, pattern, strict=True))


def contact_loads(
    pads: Pads,
    weight: float,
    at: Point,
    stiffness: Sequence[float] | None = None,
    raised: Sequence[float] | None = None,
) -> Loads | None:
    """Loads when pads push but never pull, or None when the weight stands outside the pads.

    `raised` in m sets pads above (+) or below (-) the common level and needs `stiffness` in N/m.
    Exact: the one equilibrium of unilateral springs, at most twelve supports.
    """
    if raised is None:
        loads = even_loads(pads, weight, at, stiffness)
        if min(loads) >= 0.0:
            return loads
    return _pressed(pads, (weight, weight * at[0], weight * at[1]), stiffness, raised)


def warp_pattern(pads: Pads) -> Loads:
    """The loads on four pads that change no force and no moment, scaled to a greatest size of 1.

    Positive on the left front pad: (1, -1, -1, 1) on a rectangle, and in proportion to
    1/width at each end of a symmetric trapezoid. Raises InputError if all pads stand in line.
    """
    if len(pads) != 4:
        raise InputError("pads", len(pads), "warp is defined for exactly four pads")
    pattern = warp4(pads)
    size = max(abs(n) for n in pattern)
    reach = max(abs(x) + abs(y) for x, y in pads)
    if not size > 1e-12 * reach * reach:
        raise _in_line(pads)
    lead = next(n for n in pattern if abs(n) > 1e-12 * size)
    scale = size if lead > 0.0 else -size
    return tuple(n / scale for n in pattern)


def warp_loads(
    pads: Pads, raised: Sequence[float], stiffness: Sequence[float], twist_stiffness: float
) -> Loads:
    """Change of four pad loads when the pads stand `raised` by these heights, in N.

    alpha n with alpha = (n . raised) / (sum n_i^2/k_i + (sum_front n_i y_i)^2/K). `stiffness`
    k_i in N/m and body `twist_stiffness` K in N m/rad may be inf (rigid), but not all of them.
    """
    pattern = warp_pattern(pads)
    height = sum(n * h for n, h in zip(pattern, raised, strict=True))
    alpha = height / _compliance(pads, pattern, stiffness, twist_stiffness)
    return tuple(alpha * n for n in pattern)


def warp_range(
    pads: Pads,
    tolerance: float,
    stiffness: Sequence[float],
    twist_stiffness: float,
    side_tolerance: float = 0.0,
) -> float:
    """Greatest warp force alpha, in N, while each pad keeps its level within ± `tolerance` m.

    `side_tolerance` is a height difference between the two carriages, which warps no rectangle
    but does warp a trapezoid. Loads then vary by ± alpha |n_i|.
    """
    pattern = warp_pattern(pads)
    height = tolerance * sum(abs(n) for n in pattern)
    height += side_tolerance * abs(pattern[0] + pattern[2])
    return height / _compliance(pads, pattern, stiffness, twist_stiffness)


def warp_of(pads: Pads, loads: Sequence[float]) -> float:
    """Warp force alpha contained in four measured or computed loads, against equal springs."""
    pattern = warp_pattern(pads)
    size = sum(n * n for n in pattern)
    return sum(n * load for n, load in zip(pattern, loads, strict=True)) / size


def load_spans(pads: Pads, loads: Sequence[float], alpha: float) -> tuple[Span, ...]:
    """(least, greatest) load of each of four pads while warp stays within ± alpha.

    A pad that comes off the vehicle ends the range: with three pads left statics alone fixes the
    loads, so no unevenness changes them any further.
    """
    pattern = warp_pattern(pads)
    down = min(alpha, *_to_empty(loads, pattern, -1.0))
    up = min(alpha, *_to_empty(loads, pattern, 1.0))
    ends = [(load - down * n, load + up * n) for load, n in zip(loads, pattern, strict=True)]
    return tuple((max(0.0, min(pair)), max(pair)) for pair in ends)


def unloading_height(
    pads: Pads,
    loads: Sequence[float],
    stiffness: Sequence[float],
    twist_stiffness: float,
    *,
    lowered: bool = False,
) -> tuple[float, int, int]:
    """(height, pad raised, pad emptied): the least error of one pad's height that empties a pad.

    With `lowered` the pad stands too low instead, which may empty it or its diagonal partner.
    A pad that carries nothing already gives height 0. (inf, -1, -1) if no such height exists.
    """
    compliance, pairs = _emptying(tuple(pads), tuple(stiffness), twist_stiffness, lowered)
    found = [(max(0.0, loads[j]) * compliance / size, i, j) for i, j, size in pairs]
    return min(found, default=(inf, -1, -1))


@lru_cache(maxsize=256)
def _emptying(
    pads: tuple[Point, ...], stiffness: tuple[float, ...], twist_stiffness: float, lowered: bool
) -> tuple[float, tuple[tuple[int, int, float], ...]]:
    """Compliance, and pad moved, pad emptied and |n_i n_j|: the same whatever the loads are."""
    pattern = warp_pattern(pads)
    turn = 1.0 if lowered else -1.0
    pairs = tuple(
        (moved, emptied, abs(n * m))
        for moved, n in enumerate(pattern)
        for emptied, m in enumerate(pattern)
        if turn * n * m > 1e-12
    )
    return _compliance(pads, pattern, stiffness, twist_stiffness), pairs


def residuals(
    pads: Pads, loads: Sequence[float], weight: float, at: Point
) -> tuple[float, float, float]:
    """(force, moment_x, moment_y) left over, N and N m: all nothing in equilibrium.

    moment_x is about the x axis, sum F y; moment_y about the y axis, -sum F x.
    """
    force, about_x, about_y = -weight, weight * at[0], -weight * at[1]
    for (x, y), load in zip(pads, loads, strict=True):
        force += load
        about_x -= load * x
        about_y += load * y
    return force, about_y, about_x


def load_forms(
    pads: Pads, stiffness: Sequence[float] | None = None
) -> tuple[tuple[float, float, float], ...]:
    """(a, b, c) of each pad: a weight W at (x, y) puts W (a + b x + c y) on it, even springs."""
    springs = _springs(pads, stiffness)
    total, mid_x, mid_y, ixx, ixy, iyy = layout(pads, springs, (1 << len(pads)) - 1)
    if not isfinite(total):
        raise _in_line(pads)
    forms: list[tuple[float, float, float]] = []
    for k, (x, y) in zip(springs, pads, strict=True):
        b = k * (ixx * (x - mid_x) + ixy * (y - mid_y))
        c = k * (ixy * (x - mid_x) + iyy * (y - mid_y))
        forms.append((k / total - b * mid_x - c * mid_y, b, c))
    return tuple(forms)


def moment_loads(
    pads: Pads, about_x: float, about_y: float, stiffness: Sequence[float] | None = None
) -> Loads:
    """Change of loads when the weight's first moments (W x, W y) grow by these, N m."""
    return _spread(pads, (0.0, about_x, about_y), stiffness)


def _spread(
    pads: Pads, wrench: tuple[float, float, float], stiffness: Sequence[float] | None
) -> Loads:
    count = len(pads)
    springs = (1.0,) * count if stiffness is None else stiffness
    a, b, c = plane(layout(pads, springs, (1 << count) - 1), wrench)
    if not isfinite(a):
        _springs(pads, stiffness)
        raise _in_line(pads)
    if stiffness is None:
        return tuple([a + b * x + c * y for x, y in pads])
    return tuple([k * (a + b * x + c * y) for k, (x, y) in zip(springs, pads, strict=True)])


def _pressed(
    pads: Pads,
    wrench: tuple[float, float, float],
    stiffness: Sequence[float] | None,
    raised: Sequence[float] | None,
) -> Loads | None:
    if not wrench[0] > 0.0:
        raise InputError("weight", wrench[0], "must be more than 0 N")
    if len(pads) > MOST_SUPPORTS:
        raise InputError("pads", len(pads), f"at most {MOST_SUPPORTS} supports")
    if raised is not None and stiffness is None:
        raise InputError("stiffness", None, "heights of pads need their stiffness in N/m")
    springs = _springs(pads, stiffness)
    heights = (0.0,) * len(pads) if raised is None else raised
    a, b, c, mask = contact(pads, springs, heights, wrench)
    if mask < 0:
        return None
    return tuple(
        max(0.0, k * (a + b * x + c * y + h)) if mask >> i & 1 else 0.0
        for i, (k, (x, y), h) in enumerate(zip(springs, pads, heights, strict=True))
    )


def _springs(pads: Pads, stiffness: Sequence[float] | None) -> Sequence[float]:
    if stiffness is None:
        return (1.0,) * len(pads)
    if len(stiffness) != len(pads):
        raise InputError("stiffness", len(stiffness), f"one value for each of {len(pads)} pads")
    for k in stiffness:
        if not 0.0 < k < inf:
            raise InputError("stiffness", k, "must be finite and more than 0 N/m")
    return stiffness


def _compliance(
    pads: Pads, pattern: Loads, stiffness: Sequence[float], twist_stiffness: float
) -> float:
    for name, k in (*(("stiffness", k) for k in stiffness), ("twist stiffness", twist_stiffness)):
        if not k > 0.0:
            raise InputError(name, k, "must be more than 0, or inf where it is rigid")
    compliance = warp_compliance(pads, pattern, stiffness, twist_stiffness)
    if compliance <= 0.0:
        raise InputError(
            "stiffness",
            inf,
            "pads and body cannot all be rigid: the loads would have no bound",
            "Give the stiffness of the arms or of the body.",
        )
    return compliance


def _to_empty(loads: Sequence[float], pattern: Loads, turn: float) -> list[float]:
    """Warp forces in the direction `turn` at which each pad that loses load is empty."""
    lost = [(load, -turn * n) for load, n in zip(loads, pattern, strict=True)]
    return [max(0.0, load) / loss for load, loss in lost if loss > 1e-12]


def _in_line(pads: Pads) -> InputError:
    return InputError(
        "pads",
        tuple(pads),
        "must not all stand in one line",
        "Check the places of the lifting points.",
    )
