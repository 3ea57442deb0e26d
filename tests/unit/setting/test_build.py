"""Records turned into numbers: frames, signs and names, each figure by hand."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date
from math import hypot, pi, radians
from typing import Any

import pytest

from underset.app import open_workshop
from underset.errors import InputError
from underset.geometry import Free, Teeth
from underset.records import Bay, Vehicle, Workshop, from_json, to_json
from underset.setting import PiecesOut, bay_numbers, shelf, standing_on_file, vehicle_numbers
from underset.setting.numbers import BayNumbers, VehicleNumbers
from underset.statics import Item

DAY = date(2026, 11, 20)


@pytest.fixture(scope="module")
def workshop() -> Workshop:
    return open_workshop(None)


def plain(record: Any) -> dict[str, Any]:
    data = to_json(record)
    return dict(json.loads(data if isinstance(data, str) else json.dumps(data)))


def hatch(workshop: Workshop, **changes: Any) -> VehicleNumbers:
    data = plain(workshop.vehicles["harbour-hatch"]) | changes
    record = from_json(Vehicle, json.dumps(data))
    return vehicle_numbers("harbour-hatch", record, workshop.policy)


def north(workshop: Workshop, **changes: Any) -> BayNumbers:
    data = plain(workshop.bays["north"]) | changes
    return bay_numbers("north", from_json(Bay, json.dumps(data)))


# --- vehicle --------------------------------------------------------------------------------------


def test_a_weighed_vehicle_is_one_entry_of_the_ledger(workshop: Workshop) -> None:
    """394 + 386 + 261 + 259 kg on a wheelbase of 2.6 m: CG 2.6 * 520 / 1300 behind the front."""
    numbers = hatch(workshop)
    kerb = numbers.kerb
    assert kerb is not None
    assert kerb.name == "kerb vehicle"
    assert kerb.mass == pytest.approx(1300.0)
    assert kerb.place[0] == pytest.approx(-1.04)
    left = ((394 - 386) * 1.540 + (261 - 259) * 1.530) / 2.0 / 1300.0
    assert kerb.place[1] == pytest.approx(left)
    assert numbers.basis.estimated == ()


def test_a_stated_total_and_share_are_no_estimate(workshop: Workshop) -> None:
    known = hatch(workshop, weights={"state": "drawn", "total": "1300 kg"})
    assert known.kerb is not None
    assert known.basis.estimated == ("aft",)
    both = {"state": "drawn", "total": "1300 ± 10 kg", "front_share": "60 ± 1 %"}
    stated = hatch(workshop, weights=both)
    assert stated.kerb is not None
    assert stated.basis.estimated == ()
    assert stated.kerb.place[0] == pytest.approx(-0.4 * 2.6)
    assert (stated.kerb.mass, stated.kerb.mass_tol) == (1300.0, 10.0)


def test_a_balance_without_a_mass_is_no_entry_of_the_ledger(workshop: Workshop) -> None:
    """Of a van's mass no open figures tell: what is known of it stands, the ledger does not."""
    van = hatch(
        workshop, body="van", balance={"height": "850 mm"},
        weights={"state": "drawn", "front_share": "60 %"},
    )  # fmt: skip
    assert van.kerb is None
    assert van.height_known
    basis = van.basis
    assert (basis.mass, basis.aft, basis.side) == ("not known",) * 3
    assert (basis.height, basis.estimated) == ("measured", ())


def test_a_component_stands_behind_the_axle_left_and_up(workshop: Workshop) -> None:
    part = {
        "id": "box", "label": "Box", "mass": "50 ± 2 kg", "aft": "300 ± 4 mm",
        "side": "-200 ± 5 mm", "up": "400 ± 6 mm",
    }  # fmt: skip
    (found,) = hatch(workshop, components=[part]).parts
    wanted = Item("box", 50.0, 2.0, (-0.3, -0.2, 0.4), (0.004, 0.005, 0.006))
    name, item, on = found
    assert (name, item.name, on) == ("box", wanted.name, True)
    assert (item.mass, item.mass_tol) == pytest.approx((wanted.mass, wanted.mass_tol))
    assert item.place == pytest.approx(wanted.place)
    assert item.place_tol == pytest.approx(wanted.place_tol)


