from __future__ import annotations

from dataclasses import replace

import pytest

from tests.judge_cases import bay, head, placed, plain_case, points, vehicle
from tests.sample_cases import case, searched
from underset.job.stands import stand_advice, with_stand
from underset.planner.search import Limits, search
from underset.setting.bearing import taken_off
from underset.setting.evaluate import Case, evaluate
from underset.setting.loads import bear, footing, judge_states
from underset.setting.result import Evaluation, Status
from underset.setting.stand_loads import load_change
from underset.setting.state import State, Support
from underset.statics import Item, contact_loads, even_loads, stand_rise, total
from underset.units import G0

KERB = Item("kerb vehicle", 1400.0, 5.0, (-1.36, 0.0, 0.55), (0.005, 0.005, 0.02))
ENGINE = Item("engine", 160.0, 5.0, (-0.1, 0.0, 0.5), (0.02, 0.02, 0.02))
REAR = (
    "rear-beam",
    "Rear beam",
    ((-2.5, 0.35), (-2.5, -0.35), (-2.35, -0.35), (-2.35, 0.35)),
    0.25,
    9000.0,
)
FRONT = (
    "front-beam",
    "Front beam",
    ((-0.35, 0.3), (-0.35, -0.3), (-0.2, -0.3), (-0.2, 0.3)),
    0.22,
    9000.0,
)


def engine_out(*places: tuple[object, ...], moves: bool = False) -> tuple[Case, Evaluation]:
    """An engine comes out of the front of a vehicle whose rear is heavy enough without it."""
    car = vehicle(
        KERB, point_sets=(points(-0.65, -2.05),), stand_places=places,
        parts=(("engine", ENGINE, True),),
    )  # fmt: skip
    off = State("off", "engine off", (KERB, taken_off(ENGINE)), parts_off=True)
    states = (
        State("set", "as it stands", (KERB,)),
        off,
        replace(off, name="up", label="raised", moves_lift=moves),
        State("on", "engine on", (KERB,)),
    )
    made = plain_case(car, bay(rated=3400.0), (head(),), states)
    calm = replace(made, states=states[:1])
    setting = search([calm], Limits(choices=1)).ranked()[0].evaluation.setting
    return made, evaluate(made, setting, complete=False)


def stops(evaluation: Evaluation) -> set[str]:
    return {c.name for c in evaluation.checks if c.status is Status.STOPS}


def test_the_job_fails_without_a_stand() -> None:
    _, judged = engine_out()
    assert judged.first_failing_state is not None
    assert judged.first_failing_state.name == "off"
    assert stops(judged) >= {"pad_split"}


def test_a_stand_at_the_rear_makes_every_state_hold() -> None:
    made, judged = engine_out(REAR)
    (advice,) = stand_advice(made, judged)
    assert advice.holds
    assert (advice.place, advice.state, advice.fails) == ("rear-beam", "off", "pad_split")
    assert (advice.set_in, advice.until) == ("set", "up")
    assert (advice.end, advice.opposite) == ("rear", True)
    assert advice.preload_low < advice.preload < advice.preload_high
    assert advice.load_low <= advice.preload <= advice.load_high <= 9000.0
    assert not stops(advice.evaluation)  # type: ignore[arg-type]
    assert any("front" in c for c in advice.cautions)


def held(made: Case, judged: Evaluation, at: tuple[float, float], preload: float) -> bool:
    return not stops(
        evaluate(with_stand(made, at, preload, (0, 2)), judged.setting, complete=False)
    )


def test_the_preload_range_is_exact() -> None:
    """At each end the judge still holds; a little beyond, it does not."""
    made, judged = engine_out(REAR)
    (advice,) = stand_advice(made, judged)
    at = (-advice.aft, advice.side)
    for inside in (advice.preload_low + 1.0, advice.preload_high - 1.0):
        assert held(made, judged, at, inside)
    assert not held(made, judged, at, advice.preload_low - 15.0)
    if advice.load_high + (advice.preload_high - advice.preload) < 8990.0:
        assert not held(made, judged, at, advice.preload_high + 15.0)


def test_the_region_serves_at_every_corner_and_inside() -> None:
    made, judged = engine_out(REAR)
    (advice,) = stand_advice(made, judged)
    assert len(advice.region) >= 3
    corners = [(-aft, side) for aft, side in advice.region]
    for x, y in corners:
        assert -2.5 - 1e-9 <= x <= -2.35 + 1e-9
        assert abs(y) <= 0.35 + 1e-9
        assert held(made, judged, (x, y), advice.preload)
    middle = (sum(x for x, _ in corners) / len(corners), sum(y for _, y in corners) / len(corners))
    assert held(made, judged, middle, advice.preload)


def test_a_place_at_the_wrong_end_does_not_help_and_says_why() -> None:
    made, judged = engine_out(FRONT)
    (advice,) = stand_advice(made, judged)
    assert not advice.holds
    assert "Front beam" in advice.reason


def test_the_helping_place_is_told_first() -> None:
    made, judged = engine_out(FRONT, REAR)
    assert [a.place for a in stand_advice(made, judged)] == ["rear-beam"]


def test_no_place_on_file_tells_where_one_would_serve() -> None:
    made, judged = engine_out()
    (advice,) = stand_advice(made, judged)
    assert not advice.holds
    assert "no place for a stand is on file" in advice.reason
    assert "rear" in advice.reason
    assert all(aft > 1.35 for aft, _ in advice.region)  # behind the middle of the pads


