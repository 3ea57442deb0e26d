"""What must be enough is counted at its least, what must not be too much at its greatest."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import date
from math import radians
from typing import Any

import pytest

from underset.app import Wish, cases_for, make_plan, open_workshop, today
from underset.records import Adapter, Bay, Vehicle, Workshop, from_json, to_json
from underset.setting import bay_numbers, evaluate, shelf, standing_on_file, vehicle_numbers

DAY = date(2026, 11, 20)
Data = dict[str, Any]


@pytest.fixture(scope="module")
def workshop() -> Workshop:
    return open_workshop(None)


def plain(record: Any) -> Data:
    data = to_json(record)
    return dict(json.loads(data if isinstance(data, str) else json.dumps(data)))


def put(data: Data, path: str, text: str) -> None:
    *way, last = path.split(".")
    for key in way:
        data = data[key]
    data[last] = text


BAY: tuple[tuple[str, str, Callable[[Any], Any], float], ...] = (
    ("surroundings.ceiling", "4800 ± 10 mm", lambda n: n.ceiling, 4.79),
    ("surroundings.stop_bar", "3850 ± 5 mm", lambda n: n.stop_bar[0], 3.845),
    ("surroundings.free_behind", "5000 ± 50 mm", lambda n: n.free[1], 4.95),
    ("seat.lowest", "100 ± 4 mm", lambda n: n.seat_low, 0.104),
    ("arms.left_front.reach_low", "600 ± 3 mm", lambda n: n.arms[0].reach_low, 0.603),
    ("arms.left_front.reach_high", "1150 ± 5 mm", lambda n: n.arms[0].reach_high, 1.145),
    ("arms.left_front.swing_low", "-15 ± 1 deg", lambda n: n.arms[0].swing_low, radians(-14.0)),
    ("arms.left_front.swing_high", "100 ± 2 deg", lambda n: n.arms[0].swing_high, radians(98.0)),
    ("seat.highest", "1950 ± 5 mm", lambda n: n.seat_high, 1.945),
    ("seat.greatest_stack", "300 ± 2 mm", lambda n: n.greatest_stack, 0.298),
    ("plate.rated", "4000 ± 100 kg", lambda n: n.rated, 3900.0),
    ("plate.width_high", "2200 ± 20 mm", lambda n: n.width_high, 2.18),
    ("plate.drive_through", "2500 ± 10 mm", lambda n: n.drive_through, 2.49),
    ("plate.cg_low", "-350 ± 10 mm", lambda n: n.cg_window[0], -0.34),
    ("plate.cg_high", "350 ± 10 mm", lambda n: n.cg_window[1], 0.34),
    ("plate.wheelbase_low", "2200 ± 10 mm", lambda n: n.wheelbase_limits[0], 2.21),
    ("plate.wheelbase_high", "3600 ± 10 mm", lambda n: n.wheelbase_limits[1], 3.59),
    ("arms.left_front.limit", "11 ± 0.5 kN", lambda n: n.arm_limits[0], 10500.0),
    ("carriage_difference", "3 ± 1 mm", lambda n: n.carriage_difference, 0.004),
)


@pytest.mark.parametrize(("path", "text", "read", "expected"), BAY, ids=[b[0] for b in BAY])
def test_a_bay(
    workshop: Workshop, path: str, text: str, read: Callable[[Any], Any], expected: float
) -> None:
    data = plain(workshop.bays["north"])
    put(data, path, text)
    numbers = bay_numbers("north", from_json(Bay, json.dumps(data)))
    assert read(numbers) == pytest.approx(expected)


def test_a_vehicle(workshop: Workshop) -> None:
    data = plain(workshop.vehicles["harbour-hatch"])
    put(data, "sizes.width", "1780 ± 5 mm")
    put(data, "sizes.width_mirrors", "2020 ± 5 mm")
    put(data, "sizes.wheelbase", "2600 ± 3 mm")
    point = data["point_sets"][0]["points"][0]
    point |= {"limit": "7 ± 0.2 kN", "flange_thickness": "4 ± 1 mm", "flange_depth": "9 ± 1 mm"}
    record = from_json(Vehicle, json.dumps(data))
    numbers = vehicle_numbers("harbour-hatch", record, workshop.policy)
    first = numbers.point_sets[0].points[0]
    assert numbers.width == pytest.approx(1.785)
    assert numbers.width_mirrors == pytest.approx(2.025)
    assert numbers.wheelbase_tol == pytest.approx(0.003)
    assert first.limit == pytest.approx(6800.0)
    assert first.flange_thickness == pytest.approx(0.005)
    assert first.flange_depth == pytest.approx(0.010)


@pytest.mark.parametrize("share", ["43 %", "43 ± 2 %", "not given"])
def test_a_front_share_on_an_unsure_wheelbase(workshop: Workshop, share: str) -> None:
    """Drawn workshop 441 of seed 11: the wheelbase's tolerance moves the CG of a stated share."""
    data = plain(workshop.vehicles["harbour-hatch"])
    data["weights"] = {"state": "drawn", "total": "1300 kg", "front_share": share}
    made = []
    for text in ("2600 mm", "2600 ± 10 mm", "2610 mm", "2590 mm"):
        put(data, "sizes.wheelbase", text)
        record = from_json(Vehicle, json.dumps(data))
        made.append(vehicle_numbers("harbour-hatch", record, workshop.policy).kerb)
    sure, unsure, longer, shorter = made
    assert sure is not None and unsure is not None and longer is not None and shorter is not None
    assert unsure.place[0] == pytest.approx(sure.place[0])
    far, near = unsure.place[0] - unsure.place_tol[0], unsure.place[0] + unsure.place_tol[0]
    assert far == pytest.approx(longer.place[0] - longer.place_tol[0])
    assert near + 1e-12 >= shorter.place[0] + shorter.place_tol[0]


