"""Distances, clipping, heights over zones, tyres, doors and ways in against Shapely.

Shapely (GEOS) knows nothing of arms or doors: each test builds the shapes themselves and measures.
"""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
import shapely
from shapely.geometry import LineString
from shapely.geometry import Point as Spot
from shapely.geometry import Polygon as Area

from tests.geometry_cases import Draw, Scene, scene
from underset import geometry
from underset.geometry import ArmProfile, Blocked, Path, Point, Polygon, outline_kernels, way_in

TIGHT = 1e-9


def half_width(profile: ArmProfile, from_tip: float) -> float:
    """Width of the profile at a distance from its tip, by interpolation."""
    stations = [s[0] for s in profile]
    return float(np.interp(from_tip, stations, [s[1] for s in profile]))


def arm_areas(one: Scene, places: np.ndarray) -> np.ndarray:
    """Arms at many places (swing, reach), each one outline built from its two sides."""
    reach = places[:, 1:]
    stations = np.array([s[0] for s in one.profile])
    back = np.concatenate([np.minimum(stations, reach), reach], axis=1)
    width = np.interp(back, stations, [s[1] for s in one.profile])
    steps = np.array([s[1] for s in one.profile])
    width[:, :-1] = np.where(stations < reach, steps, width[:, :-1])
    x = np.concatenate([reach - back, (reach - back)[:, ::-1]], axis=1)
    y = np.concatenate([width, -width[:, ::-1]], axis=1)
    angle = one.arm.inward + one.arm.turn * places[:, :1]
    c, s = np.cos(angle), np.sin(angle)
    pivot = one.arm.pivot
    outline = np.stack([pivot[0] + x * c - y * s, pivot[1] + x * s + y * c], axis=-1)
    return np.asarray(shapely.polygons(outline))


def arm_area(pivot: Point, angle: float, reach: float, profile: ArmProfile) -> Area:
    """One arm as one outline, built from its two sides (no trapezoids)."""
    stations = [s for s in profile if s[0] < reach]
    ends = [(s[0], s[1]) for s in stations]
    ends.append((reach, half_width(profile, reach)))
    left = [(reach - f, w) for f, w in ends]
    outline = left + [(x, -w) for x, w in reversed(left)]
    c, s = math.cos(angle), math.sin(angle)
    return Area([(pivot[0] + x * c - y * s, pivot[1] + x * s + y * c) for x, y in outline])


# --- distances and clipping -----------------------------------------------------------------------


@pytest.mark.parametrize("seed", range(75))
def test_distance_of_convex_outlines(seed: int) -> None:
    draw = Draw(seed)
    a, b = draw.convex(0.6, 0.5), draw.convex(0.6, 0.5)
    assert geometry.convex_distance(a, b) == pytest.approx(Area(a).distance(Area(b)), abs=TIGHT)
    assert geometry.convex_distance(b, a) == geometry.convex_distance(a, b)


@pytest.mark.parametrize("seed", range(75))
def test_distance_of_simple_outlines(seed: int) -> None:
    draw = Draw(seed)
    a, b = draw.simple(0.7, 0.6), draw.simple(0.7, 0.6)
    far = geometry.polygon_distance(a, b)
    assert far == pytest.approx(Area(a).distance(Area(b)), abs=TIGHT)
    disc = geometry.disc_to_polygon(a[0], 0.05, b)
    assert disc == pytest.approx(max(Spot(a[0]).distance(Area(b)) - 0.05, 0.0), abs=TIGHT)


def test_both_near_and_overlapping_outlines_were_compared() -> None:
    far = []
    for seed in range(300):
        draw = Draw(seed)
        far.append(geometry.polygon_distance(draw.simple(0.7, 0.6), draw.simple(0.7, 0.6)))
    assert 60 < sum(d == 0.0 for d in far) < 240


def test_outlines_without_width() -> None:
    """A chord of no length is a line across; two lines in one row still have a distance."""
    line: Polygon = ((0.0, 0.0), (0.0, 0.2), (0.0, 0.2), (0.0, 0.0))
    row: Polygon = ((0.0, 0.5), (0.0, 0.9))
    box: Polygon = ((1.0, 0.0), (1.0, 1.0), (2.0, 1.0), (2.0, 0.0))
    assert geometry.convex_distance(line, row) == pytest.approx(0.3)
    assert geometry.convex_distance(row, line) == pytest.approx(0.3)
    assert geometry.convex_distance(line, box) == pytest.approx(1.0)
    assert geometry.convex_distance(box, ((1.5, -0.7), (1.5, -0.4))) == pytest.approx(0.4)


