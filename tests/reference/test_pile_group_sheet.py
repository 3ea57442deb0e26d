"""An irregular pattern of four supports.

Pile-group calculation sheet (id.scribd.com/document/417790842/UER6U): supports at (376, 393),
(-376, 437), (-370, -339), (336, -385) mm, 1,693 kN at the origin; the sheet prints sums of squares
of 532,259 and 605,755 mm2 and uses them without the product of inertia. The exact plane solution
is worked out here.
"""

from __future__ import annotations

import pytest

from tests.reference.claims import DERIVED, SECOND_HAND, claim
from underset.statics import even_loads, residuals

SOURCE = "Pile-group calculation sheet"
PADS = ((376.0, 393.0), (-376.0, 437.0), (-370.0, -339.0), (336.0, -385.0))
ORIGIN = (0.0, 0.0)
WEIGHT = 1693.0
UNCOUPLED = (406.50, 382.91, 440.55, 463.04)


def test_second_moments_as_printed() -> None:
    mid = [sum(pad[axis] for pad in PADS) / 4.0 for axis in (0, 1)]
    squares = [sum((pad[axis] - mid[axis]) ** 2 for pad in PADS) for axis in (0, 1)]
    claim(
        "piles-second-moments",
        "Sums of squared distances from the centre, x and y in mm2",
        source=SOURCE,
        where="sums of the sheet",
        seen=SECOND_HAND,
        printed=(532_259.0, 605_755.0),
        ours=squares,
        tolerance=1.0,
        reason="printed in whole mm2",
    )


def test_coupled_solution() -> None:
    loads = even_loads(PADS, WEIGHT, ORIGIN)
    claim(
        "piles-coupled",
        "1,693 kN at the origin on the irregular pattern: exact plane solution in kN",
        source=SOURCE,
        where="positions and load",
        seen=DERIVED,
        printed=(405.75, 384.22, 441.23, 461.79),
        ours=loads,
        tolerance=0.01,
        reason="figures rounded to 0.01 kN",
    )
    assert residuals(PADS, loads, WEIGHT, ORIGIN) == pytest.approx((0.0, 0.0, 0.0), abs=1e-8)


def test_uncoupled_formula_is_refused_by_the_moments() -> None:
    force, about_x, about_y = residuals(PADS, UNCOUPLED, WEIGHT, ORIGIN)
    assert force == pytest.approx(0.0, abs=1e-9)
    claim(
        "piles-uncoupled",
        "The sheet's loads 406.50 / 382.91 / 440.55 / 463.04: moments left over in kN mm",
        source=SOURCE,
        where="results of the sheet",
        seen=SECOND_HAND,
        printed=(1450.0, 529.0),
        ours=(-about_y, -about_x),
        tolerance=5.0,
        reason="loads printed to 0.01 kN at arms of 0.4 m leave 4 kN mm",
    )
    assert (
        max(abs(a - b) for a, b in zip(UNCOUPLED, even_loads(PADS, WEIGHT, ORIGIN), strict=True))
        > 1
    )