def test_a_piece(workshop: Workshop) -> None:
    data = plain(workshop.adapters["screw-pad-long"])
    data |= {"rating": "1400 ± 50 kg", "travel": "60 ± 2 mm", "slot": "16 ± 1 mm",
             "slot_depth": "28 ± 1 mm"}  # fmt: skip
    pieces = {"screw-pad-long": from_json(Adapter, json.dumps(data))}
    numbers = shelf(pieces, "north", standing_on_file(workshop, DAY)).types["screw-pad-long"]
    assert numbers.rating == pytest.approx(1350.0)
    assert numbers.travel == pytest.approx(0.058)
    assert numbers.slot == pytest.approx(0.015)
    assert numbers.slot_depth == pytest.approx(0.027)


@pytest.mark.parametrize(
    ("free", "usable"), [("2.9 m", True), ("2.9 ± 0.02 m", True), ("2.9 ± 1.5 m", False)]
)
def test_a_tolerance_that_straddles_the_space_stops(
    workshop: Workshop, free: str, usable: bool
) -> None:
    """Drawn case 477 of seed 2026 of the soundness sweep: clear space met but for its tolerance."""
    data = plain(workshop.bays["north"])
    put(data, "surroundings.free_ahead", free)
    shop = Workshop(
        workshop.about, workshop.policy, workshop.vehicles,
        {"north": from_json(Bay, json.dumps(data))}, workshop.adapters, {},
    )  # fmt: skip
    wish = Wish("harbour-hatch", None, ("north",), remedies=False)
    plan = make_plan(shop, wish, today()).plan
    assert plan.best is not None
    assert plan.best.usable is usable


def sized(zone: tuple[tuple[float, float], ...]) -> tuple[float, float]:
    xs, ys = [x for x, _ in zone], [y for _, y in zone]
    return max(xs) - min(xs), max(ys) - min(ys)


