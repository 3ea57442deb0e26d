"""Pads, pushes and stands against MuJoCo, a general contact simulator.

A rigid body rests by contact on sphere-headed pads, each on its own spring or fixed. Settings that
the agreement hangs on: sphere heads (a flat pad tips about an edge that depends on its size),
elliptic friction cone, impratio 1000, the pads' friction given priority, time step of 1 ms. What
is left of difference is soft contact, well under 0.2 % at rest and in tipping; where sprung pads
let the body lean before the event, or friction creeps, the simulated force comes 1 to 2 % early.
"""

from __future__ import annotations

from collections.abc import Callable
from math import radians

import mujoco
import numpy as np
import pytest

from tests.mujoco_judge import Bench as Simulation
from tests.mujoco_judge import Rig
from underset.statics import (
    Loads,
    Point,
    contact_loads,
    even_loads,
    hull,
    slip_force,
    stand_rise,
    tip_force,
    unload_push,
)
from underset.units import G0

NEAR = 0.002  # part of the weight or force: soft contact
LEAN = 0.02  # part of the force: the body leans and the friction creeps before the event


class Bench(Simulation):
    """A simulation whose pushes go through the vertical line of the CG."""

    def settle(self, seconds: float = 1.0) -> Loads:
        self.run(seconds)
        return tuple(self.loads())

    def pushed_until(
        self, event: Callable[[], bool], expected: float, height: float, direction: float
    ) -> float:
        """Force at which `event` comes, rising quickly to 85 % of `expected` and then slowly.

        It counts when it lasts two steps: a contact may be missing for one.
        """
        at, before = self.rig.at, False
        self.settle()
        for ms in range(1500):
            self.push(0.85 * expected * ms / 1500.0, direction, at, height)
            mujoco.mj_step(self.model, self.data)
        for ms in range(3000):
            force = expected * (0.85 + 0.3 * ms / 3000.0)
            self.push(force, direction, at, height)
            mujoco.mj_step(self.model, self.data)
            now = event()
            if now and before:
                return force
            before = now
        return float("inf")

    def sliding(self) -> bool:
        return bool(np.hypot(*self.data.body("vehicle").cvel[3:5]) > 0.02)


PADS = ((0.80, 0.60), (0.80, -0.60), (-0.80, 0.60), (-0.80, -0.60))
SKEW = ((0.85, 0.45), (0.80, -0.48), (-0.75, 0.62), (-0.80, -0.60))
SPRINGS = (9e5, 6e5, 7e5, 8e5)


@pytest.mark.parametrize(
    ("pads", "at"), [(PADS, (0.0, 0.0)), (PADS, (0.2, 0.08)), (SKEW, (0.10, -0.05))]
)
def test_sprung_pads_at_rest(pads: tuple[Point, ...], at: Point) -> None:
    rig = Rig(pads, 1800.0, at, 0.5, SPRINGS)
    found = Bench(rig).settle()
    assert sum(found) == pytest.approx(rig.weight, rel=1e-3)
    expected = even_loads(pads, rig.weight, at, SPRINGS)
    assert found == pytest.approx(expected, abs=NEAR * rig.weight)


def test_a_pad_that_hangs_clear() -> None:
    """With one pad 40 mm low three pads carry. The body then leans by about half a degree, which
    moves a high CG; a low one leaves the comparison to the pads."""
    raised = (0.0, 0.0, 0.0, -0.040)
    rig = Rig(SKEW, 1800.0, (0.15, 0.03), 0.05, SPRINGS, raised)
    found = Bench(rig).settle(1.5)
    expected = contact_loads(SKEW, rig.weight, rig.at, SPRINGS, raised)
    assert expected is not None
    assert expected[3] == 0.0
    assert found == pytest.approx(expected, abs=NEAR * rig.weight)


def test_a_pad_out_of_level() -> None:
    raised = (0.003, 0.0, 0.0, 0.0)
    rig = Rig(SKEW, 1800.0, (0.1, 0.0), 0.5, SPRINGS, raised)
    found = Bench(rig).settle()
    expected = contact_loads(SKEW, rig.weight, rig.at, SPRINGS, raised)
    assert expected is not None
    assert min(expected) > 0.0
    assert found == pytest.approx(expected, abs=NEAR * rig.weight)
    level = even_loads(SKEW, rig.weight, rig.at, SPRINGS)
    assert expected[0] - level[0] > 0.03 * rig.weight


def test_a_stand_set_to_its_preload() -> None:
    supports = (*SKEW, (-1.5, 0.1))
    springs = (*SPRINGS, 1.5e6)
    at, weight = (-0.45, 0.0), 1400.0 * G0
    rise = stand_rise(supports, weight, at, springs, 2500.0)
    raised = (0.0, 0.0, 0.0, 0.0, rise)
    found = Bench(Rig(supports, 1400.0, at, 0.5, springs, raised)).settle(1.5)
    expected = contact_loads(supports, weight, at, springs, raised)
    assert expected is not None
    assert expected[4] == pytest.approx(2500.0)
    assert found == pytest.approx(expected, abs=NEAR * weight)


@pytest.mark.parametrize(
    ("direction", "lifted"), [(0.0, (2, 3)), (90.0, (1, 3))], ids=["lengthwise", "sideways"]
)
def test_push_that_tips(direction: float, lifted: tuple[int, int]) -> None:
    rig, height = Rig(PADS, 2000.0, (0.0, 0.0), 0.75), 1.5
    expected = tip_force(hull(PADS), rig.at, rig.weight, height, radians(direction))
    assert expected < slip_force(rig.weight, rig.friction)
    bench = Bench(rig)

    def tipping() -> bool:
        loads = bench.loads()
        return max(loads[i] for i in lifted) <= 1.0

    found = bench.pushed_until(tipping, expected, height, radians(direction))
    assert found == pytest.approx(expected, rel=NEAR)
    assert not bench.sliding()


def test_push_that_slides() -> None:
    rig, height = Rig(PADS, 2000.0, (0.05, 0.0), 0.75), 0.75
    expected = slip_force(rig.weight, rig.friction)
    assert expected < tip_force(hull(PADS), rig.at, rig.weight, height)
    bench = Bench(rig)
    found = bench.pushed_until(bench.sliding, expected, height, radians(60.0))
    assert found == pytest.approx(expected, rel=LEAN)


@pytest.mark.parametrize("at", [(0.15, -0.06), (-0.2, 0.1)])
def test_least_push_that_empties_a_pad(at: Point) -> None:
    rig, height = Rig(SKEW, 1800.0, at, 0.5, SPRINGS), 1.3
    loads = even_loads(SKEW, rig.weight, at, SPRINGS)
    push = unload_push(SKEW, loads, height, SPRINGS)
    bench = Bench(rig)
    found = bench.pushed_until(
        lambda: min(bench.loads()) <= 1.0, push.force, height, push.direction
    )
    assert found == pytest.approx(push.force, rel=LEAN)
    after = bench.loads()
    assert after.index(min(after)) == push.pad
