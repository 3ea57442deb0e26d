"""CG height by raising one axle.

ISO 10392:2011, Road vehicles - Determination of centre of gravity, 6.2: raise one axle in steps,
at least three, and come back down; plot the load of the other axle against tan(angle); repeat with
the other axle. Seen in excerpts at mandarinseed.com/a/ISO/91.html. Formula as printed in a course
note, "The height above ground of CG" (openbooks.link/the-height-above-ground-of-cg), and in a
technical note of 1997 (geocities.cmolabs.net/YAHOOIDS/M/o/MotorCity/4014/cgrav.html), which also
has the small-angle form. The round trip uses the vehicle set of Althoff and Wuersching,
CommonRoad: Vehicle Models (2020a), Table 6. The numbers below follow from those formulas; the
standard prints none.
"""

from __future__ import annotations

from dataclasses import replace
from math import asin, degrees, radians, tan

import pytest

from tests.reference.claims import DERIVED, SECOND_HAND, claim
from underset.errors import InputError
from underset.statics import AxleLift, LiftStep, axle_lift_height, combine_fits, fit_axle_lift

SOURCE = "ISO 10392:2011, 6.2"
MASS, WHEELBASE, RADIUS, HEIGHT = 1093.295, 2.57891, 0.300, 0.574869
CAR = AxleLift(MASS, WHEELBASE, RADIUS, RADIUS, "front", 490.154)
RAISED = (
    (0.400, 508.449, 8.923, 0.5782),
    (0.600, 518.029, 13.454, 0.5826),
    (0.8, 528.177, 18.072, 0.5891),
)


@pytest.mark.parametrize(("rise", "load", "angle", "small_angle"), RAISED)
def test_one_step_gives_the_height_back(
    rise: float, load: float, angle: float, small_angle: float
) -> None:
    height = axle_lift_height(LiftStep(load, rise=rise), CAR)
    assert degrees(asin(rise / WHEELBASE)) == pytest.approx(angle, abs=5e-4)
    claim(
        f"iso10392-step-{rise:g}",
        f"Front raised {rise:g} m: rear load {load} kg gives the CG height in m",
        source=SOURCE,
        where="6.2.4, tan form",
        seen=DERIVED,
        printed=0.5749,
        ours=height,
        tolerance=0.0005,
        reason="loads rounded to 0.001 kg, height to 0.1 mm",
    )
    wrong = RADIUS + WHEELBASE**2 * (load - 490.154) / (rise * MASS)
    claim(
        f"iso10392-small-angle-{rise:g}",
        f"Front raised {rise:g} m: the small-angle form is too high by 0.6 to 2.5 %",
        source="Technical note of 1997, small-angle form",
        where="cgrav.html",
        seen=SECOND_HAND,
        printed=small_angle,
        ours=wrong,
        tolerance=0.0002,
        reason="loads rounded to 0.001 kg, height to 0.1 mm",
    )
    assert abs(height - small_angle) > 0.003


def test_all_steps_together() -> None:
    steps = [LiftStep(load, rise=rise) for rise, load, _, _ in RAISED]
    fit = fit_axle_lift([*steps, *(replace(s, going_down=True) for s in reversed(steps))], CAR)
    claim(
        "iso10392-fit",
        "Least squares over three steps up and down: CG height in m",
        source=SOURCE,
        where="6.2.2 to 6.2.4",
        seen=DERIVED,
        printed=HEIGHT,
        ours=fit.height,
        tolerance=0.0001,
        reason="loads rounded to 0.001 kg",
    )
    assert fit.std_error is not None
    assert fit.std_error < 1e-5
    assert fit.outliers == ()
    assert fit.warnings == ()
    assert max(abs(r) for r in fit.residuals) < 0.01


def test_either_axle_raised_gives_the_same_height() -> None:
    """The rear raised: the front gains what the rear gained before."""
    back = replace(CAR, raised="rear", level_load=MASS - 490.154)
    steps = [LiftStep(load - 490.154 + back.level_load, rise=rise) for rise, load, _, _ in RAISED]
    rear = fit_axle_lift(steps, back)
    front = fit_axle_lift([LiftStep(load, rise=rise) for rise, load, _, _ in RAISED], CAR)
    pair = combine_fits(front, rear)
    claim(
        "iso10392-both-axles",
        "Front raised and rear raised, mean of both: CG height in m",
        source=SOURCE,
        where="6.2.5",
        seen=DERIVED,
        printed=HEIGHT,
        ours=pair.height,
        tolerance=0.0001,
        reason="loads rounded to 0.001 kg",
    )
    assert pair.agree
    assert pair.gap == pytest.approx(0.0, abs=1e-12)


