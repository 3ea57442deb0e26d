"""Published figures and calculations by hand against whole plans, from written folders to loads.

The sources are those of the tests beside this one, which hold the formulas alone against them:
here the same figures go through records, planner and judge. Splits: DGUV Information 208-015
(10/2019), section 3. Four springs under a rigid body: Euler 1773 (doi 10.4236/am.2015.63055);
skew supports: a published pile-group sheet, solved anew. Moving a load: Pilot's Handbook, worked
example. Arms: "Commonly overlooked safety tips", 2014.
"""

from __future__ import annotations

from math import hypot
from pathlib import Path

import pytest

from tests.folder_cases import EXACT, Car, arm, bay, planned
from underset.app import Planned
from underset.setting.result import Check, StateResult
from underset.units import G0

LB = 0.45359237


def states(plan: Planned) -> tuple[StateResult, ...]:
    assert plan.plan.best is not None
    return plan.plan.best.states


def kilograms(state: StateResult) -> list[float]:
    return [p.nominal / G0 for p in state.pads]


def check(state: StateResult, name: str) -> Check:
    return next(c for c in state.checks if c.name == name)


def usable(plan: Planned) -> bool:
    return plan.plan.best is not None and plan.plan.best.usable


@pytest.mark.parametrize(
    ("rated", "behind", "allowed"),
    [
        (3500, 639, False), (3500, 640, True), (3500, 960, True), (3500, 961, False),
        (3501, 399, False), (3501, 400, True), (3501, 1200, True), (3501, 1201, False),
    ],
)  # fmt: skip
def test_balance_between_the_pad_lines(
    tmp_path: Path, rated: int, behind: int, allowed: bool
) -> None:
    """Pads 1,600 mm apart: 640 to 960 mm behind the front pads up to 3.5 t, 400 to 1,200 above."""
    plan = planned(tmp_path, Car(aft=600.0 + behind), bay({"rated": f"{rated} kg"}))
    assert usable(plan) == allowed


def test_an_engine_taken_off_ahead_of_the_pads(tmp_path: Path) -> None:
    """1,500 kg, pads 1,500 mm apart, balance 650 mm behind the front pads, 250 kg off 700 mm ahead
    of them: 850 and 650 kg before, 483.3 and 766.7 kg after, over 3:2.
    """
    engine = {"id": "engine", "label": "Engine", "mass": "250 kg", "aft": "-100 mm", "side": "0 mm",
              "up": "500 mm"}  # fmt: skip
    pads = ((600, 500), (600, -500), (2100, 500), (2100, -500))
    car = Car(1500.0, 1250.0, points=pads, more={"components": [engine]})
    step = {"kind": "take off", "component": "engine"}
    plan = planned(tmp_path, car, bay({"rated": "3500 kg"}), [step])
    before, after = (kilograms(s) for s in states(plan))
    assert [sum(before[:2]), sum(before[2:])] == pytest.approx([850.0, 650.0], abs=0.01)
    assert [sum(after[:2]), sum(after[2:])] == pytest.approx([483.333, 766.667], abs=0.01)
    assert check(states(plan)[1], "pad_split").demand == pytest.approx(766.667 / 1250.0, abs=1e-5)
    assert not usable(plan)


@pytest.mark.parametrize(
    ("car", "loads"),
    [
        (Car(side=20.0), (466.0, 434.0, 366.0, 334.0)),
        (
            Car(side=20.0, points=((600, 450), (600, -450), (2200, 600), (2200, -600))),
            (462.80, 437.20, 367.07, 332.93),
        ),
        (  # the sheet's places doubled about the balance, 1,693 kg
            Car(1693.0, 1400.0, points=((648, 786), (728, -770), (2152, 874), (2140, -678))),
            (405.75, 461.79, 384.22, 441.23),
        ),
        (  # 6 by 4 and 100 at (2, 1), times 300 mm and 16 kg: no pad pulls
            Car(1600.0, 800.0, 300.0, 2800.0, ((500, 600), (500, -600), (2300, 600), (2300, -600))),
            (933.33, 400.0, 266.67, 0.0),
        ),
    ],
)  # fmt: skip
def test_four_pads(tmp_path: Path, car: Car, loads: tuple[float, ...]) -> None:
    """Rectangle, trapezoid, skew, and one pad that would have to pull."""
    assert kilograms(states(planned(tmp_path, car))[0]) == pytest.approx(loads, abs=0.01)


