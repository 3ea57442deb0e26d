"""Stacks of the batch: which pairs level the pads, at what seat, and what they can stop."""

from __future__ import annotations

from math import floor, hypot, inf
from typing import Any, TypeAlias

from underset.studies.batch_clear_kernels import pad_room, tyre_room, tyres_at, zone_room
from underset.studies.batch_columns import (
    BATTERY,
    CLEAN,
    CONTACT,
    CRADLE,
    EDGES,
    FIXED,
    FLANGE_DEPTH,
    FLANGE_THICKNESS,
    FRICTION,
    FRICTION_CLEAN,
    GAP,
    GREATEST_STACK,
    HALF_WIDTH,
    HEIGHTS,
    NOT_KNOWN,
    PIECES,
    PINCH,
    POINT_UP,
    POINT_WATCH,
    PUSH,
    PUSH_FACTOR,
    R_ADAPTER,
    R_ARM_ZONE,
    R_FIT,
    R_HEIGHT,
    R_ON_PAD,
    R_PAD_ZONE,
    R_SCREW,
    R_SEAT,
    R_SLIDE,
    R_TYRE,
    RAIL,
    RANK,
    RATING,
    SEAT_HIGH,
    SEAT_LOW,
    SERVES,
    SLOT,
    SLOT_DEPTH,
    SPACERS,
    STOPS,
    TRAVEL,
    TRAVELS,
    UP_TOL,
)
from underset.studies.batch_load_kernels import least, most, slide_force

Floats = tuple[float, ...]
Pair = tuple[float, float]
Table: TypeAlias = Any
Run = tuple[int, float, int]


Level = tuple[float, float, float, float, float, float, float, float]
"""A front and a rear stack that level the pads: the two rows, pieces in all, lowest and highest
seat, and what ranks it among as many pieces: tallest stack, travel of the screws, names."""
FRONT, REAR, L_PIECES, L_LOW, L_HIGH, L_TALLEST, L_TURNING, L_RANK = range(8)


def no_levels() -> list[Level]:
    """An empty list of them."""
    return [(0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0) for _ in range(0)]


def along_the_structure(v: Table) -> bool:
    """Whether the load follows the pad along the point's structure."""
    return bool(v[CONTACT] == PINCH or v[CONTACT] == RAIL)


def serves(v: Table, s: Table) -> bool:
    """Whether a stack may stand under this vehicle's points at all."""
    contact = int(v[CONTACT])
    if s[SERVES + contact] <= 0.0 or (s[CRADLE] > 0.0 and v[BATTERY] != 0.0):
        return False
    if contact != PINCH:
        return True
    wide = s[SLOT] >= v[FLANGE_THICKNESS] - 1e-6
    return bool(wide and s[SLOT_DEPTH] >= v[FLANGE_DEPTH] - 1e-6)


def seats_of(v: Table, b: Table, s: Table, corner: int) -> Pair:
    """Seat heights at which a stack's screw meets one point; low above high where none."""
    up = v[POINT_UP + corner]
    low = max(up - s[FIXED] - s[TRAVEL], b[SEAT_LOW])
    if b[GREATEST_STACK] == b[GREATEST_STACK]:
        low = max(low, up - b[GREATEST_STACK])
    high = min(up - s[FIXED], b[SEAT_HIGH])
    return (low, high) if low <= high + 1e-9 else (1.0, -1.0)


def end_seats(v: Table, b: Table, s: Table, corner: int) -> Pair:
    """Seat heights that serve both points of an end; low above high where none."""
    left = seats_of(v, b, s, corner)
    right = seats_of(v, b, s, corner + 1)
    if left[1] < 0.0 or right[1] < 0.0:
        return (1.0, -1.0)
    low = max(left[0], right[0])
    high = min(left[1], right[1])
    return (low, high) if low <= high + 1e-9 else (1.0, -1.0)


def levels_of(v: Table, b: Table, stacks: Table, stock: Table) -> list[Level]:
    """Every pair of front and rear stacks, left and right alike, that levels the pads."""
    found = no_levels()
    fronts = [(0, 0.0, 0.0) for _ in range(0)]
    rears = [(0, 0.0, 0.0) for _ in range(0)]
    for k in range(len(stacks)):
        if serves(v, stacks[k]):
            low, high = end_seats(v, b, stacks[k], 0)
            if high >= 0.0:
                fronts.append((k, low, high))
            low, high = end_seats(v, b, stacks[k], 2)
            if high >= 0.0:
                rears.append((k, low, high))
    for i, front_low, front_high in fronts:
        for j, rear_low, rear_high in rears:
            low = max(front_low, rear_low)
            high = min(front_high, rear_high)
            if low <= high + 1e-9 and stock[i, j]:
                pieces = 2.0 * (stacks[i, PIECES] + stacks[j, PIECES])
                key = ease(v, (stacks[i], stacks[j]), low, high)
                rank = stacks[i, RANK] * len(stacks) + stacks[j, RANK]
                found.append((i + 0.0, j + 0.0, pieces, low, high, key[0], key[1], rank))
    return found


