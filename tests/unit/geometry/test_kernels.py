"""Every kernel compiles with numba as it stands and then gives the same numbers."""

from __future__ import annotations

import math
import random
from collections.abc import Callable
from types import ModuleType

import pytest

from tests.kernel_cases import compiled, flat, own_functions
from underset.geometry import kernels, outline_kernels

Arguments = tuple[object, ...]
Point = tuple[float, float]


class Draw:
    """Random arguments, the same ones each run."""

    def __init__(self, seed: int) -> None:
        self.random = random.Random(seed)

    def between(self, low: float, high: float) -> float:
        return self.random.uniform(low, high)

    def point(self, size: float = 1.5) -> Point:
        return (self.between(-size, size), self.between(-size, size))

    def sign(self) -> float:
        return self.random.choice((-1.0, 1.0))

    def arm(self) -> tuple[float, ...]:
        x, y = self.point()
        low, reach = self.between(-1.0, 0.2), self.between(0.3, 0.8)
        return (x, y, self.between(-3, 3), self.sign(), low, low + 1.8, reach, reach + 0.5)

    def teeth(self) -> Point:
        return (self.between(0.03, 0.12), self.between(-0.1, 0.1))

    def swing(self, arm: tuple[float, ...]) -> float:
        return self.between(arm[4] - 0.2, arm[5] + 0.2)

    def near_pad(self, arm: tuple[float, ...]) -> Point:
        angle = arm[2] + arm[3] * self.swing(arm)
        reach = self.between(arm[6] - 0.05, arm[7] + 0.05)
        return (arm[0] + reach * math.cos(angle), arm[1] + reach * math.sin(angle))

    def zone(self) -> Point:
        return (self.between(0.005, 0.06), self.between(0.005, 0.06))

    def quad(self, size: float = 1.0) -> tuple[Point, ...]:
        """A convex quadrilateral: corners on a circle."""
        x, y = self.point(size)
        radius = self.between(0.1, 0.6)
        turns = [(i + self.between(0.1, 0.9)) * math.pi / 2 for i in range(4)]
        return tuple([(x + radius * math.cos(t), y + radius * math.sin(t)) for t in turns])

    def profile(self) -> tuple[tuple[float, ...], ...]:
        width, from_tip, stations = self.between(0.02, 0.05), self.between(-0.05, 0.0), []
        for _ in range(3):
            stations.append((from_tip, width, self.between(-0.05, 0.02), -0.1))
            width += self.between(0.0, 0.05)
            from_tip += self.between(0.05, 0.3)
        return tuple(stations)

    def door(self) -> tuple[float, ...]:
        x, y = self.point(0.5)
        return (x, y, self.between(-3, 3), self.sign(), self.between(0.6, 1.2))


def arm_and_point(draw: Draw) -> tuple[tuple[float, ...], Point]:
    arm = draw.arm()
    return arm, draw.near_pad(arm)


def one_tooth(draw: Draw) -> Arguments:
    arm, point = arm_and_point(draw)
    swing = kernels.swing_towards(arm, point[0] - arm[0], point[1] - arm[1])
    return arm, swing + draw.between(-0.05, 0.05), point, draw.zone()


def one_ray(draw: Draw) -> Arguments:
    arm, swing, point, zone = one_tooth(draw)
    angle = arm[2] + arm[3] * swing
    return arm, (math.cos(angle), math.sin(angle)), point, zone


def all_teeth(draw: Draw) -> Arguments:
    arm, point = arm_and_point(draw)
    return arm, draw.teeth(), point, draw.zone()


def free_arm(draw: Draw) -> Arguments:
    return *arm_and_point(draw), draw.zone()


def two_points_and_quad(draw: Draw) -> Arguments:
    return draw.point(), draw.point(), draw.quad()


def four_points(draw: Draw) -> Arguments:
    return draw.point(), draw.point(), draw.point(), draw.point()


def trapezoid(draw: Draw) -> tuple[tuple[Point, ...], tuple[float, ...]]:
    stations = draw.profile()
    piece = outline_kernels.slab(draw.between(0.2, 1.0), stations[0], stations[1])
    corners = outline_kernels.slab_outline(piece, draw.point(0.3), math.cos(1.1), math.sin(1.1))
    return tuple(corners), (piece[2], piece[5], piece[5], piece[2])


def parted(draw: Draw) -> Arguments:
    a = draw.quad()
    return a, 1.0, draw.quad()


LINKAGE: dict[str, Callable[[Draw], Arguments]] = {
    "swing_towards": lambda d: (d.arm(), *d.point()),
    "tooth_range": lambda d: (d.arm(), d.teeth()),
    "reach_band": lambda d: (*d.point(), d.between(0, 0.3), 0.5, 1.1),
    "reach_in_zone": one_tooth,
    "zone_reach": one_tooth,
    "zone_error": lambda d: d.zone(),
    "teeth_near": all_teeth,
    "best_tooth": all_teeth,
    "tooth_window": one_tooth,
    "ray_window": one_ray,
    "in_sector": lambda d: (d.arm(), *d.point()),
    "in_zone": lambda d: (*d.point(0.1), d.point(0.1), d.zone()),
    "sector_places": free_arm,
    "nearest_in_sector": free_arm,
    "column_meets_sector": lambda d: (d.arm(), d.between(-1, 1), -0.3, d.between(-0.3, 0.3)),
    "sector_corners": lambda d: (d.arm(), -0.3, d.between(-0.3, 0.3)),
    "next_above": lambda d: (d.point() + d.point(), d.between(-1, 1)),
    "sector_windows": free_arm,
}