def test_who_asked_and_when_is_no_question(workshop: Workshop) -> None:
    assert [question for question, _ in hatch(workshop).intake] == [
        "rust_at_points", "repair_at_points", "hidden_payload", "person_in_vehicle",
        "air_suspension_in_lift_mode", "entered_straight",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("kind", "said", "high"),
    [
        ("battery", False, True),
        ("battery", True, True),
        ("line", True, True),
        ("line", False, False),
    ],
)
def test_a_battery_is_high_voltage(workshop: Workshop, kind: str, said: bool, high: bool) -> None:
    corners = [["500 mm", "-100 mm"], ["900 mm", "-100 mm"], ["900 mm", "100 mm"]]
    zone = {"id": "z", "kind": kind, "outline": corners, "underside": "180 ± 5 mm",
            "high_voltage": said, "touch": False, "pass_under": True}  # fmt: skip
    zones = hatch(workshop, zones=[zone]).zones
    assert zones is not None
    (found,) = zones
    assert (found.high_voltage, found.touch, found.pass_under) == (high, False, True)
    assert found.underside == pytest.approx(0.175)
    assert [c for p in found.outline for c in p] == pytest.approx(
        [-0.5, -0.1, -0.9, -0.1, -0.9, 0.1]
    )


def test_a_zone_grows_by_what_its_corners_may_be_off(workshop: Workshop) -> None:
    """Corners ± 3 and 4 mm: 5 mm all round."""
    corners = [[f"{x} ± 3 mm", f"{y} ± 4 mm"] for x, y in
               ((500, -100), (900, -100), (900, 100), (500, 100))]  # fmt: skip
    zone = {"id": "z", "kind": "line", "outline": corners, "underside": "180 mm"}
    zones = hatch(workshop, zones=[zone]).zones
    assert zones is not None
    xs, ys = zip(*zones[0].outline, strict=True)
    assert (min(xs), max(xs), min(ys), max(ys)) == pytest.approx((-0.905, -0.495, -0.105, 0.105))


def test_tyres_stand_at_half_the_track_and_grow_by_their_tolerances(workshop: Workshop) -> None:
    """Tracks 1.540 and 1.530 ± 3 mm, tyre 205 mm wide, diameter ± 5 mm, wheelbase ± 3 mm."""
    tyres = hatch(workshop).tyres
    assert tyres is not None
    assert [c for t in tyres for c in t.centre] == pytest.approx(
        [0.0, 0.770, 0.0, -0.770, -2.6, 0.765, -2.6, -0.765]
    )
    assert tyres[0].grown == pytest.approx((0.0, 0.0015, 0.005))
    assert tyres[2].grown == pytest.approx((0.003, 0.0015, 0.005))


def test_doors_hinge_at_either_end_and_open_outward(workshop: Workshop) -> None:
    doors = [
        {"id": f"{side}-{end}", "side": side, "hinge_aft": "500 mm", "hinge_side": "870 mm",
         "length": "1060 ± 4 mm", "opens": "66 deg", **({"hinged_at": end} if end else {})}
        for side in ("left", "right") for end in ("front", "rear")
    ]  # fmt: skip
    made = hatch(workshop, doors=doors).doors
    assert made is not None
    assert [(d.closed, d.turn) for d in made] == [
        (pytest.approx(pi), -1), (0.0, 1), (pytest.approx(pi), 1), (0.0, -1),
    ]  # fmt: skip
    assert made[0].hinge == pytest.approx((-0.5, 0.87))
    assert made[0].length == pytest.approx(1.064)
    assert made[0].opens == pytest.approx(radians(66.0))


# --- bay ------------------------------------------------------------------------------------------


def test_swing_zero_points_inward_and_grows_to_the_arms_own_end(workshop: Workshop) -> None:
    arms = north(workshop).arms
    assert [a.inward for a in arms] == pytest.approx([-pi / 2, pi / 2, -pi / 2, pi / 2])
    assert [a.turn for a in arms] == [1, -1, -1, 1]
    assert [c for a in arms for c in a.pivot] == pytest.approx(
        [0.18, 1.3, 0.18, -1.3, -0.18, 1.3, -0.18, -1.3]
    )


