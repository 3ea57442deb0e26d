"""Pad loads and stability of the batch: one weighed vehicle on four pads, worst corner.

The formulas of the judge for a ledger of one entry; the same arithmetic of springs below them.
A running state is (status, least slack, reason of the first stop).
"""

from __future__ import annotations

from math import hypot, inf, tan

from underset.statics.kernels import front_torque, layout, off_axis, warp4, warp_compliance
from underset.studies.batch_columns import (
    ARM_LIMIT,
    CARRIAGE,
    CG_X,
    CG_X_TOL,
    CG_Y,
    CG_Y_TOL,
    CG_Z,
    CG_Z_TOL,
    EDGE_STOP,
    EDGE_WATCH,
    FRONT_X,
    LEVEL_PAD,
    MASS,
    MASS_TOL,
    PAD_STOP,
    PAD_WATCH,
    POINT_UP,
    PUSH,
    PUSH_FACTOR,
    R_ARM_LOAD,
    R_EDGE,
    R_PAD,
    R_RATED,
    R_SPLIT,
    R_TIP,
    R_UNLOAD,
    RATED,
    REAR_X,
    ROOF,
    SILL,
    SPAN,
    SPLIT_LIMIT,
    STIFFNESS,
    STOPS,
    TWIST,
)

Floats = tuple[float, ...]
Pair = tuple[float, float]
Pads = tuple[Pair, Pair, Pair, Pair]
Form = tuple[float, float, float]
Run = tuple[int, float, int]
EPSILON = 1e-9
G0 = 9.80665
FAR = 1.0e6


def unsaid() -> Run:
    """Nothing judged yet."""
    return (0, inf, 0)


def least(run: Run, demand: float, limit: float, watch: float, reason: int) -> Run:
    """The state after a check of "at least"; no watch level where `watch` is below the limit."""
    if demand < limit - EPSILON:
        return (STOPS, run[1], reason)
    status = 1 if demand < watch - EPSILON else 0
    slack = run[1]
    if limit > 0.0:
        slack = min(slack, max(-10.0, 1.0 - limit / demand) if demand > 0.0 else -10.0)
    return (max(run[0], status), slack, run[2])


def most(run: Run, demand: float, limit: float, watch: float, reason: int) -> Run:
    """The state after a check of "at most"; no watch level where `watch` is above the limit."""
    if demand > limit + EPSILON:
        return (STOPS, run[1], reason)
    status = 1 if demand > watch + EPSILON else 0
    return (max(run[0], status), min(run[1], 1.0 - demand / limit), run[2])


def pad_forms(pads: Pads) -> tuple[bool, tuple[Form, Form, Form, Form]]:
    """Shares (a, b, c) of a unit weight at (x, y) on each of four equal springs."""
    total, mid_x, mid_y, ixx, ixy, iyy = layout(pads, (1.0, 1.0, 1.0, 1.0), 15)
    return (
        total == total,
        (
            pad_form(pads[0], total, mid_x, mid_y, (ixx, ixy, iyy)),
            pad_form(pads[1], total, mid_x, mid_y, (ixx, ixy, iyy)),
            pad_form(pads[2], total, mid_x, mid_y, (ixx, ixy, iyy)),
            pad_form(pads[3], total, mid_x, mid_y, (ixx, ixy, iyy)),
        ),
    )


def pad_form(pad: Pair, total: float, mid_x: float, mid_y: float, inverse: Form) -> Form:
    """One pad's share of a unit weight."""
    b = inverse[0] * (pad[0] - mid_x) + inverse[1] * (pad[1] - mid_y)
    c = inverse[1] * (pad[0] - mid_x) + inverse[2] * (pad[1] - mid_y)
    return (1.0 / total - b * mid_x - c * mid_y, b, c)


def pattern_of(pads: Pads) -> tuple[float, float, float, float]:
    """Warp pattern scaled to a greatest size of 1."""
    n = warp4(pads)
    size = max(abs(n[0]), abs(n[1]), abs(n[2]), abs(n[3]))
    lead = n[0]
    for i in range(3, -1, -1):
        if abs(n[i]) > 1e-12 * size:
            lead = n[i]
    scale = size if lead > 0.0 else -size
    return (n[0] / scale, n[1] / scale, n[2] / scale, n[3] / scale)


def warp_force(pads: Pads, n: Floats, v: Floats, b: Floats, p: Floats) -> float:
    """Greatest warp force over the level tolerances of pads and carriages, N."""
    stiff = (p[STIFFNESS], p[STIFFNESS], p[STIFFNESS], p[STIFFNESS])
    height = p[LEVEL_PAD] * (abs(n[0]) + abs(n[1]) + abs(n[2]) + abs(n[3]))
    height += b[CARRIAGE] * abs(n[0] + n[2])
    return height / warp_compliance(pads, n, stiff, v[TWIST])