@pytest.mark.parametrize("seed", range(50))
def test_convex_pieces_fill_the_outline(seed: int) -> None:
    outline = Draw(seed).simple(0.5, 0.7)
    pieces = geometry.convex_pieces(outline)
    assert all(geometry.is_convex(piece) for piece in pieces)
    assert sum(Area(p).area for p in pieces) == pytest.approx(Area(outline).area, rel=1e-9)
    assert shapely.union_all([Area(p) for p in pieces]).symmetric_difference(
        Area(outline)
    ).area == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("seed", range(50))
def test_clipping(seed: int) -> None:
    draw = Draw(seed)
    subject, convex = draw.simple(0.4, 0.6), draw.convex(0.4, 0.6)
    common = geometry.clip_convex(subject, convex)
    area = abs(outline_kernels.area_twice(common)) / 2 if common else 0.0
    assert area == pytest.approx(Area(subject).intersection(Area(convex)).area, abs=TIGHT)


# --- arms -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("seed", range(50))
def test_distance_of_an_arm(seed: int) -> None:
    draw = Draw(seed)
    profile, angle, reach = draw.profile(), draw.between(-3, 3), draw.between(0.5, 1.3)
    arm = arm_area((0.2, 1.3), angle, reach, profile)
    strip = geometry.strip((0.2, 1.3), angle, reach, profile)
    assert shapely.union_all([Area(s) for s, _ in strip]).area == pytest.approx(arm.area)
    outline = draw.simple(1.0, 0.4)
    moved = tuple([(x, y + 1.3) for x, y in outline])
    expected = arm.distance(Area(moved))
    assert geometry.strip_to_polygon(strip, moved) == pytest.approx(expected, abs=TIGHT)
    one = geometry.Arm((0.2, 1.3), angle - 0.3, -1, -1, 1, 0.5, 1.3)
    whole = geometry.arm_to_polygon(one, -0.3, reach, profile, moved)
    assert whole == pytest.approx(expected, abs=TIGHT)


@pytest.mark.parametrize("seed", range(25))
def test_distance_of_two_arms(seed: int) -> None:
    draw = Draw(seed)
    profile = draw.profile()
    places = [(draw.point(0.6), draw.between(-3, 3), draw.between(0.4, 1.0)) for _ in range(2)]
    strips = [geometry.strip(p, a, r, profile) for p, a, r in places]
    areas = [arm_area(p, a, r, profile) for p, a, r in places]
    assert geometry.strip_to_strip(*strips) == pytest.approx(areas[0].distance(areas[1]), abs=TIGHT)


def test_highest_under_a_zone() -> None:
    """Against the vertices of Shapely's own intersections, with tops read off along the arm."""
    seen = 0
    for seed in range(300):
        draw = Draw(seed)
        profile, angle, reach = draw.profile(), draw.between(-3, 3), draw.between(0.5, 1.3)
        zone = draw.simple(0.8, 0.5)
        expected = highest(angle, reach, profile, Area(zone))
        got = geometry.highest_under(geometry.strip((0.0, 0.0), angle, reach, profile), zone)
        assert (got is None) == (expected is None)
        if expected is not None:
            assert got == pytest.approx(expected, abs=1e-7)
            seen += 1
    assert 60 < seen < 270


def highest(angle: float, reach: float, profile: ArmProfile, zone: Area) -> float | None:
    """Greatest top within the zone: between two stations the top is linear along the arm."""
    ends = [(s[0], s[1], s[2]) for s in profile if s[0] < reach]
    ends.append(
        (
            reach,
            half_width(profile, reach),
            float(np.interp(reach, [s[0] for s in profile], [s[2] for s in profile])),
        )
    )
    tops = []
    for (f0, w0, t0), (f1, w1, t1) in pairwise(ends):
        if f1 == f0:
            continue
        corners = [(reach - f0, w0), (reach - f0, -w0), (reach - f1, -w1), (reach - f1, w1)]
        c, s = math.cos(angle), math.sin(angle)
        slab = Area([(x * c - y * s, x * s + y * c) for x, y in corners])
        for x, y in shapely.get_coordinates(slab.intersection(zone)):
            share = (reach - (x * c + y * s) - f0) / (f1 - f0)
            tops.append(t0 + share * (t1 - t0))
    return max(tops, default=None)