@pytest.mark.parametrize(
    ("record", "restraint", "known"),
    [
        ({"kind": "toothed", "pitch": "3.6 deg", "offset": "0.9 deg"},
         Teeth(radians(3.6), radians(0.9)), True),
        ({"kind": "toothed", "pitch": "3.6 deg", "offset": "not given"}, Free(), False),
        ({"kind": "toothed", "pitch": "not given", "offset": "not given"}, Free(), False),
        ({"kind": "stepless"}, Free(), True),
        ({"kind": "missing"}, None, True),
    ],
)  # fmt: skip
def test_a_restraint(
    workshop: Workshop, record: dict[str, str], restraint: Teeth | Free | None, known: bool
) -> None:
    numbers = north(workshop, restraint=record)
    found = numbers.restraint
    assert type(found) is type(restraint)
    if isinstance(found, Teeth) and isinstance(restraint, Teeth):
        assert (found.pitch, found.offset) == pytest.approx((restraint.pitch, restraint.offset))
    assert numbers.tooth_offset_known is known


def test_teeth_without_a_pitch_between_them_are_refused(workshop: Workshop) -> None:
    record = {"kind": "toothed", "pitch": "0 deg", "offset": "0 deg"}
    with pytest.raises(InputError):
        north(workshop, restraint=record)


def test_columns_leave_so_much_between_them(workshop: Workshop) -> None:
    """Middles at ±1.57 m, 0.3 m across."""
    assert north(workshop).column_faces == pytest.approx(2.84)


def test_a_column_is_never_smaller_than_its_tolerances_allow(workshop: Workshop) -> None:
    """0.4 by 0.3 m, each ± 4 mm, place ± 3 and 5 mm, turned by 90 ± 1 degrees."""
    columns = plain(workshop.bays["north"])["columns"]
    columns[0] |= {
        "x": "100 ± 3 mm", "y": "1570 ± 5 mm", "along": "400 ± 4 mm", "across": "300 ± 4 mm",
        "turn": "90 ± 1 deg",
    }  # fmt: skip
    left = north(workshop, columns=columns).columns[0]
    xs, ys = zip(*left, strict=True)
    askew = hypot(0.404, 0.304) / 2.0 * radians(1.0)
    half, side = 0.202 + 0.003 + askew, 0.152 + 0.005 + askew
    assert (min(xs), max(xs)) == pytest.approx((0.1 - side, 0.1 + side))
    assert (min(ys), max(ys)) == pytest.approx((1.57 - half, 1.57 + half))


def test_a_profile_is_sorted_and_never_narrows_to_the_root(workshop: Workshop) -> None:
    """Widths and tops at their greatest, bottoms at their least."""
    arms = plain(workshop.bays["north"])["arms"]
    arms["left_front"]["profile"] = [
        {"from_tip": "300 mm", "half_width": "50 mm", "top": "10 ± 2 mm", "bottom": "-60 mm"},
        {"from_tip": "0 mm", "half_width": "55 ± 1 mm", "top": "0 mm", "bottom": "-50 ± 2 mm"},
        {"from_tip": "600 mm", "half_width": "70 mm", "top": "20 mm", "bottom": "-70 mm"},
    ]
    profile = north(workshop, arms=arms).profiles[0]
    assert profile is not None
    assert [figure for station in profile for figure in station] == pytest.approx(
        [0.0, 0.056, 0.0, -0.052, 0.3, 0.056, 0.012, -0.06, 0.6, 0.07, 0.02, -0.07]
    )


@pytest.mark.parametrize(
    ("low", "high", "window"),
    [
        ("-350 mm", "300 mm", (-0.35, 0.30)),
        ("not given", "300 mm", None),
        ("-350 mm", "not given", None),
    ],
)
def test_a_window_wants_both_ends(
    workshop: Workshop, low: str, high: str, window: tuple[float, float] | None
) -> None:
    plate = plain(workshop.bays["north"])["plate"] | {"cg_low": low, "cg_high": high}
    found = north(workshop, plate=plate).cg_window
    assert found == (None if window is None else pytest.approx(window))


