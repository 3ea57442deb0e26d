"""The batch's judge: one vehicle in one bay, and many vehicles in one bay.

Rule, in the planner's order: every heading (nose-in first), every exact spot window, the planner's
spots in it; at a spot the stacks that bring the seat low enough for the arms, easiest first, left
and right alike, the seat as the planner seats it. The first spot and stack of a window that no
check of the batch stops stands for the window; the best window is chosen by the planner's key:
nothing to watch, least margin to a thousandth, pieces, width of the window, turning, heading, spot.

Loads and stability are judged first where they are the same at every spot, which changes no
outcome; the reason of a refusal is the check that stopped most often in this order.
"""

from __future__ import annotations

from math import floor, inf, nan
from typing import Any, NamedTuple, TypeAlias

from underset.statics.kernels import mean_high
from underset.studies.batch_clear_kernels import (
    Strips,
    arm_strips,
    greatest_touch,
    strips_gap,
    zones_at,
)
from underset.studies.batch_columns import (
    CG_HIGH,
    CG_LOW,
    CG_X,
    CG_X_TOL,
    EITHER_WAY,
    FOUND,
    GAP,
    INCOMPLETE,
    MASS,
    MASS_TOL,
    NEEDED,
    NONE,
    NOT_KNOWN,
    OFFSET,
    PITCH,
    POINT_X,
    POINT_Y,
    R_ARM_ZONE,
    R_ARMS,
    R_FIT,
    R_REACH,
    R_STOCK,
    R_TYRE,
    R_WINDOW,
    R_ZONE,
    REASONS,
    STOPS,
    ZONE_ACROSS,
    ZONE_ALONG,
)
from underset.studies.batch_load_kernels import least, load_checks, most
from underset.studies.batch_spot_kernels import (
    arm_of,
    arm_spans,
    common,
    placed,
    rays_of,
    served_by,
    spots_of,
    turned_in,
)
from underset.studies.batch_stack_kernels import (
    FRONT,
    L_PIECES,
    REAR,
    Level,
    along_the_structure,
    judged,
    least_pieces,
    levels_of,
    next_level,
    no_levels,
    seat_within,
    turning_at,
)

Floats = tuple[float, ...]
Pair = tuple[float, float]
Table: TypeAlias = Any
Run = tuple[int, float, int]
Answer = tuple[float, ...]
ALIKE = len(REASONS)


class Lift(NamedTuple):
    """One bay as tables: arms, figures, stacks, which of them are in stock together, policy."""

    arms: Table
    figures: Table
    stacks: Table
    stock: Table
    policy: Table


class Load(NamedTuple):
    """What the pads carry wherever the vehicle stands, unless the pads move under it."""

    run: Run
    high: Floats
    slide: Pair


def plan_many(
    vehicles: Table, zones: Table, counts: Table, lift: Lift, profiles: Table, answers: Table
) -> None:
    """Plan every vehicle in one bay; a row of answers each."""
    shapes = profile_lists(profiles)
    tops = [max_top(shape) for shape in shapes]
    teeth = (lift.figures[PITCH], lift.figures[OFFSET])
    rays = [rays_of(arm_of(lift.arms, i), teeth) for i in range(4)]
    for i in range(len(vehicles)):
        row = plan_one((vehicles[i], zones[i], counts[i]), lift, (shapes, tops, rays))
        for k in range(len(row)):
            answers[i, k] = row[k]


def profile_lists(profiles: Table) -> Any:
    """Arm profiles as lists of stations; a row whose first figure is NaN ends one."""
    shapes = []
    for i in range(4):
        shape: list[Floats] = [(0.0, 0.0, 0.0, 0.0) for _ in range(0)]
        for k in range(profiles.shape[1]):
            s = profiles[i, k]
            if s[0] == s[0]:
                shape.append((s[0], s[1], s[2], s[3]))
        shapes.append(shape)
    return shapes


def max_top(shape: Any) -> Any:
    """Greatest height of an arm's top over the seat."""
    top = shape[0][2]
    for station in shape:
        top = max(top, station[2])
    return top


