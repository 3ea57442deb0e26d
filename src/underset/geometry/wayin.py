"""The way in: from parked to under the lifting point, past tyres and low zones, at lowest height.

Everything happens in the plane of swing and reach, seen from the arm: pivot at the origin, swing
zero along +x, swings growing counter-clockwise. At one swing the reaches an obstacle stops are
known exactly: beyond one limit for the arm (it never narrows towards its root, so the arm at a
shorter reach is a part of it at a longer one) and in one open interval for the tip.

Between swings, turning by an angle moves the arm against an obstacle by no more than that angle
times the smaller of their greatest distances from the pivot. So a cell of swings has an *inner* set
of reaches, free throughout (outlines thickened by that much), and an *outer* set that contains each
reach free anywhere in it (thinned by as much). A way through inner sets is safe at every swing; no
way through outer sets means that none exists. Cells where the two disagree are halved.
"""

from __future__ import annotations

from collections import deque
from dataclasses import dataclass, replace
from itertools import pairwise
from math import ceil, cos, hypot, inf, radians, sin
from typing import TYPE_CHECKING

from underset.errors import InputError
from underset.geometry import outline_kernels as kernels
from underset.geometry.intervals import Interval, Union, intersect, measure, subtract, union
from underset.geometry.poses import Point
from underset.geometry.strips import ArmProfile, Polygon, check_profile, convex_pieces

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from underset.geometry.linkage import Arm

Place = tuple[float, float]
"""(swing, reach) of an arm."""

COARSE = radians(4.0)
FINEST = radians(0.0125)
"""Decision: halving stops at 0.0125 degree, which is 0.2 mm at the end of a 1.6 m arm."""

LOOK = radians(1.0)
SLACK = 1e-9
HALVINGS = 3000


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


@dataclass(frozen=True, slots=True)
class _Obstacle:
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
class _Scene:
    """What moves, what stands in the way, and the reaches allowed."""

    profile: ArmProfile
    tip_radius: float
    gap: float
    reach: Interval
    span: float
    half_width: float
    obstacles: tuple[_Obstacle, ...]


@dataclass(slots=True)
class _Cell:
    """Swings from low to high: reaches free throughout, and reaches free somewhere.

    Both are worked out when they are first asked for: most cells are never come to.
    """

    scene: _Scene
    low: float
    high: float
    throughout: Union | None = None
    somewhere: Union | None = None

    def inner(self) -> Union:
        """Reaches free at every swing of the cell."""
        if self.throughout is None:
            self.throughout = _free(self.scene, *self._spread())
        return self.throughout

    def outer(self) -> Union:
        """Reaches that may be free at some swing of the cell."""
        if self.somewhere is None:
            middle, half = self._spread()
            self.somewhere = _free(self.scene, middle, -half) if half else self.inner()
        return self.somewhere

    def halves(self) -> list[_Cell]:
        """The two cells that together are this one."""
        middle = 0.5 * (self.low + self.high)
        return [_Cell(self.scene, self.low, middle), _Cell(self.scene, middle, self.high)]

    def _spread(self) -> tuple[float, float]:
        return 0.5 * (self.low + self.high), 0.5 * (self.high - self.low)


_Link = tuple[int, Interval]
"""A cell by its number and one interval of its reaches."""


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
    scene = _scene(arm, (parked[1], goal[1]), (profile, tip_radius, gap))
    scene = _furnished(scene, arm, low_obstacles, tip_obstacles)
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
) -> bool:
    """Whether `way_in` finds a way; several times quicker, as it tells neither way nor reason."""
    scene = _scene(arm, (parked[1], goal[1]), (profile, tip_radius, gap))
    scene = _furnished(scene, arm, low_obstacles, tip_obstacles)
    if _shut(scene, (parked, goal)):
        return False
    if _simple(scene, arm, parked, goal):
        return True
    cells = _cells(scene, arm, parked[0], goal[0])
    return bool(_sure_chain(cells, (parked, goal)))


def _shut(scene: _Scene, places: tuple[Place, Place]) -> Blocked | None:
    """The first obstacle an arm would meet where it is parked or set."""
    for swing, reach in places:
        for obstacle in scene.obstacles:
            if not _has(_left((scene.reach,), scene, obstacle, swing), reach):
                return Blocked(obstacle.index, swing)
    return None


