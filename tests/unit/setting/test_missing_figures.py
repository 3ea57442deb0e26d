"""Every figure that a record may leave out, left out by itself: no check that needs it may hold.

The sample's settings that may be used are judged again without one figure. `NEEDED` names the
checks that then may not hold; `MAY_HOLD` says why leaving a figure out changes no verdict. A field
that is in neither table fails, so that a new one has to be thought about.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import pytest

from tests.judge_cases import bay, head, plain_case, vehicle
from tests.sample_cases import case, searched, workshop
from underset.planner.search import search
from underset.records import policy_from
from underset.records.base import Record
from underset.setting.build import bay_numbers, shelf, vehicle_numbers
from underset.setting.evaluate import Case, evaluate
from underset.setting.result import Evaluation, Setting, Status
from underset.setting.state import PushCase, State
from underset.units import NOT_GIVEN

PLANS = (
    ("harbour-hatch", "north", "hatch-engine-out"),
    ("crew-pickup", "yard", "pickup-transmission-out"),
)
BLANK = ("not given", "not known", "not asked")

NEEDED = {
    "vehicle sizes.track_front": {"arm_tyre", "way_in"},
    "vehicle sizes.track_rear": {"arm_tyre", "way_in"},
    "vehicle sizes.tyre_width": {"arm_tyre", "way_in"},
    "vehicle sizes.tyre_diameter": {"arm_tyre", "way_in"},
    "vehicle sizes.length": {"clear_space", "push_slide", "job_push"},
    "vehicle sizes.width": {"clear_space", "push_slide", "job_push"},
    "vehicle sizes.overhang_front": {"clear_space", "push_slide", "job_push"},
    "vehicle sizes.width_mirrors": {"drive_through"},
    "vehicle sizes.height": {"overhead", "push_tip", "push_unload"},
    "vehicle suspension.droop_front": {"overhead"},
    "vehicle suspension.droop_rear": {"overhead"},
    "vehicle roof_load_height": {"overhead", "push_tip", "push_unload"},
    "vehicle zones": {"arm_zone", "pad_zone", "way_in"},
    "vehicle doors": {"door"},
    "vehicle special_adapter": {"special_adapter"},
    "vehicle point_sets.points.flange_thickness": {"stack_fit"},
    "vehicle point_sets.points.flange_depth": {"stack_fit"},
    "vehicle intake.rust_at_points": {"rust_at_points"},
    "vehicle intake.repair_at_points": {"repair_at_points"},
    "vehicle intake.hidden_payload": {"hidden_payload"},
    "vehicle intake.person_in_vehicle": {"person_in_vehicle"},
    "vehicle intake.air_suspension_in_lift_mode": {"air_suspension_in_lift_mode"},
    "vehicle intake.entered_straight": {"entered_straight"},
    "bay restraint.pitch": {"arm_tooth"},
    "bay restraint.offset": {"arm_tooth"},
    "bay plate.cg_low": {"cg_window"},
    "bay plate.cg_high": {"cg_window"},
    "bay surroundings.ceiling": {"overhead"},
    "bay surroundings.stop_bar": {"overhead"},
    "bay surroundings.free_ahead": {"clear_space"},
    "bay surroundings.free_behind": {"clear_space"},
    "bay surroundings.free_left": {"clear_space"},
    "bay surroundings.free_right": {"clear_space"},
    "bay surroundings.floor_level": {"floor"},
    "bay surroundings.floor_certificate": {"floor"},
    **{
        f"bay arms.{arm}.{field}": checks
        for arm in ("left_front", "right_front", "left_rear", "right_rear")
        for field, checks in (
            ("parked_swing", {"way_in"}),
            ("profile", {"arm_tyre", "arm_zone", "arm_arm", "arm_column", "way_in"}),
        )
    },
    "adapter width": {"point_on_pad", "pad_zone", "way_in"},
    "adapter slot": {"stack_fit"},
    "adapter slot_depth": {"stack_fit"},
}

_WEIGHED = "another weighing or an estimate with its band stands in; see the tests below"
_UNUSED = "no check uses it"
_POLICY = "policy has a figure for it, which the check's inputs name"
MAY_HOLD = {
    **{f"vehicle weights.{f}": _WEIGHED for f in ("front", "rear", "lf", "rf", "lr", "rr")},
    "vehicle weights.total": _WEIGHED,
    "vehicle weights.front_share": _WEIGHED,
    "vehicle balance.height": "open data of the class, with their spread, judged at its far end",
    "vehicle balance.side": "open data with their spread, judged at its far end",
    "vehicle drive": "only an estimate of the balance asks for it; without it there is none",
    "vehicle construction": _UNUSED,
    "vehicle steering": _UNUSED,
    "vehicle propulsion": "asked for only where a cradle stands under the vehicle",
    "vehicle sizes.sill_height": "the roof is higher, and a push there does more",
    "vehicle suspension.unsprung_front": _UNUSED,
    "vehicle suspension.unsprung_rear": _UNUSED,
    "vehicle suspension.air": "asked again at the vehicle: air_suspension_in_lift_mode",
    "vehicle body_twist_low": _POLICY,
    "vehicle body_twist_high": _POLICY,
    "vehicle point_sets.points.limit": "a maker who gives no limit of a point sets none",
    "vehicle stand_places.limit": "limits a stand, which stands in no setting here",
    "vehicle doors.underside": _UNUSED,
    "vehicle lids": "no step opens one; a step that does makes overhead not known",
    "vehicle intake.asked_on": "who asked and when is told, not judged",
    "bay raise_speed": _UNUSED,
    "bay lower_speed": _UNUSED,
    "bay seat.greatest_stack": "a head alone is the lift maker's own; see a test below",
    "bay carriage_difference": _POLICY,
    "bay plate.per_arm": _POLICY,
    "bay plate.split_high": _POLICY,
    "bay plate.edition": _UNUSED,
    "bay plate.made": _UNUSED,
    "bay plate.wheelbase_low": "a plate without such a limit sets none",
    "bay plate.wheelbase_high": "a plate without such a limit sets none",
    "bay plate.width_high": "a plate without such a limit sets none",
    "bay plate.drive_through": "the columns themselves stand in the record",
    "bay surroundings.stop_bar_x": _UNUSED,
    "bay surroundings.mark_x": "the spot is then told from the column line",
    "bay inspection.examined": "the book says when; the standing is the same here",
    "bay inspection.interval": _POLICY,
    **{
        f"bay arms.{arm}.limit": _POLICY
        for arm in ("left_front", "right_front", "left_rear", "right_rear")
    },
    "adapter travel": "a screw that nobody measured is taken as not there: heights are those of a "
    "piece screwed in, and nothing can be levelled",
    "adapter lots.inspected": "the book says when; the standing is the same here",
    "adapter thread": "turns are told, not judged",
    "adapter interval_months": _POLICY,
    "adapter price": _UNUSED,
    "adapter raised_edges": "asked for only beside high voltage; see a test below",
    "adapter above": "nothing stands on it then",
}


def removals(record: Record) -> Iterator[tuple[str, Record]]:
    """The record without one of its optional figures, by the field's path; lists by their first."""
    for name, field in type(record).model_fields.items():
        given, default = getattr(record, name), field.default
        optional = default is None or default is NOT_GIVEN or default in BLANK
        if optional and given is not None and given != default:
            yield name, record.model_copy(update={name: default})
        if isinstance(given, Record):
            for path, less in removals(given):
                yield f"{name}.{path}", record.model_copy(update={name: less})
        elif isinstance(given, tuple) and given and isinstance(given[0], Record):
            for path, less in removals(given[0]):
                yield f"{name}.{path}", record.model_copy(update={name: (less, *given[1:])})


