"""Three published vehicle sets: CG of body and wheels together, axle loads, static stability.

M. Althoff, G. Wuersching, CommonRoad: Vehicle Models (version 2020a), Technical University of
Munich, Table 6, after vehicle data of the US Department of Transportation; read from the package
commonroad-vehicle-models (BSD-3-Clause), vehicles 1 to 3. The code calls a and b the distances of
the sprung mass's CG, the paper those of "the CG": both readings are worked out, and differ by 0.3
to 1.4 points of front share.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from math import tan

import pytest

from tests.reference.claims import DERIVED, READ, claim
from underset.statics import Item, Total, even_loads, front_share, hull, lean_to_tip, total

SOURCE = "CommonRoad: Vehicle Models (2020a)"


@dataclass(frozen=True)
class Vehicle:
    """The figures of one set, m and kg."""

    mass: float
    sprung: float
    unsprung: tuple[float, float]
    a: float
    b: float
    tracks: tuple[float, float]
    height: float
    sprung_height: float

    @property
    def wheelbase(self) -> float:
        return self.a + self.b

    @property
    def track(self) -> float:
        return sum(self.tracks) / 2.0


@cache
def vehicle(number: int) -> Vehicle:
    from vehiclemodels import parameters_vehicle1, parameters_vehicle2, parameters_vehicle3

    modules = (parameters_vehicle1, parameters_vehicle2, parameters_vehicle3)
    make = getattr(modules[number - 1], f"parameters_vehicle{number}")
    p = make()
    return Vehicle(p.m, p.m_s, (p.m_uf, p.m_ur), p.a, p.b, (p.T_f, p.T_r), p.h_cg, p.h_s)


def whole(car: Vehicle) -> Total:
    """Body at its own CG, wheels and axles on the axles at the height that gives the total's."""
    axles = sum(car.unsprung)
    low = (car.mass * car.height - car.sprung * car.sprung_height) / axles
    return total(
        [
            Item("body", car.sprung, 0.0, (-car.a, 0.0, car.sprung_height)),
            Item("front axle", car.unsprung[0], 0.0, (0.0, 0.0, low)),
            Item("rear axle", car.unsprung[1], 0.0, (-car.wheelbase, 0.0, low)),
        ]
    )


TABLE = [
    # vehicle, mass, total CG behind front axle, front share sprung reading, total reading, SSF
    (1, 1225.888, 0.91739, 61.66, 63.06, 1.261),
    (2, 1093.295, 1.17175, 54.56, 55.17, 1.196),
    (3, 1478.898, 1.16014, 53.07, 53.45, 1.042),
]


@pytest.mark.parametrize(("number", "mass", "aft", "front", "front_total", "ssf"), TABLE)
def test_published_set(
    number: int, mass: float, aft: float, front: float, front_total: float, ssf: float
) -> None:
    car = vehicle(number)
    found = whole(car)
    claim(
        f"commonroad-mass-{number}",
        f"Vehicle {number}: sprung and unsprung masses add up to the total, in kg",
        source=SOURCE,
        where="Table 6",
        seen=READ,
        printed=mass,
        ours=found.mass,
        tolerance=0.002,
        reason="three masses rounded to 0.001 kg",
    )
    claim(
        f"commonroad-aft-{number}",
        f"Vehicle {number}: CG of body and wheels behind the front axle in m, and the front share "
        "in percent",
        source=SOURCE,
        where="Table 6, a and b of the sprung mass",
        seen=DERIVED,
        printed=(aft, front),
        ours=(-found.cg[0], 100.0 * share(car, -found.cg[0])),
        tolerance=0.005,
        reason="share rounded to 0.01 %",
    )
    assert -found.cg[0] == pytest.approx(aft, abs=5e-5)
    claim(
        f"commonroad-front-{number}",
        f"Vehicle {number}: front share in percent where a and b are those of the whole vehicle",
        source=SOURCE,
        where="Table 6, a and b of the whole",
        seen=DERIVED,
        printed=front_total,
        ours=100.0 * share(car, car.a),
        tolerance=0.005,
        reason="rounded to 0.01 %",
    )
    assert found.cg[2] == pytest.approx(car.height)
    claim(
        f"commonroad-ssf-{number}",
        f"Vehicle {number}: static stability factor, mean track / (2 CG height), as tan of lean",
        source=SOURCE,
        where="Table 6, tracks and CG height",
        seen=DERIVED,
        printed=ssf,
        ours=tan(lean_to_tip(hull(wheels(car)), (-car.a, 0.0), car.height)),
        tolerance=0.0005,
        reason="rounded to 0.001",
    )


def wheels(car: Vehicle) -> tuple[tuple[float, float], ...]:
    half = car.track / 2.0
    return ((0.0, half), (0.0, -half), (-car.wheelbase, half), (-car.wheelbase, -half))


def share(car: Vehicle, aft: float) -> float:
    return front_share(even_loads(wheels(car), car.mass, (-aft, 0.0)))


def test_second_vehicle_by_hand() -> None:
    """Sprung 965.711 kg at 1.15620 m and 0.61373 m; 63.792 kg at each axle; height 0.57487 m."""
    car = vehicle(2)
    found = whole(car)
    claim(
        "commonroad-sum",
        "Vehicle 2: total in kg, CG behind the front axle in m, static stability factor",
        source=SOURCE,
        where="Table 6",
        seen=DERIVED,
        printed=(1093.295, 1.17175, 1.196),
        ours=(found.mass, -found.cg[0], car.track / (2.0 * found.cg[2])),
        tolerance=0.0005,
        reason="rounded to the last digit",
    )


@pytest.mark.parametrize("number", [1, 2, 3])
def test_the_reading_of_a_and_b_moves_the_front_share(number: int) -> None:
    car = vehicle(number)
    points = 100.0 * (share(car, car.a) - share(car, -whole(car).cg[0]))
    assert 0.3 <= round(points, 1) <= 1.4