def test_what_is_overhead_and_around(workshop: Workshop) -> None:
    around = plain(workshop.bays["north"])["surroundings"]
    found = north(workshop)
    assert found.ceiling == pytest.approx(4.79)
    assert found.stop_bar == pytest.approx((3.845, -0.05))
    assert found.free == pytest.approx((4.2, 5.0, 2.6, 2.4))
    assert found.mark == ("brass stud in the floor, right of the way in", 1.0)
    none = north(workshop, surroundings=around | {"stop_bar": "none", "free_left": "none"})
    assert (none.stop_bar, none.free[2]) == ("none", "none")
    bare = {"stop_bar": "not given", "free_left": "not given", "ceiling": "not given"}
    unknown = north(workshop, surroundings=around | bare)
    assert (unknown.stop_bar, unknown.free[2], unknown.ceiling) == (None, None, None)


def test_an_arms_own_limit_goes_before_the_plates(workshop: Workshop) -> None:
    arms = plain(workshop.bays["north"])["arms"]
    arms["right_rear"] |= {"limit": "9 ± 0.5 kN"}
    arms["left_rear"] |= {"limit": "not given"}
    found = north(workshop, arms=arms).arm_limits
    assert found == pytest.approx((11_000.0, 11_000.0, 11_000.0, 8_500.0))


# --- sizes ----------------------------------------------------------------------------------------


def test_length_overhang_and_width_make_an_outline(workshop: Workshop) -> None:
    """Front 0.86 m ahead, 4.21 m long, 1.78 m wide, each ± 5 mm; once the width was nominal."""
    numbers = hatch(workshop)
    assert numbers.outline == pytest.approx((0.865, 0.86 - 4.21 - 0.010, 0.8925))
    assert (numbers.droop, numbers.roof) == pytest.approx((0.105, 1.485))
    for missing in ("length", "width", "overhang_front"):
        sizes = plain(workshop.vehicles["harbour-hatch"])["sizes"] | {missing: "not given"}
        assert hatch(workshop, sizes=sizes).outline is None


@pytest.mark.parametrize(
    ("load", "roof", "known"),
    [
        ("none", 1.485, True),
        ("1400 ± 10 mm", 1.485, True),
        ("1900 ± 10 mm", 1.91, True),
        ("not given", 1.485, False),
    ],
)
def test_what_lies_on_the_roof_counts(
    workshop: Workshop, load: str, roof: float, known: bool
) -> None:
    numbers = hatch(workshop, roof_load_height=load)
    assert numbers.roof == pytest.approx(roof)
    assert numbers.roof_load_known is known


def test_who_is_on_file_for_which_lifts(workshop: Workshop) -> None:
    book = standing_on_file(workshop, DAY, "tavi")
    people = {p.id: set(p.authorised_for) for p in workshop.about.people}
    assert any(people.values())
    assert {name: set(kinds) for name, kinds in book.authorised.items()} == people
    assert (book.person, book.today) == ("tavi", DAY)


def test_pieces_a_bay_may_use(workshop: Workshop) -> None:
    """What the book says is out is off the count, from the shelf, this bay or a place not said."""
    book = standing_on_file(workshop, DAY)
    pieces = {"screw-pad-long": workshop.adapters["screw-pad-long"]}
    whole = shelf(pieces, "north", book).types["screw-pad-long"].count
    assert whole > 3
    out = (PiecesOut(1), PiecesOut(1, "north"), PiecesOut(1, "shelf"), PiecesOut(5, "yard"))
    found = shelf(pieces, "north", replace(book, adapters_out={"screw-pad-long": out}))
    assert found.types["screw-pad-long"].count == whole - 3
    gone = replace(book, adapters_out={"screw-pad-long": (PiecesOut(99),)})
    assert shelf(pieces, "north", gone).types["screw-pad-long"].count == 0
