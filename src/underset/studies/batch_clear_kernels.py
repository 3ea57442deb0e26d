"""Clearances of the batch in the final place: arms to tyres, zones and arms, pads to zones.

Distances are measured only where they could matter: a pair whose boxes are farther apart than what
would lower the least margin is passed over, which changes no answer.
"""

from __future__ import annotations

from math import cos, inf, pi, sin, sqrt
from typing import Any, TypeAlias

from underset.geometry.outline_kernels import (
    area_twice,
    chord,
    convex_gap,
    corners_to_side,
    facing_gap,
    inside,
    point_outline,
    point_segment,
    segment_inside,
    segments_gap,
    side_of,
    slab,
    slab_highest,
    slab_outline,
    slab_top,
    slabs,
)
from underset.studies.batch_columns import (
    DROOP,
    HIGH_VOLTAGE,
    PASS_UNDER,
    TOUCH,
    TRACK_FRONT,
    TYRE_DIAMETER,
    TYRE_WIDTH,
    UNDERSIDE,
    WHEELBASE,
)

Floats = tuple[float, ...]
Table: TypeAlias = Any
"""A table of figures, indexed [row, column]."""

Pair = tuple[float, float]
Quad: TypeAlias = Any
"""Four corners in plan."""
Box = tuple[float, float, float, float]
Strip: TypeAlias = Any
"""Slabs of an arm: outline, box round it, heights of its corners."""


def outline_box(q: Quad) -> Box:
    """Least and greatest x, least and greatest y."""
    return (
        min(q[0][0], q[1][0], q[2][0], q[3][0]),
        max(q[0][0], q[1][0], q[2][0], q[3][0]),
        min(q[0][1], q[1][1], q[2][1], q[3][1]),
        max(q[0][1], q[1][1], q[2][1], q[3][1]),
    )


def boxes_apart(a: Box, b: Box) -> float:
    """Distance between two boxes."""
    dx = max(b[0] - a[1], a[0] - b[1], 0.0)
    dy = max(b[2] - a[3], a[2] - b[3], 0.0)
    return sqrt(dx * dx + dy * dy)


def quad_at(q: Quad, x: float, yaw: float) -> Quad:
    """A quadrangle of V in L, the vehicle straight."""
    c = cos(yaw)
    s = sin(yaw)
    return (
        (x + c * q[0][0] - s * q[0][1], 0.0 + s * q[0][0] + c * q[0][1]),
        (x + c * q[1][0] - s * q[1][1], 0.0 + s * q[1][0] + c * q[1][1]),
        (x + c * q[2][0] - s * q[2][1], 0.0 + s * q[2][0] + c * q[2][1]),
        (x + c * q[3][0] - s * q[3][1], 0.0 + s * q[3][0] + c * q[3][1]),
    )


def zones_at(zones: Table, count: int, spot: float, tail_in: bool) -> list[Quad]:
    """Outlines of a vehicle's zones in L."""
    yaw = pi if tail_in else 0.0
    found = [((0.0, 0.0), (0.0, 0.0), (0.0, 0.0), (0.0, 0.0)) for _ in range(0)]
    for k in range(count):
        x0 = zones[k, 0]
        x1 = zones[k, 1]
        y0 = zones[k, 2]
        y1 = zones[k, 3]
        found.append(quad_at(((x0, y0), (x1, y0), (x1, y1), (x0, y1)), spot, yaw))
    return found


def tyres_at(v: Floats, spot: float, tail_in: bool, height: float) -> list[Quad]:
    """The four tyres in L as an arm at a height meets them, wheels hanging."""
    yaw = pi if tail_in else 0.0
    c = cos(yaw)
    s = sin(yaw)
    hang = height + v[DROOP] if v[DROOP] == v[DROOP] else inf
    length = chord(v[TYRE_DIAMETER], min(hang, v[TYRE_DIAMETER] / 2))
    x = 0.5 * length
    y = 0.5 * v[TYRE_WIDTH]
    found = [((0.0, 0.0), (0.0, 0.0), (0.0, 0.0), (0.0, 0.0)) for _ in range(0)]
    for axle in range(2):
        along = -v[WHEELBASE] if axle == 1 else 0.0
        for side in (1.0, -1.0):
            across = side * v[TRACK_FRONT + axle] / 2
            cx = spot + c * along - s * across
            cy = 0.0 + s * along + c * across
            q = quad_at(((-x, -y), (x, -y), (x, y), (-x, y)), 0.0, yaw)
            found.append(
                (
                    (cx + q[0][0], cy + q[0][1]),
                    (cx + q[1][0], cy + q[1][1]),
                    (cx + q[2][0], cy + q[2][1]),
                    (cx + q[3][0], cy + q[3][1]),
                )
            )
    return found


def arm_strip(arm: Floats, swing: float, reach: float, profile: Any) -> Strip:
    """Slabs of an arm in L, from the tip inward: outline, its box, heights of its corners."""
    angle = arm[2] + arm[3] * swing
    ux = cos(angle)
    uy = sin(angle)
    found: Strip = [
        (
            ((0.0, 0.0), (0.0, 0.0), (0.0, 0.0), (0.0, 0.0)),
            (0.0, 0.0, 0.0, 0.0),
            (0.0, 0.0, 0.0, 0.0),
        )
        for _ in range(0)
    ]
    for piece in slabs(reach, profile):
        q = slab_outline(piece, (arm[0], arm[1]), ux, uy)
        found.append((q, outline_box(q), (piece[2], piece[5], piece[5], piece[2])))
    return found


