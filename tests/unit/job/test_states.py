from __future__ import annotations

from dataclasses import replace

import pytest

from tests.judge_cases import head, placed, plain_case, vehicle
from underset.errors import InputError
from underset.job.states import states_of
from underset.records.job import Job
from underset.setting.evaluate import evaluate
from underset.setting.numbers import LidNumbers
from underset.statics import Item, total

ENGINE = Item("engine", 180.0, 8.0, (0.1, -0.05, 0.55), (0.03, 0.02, 0.03))
CARGO = Item("cargo", 300.0, 10.0, (-2.2, 0.0, 0.8), (0.1, 0.05, 0.05))
CAR = vehicle(parts=(("engine", ENGINE, True), ("cargo", CARGO, True)))


def states(*steps: dict[str, object], car=CAR):
    job = Job.model_validate({"label": "job", "vehicle": "hatch", "steps": list(steps)})
    return states_of(car, job)


RAISE = {"kind": "raise", "seat": "1500 mm"}
LOWER = {"kind": "lower"}
OFF, ON = ({"kind": kind, "component": "engine"} for kind in ("take off", "put on"))


def test_without_a_job_it_is_on_the_lift_as_it_stands() -> None:
    (only,) = states_of(CAR, None)
    assert only.lifted
    assert not only.parts_off


def test_a_job_that_never_raises_is_on_the_lift_throughout() -> None:
    assert [s.lifted for s in states(OFF, ON)] == [True, True, True]


def test_what_comes_before_the_raise_stands_on_its_tyres() -> None:
    """Cargo out on the floor: the lift never carries it; the state before the raise is taken up."""
    found = states({"kind": "take off", "component": "cargo"}, RAISE, LOWER)
    assert [s.lifted for s in found] == [False, True, True, True]
    assert total(found[1].items).mass == pytest.approx(940.0)


def test_after_the_last_lowering_it_stands_on_its_tyres() -> None:
    cargo_off, cargo_on = ({"kind": k, "component": "cargo"} for k in ("take off", "put on"))
    found = states(cargo_off, RAISE, LOWER, cargo_on)
    assert [s.lifted for s in found] == [False, True, True, True, False]


def test_lowering_part_of_the_way_keeps_it_up() -> None:
    found = states(RAISE, {"kind": "lower", "seat": "500 mm"}, OFF)
    assert all(s.lifted for s in found)
    assert found[2].seat == pytest.approx(0.5)


def test_parts_off_on_the_lift_are_remembered() -> None:
    found = states(RAISE, OFF, RAISE, ON, LOWER)
    assert [s.parts_off for s in found] == [False, False, True, True, False, False]
    assert [s.moves_lift for s in found] == [False, True, False, True, False, True]


def test_what_came_off_on_the_floor_is_no_part_off() -> None:
    found = states({"kind": "take off", "component": "cargo"}, RAISE)
    assert not any(s.parts_off for s in found)


def test_nothing_is_judged_on_the_floor() -> None:
    found = states({"kind": "take off", "component": "cargo"}, RAISE)
    case = replace(plain_case(CAR, None, (head(),)), states=found)
    judged = evaluate(case, placed(case), complete=False)
    floor = judged.states[0]
    assert not floor.lifted
    assert floor.mass == pytest.approx(1240.0)
    assert not [c for c in floor.checks if c.name in ("pad_split", "least_pad", "cg_edge")]
    assert [c for c in judged.states[1].checks if c.name == "pad_split"]


def test_a_component_can_be_moved() -> None:
    move = {"kind": "move load", "id": "engine", "aft": "2000 mm", "side": "0 mm", "up": "600 mm"}
    found = states(move)
    first, then = (total(s.items) for s in found)
    assert then.mass == pytest.approx(first.mass)
    assert then.mass * then.cg[0] == pytest.approx(first.mass * first.cg[0] + 180.0 * (-2.0 - 0.1))
    back = states(move, ON)
    assert total(back[-1].items) == first


def test_moving_what_is_off_is_told_with_its_step() -> None:
    move = {"kind": "move load", "id": "engine", "aft": "0 mm", "side": "0 mm", "up": "600 mm"}
    with pytest.raises(InputError, match=r"step 2 \(move load\)"):
        states(OFF, move)


def test_pushes_and_tables_last_one_step() -> None:
    push = {"kind": "push", "label": "pull", "force": "300 N", "up": "400 mm"}
    table = {"kind": "table push", "label": "table", "force": "1 kN", "aft": "0 mm", "side": "0 mm"}
    found = states(push, table, OFF)
    assert [len(s.pushes) for s in found] == [0, 1, 0, 0]
    assert [len(s.supports) for s in found] == [0, 0, 1, 0]
    assert found[2].supports[0].kind == "table"


def test_a_stand_stays_until_it_is_taken_away() -> None:
    stand = {
        "kind": "stand set",
        "id": "prop",
        "preload": "2 ± 0.1 kN",
        "aft": "2500 mm",
        "side": "0 mm",
    }
    found = states(stand, OFF, {"kind": "stand away", "id": "prop"})
    assert [len(s.supports) for s in found] == [0, 1, 1, 0]
    assert found[1].supports[0].force_tol == pytest.approx(100.0)


def test_openings_by_kind_and_by_name() -> None:
    lid = LidNumbers("front-lid", "bonnet", 0.2, 1.9)
    car = replace(CAR, lids=(lid,))
    found = states(
        {"kind": "open", "what": "bonnet"}, {"kind": "close", "what": "front-lid"}, car=car
    )
    assert [s.lids for s in found] == [(), ("front-lid",), ()]


def test_a_lid_nobody_measured_stays_open_and_is_not_known() -> None:
    car = replace(CAR, lids=None)
    found = states({"kind": "open", "what": "bonnet"}, car=car)
    assert found[1].lids == ("bonnet",)
    case = replace(plain_case(car, None, (head(),)), states=found)
    judged = evaluate(case, placed(case), complete=False)
    overhead = next(c for c in judged.checks if c.name == "overhead")
    assert overhead.status.value == "not known"


def test_an_opening_that_is_not_there_is_told() -> None:
    with pytest.raises(InputError, match="openings are"):
        states({"kind": "open", "what": "sun roof"})


def test_a_table_that_would_lift_the_vehicle_is_told_with_its_step() -> None:
    """Found by faulty records: it ended in an error about a mass that nobody had given."""
    table = {"kind": "table push", "label": "jack", "aft": "300 mm", "side": "0 mm"}
    with pytest.raises(InputError) as told:
        states({**table, "force": "900 kN"})
    assert told.value.message.startswith("step 1 (table push): force: received '900 kN'; less than")
    stand = {"kind": "stand set", "id": "rear", "aft": "300 mm", "side": "0 mm"}
    with pytest.raises(InputError, match="step 2 \\(table push\\): force"):
        states({**stand, "preload": "6 kN"}, {**table, "force": "7 kN"})
    assert len(states({**table, "force": "7 kN"})) == 2