def _scene(arm: Arm, reaches: Place, body: tuple[ArmProfile, float, float]) -> _Scene:
    profile, tip_radius, gap = body
    check_profile(profile)
    if tip_radius < 0.0 or gap < 0.0:
        raise InputError("tip radius or gap", min(tip_radius, gap), "zero or more metres")
    low, high = min(arm.reach_low, *reaches), max(arm.reach_high, *reaches)
    span, half_width = _span(profile, tip_radius, high), max(profile[-1][1], tip_radius)
    return _Scene(profile, tip_radius, gap, (low, high), span, half_width, ())


def _span(profile: ArmProfile, tip_radius: float, reach: float) -> float:
    """Greatest distance of any point of the arm from its pivot at one reach."""
    corners = [hypot(max(reach - station[0], 0.0), station[1]) for station in profile]
    return max(reach + tip_radius, *corners)


def _furnished(
    scene: _Scene, arm: Arm, low: tuple[Polygon, ...], tip: tuple[Polygon, ...]
) -> _Scene:
    """The scene with those obstacles that some place of the arm could meet."""
    kept = []
    for index, outline in enumerate((*low, *tip)):
        for piece in convex_pieces(outline):
            obstacle = _obstacle(scene, arm, piece, (index, index < len(low)))
            if hypot(*obstacle.centre) - obstacle.radius < scene.span + scene.gap:
                kept.append(obstacle)
    return replace(scene, obstacles=tuple(kept))


def _obstacle(scene: _Scene, arm: Arm, outline: Polygon, kind: tuple[int, bool]) -> _Obstacle:
    c, s = cos(-arm.inward), sin(-arm.inward)
    from_pivot = [(x - arm.pivot[0], y - arm.pivot[1]) for x, y in outline]
    seen = tuple([(c * x - s * y, arm.turn * (s * x + c * y)) for x, y in from_pivot])
    near, after, low, high = kernels.extent(seen)
    x, y = 0.5 * (near + after), 0.5 * (low + high)
    radius = max([hypot(p[0] - x, p[1] - y) for p in seen])
    far = max([hypot(p[0], p[1]) for p in seen])
    return _Obstacle(*kind, seen, (x, y), radius, far, min(scene.span, far))


# --- reaches free at one swing ------------------------------------------------------------------