def least_pieces(levels: list[Level]) -> float:
    """Fewest pieces of any pair."""
    least_of_all = inf
    for level in levels:
        least_of_all = min(least_of_all, level[L_PIECES])
    return least_of_all


def first_seat(v: Table, level: Level) -> float:
    """A little below the highest seat, so that a point lower than written can be met."""
    return seat_between(v, level[L_LOW], level[L_HIGH])


def seat_between(v: Table, low: float, high: float) -> float:
    """The first seat of a range of seats."""
    seat: float = high - min(v[UP_TOL], (high - low) / 2)
    return seat


def screws_at(
    v: Table, front: Table, rear: Table, seat: float
) -> tuple[float, float, float, float]:
    """Screw of each stack that meets its point."""
    return (
        min(max(v[POINT_UP] - seat - front[FIXED], 0.0), front[TRAVEL]),
        min(max(v[POINT_UP + 1] - seat - front[FIXED], 0.0), front[TRAVEL]),
        min(max(v[POINT_UP + 2] - seat - rear[FIXED], 0.0), rear[TRAVEL]),
        min(max(v[POINT_UP + 3] - seat - rear[FIXED], 0.0), rear[TRAVEL]),
    )


def turning_at(v: Table, stacks: Table, level: Level, seat: float) -> float:
    """Travel of all four screws at a seat height."""
    screws = screws_at(v, stacks[int(level[FRONT])], stacks[int(level[REAR])], seat)
    return screws[0] + screws[1] + screws[2] + screws[3]


def ease(v: Table, pair: tuple[Table, Table], low: float, high: float) -> Pair:
    """The planner's key among as many pieces: lowest, then least turning, in micrometres."""
    front, rear = pair
    screws = screws_at(v, front, rear, seat_between(v, low, high))
    tallest = max(
        front[FIXED] + screws[0],
        front[FIXED] + screws[1],
        rear[FIXED] + screws[2],
        rear[FIXED] + screws[3],
    )
    turning = screws[0] + screws[1] + screws[2] + screws[3]
    return (floor(tallest * 1e6 + 0.5) + 0.0, floor(turning * 1e6 + 0.5) + 0.0)


def easier(a: Level, b: Level) -> bool:
    """Whether one pair goes before another: pieces, tallest stack, turning, names."""
    if a[L_PIECES] != b[L_PIECES]:
        return a[L_PIECES] < b[L_PIECES]
    if a[L_TALLEST] != b[L_TALLEST]:
        return a[L_TALLEST] < b[L_TALLEST]
    if a[L_TURNING] != b[L_TURNING]:
        return a[L_TURNING] < b[L_TURNING]
    return a[L_RANK] < b[L_RANK]


def next_level(levels: list[Level], after: int, greatest: float) -> int:
    """Index of the next pair that brings the seat down to `greatest`, easiest first; -1 at the end.

    `after` is the index of the pair before it, -1 for the first.
    """
    best = -1
    for k in range(len(levels)):
        if levels[k][L_LOW] > greatest or (after >= 0 and not easier(levels[after], levels[k])):
            continue
        if best < 0 or easier(levels[k], levels[best]):
            best = k
    return best


def seat_within(v: Table, level: Level, roomy: float, greatest: float) -> float:
    """The pair's seat, as high as it likes but for `roomy`, and never over `greatest`."""
    seat = first_seat(v, level)
    low = min(level[L_LOW] + (level[L_HIGH] - seat), seat)
    return min(seat, max(low, roomy), greatest)


