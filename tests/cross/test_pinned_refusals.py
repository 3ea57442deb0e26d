"""Refusals that the plain search did not share, mended and pinned."""

from __future__ import annotations

from benchmarks.soundness.sweep import planned
from benchmarks.soundness.workshops import drawn


def test_wheels_that_hang_do_not_bar_the_way_in_of_an_arm() -> None:
    """Drawn case 156 of seed 95: arms come in while the vehicle stands on its wheels.

    With the wheels hanging every way in was blocked and the case refused; only figures that nobody
    gave are in its way.
    """
    plan, _, _ = planned(drawn(95, 156))
    assert plan is not None
    assert plan["outcome"] == "incomplete"
    stopped = [c["name"] for s in plan["states"] for c in s["checks"] if c["status"] == "stops"]
    assert stopped == []
