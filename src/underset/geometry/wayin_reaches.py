"""Reaches of an arm that are free at one swing, seen from the arm.

The plane of swing and reach: pivot at the origin, swing zero along +x, swings growing
counter-clockwise. At one swing the reaches an obstacle stops are known exactly: beyond one limit
for the arm (it never narrows towards its root, so the arm at a shorter reach is a part of it at a
longer one) and in one open interval for the tip.

Between swings, turning by an angle moves the arm against an obstacle by no more than that angle
times the smaller of their greatest distances from the pivot.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import cos, hypot, inf, sin
from typing import TYPE_CHECKING

from underset.errors import InputError
from underset.geometry import outline_kernels as kernels
from underset.geometry.intervals import Interval, Union, subtract, union
from underset.geometry.poses import Point
from underset.geometry.strips import ArmProfile, Polygon, check_profile, convex_pieces

if TYPE_CHECKING:
    from underset.geometry.linkage import Arm

Place = tuple[float, float]
"""(swing, reach) of an arm."""

SLACK = 1e-9


@dataclass(frozen=True, slots=True)
class Obstacle:
    """A convex outline seen from the arm, with its bounding disc and greatest distance (pivot).

    Turning by an angle moves arm and outline against each other by at most `lever` times the angle.
    """

    index: int
    stops_arm: bool
    outline: Polygon
    centre: Point
    radius: float
    far: float
    lever: float


@dataclass(frozen=True, slots=True)
class Scene:
    """What moves, what stands in the way, and the reaches allowed."""

    profile: ArmProfile
    tip_radius: float
    gap: float
    reach: Interval
    span: float
    half_width: float
    obstacles: tuple[Obstacle, ...]


def scene_of(
    arm: Arm,
    reaches: tuple[float, float],
    body: tuple[ArmProfile, float, float],
    around: tuple[tuple[Polygon, ...], tuple[Polygon, ...]],
) -> Scene:
    """The scene of an arm that comes to two reaches: body (profile, tip radius, gap), obstacles.

    Kept are those obstacles, low ones and tip ones, that some place of the arm could meet. Raises
    InputError for a profile out of order and for a negative radius or gap.
    """
    profile, tip_radius, gap = body
    check_profile(profile)
    if tip_radius < 0.0 or gap < 0.0:
        raise InputError("tip radius or gap", min(tip_radius, gap), "zero or more metres")
    low, high = min(arm.reach_low, *reaches), max(arm.reach_high, *reaches)
    span, half_width = span_of(profile, tip_radius, high), max(profile[-1][1], tip_radius)
    scene = Scene(profile, tip_radius, gap, (low, high), span, half_width, ())
    kept = []
    for index, outline in enumerate((*around[0], *around[1])):
        for piece in convex_pieces(outline):
            obstacle = _obstacle(scene, arm, piece, (index, index < len(around[0])))
            if hypot(*obstacle.centre) - obstacle.radius < scene.span + scene.gap:
                kept.append(obstacle)
    return replace(scene, obstacles=tuple(kept))


def span_of(profile: ArmProfile, tip_radius: float, reach: float) -> float:
    """Greatest distance of any point of the arm from its pivot at one reach."""
    corners = [hypot(max(reach - station[0], 0.0), station[1]) for station in profile]
    return max(reach + tip_radius, *corners)


def _obstacle(scene: Scene, arm: Arm, outline: Polygon, kind: tuple[int, bool]) -> Obstacle:
    c, s = cos(-arm.inward), sin(-arm.inward)
    from_pivot = [(x - arm.pivot[0], y - arm.pivot[1]) for x, y in outline]
    seen = tuple([(c * x - s * y, arm.turn * (s * x + c * y)) for x, y in from_pivot])
    near, after, low, high = kernels.extent(seen)
    x, y = 0.5 * (near + after), 0.5 * (low + high)
    radius = max([hypot(p[0] - x, p[1] - y) for p in seen])
    far = max([hypot(p[0], p[1]) for p in seen])
    return Obstacle(*kind, seen, (x, y), radius, far, min(scene.span, far))


def _stopped(
    scene: Scene, obstacle: Obstacle, turn: Point, half: float, least: float = inf
) -> list[Interval]:
    """Open intervals of reach that one obstacle stops at a swing; none if they begin at `least`.

    `turn` is the swing's cosine and sine. `half` > 0: in some swing within `half` of it;
    `half` < 0: in every swing within `-half` of it.
    """
    gap = scene.gap + obstacle.lever * half
    tip = max(scene.tip_radius + gap, 0.0)
    c, s = turn
    x, y = obstacle.centre
    along, radius = x * c + y * s, obstacle.radius
    if along + radius <= -tip or along - radius - max(tip, gap - scene.profile[0][0]) >= least:
        return []
    if abs(y * c - x * s) >= max(scene.half_width + gap + radius, 0.0):
        return []
    seen = [(x * c + y * s, y * c - x * s) for x, y in obstacle.outline]
    stopped = kernels.ray_blocked(seen, 0.0, tip)
    found = [stopped] if stopped[0] < stopped[1] else []
    if obstacle.stops_arm:
        limit = _arm_limit(scene.profile, seen, gap)
        if limit < inf:
            found.append((limit, inf))
    return found


def _arm_limit(profile: ArmProfile, seen: list[Point], gap: float) -> float:
    """Limit of the arm's reach; a gap below zero means an arm thinner by as much."""
    if gap >= 0.0:
        return kernels.arm_limit(profile, seen, gap)
    if profile[0][1] <= -gap:
        return inf
    thin = tuple([(s[0] - gap, s[1] + gap, s[2], s[3]) for s in profile])
    return kernels.arm_limit(thin, seen, 0.0)


def free_at(scene: Scene, swing: float, half: float) -> Union:
    """Reaches free of every obstacle at a swing (see _stopped for `half`)."""
    stopped: list[Interval] = []
    turn, least = (cos(swing), sin(swing)), scene.reach[1]
    for obstacle in scene.obstacles:
        for span in _stopped(scene, obstacle, turn, half, least):
            stopped.append(span)
            if span[1] == inf and span[0] < least:
                least = span[0]
    return subtract((scene.reach,), union(stopped)) if stopped else (scene.reach,)


def left_by(free: Union, scene: Scene, obstacle: Obstacle, swing: float) -> Union:
    """What one obstacle by itself leaves of some reaches at a swing."""
    return subtract(free, union(_stopped(scene, obstacle, (cos(swing), sin(swing)), 0.0)))


def has(free: Union, reach: float) -> bool:
    """Whether a union holds a reach."""
    return any(low - SLACK <= reach <= high + SLACK for low, high in free)


def part_with(free: Union, reach: float) -> Interval | None:
    """The interval of a union that holds a reach."""
    return next((i for i in free if i[0] - SLACK <= reach <= i[1] + SLACK), None)
