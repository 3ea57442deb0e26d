"""Support polygons and regions for stands against Shapely, which shares no code with ours."""

from __future__ import annotations

import random

import pytest
from shapely import MultiPoint, Point, Polygon, box
from shapely.geometry.base import BaseGeometry

from underset.statics import (
    StandLimits,
    hull,
    margin,
    place_region,
    split_limits,
    stand_demands,
    tip_force,
)

SEEDS = range(60)


def scatter(draw: random.Random, count: int) -> list[tuple[float, float]]:
    return [(draw.uniform(-2.0, 2.0), draw.uniform(-1.2, 1.2)) for _ in range(count)]


@pytest.mark.parametrize("seed", SEEDS)
def test_hull(seed: int) -> None:
    points = scatter(random.Random(seed), 3 + seed % 8)
    ours = Polygon(hull(points))
    assert ours.exterior.is_ccw
    assert ours.symmetric_difference(MultiPoint(points).convex_hull).area == pytest.approx(0.0)


@pytest.mark.parametrize("seed", SEEDS)
def test_margin(seed: int) -> None:
    draw = random.Random(seed)
    polygon = hull(scatter(draw, 3 + seed % 6))
    shape: BaseGeometry = Polygon(polygon)
    for at in scatter(draw, 20):
        away = Point(at).distance(Polygon(polygon).exterior)
        expected = away if shape.contains(Point(at)) else -away
        assert margin(polygon, at) == pytest.approx(expected, abs=1e-12)


@pytest.mark.parametrize("seed", range(20))
def test_least_push_that_tips(seed: int) -> None:
    """The resultant is moved out to the boundary; the nearest point of it is what a push needs."""
    draw = random.Random(seed)
    polygon = hull(scatter(draw, 5))
    at = Polygon(polygon).centroid
    away = at.distance(Polygon(polygon).exterior)
    force = tip_force(polygon, (at.x, at.y), 15_000.0, 1.2)
    assert force == pytest.approx(15_000.0 * away / 1.2)


@pytest.mark.parametrize("seed", range(20))
def test_region_for_a_stand_is_a_clip_by_half_planes(seed: int) -> None:
    draw = random.Random(seed)
    corners = ((0.9, 0.5), (0.9, -0.5), (-0.9, 0.6), (-0.9, -0.6))
    pads = [(x + draw.uniform(-0.2, 0.2), y + draw.uniform(-0.1, 0.1)) for x, y in corners]
    at = (draw.uniform(-0.6, 0.2), draw.uniform(-0.1, 0.1))
    limits = StandLimits(least_share=0.05, front_share=split_limits(1.5), margin=0.1)
    demands = stand_demands(pads, 14_000.0, at, limits)
    area, push = box(-2.5, -1.0, 2.5, 1.0), draw.uniform(500.0, 4000.0)
    expected: BaseGeometry = area
    for demand in demands:
        expected = expected.intersection(half_plane(demand.free, demand, push))
    ours = place_region(demands, push, tuple(area.exterior.coords)[:-1])
    found: BaseGeometry = Polygon(ours) if len(ours) >= 3 else Polygon()
    assert found.symmetric_difference(expected).area == pytest.approx(0.0, abs=1e-9)


def half_plane(free: float, demand: object, push: float) -> BaseGeometry:
    """The places where free + push (a + b x + c y) >= 0, as a very large rectangle."""
    a, b, c = (getattr(demand, name) for name in ("push", "along", "across"))
    length = (b * b + c * c) ** 0.5
    if length < 1e-12:
        return box(-10, -10, 10, 10) if free + push * a >= 0.0 else Polygon()
    nx, ny = b / length, c / length
    off = -(free / push + a) / length
    far = 100.0
    mid = (off * nx, off * ny)
    return Polygon(
        [
            (mid[0] + far * ny, mid[1] - far * nx),
            (mid[0] + far * ny + far * nx, mid[1] - far * nx + far * ny),
            (mid[0] - far * ny + far * nx, mid[1] + far * nx + far * ny),
            (mid[0] - far * ny, mid[1] + far * nx),
        ]
    )