def _stopped(
    scene: _Scene, obstacle: _Obstacle, turn: Point, half: float, least: float = inf
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


def _free(scene: _Scene, swing: float, half: float) -> Union:
    """Reaches free of every obstacle at a swing (see _stopped for `half`)."""
    stopped: list[Interval] = []
    turn, least = (cos(swing), sin(swing)), scene.reach[1]
    for obstacle in scene.obstacles:
        for span in _stopped(scene, obstacle, turn, half, least):
            stopped.append(span)
            if span[1] == inf and span[0] < least:
                least = span[0]
    return subtract((scene.reach,), union(stopped)) if stopped else (scene.reach,)


def _left(free: Union, scene: _Scene, obstacle: _Obstacle, swing: float) -> Union:
    """What one obstacle by itself leaves of some reaches at a swing."""
    return subtract(free, union(_stopped(scene, obstacle, (cos(swing), sin(swing)), 0.0)))


def _has(free: Union, reach: float) -> bool:
    return any(low - SLACK <= reach <= high + SLACK for low, high in free)


def _part(free: Union, reach: float) -> Interval | None:
    """The interval of a union that holds a reach."""
    return next((i for i in free if i[0] - SLACK <= reach <= i[1] + SLACK), None)


# --- the simple way: pull in, swing, push out ---------------------------------------------------


def _simple(scene: _Scene, arm: Arm, parked: Place, goal: Place) -> Path | None:
    """Pull in, swing, push out; None where that meets something."""
    home = arm.reach_low
    for swing, reach in (parked, goal):
        part = _part(_free(scene, swing, 0.0), reach)
        if part is None or not part[0] - SLACK <= home <= part[1] + SLACK:
            return None
    if all(_sweeps_free(scene, o, home, (parked[0], goal[0])) for o in scene.obstacles):
        return _path([parked, (parked[0], home), (goal[0], home), goal])
    return None


def _sweeps_free(scene: _Scene, obstacle: _Obstacle, reach: float, swings: Interval) -> bool:
    """Whether swinging at one reach keeps the gap, by steps no longer than the distance allows."""
    swing, end = min(swings), max(swings)
    slabs = kernels.slabs(reach, scene.profile) if obstacle.stops_arm else []
    rate = min(_span(scene.profile, scene.tip_radius, reach), obstacle.far) or 1.0
    while swing < end:
        room = _least_room(scene, obstacle, reach, swing)
        if room < 0.1:
            room = _room(scene, obstacle, (reach, slabs), swing)
        if room < -SLACK:
            return False
        swing += max(room / rate, FINEST)
    return _room(scene, obstacle, (reach, slabs), end) >= -SLACK


def _least_room(scene: _Scene, obstacle: _Obstacle, reach: float, swing: float) -> float:
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
    scene: _Scene,
    obstacle: _Obstacle,
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


# --- the search over cells of swings ------------------------------------------------------------


def _search(scene: _Scene, arm: Arm, parked: Place, goal: Place) -> Path | Blocked:
    """A way through inner sets, or why there is none."""
    cells = _cells(scene, arm, parked[0], goal[0])
    sure = _sure_chain(cells, (parked, goal))
    if sure:
        return _path(_shorter(scene, _corners(cells, sure, parked, goal)))
    return replace(_why(scene, parked, goal), proved=_proved(cells, (parked, goal)))


def _sure_chain(cells: list[_Cell], places: tuple[Place, Place]) -> list[_Link]:
    """Halve cells until a chain of inner sets is found, or none of outer sets is left: no link.

    The outer sets are asked first: they alone prove that a way is blocked.
    """
    for _ in range(HALVINGS):
        ends = _ends(cells, places)
        hoped = _chain(_Cell.outer, cells, ends)
        if not hoped:
            break
        sure = _chain(_Cell.inner, cells, ends)
        if sure:
            return sure
        _halve_break(cells, hoped)
    return []


def _cells(scene: _Scene, arm: Arm, start: float, end: float) -> list[_Cell]:
    """Cells over the whole range of swings, with start and end as exact cells of no width."""
    low, high = min(arm.swing_low, start, end), max(arm.swing_high, start, end)
    stops = sorted({low, high, start, end})
    cells = [_Cell(scene, s, s) for s in stops[:1] if s in (start, end)]
    for a, b in pairwise(stops):
        count = int((b - a) / COARSE) + 1
        marks = [a + (b - a) * i / count for i in range(count)] + [b]
        cells += [_Cell(scene, p, q) for p, q in pairwise(marks)]
        if b in (start, end):
            cells.append(_Cell(scene, b, b))
    return cells


def _end(cells: list[_Cell], place: Place) -> _Link:
    """Exact cell and interval of parked or goal."""
    number = next(i for i, c in enumerate(cells) if c.low == c.high == place[0])
    part = _part(cells[number].inner(), place[1])
    return (number, part or (place[1], place[1]))


def _ends(cells: list[_Cell], places: tuple[Place, Place]) -> tuple[_Link, _Link]:
    return _end(cells, places[0]), _end(cells, places[1])


def _chain(
    reaches: Callable[[_Cell], Union], cells: list[_Cell], ends: tuple[_Link, _Link]
) -> list[_Link]:
    """Shortest chain of overlapping intervals from start to end; empty where there is none."""
    start, end = ends
    came: dict[_Link, _Link | None] = {start: None}
    queue = deque([start])
    while queue:
        link = queue.popleft()
        if link == end:
            return _unwound(came, link)
        for after in _touching(reaches, cells, link):
            if after not in came:
                came[after] = link
                queue.append(after)
    return []


def _touching(
    reaches: Callable[[_Cell], Union], cells: list[_Cell], link: _Link
) -> Iterator[_Link]:
    """Intervals of the two neighbouring cells that share a reach with this one."""
    number, (low, high) = link
    for i in (number - 1, number + 1):
        if 0 <= i < len(cells):
            yield from [(i, p) for p in reaches(cells[i]) if p[0] <= high and p[1] >= low]


def _unwound(came: dict[_Link, _Link | None], link: _Link) -> list[_Link]:
    chain = [link]
    while (before := came[chain[-1]]) is not None:
        chain.append(before)
    return chain[::-1]


def _halve_break(cells: list[_Cell], hoped: list[_Link]) -> None:
    """Halve the cells where the hoped chain (outer sets) is not sure (inner sets).

    Those are the first link that inner sets do not reach, the one before, and all that follow it up
    to the next link with any inner set. Where none of them may be halved further, hope is given up:
    their outer set becomes the inner.
    """
    inner = [intersect(cells[number].inner(), (part,)) for number, part in hoped]
    at, reached = 0, inner[0]
    while reached and at + 1 < len(hoped):
        at += 1
        reached = tuple([i for i in inner[at] if intersect((i,), reached)])
    end = next((i for i in range(at, len(hoped)) if inner[i]), len(hoped) - 1)
    torn = sorted({number for number, _ in hoped[at - 1 : end + 1]}, reverse=True)
    wide = [number for number in torn if cells[number].high - cells[number].low > FINEST]
    for number in wide:
        cells[number : number + 1] = cells[number].halves()
    if not wide:
        for number in torn:
            cells[number].somewhere = cells[number].inner()


def _corners(cells: list[_Cell], chain: list[_Link], parked: Place, goal: Place) -> list[Place]:
    """Corners of a way through a chain of inner sets: long swings, as far in as each allows."""
    corners = [parked]
    first, reach = 0, parked[1]
    while first < len(chain):
        low, high = chain[first][1]
        last = first
        while last + 1 < len(chain):
            a, b = chain[last + 1][1]
            if max(low, a) > min(high, b):
                break
            low, high, last = max(low, a), min(high, b), last + 1
        if not low <= reach <= high:
            reach = min(max(reach, low), high)
        here = corners[-1][0]
        corners += [(here, reach), (_leave(cells, chain, last, goal), reach)]
        first = last if last + 1 < len(chain) else len(chain)
    return [*corners, goal]


def _shorter(scene: _Scene, corners: list[Place]) -> list[Place]:
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


def _joins(scene: _Scene, a: Place, bend: Place, b: Place) -> bool:
    """Whether the two straight moves from a over a bend to b keep the gap."""
    for p, q in ((a, bend), (bend, b)):
        part = _part(_free(scene, p[0], 0.0), p[1])
        if part is None or not part[0] - SLACK <= q[1] <= part[1] + SLACK:
            return False
        if not all(_sweeps_free(scene, o, q[1], (p[0], q[0])) for o in scene.obstacles):
            return False
    return True


def _leave(cells: list[_Cell], chain: list[_Link], last: int, goal: Place) -> float:
    """Swing at which a run ends: where the next cell begins, or the goal."""
    if last + 1 == len(chain):
        return goal[0]
    here, after = cells[chain[last][0]], cells[chain[last + 1][0]]
    return here.high if after.low >= here.high else here.low


def _proved(cells: list[_Cell], places: tuple[Place, Place]) -> bool:
    """Whether no way is left even where hope was given up."""
    for cell in cells:
        if 0.0 < cell.high - cell.low <= FINEST:
            cell.somewhere = None
    return not _chain(_Cell.outer, cells, _ends(cells, places))


# --- why a way is closed ------------------------------------------------------------------------


def _why(scene: _Scene, parked: Place, goal: Place) -> Blocked:
    """The obstacle and swing that close the way for one who swings from parked straight to goal."""
    turn = goal[0] - parked[0]
    part = _part(_free(scene, parked[0], 0.0), parked[1])
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


def _onward(scene: _Scene, swing: float, reached: Union) -> Union:
    """Intervals free at a swing that touch those reached just before."""
    return tuple([i for i in _free(scene, swing, 0.0) if intersect((i,), reached)])


def _closing(scene: _Scene, swings: Interval, reached: Union) -> Blocked:
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


def _culprit(scene: _Scene, swing: float, reached: Union) -> int:
    """Obstacle that by itself leaves least of the given reaches at a swing."""
    left = [(measure(_left(reached, scene, o, swing)), o.index) for o in scene.obstacles]
    return min(left)[1]
