"""The self-test: reference cases run again on the user's own machine, with the sample lift.

Each case names its published source; values worked out from a rule say so. It proves that this
installation computes what the tests of the project showed, nothing more.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from math import isclose, pi

from underset import statics
from underset.geometry import Arm, Teeth, Zone, arm_windows


@dataclass(frozen=True, slots=True)
class Case:
    """One reference case: what is computed, from which source, what must come out."""

    name: str
    source: str
    expected: tuple[float, ...]
    tolerance: float
    compute: Callable[[], Sequence[float]]


@dataclass(frozen=True, slots=True)
class Result:
    """What came out of one case."""

    case: Case
    ours: tuple[float, ...]
    passed: bool


_SQUARE = ((0.0, 0.5), (0.0, -0.5), (-1.6, 0.5), (-1.6, -0.5))
_WEDGE = ((0.0, 0.45), (0.0, -0.45), (-1.6, 0.6), (-1.6, -0.6))
_PIERS = ((3.0, 2.0), (3.0, -2.0), (-3.0, 2.0), (-3.0, -2.0))
_STIFF = (1e6,) * 4
_ARM = Arm((0.18, 1.30), -pi / 2, 1, -0.2618, 1.7453, 0.60, 1.15)

_WIDE = ((0.8, 0.75), (0.8, -0.75), (-0.8, 0.75), (-0.8, -0.75))
_CORNERS = (720.0, 584.0, 644.0, 607.0)


def _left_side(loads: Sequence[float]) -> tuple[float]:
    return (loads[0] + loads[2],)


def _first_window(teeth: Teeth) -> tuple[float, float]:
    first = arm_windows(_ARM, teeth, (0.0, 0.72), Zone(0.02, 0.02))[0]
    return first.low, first.high


CASES = (
    Case("axle loads to CG", "solved exercise: 5,800 and 6,500 N, 3.20 m", (1.691,), 1e-3,
         lambda: (statics.from_axles(5800.0, 6500.0, 3.20).aft.value,)),
    Case("load shift", "Pilot's Handbook: 7,800 lb, 81.5 to 80.5, 150 to 30", (65.0,), 1e-9,
         lambda: (statics.needed_shift(7800.0, -1.0, 150.0, 30.0),)),
    Case("rectangle, load off centre", "equal springs, worked out",
         (466.0, 434.0, 366.0, 334.0), 0.01,
         lambda: statics.even_loads(_SQUARE, 1600.0, (-0.7, 0.02))),
    Case("trapezoid, coupled", "equal springs, worked out", (462.80, 437.20, 367.07, 332.93), 0.01,
         lambda: statics.even_loads(_WEDGE, 1600.0, (-0.7, 0.02))),
    Case("6 x 4 piers, pull allowed", "engineers' forum, 54 / 29 / 21 / -4",
         (54.17, 29.17, 20.83, -4.17), 0.01,
         lambda: statics.even_loads(_PIERS, 100.0, (2.0, 1.0))),
    Case("6 x 4 piers, no pull", "Cranes and Derricks, after eq. 5.22",
         (58.33, 25.0, 16.67, 0.0), 0.01,
         lambda: statics.contact_loads(_PIERS, 100.0, (2.0, 1.0)) or ()),
    Case("one pad 5 mm high", "k delta / 4, worked out", (1250.0, -1250.0, -1250.0, 1250.0), 1.0,
         lambda: statics.warp_loads(_SQUARE, (0.005, 0.0, 0.0, 0.0), _STIFF, float("inf"))),
    Case("CG window up to 3,500 kg", "DGUV Information 208-015, section 3", (0.64, 0.96), 1e-9,
         lambda: statics.cg_window(1.5, 1.6)),
    Case("CG window above 3,500 kg", "DGUV Information 208-015, section 3", (0.5, 1.5), 1e-9,
         lambda: statics.cg_window(3.0, 2.0)),
    Case("cross weight", "suspension shop article", (0.5194, 24.75), 1e-4,
         lambda: (statics.cross_weight(_CORNERS), statics.cross_transfer(_CORNERS))),
    Case("push of 225 N at 1.0 m over 1.5 m", "moments, worked out", (150.0,), 1e-6,
         lambda: _left_side(statics.push_shift(_WIDE, 225.0, 1.0, pi / 2))),
    Case("a tooth's window", "projection of one line, worked out", (0.36574, 0.41902), 1e-5,
         lambda: _first_window(Teeth(0.7, 0.35))),
)  # fmt: skip


def run_cases() -> tuple[Result, ...]:
    """Every reference case, in order."""
    return tuple(_run(case) for case in CASES)


def _run(case: Case) -> Result:
    ours = tuple(float(x) for x in case.compute())
    passed = len(ours) == len(case.expected) and all(
        isclose(a, b, rel_tol=0.0, abs_tol=case.tolerance)
        for a, b in zip(ours, case.expected, strict=True)
    )
    return Result(case, ours, passed)


def run_sample(today: date) -> Result:
    """The sample lift planned: a usable setting with equilibrium residuals near zero."""
    from underset.app.planning import Wish, make_plan
    from underset.app.workshops import open_workshop

    planned = make_plan(open_workshop(None), Wish("harbour-hatch", remedies=False), today)
    best = planned.plan.best
    left = [abs(x) for s in best.states for x in _residual(s.residuals)] if best else [1.0]
    found = 1.0 if planned.plan.outcome.value == "found" and best and best.usable else 0.0
    case = Case("sample lift", "usable setting, residuals in N and N m", (1.0, 0.0), 1e-6, tuple)
    ours = (found, max(left))
    return Result(case, ours, found == 1.0 and max(left) < case.tolerance)


def _residual(residuals: object) -> tuple[float, float, float]:
    return (
        getattr(residuals, "force", 1.0),
        getattr(residuals, "moment_x", 1.0),
        getattr(residuals, "moment_y", 1.0),
    )
