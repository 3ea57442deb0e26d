"""Cases for tests of the judge, planner and job, made of numbers: a plain bay, vehicle and shelf.

Nothing here is a real lift or vehicle. `plain_case` has every figure; `random_case` draws one.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from math import pi, radians
from random import Random

from underset.geometry import Arm, Teeth, Zone
from underset.records.policy import DEFAULT_POLICY, Policy
from underset.setting.evaluate import Case
from underset.setting.numbers import (
    AdapterNumbers,
    BayNumbers,
    CgBasis,
    PointNumbers,
    PointSetNumbers,
    Shelf,
    TyreNumbers,
    VehicleNumbers,
)
from underset.setting.result import ArmSetting, Piece, Setting
from underset.setting.standing import Standing
from underset.setting.state import State
from underset.statics import Item

TODAY = date(2026, 11, 25)
CORNERS = ("LF", "RF", "LR", "RR")
PLACES = ("left_front", "right_front", "left_rear", "right_rear")
INTAKE = (
    ("rust_at_points", "no"),
    ("repair_at_points", "no"),
    ("hidden_payload", "no"),
    ("person_in_vehicle", "no"),
    ("air_suspension_in_lift_mode", "not fitted"),
    ("entered_straight", "yes"),
)
PROFILE = ((0.0, 0.045, 0.0, -0.05), (0.25, 0.05, 0.0, -0.06), (0.6, 0.06, 0.02, -0.08))


def policy_with(**figures: float) -> Policy:
    """The default policy with thresholds replaced, SI."""
    return Policy(
        tuple(
            replace(t, value=figures[t.name]) if t.name in figures else t
            for t in DEFAULT_POLICY.thresholds
        )
    )


def head(name: str = "pad", **more: object) -> AdapterNumbers:
    """A screw pad with every figure."""
    figures: dict[str, object] = {
        "id": name, "label": name, "role": "head", "below": "pin", "above": None, "height": 0.05,
        "travel": 0.06, "thread": 0.004, "contacts": ("flat boss", "frame rail"), "cradle": False,
        "width": 0.12, "slot": None, "slot_depth": None, "rating": 1500.0, "clean_rubber": True,
        "raised_edges": False, "edges_near_battery": False, "maker_rated": True, "count": 8,
        "out_of_service": 0, "inspected_months": 2.0, "interval_months": 12.0,
    }  # fmt: skip
    return AdapterNumbers(**{**figures, **more})  # type: ignore[arg-type]


def spacer(name: str, height: float, count: int = 4) -> AdapterNumbers:
    """A spacer that fits between seat and head."""
    return head(
        name, role="spacer", above="pin", height=height, travel=0.0, thread=None, contacts=(),
        width=None, count=count,
    )  # fmt: skip


def column_at(y: float) -> tuple[tuple[float, float], ...]:
    """A column 0.3 m square."""
    return ((0.15, y - 0.15), (0.15, y + 0.15), (-0.15, y + 0.15), (-0.15, y - 0.15))


def bay(**more: object) -> BayNumbers:
    """A symmetric lift of 4 t with teeth of 4 degrees."""
    arms = tuple(
        Arm(
            (0.18 if front else -0.18, 1.30 if left else -1.30),
            -pi / 2 if left else pi / 2,
            1 if front == left else -1,
            radians(-15.0), radians(100.0), 0.60, 1.15,
        )
        for front, left in ((True, True), (True, False), (False, True), (False, False))
    )  # fmt: skip
    figures: dict[str, object] = {
        "id": "plain", "label": "Plain bay", "invented": True, "lift_kind": "two-post",
        "arms": arms, "restraint": Teeth(radians(4.0), radians(1.0)), "tooth_offset_known": True,
        "pitch": radians(4.0), "profiles": (PROFILE,) * 4, "parked": (radians(95.0),) * 4,
        "columns": (column_at(1.55), column_at(-1.55)), "column_faces": 2.8, "interface": "pin",
        "seat_low": 0.10, "seat_high": 1.9, "greatest_stack": 0.35, "rated": 4000.0,
        "arm_limits": (None,) * 4, "split_text": "not given", "cg_window": (-0.4, 0.4),
        "wheelbase_limits": (None, None), "width_high": None, "drive_through": 2.8,
        "ceiling": "none", "stop_bar": "none", "free": ("none",) * 4, "mark": ("line", 0.9),
        "floor_level": "yes", "floor_certificate": "yes", "approach": "either way",
        "interval_months": 12.0, "carriage_difference": None, "carriage_span": 2.6,
        "approved": (), "raise_speed": 0.04,
    }  # fmt: skip
    return BayNumbers(**{**figures, **more})  # type: ignore[arg-type]


def points(
    front: float = -0.60, rear: float = -2.08, half: float = 0.72, up: float = 0.21, **more: object
) -> PointSetNumbers:
    """Four flat bosses on a rectangle."""
    figures: dict[str, object] = {
        "place_tol": (0.0, 0.0), "up_tol": 0.0, "zone": Zone(0.03, 0.025), "contact": "flat boss",
        "flange_thickness": None, "flange_depth": None, "limit": None,
    }  # fmt: skip
    places = ((front, half), (front, -half), (rear, half), (rear, -half))
    made = tuple(
        PointNumbers(corner=c, place=p, up=up, **{**figures, **more})  # type: ignore[arg-type]
        for c, p in zip(CORNERS, places, strict=True)
    )
    return PointSetNumbers("bosses", "Four bosses", "sheet", made)  # type: ignore[arg-type]


def tyres(wheelbase: float, half_track: float = 0.75) -> tuple[TyreNumbers, ...]:
    """Four like tyres, LF RF LR RR."""
    places = (
        (0.0, half_track),
        (0.0, -half_track),
        (-wheelbase, half_track),
        (-wheelbase, -half_track),
    )
    return tuple(TyreNumbers(p, 0.2, 0.62) for p in places)


def vehicle(kerb: Item | None = None, **more: object) -> VehicleNumbers:
    """A front-drive hatch of 1,240 kg with every figure."""
    figures: dict[str, object] = {
        "id": "hatch", "label": "Hatch", "invented": True, "battery": False,
        "wheelbase": 2.6,
        "kerb": kerb or Item("kerb vehicle", 1240.0, 8.0, (-1.20, 0.005, 0.55), (0.01, 0.01, 0.03)),
        "height_known": True, "basis": CgBasis("axles", "axles", "scales", "measured", ()),
        "parts": (), "point_sets": (points(),), "tyres": tyres(2.6), "zones": (), "doors": (),
        "lids": (),
        "outline": (0.8, -3.2, 0.87), "width": 1.74, "width_mirrors": 1.95, "roof": 1.48,
        "roof_load_known": True, "sill": 0.3, "twist": (1.0e6, 1.5e6), "droop": 0.08,
        "special_adapter": "none",
        "intake": INTAKE, "stand_places": (),
    }  # fmt: skip
    return VehicleNumbers(**{**figures, **more})  # type: ignore[arg-type]


def standing(bay_id: str = "plain", vehicle_id: str = "hatch") -> Standing:
    """Papers in order on the day."""
    return Standing(
        TODAY,
        examined={bay_id: date(2026, 6, 1)},
        sources_checked={vehicle_id: {"bosses": date(2026, 6, 1)}},
    )


def plain_case(
    car: VehicleNumbers | None = None,
    place: BayNumbers | None = None,
    types: tuple[AdapterNumbers, ...] = (),
    states: tuple[State, ...] = (),
    policy: Policy = DEFAULT_POLICY,
) -> Case:
    """A case with every figure and paper in order."""
    car, place = car or vehicle(), place or bay()
    kerb = (car.kerb,) if car.kerb else ()
    return Case(
        car,
        place,
        Shelf({t.id: t for t in (types or (head(),))}),
        policy,
        standing(place.id, car.id),
        INTAKE,
        states or (State("set", "as it stands", kerb),),
    )


def placed(case: Case, spot: float = 1.2) -> Setting:
    """A setting whose arms stand right under their points, whatever the arms can reach."""
    arms = []
    seat = 0.13
    for corner, arm, p in zip(CORNERS, PLACES, case.vehicle.point_sets[0].points, strict=True):
        at = (spot + p.place[0], p.place[1])
        screw = p.up - seat - 0.05
        stack = (Piece("pad", "pad", "head", seat, p.up, screw, 0.06, 7.5),)
        arms.append(
            ArmSetting(corner, arm, 9, 0.6, 0.8, at, at, 0.0, 0.0, stack, screw, 7.5, p.contact)
        )
    window = (spot - 0.1, spot + 0.1)
    a, b, c, d = arms
    return Setting(
        case.vehicle.id, case.bay.id, None, "nose-in", case.vehicle.point_sets[0].id, spot,
        0.0, 0.0, window, window, seat, (a, b, c, d),
    )  # fmt: skip


# --- drawn at random ------------------------------------------------------------------------------


def random_vehicle(rng: Random, exact: bool = False) -> VehicleNumbers:
    """A vehicle of 900 to 2,600 kg on four points of a trapezoid, with parts that come off."""
    mass = rng.uniform(900.0, 2600.0)
    wheelbase = rng.uniform(2.3, 3.5)
    front = -rng.uniform(0.25, 0.35) * wheelbase
    rear = -rng.uniform(0.75, 0.9) * wheelbase
    aft = -rng.uniform(0.40, 0.60) * wheelbase
    tol = 0.0 if exact else 1.0
    kerb = Item(
        "kerb vehicle", mass, tol * rng.uniform(2.0, 15.0),
        (aft, rng.uniform(-0.03, 0.03), rng.uniform(0.5, 0.85)),
        (tol * rng.uniform(0.0, 0.02), tol * rng.uniform(0.0, 0.01), tol * rng.uniform(0.0, 0.04)),
    )  # fmt: skip
    halves = [rng.uniform(0.45, 0.75) for _ in range(2)]
    limit = {"place_tol": (tol * 0.003, tol * 0.003), "up_tol": 0.0}
    base = points(front, rear, 0.6, 0.22, **limit)
    moved = tuple(
        replace(p, place=(p.place[0], side * half))
        for p, side, half in zip(
            base.points, (1, -1, 1, -1), (halves[0], halves[0], halves[1], halves[1]), strict=True
        )
    )
    roof = rng.uniform(1.35, 2.2)
    part = Item(
        "part", rng.uniform(40.0, 220.0), tol * 5.0,
        (rng.choice((0.0, -wheelbase)) + rng.uniform(-0.2, 0.2), rng.uniform(-0.05, 0.05), 0.45),
        (tol * 0.02, tol * 0.01, tol * 0.02),
    )  # fmt: skip
    return vehicle(
        kerb, wheelbase=wheelbase, roof=roof, parts=(("part", part, True),),
        point_sets=(replace(base, points=moved),), tyres=tyres(wheelbase),
        outline=(0.8, -wheelbase - 0.9, 0.85),
        twist=(1.0e12, 1.0e12),
    )  # fmt: skip
