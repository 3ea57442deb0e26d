"""Shortcut of the parking check against the whole search."""

from __future__ import annotations

from dataclasses import replace
from random import Random

from tests.judge_cases import bay, points
from underset.geometry import Free
from underset.setting.place import Stop, can_reach, placement, served_by


def test_trying_one_swing_first_changes_no_answer() -> None:
    """10,000 stops, swings on and between teeth and beyond the limits, with and without teeth."""
    rng, base, seen = Random(5), bay(), set()
    for place in (base, replace(base, restraint=Free())):
        for _ in range(1250):
            heading = rng.choice(("nose-in", "tail-in"))
            ahead = 1.0 if heading == "nose-in" else -1.0
            stop = Stop(
                heading, ahead * rng.uniform(0.8, 1.8), rng.gauss(0, 0.05), rng.gauss(0, 0.02)
            )
            car = points(-rng.uniform(0.5, 0.7), -2.08, rng.uniform(0.6, 0.75), 0.21)
            for arm, point in zip(served_by(heading), car.points, strict=True):
                swing = rng.choice((rng.uniform(-0.5, 2.0), 0.07 * rng.randrange(-4, 26)))
                found = placement(place, arm, point, stop)
                tried = found.swing if found and rng.random() < 0.5 else swing
                assert can_reach(place, arm, point, stop, tried) == (found is not None)
                seen.add(found is not None)
    assert seen == {True, False}
