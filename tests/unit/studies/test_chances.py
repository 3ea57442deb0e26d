from __future__ import annotations

from dataclasses import replace

import pytest

from tests.judge_cases import plain_case, points, vehicle
from tests.sample_cases import case, searched
from underset.errors import InputError
from underset.geometry import Zone
from underset.planner.search import Limits, search
from underset.setting.evaluate import Case, evaluate
from underset.setting.result import Evaluation, Status
from underset.statics import Item
from underset.studies.chances import Chances, chances_of, wilson

CASE = plain_case()
JUDGED = search([CASE], Limits(choices=1)).ranked()[0].evaluation


def chance(found: Chances, name: str) -> float:
    return next(r.fails for r in found.rows if r.check == name)


def test_the_same_seed_gives_the_same_answer() -> None:
    assert chances_of(CASE, JUDGED, 500, 7) == chances_of(CASE, JUDGED, 500, 7)
    assert chances_of(CASE, JUDGED, 500, 7) != chances_of(CASE, JUDGED, 500, 8)


def test_what_holds_in_the_worst_corner_fails_in_no_draw() -> None:
    """The judge's worst corner bounds every draw of the same tolerances."""
    found = chances_of(CASE, JUDGED, 3000)
    stable = {c.name for c in JUDGED.checks if c.status in (Status.HOLDS, Status.WATCH)}
    for row in found.rows:
        if row.check in stable and row.check not in ("arm_reach", "point_on_pad"):
            assert row.fails == 0.0, row.check


@pytest.mark.parametrize(
    ("vehicle_id", "bay_id", "job"),
    [
        ("harbour-hatch", "north", "hatch-engine-out"),
        ("ferry-saloon", "north", "saloon-battery-down"),
        ("chandler-van", "yard", "chandler-unloaded-brakes"),
    ],
)
def test_usable_jobs_of_the_sample_fail_in_no_draw(vehicle_id: str, bay_id: str, job: str) -> None:
    judged = searched(vehicle_id, bay_id, job).ranked()[0].evaluation
    found = chances_of(case(vehicle_id, bay_id, job), judged, 2000)
    loads = [r for r in found.rows if r.check not in ("arm_reach", "point_on_pad")]
    assert [r.check for r in loads if r.fails] == []


def split_case(aft: float, tol: float) -> tuple[Case, Evaluation]:
    """A narrow split rule and a balance known to ± tol: the front share decides."""
    kerb = Item("kerb vehicle", 1240.0, 0.0, (aft, 0.0, 0.55), (tol, 0.0, 0.0))
    car = vehicle(kerb, point_sets=(points(-0.6, -2.0, zone=Zone(0.03, 0.025)),))
    made = replace(plain_case(car), bay=replace(CASE.bay, rated=3400.0, carriage_difference=0.0))
    setting = search([plain_case(car)], Limits(choices=1)).ranked()[0].evaluation.setting
    return made, evaluate(made, setting)


@pytest.mark.parametrize(("aft", "expected"), [(-1.16, 0.5), (-1.20, 0.25), (-1.12, 0.75)])
def test_a_known_chance_comes_out(aft: float, expected: float) -> None:
    """Front share over 0.6 where the CG lies ahead of 0.6 + 0.4 x 1.4 = 1.16 m: an even draw of
    ± 80 mm about it fails in half, and 40 mm aside in a quarter or three quarters.
    """
    made, judged = split_case(aft, 0.08)
    found = chances_of(made, judged, 8000)
    assert chance(found, "pad_split") == pytest.approx(expected, abs=0.02)
    row = next(r for r in found.rows if r.check == "pad_split")
    assert row.drivers[0].figure == "balance along of kerb vehicle"
    assert row.drivers[0].part > 0.9
    assert found.measure_next == "balance along of kerb vehicle"


def test_confidence_of_the_whole() -> None:
    """Against the roots of (p - x)^2 n = z^2 x (1 - x), which define the score interval."""
    made, judged = split_case(-1.16, 0.08)
    found = chances_of(made, judged, 2000)
    p, z2 = found.any_fails, 1.959964**2
    for x in found.confidence:
        assert (p - x) ** 2 * 2000 == pytest.approx(z2 * x * (1.0 - x))
    assert found.confidence[0] < p < found.confidence[1]
    assert p >= chance(found, "pad_split")


def test_what_never_failed_may_fail_yet() -> None:
    """Where nothing failed the score interval ends at z² / (n + z²)."""
    low, high = wilson(0.0, 400)
    assert low == 0.0
    assert high == pytest.approx(3.8415 / 403.8415, rel=1e-3)
    assert wilson(1.0, 400) == pytest.approx((1.0 - high, 1.0))


def test_a_part_off_and_the_same_part_on_are_one_figure() -> None:
    judged = searched("harbour-hatch", "north", "hatch-engine-out").ranked()[0].evaluation
    found = chances_of(case("harbour-hatch", "north", "hatch-engine-out"), judged, 400)
    figures = {d.figure for r in found.rows for d in r.drivers}
    assert not [f for f in figures if f.endswith(" off")]


def test_what_cannot_be_drawn_is_told() -> None:
    blind = replace(CASE, vehicle=replace(CASE.vehicle, kerb=None))
    with pytest.raises(InputError, match="mass and balance"):
        chances_of(blind, JUDGED)
    with pytest.raises(InputError, match="from 100"):
        chances_of(CASE, JUDGED, 5)
