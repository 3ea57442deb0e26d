"""Four springs under a body: one pad too high, a skewed layout, a pad that is lost.

Closed forms worked out here from equilibrium and Hooke's law; no book prints the numbers. One pad
too high by d: change of load d / (4/k + t^2/K) on a rectangle, k stiffness of each pad and arm, t
pad track, K twist stiffness of the body between the pad lines. Four supports are not fixed by
statics: Euler (1773), retold in doi 10.4236/am.2015.63055.
"""

from __future__ import annotations

from math import degrees, inf, pi

import pytest

from tests.reference.claims import DERIVED, EXACT, claim
from underset.statics import (
    contact_loads,
    even_loads,
    residuals,
    unloading_height,
    warp_loads,
    warp_pattern,
    warp_range,
)

SOURCE = "Closed form from equilibrium and Hooke's law"
HALF = 0.8
RECTANGLE = ((HALF, 0.5), (HALF, -0.5), (-HALF, 0.5), (-HALF, -0.5))
TRAPEZOID = ((HALF, 0.45), (HALF, -0.45), (-HALF, 0.60), (-HALF, -0.60))
MASS, AT = 1600.0, (HALF - 0.700, 0.020)
PER_DEGREE = 180.0 / pi


def rectangle(track: float) -> tuple[tuple[float, float], ...]:
    half = track / 2.0
    return ((HALF, half), (HALF, -half), (-HALF, half), (-HALF, -half))


@pytest.mark.parametrize(
    ("name", "pads", "stiffness", "printed"),
    [
        ("rectangle 1,000 wide", RECTANGLE, None, (466.0, 434.0, 366.0, 334.0)),
        ("trapezoid 900 and 1,200 wide", TRAPEZOID, None, (462.80, 437.20, 367.07, 332.93)),
        (
            "rectangle, rear arms twice as stiff",
            RECTANGLE,
            (1.0, 1.0, 2.0, 2.0),
            (460.67, 439.33, 371.33, 328.67),
        ),
    ],
)
def test_even_springs(
    name: str,
    pads: tuple[tuple[float, float], ...],
    stiffness: tuple[float, ...] | None,
    printed: tuple[float, ...],
) -> None:
    loads = even_loads(pads, MASS, AT, stiffness)
    claim(
        f"springs-{name}",
        f"1,600 kg, pads 1,600 mm apart, {name}, CG 700 mm behind the front pads and 20 mm left: "
        "LF, RF, LR, RR in kg",
        source=SOURCE,
        where="F_i = k_i (a + b x_i + c y_i)",
        seen=DERIVED,
        printed=printed,
        ours=loads,
        tolerance=0.01,
        reason="figures rounded to 0.01 kg",
    )
    assert residuals(pads, loads, MASS, AT) == pytest.approx((0.0, 0.0, 0.0), abs=1e-9)


def test_a_pad_that_is_lost() -> None:
    loads = contact_loads(RECTANGLE, MASS, AT, (1e6,) * 4, (0.0, 0.0, 0.0, -1.0))
    assert loads is not None
    claim(
        "springs-pad-lost",
        "The same rectangle with the RR pad lost: LF, RF, LR, RR in kg",
        source=SOURCE,
        where="three supports",
        seen=DERIVED,
        printed=(132.0, 768.0, 700.0, 0.0),
        ours=loads,
        tolerance=0.01,
        reason="exact arithmetic",
    )
    assert residuals(RECTANGLE, loads, MASS, AT) == pytest.approx((0.0, 0.0, 0.0), abs=1e-6)
    assert loads[1] / 434.0 - 1.0 == pytest.approx(0.77, abs=0.005)


@pytest.mark.parametrize(
    ("name", "pads", "per_mm", "printed"),
    [
        ("rectangle, 1,000 N/mm", RECTANGLE, 1000.0, (1250.0, -1250.0, -1250.0, 1250.0)),
        ("rectangle, 500 N/mm", RECTANGLE, 500.0, (625.0, -625.0, -625.0, 625.0)),
        ("trapezoid 900/1,200, 1,000 N/mm", TRAPEZOID, 1000.0, (1600.0, -1600.0, -1200.0, 1200.0)),
    ],
)
def test_rigid_body_and_a_pad_5_mm_high(
    name: str, pads: tuple[tuple[float, float], ...], per_mm: float, printed: tuple[float, ...]
) -> None:
    claim(
        f"warp-rigid-{name}",
        f"Rigid body, LF pad 5 mm high, {name}: change of LF, RF, LR, RR in N",
        source=SOURCE,
        where="k d / 4 on a rectangle",
        seen=DERIVED,
        printed=printed,
        ours=warp_loads(pads, (0.005, 0.0, 0.0, 0.0), (per_mm * 1000.0,) * 4, inf),
        tolerance=1.0,
        reason="rounded to 1 N",
    )