def plan_one(
    subject: tuple[Table, Table, int],
    lift: Lift,
    ready: tuple[Table, list[float], list[list[Pair]]],
) -> Answer:
    """One vehicle in one bay; `ready` is what is the same for every vehicle."""
    v = subject[0]
    shapes, tops, rays = ready
    if not known(v):
        return answer(INCOMPLETE, 0)
    levels = no_levels()
    best = answer(NONE, R_REACH)
    stops = [0 for _ in range(ALIKE)]
    unclear = False
    headings = 2 if lift.figures[EITHER_WAY] > 0.0 else 1
    for heading in range(headings):
        found, unclear_here = plan_heading(
            subject, lift, (shapes, tops, levels, lift.policy), (heading == 1, rays, best), stops
        )
        unclear = unclear or unclear_here
        best = found
    if best[0] == NONE:
        most_often = 0
        for k in range(1, ALIKE):
            most_often = k if stops[k] > stops[most_often] else most_often
        return answer(INCOMPLETE if unclear else NONE, most_often)
    return best


def known(v: Table) -> bool:
    """Whether every figure is there that the judge cannot do without."""
    for k in NEEDED:
        x = v[k]
        if x - x != 0.0:
            return False
    return True


def answer(outcome: float, reason: int) -> Answer:
    """An answer without a setting."""
    return (outcome, 0.0, 0.0, nan, nan, nan, nan, nan, -1.0, -1.0, 0.0, reason + 0.0, 0.0)


def rounded(x: float, parts: float) -> float:
    """To whole parts of one."""
    return floor(x * parts + 0.5)


def better(a: Answer, b: Answer) -> bool:
    """Whether one answer goes before another: the planner's order."""
    if a[0] != FOUND or b[0] != FOUND:
        return a[0] == FOUND
    return answer_key(a) < answer_key(b)


def answer_key(a: Answer) -> Floats:
    """Watch, least margin, pieces, width of the window, turning, heading, spot."""
    return (
        a[1], -rounded(a[6], 1e3), a[10], -rounded(a[4] - a[3], 1e3), rounded(a[12], 1e4), a[2],
        rounded(a[5], 1e4),
    )  # fmt: skip


def plan_heading(
    subject: tuple[Table, Table, int],
    lift: Lift,
    tools: tuple[Table, list[float], list[Level], Table],
    way: tuple[bool, list[list[Pair]], Answer],
    stops: list[int],
) -> tuple[Answer, bool]:
    """The best window up to this heading, and whether something was not known on the way.

    `way` is whether it goes tail-in, the rays of the arms, and the best answer before.
    """
    v = subject[0]
    b = lift.figures
    tail_in, rays, best = way
    unclear = False
    moves = along_the_structure(v)
    load = Load((0, inf, 0), (0.0, 0.0, 0.0, 0.0), (0.0, 0.0))
    if not moves:
        load = loaded(v, b, tools[3], (0.0, 0.0, 0.0, 0.0), tail_in)
        if load.run[0] == STOPS:
            stops[load.run[2]] += 1
            return (best, False)
    spans, shared, reason = windows_of(v, lift, rays, tail_in)
    if len(shared) == 0:
        stops[reason] += 1
        return (best, False)
    if len(tools[2]) == 0:
        tools[2].extend(levels_of(v, b, lift.stacks, lift.stock))
        if len(tools[2]) == 0:
            stops[R_STOCK] += 1
            return (best, False)
    fewest = least_pieces(tools[2])
    for low, high in shared:
        if not moves and hopeless(best, load.run, fewest, high - low):
            continue
        for spot in spots_of(spans, low, high, tail_in):
            at = (low, high, spot)
            fit, missing = plan_spot(subject, lift, tools, (at, tail_in, moves, load), stops)
            unclear = unclear or missing
            if fit[0] == FOUND:
                best = fit if better(fit, best) else best
                break
    return (best, unclear)


def hopeless(best: Answer, run: Run, pieces: float, width: float) -> bool:
    """Whether a window cannot come before the best: every check more only lowers its margin."""
    if best[0] != FOUND:
        return False
    hope = (run[0] + 0.0, -rounded(run[1], 1e3), pieces, -rounded(width, 1e3))
    key = answer_key(best)
    return hope > (key[0], key[1], key[2], key[3])


def windows_of(
    v: Table, lift: Lift, rays: list[list[Pair]], tail_in: bool
) -> tuple[list[list[Pair]], list[Pair], int]:
    """Spans of every arm, the windows of all four, and the reason where there is none."""
    b = lift.figures
    zone = (v[ZONE_ALONG], v[ZONE_ACROSS])
    shared = [(-8.0, 8.0)]
    arms = [[(0.0, 0.0) for _ in range(0)] for _ in range(0)]
    for i in range(4):
        at = turned_in(tail_in, v[POINT_X + i], v[POINT_Y + i])
        index = served_by(tail_in, i)
        spans = arm_spans(arm_of(lift.arms, index), rays[index], at, zone)
        shared = common(shared, spans)
        arms.append(spans)
        if len(shared) == 0:
            return (arms, shared, R_REACH)
    low = -8.0
    high = 8.0
    if b[CG_LOW] == b[CG_LOW]:
        sign = -1.0 if tail_in else 1.0
        ends = balance_ends(v)
        one = sign * ends[0]
        two = sign * ends[1]
        low = max(low, b[CG_LOW] - min(one, two))
        high = min(high, b[CG_HIGH] - max(one, two))
    return (arms, common(shared, [(low, high)]), R_WINDOW)


