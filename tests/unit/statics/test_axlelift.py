"""CG height by raising one axle: fit, residuals, outliers, warnings, refusals."""

from __future__ import annotations

import random
from dataclasses import replace
from math import asin, pi, radians, sin, sqrt, tan

import pytest

from underset.errors import InputError
from underset.statics import AxleLift, LiftStep, axle_lift_height, combine_fits, fit_axle_lift

MASS, WHEELBASE, HEIGHT, RADIUS, REAR = 1500.0, 2.7, 0.58, 0.31, 600.0
LIFT = AxleLift(MASS, WHEELBASE, RADIUS, RADIUS, "front", REAR)
RISES = (0.3, 0.45, 0.6, 0.75)


def reading(rise: float, error: float = 0.0) -> float:
    """Load of the lower axle of a car whose CG stands at HEIGHT."""
    return REAR + MASS * (HEIGHT - RADIUS) * tan(asin(rise / WHEELBASE)) / WHEELBASE + error


def both_ways(errors: tuple[float, ...] = (0.0,) * 8) -> list[LiftStep]:
    up = [LiftStep(reading(r, e), rise=r) for r, e in zip(RISES, errors[:4], strict=True)]
    down = [
        LiftStep(reading(r, e), rise=r, going_down=True)
        for r, e in zip(reversed(RISES), errors[4:], strict=True)
    ]
    return up + down


def test_exact_readings_give_the_height_back() -> None:
    fit = fit_axle_lift(both_ways(), LIFT)
    assert fit.height == pytest.approx(HEIGHT)
    assert fit.above_axles == pytest.approx(HEIGHT - RADIUS)
    assert fit.level_load == pytest.approx(REAR)
    assert fit.residuals == pytest.approx((0.0,) * 8, abs=1e-9)
    assert fit.hysteresis == pytest.approx(0.0, abs=1e-9)
    assert (fit.outliers, fit.warnings) == ((), ())


def test_angle_and_rise_are_the_same_step() -> None:
    by_rise = axle_lift_height(LiftStep(640.0, rise=0.6), LIFT)
    by_angle = axle_lift_height(LiftStep(640.0, angle=asin(0.6 / WHEELBASE)), LIFT)
    assert by_rise == pytest.approx(by_angle)


def test_standard_error_covers_the_truth() -> None:
    """Over many weighings with noise the error stays within two standard errors mostly."""
    draw = random.Random(4)
    inside = 0
    for _ in range(400):
        errors = tuple(draw.gauss(0.0, 0.8) for _ in range(8))
        lift = replace(LIFT, level_load=REAR + draw.gauss(0.0, 0.8))
        fit = fit_axle_lift(both_ways(errors), lift)
        assert fit.std_error is not None
        inside += abs(fit.height - HEIGHT) <= 2.0 * fit.std_error
    assert 0.88 < inside / 400 < 0.97  # Student's t with 7 degrees of freedom: 0.914


def test_one_bad_reading_is_named_and_left_in() -> None:
    errors = (0.3, -0.2, 0.1, 0.0, -0.3, 9.0, 0.2, 0.1)
    fit = fit_axle_lift(both_ways(errors), LIFT)
    assert fit.outliers == (5,)
    assert len(fit.residuals) == 8
    assert fit.height != pytest.approx(HEIGHT, abs=0.003)


def test_noise_within_the_scale_is_no_outlier() -> None:
    errors = (0.0, 0.0, 0.0, 0.0, 0.0, 0.8, 0.0, 0.0)
    assert fit_axle_lift(both_ways(errors), LIFT).outliers == (5,)
    assert fit_axle_lift(both_ways(errors), replace(LIFT, load_tol=0.5)).outliers == ()


def test_friction_shows_as_hysteresis() -> None:
    errors = (0.0, 0.0, 0.0, 0.0, 4.0, 4.0, 4.0, 4.0)
    fit = fit_axle_lift(both_ways(errors), LIFT)
    assert fit.hysteresis == pytest.approx(4.0)
    assert any("+4.0 kg against going up" in warning for warning in fit.warnings)


def test_low_rise_and_few_steps_and_one_way_are_told() -> None:
    fit = fit_axle_lift([LiftStep(reading(0.4), rise=0.4)], LIFT)
    assert fit.std_error is None
    assert fit.hysteresis is None
    assert any("at least 600 mm" in warning for warning in fit.warnings)
    assert any("take at least three" in warning for warning in fit.warnings)
    assert any("come back down" in warning for warning in fit.warnings)
    high = fit_axle_lift([LiftStep(reading(0.6), rise=0.6)], LIFT)
    assert not any("600 mm" in warning for warning in high.warnings)