@pytest.mark.parametrize(("twist", "wobble"), [(10, 631.0), (20, 838.0), (30, 942.0)])
def test_one_pad_five_millimetres_off(tmp_path: Path, twist: int, wobble: float) -> None:
    """F = delta / (4/k + t^2/K), k 1,000 N/mm, pads 1.5 m across; all four 1.25 mm off."""
    stiff = {f"body_twist_{end}": f"{twist} kN m/deg" for end in ("low", "high")}
    car = Car(points=((600, 750), (600, -750), (2200, 750), (2200, -750)), more=stiff)
    springs = {f"pad_stiffness_{end}": "1000 N/mm" for end in ("low", "high")}
    plan = planned(tmp_path, car, policy={**EXACT, **springs, "level_pad": "1.25 mm"})
    for pad in states(plan)[0].pads:
        assert (pad.high - pad.low) / 2 == pytest.approx(wobble, abs=1.0)


def test_a_load_moved_in_pounds_and_inches(tmp_path: Path) -> None:
    """7,800 lb at 81.5 in; 65 lb moved from 150 to 30 in bring the balance to 80.5 in."""
    box = {"id": "box", "label": "Box", "mass": "65 lb", "aft": "150 in", "side": "0 in",
           "up": "20 in"}  # fmt: skip
    pads = ((40, 20), (40, -20), (140, 20), (140, -20))
    car = Car(
        7800.0, 81.5, 0.0, 200.0, pads, unit="lb", length_unit="in", more={"components": [box]}
    )
    far = {
        f"{side}_{end}": arm(x, y, reach_high="2500 mm")
        for side, y in (("left", 1300), ("right", -1300))
        for end, x in (("front", 180), ("rear", -180))
    }
    step = {"kind": "move load", "id": "box", "aft": "30 in", "side": "0 in", "up": "20 in"}
    plan = planned(tmp_path, car, bay({"rated": "20000 lb"}, arms=far), [step])
    _, after = states(plan)
    assert after.mass / LB == pytest.approx(7800.0)
    assert -after.cg_vehicle[0] / 0.0254 == pytest.approx(80.5)


def test_an_arm_is_overloaded_before_the_lift_is(tmp_path: Path) -> None:
    """15,000 lb lift, a quarter for each arm; a pair of pads under 9,200 lb: 850 too much."""
    arms = bay()["arms"]
    for each in arms.values():
        each["limit"] = "not given"
    plate = {"rated": "15000 lb", "per_arm": "not given"}
    car = Car(14_000.0, 600.0 + 1600.0 * 4800.0 / 14_000.0, unit="lb")
    worst = check(states(planned(tmp_path, car, bay(plate, arms=arms)))[0], "arm_load")
    assert worst.demand is not None and worst.limit is not None
    told = [worst.demand / G0 / LB, worst.limit / G0 / LB, (worst.demand - worst.limit) / G0 / LB]
    assert told == pytest.approx([4600.0, 3750.0, 850.0], abs=0.01)


def test_pushes_on_four_pads(tmp_path: Path) -> None:
    """1,600 kg at (100, 20) mm from the middle of 1,600 by 1,000 mm, roof 1.3 m over the pads: tips
    at W 0.48 / 1.3; the least pad empties at F / (1.3 sqrt(1/3.2^2 + 1/2^2)); at the rear end,
    2.3 m from the balance, 0.6 of the grip along and about the balance, in a straight line.
    """
    state = states(planned(tmp_path, Car(side=20.0)))[0]
    weight, pads = 1600.0 * G0, [p.nominal for p in state.pads]
    assert check(state, "push_tip").demand == pytest.approx(weight * 0.48 / 1.3, abs=0.1)
    tilt = 1.3 * hypot(1 / 3.2, 1 / 2.0)
    assert check(state, "push_unload").demand == pytest.approx(334.0 * G0 / tilt, abs=0.1)
    places = ((0.8, 0.5), (0.8, -0.5), (-0.8, 0.5), (-0.8, -0.5))
    turning = sum(f * hypot(x - 0.1, y - 0.02) for f, (x, y) in zip(pads, places, strict=True))
    slides = 0.6 / (1.0 / weight + 2.3 / turning)
    assert check(state, "push_slide").demand == pytest.approx(slides, abs=0.1)


@pytest.mark.parametrize(
    ("room", "rise"),
    [({"ceiling": "3200 ± 10 mm"}, 1.73), ({"stop_bar": "3000 mm", "stop_bar_x": "0 mm"}, 1.54)],
)
def test_how_high(tmp_path: Path, room: dict[str, str], rise: float) -> None:
    """Roof 1,500 mm with the seats at 140 mm, 100 mm kept free: room - 1,500 - 100 + 140."""
    step = {"kind": "raise", "seat": "1000 mm"}
    best = planned(tmp_path, Car(), bay(room=room), [step]).plan.best
    assert best is not None
    found = [c.demand for c in best.checks if c.name == "overhead"]
    assert found == pytest.approx([rise], abs=1e-6)
