"""The second judge's own way in: plain scenes whose answer a person can tell."""

from __future__ import annotations

import copy
import math
from typing import Any

import pytest

from benchmarks.soundness.wayin import ways_in

Data = dict[str, Any]
CORNERS = ("LF", "RF", "LR", "RR")
NAMES = ("left_front", "right_front", "left_rear", "right_rear")
GAP = 0.025


def arm(name: str) -> Data:
    """An arm that turns from 0 (straight inward) to 100 degrees, its pivot beside the middle."""
    side, end = name.split("_")
    return {
        "pivot_x": "0.2 m" if end == "front" else "-0.2 m",
        "pivot_y": "1.3 m" if side == "left" else "-1.3 m",
        "swing_low": "-5 deg", "swing_high": "100 deg", "parked_swing": "90 deg",
        "reach_low": "0.5 m", "reach_high": "1.2 m",
        "profile": [
            {"from_tip": "0 m", "half_width": "0.04 m", "top": "0 m", "bottom": "-0.05 m"},
            {"from_tip": "0.5 m", "half_width": "0.05 m", "top": "0.03 m", "bottom": "-0.05 m"},
        ],
    }  # fmt: skip


def scene(zones: list[Data], swing: float = 40.0, reach: float = 1.0) -> tuple[Data, Data]:
    """A setting and the facts: four arms at one swing, tyres far ahead and behind."""
    arms = {
        corner: {"arm": name, "swing_deg": swing, "reach_m": reach, "stack": ["head"]}
        for corner, name in zip(CORNERS, NAMES, strict=True)
    }
    setting = {"heading": "nose-in", "spot_m": 3.0, "sideways_m": 0.0, "yaw_deg": 0.0,
               "seat_m": 0.1, "arms": arms}  # fmt: skip
    sizes = {"wheelbase": "6 m", "track_front": "1.5 m", "track_rear": "1.5 m",
             "tyre_width": "0.2 m", "tyre_diameter": "0.6 m"}  # fmt: skip
    facts = {
        "bay": {"arms": {n: arm(n) for n in NAMES}, "seat": {"lowest": "0.1 m"}},
        "vehicle": {"sizes": sizes, "zones": zones},
        "adapters": {"head": {"width": "0.1 m", "height": "0.05 m", "travel": "0.05 m"}},
        "policy": {"gap_arm": GAP},
    }  # fmt: skip
    return setting, facts


def zone(x: tuple[float, float], y: tuple[float, float], underside: float, **more: Any) -> Data:
    """A rectangle in L, told as the record tells it (behind the front axle at spot 3)."""
    corners = [(3.0 - a, b) for a, b in ((x[0], y[0]), (x[1], y[0]), (x[1], y[1]), (x[0], y[1]))]
    return {"id": "zone", "outline": [[f"{a} m", f"{b} m"] for a, b in corners],
            "underside": f"{underside} m", **more}  # fmt: skip


def both(zones: list[Data], **more: float) -> tuple[list[str], list[str]]:
    """What is blocked for one sure of a way, and for one sure of none."""
    setting, facts = scene(zones, **more)
    sure = ways_in(setting, facts, sure_of_it=True)
    return sure, ways_in(setting, facts, sure_of_it=False)


def test_an_open_floor_lets_every_arm_in() -> None:
    assert both([]) == ([], [])


# The left front arm turns from straight ahead (x over 0.7 at y 1.3) inward to 40 degrees.
WALL = zone((0.4, 2.0), (0.9, 1.05), 0.12)


def test_a_low_wall_across_the_swing_blocks_one_arm_for_certain() -> None:
    assert both([WALL]) == (["LF: way in"], ["LF: way in"])


def test_a_wall_higher_than_the_arm_is_passed_under() -> None:
    high = zone((0.4, 2.0), (0.9, 1.05), 0.1 + 0.05 + 0.03 + GAP + 0.001)
    assert both([high]) == ([], [])


def test_a_wall_that_only_the_stack_meets_blocks_the_tip() -> None:
    """Arm tops at 0.13 m pass below 0.16 m with the gap; the head's face at 0.15 m does not."""
    assert both([zone((0.4, 2.0), (0.9, 1.05), 0.16)])[1] == ["LF: way in"]


def test_what_none_may_pass_under_blocks_however_high_it_is() -> None:
    assert both([zone((0.4, 2.0), (0.9, 1.05), 0.5, pass_under=False)])[1] == ["LF: way in"]


def test_an_arm_pulls_in_to_pass_inside_a_wall() -> None:
    """Beyond a reach of 0.7 m at the swings between, nothing nearer to the pivot."""
    at = math.radians(65.0)
    x, y = 0.2 + 0.85 * math.sin(at), 1.3 - 0.85 * math.cos(at)
    post = zone((x - 0.03, x + 0.03), (y - 0.03, y + 0.03), 0.12)
    assert both([post]) == ([], [])


@pytest.mark.parametrize("more", [0.0, 1e-4, 2e-3])
def test_touching_the_gap_is_never_sure_to_be_blocked(more: float) -> None:
    """A post at the gap, or a hair nearer, from the final place: no certain no below a cell."""
    swing, reach = math.radians(40.0), 1.0
    tip = (0.2 + reach * math.sin(swing), 1.3 - reach * math.cos(swing))
    ahead = (tip[0] + (0.05 + GAP - more) * math.sin(swing), tip[1] - 0.1)
    post = zone((ahead[0], ahead[0] + 0.05), (ahead[1] - 0.2, ahead[1]), 0.12)
    _, none = both([post])
    assert none == []


def test_a_missing_parked_place_is_not_guessed() -> None:
    setting, facts = scene([])
    facts = copy.deepcopy(facts)
    facts["bay"]["arms"]["left_rear"]["parked_swing"] = "not given"
    told = ways_in(setting, facts, sure_of_it=False)
    assert told == ["LR: needs parked swing, pad width, profile and zones"]
