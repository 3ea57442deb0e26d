"""The judge's word put to MuJoCo, a general contact simulator: one random case at a time.

A case is drawn (vehicle, pads, a part that comes off, tolerances), judged, and then simulated at a
point of its tolerances as a rigid body on sphere-headed pads with springs, under pushes. Where the
judge says that nothing stops, the vehicle must not tip, no pad may empty, and nothing may slide.
Settings the agreement hangs on are told in tests/cross/test_mujoco_pads.py.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from math import cos, pi, sin
from random import Random

import mujoco
import numpy as np
from shapely.geometry import MultiPoint
from shapely.geometry import Point as Place

from tests.judge_cases import head, placed, plain_case, policy_with, random_vehicle
from underset.setting.bearing import bearing_checks, taken_off
from underset.setting.evaluate import Case
from underset.setting.loads import bear, footing, judge_states
from underset.setting.result import Check, Setting, Status
from underset.setting.stand_loads import STAND
from underset.setting.state import State, Support
from underset.statics import Item, stand_rise
from underset.units import G0

Point = tuple[float, float]
HEAD = 0.02  # radius of a pad's head, m
CREEP = 0.02  # m/s: faster than that the vehicle slides
AVERAGED = 10  # readings 4 ms apart


@dataclass(frozen=True)
class Rig:
    """A rigid body on pads: places, mass, CG (height above the pads), springs, levels, friction."""

    pads: tuple[Point, ...]
    mass: float
    at: Point
    cg: float
    stiffness: tuple[float, ...] | None = None  # N/m; None: fixed pads
    raised: tuple[float, ...] | None = None  # m; None: level
    friction: float = 0.6

    @property
    def weight(self) -> float:
        return self.mass * G0

    def xml(self) -> str:
        pads = "".join(self._pad(i) for i in range(len(self.pads)))
        inertia = f"{self.mass * 0.3} {self.mass * 1.1} {self.mass * 1.2}"
        x, y = self.at
        return f"""
        <mujoco>
          <option timestep="0.001" gravity="0 0 -{G0}" cone="elliptic" impratio="1000"
                  solver="Newton" integrator="implicitfast"/>
          <worldbody>
            {pads}
            <body name="vehicle" pos="0 0 0">
              <freejoint/>
              <inertial pos="{x} {y} {self.cg}" mass="{self.mass}" diaginertia="{inertia}"/>
              <geom name="underside" type="box" size="6 2 0.1" pos="0 0 0.1" friction="1"/>
            </body>
          </worldbody>
        </mujoco>"""

    def _pad(self, i: int) -> str:
        x, y = self.pads[i]
        height = self.raised[i] if self.raised else 0.0
        head = (
            f'<geom name="pad{i}" type="sphere" size="{HEAD}" mass="100" priority="1" condim="3"'
            f' friction="{self.friction} 0 0" solref="0.004 1" solimp="0.99 0.999 0.0001"/>'
        )
        if self.stiffness is None:
            return f'<body pos="{x} {y} {height - HEAD}">{head}</body>'
        k = self.stiffness[i]
        damping = 2.0 * (k * self.mass / 4.0) ** 0.5
        return (
            f'<body pos="{x} {y} {height - HEAD}" gravcomp="1">'
            f'<joint type="slide" axis="0 0 1" stiffness="{k}" damping="{damping}"/>{head}</body>'
        )


class Bench:
    """One simulation: settle, push, read the pads."""

    def __init__(self, rig: Rig) -> None:
        self.rig = rig
        self.model = mujoco.MjModel.from_xml_string(rig.xml())
        self.data = mujoco.MjData(self.model)
        self.vehicle = self.model.body("vehicle").id
        self.heads = {self.model.geom(f"pad{i}").id: i for i in range(len(rig.pads))}
        self.least = [float("inf")] * len(rig.pads)
        self.fastest = 0.0
        self.recent: list[list[float]] = []

    def loads(self) -> list[float]:
        """Vertical contact force on each pad, N."""
        found, wrench = [0.0] * len(self.rig.pads), np.zeros(6)
        for c in range(self.data.ncon):
            contact = self.data.contact[c]
            pad = self.heads.get(contact.geom1, self.heads.get(contact.geom2))
            if pad is not None:
                mujoco.mj_contactForce(self.model, self.data, c, wrench)
                turned = contact.frame.reshape(3, 3).T @ wrench[:3]
                found[pad] += abs(float(turned[2]))
        return found

    def smooth_loads(self) -> list[float]:
        """Loads averaged over the last few readings: a contact may be missing for one step."""
        self.recent.append(self.loads())
        del self.recent[:-AVERAGED]
        return [sum(column) / len(self.recent) for column in zip(*self.recent, strict=True)]

    def run(self, seconds: float) -> None:
        for _ in range(int(seconds * 1000)):
            mujoco.mj_step(self.model, self.data)

    def push(self, force: float, direction: float, place: Point, height: float) -> None:
        """A horizontal force at a place of the vehicle, `height` above the pads."""
        fx, fy = force * cos(direction), force * sin(direction)
        rx, ry, rz = place[0] - self.rig.at[0], place[1] - self.rig.at[1], height - self.rig.cg
        torque = (-rz * fy, rz * fx, rx * fy - ry * fx)
        self.data.xfrc_applied[self.vehicle] = (fx, fy, 0.0, *torque)

    def speed(self) -> float:
        """Horizontal speed of the vehicle's pads' middle and of its turning, m/s at 1 m."""
        spin, flat = self.data.body("vehicle").cvel[2], self.data.body("vehicle").cvel[3:5]
        return max(float(np.hypot(*flat)), abs(float(spin)))

    def push_and_watch(self, force: float, direction: float, place: Point, height: float) -> None:
        """Raise a push in 1 s, hold it for 0.4 s; remember least loads and the speed at the end."""
        for ms in range(1400):
            self.push(force * min(1.0, ms / 1000.0), direction, place, height)
            mujoco.mj_step(self.model, self.data)
            if ms % 4 == 0:
                now = self.smooth_loads()
                self.least = [min(a, b) for a, b in zip(self.least, now, strict=True)]
            if ms > 1200:
                self.fastest = max(self.fastest, self.speed())

    def ramp_until(
        self, event: Callable[[], bool], about: float, push: Callable[[float], None]
    ) -> float:
        """Force at which `event` comes, rising fast to 80 % of `about`, then slowly to 140 %."""
        self.run(1.0)
        for ms in range(1200):
            push(0.8 * about * ms / 1200.0)
            mujoco.mj_step(self.model, self.data)
            if ms % 4 == 0:
                self.smooth_loads()
        for ms in range(4000):
            force = about * (0.8 + 0.6 * ms / 4000.0)
            push(force)
            mujoco.mj_step(self.model, self.data)
            if ms % 4 == 0 and event():
                return force
        return float("inf")


# --- drawn cases ----------------------------------------------------------------------------------


@dataclass(frozen=True)
class Drawn:
    """A random case, its setting, and what its checks say of one state."""

    case: Case
    setting: Setting
    state: State
    checks: tuple[Check, ...]

    @property
    def usable(self) -> bool:
        """Nothing of loads and stability stops in this state."""
        return all(c.status in (Status.HOLDS, Status.WATCH) for c in self.checks)

    def check(self, name: str) -> Check:
        return next(c for c in self.checks if c.name == name)


def drawn(seed: int, exact: bool = False) -> Drawn:
    """A random case, its part off in two cases of three; `exact` draws no tolerances at all."""
    rng = Random(seed)
    car = random_vehicle(rng, exact)
    low = rng.uniform(2.0e5, 6.0e5)
    figures = {"pad_stiffness_low": low, "pad_stiffness_high": low * rng.uniform(1.0, 1.5)}
    figures["level_pad"] = 0.0 if exact else rng.uniform(0.0, 0.003)
    figures["level_carriage"] = 0.0 if exact else rng.uniform(0.0, 0.006)
    clean = rng.random() < 0.5
    case = plain_case(car, None, (head(clean_rubber=clean),), (), policy_with(**figures))
    assert car.kerb is not None
    part = car.parts[0][1]
    items = (car.kerb, taken_off(part)) if rng.random() < 0.67 else (car.kerb,)
    case = replace(case, states=(State("drawn", "drawn", items),))
    setting = placed(case)
    return Drawn(case, setting, case.states[0], bearing_checks(case, setting))


def rig_of(d: Drawn, rng: Random | None = None) -> Rig:
    """The case as a body: nominal, or at a random corner of every tolerance."""
    case, state = d.case, d.state
    sign = (lambda: rng.choice((-1.0, 1.0))) if rng else (lambda: 0.0)
    mass = mx = my = mz = 0.0
    for i in state.items:
        m = i.mass + sign() * i.mass_tol
        x, y, z = (p + sign() * t for p, t in zip(i.place, i.place_tol, strict=True))
        mass, mx, my, mz = mass + m, mx + m * x, my + m * y, mz + m * z
    points = case.vehicle.point_sets[0].points
    pads = tuple(
        (p.place[0] + sign() * p.place_tol[0], p.place[1] + sign() * p.place_tol[1]) for p in points
    )
    policy = case.policy
    roll = sign() * policy["level_carriage"] / 2
    raised = tuple(
        sign() * policy["level_pad"] + (roll if p.place[1] > 0.0 else -roll) for p in points
    )
    k = policy["pad_stiffness_high"]
    if rng:
        k = rng.choice((policy["pad_stiffness_low"], k))
    friction = footing(case.vehicle, case.bay, case.shelf, policy, d.setting).friction
    return Rig(pads, mass, (mx / mass, my / mass), mz / mass - 0.22, (k,) * 4, raised, friction)


def upset_by_a_push(d: Drawn, rng: Random) -> str:
    """What a push of the judge's size does to the simulated vehicle; empty where nothing happens.

    At the roof edge through the CG, then at an end, at the sill's height, in random directions.
    """
    rig, policy = rig_of(d, rng), d.case.policy
    force = policy["push_force"] * policy["push_factor"]
    roof = (d.case.vehicle.roof or 0.0) - 0.22
    assert d.case.vehicle.outline is not None
    front, rear, _ = d.case.vehicle.outline
    cases = (
        (rig.at, roof, rng.uniform(0.0, 2 * pi)),
        ((rng.choice((front, rear)), 0.0), 0.1, rng.uniform(0.0, 2 * pi)),
    )
    for place, height, direction in cases:
        bench = Bench(rig)
        bench.run(0.8)
        if min(bench.loads()) <= 1.0:
            return f"a pad is empty at rest: {bench.loads()}"
        bench.push_and_watch(force, direction, place, height)
        if min(bench.least) <= 1.0:
            return f"a push at {place} empties a pad: {bench.least}"
        if bench.fastest > CREEP:
            return f"a push at {place} slides the vehicle at {bench.fastest:.3f} m/s"
    return ""


def loads_outside(d: Drawn, rng: Random) -> str:
    """A simulated pad load at rest that leaves the judge's range; empty where none does.

    Where the weight stands outside the pads the vehicle falls and has no loads: then the judge must
    have stopped it by the edge.
    """
    rig = rig_of(d, rng)
    if not MultiPoint(rig.pads).convex_hull.contains(Place(rig.at)):
        fallen = d.check("cg_edge").status is Status.STOPS
        return "" if fallen else "the weight stands outside the pads and cg_edge does not stop"
    bench = Bench(rig)
    bench.run(1.0)
    foot = footing(d.case.vehicle, d.case.bay, d.case.shelf, d.case.policy, d.setting)
    judged = judge_states(
        bear(d.case.states, foot), foot, d.case.vehicle, d.case.bay, d.case.policy, d.setting
    )[0]
    room = 0.005 * rig.mass * G0  # soft contact, and springs that let the body lean
    for i, (load, span) in enumerate(zip(bench.loads(), judged.pads, strict=True)):
        if not span.low - room <= load <= span.high + room:
            return f"pad {i}: {load:.0f} N, judged {span.low:.0f} to {span.high:.0f} N"
    return ""


# --- forces ---------------------------------------------------------------------------------------


def emptying_force(d: Drawn) -> tuple[float, float]:
    """(judged, simulated) least push at the roof edge that empties a pad, no tolerances."""
    rig = replace(rig_of(d), friction=1.5)
    expected = d.check("push_unload").demand or 0.0
    foot = footing(d.case.vehicle, d.case.bay, d.case.shelf, d.case.policy, d.setting)
    pad = ("LF", "RF", "LR", "RR").index(d.check("push_unload").where)
    _, b, c = foot.forms[pad]
    direction = float(np.arctan2(-c, -b))
    height = (d.case.vehicle.roof or 0.0) - 0.22
    bench = Bench(rig)
    found = bench.ramp_until(
        lambda: min(bench.smooth_loads()) <= 1.0,
        expected,
        lambda f: bench.push(f, direction, rig.at, height),
    )
    return expected, found


def tipping_force(d: Drawn) -> tuple[float, float]:
    """(judged, simulated) least push that tips over the nearest edge, no tolerances, much grip."""
    rig = replace(rig_of(d), friction=5.0, stiffness=None)
    expected = d.check("push_tip").demand or 0.0
    foot = footing(d.case.vehicle, d.case.bay, d.case.shelf, d.case.policy, d.setting)
    x, y = rig.at
    _, b, c = min(foot.edges, key=lambda e: e[0] + e[1] * x + e[2] * y)
    direction = float(np.arctan2(-c, -b))
    height = (d.case.vehicle.roof or 0.0) - 0.22
    # Two pads of the edge are left once it tips; fixed pads near nothing take turns before that.
    bench = Bench(rig)
    found = bench.ramp_until(
        lambda: sum(sorted(bench.smooth_loads())[:2]) <= 2.0,
        expected,
        lambda f: bench.push(f, direction, rig.at, height),
    )
    return expected, found


def sliding_force(d: Drawn) -> tuple[float, float]:
    """(judged, simulated) push across at the far end that slides or turns the vehicle."""
    rig = rig_of(d)
    expected = d.check("push_slide").demand or 0.0
    assert d.case.vehicle.outline is not None
    front, rear, _ = d.case.vehicle.outline
    end = front if front - rig.at[0] > rig.at[0] - rear else rear
    bench = Bench(rig)
    found = bench.ramp_until(
        lambda: bench.speed() > CREEP,
        expected,
        lambda f: bench.push(f, pi / 2, (end, rig.at[1]), 0.05),
    )
    return expected, found


# --- stands ---------------------------------------------------------------------------------------


def stand_load(seed: int) -> tuple[float, float, float, float]:
    """(least, greatest, simulated load of a stand, weight) after a part came off.

    The stand is set to a preload by its height, at a stiffness drawn from soft to rigid; then the
    part goes and the heights stay.
    """
    rng = Random(seed)
    d = drawn(seed, exact=True)
    kerb = d.state.items[0]
    points = d.case.vehicle.point_sets[0].points
    part = Item("part", rng.uniform(60.0, 200.0), 0.0, (rng.choice((0.2, -2.8)), 0.0, 0.5))
    middle = sum(p.place[0] for p in points) / 4
    far = points[0].place[0] + 0.3 if part.place[0] < middle else points[2].place[0] - 0.3
    place = (far, rng.uniform(-0.2, 0.2))
    preload = rng.uniform(0.05, 0.12) * kerb.mass * G0
    stand = Support("stand", place, preload, 0.0, STAND)
    states = (
        State("set", "stand set", (kerb,), (stand,)),
        State("off", "part off", (kerb, taken_off(part)), (stand,)),
    )
    case = replace(d.case, states=states)
    foot = footing(case.vehicle, case.bay, case.shelf, case.policy, d.setting)
    judged = judge_states(bear(states, foot), foot, case.vehicle, case.bay, case.policy, d.setting)
    after = judged[1].state.supports[0]
    k = d.case.policy["pad_stiffness_high"]
    ks = k * 10.0 ** rng.uniform(-0.7, 1.0)
    supports = (*(p.place for p in points), place)
    springs = (k,) * 4 + (ks,)
    rise = stand_rise(supports, kerb.mass * G0, kerb.place[:2], springs, preload)
    mass = kerb.mass - part.mass
    at = tuple((kerb.mass * kerb.place[i] - part.mass * part.place[i]) / mass for i in range(3))
    rig = Rig(supports, mass, (at[0], at[1]), 0.05, springs, (0.0,) * 4 + (rise,), 0.6)
    bench = Bench(rig)
    bench.run(1.5)
    low, high = after.force - after.force_tol, after.force + after.force_tol
    return low, high, bench.loads()[4], mass * G0
