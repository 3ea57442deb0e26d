"""Weight-shift examples of pages for student pilots: the same statics as parts moved or taken off.

Pages read, all second-hand teaching text:
jetcareers.com/forums/threads/weight-shift-change-calculation-help.72797 (addition up to a limit),
groundscholar.com/handbook/phak/9-weight-shift-formulas,
humbleaviation.com/private/weightandbalance/theweightshiftproportionformula.php,
runup.ca/how-to-use-the-weight-shirt-formula and runup.ca/what-is-the-weight-change-formula,
ajdesigner.com/weight-shift, and the exam bank atplquestions.com/atpl-question/mass-balance (17 and
18). Pounds and inches unless said.

Erratum: the weight-change page says that taking 120 lb off at 48 in, ahead of a CG at 93.0 in,
moves the CG forward. It moves aft, to 95.3; size right, direction wrong.
"""

from __future__ import annotations

import pytest

from tests.reference.claims import DERIVED, SECOND_HAND, claim
from underset.statics import added, from_axles, needed_change, needed_shift, shift


@pytest.mark.parametrize(
    ("page", "mass", "moved", "start", "end", "printed"),
    [
        ("groundscholar.com", 4000.0, 100.0, 55.0, 145.0, 2.25),
        ("humbleaviation.com", 2700.0, 180.0, 110.0, 142.0, 2.13),
        ("runup.ca", 2450.0, 100.0, 123.0, 73.0, -2.04),
        ("ajdesigner.com", 2400.0, 150.0, 40.0, 100.0, 3.75),
    ],
)
def test_weight_moved(
    page: str, mass: float, moved: float, start: float, end: float, printed: float
) -> None:
    claim(
        f"shift-{page}",
        f"{mass:,.0f} lb, {moved:g} lb moved from {start:g} to {end:g} in: CG change in in, aft +",
        source=f"Weight-shift page, {page}",
        where="worked example",
        seen=SECOND_HAND,
        printed=printed,
        ours=shift(mass, 0.0, moved, start, end),
        tolerance=0.005,
        reason="printed to 0.01 in",
    )


def test_new_station_after_a_shift() -> None:
    claim(
        "shift-station",
        "4,000 lb at 80.0, 100 lb moved from 55 to 145 in: new CG in in",
        source="Weight-shift page, groundscholar.com",
        where="worked example",
        seen=SECOND_HAND,
        printed=82.25,
        ours=shift(4000.0, 80.0, 100.0, 55.0, 145.0),
        tolerance=1e-9,
        reason="exact arithmetic",
    )


@pytest.mark.parametrize(
    ("page", "mass", "change", "start", "end", "printed"),
    [
        ("humbleaviation.com", 3200.0, -1.5, 167.0, 142.0, 192.0),
        ("atplquestions.com 17, in kg", 7500.0, -1.0, 150.0, 30.0, 62.5),
    ],
)
def test_weight_to_move(
    page: str, mass: float, change: float, start: float, end: float, printed: float
) -> None:
    claim(
        f"needed-shift-{page}",
        f"{mass:,.0f}, CG to move by {change:+g}, load from {start:g} to {end:g}: amount to move",
        source=f"Weight-shift page, {page}",
        where="worked example",
        seen=SECOND_HAND,
        printed=printed,
        ours=needed_shift(mass, change, start, end),
        tolerance=1e-9,
        reason="exact arithmetic",
    )


def test_most_that_may_be_added() -> None:
    ours = needed_change(2900.0, 115.0, 116.0, 130.0)
    claim(
        "needed-change",
        "2,900 lb at 115.0, limit 116.0: most that may be added at 130 in, in lb",
        source="Forum thread on weight shift, jetcareers.com",
        where="thread 72797",
        seen=SECOND_HAND,
        printed=207.1,
        ours=ours,
        tolerance=0.05,
        reason="printed to 0.1 lb",
    )
    assert ours == pytest.approx(207.14, abs=0.005)
    assert added(2900.0, 115.0, ours, 130.0)[1] == pytest.approx(116.0)


def test_taking_off_ahead_of_the_cg_moves_it_aft() -> None:
    left, cg = added(2450.0, 93.0, -120.0, 48.0)
    claim(
        "removal-sign",
        "2,450 lb at 93.0, 120 lb taken off at 48 in: weight left, and CG change in in, aft +",
        source="Weight-change page, runup.ca",
        where="worked example; its direction is a slip",
        seen=SECOND_HAND,
        printed=(2330.0, 2.32),
        ours=(left, cg - 93.0),
        tolerance=0.01,
        reason="printed as 2.31 and 2.32 in",
    )
    assert cg == pytest.approx(95.32, abs=0.005)


def test_three_wheels_on_scales() -> None:
    weighed = from_axles(285.0, 1465.0 + 1395.0, 92.0)
    claim(
        "three-scales",
        "285, 1,465 and 1,395 kg on nose and main wheels 7 ft 8 in apart: CG behind the nose in in",
        source="Exam bank, atplquestions.com",
        where="mass and balance 18",
        seen=SECOND_HAND,
        printed=83.7,
        ours=weighed.aft.value,
        tolerance=0.05,
        reason="printed to 0.1 in",
    )
    claim(
        "three-scales-exact",
        "The same to 0.01 in",
        source="Exam bank, atplquestions.com",
        where="mass and balance 18",
        seen=DERIVED,
        printed=83.66,
        ours=weighed.aft.value,
        tolerance=0.005,
        reason="rounded to 0.01 in",
    )
