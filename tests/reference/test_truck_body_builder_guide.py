"""Load of a body shared between the axles of a truck.

A truck maker's body builder guide, appendix B on weight distribution, read at
easymanua.ls/peterbilt/220/manual/63601?p=77 and ?p=81. Pounds and inches.

Erratum: for 100 lb at 133 in on a wheelbase of 214 in the guide prints rear 62.14 and front 38.86,
which add up to 101. The front carries 100 - 62.15 = 37.85.
"""

from __future__ import annotations

import pytest

from tests.reference.claims import DERIVED, READ, claim
from underset.errors import InputError
from underset.statics import even_loads, from_axles, residuals

SOURCE = "Truck body builder guide, appendix B"
AXLES = ((0.0, 1.0), (0.0, -1.0), (-214.0, 1.0), (-214.0, -1.0))


def axles(weight: float, behind: float) -> tuple[float, float]:
    lf, rf, lr, rr = even_loads(AXLES, weight, (-behind, 0.0))
    return lf + rf, lr + rr


def test_unit_load() -> None:
    front, rear = axles(100.0, 133.0)
    claim(
        "truck-rear",
        "100 lb at 133 in behind the front axle, wheelbase 214 in: rear axle in lb",
        source=SOURCE,
        where="page 77",
        seen=READ,
        printed=62.14,
        ours=rear,
        tolerance=0.015,
        reason="printed cut off, not rounded: 62.1495",
    )
    claim(
        "truck-front",
        "The same: front axle in lb, in place of the misprinted 38.86",
        source=SOURCE,
        where="page 77, corrected",
        seen=DERIVED,
        printed=37.85,
        ours=front,
        tolerance=0.005,
        reason="rounded to 0.01 lb",
    )


def test_misprint_is_refused_by_the_sum() -> None:
    printed = (38.86 / 2, 38.86 / 2, 62.14 / 2, 62.14 / 2)
    force, _, _ = residuals(AXLES, printed, 100.0, (-133.0, 0.0))
    claim(
        "truck-misprint",
        "The guide's 62.14 and 38.86 lb: force left over in lb",
        source=SOURCE,
        where="page 77",
        seen=READ,
        printed=1.0,
        ours=force,
        tolerance=1e-9,
        reason="exact arithmetic on the printed figures",
    )
    with pytest.raises(InputError, match="must add up to the total mass"):
        from_axles(38.86, 62.14, 214.0, total=100.0)


def test_loaded_truck() -> None:
    front, rear = axles(14_500.0, 156.0)
    claim(
        "truck-loaded",
        "14,500 lb at 156 in, wheelbase 214 in: rear and front axle in lb",
        source=SOURCE,
        where="page 81",
        seen=READ,
        printed=(10_570.0, 3930.0),
        ours=(rear, front),
        tolerance=0.5,
        reason="printed in whole pounds",
    )