def without(plan: tuple[str, str, str]) -> Iterator[tuple[str, Case]]:
    """The plan's case without each figure in turn, papers and states as they are."""
    shop, made = workshop(), case(*plan)
    for path, less in removals(shop.vehicles[plan[0]]):
        numbers = vehicle_numbers(plan[0], less, made.policy)  # type: ignore[arg-type]
        states = tuple(_with_kerb(s, made, numbers.kerb) for s in made.states)
        yield (
            f"vehicle {path}",
            replace(made, vehicle=numbers, intake=numbers.intake, states=states),
        )
    for path, less in removals(shop.bays[plan[1]]):
        yield f"bay {path}", replace(made, bay=bay_numbers(plan[1], less))  # type: ignore[arg-type]
    tops = {a.stack_ids[-1] for a in setting_of(plan).arms}
    for name in sorted(tops):
        for path, less in removals(shop.adapters[name]):
            types = shelf({**shop.adapters, name: less}, plan[1], made.standing)  # type: ignore[dict-item]
            yield f"adapter {path}", replace(made, shelf=types)


def _with_kerb(state: State, made: Case, kerb: object) -> State:
    old = made.vehicle.kerb
    return replace(state, items=tuple(kerb if i is old else i for i in state.items if kerb))  # type: ignore[misc]