@pytest.mark.parametrize("raised", ["front", "rear"])
def test_wheels_of_different_size(raised: str) -> None:
    """A model car turned as a rigid body about its lower wheel centre, loads by moments."""
    front, rear, x, height = 0.30, 0.36, 1.05, 0.62
    centres = {"front": (0.0, front), "rear": (-WHEELBASE, rear)}
    low, high = ("rear", "front") if raised == "front" else ("front", "rear")
    span = sqrt(WHEELBASE**2 + (front - rear) ** 2)

    def load(tilt: float) -> float:
        def turned(point: tuple[float, float]) -> float:
            px, pz = point[0] - centres[low][0], point[1] - centres[low][1]
            sign = 1.0 if raised == "front" else -1.0
            return px * (1 - 2 * sin(tilt / 2) ** 2) - sign * pz * sin(tilt)

        return MASS * (1.0 - turned((-x, height)) / turned(centres[high]))

    lift = AxleLift(MASS, span, front, rear, raised, load(0.0))  # type: ignore[arg-type]
    steps = [LiftStep(load(radians(a)), angle=radians(a)) for a in (6.0, 10.0, 14.0)]
    fit = fit_axle_lift(steps, lift)
    assert fit.height == pytest.approx(height, abs=2e-4)
    more = axle_lift_height(replace(steps[-1], load=steps[-1].load + 1.0), lift)
    assert fit.sensitivity == pytest.approx(more - axle_lift_height(steps[-1], lift))
    assert axle_lift_height(steps[-1], lift) == pytest.approx(height, abs=2e-4)


def test_fits_of_both_axles_are_compared() -> None:
    front = fit_axle_lift(both_ways((0.2, -0.2, 0.1, 0.0, -0.1, 0.1, 0.0, -0.2)), LIFT)
    near = replace(front, height=front.height + 0.001)
    far = replace(front, height=front.height + 0.05)
    assert combine_fits(front, near).agree
    assert combine_fits(front, near).height == pytest.approx(front.height + 0.0005)
    assert combine_fits(front, far).agree is False
    assert combine_fits(front, far).gap == pytest.approx(-0.05)
    assert combine_fits(front, replace(near, std_error=None)).agree is None
    one = replace(front, std_error=0.003)
    for gap, agree in ((0.0099, True), (0.0101, False)):
        other = replace(one, height=one.height + gap, std_error=0.004)
        assert combine_fits(one, other).agree is agree


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"mass": 0.0}, "mass"),
        ({"wheelbase": float("nan")}, "wheelbase"),
        ({"radius_rear": -0.3}, "rear wheel radius"),
        ({"radius_front": 0.9}, "wheel radii"),
        ({"level_load": 1500.0}, "level load"),
    ],
)
def test_vehicles_that_cannot_be_are_refused(change: dict[str, float], field: str) -> None:
    with pytest.raises(InputError, match=field):
        fit_axle_lift(both_ways(), replace(LIFT, **change))


@pytest.mark.parametrize(
    ("step", "field"),
    [
        (LiftStep(1600.0, rise=0.6), "load of the lower axle"),
        (LiftStep(640.0), "step"),
        (LiftStep(640.0, rise=0.0), "rise"),
        (LiftStep(640.0, rise=2.6), "rise"),
        (LiftStep(640.0, rise=600.0), "rise"),
        (LiftStep(640.0, angle=13.0), "angle"),
        (LiftStep(640.0, angle=pi / 3.0), "angle"),
        (LiftStep(640.0, rise=0.6, angle=radians(20.0)), "sin, not tan"),
        (LiftStep(640.0, rise=0.6, raised_load=800.0), "sum of axle loads"),
        (LiftStep(500.0, rise=0.6), "below the floor"),
    ],
)
def test_steps_that_cannot_be_are_refused(step: LiftStep, field: str) -> None:
    with pytest.raises(InputError, match=field):
        fit_axle_lift([step], LIFT)


def test_no_step_is_refused() -> None:
    with pytest.raises(InputError, match="at least one step"):
        fit_axle_lift([], LIFT)


def test_loads_of_both_axles_within_the_scale_are_taken() -> None:
    step = LiftStep(reading(0.6), rise=0.6, raised_load=MASS - reading(0.6) + 1.5)
    with pytest.raises(InputError, match="sum of axle loads"):
        fit_axle_lift([step], LIFT)
    assert fit_axle_lift([step], replace(LIFT, load_tol=1.0)).height == pytest.approx(HEIGHT)