@pytest.mark.parametrize("seed", range(60))
def test_tyre_at_a_height(seed: int) -> None:
    """A wheel seen from the side is a disc; seen from above at a height it is that chord wide."""
    draw = Draw(seed)
    width, diameter = draw.between(0.15, 0.3), draw.between(0.55, 0.85)
    height, yaw, centre = draw.between(0.0, 0.6), draw.between(-3, 3), draw.point(2.0)
    wheel = Spot(0.0, diameter / 2).buffer(diameter / 2, quad_segs=4000)
    below = wheel.intersection(shapely.box(-1.0, 0.0, 1.0, height)) if height else wheel
    left, _, right, _ = below.bounds
    tyre = Area(geometry.tyre_rectangle(centre, yaw, width, diameter, height))
    assert tyre.area == pytest.approx(width * (right - left), rel=1e-4, abs=1e-6)
    assert tyre.centroid.distance(Spot(centre)) < 1e-9
    along = (
        centre[0] + 0.5 * (right - left) * math.cos(yaw),
        centre[1] + 0.5 * (right - left) * math.sin(yaw),
    )
    assert tyre.exterior.distance(Spot(along)) < 1e-4


def test_a_disc_lies_within_its_polygon() -> None:
    disc = Spot(0.3, -0.2).buffer(0.08, quad_segs=500)
    outline = Area(geometry.disc_polygon((0.3, -0.2), 0.08))
    assert outline.buffer(1e-12).contains(disc)
    assert outline.area < disc.area * 1.01


# --- doors ----------------------------------------------------------------------------------------


def leaf(hinge: Point, angle: float, length: float) -> LineString:
    end = (hinge[0] + length * math.cos(angle), hinge[1] + length * math.sin(angle))
    return LineString([hinge, end])


def test_door_opening_against_dense_sampling() -> None:
    """Up to the answer the leaf keeps the gap at every sample; a hair beyond, it does not."""
    kinds = {"at once": 0, "part": 0, "wide": 0}
    for seed in range(250):
        draw = Draw(seed)
        hinge, closed, turn = draw.point(0.3), draw.between(-3, 3), draw.random.choice((1, -1))
        length, gap = draw.between(0.7, 1.2), draw.random.choice((0.0, 0.02, 0.05))
        columns = tuple([draw.simple(1.4, 0.4) for _ in range(draw.random.randint(1, 3))])
        column = shapely.union_all([Area(c) for c in columns])

        def apart(
            opening: float,
            door: tuple[Point, float, int, float] = (hinge, closed, turn, length),
            column: shapely.Geometry = column,
        ) -> float:
            return float(leaf(door[0], door[1] + door[2] * opening, door[3]).distance(column))

        opening = geometry.door_opening(hinge, closed, turn, length, 1.2, columns, gap)
        assert 0.0 <= opening <= 1.2
        if opening == 0.0:
            assert apart(0.0) < gap or apart(0.0) == 0.0 or apart(1e-4) < gap
            kinds["at once"] += 1
            continue
        assert all(apart(t) >= gap - 1e-6 for t in np.arange(0.0, opening, math.radians(0.1)))
        if gap == 0.0:  # meeting is too near, whatever the gap
            assert all(apart(t) > 0.0 for t in np.arange(1e-9, opening, math.radians(0.1)))
        if opening < 1.2:
            assert apart(opening) == pytest.approx(gap, abs=1e-6)
            assert apart(opening + 1e-4) < gap or apart(opening + 1e-4) == 0.0
        kinds["part" if opening < 1.2 else "wide"] += 1
    assert min(kinds.values()) >= 20


# --- the way in -----------------------------------------------------------------------------------