def setting_of(plan: tuple[str, str, str]) -> Setting:
    return searched(*plan).ranked()[0].evaluation.setting


def holding(evaluation: Evaluation) -> set[str]:
    """Names of checks that hold everywhere."""
    names = {c.name for c in evaluation.checks}
    return names - {c.name for c in evaluation.checks if c.status is not Status.HOLDS}


@pytest.mark.parametrize("plan", PLANS, ids=lambda p: p[0])
def test_no_check_holds_without_a_figure_it_needs(plan: tuple[str, str, str]) -> None:
    setting = setting_of(plan)
    before = holding(evaluate(case(*plan), setting))
    tried, told = set(), []
    for path, less in without(plan):
        assert (path in NEEDED) != (path in MAY_HOLD), f"{path}: say which check needs it"
        if path in NEEDED:
            tried.add(path)
            told += [(path, n) for n in NEEDED[path] & before & holding(evaluate(less, setting))]
    assert told == []
    assert len(tried) > 30
    assert {"vehicle suspension.droop_front", "bay restraint.pitch", "adapter width"} <= tried


PLAIN = plain_case()
SET = search([PLAIN]).ranked()[0].evaluation.setting
NEED_HEIGHT = {"arm_load", "adapter_load", "pad_split", "least_pad", "cg_edge", "push_tip",
               "push_unload", "balance"}  # fmt: skip


def test_the_plain_case_holds() -> None:
    assert NEED_HEIGHT | {"overhead", "push_slide", "way_in"} <= holding(evaluate(PLAIN, SET))


def test_without_any_height_of_the_balance_nothing_that_rolls_or_tips_holds() -> None:
    kerb = PLAIN.vehicle.kerb
    assert kerb is not None
    low = replace(kerb, place=(*kerb.place[:2], 0.0), place_tol=(*kerb.place_tol[:2], 0.0))
    car = vehicle(low, height_known=False)
    states = (State("set", "as it stands", (low,)),)
    found = evaluate(replace(PLAIN, vehicle=car, states=states), SET)
    assert not holding(found) & NEED_HEIGHT
    assert found.status is Status.NOT_KNOWN


def test_without_any_weight_nothing_is_sure() -> None:
    """All weights left out of a sample vehicle: estimates at best, and told as such."""
    record = workshop().vehicles["harbour-hatch"]
    blank = {n: NOT_GIVEN for n in type(record.weights).model_fields if n != "state"}
    less = record.model_copy(update={"weights": record.weights.model_copy(update=blank)})
    made = case(*PLANS[0])
    numbers = vehicle_numbers("harbour-hatch", less, made.policy)
    assert numbers.basis.estimated == ("mass", "aft")
    states = tuple(_with_kerb(s, made, numbers.kerb) for s in made.states)
    found = evaluate(replace(made, vehicle=numbers, states=states), setting_of(PLANS[0]))
    assert "balance" not in holding(found)