def judged(
    subject: tuple[Table, Table, int],
    lift: Table,
    stack: tuple[Level, Table],
    here: tuple[float, Any],
    scene: Table,
) -> Run:
    """What the batch says of one pair of stacks with the seat at a height, at one spot."""
    v = subject[0]
    level, p = stack
    seat, load = here
    pads, use, strips, tops, outlines, spot, tail_in = scene
    front = lift.stacks[int(level[FRONT])]
    rear = lift.stacks[int(level[REAR])]
    run = pieces_checks(load.run, v, lift.figures, (front, rear, p), (seat, use))
    if run[0] != STOPS:
        run = bearing_checks(run, v, (front, rear, p), load)
    if run[0] == STOPS:
        return run
    gap = p[GAP]
    bound = gap / (1.0 - min(run[1], 0.5))
    tyres = tyres_at(v, spot, tail_in, seat + max(tops))
    near = tyre_room(strips, pads, tyres, bound)
    run = least(run, near, gap, 0.0, R_TYRE) if near < bound else run
    if run[0] == STOPS:
        return run
    bound = gap / (1.0 - min(run[1], 0.5))
    near = zone_room(strips, tops, outlines, subject[1], (seat, gap, bound))
    run = least(run, near, gap, 0.0, R_ARM_ZONE) if near < bound else run
    if run[0] == STOPS:
        return run
    screws = screws_at(v, front, rear, seat)
    heads = [
        head_of(front, seat, screws[0]),
        head_of(front, seat, screws[1]),
        head_of(rear, seat, screws[2]),
        head_of(rear, seat, screws[3]),
    ]
    room, wanted = pad_room(pads, heads, outlines, subject[1], gap)
    return least(run, room, wanted, 0.0, R_PAD_ZONE) if room < inf else run


def head_of(s: Table, seat: float, screw: float) -> tuple[float, float, float]:
    """Half width, height of the face, and whether edges may not stand near a battery."""
    count = int(s[PIECES])
    face = seat
    for k in range(count):
        left = screw  # the topmost screws turn first
        for above in range(count - 1, k, -1):
            left -= min(left, s[TRAVELS + above])
        face = face + s[HEIGHTS + k] + min(left, s[TRAVELS + k])
    return (s[HALF_WIDTH], face, s[EDGES])


def pieces_checks(
    run: Run,
    v: Table,
    b: Table,
    stack: tuple[Table, Table, Table],
    here: tuple[float, list[Pair]],
) -> Run:
    """Slot, point on the pad, height, screws and seat: none of them ranks but the second."""
    front, rear, p = stack
    seat, use = here
    worst = 0.0
    for i in range(4):
        s = front if i < 2 else rear
        off = abs(use[i][1])
        if v[CONTACT] == PINCH and s[SLOT] < v[FLANGE_THICKNESS] + 2 * off - 1e-6:
            return (STOPS, run[1], R_FIT)
        if not along_the_structure(v):
            off = hypot(use[i][0], use[i][1])
        worst = max(worst, off / s[HALF_WIDTH])
    run = most(run, worst, 1.0, p[POINT_WATCH], R_ON_PAD)
    if run[0] == STOPS:
        return run
    ups = (v[POINT_UP], v[POINT_UP + 1], v[POINT_UP + 2], v[POINT_UP + 3])
    tallest = max(ups[0], ups[1], ups[2], ups[3]) - seat
    if b[GREATEST_STACK] == b[GREATEST_STACK]:
        if tallest > b[GREATEST_STACK] + 1e-9:
            return (STOPS, run[1], R_HEIGHT)
    elif front[SPACERS] > 0.0 or rear[SPACERS] > 0.0:
        run = (max(run[0], NOT_KNOWN), run[1], R_HEIGHT)
    if screw_room(v, front, rear) < -1e-9:
        return (STOPS, run[1], R_SCREW)
    if min(seat - b[SEAT_LOW], b[SEAT_HIGH] - seat) < -1e-9:
        return (STOPS, run[1], R_SEAT)
    return run


def screw_room(v: Table, front: Table, rear: Table) -> float:
    """Room left on the screws when every point is off by its tolerance the wrong way."""
    room: float = min(front[TRAVEL], rear[TRAVEL])
    for i in range(4):
        for j in range(4):
            s = front if i < 2 else rear
            t = front if j < 2 else rear
            if i != j:
                plain = (v[POINT_UP + i] - s[FIXED]) - (v[POINT_UP + j] - t[FIXED] - t[TRAVEL])
                room = min(room, plain - 2.0 * v[UP_TOL])
    return room


def bearing_checks(run: Run, v: Table, stack: tuple[Table, Table, Table], load: Any) -> Run:
    """Rating of the pieces, and the push that slides the vehicle on them."""
    front, rear, p = stack
    full = max(load.high[0], load.high[1]) / front[RATING]
    full = max(full, max(load.high[2], load.high[3]) / rear[RATING])
    run = most(run, full, 1.0, inf, R_ADAPTER)
    if run[0] == STOPS:
        return run
    clean = front[CLEAN] > 0.0 and rear[CLEAN] > 0.0
    friction = p[FRICTION_CLEAN] if clean else p[FRICTION]
    force = slide_force(v, friction, load.slide[0], load.slide[1])
    return least(run, force, p[PUSH] * p[PUSH_FACTOR], 0.0, R_SLIDE)
