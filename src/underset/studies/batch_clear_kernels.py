"""Clearances of the batch in the final place: arms to tyres, zones and arms, pads to zones.

Distances are measured only where they could matter: a pair whose boxes are farther apart than what
would lower the least margin is passed over, which changes no answer.
"""

from __future__ import annotations

from math import cos, inf, sin
from typing import Any, NamedTuple, TypeAlias

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
from underset.studies.batch_spot_kernels import NOSE_IN, TAIL_IN, arm_of, served_by

Floats = tuple[float, ...]
Table: TypeAlias = Any
"""A table of figures, indexed [row, column]."""

Pair = tuple[float, float]
Quad: TypeAlias = Any
"""Four corners in plan."""
Box = tuple[float, float, float, float]
Shape = tuple[Quad, Box]
"""An outline with the box round it."""
Arms: TypeAlias = Any
"""The four arms as `Strips`."""


class Strips(NamedTuple):
    """Slabs of the four arms in one list: outline, box round it, heights of its corners.

    Those of arm i stand from `ends[i]` up to `ends[i + 1]`; `boxes[i]` lies round all of them.
    """

    slabs: Any
    ends: Any
    boxes: Any


def outline_box(q: Quad) -> Box:
    """Least and greatest x, least and greatest y."""
    return (
        min(q[0][0], q[1][0], q[2][0], q[3][0]),
        max(q[0][0], q[1][0], q[2][0], q[3][0]),
        min(q[0][1], q[1][1], q[2][1], q[3][1]),
        max(q[0][1], q[1][1], q[2][1], q[3][1]),
    )


def near_boxes(a: Box, b: Box, near: float) -> bool:
    """Whether two boxes are less than `near` apart."""
    dx = max(b[0] - a[1], a[0] - b[1], 0.0)
    dy = max(b[2] - a[3], a[2] - b[3], 0.0)
    return near > 0.0 and dx * dx + dy * dy < near * near


def quad_at(q: Quad, x: float, turn: Pair) -> Quad:
    """A quadrangle of V in L, the vehicle straight; `turn` is its cosine and sine."""
    c, s = turn
    return (
        (x + c * q[0][0] - s * q[0][1], 0.0 + s * q[0][0] + c * q[0][1]),
        (x + c * q[1][0] - s * q[1][1], 0.0 + s * q[1][0] + c * q[1][1]),
        (x + c * q[2][0] - s * q[2][1], 0.0 + s * q[2][0] + c * q[2][1]),
        (x + c * q[3][0] - s * q[3][1], 0.0 + s * q[3][0] + c * q[3][1]),
    )


def shape_of(q: Quad) -> Shape:
    """An outline with its box."""
    return (q, outline_box(q))


def zones_at(zones: Table, count: int, spot: float, tail_in: bool) -> list[Shape]:
    """A vehicle's zones in L."""
    turn = TAIL_IN if tail_in else NOSE_IN
    found = [
        (((0.0, 0.0), (0.0, 0.0), (0.0, 0.0), (0.0, 0.0)), (0.0, 0.0, 0.0, 0.0))
        for _ in range(count)
    ]
    for k in range(count):
        x0 = zones[k, 0]
        x1 = zones[k, 1]
        y0 = zones[k, 2]
        y1 = zones[k, 3]
        found[k] = shape_of(quad_at(((x0, y0), (x1, y0), (x1, y1), (x0, y1)), spot, turn))
    return found


def tyres_at(v: Floats, spot: float, tail_in: bool, height: float) -> list[Shape]:
    """The four tyres in L as an arm at a height meets them, wheels hanging."""
    hang = height + v[DROOP] if v[DROOP] == v[DROOP] else inf
    x = 0.5 * chord(v[TYRE_DIAMETER], min(hang, v[TYRE_DIAMETER] / 2))
    front = v[TRACK_FRONT] / 2
    rear = v[TRACK_FRONT + 1] / 2
    back = -v[WHEELBASE]
    turn = TAIL_IN if tail_in else NOSE_IN
    y = 0.5 * v[TYRE_WIDTH]
    q = quad_at(((-x, -y), (x, -y), (x, y), (-x, y)), 0.0, turn)
    return [
        shape_of(tyre_at(q, spot, turn, (0.0, front))),
        shape_of(tyre_at(q, spot, turn, (0.0, -front))),
        shape_of(tyre_at(q, spot, turn, (back, rear))),
        shape_of(tyre_at(q, spot, turn, (back, -rear))),
    ]


def tyre_at(q: Quad, spot: float, turn: Pair, at: Pair) -> Quad:
    """A turned tyre's outline carried to a place of V."""
    cx = spot + turn[0] * at[0] - turn[1] * at[1]
    cy = 0.0 + turn[1] * at[0] + turn[0] * at[1]
    return (
        (cx + q[0][0], cy + q[0][1]),
        (cx + q[1][0], cy + q[1][1]),
        (cx + q[2][0], cy + q[2][1]),
        (cx + q[3][0], cy + q[3][1]),
    )