def overhead(droop: float | None, **more: object) -> Status:
    place = bay(ceiling=3.6) if "ceiling" not in more else bay(ceiling=more.pop("ceiling"))
    made = replace(plain_case(vehicle(droop=droop, **more), place))
    return next(c.status for c in evaluate(made, SET).checks if c.name == "overhead")


def test_a_droop_nobody_gave_never_holds_but_what_stops_without_it_stops() -> None:
    assert overhead(0.08) is Status.HOLDS
    assert overhead(None) is Status.NOT_KNOWN
    assert overhead(None, ceiling=1.5) is Status.STOPS


def test_a_load_above_every_height_on_file_is_not_known() -> None:
    states = (replace(PLAIN.states[0], top=1.6),)
    found = evaluate(replace(PLAIN, states=states), SET)
    check = next(c for c in found.checks if c.name == "overhead")
    assert (check.status, check.note) == (Status.NOT_KNOWN, ("height of the load not given",))


def pushed(**more: object) -> tuple[Status, float | None]:
    figures = {"label": "pull", "force": 100.0, "up": 0.4, "direction": None, "place": (-1.2, 0.0)}
    push = PushCase(**{**figures, **more})  # type: ignore[arg-type]
    states = (replace(PLAIN.states[0], pushes=(push,)),)
    found = evaluate(replace(PLAIN, states=states), SET)
    check = next(c for c in found.checks if c.name == "job_push")
    return check.status, check.demand


def test_an_upward_push_nobody_placed_across_is_not_known() -> None:
    up = {"direction": (0.0, 0.0, 1.0)}
    assert pushed(**up)[0] is Status.HOLDS
    assert pushed(**up, place=(-1.2, None))[0] is Status.NOT_KNOWN
    assert pushed(**up, place=None)[0] is Status.NOT_KNOWN


def test_a_push_nobody_placed_across_may_act_anywhere_across() -> None:
    (_, middle), (_, edge), (_, anywhere) = (
        pushed(place=(-1.2, y)) for y in (0.0, 0.87 + 0.005, None)
    )
    assert middle is not None and edge is not None and anywhere is not None
    assert anywhere == pytest.approx(edge, rel=0.01)
    assert anywhere < middle


def test_a_block_makes_a_stack_taller_than_the_lift_maker_measured() -> None:
    made = plain_case(place=bay(greatest_stack=None), types=(head(role="block"),))
    check = next(c for c in evaluate(made, SET).checks if c.name == "stack_height")
    assert check.status is Status.NOT_KNOWN


def beside_the_battery(raised: bool | None, gap: float) -> Status:
    """The saloon's pads stand 83 mm from its pack; edges there want twice the gap."""
    plan = ("ferry-saloon", "south", None)
    made, setting = case(*plan), setting_of(plan)
    head = made.shelf.types["peg-head"]
    head = replace(head, raised_edges=raised, edges_near_battery=False)
    types = replace(made.shelf, types={**made.shelf.types, "peg-head": head})
    made = replace(made, shelf=types, policy=policy_from({"gap_arm": f"{gap} m"}))
    return next(c.status for c in evaluate(made, setting).checks if c.name == "pad_zone")


def test_edges_nobody_looked_at_are_not_known_where_they_would_matter() -> None:
    close, wide = 0.05, 0.03
    assert [beside_the_battery(x, close) for x in (False, True, None)] == [
        Status.HOLDS, Status.STOPS, Status.NOT_KNOWN,
    ]  # fmt: skip
    assert beside_the_battery(None, wide) is Status.HOLDS
    assert beside_the_battery(None, 0.09) is Status.STOPS
