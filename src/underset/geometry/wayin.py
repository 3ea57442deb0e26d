"""The way in: from parked to under the lifting point, past tyres and low zones, at lowest height.

Everything happens in the plane of swing and reach (see wayin_reaches). First the simple way is
tried: pull in, swing, push out. Where that meets something, cells of swings are searched (see
wayin_cells): a way found is safe at every swing, and one refused is proved not to exist.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import ceil, cos, hypot, inf, radians, sin
from typing import TYPE_CHECKING

from underset.geometry import outline_kernels as kernels
from underset.geometry.intervals import Interval, Union, intersect, measure
from underset.geometry.strips import ArmProfile, Polygon
from underset.geometry.wayin_cells import (
    FINEST,
    HALVINGS,
    cells_of,
    corners_of,
    proved,
    sure_chain,
)
from underset.geometry.wayin_reaches import (
    SLACK,
    Obstacle,
    Place,
    Scene,
    free_at,
    has,
    left_by,
    part_with,
    scene_of,
    span_of,
)

if TYPE_CHECKING:
    from underset.geometry.linkage import Arm

LOOK = radians(1.0)


@dataclass(frozen=True, slots=True)
class Path:
    """A free way in: corners (swing, reach) from parked to goal; each move changes only one."""

    corners: tuple[Place, ...]


@dataclass(frozen=True, slots=True)
class Blocked:
    """No way in. `obstacle` counts through the low obstacles and on through the tip obstacles.

    `swing` is where the way closes. `proved` is False where a way narrower than 0.2 mm may exist.
    """

    obstacle: int
    swing: float
    proved: bool = True


def way_in(  # noqa: PLR0913 - decision: arm, two places, body, surroundings, gap
    arm: Arm,
    parked: Place,
    goal: Place,
    profile: ArmProfile,
    tip_radius: float,
    low_obstacles: tuple[Polygon, ...],
    tip_obstacles: tuple[Polygon, ...],
    gap: float,
) -> Path | Blocked:
    """Way of an arm from parked to its goal at lowest height that keeps `gap` from all obstacles.

    `low_obstacles` stop arm and tip (tyres, zones lower than the arm's top); `tip_obstacles` stop
    the tip's disc alone (zones too low for the stack, high enough for the arm). Outlines in plan,
    in the frame of the arm. First choice: pull in, swing, push out; else the way with fewest cells,
    as far in as it goes. The way keeps within the arm's limits (widened to parked and goal).
    """
    body, around = (profile, tip_radius, gap), (low_obstacles, tip_obstacles)
    scene = scene_of(arm, (parked[1], goal[1]), body, around)
    shut = _shut(scene, (parked, goal))
    return shut or _simple(scene, arm, parked, goal) or _search(scene, arm, parked, goal)


def has_way_in(  # noqa: PLR0913 - decision: as way_in
    arm: Arm,
    parked: Place,
    goal: Place,
    profile: ArmProfile,
    tip_radius: float,
    low_obstacles: tuple[Polygon, ...],
    tip_obstacles: tuple[Polygon, ...],
    gap: float,
    halvings: int = HALVINGS,
) -> bool:
    """Whether `way_in` finds a way; several times quicker, as it tells neither way nor reason.

    With few halvings a narrow way may be missed, none is made up.
    """
    body, around = (profile, tip_radius, gap), (low_obstacles, tip_obstacles)
    scene = scene_of(arm, (parked[1], goal[1]), body, around)
    if _shut(scene, (parked, goal)):
        return False
    if _simple(scene, arm, parked, goal):
        return True
    cells = cells_of(scene, arm, parked[0], goal[0])
    return bool(sure_chain(cells, (parked, goal), halvings))


def _shut(scene: Scene, places: tuple[Place, Place]) -> Blocked | None:
    """The first obstacle an arm would meet where it is parked or set."""
    for swing, reach in places:
        for obstacle in scene.obstacles:
            if not has(left_by((scene.reach,), scene, obstacle, swing), reach):
                return Blocked(obstacle.index, swing)
    return None


# --- the simple way: pull in, swing, push out ---------------------------------------------------


def _simple(scene: Scene, arm: Arm, parked: Place, goal: Place) -> Path | None:
    """Pull in, swing, push out; None where that meets something."""
    home = arm.reach_low
    for swing, reach in (parked, goal):
        part = part_with(free_at(scene, swing, 0.0), reach)
        if part is None or not part[0] - SLACK <= home <= part[1] + SLACK:
            return None
    if all(_sweeps_free(scene, o, home, (parked[0], goal[0])) for o in scene.obstacles):
        return _path([parked, (parked[0], home), (goal[0], home), goal])
    return None


def _sweeps_free(scene: Scene, obstacle: Obstacle, reach: float, swings: Interval) -> bool:
    """Whether swinging at one reach keeps the gap, by steps no longer than the distance allows."""
    swing, end = min(swings), max(swings)
    slabs = kernels.slabs(reach, scene.profile) if obstacle.stops_arm else []
    rate = min(span_of(scene.profile, scene.tip_radius, reach), obstacle.far) or 1.0
    while swing < end:
        room = _least_room(scene, obstacle, reach, swing)
        if room < 0.1:
            room = _room(scene, obstacle, (reach, slabs), swing)
        if room < -SLACK:
            return False
        swing += max(room / rate, FINEST)
    return _room(scene, obstacle, (reach, slabs), end) >= -SLACK


def _least_room(scene: Scene, obstacle: Obstacle, reach: float, swing: float) -> float:
    """A quick lower bound on the room left over the gap: bounding disc against bounding box."""
    c, s = cos(swing), sin(swing)
    x, y = obstacle.centre
    x, y = x * c + y * s, abs(y * c - x * s)
    front = reach + max(scene.tip_radius, -scene.profile[0][0])
    apart = hypot(
        max(x - front, min(reach - scene.tip_radius, 0.0) - x, 0.0), max(y - scene.half_width, 0.0)
    )
    return apart - obstacle.radius - scene.gap


def _room(
    scene: Scene,
    obstacle: Obstacle,
    body: tuple[float, list[tuple[float, ...]]],
    swing: float,
) -> float:
    """Room left over the gap between the arm (reach, slabs) and an obstacle at one swing.

    Decision: outlines that meet have no room, whatever the gap; -inf says so where the gap is 0.
    """
    reach, slabs = body
    seen = kernels.in_arm_axes(obstacle.outline, (0.0, 0.0), swing)
    tip = kernels.point_outline((reach, 0.0), seen) - scene.tip_radius
    apart = min(tip, kernels.arm_gap(slabs, seen))
    return apart - scene.gap if apart > 0.0 else -inf


def _path(corners: list[Place]) -> Path:
    """Corners without repeats and without stops on one straight move."""
    kept: list[Place] = []
    for place in corners:
        if kept and abs(place[0] - kept[-1][0]) < 1e-12 and abs(place[1] - kept[-1][1]) < 1e-12:
            continue
        if len(kept) > 1 and any(kept[-2][i] == kept[-1][i] == place[i] for i in (0, 1)):
            kept[-1] = place
        else:
            kept.append(place)
    return Path(tuple(kept))


# --- the searched way ---------------------------------------------------------------------------


def _search(scene: Scene, arm: Arm, parked: Place, goal: Place) -> Path | Blocked:
    """A way through inner sets, or why there is none."""
    cells = cells_of(scene, arm, parked[0], goal[0])
    sure = sure_chain(cells, (parked, goal))
    if sure:
        return _path(_shorter(scene, corners_of(cells, sure, parked, goal)))
    return replace(_why(scene, parked, goal), proved=proved(cells, (parked, goal)))


def _shorter(scene: Scene, corners: list[Place]) -> list[Place]:
    """The same way with detours cut: two corners joined by one swing and one push where free."""
    short = [corners[0]]
    here = 0
    while here + 1 < len(corners):
        for ahead in range(len(corners) - 1, here, -1):
            a, b = corners[here], corners[ahead]
            bend = next((c for c in ((b[0], a[1]), (a[0], b[1])) if _joins(scene, a, c, b)), None)
            if bend or ahead == here + 1:
                break
        short += [bend or corners[ahead], corners[ahead]]
        here = ahead
    return short


def _joins(scene: Scene, a: Place, bend: Place, b: Place) -> bool:
    """Whether the two straight moves from a over a bend to b keep the gap."""
    for p, q in ((a, bend), (bend, b)):
        part = part_with(free_at(scene, p[0], 0.0), p[1])
        if part is None or not part[0] - SLACK <= q[1] <= part[1] + SLACK:
            return False
        if not all(_sweeps_free(scene, o, q[1], (p[0], q[0])) for o in scene.obstacles):
            return False
    return True


# --- why a way is closed ------------------------------------------------------------------------


def _why(scene: Scene, parked: Place, goal: Place) -> Blocked:
    """The obstacle and swing that close the way for one who swings from parked straight to goal."""
    turn = goal[0] - parked[0]
    part = part_with(free_at(scene, parked[0], 0.0), parked[1])
    swing = parked[0]
    reached: Union = (part,) if part else ()
    count = ceil(abs(turn) / LOOK)
    for after in [parked[0] + turn * (i + 1) / count for i in range(count)]:
        onward = _onward(scene, after, reached)
        if not onward:
            return _closing(scene, (swing, after), reached)
        swing, reached = after, onward
    ends = [goal[1], *min(reached, key=lambda ends: _off(ends, goal[1]))]
    return Blocked(_culprit(scene, goal[0], ((min(ends), max(ends)),)), goal[0])


def _onward(scene: Scene, swing: float, reached: Union) -> Union:
    """Intervals free at a swing that touch those reached just before."""
    return tuple([i for i in free_at(scene, swing, 0.0) if intersect((i,), reached)])


def _closing(scene: Scene, swings: Interval, reached: Union) -> Blocked:
    """Halve between a swing reached and one that is not, to a hundredth of a degree."""
    there, shut = swings
    while abs(shut - there) > LOOK / 100.0:
        middle = 0.5 * (there + shut)
        onward = _onward(scene, middle, reached)
        if onward:
            there, reached = middle, onward
        else:
            shut = middle
    return Blocked(_culprit(scene, shut, reached), shut)


def _off(ends: Interval, reach: float) -> float:
    return max(ends[0] - reach, reach - ends[1], 0.0)


def _culprit(scene: Scene, swing: float, reached: Union) -> int:
    """Obstacle that by itself leaves least of the given reaches at a swing."""
    left = [(measure(left_by(reached, scene, o, swing)), o.index) for o in scene.obstacles]
    return min(left)[1]