def form_at(form: Form, v: Floats) -> tuple[float, float]:
    """Value of a form at the balance, and by how much its tolerance moves it."""
    middle = form[0] + form[1] * v[CG_X] + form[2] * v[CG_Y]
    return (middle, abs(form[1]) * v[CG_X_TOL] + abs(form[2]) * v[CG_Y_TOL])


def mass_times(form: Form, v: Floats) -> Pair:
    """Least and greatest mass times form over the tolerances of mass and place."""
    middle, tol = form_at(form, v)
    low = v[MASS] - v[MASS_TOL]
    high = low + 2.0 * v[MASS_TOL]
    near = middle - tol
    far = middle + tol
    return (
        min(low * near, low * far, high * near, high * far),
        max(low * near, low * far, high * near, high * far),
    )


def hull_of(pads: Pads) -> list[Pair]:
    """Convex hull, counter-clockwise (monotone chain)."""
    points = [pads[0], pads[1], pads[2], pads[3]]
    for i in range(1, 4):
        here = points[i]
        j = i
        while j > 0 and points[j - 1] > here:
            points[j] = points[j - 1]
            j -= 1
        points[j] = here
    corners = [points[0] for _ in range(0)]
    chain(corners, points)
    points.reverse()
    chain(corners, points)
    return corners


def chain(corners: list[Pair], ordered: list[Pair]) -> None:
    """Add one side of the hull but for its last corner, with which the other side begins."""
    first = len(corners)
    for q in ordered:
        while len(corners) >= first + 2 and turn(corners[-2], corners[-1], q) <= 0.0:
            corners.pop()
        corners.append(q)
    corners.pop()


def turn(a: Pair, b: Pair, c: Pair) -> float:
    """Positive where a, b, c turn left."""
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def sway_of(v: Floats, b: Floats) -> float:
    """Sideways shift of the balance by unlevel carriages, m."""
    up = (v[POINT_UP] + v[POINT_UP + 1] + v[POINT_UP + 2] + v[POINT_UP + 3]) / 4
    return max(0.0, v[CG_Z] + v[CG_Z_TOL] - up) * tan(b[CARRIAGE] / b[SPAN])


def pad_range(form: Form, n: float, v: Floats, warp: float, sway: float) -> Pair:
    """Least and greatest load of one pad, N; least may be below zero: then it stops."""
    low, high = mass_times(form, v)
    extra = warp * abs(n) + G0 * (v[MASS] + v[MASS_TOL]) * abs(form[2]) * sway
    return (G0 * low - extra, G0 * high + extra)


def load_checks(
    v: Floats, b: Floats, p: Floats, pads: Pads, served: tuple[int, int, int, int]
) -> tuple[Run, Floats, Pair]:
    """Loads and stability that no stack changes: state, greatest pad loads, (least grip, lever).

    Stops at the first check that stops. The pair gives what sliding needs: the turning grip of the
    pads without friction, N m, and the lever of a push at the far end.
    """
    nothing = (0.0, 0.0, 0.0, 0.0)
    run = unsaid()
    weight = (v[MASS] + v[MASS_TOL]) * G0
    run = most((0, inf, 0), weight, b[RATED] * G0, inf, R_RATED)
    run = (run[0], inf, run[2])  # the rated load refuses but does not rank
    spans, forms, good, skew = spans_of(v, b, p, pads)
    if run[0] == STOPS or not good:
        return ((STOPS, inf, R_RATED), nothing, (0.0, 0.0))
    run = split_check(run, v, b, forms, skew)
    if run[0] == STOPS:
        return (run, nothing, (0.0, 0.0))
    lowest = min(spans[0][0], spans[1][0], spans[2][0], spans[3][0])
    run = least(run, max(0.0, lowest) / weight, p[PAD_STOP], p[PAD_WATCH], R_PAD)
    if run[0] == STOPS:
        return (run, nothing, (0.0, 0.0))
    full = 0.0
    for i in range(4):
        full = max(full, spans[i][1] / b[ARM_LIMIT + served[i]])
    run = most(run, full, 1.0, inf, R_ARM_LOAD)
    if run[0] == STOPS:
        return (run, nothing, (0.0, 0.0))
    run = edge_checks(run, v, b, p, pads)
    if run[0] == STOPS:
        return (run, nothing, (0.0, 0.0))
    run = unload_check(run, v, p, spans, forms)
    high = (spans[0][1], spans[1][1], spans[2][1], spans[3][1])
    return (run, high, (turning_grip(v, b, p, pads, forms), lever_of(v)))


