"""CG height by raising one axle, after ISO 10392: repeated steps, least squares in tan(angle).

With one axle raised so that the line through the wheel centres stands at an angle theta, the other
(lower) axle carries W(theta) = W_0 + m h' tan(theta) / L, exactly linear in tan(theta), whether
the front or the rear is raised; h' is the CG's height above that line. The small-angle form, which
takes sin for tan, is up to 2.5 % high at 18 degrees and is not offered.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from math import asin, degrees, inf, isfinite, pi, sin, sqrt, tan
from statistics import median
from typing import Literal

from underset.errors import InputError
from underset.errors import said as told

LEAST_RISE = 0.6  # m; a van maker's body-builder manual (2015), p. 269
LEAST_STEPS = 3  # ISO 10392:2011, 6.2.2 to 6.2.3


@dataclass(frozen=True, slots=True)
class AxleLift:
    """What stays the same over the steps: mass (kg), wheelbase, static tyre radii (m), axle raised.

    `level_load` is the lower axle's load in kg when the vehicle stands level; `load_tol` what the
    scale may be wrong by.
    """

    mass: float
    wheelbase: float
    radius_front: float
    radius_rear: float
    raised: Literal["front", "rear"]
    level_load: float
    load_tol: float = 0.0


@dataclass(frozen=True, slots=True)
class LiftStep:
    """One step: load of the lower axle in kg at an `angle` (rad from level) or wheel `rise` (m).

    `raised_load` is the raised axle's load where it was read as well; `going_down` marks the
    readings of the way back.
    """

    load: float
    angle: float | None = None
    rise: float | None = None
    raised_load: float | None = None
    going_down: bool = False


@dataclass(frozen=True, slots=True)
class HeightFit:
    """CG height above the floor in m, with its standard error (None below three readings).

    `residuals` in kg and `outliers` (indices) belong to the steps in the order given, without the
    level reading; `hysteresis` is the mean load going down minus that going up, in kg, at the same
    angle. `sensitivity` is m of height per kg of scale error at the highest step. `warnings` are
    sentences for the person who weighs.
    """

    height: float
    std_error: float | None
    above_axles: float
    slope: float
    level_load: float
    residuals: tuple[float, ...]
    outliers: tuple[int, ...]
    hysteresis: float | None
    sensitivity: float
    per_kg: tuple[float, float] = (0.0, 0.0)
    """m of height per kg that the level reading is off, and that every step is off at its worst."""
    warnings: tuple[str, ...] = field(default=())


@dataclass(frozen=True, slots=True)
class HeightPair:
    """Mean CG height in m of two fits, the front's less the rear's, and whether they agree."""

    height: float
    gap: float
    agree: bool | None


def axle_lift_height(step: LiftStep, lift: AxleLift) -> float:
    """CG height in m from one step: h = r + L (W' - W) / (m tan theta), exact.

    r is the wheel-centre height at the CG's place along the vehicle. Source: ISO 10392:2011, 6.2.
    """
    _check(lift)
    _check_step(step, lift)
    rise = _tangent(step, lift) - _level_tangent(lift)
    above = lift.wheelbase * (step.load - lift.level_load) / (lift.mass * rise)
    return _checked_height(_radius(lift) + above)


def fit_axle_lift(steps: Sequence[LiftStep], lift: AxleLift) -> HeightFit:
    """CG height from repeated steps, up and down: least squares of load on tan(angle).

    The level reading is one of the points. Outliers are told apart by a line through medians
    (Theil 1950, Sen 1968), which one bad reading does not pull, and stay in the fit: leave them
    out and fit again if a cause is found. Raises InputError for loads that cannot be.
    """
    _check(lift)
    for step in steps:
        _check_step(step, lift)
    if not steps:
        raise InputError("steps", 0, "at least one step with one axle raised")
    tangents = [_level_tangent(lift), *(_tangent(step, lift) for step in steps)]
    loads = [lift.level_load, *(step.load for step in steps)]
    slope, intercept, slope_error = _least_squares(tangents, loads)
    scale = lift.wheelbase / lift.mass
    error = None if slope_error is None else scale * slope_error
    left = [w - intercept - slope * t for t, w in zip(tangents, loads, strict=True)]
    steepest = max(tangents) - tangents[0]
    return HeightFit(
        height=_checked_height(_radius(lift) + scale * slope),
        std_error=error,
        above_axles=scale * slope,
        slope=slope,
        level_load=intercept + slope * tangents[0],
        residuals=tuple(left[1:]),
        outliers=_outliers(tangents, loads, lift),
        hysteresis=_hysteresis(steps, left[1:]),
        sensitivity=scale / steepest,
        per_kg=_per_kg(tangents, scale),
        warnings=_warnings(steps, lift, left[1:]),
    )


def combine_fits(front: HeightFit, rear: HeightFit) -> HeightPair:
    """Mean of the heights found with the front and with the rear axle raised, and their gap.

    Source: ISO 10392:2011, 6.2.5 (repeat lifting the other axle). They agree when the gap is
    within twice its standard error; None where a standard error is missing.
    """
    gap = front.height - rear.height
    if front.std_error is None or rear.std_error is None:
        return HeightPair((front.height + rear.height) / 2.0, gap, None)
    error = sqrt(front.std_error**2 + rear.std_error**2)
    return HeightPair((front.height + rear.height) / 2.0, gap, abs(gap) <= 2.0 * error + 1e-12)


def _tangent(step: LiftStep, lift: AxleLift) -> float:
    """Tangent of the angle of the line through the wheel centres, rise and angle told apart."""
    level = asin(_radius_step(lift) / lift.wheelbase)
    if step.angle is not None:
        return tan(level + step.angle)
    rise = 0.0 if step.rise is None else step.rise
    return tan(asin((rise + _radius_step(lift)) / lift.wheelbase))


def _level_tangent(lift: AxleLift) -> float:
    return tan(asin(_radius_step(lift) / lift.wheelbase))


def _radius_step(lift: AxleLift) -> float:
    """Height of the raised axle's wheel centre over the other's while level."""
    step = lift.radius_front - lift.radius_rear
    return step if lift.raised == "front" else -step


def _radius(lift: AxleLift) -> float:
    """Wheel-centre height at the CG's place: r_f and r_r in proportion to the axle loads."""
    share = lift.level_load / lift.mass
    lower, raised = lift.radius_rear, lift.radius_front
    if lift.raised == "rear":
        lower, raised = raised, lower
    return share * lower + (1.0 - share) * raised


def _least_squares(xs: Sequence[float], ys: Sequence[float]) -> tuple[float, float, float | None]:
    """(slope, intercept, standard error of the slope) of the line of y on x."""
    count = len(xs)
    mean_x, mean_y = sum(xs) / count, sum(ys) / count
    spread = sum((x - mean_x) ** 2 for x in xs)
    slope = sum((x - mean_x) * (y - mean_y) for x, y in zip(xs, ys, strict=True)) / spread
    intercept = mean_y - slope * mean_x
    if count < 3:
        return slope, intercept, None
    left = sum((y - intercept - slope * x) ** 2 for x, y in zip(xs, ys, strict=True))
    return slope, intercept, sqrt(left / (count - 2) / spread)


def _per_kg(tangents: Sequence[float], scale: float) -> tuple[float, float]:
    """How far one unit on the first reading moves the line's slope, and one on all the others."""
    mean = sum(tangents) / len(tangents)
    level, *steps = [abs(t - mean) for t in tangents]
    part = scale / sum((t - mean) ** 2 for t in tangents)
    return part * level, part * sum(steps)


def _outliers(xs: Sequence[float], ys: Sequence[float], lift: AxleLift) -> tuple[int, ...]:
    """Steps that lie off a median line by over 3.5 robust standard deviations and the scale's."""
    if len(xs) < 5:
        return ()
    points = list(zip(xs, ys, strict=True))
    slopes = [
        (y2 - y1) / (x2 - x1)
        for i, (x1, y1) in enumerate(points)
        for x2, y2 in points[i + 1 :]
        if abs(x2 - x1) > 1e-9
    ]
    slope = median(slopes)
    level = median(y - slope * x for x, y in points)
    left = [abs(y - level - slope * x) for x, y in points]
    bound = max(3.5 * 1.4826 * median(left), 2.0 * lift.load_tol, 1e-6 * lift.mass)
    return tuple(i for i, size in enumerate(left[1:]) if size > bound)


def _hysteresis(steps: Sequence[LiftStep], left: Sequence[float]) -> float | None:
    down = [r for step, r in zip(steps, left, strict=True) if step.going_down]
    up = [r for step, r in zip(steps, left, strict=True) if not step.going_down]
    if not down or not up:
        return None
    return sum(down) / len(down) - sum(up) / len(up)


def _warnings(steps: Sequence[LiftStep], lift: AxleLift, left: Sequence[float]) -> tuple[str, ...]:
    highest = max(lift.wheelbase * sin(_angle(step, lift)) for step in steps)
    said: list[str] = []
    if highest < LEAST_RISE - 1e-9:
        said.append(
            told(
                "Raised by {rise:.0f} mm at most: raise an axle by at least {least:.0f} mm, or the "
                "height rests on a small difference of loads.",
                rise=highest * 1000,
                least=LEAST_RISE * 1000,
            )
        )
    if len(steps) < LEAST_STEPS:
        said.append(
            told("{count} step(s): take at least three, up and down.", count=str(len(steps)))
        )
    gap = _hysteresis(steps, left)
    if gap is None:
        said.append("Readings one way only: come back down the same steps to see friction.")
    elif abs(gap) > max(2.0 * lift.load_tol, 0.002 * lift.mass):
        said.append(
            told(
                "Going down reads {gap:+.1f} kg against going up: block the suspension, free the "
                "brakes.",
                gap=gap,
            )
        )
    return tuple(said)


def _angle(step: LiftStep, lift: AxleLift) -> float:
    if step.angle is not None:
        return step.angle
    return asin((step.rise or 0.0) / lift.wheelbase)


def _check(lift: AxleLift) -> None:
    figures = {
        "mass": lift.mass,
        "wheelbase": lift.wheelbase,
        "front wheel radius": lift.radius_front,
        "rear wheel radius": lift.radius_rear,
        "level load": lift.level_load,
    }
    for name, value in figures.items():
        if not 0.0 < value < inf:
            raise InputError(name, value, "must be finite and more than 0")
    if lift.level_load >= lift.mass:
        raise InputError(
            "level load",
            lift.level_load,
            f"one axle carries less than the whole mass of {lift.mass:g} kg",
            "Check that axle load and mass were not swapped, and their units.",
        )
    if abs(_radius_step(lift)) >= 0.2 * lift.wheelbase:
        raise InputError("wheel radii", (lift.radius_front, lift.radius_rear), "nearly equal")


def _check_step(step: LiftStep, lift: AxleLift) -> None:
    if not 0.0 < step.load < lift.mass:
        raise InputError(
            "load of the lower axle",
            step.load,
            f"must lie between 0 and the whole mass of {lift.mass:g} kg",
            "Check which axle stands on the scale.",
        )
    if step.angle is None and step.rise is None:
        raise InputError("step", step, "needs an angle or a rise", "Measure one of them.")
    if step.rise is not None and not 0.0 < step.rise < 0.7 * lift.wheelbase:
        raise InputError("rise", step.rise, "must lie between 0 and 0.7 of the wheelbase, in m")
    if step.angle is not None and not 0.0 < step.angle < pi / 4.0:
        raise InputError(
            "angle", step.angle, "must lie between 0 and pi/4 rad", "Give it in rad, from level."
        )
    _check_both(step, lift)
    _check_raised(step, lift)


def _check_both(step: LiftStep, lift: AxleLift) -> None:
    if step.angle is None or step.rise is None:
        return
    expected = degrees(asin(step.rise / lift.wheelbase))
    if abs(degrees(step.angle) - expected) > 0.5:
        raise InputError(
            "angle",
            step.angle,
            f"a rise of {step.rise:g} m on this wheelbase is {expected:.2f} degrees: sin, not tan",
            "Give the one that was measured, or measure again.",
        )


def _check_raised(step: LiftStep, lift: AxleLift) -> None:
    if step.raised_load is None:
        return
    whole = step.load + step.raised_load
    if abs(whole - lift.mass) > max(2.0 * lift.load_tol, 1e-9 * lift.mass):
        raise InputError(
            "sum of axle loads",
            whole,
            f"must add up to the mass of {lift.mass:g} kg at every step",
            "Weigh again, or give the tolerance of the scale.",
        )


def _checked_height(height: float) -> float:
    if not (isfinite(height) and height > 0.0):
        raise InputError(
            "CG height",
            height,
            "these loads put it below the floor: the lower axle must gain load as the other rises",
            "Check which axle was raised and which was weighed.",
        )
    return height
