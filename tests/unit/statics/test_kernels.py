"""Every kernel compiles with numba as it stands and then gives the same numbers."""

from __future__ import annotations

import math
import random
from collections.abc import Callable
from types import ModuleType

import pytest

from tests.kernel_cases import compiled, flat, own_functions
from underset.statics import kernels

Arguments = tuple[object, ...]


@pytest.fixture(scope="module")
def twins() -> ModuleType:
    return compiled(kernels)


class Draw:
    """Random arguments, the same ones each run."""

    def __init__(self, seed: int) -> None:
        self.random = random.Random(seed)

    def near(self, middle: float) -> float:
        return middle + self.random.uniform(-0.3, 0.3)

    def pads(self) -> tuple[tuple[float, float], ...]:
        corners = ((0.8, 0.6), (0.8, -0.6), (-0.8, 0.6), (-0.8, -0.6))
        return tuple((self.near(x), self.near(y)) for x, y in corners)

    def four(self, low: float, high: float) -> tuple[float, ...]:
        return tuple(self.random.uniform(low, high) for _ in range(4))

    def wrench(self) -> tuple[float, float, float]:
        weight = self.random.uniform(5e3, 3e4)
        return weight, weight * self.random.uniform(-1, 1), weight * self.random.uniform(-0.8, 0.8)


def layout_case(draw: Draw) -> Arguments:
    return draw.pads(), draw.four(3e5, 2e6), draw.random.choice((15, 7, 13, 3))


def plane_case(draw: Draw) -> Arguments:
    return kernels.layout(draw.pads(), draw.four(3e5, 2e6), 15), draw.wrench()


def raised_case(draw: Draw) -> Arguments:
    return draw.pads(), draw.four(3e5, 2e6), draw.four(-4e-3, 4e-3), draw.wrench(), 15


def contact_case(draw: Draw) -> Arguments:
    return draw.pads(), draw.four(3e5, 2e6), draw.four(-4e-3, 4e-3), draw.wrench()


def touching_case(draw: Draw) -> Arguments:
    return draw.pads(), draw.four(-4e-3, 4e-3), draw.four(-1e-3, 1e-3)[:3], 1e-9


def pads_case(draw: Draw) -> Arguments:
    return (draw.pads(),)


def off_axis_case(draw: Draw) -> Arguments:
    return draw.pads(), draw.pads()[0]


def torque_case(draw: Draw) -> Arguments:
    return draw.pads(), draw.four(0.0, 9e3)


def compliance_case(draw: Draw) -> Arguments:
    return draw.pads(), draw.four(-1.0, 1.0), draw.four(3e5, 2e6), draw.random.uniform(1e5, 2e6)


def mean_case(draw: Draw) -> Arguments:
    values = draw.four(-2.0, 2.0)
    return draw.four(1.0, 50.0), draw.four(0.0, 90.0), values, min(values)


def margin_case(draw: Draw) -> Arguments:
    lf, rf, lr, rr = draw.pads()
    return (rr, rf, lf, lr), draw.pads()[0]


CASES: dict[str, Callable[[Draw], Arguments]] = {
    "layout": layout_case,
    "plane": plane_case,
    "raised_plane": raised_case,
    "touching": touching_case,
    "contact": contact_case,
    "warp4": pads_case,
    "off_axis": off_axis_case,
    "front_torque": torque_case,
    "warp_compliance": compliance_case,
    "mean_high": mean_case,
    "inside_margin": margin_case,
}


@pytest.mark.parametrize("name", CASES)
def test_a_kernel_compiles_unchanged_and_agrees(name: str, twins: ModuleType) -> None:
    plain, twin = getattr(kernels, name), getattr(twins, name)
    for seed in range(60):
        arguments = CASES[name](Draw(seed))
        expected, got = list(flat(plain(*arguments))), list(flat(twin(*arguments)))
        assert len(expected) == len(got)
        for left, right in zip(expected, got, strict=True):
            assert (math.isnan(left) and math.isnan(right)) or right == pytest.approx(
                left, rel=1e-9, abs=1e-9
            )


def test_no_kernel_is_left_out() -> None:
    assert sorted(own_functions(kernels)) == sorted(CASES)


def test_the_contact_cases_hold_every_kind() -> None:
    """Full contact, one pad off, and tipping all occur among the compared cases."""
    masks = {kernels.contact(*contact_case(Draw(seed)))[3] for seed in range(60)}  # type: ignore[arg-type]
    assert 15 in masks
    assert -1 in masks
    assert any(mask not in (15, -1) for mask in masks)
