"""An arm can be overloaded while the lift is not.

"Commonly overlooked safety tips", trade article, 2014
(autoliftmag.com/vehicle-lift-safety/commonly-overlooked-safety-tips): a lift of 15,000 lb has
3,750 lb for each of four arms; an axle end of 9,200 lb puts 4,600 lb on each of two. A quarter of
the capacity is the limit only where the lift's own plate says so.

Erratum: the article gives the vehicle 14,000 lb with axle ends of 4,000 and 9,200 lb, which add up
to 13,200.
"""

from __future__ import annotations

import pytest

from tests.reference.claims import SECOND_HAND, claim
from underset.errors import InputError
from underset.statics import even_loads, from_axles

SOURCE = "Commonly overlooked safety tips (2014)"
PADS = ((0.0, 0.5), (0.0, -0.5), (-3.0, 0.5), (-3.0, -0.5))


def test_heavy_end_overloads_its_arms() -> None:
    weighed = from_axles(9200.0, 4000.0, 3.0)
    loads = even_loads(PADS, weighed.mass.value, (-weighed.aft.value, 0.0))
    limit = 15_000.0 / 4.0
    claim(
        "arm-capacity",
        "15,000 lb lift, axle end of 9,200 lb over one pair of pads: limit and load of an arm, lb, "
        "and excess in lb and percent",
        source=SOURCE,
        where="per-arm check",
        seen=SECOND_HAND,
        printed=(3750.0, 4600.0, 850.0, 22.7),
        ours=(limit, loads[0], loads[0] - limit, 100.0 * (loads[0] / limit - 1.0)),
        tolerance=0.05,
        reason="printed to 1 lb and 0.1 %",
    )
    assert sum(loads) < 15_000.0


def test_axle_loads_that_do_not_add_up_are_refused() -> None:
    with pytest.raises(InputError, match=r"sum of loads: received 13200\.0") as caught:
        from_axles(4000.0, 9200.0, 3.0, total=14_000.0)
    assert "14000" in caught.value.allowed
    assert caught.value.remedy
