"""What the judge must not depend on: side, place, scale, way in; and what it must never forgive."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from math import pi
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.judge_cases import (
    bay,
    head,
    placed,
    plain_case,
    points,
    policy_with,
    random_vehicle,
    standing,
    vehicle,
)
from underset.geometry import Zone
from underset.planner.search import Limits, search
from underset.setting.bearing import bearing_checks, taken_off
from underset.setting.evaluate import Case, evaluate
from underset.setting.loads import bear, footing, judge_states
from underset.setting.numbers import AdapterNumbers, CgBasis, Shelf, ZoneNumbers
from underset.setting.result import Check, Evaluation, PadLoad, Setting, Status
from underset.setting.state import PushCase, State, Support
from underset.statics import Item

FEW = settings(max_examples=40, deadline=None)
SEEDS = st.integers(0, 10_000)
SWAPPED = (1, 0, 3, 2)  # the pad across from each


def drawn(seed: int) -> Case:
    """A random vehicle with a state whose part is off, and one in which it is pushed."""
    rng = Random(seed)
    car = random_vehicle(rng)
    assert car.kerb is not None
    off = taken_off(car.parts[0][1])
    push = PushCase("pull", rng.uniform(100.0, 600.0), rng.uniform(0.3, 1.2), None)
    table = Support("table", (-1.0, 0.0), rng.uniform(100.0, 900.0), 50.0, "table")
    states = (
        State("set", "set", (car.kerb,)),
        State("push", "pushed", (car.kerb,), (), (push,)),
        State("table", "table up", (car.kerb,), (table,)),
        State("off", "part off", (car.kerb, off)),
    )
    return plain_case(car, None, (), states)


def alike(a: Check, b: Check, factor: float = 1.0) -> bool:
    """The same name and status; demand and limit in proportion where they are forces."""
    scale = factor if a.unit == "N" else 1.0
    pairs = ((a.demand, b.demand), (a.limit, b.limit), (a.nominal, b.nominal))
    return (a.name, a.status) == (b.name, b.status) and all(
        (x is None) == (y is None)
        and (x is None or y == pytest.approx(scale * x, rel=1e-7, abs=1e-9))
        for x, y in pairs
    )


# --- side -----------------------------------------------------------------------------------------


def mirrored_item(item: Item) -> Item:
    x, y, z = item.place
    return replace(item, place=(x, -y, z))


def mirrored(case: Case) -> Case:
    sets = case.vehicle.point_sets[0]
    lf, rf, lr, rr = (replace(p, place=(p.place[0], -p.place[1])) for p in sets.points)
    other = (
        replace(rf, corner="LF"),
        replace(lf, corner="RF"),
        replace(rr, corner="LR"),
        replace(lr, corner="RR"),
    )
    car = replace(
        case.vehicle,
        kerb=case.vehicle.kerb and mirrored_item(case.vehicle.kerb),
        point_sets=(replace(sets, points=other),),
    )
    states = tuple(
        replace(
            s,
            items=tuple(map(mirrored_item, s.items)),
            supports=tuple(replace(p, place=(p.place[0], -p.place[1])) for p in s.supports),
        )
        for s in case.states
    )
    return replace(case, vehicle=car, states=states)


@FEW
@given(SEEDS)
def test_left_and_right_count_alike(seed: int) -> None:
    case = drawn(seed)
    other = mirrored(case)
    here, there = bearing_checks(case, placed(case)), bearing_checks(other, placed(other))
    for a, b in zip(here, there, strict=True):
        assert (a.name, a.status) == (b.name, b.status)
        assert b.demand == (None if a.demand is None else pytest.approx(a.demand, rel=1e-7))
    for a, b in zip(states_of_pads(case), states_of_pads(other), strict=True):
        for i, load in enumerate(a):
            other_load = b[SWAPPED[i]]
            assert (other_load.low, other_load.nominal, other_load.high) == pytest.approx(
                (load.low, load.nominal, load.high), rel=1e-7, abs=1e-6
            )


def states_of_pads(case: Case) -> list[tuple[PadLoad, ...]]:
    foot = footing(case.vehicle, case.bay, case.shelf, case.policy, placed(case))
    judged = judge_states(
        bear(case.states, foot), foot, case.vehicle, case.bay, case.policy, placed(case)
    )
    return [j.pads for j in judged]


# --- place ----------------------------------------------------------------------------------------


def shifted(case: Case, by: float) -> Case:
    """The whole bay moved along."""
    here = case.bay
    arms = tuple(replace(a, pivot=(a.pivot[0] + by, a.pivot[1])) for a in here.arms)
    columns = tuple(tuple((x + by, y) for x, y in c) for c in here.columns)
    assert here.cg_window is not None
    window = (here.cg_window[0] + by, here.cg_window[1] + by)
    return replace(case, bay=replace(here, arms=arms, columns=columns, cg_window=window))


@settings(max_examples=8, deadline=None)
@given(SEEDS, st.floats(-2.0, 2.0))
def test_the_whole_scene_may_stand_anywhere(seed: int, by: float) -> None:
    rng = Random(seed)
    base = points(-0.6, -2.08, rng.uniform(0.6, 0.75), 0.21, zone=Zone(0.03, 0.02))
    case = plain_case(vehicle(point_sets=(base,)))
    here = search([case], Limits(choices=1)).ranked()
    there = search([shifted(case, by)], Limits(choices=1)).ranked()
    assert len(here) == len(there) == 1
    a, b = here[0], there[0]
    assert b.spot == pytest.approx(a.spot + by, abs=1e-6)
    assert (a.status, a.heading, a.pieces) == (b.status, b.heading, b.pieces)
    assert b.least_slack == pytest.approx(a.least_slack, abs=1e-6)
    for x, y in zip(a.evaluation.checks, b.evaluation.checks, strict=True):
        assert (x.name, x.status) == (y.name, y.status)


# --- scale ----------------------------------------------------------------------------------------


def heavier(case: Case, k: float) -> Case:
    """Everything that weighs, pushes, bears or springs, k times as much."""

    def item(i: Item) -> Item:
        return replace(i, mass=k * i.mass, mass_tol=k * i.mass_tol)

    car = case.vehicle
    names = ("push_force", "pad_stiffness_low", "pad_stiffness_high")
    policy = policy_with(**{n: k * case.policy[n] for n in names})
    types = {i: replace(t, rating=k * t.rating) for i, t in case.shelf.types.items()}
    states = tuple(
        replace(
            s,
            items=tuple(map(item, s.items)),
            supports=tuple(
                replace(p, force=k * p.force, force_tol=k * p.force_tol) for p in s.supports
            ),
            pushes=tuple(replace(p, force=k * p.force) for p in s.pushes),
        )
        for s in case.states
    )
    return replace(
        case,
        vehicle=replace(
            car, kerb=car.kerb and item(car.kerb), twist=(k * car.twist[0], k * car.twist[1])
        ),
        bay=replace(case.bay, rated=k * case.bay.rated),
        shelf=Shelf(types),
        policy=policy,
        states=states,
    )


@FEW
@given(SEEDS, st.floats(0.9, 1.3))
def test_all_forces_scale_together(seed: int, k: float) -> None:
    case = drawn(seed)
    # The rated capacity stays on one side of the boundary between the two split rules.
    other = heavier(case, k)
    here, there = bearing_checks(case, placed(case)), bearing_checks(other, placed(other))
    for a, b in zip(here, there, strict=True):
        assert alike(a, b, k), (a.name, a.demand, b.demand)


# --- way in ---------------------------------------------------------------------------------------


@settings(max_examples=12, deadline=None)
@given(SEEDS)
def test_nose_in_and_tail_in_on_a_symmetric_lift(seed: int) -> None:
    """Turned by half a turn a symmetric lift is the same lift: spots change sign, nothing else."""
    rng = Random(seed)
    base = points(-rng.uniform(0.55, 0.7), -2.08, rng.uniform(0.6, 0.75), 0.21)
    case = plain_case(vehicle(point_sets=(base,)))
    nose, tail = (
        search([case], Limits(choices=1, headings=(heading,))).ranked()
        for heading in ("nose-in", "tail-in")
    )
    assert len(nose) == len(tail) == 1
    a, b = nose[0], tail[0]
    assert b.spot == pytest.approx(-a.spot, abs=1e-6)
    assert b.least_slack == pytest.approx(a.least_slack, abs=1e-6)
    for x, y in zip(a.evaluation.checks, b.evaluation.checks, strict=True):
        assert (x.name, x.status) == (y.name, y.status)
        if x.demand is not None and y.demand is not None:
            assert y.demand == pytest.approx(x.demand, abs=1e-6, rel=1e-6)


# --- nothing missing is forgiven ------------------------------------------------------------------


def complete() -> tuple[Case, Setting]:
    """A case in which every check holds, with its setting."""
    case = plain_case()
    return case, search([case], Limits(choices=1)).ranked()[0].evaluation.setting


COMPLETE, SETTING = complete()

MISSING: dict[str, Callable[[Case], Case]] = {
    "mass": lambda c: replace(c, vehicle=replace(c.vehicle, kerb=None)),
    "cg height": lambda c: replace(c, vehicle=replace(c.vehicle, height_known=False)),
    "tyres": lambda c: replace(c, vehicle=replace(c.vehicle, tyres=None)),
    "zones": lambda c: replace(c, vehicle=replace(c.vehicle, zones=None)),
    "doors": lambda c: replace(c, vehicle=replace(c.vehicle, doors=None)),
    "outline": lambda c: replace(
        c, vehicle=replace(c.vehicle, outline=None), bay=replace(c.bay, free=(3.0,) * 4)
    ),
    "mirrors": lambda c: replace(c, vehicle=replace(c.vehicle, width_mirrors=None)),
    "width": lambda c: replace(
        c, vehicle=replace(c.vehicle, width=None), bay=replace(c.bay, width_high=2.1)
    ),
    "roof": lambda c: replace(c, vehicle=replace(c.vehicle, roof=None)),
    "special adapter": lambda c: replace(
        c, vehicle=replace(c.vehicle, special_adapter="not given")
    ),
    "profiles": lambda c: replace(c, bay=replace(c.bay, profiles=(None,) * 4)),
    "parked arms": lambda c: replace(c, bay=replace(c.bay, parked=(None,) * 4)),
    "ceiling": lambda c: replace(c, bay=replace(c.bay, ceiling=None)),
    "stop bar": lambda c: replace(c, bay=replace(c.bay, stop_bar=None)),
    "free space": lambda c: replace(c, bay=replace(c.bay, free=(None,) * 4)),
    "floor": lambda c: replace(c, bay=replace(c.bay, floor_certificate="not known")),
    "tooth pitch": lambda c: replace(c, bay=replace(c.bay, pitch=None, tooth_offset_known=False)),
    "examination": lambda c: replace(c, standing=replace(c.standing, examined={})),
    "source": lambda c: replace(c, standing=replace(c.standing, sources_checked={})),
    "head width": lambda c: replace(c, shelf=Shelf({"pad": head(width=None)})),
    "adapter inspection": lambda c: replace(c, shelf=Shelf({"pad": head(inspected_months=None)})),
    "who lifts": lambda c: replace(
        c, standing=replace(c.standing, require_authorisation=True, person=None)
    ),
    **{
        question: lambda c, q=question: replace(  # type: ignore[misc]
            c, intake=tuple((k, "not asked" if k == q else v) for k, v in c.intake)
        )
        for question, _ in COMPLETE.intake
    },
}


def test_the_complete_case_holds() -> None:
    judged = evaluate(COMPLETE, SETTING)
    assert judged.status is Status.HOLDS
    assert judged.usable


@pytest.mark.parametrize("what", MISSING)
def test_a_missing_figure_never_gives_holds(what: str) -> None:
    judged = evaluate(MISSING[what](COMPLETE), SETTING)
    assert judged.status is Status.NOT_KNOWN
    assert not judged.usable


@pytest.mark.parametrize("what", MISSING)
def test_a_search_with_something_missing_is_incomplete(what: str) -> None:
    found = search([MISSING[what](COMPLETE)], Limits(choices=1))
    assert found.outcome.value == "incomplete"


def unknown_flange() -> Evaluation:
    rail = points(contact="pinch weld", zone=Zone(0.03, 0.004))
    block = head("block", contacts=("pinch weld",), slot=0.02, slot_depth=0.03, width=0.1)
    case = plain_case(vehicle(point_sets=(rail,)), None, (block,))
    found = search([case], Limits(choices=1))
    assert found.unclear
    return found.unclear[0]


def test_an_unmeasured_flange_is_not_known() -> None:
    judged = unknown_flange()
    assert [c.name for c in judged.checks if c.status is Status.NOT_KNOWN] == ["stack_fit"]


def test_cradles_need_to_know_the_propulsion() -> None:
    cradle = head("cradle", cradle=True)
    car = vehicle(battery=None)
    assert search([plain_case(car, None, (cradle,))]).outcome.value == "none"
    known = vehicle(battery=False)
    assert search([plain_case(known, None, (cradle,))]).outcome.value == "found"


def test_a_state_outside_the_pads_is_judged_not_an_error() -> None:
    """So much comes off at one end that the weight stands outside the pads."""
    case = COMPLETE
    assert case.vehicle.kerb is not None
    engine = Item("engine", 800.0, 0.0, (-0.2, 0.0, 0.5))
    state = State("off", "off", (case.vehicle.kerb, taken_off(engine)))
    judged = evaluate(replace(case, states=(case.states[0], state)), SETTING)
    assert judged.first_failing_state is not None
    assert judged.first_failing_state.name == "off"
    stops = {c.name for c in judged.checks if c.status is Status.STOPS}
    assert "cg_edge" in stops


def test_an_estimate_is_watched_at_best() -> None:
    basis = CgBasis("prior", "prior", "prior", "prior", ("mass", "aft"))
    judged = evaluate(replace(COMPLETE, vehicle=replace(COMPLETE.vehicle, basis=basis)), SETTING)
    assert judged.status is Status.WATCH


def test_a_zone_is_cleared_beside_or_below() -> None:
    """A zone that hangs low beside the arms does not stop; the same zone across the arms does."""
    beside = ((0.2, 0.2), (0.2, -0.2), (-0.2, -0.2), (-0.2, 0.2))
    across = ((-0.2, 1.2), (-0.2, 0.2), (-2.6, 0.2), (-2.6, 1.2))
    for outline, stops in ((beside, False), (across, True)):
        zone = ZoneNumbers("z", "line", outline, 0.12, False, True, False)
        case = replace(COMPLETE, vehicle=replace(COMPLETE.vehicle, zones=(zone,)))
        names = {c.name for c in evaluate(case, SETTING).checks if c.status is Status.STOPS}
        assert ("arm_zone" in names) is stops


def test_papers_of_another_bay_do_not_count() -> None:
    case = replace(COMPLETE, standing=standing("elsewhere"))
    judged = evaluate(case, SETTING)
    assert [c.name for c in judged.checks if c.status is Status.NOT_KNOWN] == ["lift_examined"]


def test_a_missing_restraint_stops() -> None:
    case = replace(COMPLETE, bay=replace(bay(), restraint=None))
    judged = evaluate(case, SETTING)
    assert "arm_tooth" in {c.name for c in judged.checks if c.status is Status.STOPS}


def test_an_improvised_piece_stops() -> None:
    piece: AdapterNumbers = head(maker_rated=False)
    judged = evaluate(replace(COMPLETE, shelf=Shelf({"pad": piece})), SETTING)
    assert "maker_rated" in {c.name for c in judged.checks if c.status is Status.STOPS}


def test_yawed_by_half_a_turn_is_tail_in() -> None:
    """A full turn of the scene: the pose of tail-in is that of nose-in turned by pi."""
    from underset.setting.place import Stop

    nose, tail = Stop("nose-in", 1.0, 0.1, 0.02).pose, Stop("tail-in", 1.0, 0.1, 0.02).pose
    assert (tail.x, tail.y) == (nose.x, nose.y)
    assert (tail.yaw - nose.yaw) % (2 * pi) == pytest.approx(pi)
