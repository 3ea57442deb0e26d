from __future__ import annotations

from dataclasses import replace

import pytest

from tests.judge_cases import plain_case, points, vehicle
from underset.geometry import Zone
from underset.planner.candidates import Approach, spot_windows_of
from underset.planner.parked import as_parked, measured_policy, moved, travel_windows
from underset.planner.tape import MeasuredStop
from underset.setting.evaluate import Case
from underset.setting.numbers import DoorNumbers
from underset.setting.place import Stop
from underset.setting.result import Outcome

NARROW = plain_case(vehicle(point_sets=(points(zone=Zone(0.02, 0.015)),)))


def parked(
    case: Case, spot: float, sideways: float = 0.0, yaw: float = 0.0, heading: str = "nose-in"
):
    stop = Stop(heading, spot, sideways, yaw)
    return as_parked(case, MeasuredStop(stop, 0.004, 0.006, 0.002))


def windows(case: Case, heading: str = "nose-in"):
    return spot_windows_of(Approach(case, heading, case.vehicle.point_sets[0]))


def test_inside_a_window_the_arms_are_set_there() -> None:
    widest = max(windows(NARROW), key=lambda w: w.high - w.low)
    spot = (widest.low + widest.high) / 2
    found = parked(NARROW, spot)
    assert found.outcome is Outcome.FOUND
    assert found.moves == ()
    assert found.evaluation is not None
    setting = found.evaluation.setting
    assert (setting.spot, setting.sideways) == (spot, 0.0)
    assert setting.window == pytest.approx((widest.low, widest.high), abs=1e-9)


def test_askew_the_pads_follow_the_points() -> None:
    widest = max(windows(NARROW), key=lambda w: w.high - w.low)
    found = parked(NARROW, (widest.low + widest.high) / 2, 0.005, 0.004)
    assert found.evaluation is not None
    for arm in found.evaluation.setting.arms:
        off = (arm.pad[0] - arm.point[0], arm.pad[1] - arm.point[1])
        assert (off[0] ** 2 + off[1] ** 2) ** 0.5 == pytest.approx(
            (arm.along**2 + arm.across**2) ** 0.5, abs=1e-9
        )
        assert abs(arm.along) <= 0.02 + 1e-6
        assert abs(arm.across) <= 0.015 + 1e-6


def test_outside_it_says_how_far_to_move_each_way() -> None:
    """Between two windows the ends of both are the least moves, to the millimetre."""
    here = windows(NARROW)
    a, b = here[0], here[1]
    spot = (a.high + b.low) / 2
    found = parked(NARROW, spot)
    assert found.outcome is Outcome.NONE
    assert [m.way for m in found.moves] == ["forward", "back"]
    forward, back = found.moves
    assert forward.least == pytest.approx(b.low - spot, abs=0.002)
    assert back.least == pytest.approx(spot - a.high, abs=0.002)
    assert forward.aim >= forward.least
    assert forward.evaluation.usable
    assert forward.evaluation.setting.spot == pytest.approx(spot + forward.aim)


def test_tail_in_forward_is_the_other_way() -> None:
    here = windows(NARROW, "tail-in")
    a, b = here[0], here[1]
    spot = (a.high + b.low) / 2
    found = parked(NARROW, spot, heading="tail-in")
    ways = {m.way: m for m in found.moves}
    assert ways["forward"].evaluation.setting.spot < spot < ways["back"].evaluation.setting.spot


def test_a_move_beyond_reach_is_not_offered() -> None:
    found = parked(NARROW, 6.0)
    assert found.moves == ()
    assert [r.check for r in found.refusals] == ["arm_reach"]


def test_clearances_count_for_the_move() -> None:
    """A door that meets the column at the first reachable spots asks for a longer move."""
    door = DoorNumbers("front-left", (-0.5, 0.87), 3.141592653589793, -1, 1.1, 1.1)
    free, shut = NARROW, replace(NARROW, vehicle=replace(NARROW.vehicle, doors=(door,)))
    spot = windows(NARROW)[0].low - 0.05
    least_free = {m.way: m.least for m in parked(free, spot).moves}
    least_shut = {m.way: m.least for m in parked(shut, spot).moves}
    assert least_free["forward"] <= least_shut.get("forward", 9.0)
    for move in parked(shut, spot).moves:
        assert "door" not in {c.name for c in move.evaluation.checks if c.status.value == "stops"}


def test_travel_windows_are_the_spot_windows_seen_from_the_stop() -> None:
    straight = [e - 0.8 for w in windows(NARROW) for e in (w.low, w.high)]
    seen = travel_windows(NARROW, NARROW.vehicle.point_sets[0], Stop("nose-in", 0.8))
    assert [e for w in seen for e in (w.low, w.high)] == pytest.approx(straight)


def test_the_measured_tolerance_stands_for_parking() -> None:
    measured = MeasuredStop(Stop("nose-in", 1.0), 0.003, 0.004, 0.001)
    policy = measured_policy(NARROW.policy, measured)
    assert policy["park_along"] == 0.003
    assert policy.threshold("park_yaw").source == "stop as measured"
    assert policy["gap_arm"] == NARROW.policy["gap_arm"]


def test_a_move_goes_along_the_vehicles_axis() -> None:
    stop = moved(Stop("nose-in", 1.0, 0.1, 0.3), 0.5)
    assert (stop.spot - 1.0) ** 2 + (stop.sideways - 0.1) ** 2 == pytest.approx(0.25)
    assert stop.yaw == 0.3
