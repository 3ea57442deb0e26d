"""Figures worked out by hand, one for each case of a rule, and what each refusal tells."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from math import asin, cos, inf, nan, pi, radians, sin, tan
from random import Random

import pytest

from tests.refusals import told_by
from underset.errors import InputError
from underset.statics import (
    AxleLift,
    Item,
    LiftStep,
    StandLimits,
    axle_lift_height,
    carriage_shift,
    combine_fits,
    compare_loads,
    contact_loads,
    even_loads,
    fit_axle_lift,
    forecast,
    front_share,
    hull,
    lean_to_tip,
    load_forms,
    load_spans,
    margin,
    mean_range,
    slip_force,
    split_limits,
    stand_demands,
    tip_force,
    total,
    unload_push,
    unloading_height,
    warp_pattern,
    within,
)

PADS = ((0.8, 0.6), (0.8, -0.6), (-0.8, 0.6), (-0.8, -0.6))
LINE = ((0.8, 0.0), (0.3, 0.0), (-0.3, 0.0), (-0.8, 0.0))

# --- raising an axle ------------------------------------------------------------------------------

MASS, WHEELBASE, HEIGHT, RADIUS, REAR = 1500.0, 2.7, 0.58, 0.31, 600.0
LIFT = AxleLift(MASS, WHEELBASE, RADIUS, RADIUS, "front", REAR)


def step(rise: float, error: float = 0.0, down: bool = False) -> LiftStep:
    """What the lower axle weighs when the CG stands at HEIGHT."""
    load = REAR + MASS * (HEIGHT - RADIUS) * tan(asin(rise / WHEELBASE)) / WHEELBASE
    return LiftStep(load + error, rise=rise, going_down=down)


@pytest.mark.parametrize("raised", ["front", "rear"])
def test_a_rise_is_counted_from_level_on_wheels_of_any_size(raised: str) -> None:
    """The axle rises by L (sin(level + turn) - sin(level)) when it is turned up from level."""
    lift = AxleLift(MASS, WHEELBASE, 0.30, 0.36, raised, 700.0)  # type: ignore[arg-type]
    level = asin((-0.06 if raised == "front" else 0.06) / WHEELBASE)
    turn = radians(12.0)
    rise = WHEELBASE * (sin(level + turn) - sin(level))
    by_angle = axle_lift_height(LiftStep(760.0, angle=turn), lift)
    assert axle_lift_height(LiftStep(760.0, rise=rise), lift) == pytest.approx(by_angle)


def test_what_is_told_of_one_low_step() -> None:
    assert fit_axle_lift([step(0.4)], LIFT).warnings == (
        "Raised by 400 mm at most: raise an axle by at least 600 mm, or the height rests on a small"
        " difference of loads.",
        "1 step(s): take at least three, up and down.",
        "Readings one way only: come back down the same steps to see friction.",
    )


def test_the_highest_step_counts_by_rise_or_by_angle() -> None:
    """0.6 m is enough, and so is the angle that has this sine."""
    both = [step(0.3), step(0.6), step(0.3, down=True)]
    assert fit_axle_lift(both, LIFT).warnings == ()
    angle = asin(0.6 / WHEELBASE)
    turned = replace(step(0.6), rise=None, angle=angle)
    assert fit_axle_lift([step(0.3), turned, step(0.3, down=True)], LIFT).warnings == ()
    less = replace(turned, angle=asin(0.59 / WHEELBASE))
    told = fit_axle_lift([step(0.3), less, step(0.3, down=True)], LIFT).warnings
    assert [t[:20] for t in told] == ["Raised by 590 mm at "]


@pytest.mark.parametrize(
    ("error", "tol", "told"),
    [
        (3.1, 0.0, True),  # 0.002 of 1,500 kg is 3 kg
        (2.9, 0.0, False),
        (-3.1, 0.0, True),
        (3.1, 2.0, False),  # within twice the scale's tolerance
        (4.1, 2.0, True),
    ],
)
def test_friction_is_told_beyond_the_scale(error: float, tol: float, told: bool) -> None:
    rises = (0.3, 0.45, 0.6)
    steps = [step(r) for r in rises] + [step(r, error, True) for r in reversed(rises)]
    fit = fit_axle_lift(steps, replace(LIFT, load_tol=tol))
    assert fit.hysteresis == pytest.approx(error)
    sign = "+" if error > 0.0 else "-"
    wanted = (
        f"Going down reads {sign}{abs(error):.1f} kg against going up: block the suspension, free"
        " the brakes.",
    )
    assert fit.warnings == (wanted if told else ())


@pytest.mark.parametrize(("tol", "named"), [(0.45, (2,)), (0.55, ())])
def test_an_outlier_lies_beyond_twice_the_scale(tol: float, named: tuple[int, ...]) -> None:
    """One reading 1 kg off a straight line: beyond 0.9 kg, within 1.1 kg."""
    steps = [step(0.3), step(0.4), step(0.5, 1.0), step(0.6), step(0.7)]
    assert fit_axle_lift(steps, replace(LIFT, load_tol=tol)).outliers == named


def test_a_few_readings_have_no_outlier() -> None:
    assert fit_axle_lift([step(0.3), step(0.6, 9.0)], LIFT).outliers == ()


def test_an_outlier_lies_beyond_three_and_a_half_robust_deviations() -> None:
    """Readings 0.2 kg off either way by turns: 3.5 times 1.4826 times 0.2 kg is 1.04 kg."""
    rises = (0.30, 0.36, 0.42, 0.48, 0.54, 0.60, 0.66, 0.72)
    for off, named in ((0.8, ()), (1.4, (3,))):
        errors = [0.2 if i % 2 else -0.2 for i in range(8)]
        errors[3] = off
        steps = [step(r, e) for r, e in zip(rises, errors, strict=True)]
        assert fit_axle_lift(steps, LIFT).outliers == named


def test_wheels_may_differ_by_less_than_a_fifth_of_the_wheelbase() -> None:
    lift = AxleLift(MASS, WHEELBASE, 0.30, 0.50, "front", REAR)
    assert axle_lift_height(LiftStep(700.0, rise=0.6), lift) > 0.0
    with pytest.raises(InputError, match="wheel radii"):
        axle_lift_height(LiftStep(700.0, rise=0.6), replace(lift, radius_rear=0.85))


def test_three_readings_have_a_standard_error_and_two_have_none() -> None:
    assert fit_axle_lift([step(0.3), step(0.6)], LIFT).std_error == pytest.approx(0.0, abs=1e-9)
    assert fit_axle_lift([step(0.6)], LIFT).std_error is None


def test_the_mean_of_two_fits_needs_no_error() -> None:
    one = replace(fit_axle_lift([step(0.6)], LIFT), height=0.6)
    pair = combine_fits(one, replace(one, height=0.5))
    assert (pair.height, pair.gap, pair.agree) == (pytest.approx(0.55), pytest.approx(0.1), None)


# --- readings against a forecast ------------------------------------------------------------------


@pytest.mark.parametrize(("off", "fits"), [(39.0, True), (41.0, False)])
def test_warp_may_be_off_by_what_four_gauges_may(off: float, fits: bool) -> None:
    """Warp of a rectangle is (LF - RF - LR + RR) / 4: four gauges off by 40 N move it by 40 N."""
    even = tuple(within(1000.0, 1000.0) for _ in range(4))
    expected = forecast(PADS, even, within(4000.0, 0.0), (within(0.5, 0.5),) * 2, 0.0)
    readings = (1000.0 + off, 1000.0 - off, 1000.0 - off, 1000.0 + off)
    found = compare_loads(PADS, readings, expected, 40.0)
    assert found.fits is fits
    assert [m.what for m in found.misfits] == ([] if fits else ["warp"])


def test_misfits_are_told_total_first() -> None:
    """Strains grow from total to warp; what is told first is what explains the rest."""
    expected = forecast(
        PADS, tuple(within(1000.0, 1e6) for _ in range(4)), within(4000.0, 100.0),
        (within(0.5, 1e-3), within(0.5, 1e-4)), 0.001,
    )  # fmt: skip
    found = compare_loads(PADS, (1300.0, 1000.0, 950.0, 900.0), expected)
    assert [m.what for m in found.misfits] == ["total", "axle", "side", "warp"]
    strains = [m.strain for m in found.misfits]
    assert strains == sorted(strains)


# --- pads that just touch -------------------------------------------------------------------------


def test_pads_that_just_touch_are_no_tipping() -> None:
    """One diagonal raised by W / 2k carries all, the other just touches with nothing on it.

    Rounding then says now that it presses, now that it does not; both are the same loads.
    """
    draw = Random(1)
    for _ in range(500):
        weight, k = draw.uniform(5e3, 3e4), draw.uniform(3e5, 2e6)
        up = weight / (2.0 * k)
        loads = contact_loads(PADS, weight, (0.0, 0.0), (k,) * 4, (up, 0.0, 0.0, up))
        assert loads is not None
        assert loads == pytest.approx((weight / 2.0, 0.0, 0.0, weight / 2.0), abs=1e-3)


def test_twelve_supports_and_no_more() -> None:
    ring = tuple((cos(k), sin(k)) for k in range(13))
    weight = (0.5, 0.2)
    assert contact_loads(ring[:12], 1000.0, weight, (1e6,) * 12, (0.0,) * 12) is not None
    with pytest.raises(InputError, match="at most 12 supports"):
        contact_loads(ring, 1000.0, weight, (1e6,) * 13, (0.0,) * 13)


def test_how_stiff_all_springs_are_alike_changes_no_share() -> None:
    soft, hard = load_forms(PADS, (1e-3,) * 4), load_forms(PADS, (1e6,) * 4)
    for a, b in zip(soft, hard, strict=True):
        assert a == pytest.approx(b)


def test_no_unevenness_moves_load_where_a_pad_of_each_diagonal_is_empty() -> None:
    for load, (low, high) in zip((0.0, 0.0, 500.0, 500.0),
                                 load_spans(PADS, (0.0, 0.0, 500.0, 500.0), 100.0),
                                 strict=True):  # fmt: skip
        assert (low, high) == pytest.approx((load, load))


def test_an_edge_met_at_an_angle_tips_later() -> None:
    """CG 0.5 m from the front edge, 1.1 from the rear, 0.4 from the left and 0.8 from the right.

    At a push of angle t toward the front and to the left: W 0.5 / (h cos t) or W 0.4 / (h sin t).
    """
    polygon, at = hull(PADS), (0.3, 0.2)
    for t, arm in ((0.2, 0.5 / cos(0.2)), (1.2, 0.4 / sin(1.2)), (-1.2, 0.8 / sin(1.2)),
                   (pi - 0.2, 1.1 / cos(0.2))):  # fmt: skip
        assert tip_force(polygon, at, 1000.0, 2.0, t) == pytest.approx(1000.0 * arm / 2.0)


# --- ledger ---------------------------------------------------------------------------------------


def test_an_entry_of_no_mass_moves_nothing() -> None:
    car = Item("car", 1000.0, 0.0, (1.0, 0.0, 0.5))
    nothing = Item("nothing", 0.0, 0.0, (9.0, 0.0, 0.5), (1.0, 0.0, 0.0))
    assert total([car, nothing]) == total([car])


def test_however_light_it_weighs_something() -> None:
    assert total([replace(CAR, mass=0.25)]).mass_low == 0.25


# --- refusals -------------------------------------------------------------------------------------

CAR = Item("car", 1000.0, 0.0, (0.0, 0.0, 0.5))
FIRM = (1e6,) * 4
EVEN = forecast(
    PADS, (within(1.0, 0.0),) * 4, within(4.0, 0.0), (within(0.5, 0.0),) * 2, 0.0
)  # fmt: skip
REFUSED: tuple[tuple[Callable[[], object], str, object, str, str], ...] = (
    (lambda: total([replace(CAR, mass_tol=1001.0)]), "mass of car", "1000.0 ± 1001.0 kg",
     "the tolerance must lie between 0 and the mass itself",
     "Give the middle of the possible range and half its width."),
    (lambda: total([CAR, Item("off", -1000.0, 0.0, (0.0, 0.0, 0.5))]), "total mass", 0.0,
     "must be more than 0 kg even at the least of every tolerance",
     "Check the masses and tolerances of the parts taken off."),
    (lambda: mean_range([CAR], (inf, 0.0, 0.0, 0.0)), "place of an item", inf,
     "must be a finite number", "Check the ledger."),
    (lambda: total([replace(CAR, place_tol=(-0.1, 0.0, 0.0))]), "tolerance of a place", [-0.1],
     "must be finite and 0 or more, in m", ""),
    (lambda: total([replace(CAR, place_tol=(inf, 0.0, 0.0))]), "tolerance of a place", [inf],
     "must be finite and 0 or more, in m", ""),
    (lambda: compare_loads(PADS, (1.0,) * 3, EVEN), "measured loads", 3,
     "four readings: LF, RF, LR, RR", ""),
    (lambda: compare_loads(PADS, (1.0,) * 4, EVEN, inf), "reading tolerance", inf,
     "must be 0 N or more", ""),
    (lambda: compare_loads(PADS, (1.0,) * 4, EVEN, -1.0), "reading tolerance", -1.0,
     "must be 0 N or more", ""),
    (lambda: compare_loads(PADS, (1.0, 1.0, 1.0, -1.0), EVEN), "measured load", -1.0,
     "a pad pushes up with 0 N or more", "Zero the gauge."),
    (lambda: compare_loads(PADS, (1.0, 1.0, 1.0, inf), EVEN), "measured load", inf,
     "a pad pushes up with 0 N or more", "Zero the gauge."),
    (lambda: compare_loads(PADS, (1.0,) * 4, EVEN, 1.0), "measured loads", (1.0,) * 4,
     "must add up to more than the gauges can be wrong by",
     "Raise the vehicle until its tyres are off the floor."),
    (lambda: warp_pattern(PADS[:3]), "pads", 3, "warp is defined for exactly four pads", ""),
    (lambda: warp_pattern(LINE), "pads", LINE, "must not all stand in one line",
     "Check the places of the lifting points."),
    (lambda: load_forms(LINE), "pads", LINE, "must not all stand in one line",
     "Check the places of the lifting points."),
    (lambda: even_loads(LINE, 1.0, (0.0, 0.0)), "pads", LINE, "must not all stand in one line",
     "Check the places of the lifting points."),
    (lambda: contact_loads(PADS, 0.0, (0.0, 0.0), FIRM, (0.0,) * 4), "weight", 0.0,
     "must be more than 0 N", ""),
    (lambda: contact_loads(PADS, 1.0, (0.0, 0.0), None, (0.0,) * 4), "stiffness", None,
     "heights of pads need their stiffness in N/m", ""),
    (lambda: load_forms(PADS, (1.0,) * 3), "stiffness", 3, "one value for each of 4 pads", ""),
    (lambda: load_forms(PADS, (1.0, 1.0, 1.0, inf)), "stiffness", inf,
     "must be finite and more than 0 N/m", ""),
    (lambda: load_forms(PADS, (1.0, 1.0, 1.0, 0.0)), "stiffness", 0.0,
     "must be finite and more than 0 N/m", ""),
    (lambda: unloading_height(PADS, (1.0,) * 4, FIRM, 0.0), "twist stiffness", 0.0,
     "must be more than 0, or inf where it is rigid", ""),
    (lambda: unloading_height(PADS, (1.0,) * 4, (1e6, 1e6, 1e6, -1.0), 1e6), "stiffness", -1.0,
     "must be more than 0, or inf where it is rigid", ""),
    (lambda: unloading_height(PADS, (1.0,) * 4, (inf,) * 4, inf), "stiffness", inf,
     "pads and body cannot all be rigid: the loads would have no bound",
     "Give the stiffness of the arms or of the body."),
    (lambda: stand_demands(PADS, 1.0, (0.0, 0.0), StandLimits(front_share=(0.6, 0.4))),
     "front share limits", (0.6, 0.4), "two parts of 1, the smaller first", ""),
    (lambda: carriage_shift(2.6, 2.6, 0.5), "carriage height difference", 2.6,
     "must be less than the span of 2.6 m", ""),
    (lambda: margin((), (0.0, 0.0)), "support polygon", (), "needs at least one support", ""),
    (lambda: lean_to_tip(PADS, (0.0, 0.0), 0.0), "CG height above the pads", 0.0,
     "must be more than 0 m", ""),
    (lambda: slip_force(1.0, -0.1), "friction", -0.1, "must be 0 or more", ""),
    (lambda: front_share((0.0,) * 4), "pad loads", (0.0,) * 4,
     "must add up to more than nothing", ""),
    (lambda: split_limits(0.9), "split", 0.9,
     "the larger part divided by the smaller is 1 or more", ""),
    (lambda: fit_axle_lift([], LIFT), "steps", 0, "at least one step with one axle raised", ""),
    (lambda: fit_axle_lift([LiftStep(640.0, angle=pi / 4.0)], LIFT), "angle", pi / 4.0,
     "must lie between 0 and pi/4 rad", "Give it in rad, from level."),
    (lambda: fit_axle_lift([LiftStep(640.0)], LIFT), "step", LiftStep(640.0),
     "needs an angle or a rise", "Measure one of them."),
    (lambda: fit_axle_lift([step(0.6)], replace(LIFT, level_load=1500.0)), "level load", 1500.0,
     "one axle carries less than the whole mass of 1500 kg",
     "Check that axle load and mass were not swapped, and their units."),
    (lambda: fit_axle_lift([LiftStep(500.0, rise=0.6)], LIFT), "CG height",
     pytest.approx(RADIUS + WHEELBASE * -100.0 / (MASS * tan(asin(0.6 / WHEELBASE)))),
     "these loads put it below the floor: the lower axle must gain load as the other rises",
     "Check which axle was raised and which was weighed."),
)  # fmt: skip


@pytest.mark.parametrize(("call", "field", "value", "allowed", "remedy"), REFUSED)
def test_a_refusal_tells_field_value_and_what_may_stand_there(
    call: Callable[[], object], field: str, value: object, allowed: str, remedy: str
) -> None:
    assert told_by(call) == (field, value, allowed, remedy)


def test_a_push_at_the_height_of_the_pads_empties_none() -> None:
    found = unload_push(PADS, (1.0,) * 4, 0.0)
    assert (found.force, found.pad) == (inf, -1)


def test_a_place_that_is_no_number_is_refused() -> None:
    with pytest.raises(InputError, match="place of an item"):
        total([replace(CAR, place=(nan, 0.0, 0.0))])