def arm_strips(arms: Table, at: list[Floats], tail_in: bool, profiles: Any) -> Strips:
    """The arms under the four corners in L; `at` gives their swing and reach."""
    nothing = (0.0, 0.0, 0.0, 0.0)
    ends = [0, 0, 0, 0, 0]
    boxes = [nothing, nothing, nothing, nothing]
    found = [(((0.0, 0.0), (0.0, 0.0), (0.0, 0.0), (0.0, 0.0)), nothing, nothing) for _ in range(0)]
    for i in range(4):
        index = served_by(tail_in, i)
        arm = arm_of(arms, index)
        angle = arm[2] + arm[3] * at[i][0]
        ux = cos(angle)
        uy = sin(angle)
        around = (inf, -inf, inf, -inf)
        for piece in slabs(at[i][1], profiles[index]):
            q = slab_outline(piece, (arm[0], arm[1]), ux, uy)
            here = outline_box(q)
            found.append((q, here, (piece[2], piece[5], piece[5], piece[2])))
            around = round_both(around, here)
        boxes[i] = around
        ends[i + 1] = len(found)
    return Strips(found, ends, boxes)


def round_both(a: Box, b: Box) -> Box:
    """Box round two boxes."""
    return (min(a[0], b[0]), max(a[1], b[1]), min(a[2], b[2]), max(a[3], b[3]))


def strip_gap(strips: Arms, i: int, there: Shape, nearest: float) -> float:
    """Distance from an arm to a convex outline, or `nearest` where that is less."""
    for n in range(strips.ends[i], strips.ends[i + 1]):
        piece, around, _ = strips.slabs[n]
        if near_boxes(around, there[1], nearest):
            nearest = min(nearest, convex_gap(piece, there[0]))
    return nearest


def strips_gap(strips: Arms, i: int, j: int, nearest: float) -> float:
    """Distance between two arms, or `nearest` where that is less."""
    if near_boxes(strips.boxes[i], strips.boxes[j], nearest):
        for n in range(strips.ends[i], strips.ends[i + 1]):
            piece, around, _ = strips.slabs[n]
            if near_boxes(strips.boxes[j], around, nearest):
                nearest = strip_gap(strips, j, (piece, around), nearest)
    return nearest


def top_under(strips: Arms, i: int, zone: Shape) -> tuple[bool, float]:
    """Whether an arm stands under a zone in plan, and its greatest height over the seat there."""
    found = False
    highest = 0.0
    there = zone[1]
    for n in range(strips.ends[i], strips.ends[i + 1]):
        piece, around, tops = strips.slabs[n]
        if (
            around[0] > there[1]
            or there[0] > around[1]
            or around[2] > there[3]
            or there[2] > around[3]
        ):
            continue
        under, top = slab_highest(piece, tops, zone[0])
        if under != 0.0:
            highest = max(highest, top) if found else top
            found = True
    return (found, highest)


def tyre_room(strips: Arms, pads: list[Pair], tyres: list[Shape], near: float) -> float:
    """Least distance of arms and pads to tyres, or `near` where that is less."""
    for i in range(4):
        for tyre in tyres:
            if near_boxes(strips.boxes[i], tyre[1], near):
                near = strip_gap(strips, i, tyre, near)
                near = min(near, point_outline(pads[i], tyre[0]))
    return near


def greatest_touch(
    strips: Arms,
    tops: list[float],
    outlines: list[Shape],
    zones: Table,
    gap: float,
) -> float:
    """Greatest seat height at which every arm keeps the gap below or beside every zone."""
    greatest = inf
    for i in range(4):
        for k in range(len(outlines)):
            underside = zones[k, UNDERSIDE]
            passes = zones[k, PASS_UNDER] > 0.0
            if underside - tops[i] - gap >= greatest and passes:
                continue
            there = outlines[k]
            if not near_boxes(strips.boxes[i], there[1], gap):
                continue
            under, top = top_under(strips, i, there)
            if under or strip_gap(strips, i, there, gap) < gap:
                low = underside - (top if under else tops[i]) - gap if passes else -inf
                greatest = min(greatest, low)
    return greatest


def zone_room(
    strips: Arms,
    tops: list[float],
    outlines: list[Shape],
    zones: Table,
    reach: tuple[float, float, float],
) -> float:
    """Least room between arms and zones, or the third of `reach` (seat, gap, near) if less."""
    seat, gap, near = reach
    for i in range(4):
        for k in range(len(outlines)):
            there = outlines[k]
            if not near_boxes(strips.boxes[i], there[1], near):
                continue
            passes = zones[k, PASS_UNDER] > 0.0
            underside = zones[k, UNDERSIDE]
            below = underside - (seat + tops[i]) if passes else -inf
            if below >= 2 * gap:
                continue
            under, top = top_under(strips, i, there)
            if not under:
                room = max(below, strip_gap(strips, i, there, near))
            else:
                room = underside - (seat + top) if passes else 0.0
            near = min(near, room)
    return near


def pad_room(
    pads: list[Pair],
    heads: list[tuple[float, float, float]],
    outlines: list[Shape],
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
            room = max(point_outline(pads[i], outlines[k][0]) - half, 0.0)
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
