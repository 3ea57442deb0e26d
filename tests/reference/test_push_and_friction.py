"""Forces a person can apply, and what friction holds.

Canadian Centre for Occupational Health and Safety, table of recommended upper limits for
horizontal pushes after Eastman Kodak (1986): 225 N standing, whole body; table seen at
scribd.com/document/430010241/Force-Table. Friction 0.6 for clean rubber and 0.2 without it after
VDI 2700-15 and EN 12195 practice pages, anti-slip-mat.com/?p=1196, and IMO/ILO/UNECE CTU Code,
annex 7, appendix 2 (smooth metal on smooth metal 0.20). Loads and limits below are worked out from
them.
"""

from __future__ import annotations

from math import pi

import pytest

from tests.reference.claims import DERIVED, claim
from underset.statics import hull, push_shift, slip_force, tip_force, unload_push

PADS = ((0.8, 0.75), (0.8, -0.75), (-0.8, 0.75), (-0.8, -0.75))
SOURCE = "CCOHS table of push forces"
FRICTION = "CTU Code, annex 7, appendix 2; VDI 2700-15 practice pages"


@pytest.mark.parametrize(("force", "printed"), [(225.0, 150.0), (500.0, 333.0)])
def test_sideways_push(force: float, printed: float) -> None:
    change = push_shift(PADS, force, 1.0, pi / 2.0)
    claim(
        f"push-{force:g}",
        f"{force:g} N to the left, 1.0 m above pads 1.5 m apart: load gained by the left side in N",
        source=SOURCE,
        where="F h / span",
        seen=DERIVED,
        printed=printed,
        ours=change[0] + change[2],
        tolerance=0.5,
        reason="rounded to 1 N",
    )
    assert sum(change) == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize(
    ("mass", "friction", "printed", "tolerance"),
    [
        (2000.0, 0.6, 11_772.0, 0.5),
        (2000.0, 0.2, 3924.0, 0.5),
        (1600.0, 0.2, 3139.0, 1.0),
        (50.0, 0.2, 98.1, 0.05),
    ],
)
def test_sliding(mass: float, friction: float, printed: float, tolerance: float) -> None:
    claim(
        f"slip-{mass:g}-{friction:g}",
        f"{mass:,.0f} kg on friction {friction}: force to slide in N",
        source=FRICTION,
        where="friction times weight",
        seen=DERIVED,
        printed=printed,
        ours=slip_force(mass * 9.81, friction),
        tolerance=tolerance,
        reason="rounded as printed",
    )


def test_700_n_is_far_from_sliding_2000_kg_on_rubber() -> None:
    assert slip_force(2000.0 * 9.81, 0.6) > 16.0 * 700.0


def test_person_neither_tips_nor_unloads_a_light_car() -> None:
    """A push of 225 N with factor 2, 1.5 m above the pads, on 900 kg placed in the middle."""
    weight, polygon = 900.0 * 9.81, hull(PADS)
    tip = tip_force(polygon, (0.0, 0.0), weight, 1.5)
    push = unload_push(PADS, (weight / 4.0,) * 4, 1.5)
    claim(
        "push-tip",
        "900 kg in the middle of pads 1.6 by 1.5 m: least push at 1.5 m that tips, in N",
        source=SOURCE,
        where="W m / h",
        seen=DERIVED,
        printed=900.0 * 9.81 * 0.75 / 1.5,
        ours=tip,
        tolerance=1e-6,
        reason="exact arithmetic",
    )
    assert 450.0 < push.force < tip