def strip_box(strip: Strip) -> Box:
    """Box round an arm."""
    a = inf
    b = -inf
    c = inf
    d = -inf
    for _, around, _ in strip:
        a = min(a, around[0])
        b = max(b, around[1])
        c = min(c, around[2])
        d = max(d, around[3])
    return (a, b, c, d)


def strip_gap(strip: Strip, q: Quad, there: Box, nearest: float) -> float:
    """Distance from an arm to a convex outline, or `nearest` where that is less."""
    for piece, around, _ in strip:
        if boxes_apart(around, there) < nearest:
            nearest = min(nearest, convex_gap(piece, q))
    return nearest


def strips_gap(a: Strip, b: Strip, nearest: float) -> float:
    """Distance between two arms, or `nearest` where that is less."""
    for piece, around, _ in a:
        nearest = strip_gap(b, piece, around, nearest)
    return nearest


def top_under(strip: Strip, zone: Quad, there: Box) -> tuple[bool, float]:
    """Whether an arm stands under a zone in plan, and its greatest height over the seat there."""
    found = False
    highest = 0.0
    for piece, around, tops in strip:
        if boxes_apart(around, there) > 0.0:
            continue
        under, top = slab_highest(piece, tops, zone)
        if under != 0.0:
            highest = max(highest, top) if found else top
            found = True
    return (found, highest)


def tyre_room(strips: list[Strip], pads: list[Pair], tyres: list[Quad], near: float) -> float:
    """Least distance of arms and pads to tyres, or `near` where that is less."""
    for i in range(4):
        around = strip_box(strips[i])
        for tyre in tyres:
            there = outline_box(tyre)
            if boxes_apart(around, there) < near:
                near = strip_gap(strips[i], tyre, there, near)
                near = min(near, point_outline(pads[i], tyre))
    return near


def greatest_touch(
    strips: list[Strip],
    tops: list[float],
    outlines: list[Quad],
    zones: Table,
    gap: float,
) -> float:
    """Greatest seat height at which every arm keeps the gap below or beside every zone."""
    greatest = inf
    for i in range(4):
        around = strip_box(strips[i])
        for k in range(len(outlines)):
            underside = zones[k, UNDERSIDE]
            passes = zones[k, PASS_UNDER] > 0.0
            if underside - tops[i] - gap >= greatest and passes:
                continue
            there = outline_box(outlines[k])
            if boxes_apart(around, there) >= gap:
                continue
            under, top = top_under(strips[i], outlines[k], there)
            if under or strip_gap(strips[i], outlines[k], there, gap) < gap:
                low = underside - (top if under else tops[i]) - gap if passes else -inf
                greatest = min(greatest, low)
    return greatest


def zone_room(
    strips: list[Strip],
    tops: list[float],
    outlines: list[Quad],
    zones: Table,
    reach: tuple[float, float, float],
) -> float:
    """Least room between arms and zones, or the third of `reach` (seat, gap, near) if less."""
    seat, gap, near = reach
    for i in range(4):
        around = strip_box(strips[i])
        for k in range(len(outlines)):
            there = outline_box(outlines[k])
            if boxes_apart(around, there) >= near:
                continue
            passes = zones[k, PASS_UNDER] > 0.0
            underside = zones[k, UNDERSIDE]
            below = underside - (seat + tops[i]) if passes else -inf
            if below >= 2 * gap:
                continue
            under, top = top_under(strips[i], outlines[k], there)
            if not under:
                room = max(below, strip_gap(strips[i], outlines[k], there, near))
            else:
                room = underside - (seat + top) if passes else 0.0
            near = min(near, room)
    return near


def pad_room(
    pads: list[Pair],
    heads: list[tuple[float, float, float]],
    outlines: list[Quad],
    zones: Table,
    gap: float,
) -> Pair:
    """(room, room wanted) of the pad that stands worst beside a zone; inf where none is near.

    A head is (half width, height of its face, 1.0 where its edges may not stand near a battery).
    """
    worst = inf
    wanted = gap
    for i in range(4):
        half, face, edges = heads[i]
        for k in range(len(outlines)):
            live = zones[k, HIGH_VOLTAGE] > 0.0
            over = zones[k, UNDERSIDE] >= face
            if zones[k, TOUCH] > 0.0 or (over and not live):
                continue
            need = 2 * gap if live and edges > 0.0 else gap
            room = max(point_outline(pads[i], outlines[k]) - half, 0.0)
            if room - need < worst - wanted:
                worst = room
                wanted = need
    return (worst, wanted)


COMPILED_TOO = (
    area_twice,
    corners_to_side,
    facing_gap,
    inside,
    point_segment,
    segment_inside,
    segments_gap,
    side_of,
    slab,
    slab_top,
)  # called by the functions above