OUTLINES: dict[str, Callable[[Draw], Arguments]] = {
    "area_twice": lambda d: (d.quad(),),
    "extent": lambda d: (d.quad(),),
    "point_segment": lambda d: (d.point(), d.point(), d.point()),
    "inside": lambda d: (d.point(0.5), d.quad(0.3)),
    "point_outline": lambda d: (d.point(0.5), d.quad(0.3)),
    "side_of": lambda d: (d.point(), d.point(), d.point()),
    "segments_gap": four_points,
    "segment_outline": two_points_and_quad,
    "corners_to_side": two_points_and_quad,
    "facing_gap": parted,
    "convex_gap": lambda d: (d.quad(), d.quad()),
    "clip_half": lambda d: (d.quad(), d.point(), d.point()),
    "clip": lambda d: (d.quad(0.3), d.quad(0.3)),
    "segment_inside": two_points_and_quad,
    "slab": lambda d: (d.between(0.1, 1.0), d.profile()[0], d.profile()[2]),
    "slabs": lambda d: (d.between(0.1, 1.0), d.profile()),
    "slab_outline": lambda d: ((0.1, 0.05, 0.0, 0.4, 0.03, 0.0), d.point(), 0.6, 0.8),
    "slab_top": lambda d: (*trapezoid(d), d.point()),
    "slab_highest": lambda d: (*trapezoid(d), d.quad(0.4)),
    "chord": lambda d: (d.between(0.5, 0.8), d.between(0.0, 0.5)),
    "circle_segment": lambda d: (d.between(0.2, 1.2), d.point(), d.point()),
    "corner_angles": lambda d: (d.between(0.2, 1.2), d.point(), d.between(0.0, 0.3)),
    "leaf_angles": lambda d: (d.between(0.2, 1.2), d.quad(), d.between(0.0, 0.3)),
    "leaf_gap": lambda d: (d.door(), d.between(0.0, 1.2), d.quad()),
    "next_opening": lambda d: (d.door(), d.point(3), d.between(0.0, 0.5), 1.3),
    "door_stop": lambda d: (d.door(), 1.3, d.quad(), d.between(0.0, 0.1)),
    "side_crossings": lambda d: (d.point(), d.point(), d.between(-0.5, 0.5), d.between(0, 0.2)),
    "ray_blocked": lambda d: (d.quad(), d.between(-0.5, 0.5), d.between(0.0, 0.2)),
    "corner_limit": lambda d: (d.profile()[1], d.quad(), d.between(0.0, 0.1)),
    "flank_limit": lambda d: (*d.profile()[1:], d.quad(), d.between(0.0, 0.1)),
    "root_limit": lambda d: (d.profile(), d.quad(0.4), d.between(0.0, 0.1)),
    "arm_limit": lambda d: (d.profile(), d.quad(), d.between(0.0, 0.1)),
    "in_arm_axes": lambda d: (d.quad(), d.point(), d.between(-3, 3)),
    "arm_gap": lambda d: (tuple(outline_kernels.slabs(0.9, d.profile())), d.quad()),
}

SETS = [(kernels, LINKAGE), (outline_kernels, OUTLINES)]


@pytest.fixture(scope="module")
def twins() -> dict[str, ModuleType]:
    return {original.__name__: compiled(original) for original, _ in SETS}


@pytest.mark.parametrize(
    ("original", "name"), [(module, name) for module, cases in SETS for name in cases]
)
def test_a_kernel_compiles_unchanged_and_agrees(
    original: ModuleType, name: str, twins: dict[str, ModuleType]
) -> None:
    make = {**LINKAGE, **OUTLINES}[name]
    plain, twin = getattr(original, name), getattr(twins[original.__name__], name)
    for seed in range(50):
        expected = list(flat(plain(*make(Draw(seed)))))
        got = list(flat(twin(*make(Draw(seed)))))
        assert got == pytest.approx(expected, rel=1e-9, abs=1e-9)


@pytest.mark.parametrize(("original", "cases"), SETS)
def test_no_kernel_is_left_out(original: ModuleType, cases: dict[str, object]) -> None:
    assert sorted(own_functions(original)) == sorted(cases)


def test_the_compared_cases_hold_hits_and_misses() -> None:
    """Random arguments that never found a tooth, a window or a meeting would prove nothing."""
    found = [kernels.best_tooth(*all_teeth(Draw(seed)))[0] for seed in range(50)]  # type: ignore[arg-type]
    assert True in found
    assert False in found
    limits = [outline_kernels.arm_limit(*OUTLINES["arm_limit"](Draw(s))) for s in range(50)]  # type: ignore[arg-type]
    assert math.inf in limits
    assert any(limit < 1.2 for limit in limits)
    gaps = [outline_kernels.convex_gap(*OUTLINES["convex_gap"](Draw(s))) for s in range(50)]  # type: ignore[arg-type]
    assert min(gaps) == 0.0 < max(gaps)


def test_the_side_that_closes_an_outline_counts() -> None:
    square = ((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0))
    assert outline_kernels.segment_outline((-0.5, 0.4), (-0.5, 0.6), square) == pytest.approx(0.5)