def balance_ends(v: Table) -> Pair:
    """Rearmost and foremost balance, to the last digit as the ledger gives them.

    Decision: equal to the last digit, so that the windows they cut are the planner's own.
    """
    lows = (v[MASS] - v[MASS_TOL],)
    spreads = (2.0 * v[MASS_TOL],)
    mean = v[MASS] * v[CG_X] / v[MASS]
    rear = -mean_high(lows, spreads, (v[CG_X_TOL] - v[CG_X],), -mean)
    return (rear, mean_high(lows, spreads, (v[CG_X] + v[CG_X_TOL],), mean))


def loaded(v: Table, b: Table, p: Table, along: Floats, tail_in: bool) -> Load:
    """Loads and stability with the pads shifted along the vehicle by `along`."""
    pads = (
        (v[POINT_X] + along[0], v[POINT_Y]),
        (v[POINT_X + 1] + along[1], v[POINT_Y + 1]),
        (v[POINT_X + 2] + along[2], v[POINT_Y + 2]),
        (v[POINT_X + 3] + along[3], v[POINT_Y + 3]),
    )
    served = (
        served_by(tail_in, 0), served_by(tail_in, 1), served_by(tail_in, 2), served_by(tail_in, 3),
    )  # fmt: skip
    run, high, slide = load_checks(v, b, p, pads, served)
    if b[CG_LOW] != b[CG_LOW]:
        run = (max(run[0], 1), run[1], run[2])  # no window on the plate: to be watched
    return Load(run, high, slide)


def plan_spot(
    subject: tuple[Table, Table, int],
    lift: Lift,
    tools: tuple[Table, list[float], list[Level], Table],
    stop: tuple[Floats, bool, bool, Load],
    stops: list[int],
) -> tuple[Answer, bool]:
    """The first stack at one spot that nothing stops, and whether something was not known."""
    v = subject[0]
    p = tools[3]
    at, tail_in, moves, load = stop
    reached, arms = set_arms(v, lift, at[2], tail_in)
    if not reached:
        stops[R_REACH] += 1
        return (answer(NONE, R_REACH), False)
    if moves:
        along = (arms[0][4], arms[1][4], arms[2][4], arms[3][4])
        load = loaded(v, lift.figures, p, along, tail_in)
    run = zone_use(load.run, v, arms)
    strips = arm_strips(lift.arms, arms, tail_in, tools[0])
    run = arms_apart(run, strips, p[GAP]) if run[0] != STOPS else run
    if run[0] == STOPS:
        stops[run[2]] += 1
        return (answer(NONE, run[2]), False)
    tops = [
        tools[1][served_by(tail_in, 0)],
        tools[1][served_by(tail_in, 1)],
        tools[1][served_by(tail_in, 2)],
        tools[1][served_by(tail_in, 3)],
    ]
    pads = [
        (arms[0][2], arms[0][3]),
        (arms[1][2], arms[1][3]),
        (arms[2][2], arms[2][3]),
        (arms[3][2], arms[3][3]),
    ]
    use = [
        (arms[0][4], arms[0][5]),
        (arms[1][4], arms[1][5]),
        (arms[2][4], arms[2][5]),
        (arms[3][4], arms[3][5]),
    ]
    outlines = zones_at(subject[1], subject[2], at[2], tail_in)
    greatest = greatest_touch(strips, tops, outlines, subject[1], p[GAP])
    place = (pads, use, strips, tops, outlines, at[2], tail_in)
    load = Load(run, load.high, load.slide)
    return first_stack(subject, lift, (tools[2], p), (at, tail_in, greatest, load), (place, stops))


