"""Four piers under a rigid body with an off-centre load.

Engineers' forum, thread "four piers" (eng-tips.com/viewthread.cfm?qid=400254): pattern of 6 by 4
ft, 100 t acting 2 ft and 1 ft off centre, R = W/4 +- My/12 +- Mx/8, printed as 54, 29, 21 and -4.
The same thread offers 69, 31, 19 and -19 by tributary areas, which fails in moment. General rule
for n equal springs, skew layouts included: e2connection.com/?page_id=193.
"""

from __future__ import annotations

import pytest

from tests.reference.claims import DERIVED, EXACT, SECOND_HAND, claim
from underset.statics import even_loads, residuals

SOURCE = "Engineers' forum, thread on four piers"
PADS = ((3.0, 2.0), (3.0, -2.0), (-3.0, 2.0), (-3.0, -2.0))
AT = (2.0, 1.0)


def test_rigid_body_on_equal_springs() -> None:
    loads = even_loads(PADS, 100.0, AT)
    claim(
        "four-piers-rigid",
        "6 by 4 ft, 100 t at (2, 1) ft: loads at (3, 2), (3, -2), (-3, 2), (-3, -2) in t",
        source=SOURCE,
        where="R = W/4 +- My/12 +- Mx/8",
        seen=SECOND_HAND,
        printed=(54.17, 29.17, 20.83, -4.17),
        ours=loads,
        tolerance=0.01,
        reason="worked to 0.01; the thread rounds to 1",
    )
    claim(
        "four-piers-printed",
        "The same as the thread prints it, in t",
        source=SOURCE,
        where="first answer",
        seen=SECOND_HAND,
        printed=(54.0, 29.0, 21.0, -4.0),
        ours=loads,
        tolerance=0.5,
        reason="printed in whole tonnes",
    )


def test_tributary_areas_are_refused_by_the_moment() -> None:
    """They add up to 100, but to 300 of moment along the pattern where the load has 200."""
    offered = (69.0, 31.0, 19.0, -19.0)
    force, about_x, about_y = residuals(PADS, offered, 100.0, AT)
    claim(
        "four-piers-refused",
        "Tributary areas, 69 / 31 / 19 / -19: sum and both moments left over, t and t ft",
        source=SOURCE,
        where="rival answer",
        seen=DERIVED,
        printed=(0.0, 52.0, 100.0),
        ours=(force, about_x, -about_y),
        tolerance=EXACT,
        reason="exact arithmetic on the printed answer",
    )
    assert residuals(PADS, even_loads(PADS, 100.0, AT), 100.0, AT) == pytest.approx(
        (0.0, 0.0, 0.0), abs=1e-9
    )