def spans_of(
    v: Floats, b: Floats, p: Floats, pads: Pads
) -> tuple[tuple[Pair, Pair, Pair, Pair], tuple[Form, Form, Form, Form], bool, float]:
    """Load range of each pad, forms, whether the pads span a plane, warp from end to end, N."""
    good, forms = pad_forms(pads)
    n = pattern_of(pads)
    warp = warp_force(pads, n, v, b, p)
    sway = sway_of(v, b)
    spans = (
        pad_range(forms[0], n[0], v, warp, sway),
        pad_range(forms[1], n[1], v, warp, sway),
        pad_range(forms[2], n[2], v, warp, sway),
        pad_range(forms[3], n[3], v, warp, sway),
    )
    return (spans, forms, good, warp * abs(n[0] + n[1]))


def split_check(
    run: Run, v: Floats, b: Floats, forms: tuple[Form, Form, Form, Form], skew: float
) -> Run:
    """Front to rear split, worst corner."""
    front = (
        forms[0][0] + forms[1][0],
        forms[0][1] + forms[1][1],
        forms[0][2] + forms[1][2],
    )
    share, tol = form_at(front, v)
    allowance = abs(front[2]) * sway_of(v, b) + skew / ((v[MASS] - v[MASS_TOL]) * G0)
    worst = max(share + tol + allowance, 1.0 - (share - tol) + allowance)
    return most(run, worst, b[SPLIT_LIMIT], inf, R_SPLIT)


def edge_checks(run: Run, v: Floats, b: Floats, p: Floats, pads: Pads) -> Run:
    """Balance to the nearest edge, and the push at the roof that tips."""
    corners = hull_of(pads)
    sway = sway_of(v, b)
    worst = inf
    force = FAR
    height = push_height(v)
    heavy = (v[MASS] + v[MASS_TOL]) * G0
    px, py = corners[-1]
    for qx, qy in corners:
        length = hypot(qx - px, qy - py)
        eb = -(qy - py) / length
        ec = (qx - px) / length
        form = (-eb * px - ec * py, eb, ec)
        middle, tol = form_at(form, v)
        worst = min(worst, middle - tol - abs(ec) * sway)
        low = G0 * mass_times(form, v)[0] - heavy * abs(ec) * sway
        if height > 0.0:
            force = min(force, low / height)
        px = qx
        py = qy
    run = least(run, worst, p[EDGE_STOP], p[EDGE_WATCH], R_EDGE)
    if run[0] == STOPS:
        return run
    return least(run, max(0.0, force), p[PUSH] * p[PUSH_FACTOR], 0.0, R_TIP)


def push_height(v: Floats) -> float:
    """Height of the roof's or the sill's edge above the pads."""
    up = (v[POINT_UP] + v[POINT_UP + 1] + v[POINT_UP + 2] + v[POINT_UP + 3]) / 4
    sill = v[SILL] - up if v[SILL] > 0.0 else 0.0
    return max(v[ROOF] - up, sill)


def unload_check(
    run: Run,
    v: Floats,
    p: Floats,
    spans: tuple[Pair, Pair, Pair, Pair],
    forms: tuple[Form, Form, Form, Form],
) -> Run:
    """The push at the roof that empties a pad."""
    height = push_height(v)
    force = FAR
    for i in range(4):
        slope = hypot(forms[i][1], forms[i][2])
        if slope * height > 1e-12:
            force = min(force, max(0.0, spans[i][0]) / (slope * height))
    return least(run, force, p[PUSH] * p[PUSH_FACTOR], 0.0, R_UNLOAD)


def turning_grip(
    v: Floats, b: Floats, p: Floats, pads: Pads, forms: tuple[Form, Form, Form, Form]
) -> float:
    """Sum of least pad loads times distance from the balance, before friction, N m."""
    n = pattern_of(pads)
    fa = fb = fc = skew = 0.0
    for i in range(4):
        far = hypot(pads[i][0] - v[CG_X], pads[i][1] - v[CG_Y])
        fa += far * forms[i][0]
        fb += far * forms[i][1]
        fc += far * forms[i][2]
        skew += far * n[i]
    return G0 * mass_times((fa, fb, fc), v)[0] - warp_force(pads, n, v, b, p) * abs(skew)


def lever_of(v: Floats) -> float:
    """Lever of a push at the farther end of the vehicle."""
    return max(v[FRONT_X] - v[CG_X], v[CG_X] - v[REAR_X])


def slide_force(v: Floats, friction: float, turning: float, lever: float) -> float:
    """The push at an end that slides or turns the vehicle on its pads, N."""
    grip = friction * (v[MASS] - v[MASS_TOL]) * G0
    turn_grip = friction * turning
    if min(grip, turn_grip) <= 0.0:
        return 0.0
    return 1.0 / (1.0 / grip + lever / turn_grip)


COMPILED_TOO = (front_torque, off_axis)  # called by warp_compliance
