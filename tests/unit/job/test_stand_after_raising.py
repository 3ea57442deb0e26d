"""A stand set once the lift has stopped, and its preloads by hand.

1,500 kg, pads 1.5 m apart, balance 0.65 m behind the front pads: 8,335.7 N in front. An engine of
250 kg comes off 0.7 m ahead of the front pads: 12,258.3 N are left, 7,518.4 N of them behind, over
3:2 (DGUV Information 208-015, section 3). A stand 2.0 m behind the front pads takes F off, 4/3 F
of it off the rear pads, and puts F/3 on the front pads.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests import judge_cases as made
from underset.geometry import Free, Zone
from underset.job.stands import stand_advice
from underset.planner import search
from underset.setting.evaluate import Case
from underset.setting.result import Status
from underset.setting.state import State
from underset.statics import Item

ENGINE = Item("engine", 250.0, 0.0, (0.1, 0.0, 0.5), (0.0, 0.0, 0.0))
G0 = 9.80665


def engine_out(*between: State) -> Case:
    kerb = Item("kerb vehicle", 1500.0, 0.0, (-1.25, 0.0, 0.55), (0.0, 0.0, 0.0))
    beam = ((-2.6, -0.3), (-2.6, 0.3), (-2.7, 0.3), (-2.7, -0.3))
    car = made.vehicle(
        kerb, stand_places=(("beam", "Rear beam", beam, 0.25, 9000.0),),
        point_sets=(made.points(rear=-2.1, half=0.5, zone=Zone(0.001, 0.001)),),
    )  # fmt: skip
    off = Item("engine", -250.0, 0.0, ENGINE.place, ENGINE.place_tol)
    states = (
        State("set", "as it stands", (kerb,)),
        State("step-1", "raised", (kerb,), moves_lift=True),
        *between,
        State("step-2", "engine off", (kerb, off), parts_off=True),
    )
    policy = made.policy_with(level_pad=0.0, level_carriage=0.0)
    place = made.bay(restraint=Free(), rated=3500.0)
    return made.plain_case(car, place, (made.head(rating=2500.0),), states, policy)


def test_it_is_set_after_the_raise_and_its_preloads_are_those_by_hand() -> None:
    """Once only a step between raising and taking off left time for a stand."""
    case = engine_out()
    stopped = search([case]).best_stopped()
    assert stopped is not None and stopped.status is Status.STOPS
    (advice,) = stand_advice(case, stopped)
    assert advice.holds and advice.set_in == "step-1" and advice.until == "step-2"
    front, left, behind = 1500 * 0.85 / 1.5 * G0, 1250 * G0, 1250 * 0.92 / 1.5 * G0
    # Engine on: front + P/3 <= 0.6 (W - P). Engine off: behind - 4/3 F <= 0.6 (left - F).
    assert advice.preload_high == pytest.approx((0.6 * 1500 * G0 - front) / (1 / 3 + 0.6), abs=0.01)
    assert advice.preload_low == pytest.approx((behind - 0.6 * left) / (4 / 3 - 0.6), abs=0.01)
    assert advice.evaluation is not None and advice.evaluation.usable


def test_a_step_between_changes_nothing_of_it() -> None:
    plain = engine_out()
    still = replace(plain.states[1], name="look", label="looked at", moves_lift=False)
    for case in (plain, engine_out(still)):
        stopped = search([case]).best_stopped()
        assert stopped is not None
        (advice,) = stand_advice(case, stopped)
        assert (round(advice.preload_low, 1), round(advice.preload_high, 1)) == (222.9, 525.4)