def test_limit_of_an_arm_and_interval_of_a_tip() -> None:
    """At the limit the arm is just the gap away, below it farther, beyond it nearer."""
    limited = 0
    for seed in range(400):
        draw = Draw(seed)
        profile, gap = draw.profile(), draw.random.choice((0.0, 0.01, 0.03))
        outline = draw.convex(1.0, 0.4)
        limit = outline_kernels.arm_limit(profile, outline, gap)
        for reach in (0.3, 0.7, 1.1, 1.5):
            apart = arm_area((0.0, 0.0), 0.0, reach, profile).distance(Area(outline))
            assert (apart < gap or apart == 0.0) if reach > limit + 1e-9 else apart >= gap - 1e-9
        if max(profile[0][0], 0.0) + 1e-3 < limit < math.inf:
            limited += 1
            apart = arm_area((0.0, 0.0), 0.0, limit, profile).distance(Area(outline))
            assert apart == pytest.approx(gap, abs=1e-7)
        low, high = outline_kernels.ray_blocked(outline, 0.1, 0.05 + gap)
        for x in np.arange(-1.5, 1.5, 0.05):
            near = Spot(x, 0.1).distance(Area(outline)) < 0.05 + gap
            assert near == (low < x < high)
    assert limited >= 40


def test_limit_of_an_arm_by_something_at_its_root() -> None:
    """Beside and behind the pivot: what the arm's end there, growing wider, comes to first."""
    at_root = 0
    for seed in range(400):
        draw = Draw(seed)
        gap = draw.random.choice((0.0, 0.01, 0.03))
        width, second = draw.between(0.05, 0.15), draw.between(0.1, 0.5)
        ends = ((-0.02, 0.02), (second, width), (second + 0.3, width + draw.between(0.0, 0.1)))
        profile = tuple([(f, w, 0.0, -0.1) for f, w in ends])
        side = draw.random.choice((-1, 1)) * draw.between(0.06, 0.18)
        outline = tuple([(x, y + side) for x, y in draw.convex(0.06, 0.08)])
        limit = outline_kernels.arm_limit(profile, outline, gap)
        for reach in np.arange(max(profile[0][0], 0.0) + 0.01, 1.2, 0.07):
            apart = arm_area((0.0, 0.0), 0.0, reach, profile).distance(Area(outline))
            assert (apart < gap or apart == 0.0) if reach > limit + 1e-9 else apart >= gap - 1e-9
        at_root += 0.05 < limit < 1.2
    assert at_root > 50


def samples(path: Path, phase: float) -> list[tuple[float, float]]:
    """Places along a path no farther apart than 0.2 degree or 1 mm, from a phase on."""
    places = [path.corners[0], path.corners[-1]]
    for (a, r), (b, q) in pairwise(path.corners):
        assert a == b or r == q
        count = math.ceil(max(abs(b - a) / math.radians(0.2), abs(q - r) / 1e-3, 1))
        shares = [(i + phase) / count for i in range(count)]
        places += [(a + t * (b - a), r + t * (q - r)) for t in shares]
    return places


def least_apart(one: Scene, places: list[tuple[float, float]]) -> np.ndarray:
    """Shapely's distance of the moving parts from all obstacles, at each place."""
    low = shapely.union_all([Area(p) for p in one.low])
    both = shapely.union_all([Area(p) for p in (*one.low, *one.tip)])
    there = np.array(places)
    angle = one.arm.inward + one.arm.turn * there[:, 0]
    x, y = there[:, 1] * np.cos(angle), there[:, 1] * np.sin(angle)
    tips = shapely.points(one.arm.pivot[0] + x, one.arm.pivot[1] + y)
    apart = np.asarray(shapely.distance(tips, both)) - one.tip_radius
    if one.low:
        apart = np.minimum(apart, shapely.distance(arm_areas(one, there), low))
    return np.where(np.isnan(apart), np.inf, apart)


def ends_free(one: Scene) -> bool:
    return bool(least_apart(one, [one.parked, one.goal]).min() >= one.gap)


def worthwhile(count: int) -> list[Scene]:
    """Scenes whose parked place and goal are free, so that the way decides."""
    kept: list[Scene] = []
    seed = 0
    while len(kept) < count:
        one = scene(seed)
        seed += 1
        if ends_free(one):
            kept.append(one)
    return kept


SCENES = worthwhile(90)


