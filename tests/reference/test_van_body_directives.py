"""CG height from loads level and raised, in the geometry form of a van maker.

Directives for body builders, section 3.5 "Centre of gravity heights", equations (1) to (9), read
at
vwn-aufbaurichtlinien.de/en/models/crafter/3-body-attachments-and-equipment/35-centre-of-gravity-heights
With a the rise and RS1 the wheelbase: RS2 = sqrt(RS1^2 - a^2); Xh1, Xh2 CG ahead of the rear axle,
level and raised, from axle loads; cos(beta) = a / RS1. The text prints no numbers.
"""

from __future__ import annotations

from math import acos, cos, sin, sqrt, tan

import pytest

from tests.reference.claims import READ, claim
from underset.statics import AxleLift, LiftStep, axle_lift_height


def directives(
    mass: float, rear: float, wheelbase: float, rise: float, raised_rear: float
) -> float:
    """Height over the axle line, front raised: the rear axle stays and is weighed."""
    rs2 = sqrt(wheelbase**2 - rise**2)
    xh1 = wheelbase * (mass - rear) / mass
    xh2 = rs2 * (mass - raised_rear) / mass
    beta = acos(rise / wheelbase)
    u = rise * xh2 / rs2
    return tan(beta) * (xh1 - sqrt(u**2 + xh2**2))


@pytest.mark.parametrize("rise", [0.4, 0.6, 0.8, 1.2])
@pytest.mark.parametrize("height", [0.25, 0.45, 0.8])
def test_geometry_form_equals_ours(rise: float, height: float) -> None:
    mass, wheelbase, rear = 2100.0, 3.64, 1000.0
    angle = acos(sqrt(1.0 - (rise / wheelbase) ** 2))
    raised = rear + mass * height * sin(angle) / cos(angle) / wheelbase
    lift = AxleLift(mass, wheelbase, 0.34, 0.34, "front", rear)
    claim(
        f"van-directives-{rise:g}-{height:g}",
        f"Front raised {rise:g} m: the level and raised geometry form and ours, height in m",
        source="A van maker's directives for body builders, 3.5",
        where="equations (1) to (9)",
        seen=READ,
        printed=directives(mass, rear, wheelbase, rise, raised) + 0.34,
        ours=axle_lift_height(LiftStep(raised, rise=rise), lift),
        tolerance=1e-9,
        reason="the same statics in another form",
    )


def test_front_axle_distance_from_axle_loads() -> None:
    """Equation (2): distance behind the front axle = wheelbase times rear load over total."""
    from underset.statics import from_axles

    claim(
        "van-directives-aft",
        "2,100 kg, 1,000 kg on the rear axle, wheelbase 3.64 m: CG behind the front axle in m",
        source="A van maker's directives for body builders, 3.5",
        where="equation (2)",
        seen=READ,
        printed=3.64 * 1000.0 / 2100.0,
        ours=from_axles(1100.0, 1000.0, 3.64).aft.value,
        tolerance=1e-12,
        reason="exact arithmetic",
    )
