"""Checks of placing, stacks, papers and drawings of a plain case, each figure by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from math import pi, radians

import pytest

from tests.judge_cases import (
    TODAY,
    bay,
    head,
    placed,
    plain_case,
    points,
    policy_with,
    spacer,
    standing,
    vehicle,
)
from underset.errors import InternalError
from underset.geometry import Free, Zone
from underset.setting.bearing import taken_off, with_items
from underset.setting.checks import at_least, at_most
from underset.setting.evaluate import Case, evaluate
from underset.setting.numbers import DoorNumbers
from underset.setting.papers import paper_checks
from underset.setting.result import Check, Setting, Status
from underset.setting.scene import scene
from underset.setting.stacks import fits
from underset.setting.standing import Standing, due_on
from underset.setting.state import PushCase, State, Support
from underset.statics import Item

PLAIN = plain_case()
SETTING = placed(PLAIN)


def checks(case: Case = PLAIN, setting: Setting = SETTING) -> dict[str, Check]:
    """The last check of each name, the ways in left out."""
    return {c.name: c for c in evaluate(case, setting, complete=False).checks}


def with_arm(index: int, **figures: object) -> Setting:
    """The setting with one arm changed."""
    arms = list(SETTING.arms)
    arms[index] = replace(arms[index], **figures)  # type: ignore[arg-type]
    return replace(SETTING, arms=tuple(arms))


def told(check: Check) -> dict[str, object]:
    return {name: value for name, value, _ in check.inputs}


# --- arms -----------------------------------------------------------------------------------------


def test_reach_left_is_the_nearer_end() -> None:
    """Arms from 0.60 to 1.15 m, set at 0.80."""
    assert checks()["arm_reach"].demand == pytest.approx(0.20)
    for reach, left in ((1.10, 0.05), (0.62, 0.02)):
        found = checks(setting=with_arm(2, reach=reach))["arm_reach"]
        assert (found.demand, found.where) == (pytest.approx(left), "LR")


@pytest.mark.parametrize(
    ("approach", "heading", "status"),
    [
        ("either way", "nose-in", Status.HOLDS),
        ("either way", "tail-in", Status.HOLDS),
        ("nose-in only", "nose-in", Status.HOLDS),
        ("nose-in only", "tail-in", Status.STOPS),
    ],
)
def test_the_way_a_bay_is_entered(approach: str, heading: str, status: Status) -> None:
    case = plain_case(place=bay(approach=approach))
    assert checks(case, replace(SETTING, heading=heading))["approach"].status is status


def test_an_arm_between_two_teeth_or_beyond_its_limits_stops() -> None:
    case = replace(PLAIN, bay=bay(restraint=Free()))
    assert checks(case)["arm_tooth"].status is Status.HOLDS
    found = checks(case, with_arm(1, swing=-0.3))["arm_tooth"]
    assert (found.status, found.where, found.note) == (Status.STOPS, "RF", ("off the teeth",))
    assert checks()["arm_tooth"].status is Status.STOPS  # tooth 9 stands at 37 degrees, not 0.6 rad


@pytest.mark.parametrize(
    ("across", "swing", "status"),
    [
        (0.025, 0.6, Status.NOT_KNOWN),  # half a pitch of 4 degrees at 0.80 m is 27.9 mm
        (0.029, 0.6, Status.WATCH),
        (0.029, radians(97.5), Status.WATCH),
        (0.029, radians(98.5), Status.NOT_KNOWN),  # 1.5 degrees to the end: a pitch less these
    ],
)
def test_teeth_nobody_knows_where(across: float, swing: float, status: Status) -> None:
    base = points(zone=Zone(0.03, across))
    case = plain_case(vehicle(point_sets=(base,)), bay(tooth_offset_known=False))
    found = checks(case, with_arm(2, swing=swing) if swing != 0.6 else SETTING)["arm_tooth"]
    assert found.status is status
    if status is Status.NOT_KNOWN:
        assert found.note == ("tooth offset not given",)
        assert told(found)["room in the zone"] == pytest.approx(min(0.03, across))
        error = max(radians(2.0), radians(4.0) - (radians(100.0) - swing))
        assert told(found)["half a pitch at the pad"] == pytest.approx(0.8 * error)
    else:
        assert found.note == ("tooth offset covered",)


def test_the_corner_most_off_its_point_counts() -> None:
    """Zone 30 mm along, 25 mm across."""
    found = checks(setting=with_arm(2, along=0.015, across=-0.020))["point_zone"]
    assert (found.demand, found.where) == (pytest.approx(0.8), "LR")
    assert told(found) == {"along": 0.015, "across": -0.020}


def test_parking_along_tells_window_and_tolerance() -> None:
    found = checks()["parking_along"]
    assert found.demand == pytest.approx(0.1)
    assert told(found) == pytest.approx(
        {"window from": 1.1, "window to": 1.3, "points known to ±": 0}
    )


def test_parked_outside_its_window_stops() -> None:
    outside = replace(SETTING, spot=1.32)
    assert checks(setting=outside)["parking_along"].status is Status.STOPS
    assert checks(setting=outside)["parking_along"].demand == pytest.approx(-0.02)


@pytest.mark.parametrize(
    ("tol", "status"),
    [(0.0, Status.HOLDS), (0.05, Status.HOLDS), (0.099, Status.WATCH), (0.101, Status.NOT_KNOWN)],
)
def test_points_not_known_well_enough_for_their_window(tol: float, status: Status) -> None:
    """The spot stands 0.1 m inside its window; parking along takes 0.04 m of that."""
    car = vehicle(point_sets=(points(place_tol=(tol, 0.0)),))
    case = plain_case(car, policy=policy_with(park_along=0.04))
    assert checks(case)["parking_along"].status is status


@pytest.mark.parametrize("aside", [0.02, -0.02])
def test_parking_across_tells_a_stop_that_fails(aside: float) -> None:
    """Arms straight inward just reach; parked aside, what goes farther that way is out of reach.

    Pads 0.72 m off the middle, pivots at 1.30: the arm must be 0.58 m long, and may be 0.555 to
    0.605 m; the zone forgives 0.025 m and the parking tolerance takes the rest.
    """
    pivots = ((-0.6, 1.3), (-0.6, -1.3), (-2.08, 1.3), (-2.08, -1.3))
    arms = tuple(
        replace(a, pivot=(x + 1.2, y), reach_low=0.555, reach_high=0.605)
        for a, (x, y) in zip(bay().arms, pivots, strict=True)
    )
    tight = policy_with(park_along=0.0, park_across=0.04, park_yaw=0.0)
    case = plain_case(place=replace(bay(restraint=Free()), arms=arms), policy=tight)
    straight = replace(SETTING, arms=tuple(replace(a, swing=0.0, reach=0.58) for a in SETTING.arms))
    assert checks(case, straight)["parking_across"].status is Status.HOLDS
    found = checks(case, replace(straight, sideways=aside))["parking_across"]
    assert found.status is Status.WATCH
    sideways = told(found)["sideways"]
    assert sideways == pytest.approx(0.04 if aside > 0.0 else -0.04)


# --- stacks ---------------------------------------------------------------------------------------


def test_the_tallest_stack_counts() -> None:
    """Seat at 0.13 m, the left rear point at 0.25 m, the others at 0.21 m."""
    base = points()
    lf, rf, lr, rr = base.points
    car = vehicle(point_sets=(replace(base, points=(lf, rf, replace(lr, up=0.25), rr)),))
    found = checks(plain_case(car))["stack_height"]
    assert (found.demand, found.where) == (pytest.approx(0.12), "LR")


def test_screws_level_the_highest_against_the_lowest() -> None:
    """Travel 60 mm; points 40 mm apart leave 20 mm, less two tolerances of 4 mm."""
    base = points(up_tol=0.004)
    lf, rf, lr, rr = base.points
    car = vehicle(point_sets=(replace(base, points=(lf, rf, replace(lr, up=0.25), rr)),))
    found = checks(plain_case(car))["screw_range"]
    assert found.demand == pytest.approx(0.020 - 0.008)
    assert found.nominal == pytest.approx(0.020)
    assert found.where in ("LF", "RF", "RR")
    level = checks()["screw_range"]
    assert (level.demand, level.nominal) == (pytest.approx(0.06), pytest.approx(0.06))


def test_the_least_screw_counts_where_the_lowest_point_has_it() -> None:
    """LF 10 mm lower with 20 mm of travel: against the others 30 mm, by itself 20 mm."""
    base = points()
    low = replace(base.points[0], up=0.20)
    car = vehicle(point_sets=(replace(base, points=(low, *base.points[1:])),))
    case = plain_case(car, types=(head(), head("short", travel=0.02)))
    piece = replace(SETTING.arms[0].stack[0], adapter="short")
    found = checks(case, with_arm(0, stack=(piece,)))["screw_range"]
    assert (found.demand, found.nominal) == (pytest.approx(0.02), pytest.approx(0.02))
    assert found.where == ""


@pytest.mark.parametrize("overdue", ["pad", "other"])
def test_the_piece_nearest_to_its_inspection_is_named(overdue: str) -> None:
    """Eleven months of twelve against two."""
    types = tuple(
        head(name, inspected_months=11.0 if name == overdue else 2.0) for name in ("pad", "other")
    )
    piece = replace(SETTING.arms[2].stack[0], adapter="other")
    found = checks(plain_case(types=types), with_arm(2, stack=(piece,)))["adapter_inspected"]
    assert (found.demand, found.note) == (11.0, ("piece", overdue))


WELD = points(contact="pinch weld", flange_thickness=0.006, flange_depth=0.02).points[0]


@pytest.mark.parametrize(
    ("slot", "depth", "across", "why"),
    [
        (0.010, 0.020, 0.002, ()),
        (0.009, 0.020, 0.002, ("slot too narrow", "pad")),
        (0.009, 0.020, -0.002, ("slot too narrow", "pad")),
        (0.010, 0.019, 0.002, ("slot too shallow", "pad")),
        (None, 0.020, 0.0, ("no slot for the flange", "pad")),
        (0.010, None, 0.0, ("no slot for the flange", "pad")),
    ],
)
def test_a_flange_in_its_slot(
    slot: float | None, depth: float | None, across: float, why: tuple[str, ...]
) -> None:
    """A flange of 6 mm, off by 2 mm either way, wants 10 mm."""
    block = head(contacts=("pinch weld",), slot=slot, slot_depth=depth)
    assert fits([block], "pin", WELD, across) == why


def test_pieces_stand_in_order() -> None:
    point = points().points[0]
    low, high = spacer("low", 0.05), spacer("high", 0.1)
    top = head("block", role="block", below="pad")
    under = head(above="pad")
    assert fits([low, high, head()], "pin", point, 0.0) == ()
    assert fits([low, under, top], "pin", point, 0.0) == ()
    for wrong in ([head(above="pin"), low], [low], [replace(low, role="block"), head()]):
        assert fits(wrong, "pin", point, 0.0)[0] == "pieces out of order"
    assert fits([head(below="peg")], "pin", point, 0.0) == (
        "interface does not match",
        "pad",
        "pin",
    )
    assert fits([], "pin", point, 0.0) == ("no stack",)


def test_the_first_flange_not_measured_is_named() -> None:
    base = points(contact="pinch weld", flange_thickness=0.006, flange_depth=0.02)
    lf, rf, lr, rr = base.points
    bare = [replace(p, flange_depth=None) for p in (rf, lr)]
    car = vehicle(point_sets=(replace(base, points=(lf, *bare, rr)),))
    block = head(contacts=("pinch weld",), slot=0.02, slot_depth=0.03)
    found = checks(plain_case(car, types=(block,)))["stack_fit"]
    assert (found.status, found.where) == (Status.NOT_KNOWN, "RF")
    assert found.note == ("flange not measured", "RF")


# --- states ---------------------------------------------------------------------------------------


def test_a_door_that_a_step_opens_is_asked_in_that_state() -> None:
    door = DoorNumbers("door", (-0.5, 0.87), pi, -1, 0.4, 1.0)
    kerb = PLAIN.vehicle.kerb
    assert kerb is not None
    states = (State("set", "set", (kerb,)), State("in", "in", (kerb,), doors=("door",)))
    judged = evaluate(plain_case(vehicle(doors=(door,)), states=states), SETTING, complete=False)
    asked = [[c.where for c in s.checks if c.name == "door"] for s in judged.states]
    assert asked == [["door"], ["door"]]
    told_in = [{c.state for c in s.checks if c.name == "door"} for s in judged.states]
    assert told_in == [{"set"}, {"in"}]


def test_every_input_has_a_unit_that_people_know() -> None:
    kerb = PLAIN.vehicle.kerb
    assert kerb is not None
    state = State(
        "work", "work", (kerb,), (Support("stand", (-1.2, 0.0), 500.0, 50.0),
                                  Support("table", (-1.2, 0.0), 500.0, 50.0, "table")),
        (PushCase("pull", 200.0, 1.0, None),),
    )  # fmt: skip
    place = bay(wheelbase_limits=(2.0, 3.0), width_high=2.0, free=(9.0,) * 4, ceiling=4.0)
    judged = evaluate(plain_case(place=place, states=(state,)), SETTING, complete=False)
    units = {unit for check in judged.checks for _, _, unit in check.inputs}
    assert units == {"", "m", "N", "kg", "1", "N/m", "N m/rad"}


# --- papers ---------------------------------------------------------------------------------------


def papers(book: Standing, **more: object) -> list[Check]:
    return list(
        paper_checks(PLAIN.vehicle, points(), bay(**more), PLAIN.policy, book)
    )  # fmt: skip


def paper(book: Standing, name: str, **more: object) -> Check:
    found = [c for c in papers(book, **more) if c.name == name]
    assert len(found) == 1
    return found[0]


def test_a_lift_out_of_service_stops_and_a_defect_wants_watching() -> None:
    plain = standing()
    assert paper(plain, "lift_service").status is Status.HOLDS
    out = paper(replace(plain, lifts_out={"plain": "leak"}), "lift_service")
    assert (out.status, out.note) == (Status.STOPS, ("out of service", "leak"))
    found = papers(replace(plain, lift_defects={"plain": ("scratch", "dent")}))
    assert [(c.name, c.status, c.note) for c in found[:3]] == [
        ("lift_service", Status.HOLDS, ()),
        ("lift_service", Status.WATCH, ("defect reported", "scratch")),
        ("lift_service", Status.WATCH, ("defect reported", "dent")),
    ]


def test_the_interval_of_an_examination_is_the_lifts_own_or_the_shops() -> None:
    """A month is 30.4375 days."""
    book = replace(standing(), examined={"plain": TODAY - timedelta(days=487)})
    own = paper(book, "lift_examined", interval_months=18.0)
    assert (own.status, own.limit) == (Status.HOLDS, 18.0)
    assert own.demand == pytest.approx(16.0)
    shop = paper(book, "lift_examined", interval_months=None)
    assert shop.limit == pytest.approx(12.0)
    assert shop.status is Status.STOPS


def test_a_daily_check_is_of_this_very_day() -> None:
    asked = replace(standing(), require_daily_check=True)
    missing = paper(asked, "daily_check")
    assert (missing.status, missing.note) == (Status.STOPS, ("no daily check today",))
    today = replace(asked, daily_checked={"plain": TODAY})
    assert paper(today, "daily_check").status is Status.HOLDS
    yesterday = replace(asked, daily_checked={"plain": TODAY - timedelta(days=1)})
    assert paper(yesterday, "daily_check").status is Status.STOPS
    assert "daily_check" not in [c.name for c in papers(standing())]


def test_only_who_is_authorised_for_this_kind_may_lift() -> None:
    asked = replace(standing(), require_authorisation=True)
    assert asked.may_lift("two-post") is None
    assert paper(asked, "authorised").status is Status.NOT_KNOWN
    for kinds, may in ((("two-post",), True), (("four-post",), False), ((), False)):
        named = replace(asked, person="tavi", authorised={"tavi": frozenset(kinds)})
        assert named.may_lift("two-post") is may
        found = paper(named, "authorised")
        assert found.status is (Status.HOLDS if may else Status.STOPS)
        assert found.note == ("not authorised", "two-post")
    assert replace(asked, person="oleva").may_lift("two-post") is False


@pytest.mark.parametrize(("days", "status"), [(300, Status.HOLDS), (3000, Status.STOPS)])
def test_a_source_grows_old(days: int, status: Status) -> None:
    checked = {"hatch": {"bosses": TODAY - timedelta(days=days)}}
    found = paper(replace(standing(), sources_checked=checked), "source_age")
    assert found.status is status
    assert found.demand == pytest.approx(days / 30.4375)
    assert told(found) == {"source": "sheet"}


def test_a_source_found_to_differ_stops() -> None:
    doubted = replace(standing(), sources_doubted={"hatch": {"bosses": "moved by 40 mm"}})
    found = paper(doubted, "source_age")
    assert (found.status, found.note) == (Status.STOPS, ("source doubted", "moved by 40 mm"))
    elsewhere = replace(standing(), sources_doubted={"hatch": {"rails": "moved"}})
    assert paper(elsewhere, "source_age").status is Status.HOLDS


def test_a_floor_not_certified_stops() -> None:
    for level, certificate, status, note in (
        ("yes", "yes", Status.HOLDS, ()),
        ("no", "yes", Status.STOPS, ("floor not certified",)),
        ("not known", "no", Status.STOPS, ("floor not certified",)),
        ("yes", "not known", Status.NOT_KNOWN, ("floor not known",)),
    ):
        found = paper(standing(), "floor", floor_level=level, floor_certificate=certificate)
        assert (found.status, found.note) == (status, note)


def test_what_is_due_ends_after_whole_days() -> None:
    assert due_on(date(2026, 1, 1), 365.25 * 86_400.0) == date(2027, 1, 1)
    assert due_on(date(2026, 1, 1), 86_400.0 * 1.9) == date(2026, 1, 2)


# --- figures of a check ---------------------------------------------------------------------------


def test_a_figure_that_is_no_number_is_withheld() -> None:
    for bad in (float("inf"), float("nan")):
        with pytest.raises(InternalError, match="check arm_reach: figure"):
            at_least("arm_reach", bad, 0.0)
        with pytest.raises(InternalError, match="not finite"):
            at_most("rated_load", 1.0, bad)


def test_slack_is_a_part_of_the_limit() -> None:
    assert at_least("least_pad", 0.2, 0.1).slack == pytest.approx(0.5)
    assert at_least("least_pad", 0.0, 0.1).slack == -10.0
    assert at_least("least_pad", 0.001, 0.1).slack == -10.0
    assert at_least("cg_window", -0.2, 0.0).slack == pytest.approx(-0.2)
    assert at_least("cg_window", 0.2, 0.0).slack is None
    assert at_most("arm_load", 6.0, 8.0).slack == pytest.approx(0.25)


@pytest.mark.parametrize(
    ("figures", "limit"),
    [
        ({"carriage_stop": 0.05, "carriage_tilt": 0.01}, 0.026),
        ({"carriage_stop": 0.02, "carriage_tilt": 0.01}, 0.02),
    ],
)
def test_carriages_may_differ_by_a_height_and_by_a_part_of_their_span(
    figures: dict[str, float], limit: float
) -> None:
    """Pivots 2.6 m apart."""
    case = plain_case(policy=policy_with(**figures))
    found = checks(case)["carriage_level"]
    assert found.limit == pytest.approx(limit)
    assert told(found) == {"difference from": "tolerance of the shop"}
    measured = checks(plain_case(place=bay(carriage_difference=0.004)))["carriage_level"]
    assert measured.demand == pytest.approx(0.004)
    assert told(measured) == {"difference from": "measured"}


# --- other questions to the same judge ------------------------------------------------------------


def test_a_case_with_other_entries() -> None:
    kerb = PLAIN.vehicle.kerb
    assert kerb is not None
    gearbox = Item("gearbox", 50.0, 2.0, (-0.5, 0.0, 0.4))
    moved = Item("gearbox moved", 50.0, 2.0, (-3.0, 0.0, 0.4))
    car = replace(PLAIN.vehicle, parts=(("gearbox", gearbox, True),))
    state = State("off", "off", (kerb, taken_off(gearbox), moved))
    case = replace(PLAIN, vehicle=car, states=(state,))
    heavy, other = replace(kerb, mass=1300.0), replace(gearbox, mass=60.0, mass_tol=1.0)
    found = with_items(case, [heavy, other])
    assert found.vehicle.kerb == heavy
    assert found.vehicle.parts == (("gearbox", other, True),)
    assert found.states[0].items == (
        heavy, taken_off(other), replace(moved, mass=60.0, mass_tol=1.0),
    )  # fmt: skip
    assert with_items(case, []).states == case.states


def test_the_scene_is_drawn_where_the_vehicle_stands() -> None:
    """Spot 1.2: front axle at x = 1.2, the rear one 2.6 m behind; tyres 0.75 m off the middle."""
    drawn = scene(PLAIN, evaluate(PLAIN, SETTING, complete=False))
    assert drawn.body is not None
    assert [c for p in drawn.body for c in p] == pytest.approx(
        [2.0, 0.87, -2.0, 0.87, -2.0, -0.87, 2.0, -0.87]
    )
    assert [c for axle in drawn.axles for p in axle for c in p] == pytest.approx(
        [1.2, 0.75, 1.2, -0.75, -1.4, 0.75, -1.4, -0.75]
    )
    assert drawn.pad_radii == pytest.approx((0.06,) * 4)
    assert drawn.wheel_radius == pytest.approx(0.31)
    assert drawn.stop_bar is None
    judged = evaluate(PLAIN, SETTING, complete=False)
    (overhead,) = [c for c in judged.checks if c.name == "overhead"]
    assert drawn.rise_limit == overhead.demand
    assert drawn.cg == judged.states[0].cg == pytest.approx((0.0, 0.005, 0.55))
    unweighed = replace(PLAIN, vehicle=replace(PLAIN.vehicle, kerb=None))
    nothing = scene(unweighed, evaluate(unweighed, SETTING, complete=False))
    assert (nothing.cg, nothing.cg_low, nothing.cg_high) == (None, None, None)
    for bar, wanted in (((3.8, None), (0.0, 3.8)), ((3.8, -0.1), (-0.1, 3.8))):
        case = replace(PLAIN, bay=bay(stop_bar=bar))
        assert scene(case, evaluate(case, SETTING, complete=False)).stop_bar == wanted
    bare = replace(PLAIN, vehicle=vehicle(outline=None, tyres=None))
    drawn = scene(bare, evaluate(bare, SETTING, complete=False))
    assert drawn.body is None
    assert drawn.wheel_radius is None
    assert [p[1] for axle in drawn.axles for p in axle] == pytest.approx([0.7, -0.7] * 2)


def test_pieces_are_counted_over_all_four_stacks() -> None:
    found = checks(plain_case(types=(head(count=3),)))["stack_stock"]
    assert (found.status, told(found)) == (
        Status.STOPS, {"wanted": 4.0, "in service here": 3.0},
    )  # fmt: skip
    assert checks(plain_case(types=(head(count=4),)))["stack_stock"].status is Status.HOLDS


# --- pieces that may be used ----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("cradle", "battery", "status", "note"),
    [
        (True, True, Status.STOPS, ("cradle under a battery vehicle",)),
        (True, None, Status.NOT_KNOWN, ("propulsion not given",)),
        (True, False, Status.HOLDS, ()),
        (False, True, Status.HOLDS, ()),
        (False, None, Status.HOLDS, ()),
    ],
)
def test_a_cradle_never_stands_under_a_battery(
    cradle: bool, battery: bool | None, status: Status, note: tuple[str, ...]
) -> None:
    found = checks(plain_case(vehicle(battery=battery), types=(head(cradle=cradle),)))
    assert (found["cradle_battery"].status, found["cradle_battery"].note) == (status, note)


@pytest.mark.parametrize(
    ("wanted", "status", "note"),
    [
        ("none", Status.HOLDS, ()),
        ("pad", Status.HOLDS, ("special adapter demanded", "pad")),
        ("peg", Status.STOPS, ("special adapter demanded", "peg")),
        ("not given", Status.NOT_KNOWN, ("special adapter not stated",)),
    ],
)
def test_the_adapter_a_maker_demands(wanted: str, status: Status, note: tuple[str, ...]) -> None:
    found = checks(plain_case(vehicle(special_adapter=wanted)))["special_adapter"]
    assert (found.status, found.note) == (status, note)


def test_every_arm_needs_the_adapter_that_is_demanded() -> None:
    types = (head(), head("other"))
    piece = replace(SETTING.arms[3].stack[0], adapter="other")
    case = plain_case(vehicle(special_adapter="pad"), types=types)
    assert checks(case, with_arm(3, stack=(piece,)))["special_adapter"].status is Status.STOPS


@pytest.mark.parametrize(
    ("rated", "approved", "stops"),
    [
        (True, (), set()),
        (False, (), {"maker_rated"}),
        (True, ("pad",), set()),
        (True, ("other",), {"approved"}),
    ],
)
def test_pieces_are_rated_and_approved(
    rated: bool, approved: tuple[str, ...], stops: set[str]
) -> None:
    case = plain_case(place=bay(approved=approved), types=(head(maker_rated=rated),))
    found = checks(case)
    asked = {"maker_rated", "approved"} & set(found)
    assert asked == ({"maker_rated", "approved"} if approved else {"maker_rated"})
    assert {name for name in asked if found[name].status is Status.STOPS} == stops
    assert all(found[name].note == (name, "pad") for name in stops)


def test_the_seat_stands_between_its_ends() -> None:
    """Lowest 0.10 m, highest 1.9 m, set at 0.13 m."""
    assert checks()["seat_height"].demand == pytest.approx(0.03)
    assert checks(plain_case(place=bay(seat_high=0.15)))["seat_height"].demand == pytest.approx(
        0.02
    )
    assert checks(plain_case(place=bay(seat_low=0.14)))["seat_height"].status is Status.STOPS


@pytest.mark.parametrize(
    ("off", "along", "contact", "demand"),
    [
        (0.03, 0.0, "flat boss", 0.5),
        (0.03, 0.04, "flat boss", 5.0 / 6.0),
        (0.03, 0.04, "frame rail", 0.5),  # along a rail the load follows the pad
    ],
)
def test_a_point_bears_on_the_inner_part_of_its_pad(
    off: float, along: float, contact: str, demand: float
) -> None:
    """Pads 120 mm wide."""
    car = vehicle(point_sets=(points(contact=contact, zone=Zone(0.1, 0.1)),))
    found = checks(plain_case(car), with_arm(2, along=along, across=-off))["point_on_pad"]
    assert (found.demand, found.where) == (pytest.approx(demand), "LR")


@pytest.mark.parametrize(
    ("limits", "tol", "status"),
    [
        ((2.59, 2.61), 0.0, Status.HOLDS),
        ((2.59, 2.61), 0.02, Status.STOPS),
        ((2.61, None), 0.0, Status.STOPS),
        ((None, 2.59), 0.0, Status.STOPS),
        ((None, 2.61), 0.0, Status.HOLDS),
        ((2.6, 2.6), 0.0, Status.HOLDS),
    ],
)
def test_a_wheelbase_within_the_plates_limits(
    limits: tuple[float | None, float | None], tol: float, status: Status
) -> None:
    """Wheelbase 2.6 m."""
    found = checks(plain_case(vehicle(wheelbase_tol=tol), bay(wheelbase_limits=limits)))
    assert found["wheelbase"].status is status
    least, greatest = (v if v is not None else "no limit" for v in limits)
    assert told(found["wheelbase"]) == {"wheelbase": 2.6, "least": least, "greatest": greatest}
    assert "wheelbase" not in checks()


def test_a_width_within_the_plates_limit() -> None:
    """Width 1.74 m."""
    assert checks(plain_case(place=bay(width_high=1.80)))["width"].margin == pytest.approx(0.06)
    bare = checks(plain_case(vehicle(width=None), bay(width_high=1.80)))["width"]
    assert (bare.status, bare.note) == (Status.NOT_KNOWN, ("vehicle width not given",))
    assert "width" not in checks()


# --- what people are asked ------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("question", "answer", "status"),
    [
        ("rust_at_points", "no", Status.HOLDS),
        ("rust_at_points", "yes", Status.STOPS),
        ("hidden_payload", "yes", Status.STOPS),
        ("person_in_vehicle", "yes", Status.STOPS),
        ("repair_at_points", "not asked", Status.NOT_KNOWN),
        ("air_suspension_in_lift_mode", "yes", Status.HOLDS),
        ("air_suspension_in_lift_mode", "not fitted", Status.HOLDS),
        ("air_suspension_in_lift_mode", "no", Status.STOPS),
        ("entered_straight", "yes", Status.HOLDS),
        ("entered_straight", "no", Status.WATCH),
    ],
)
def test_an_answer_and_what_it_means(question: str, answer: str, status: Status) -> None:
    intake = tuple((q, answer if q == question else a) for q, a in PLAIN.intake)
    found = checks(replace(PLAIN, intake=intake))
    assert found[question].status is status
    others = {q for q, _ in PLAIN.intake} - {question}
    assert {found[q].status for q in others} == {Status.HOLDS}