def test_a_found_way_never_collides() -> None:
    bent = 0
    for one in SCENES:
        found = way_in(*one.arguments())  # type: ignore[arg-type]
        if isinstance(found, Path):
            assert (found.corners[0], found.corners[-1]) == (one.parked, one.goal)
            apart = least_apart(one, samples(found, 0.37))
            assert apart.min() >= one.gap - 2e-6
            bent += len(found.corners) > 4
    assert bent >= 2


def alone(one: Scene, index: int) -> Scene:
    """The scene with one obstacle left, by its number through low and tip obstacles."""
    if index < len(one.low):
        return replace(one, low=one.low[index : index + 1], tip=())
    index -= len(one.low)
    return replace(one, low=(), tip=one.tip[index : index + 1])


def test_a_blocked_end_is_named() -> None:
    named = 0
    for seed in range(80):
        one = scene(seed)
        if ends_free(one):
            continue
        found = way_in(*one.arguments())  # type: ignore[arg-type]
        assert isinstance(found, Blocked)
        place = one.parked if found.swing == one.parked[0] else one.goal
        assert found.swing == place[0]
        apart = least_apart(alone(one, found.obstacle), [place])[0]
        assert apart < one.gap or apart == 0.0
        named += 1
    assert named > 20


def test_what_closes_the_way_stands_there() -> None:
    """At the swing named, the obstacle named stops some reach; a little sooner the way is open."""
    between = 0
    for one in SCENES:
        found = way_in(*one.arguments())  # type: ignore[arg-type]
        if isinstance(found, Blocked):
            reaches = np.arange(one.arm.reach_low, one.arm.reach_high, 0.002)
            there = [(found.swing, r) for r in reaches]
            assert least_apart(alone(one, found.obstacle), there).min() < one.gap + 1e-9
            before = found.swing + math.copysign(1e-3, one.parked[0] - found.swing)
            assert least_apart(one, [(before, r) for r in reaches]).max() >= one.gap - 2e-3
            between += found.swing != one.goal[0]
    assert between >= 3


class Grid:
    """Swings by 0.5 degree and reaches by 5 mm, with the room at each place."""

    def __init__(self, one: Scene) -> None:
        arm = one.arm
        self.swings = np.arange(arm.swing_low, arm.swing_high + 1e-9, math.radians(0.5))
        self.reaches = np.arange(arm.reach_low, arm.reach_high + 1e-9, 0.005)
        places = [(s, r) for s in self.swings for r in self.reaches]
        shape = (len(self.swings), len(self.reaches))
        self.room = least_apart(one, places).reshape(shape) - one.gap
        # Rounding a place to the grid turns the arm by up to 0.25 degree and shifts it 2.5 mm.
        self.blur = 0.0025 + math.radians(0.25) * (arm.reach_high + one.tip_radius + 0.2)
        self.ends = [self.nearest(one.parked), self.nearest(one.goal)]

    def nearest(self, place: tuple[float, float]) -> tuple[int, int]:
        return (
            int(np.abs(self.swings - place[0]).argmin()),
            int(np.abs(self.reaches - place[1]).argmin()),
        )

    def joined(self, room: float) -> bool:
        """Whether parked and goal hang together over places with at least that room."""
        from scipy.ndimage import label

        islands, _ = label(self.room >= room)
        first, last = (islands[end] for end in self.ends)
        return bool(first != 0 and first == last)


def test_blocked_and_free_agree_with_a_fine_grid() -> None:
    """A way found must join the grid with a blur less room; one refused must not with more."""
    outcomes = {"free": 0, "blocked": 0}
    for one in [s for s in SCENES if not simple(s)][:14]:
        found, grid = way_in(*one.arguments()), Grid(one)  # type: ignore[arg-type]
        if isinstance(found, Path):
            assert grid.joined(-grid.blur)
            outcomes["free"] += 1
        else:
            assert not grid.joined(grid.blur)
            assert found.proved
            outcomes["blocked"] += 1
    assert min(outcomes.values()) >= 3


def simple(one: Scene) -> bool:
    found = way_in(*one.arguments())  # type: ignore[arg-type]
    home = one.arm.reach_low
    return isinstance(found, Path) and all(r == home for _, r in found.corners[1:-1])
