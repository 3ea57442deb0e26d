"""Centre of gravity of a car on scales, level and with the rear wheels raised.

R. C. Hibbeler, Engineering Mechanics: Statics, chapter "Center of Gravity and Centroid", problem
on the locations x and y of the centre of gravity of a car. The front pair of 2,297 lb, rear pair
of 1,959 lb, tyre diameter of 1.98 ft and the method were seen on a solution page
(askfilo.com/user-question-answers-physics/the-locations-x-and-y-to-the-center-of-gravity-g-of-the-car-36333239393039);
the wheelbase of 9.40 ft, the 3.0 ft, the raised front loads 1,269 and 1,307 lb and the printed
answers 5.07 and 3.80 ft are from memory. The arithmetic is worked out here.
"""

from __future__ import annotations

from math import asin, degrees

import pytest

from tests.reference.claims import MEMORY, claim
from underset.statics import AxleLift, LiftStep, axle_lift_height, from_axles

SOURCE = "Hibbeler, Statics, centre of gravity of a car"
FRONT, REAR, WHEELBASE, RADIUS = 2297.0, 1959.0, 9.40, 0.99


def test_along_the_car() -> None:
    weighed = from_axles(FRONT, REAR, WHEELBASE)
    assert weighed.mass.value == pytest.approx(4256.0)
    claim(
        "hibbeler-along",
        "Front 2,297 lb, rear 1,959 lb, wheelbase 9.40 ft: CG ahead of the rear axle in ft",
        source=SOURCE,
        where="chapter 9, problem with the raised car",
        seen=MEMORY,
        printed=5.073,
        ours=WHEELBASE - weighed.aft.value,
        tolerance=0.005,
        reason="book rounds to 0.01 ft",
    )


def test_height() -> None:
    lift = AxleLift(FRONT + REAR, WHEELBASE, RADIUS, RADIUS, "rear", FRONT)
    rise = 3.0 - RADIUS
    assert degrees(asin(rise / WHEELBASE)) == pytest.approx(12.347, abs=1e-3)
    height = axle_lift_height(LiftStep(1269.0 + 1307.0, rise=rise), lift)
    claim(
        "hibbeler-height",
        "Rear wheels raised to 3.0 ft, front then 2,576 lb: CG over the axle line and over the "
        "ground in ft",
        source=SOURCE,
        where="chapter 9, problem with the raised car",
        seen=MEMORY,
        printed=(2.815, 3.805),
        ours=(height - RADIUS, height),
        tolerance=0.005,
        reason="book rounds to 0.01 ft",
    )