def set_arms(v: Table, lift: Lift, spot: float, tail_in: bool) -> tuple[bool, list[Floats]]:
    """Whether all arms reach their points, and the four arms: swing, reach, pad in L, use in V."""
    b = lift.figures
    zone = (v[ZONE_ALONG], v[ZONE_ACROSS])
    sign = -1.0 if tail_in else 1.0
    nothing = (0.0, 0.0, 0.0, 0.0, 0.0, 0.0)
    arms: list[Floats] = [nothing, nothing, nothing, nothing]
    for i in range(4):
        x, y = turned_in(tail_in, v[POINT_X + i], v[POINT_Y + i])
        arm = arm_of(lift.arms, served_by(tail_in, i))
        found, a = placed(arm, (b[PITCH], b[OFFSET]), (spot + x, 0.0 + y), zone)
        if not found:
            return (False, arms)
        arms[i] = (a[0], a[1], a[2], a[3], sign * a[4], sign * a[5])
    return (True, arms)


def zone_use(run: Run, v: Table, arms: list[Floats]) -> Run:
    """How much of the usable zones the pads take."""
    worst = 0.0
    for a in arms:
        for k in range(2):
            off = abs(a[4 + k])
            half = v[ZONE_ALONG + k]
            if off > 1e-6:
                worst = max(worst, off / half if half > 0.0 else 1e6)
    return most(run, worst if worst > 1.0 + 1e-6 else min(worst, 1.0), 1.0, inf, R_ZONE)


def arms_apart(run: Run, strips: Strips, gap: float) -> Run:
    """Arms clear of one another."""
    near = gap / (1.0 - min(run[1], 0.5))
    bound = near
    for i in range(3):
        for j in range(i + 1, 4):
            near = strips_gap(strips, i, j, near)
    return least(run, near, gap, 0.0, R_ARMS) if near < bound else run


def first_stack(
    subject: tuple[Table, Table, int],
    lift: Lift,
    tools: tuple[list[Level], Table],
    stop: tuple[Floats, bool, float, Load],
    scene: tuple[Table, list[int]],
) -> tuple[Answer, bool]:
    """Stacks at one spot, easiest first, until one is not stopped; a roomier one beside the first.

    A reason that no other stack would change ends the spot; the same seat is not judged twice
    against tyres and zones that stopped it.
    """
    v = subject[0]
    levels, p = tools
    at, tail_in, greatest, load = stop
    roomy = greatest - p[GAP]
    k = next_level(levels, -1, greatest)
    first = True
    unclear = False
    bad_seat = inf
    while k >= 0:
        seat = seat_within(v, levels[k], roomy, greatest)
        if abs(seat - bad_seat) > 1e-12:
            run = judged(subject, lift, (levels[k], p), (seat, load), scene[0])
            turning = turning_at(v, lift.stacks, levels[k], seat)
            best = told(run, levels[k], seat, (at, tail_in), turning)
            unclear = unclear or run[0] == NOT_KNOWN
            scene[1][run[2]] += 1 if run[0] == STOPS else 0
            bad_seat = seat if run[0] == STOPS and run[2] in (R_TYRE, R_ARM_ZONE) else bad_seat
            if first and seat > roomy + 1e-9:
                other = roomier(subject, lift, (levels, p), (roomy, load), (scene[0], at, tail_in))
                best = other if better(other, best) else best
            if best[0] == FOUND:
                return (best, unclear)
            if run[0] == STOPS and run[2] < R_FIT:
                return (best, unclear)
        first = False
        k = next_level(levels, k, greatest)
    if first:
        scene[1][R_ARM_ZONE] += 1
    return (answer(NONE, R_ARM_ZONE), unclear)


def roomier(
    subject: tuple[Table, Table, int],
    lift: Lift,
    tools: tuple[list[Level], Table],
    wanted: tuple[float, Load],
    scene: tuple[Table, Floats, bool],
) -> Answer:
    """The easiest stack that leaves twice the gap below the body, judged."""
    levels, p = tools
    k = next_level(levels, -1, wanted[0])
    if k < 0:
        return answer(NONE, R_ARM_ZONE)
    seat = seat_within(subject[0], levels[k], wanted[0], wanted[0])
    run = judged(subject, lift, (levels[k], p), (seat, wanted[1]), scene[0])
    turning = turning_at(subject[0], lift.stacks, levels[k], seat)
    return told(run, levels[k], seat, (scene[1], scene[2]), turning)


def told(run: Run, level: Level, seat: float, at: tuple[Floats, bool], turning: float) -> Answer:
    """A judged stack at a spot as an answer."""
    if run[0] >= NOT_KNOWN:
        return answer(NONE, run[2])
    low, high, spot = at[0]
    return (
        FOUND, run[0] + 0.0, 1.0 if at[1] else 0.0, low, high, spot, run[1], seat,
        level[FRONT], level[REAR], level[L_PIECES], 0.0, turning,
    )  # fmt: skip