def test_error_of_one_kilogram() -> None:
    step = LiftStep(518.029, rise=0.600)
    moved = axle_lift_height(replace(step, load=519.029), CAR) - axle_lift_height(step, CAR)
    claim(
        "iso10392-sensitivity",
        "Front raised 0.600 m: 1 kg of scale error moves the height by, in mm",
        source=SOURCE,
        where="dh/d(load) = L / (m tan angle)",
        seen=DERIVED,
        printed=9.86,
        ours=moved * 1000.0,
        tolerance=0.005,
        reason="rounded to 0.01 mm",
    )
    assert fit_axle_lift([step], CAR).sensitivity == pytest.approx(moved)


def test_course_note_formula_with_cotangent() -> None:
    """h = r + (b - L R_f/W) cot(angle), front raised, b from the CG to the rear axle."""
    rise, load = 0.600, 518.029
    b = WHEELBASE * (MASS - 490.154) / MASS
    angle = asin(rise / WHEELBASE)
    note = RADIUS + (b - WHEELBASE * (MASS - load) / MASS) / tan(angle)
    claim(
        "course-note-cotangent",
        "Front raised 0.600 m, course note's form with the load under the raised axle: height in m",
        source='Course note "The height above ground of CG"',
        where="h = r + (b - L R_f/W) cot(angle)",
        seen=SECOND_HAND,
        printed=note,
        ours=axle_lift_height(LiftStep(load, rise=rise), CAR),
        tolerance=1e-9,
        reason="the same formula in other letters",
    )


def test_second_round_trip() -> None:
    """Course notes 07_04 (studylib.net/doc/15091818/07_04), which list ISO 10392 and ISO 8855."""
    lift = AxleLift(1500.0, 2.700, 0.0001, 0.0001, "rear", 900.0)
    height = axle_lift_height(LiftStep(930.39, rise=0.600), lift) - 0.0001
    assert degrees(asin(0.6 / 2.7)) == pytest.approx(12.840, abs=5e-4)
    claim(
        "course-notes-0704",
        "1,500 kg, wheelbase 2.700 m, rear raised 0.600 m, front 900 to 930.39 kg: height over the "
        "axle line in m",
        source="Course notes 07_04, formula sheet after ISO 10392",
        where="L (F' - F) / (W tan t)",
        seen=DERIVED,
        printed=0.240,
        ours=height,
        tolerance=0.0001,
        reason="load rounded to 0.01 kg",
    )
    more = axle_lift_height(LiftStep(930.8, rise=0.600), lift) - 0.0001
    claim(
        "course-notes-0704-sensitivity",
        "The same with 0.41 kg more on the scale: height over the axle line in m",
        source="Course notes 07_04, formula sheet after ISO 10392",
        where="sensitivity",
        seen=DERIVED,
        printed=0.2432,
        ours=more,
        tolerance=0.0001,
        reason="rounded to 0.1 mm",
    )


def test_misprinted_textbook_example_is_not_followed() -> None:
    """Erratum: a vehicle-dynamics text (fliphtml5.com/wmjai/xhga/Vehicle_Dynamics/6) prints 0.34 m
    for m 2,000 kg, 18,000 N on the front axle, 30 degrees, a1 1.10 m, L 2.30 m, R 0.30 m. Its own
    formula gives 1.88 m."""
    gravity = 9.81
    level = 2000.0 * (2.30 - 1.10) / 2.30
    lift = AxleLift(2000.0, 2.30, 0.30, 0.30, "rear", level)
    ours = axle_lift_height(LiftStep(18000.0 / gravity, angle=radians(30.0)), lift)
    claim(
        "misprint-0.34",
        "A textbook's example that prints 0.34 m: its formula gives, in m",
        source="Vehicle Dynamics (fliphtml5.com/wmjai/xhga), example in the first chapter",
        where="page 6, formula page 5",
        seen=SECOND_HAND,
        printed=1.88,
        ours=ours,
        tolerance=0.005,
        reason="rounded to 10 mm; the printed 0.34 m is a slip",
    )
    assert abs(ours - 0.34) > 1.0


def test_axle_loads_that_do_not_add_up_are_refused() -> None:
    with pytest.raises(InputError, match=r"sum of axle loads: received 1099\.0"):
        fit_axle_lift([LiftStep(518.0, rise=0.6, raised_load=581.0)], CAR)
    fitted = fit_axle_lift([LiftStep(518.029, rise=0.6, raised_load=575.266)], CAR)
    assert fitted.height == pytest.approx(HEIGHT, abs=1e-4)