def test_what_must_stand_clear_is_as_large_as_its_tolerances_make_it(workshop: Workshop) -> None:
    """Tyres grow by size, track and wheelbase; zones by their corners; the outline by its ends."""
    data = plain(workshop.vehicles["harbour-hatch"])
    for field, text in {
        "wheelbase": "2600 ± 4 mm", "track_front": "1500 ± 6 mm", "track_rear": "1500 ± 10 mm",
        "tyre_width": "185 ± 2 mm", "tyre_diameter": "600 ± 8 mm",
        "overhang_front": "820 ± 10 mm", "length": "3990 ± 20 mm",
    }.items():  # fmt: skip
        put(data, f"sizes.{field}", text)
    outline = [["480 ± 3 mm", "820 ± 4 mm"], ["2180 mm", "820 mm"], ["2180 mm", "880 mm"],
               ["480 mm", "880 mm"]]  # fmt: skip
    data["zones"][0]["outline"] = outline
    record = from_json(Vehicle, json.dumps(data))
    numbers = vehicle_numbers("harbour-hatch", record, workshop.policy)
    assert numbers.tyres is not None and numbers.zones is not None
    front, rear = numbers.tyres[0], numbers.tyres[2]
    assert (front.width, front.diameter) == pytest.approx((0.185, 0.6))
    assert front.grown == pytest.approx((0.0, 0.004, 0.008))
    assert rear.grown == pytest.approx((0.004, 0.006, 0.008))
    assert sized(numbers.zones[0].outline) == pytest.approx((1.700 + 0.010, 0.060 + 0.010))
    assert numbers.outline == pytest.approx((0.830, 0.820 - 3.990 - 0.030, 0.8875), abs=0.01)


def test_a_column_and_an_arm_are_as_large_as_their_tolerances_make_them(workshop: Workshop) -> None:
    data = plain(workshop.bays["north"])
    data["columns"][0] |= {"x": "0 ± 5 mm", "y": "1570 ± 4 mm", "along": "300 ± 2 mm"}
    data["arms"]["left_front"]["profile"][0] |= {
        "half_width": "55 ± 3 mm", "top": "0 ± 2 mm", "bottom": "-55 ± 2 mm",
    }  # fmt: skip
    numbers = bay_numbers("north", from_json(Bay, json.dumps(data)))
    assert sized(numbers.columns[0]) == pytest.approx((0.302 + 0.010, 0.300 + 0.008))
    assert sized(numbers.columns[1]) == pytest.approx((0.300, 0.300))
    profile = numbers.profiles[0]
    assert profile is not None
    assert profile[0] == pytest.approx((0.0, 0.058, 0.002, -0.057))


@pytest.mark.parametrize("name", ["arm_tyre", "arm_zone", "arm_column"])
def test_less_room_is_left_where_sizes_are_unsure(workshop: Workshop, name: str) -> None:
    """The same setting has less room by what the tolerances take from it."""
    car, place = plain(workshop.vehicles["crew-pickup"]), plain(workshop.bays["yard"])
    before = _room(workshop, car, place, name)
    put(car, "sizes.track_front", "1680 ± 20 mm")
    put(car, "sizes.track_rear", "1680 ± 20 mm")
    for zone in car["zones"]:
        zone["outline"] = [[f"{_bare(a)} ± 5 mm", f"{_bare(s)} ± 5 mm"] for a, s in zone["outline"]]
    for column in place["columns"]:
        column["y"] = f"{_bare(column['y'])} ± 5 mm"
    assert _room(workshop, car, place, name) < before - 1e-4


def _bare(text: str) -> str:
    return text.partition(" ±")[0].removesuffix(" mm")


def _room(workshop: Workshop, car: Data, place: Data, name: str) -> float:
    """Demand of a check at the setting that the sample's plan finds."""
    wish = Wish("crew-pickup", None, ("yard",), remedies=False)
    best = make_plan(workshop, wish, DAY).plan.best
    assert best is not None
    shop = Workshop(
        workshop.about, workshop.policy,
        {"crew-pickup": from_json(Vehicle, json.dumps(car))},
        {"yard": from_json(Bay, json.dumps(place))}, workshop.adapters, {},
    )  # fmt: skip
    case = cases_for(shop, wish, standing_on_file(shop, DAY))["yard"]
    judged = evaluate(case, best.setting)
    return next(c.demand for c in judged.checks if c.name == name and c.demand is not None)
