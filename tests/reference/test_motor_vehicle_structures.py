"""Twist stiffness of a body on a frame and of an integral body, and what it does to pad loads.

J. C. Brown, A. J. Robertson, S. T. Serpento, Motor Vehicle Structures: Concepts and Fundamentals,
p. 44 (after Swallow 1938): 934 N m/deg for a 1938 body on a frame, 3,390 N m/deg for the integral
body of 1939 of the same line. Read at
fliphtml5.com/vlcnw/drpl/Motor_Vehicle_Structure_Jason_C_Brown_3rd_Ed/61. The pad loads are worked
out here: F = d K / t^2 for rigid pads.
"""

from __future__ import annotations

from math import inf, pi

import pytest

from tests.reference.claims import DERIVED, claim
from underset.statics import warp_loads

PADS = ((0.8, 0.5), (0.8, -0.5), (-0.8, 0.5), (-0.8, -0.5))


@pytest.mark.parametrize(("per_degree", "printed"), [(934.0, 268.0), (3390.0, 971.0)])
def test_rigid_pads_5_mm_out_of_level(per_degree: float, printed: float) -> None:
    loads = warp_loads(PADS, (0.005, 0.0, 0.0, 0.0), (inf,) * 4, per_degree * 180.0 / pi)
    claim(
        f"brown-{per_degree:g}",
        f"Body of {per_degree:g} N m/deg on rigid pads 1.0 m apart, one 5 mm high: change in N",
        source="Brown, Robertson, Serpento, Motor Vehicle Structures",
        where="p. 44 for the stiffness",
        seen=DERIVED,
        printed=printed,
        ours=loads[0],
        tolerance=0.6,
        reason="rounded to 1 N",
    )