def test_the_lift_may_not_move_on_it() -> None:
    made, judged = engine_out(REAR, moves=True)
    (advice,) = stand_advice(made, judged)
    assert not advice.holds
    assert "the lift moves" in advice.reason


def test_what_fails_at_once_cannot_be_propped() -> None:
    made, judged = engine_out(REAR)
    heavy = replace(KERB, place=(-2.0, 0.0, 0.55))
    case = replace(made, states=tuple(replace(s, items=(heavy,)) for s in made.states))
    (advice,) = stand_advice(case, evaluate(case, judged.setting, complete=False))
    assert "as soon as the lift takes it" in advice.reason


def test_nothing_is_advised_where_nothing_fails_or_no_stand_helps() -> None:
    made, judged = engine_out(REAR)
    calm = replace(made, states=(made.states[0],))
    assert stand_advice(calm, evaluate(calm, judged.setting, complete=False)) == ()
    tight = replace(made, vehicle=replace(made.vehicle, width_mirrors=2.79))
    assert stand_advice(tight, evaluate(tight, judged.setting, complete=False)) == ()


def test_the_sample_suv_is_helped_at_its_front() -> None:
    found = searched("market-suv", "north", "suv-rear-axle-out")
    start = found.best_stopped()
    assert start is not None
    (advice,) = stand_advice(case("market-suv", "north", "suv-rear-axle-out"), start)
    assert advice.holds
    assert (advice.place, advice.end, advice.opposite) == ("front-subframe", "front", True)
    assert advice.evaluation is not None
    assert advice.evaluation.usable


# --- what a stand takes ---------------------------------------------------------------------------

FORMS_CASE = plain_case(vehicle(KERB), None, (head(),))


def spring_change(stiffness: float, at: tuple[float, float], part: Item) -> float:
    """Change of a sprung stand's load when a part goes, by the springs themselves."""
    pads = tuple(p.place for p in FORMS_CASE.vehicle.point_sets[0].points)
    supports, springs = (*pads, at), (4.0e5,) * 4 + (stiffness,)
    weight = KERB.mass * G0
    rise = stand_rise(supports, weight, KERB.place[:2], springs, 2000.0)
    left = total((KERB, taken_off(part)))
    raised = (0.0,) * 4 + (rise,)
    loads = contact_loads(supports, left.mass * G0, left.cg[:2], springs, raised)
    assert loads is not None
    return loads[4] - 2000.0


@pytest.mark.parametrize("at", [(-2.6, 0.1), (-0.2, -0.2), (-1.4, 0.0)])
@pytest.mark.parametrize("stiffness", [1.0e4, 4.0e5, 1.0e8])
def test_a_stand_of_any_stiffness_stays_in_its_range(
    at: tuple[float, float], stiffness: float
) -> None:
    part = Item("part", 150.0, 0.0, (-0.1, 0.05, 0.5))
    before, after = State("a", "a", (KERB,)), State("b", "b", (KERB, taken_off(part)))
    c = FORMS_CASE
    foot = footing(c.vehicle, c.bay, c.shelf, c.policy, placed(c))
    low, high = load_change(before, after, at, foot.forms)
    change = spring_change(stiffness, at, part)
    assert low - 1.0 <= change <= high + 1.0
    rigid = spring_change(1.0e10, at, part)
    assert rigid == pytest.approx(low if abs(low) > abs(high) else high, abs=2.0)


def test_the_judge_follows_a_stand_through_the_job() -> None:
    made, judged = engine_out(REAR)
    stand = Support("prop", (-2.4, 0.0), 2500.0, 0.0, "stand")
    states = tuple(replace(s, supports=(stand,)) for s in made.states[:2])
    case = replace(made, states=states)
    foot = footing(case.vehicle, case.bay, case.shelf, case.policy, judged.setting)
    first, second = judge_states(
        bear(states, foot), foot, case.vehicle, case.bay, case.policy, judged.setting
    )
    assert first.state.supports[0].force == 2500.0
    later = second.state.supports[0]
    assert later.force + later.force_tol > 2500.0  # weight off the front tips onto the rear
    assert later.force - later.force_tol == pytest.approx(2500.0)
    names = {c.name for c in second.checks}
    assert {"stand_firm", "table_push"} <= names


def test_a_lift_that_moves_on_a_stand_stops() -> None:
    made, judged = engine_out(REAR)
    stand = Support("prop", (-2.4, 0.0), 2500.0, 0.0, "stand")
    state = replace(made.states[0], supports=(stand,), moves_lift=True)
    result = evaluate(replace(made, states=(state,)), judged.setting, complete=False)
    assert "stand_moves" in stops(result)


def test_equilibrium_with_a_stand() -> None:
    """The pads carry what the stand leaves: residuals stay nothing."""
    made, judged = engine_out(REAR)
    (advice,) = stand_advice(made, judged)
    assert advice.evaluation is not None
    for state in advice.evaluation.states:
        assert abs(state.residuals.force) < 1e-6
        assert abs(state.residuals.moment_x) < 1e-6
        assert abs(state.residuals.moment_y) < 1e-6
    loaded = advice.evaluation.states[1]
    assert sum(p.nominal for p in loaded.pads) + loaded.supports[0].force == pytest.approx(
        loaded.mass * G0
    )
    expected = even_loads(
        tuple(p.place for p in made.vehicle.point_sets[0].points),
        advice.evaluation.states[0].mass * G0, KERB.place[:2],
    )  # fmt: skip
    assert sum(expected) == pytest.approx(KERB.mass * G0)
