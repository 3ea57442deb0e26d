"""Other places of a pad within its point's zone: all of them held by the restraint, in reach."""

from __future__ import annotations

from math import atan2, hypot, radians

import pytest

from underset.geometry import Arm, Free, Restraint, Teeth, Zone, best_placement, other_placements

ARM = Arm((0.0, 0.0), 0.0, 1, radians(-15.0), radians(100.0), 0.60, 1.15)
POINT, ZONE = (0.5, 0.6), Zone(0.055, 0.04)
TEETH = Teeth(radians(4.0), radians(1.0))


@pytest.mark.parametrize("restraint", [TEETH, Free()], ids=["teeth", "free"])
def test_each_lies_in_the_zone_and_within_the_arms_limits(restraint: Restraint) -> None:
    found = other_placements(ARM, restraint, POINT, ZONE)
    assert len(found) >= 6
    for p in found:
        assert abs(p.along) <= ZONE.along + 1e-9 and abs(p.across) <= ZONE.across + 1e-9
        assert p.pad == pytest.approx((POINT[0] + p.along, POINT[1] + p.across))
        assert hypot(*p.pad) == pytest.approx(p.reach)
        assert atan2(p.pad[1], p.pad[0]) == pytest.approx(p.swing)
        assert ARM.swing_low <= p.swing <= ARM.swing_high and 0.60 <= p.reach <= 1.15
        if isinstance(restraint, Teeth):
            assert p.tooth is not None
            assert p.swing == pytest.approx(radians(1.0 + 4.0 * p.tooth))


def test_they_begin_beside_the_best_and_span_the_zone() -> None:
    """Teeth of 4 degrees at 0.78 m stand 54 mm apart: two of them reach a zone of 110 by 80 mm."""
    found = other_placements(ARM, TEETH, POINT, ZONE)
    best = best_placement(ARM, TEETH, POINT, ZONE)
    assert best is not None
    assert found[0].tooth == best.tooth
    assert {p.tooth for p in found} == {12, 13}
    used = [max(abs(p.along) / ZONE.along, abs(p.across) / ZONE.across) for p in found]
    assert 0.9 < max(used) < 1.0


def test_a_zone_out_of_reach_has_none() -> None:
    assert other_placements(ARM, TEETH, (1.5, 1.0), ZONE) == ()
    assert other_placements(ARM, Free(), (-0.8, -0.5), ZONE) == ()
