"""A car at rest on two axles: solved exercises of school and college physics.

Pages read, each printing inputs and answer unless said: documen.tv question 23210487 (961 kg),
ask.learncbse.in/t/a-car-of-weight-1800-kg/13959 (NCERT Physics, class XI, exercise 7.8 by memory),
qammunity.org/11379316 (5,800 and 6,500 N), jiskha.com/display.cgi?id=1329964133 (7.8 and 5.5 kN),
asklearnings.org/asktema/6436263 (4,500 and 3,500 N), physicsforums.com/threads/221879 (1,360 kg,
inputs only), brainmass.com/physics/equilibrium/forces-wheel-car-5657 (1,160 kg, inputs only), and
two multiple-choice items at scribd.com/doc/239377759 (figures and options legible, wording not).
"""

from __future__ import annotations

import pytest

from tests.reference.claims import DERIVED, SECOND_HAND, claim
from underset.statics import even_loads, from_axles


@pytest.mark.parametrize(
    ("id", "mass", "wheelbase", "behind", "gravity", "printed", "seen"),
    [
        ("documen.tv", 961.0, 3.27, 0.615, 9.81, (3827.0, 886.5), SECOND_HAND),
        ("ncert", 1800.0, 1.8, 1.05, 9.8, (3675.0, 5145.0), SECOND_HAND),
        ("physicsforums", 1360.0, 3.05, 1.78, 9.81, (2778.0, 3893.0), DERIVED),
        ("brainmass", 1160.0, 2.54, 1.02, 9.8, (3401.0, 2283.0), DERIVED),
    ],
)
def test_load_of_each_wheel(
    id: str,
    mass: float,
    wheelbase: float,
    behind: float,
    gravity: float,
    printed: tuple[float, float],
    seen: str,
) -> None:
    wheels = ((0.0, 0.7), (0.0, -0.7), (-wheelbase, 0.7), (-wheelbase, -0.7))
    loads = even_loads(wheels, mass * gravity, (-behind, 0.0))
    claim(
        f"exercise-{id}",
        f"{mass:,.0f} kg, wheelbase {wheelbase} m, CG {behind} m behind the front axle, "
        f"g {gravity}: each front and each rear wheel in N",
        source=f"Solved exercise, {id}",
        where="answer",
        seen=seen,
        printed=printed,
        ours=(loads[0], loads[2]),
        tolerance=1.0,
        reason="rounded to 1 N",
    )
    assert loads[0] == pytest.approx(loads[1])
    assert loads[2] == pytest.approx(loads[3])


@pytest.mark.parametrize(
    ("id", "front", "rear", "wheelbase", "printed", "tolerance"),
    [
        ("qammunity", 5800.0, 6500.0, 3.20, 1.691, 0.001),
        ("jiskha", 7800.0, 5500.0, 2.5, 1.034, 0.0005),
        ("asklearnings", 4500.0, 3500.0, 2.4, 1.05, 1e-9),
        ("multiple choice 5.5 : 4.5", 550.0, 450.0, 2.5, 1.125, 1e-9),
        ("multiple choice 6 : 4", 720.0, 480.0, 2.7, 2.7 - 1.62, 1e-9),
    ],
)
def test_cg_behind_the_front_axle(
    id: str, front: float, rear: float, wheelbase: float, printed: float, tolerance: float
) -> None:
    claim(
        f"exercise-{id}",
        f"Front {front:,.0f}, rear {rear:,.0f}, wheelbase {wheelbase} m: CG behind the front axle "
        "in m",
        source=f"Solved exercise, {id}",
        where="answer",
        seen=SECOND_HAND,
        printed=printed,
        ours=from_axles(front, rear, wheelbase).aft.value,
        tolerance=tolerance,
        reason="rounded as printed" if tolerance > 1e-6 else "exact arithmetic",
    )