@pytest.mark.parametrize(
    ("per_degree", "track", "per_mm", "printed"),
    [
        (10_000.0, 1.5, 1000.0, 631.0),
        (20_000.0, 1.5, 1000.0, 838.0),
        (30_000.0, 1.5, 1000.0, 942.0),
        (20_000.0, 1.5, inf, 2546.0),
        (20_000.0, 1.2, inf, 3979.0),
        (20_000.0, 1.2, 1000.0, 951.0),
        (20_000.0, 1.2, 500.0, 540.0),
    ],
)
def test_flexible_body_and_a_pad_5_mm_high(
    per_degree: float, track: float, per_mm: float, printed: float
) -> None:
    loads = warp_loads(
        rectangle(track), (0.005, 0.0, 0.0, 0.0), (per_mm * 1000.0,) * 4, per_degree * PER_DEGREE
    )
    claim(
        f"warp-body-{per_degree:g}-{track:g}-{per_mm:g}",
        f"Body {per_degree:,.0f} N m/deg, pad track {track:g} m, pads {per_mm:g} N/mm, one pad "
        "5 mm high: change of LF, RF, LR, RR in N",
        source=SOURCE,
        where="d / (4/k + t^2/K)",
        seen=DERIVED,
        printed=(printed, -printed, -printed, printed),
        ours=loads,
        tolerance=1.0,
        reason="rounded to 1 N",
    )


def test_twist_and_couple_of_a_rigidly_held_body() -> None:
    """5 mm over a track of 1.2 m twists the body by 0.2387 degrees, with a couple of 4,775 N m."""
    twist = degrees(0.005 / 1.2)
    load = warp_loads(rectangle(1.2), (0.005, 0.0, 0.0, 0.0), (inf,) * 4, 20_000.0 * PER_DEGREE)[0]
    claim(
        "warp-twist",
        "Body 20,000 N m/deg, track 1.2 m, 5 mm: twist in degrees and couple in N m",
        source=SOURCE,
        where="couple = F t",
        seen=DERIVED,
        printed=(0.2387, 4775.0),
        ours=(twist, load * 1.2),
        tolerance=0.5,
        reason="couple rounded to 1 N m",
    )
    assert twist == pytest.approx(0.2387, abs=5e-5)


def test_pattern_of_a_trapezoid_goes_with_one_over_the_width() -> None:
    claim(
        "warp-pattern",
        "Trapezoid 900 and 1,200 mm: loads that change nothing in sum or moment, scaled to 1",
        source=SOURCE,
        where="(1/w_f, -1/w_f, -1/w_r, 1/w_r)",
        seen=DERIVED,
        printed=(1.0, -1.0, -0.75, 0.75),
        ours=warp_pattern(TRAPEZOID),
        tolerance=EXACT,
        reason="exact",
    )
    assert residuals(TRAPEZOID, warp_pattern(TRAPEZOID), 0.0, (0.0, 0.0)) == pytest.approx(
        (0.0, 0.0, 0.0), abs=1e-12
    )


def test_height_that_empties_a_pad_and_the_tolerance_band_agree() -> None:
    """A height error of all pads by d in the worst pattern acts like 4 d on one pad."""
    springs, body = (1e6,) * 4, 20_000.0 * PER_DEGREE
    loads = even_loads(RECTANGLE, MASS * 9.81, AT)
    height, moved, emptied = unloading_height(RECTANGLE, loads, springs, body)
    assert (emptied, loads[emptied]) == (3, min(loads))
    assert moved in (1, 2)
    raised = [height if i == moved else 0.0 for i in range(4)]
    after = [
        a + b for a, b in zip(loads, warp_loads(RECTANGLE, raised, springs, body), strict=True)
    ]
    assert after[emptied] == pytest.approx(0.0, abs=1e-9)
    assert warp_range(RECTANGLE, height / 4.0, springs, body) == pytest.approx(loads[3])
