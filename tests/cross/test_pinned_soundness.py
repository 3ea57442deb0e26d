"""What the soundness sweep found, pinned: each was once called usable against the plain judge."""

from __future__ import annotations

from dataclasses import replace
from itertools import product
from math import tan

import numpy as np
import pytest

from tests.judge_cases import placed, plain_case, points, policy_with, vehicle
from underset.app import Wish, make_plan, open_workshop, today
from underset.geometry import Free
from underset.records import Workshop
from underset.setting import Setting, Status, evaluate
from underset.setting.bearing import bearing_checks
from underset.setting.borne import bear, footing
from underset.setting.state import Support
from underset.statics import Item
from underset.units import G0

SKEW = ((-0.67, 0.77), (-0.80, -0.69), (-2.26, 0.68), (-2.26, -0.68))


def test_uneven_levels_move_the_split_of_skew_pads() -> None:
    """Seed 7, case 95: front points 0.13 m apart along; a 3 mm level moved the split by 0.3 %."""
    base = points()
    made = tuple(replace(p, place=at) for p, at in zip(base.points, SKEW, strict=True))
    kerb = Item("kerb vehicle", 1500.0, 0.0, (-1.3, 0.0, 0.55))
    car = vehicle(kerb, point_sets=(replace(base, points=made),), twist=(1e12, 1e12))
    policy = policy_with(level_pad=0.003, level_carriage=0.0)
    case = plain_case(car, policy=policy)
    found = next(c for c in bearing_checks(case, placed(case)) if c.name == "pad_split")
    worst = max(split_at(raised) for raised in product((-0.003, 0.003), repeat=4))
    level = split_at((0.0,) * 4)
    assert worst - level > 0.002
    assert found.nominal == pytest.approx(level)
    assert found.demand == pytest.approx(worst, abs=1e-6)


def split_at(raised: tuple[float, ...], stiff: float = 3.0e5) -> float:
    """Greater share of front or rear pads: rigid body on four springs by plain least squares."""
    rows = np.column_stack([np.ones(4), np.array(SKEW)])
    weight = 1500.0 * G0
    wrench = weight * np.array([1.0, -1.3, 0.0]) - stiff * rows.T @ np.array(raised)
    loads = stiff * (rows @ np.linalg.solve(stiff * rows.T @ rows, wrench) + np.array(raised))
    front = float(loads[0] + loads[1]) / weight
    return max(front, 1.0 - front)


@pytest.mark.parametrize("rule", ["require_daily_check", "require_authorisation"])
def test_a_plain_plan_keeps_the_rules_of_the_shop(rule: str) -> None:
    """Seed 2026, case 29: nobody named and no daily check, and the shop demands both."""
    shop = open_workshop(None)
    strict = Workshop(
        shop.about.model_copy(update={rule: True}), shop.policy, shop.vehicles, shop.bays,
        shop.adapters, {},
    )  # fmt: skip
    wish = Wish("harbour-hatch", None, ("north",), remedies=False)
    usable = make_plan(shop, wish, today()).plan.best
    refused = make_plan(strict, wish, today()).plan.best
    assert usable is not None and usable.usable
    assert refused is not None and not refused.usable


def test_the_whole_vehicle_leans_though_a_table_carries_part() -> None:
    """Seed 31, case 1226: uneven carriages lean 1,500 kg, not the 1,100 kg left on the pads."""
    kerb = Item("kerb vehicle", 1500.0, 0.0, (-1.3, 0.0, 0.60), (0.0, 0.0, 0.0))
    policy = policy_with(level_pad=0.0, level_carriage=0.02)
    case = plain_case(vehicle(kerb, twist=(1e12, 1e12)), policy=policy)
    table = Support("table", (-1.3, 0.0), 400.0 * G0, kind="table")
    pushed = replace(case.states[-1], name="pushed", supports=(table,))
    case = replace(case, states=(*case.states, pushed))
    setting = placed(case)
    foot = footing(case.vehicle, case.bay, case.shelf, case.policy, setting)
    spans = next(b.spans for b in bear(case.states, foot) if b.state.name == "pushed")
    lean = 1500.0 * G0 * (0.60 - foot.up) * tan(foot.roll)
    for (low, middle, high), (_, _, c) in zip(spans, foot.forms, strict=True):
        assert high >= middle + abs(c) * lean - 1e-6
        assert low <= middle - abs(c) * lean + 1e-6


def test_an_unknown_offset_at_the_end_of_the_swing() -> None:
    """Seed 21, workshop 3629: beyond the end no tooth helps, so the next may be a pitch away."""
    case = plain_case()
    setting = placed(case)
    swing = min(a.swing for a in setting.arms)
    room = min(
        min(p.zone.along - abs(a.along), p.zone.across - abs(a.across)) / a.reach
        for a, p in zip(setting.arms, points().points, strict=True)
    )
    pitch = 1.5 * room  # half of it fits every zone, all of it does not
    told = []
    for left in (pitch, 0.0):
        arms = tuple(replace(arm, swing_low=swing - left) for arm in case.bay.arms)
        bay = replace(case.bay, arms=arms, restraint=Free(), pitch=pitch, tooth_offset_known=False)
        found = {c.name: c for c in evaluate(replace(case, bay=bay), free(setting)).checks}
        told.append(found["arm_tooth"].status)
    assert told == [Status.WATCH, Status.NOT_KNOWN]


def free(setting: Setting) -> Setting:
    """The setting with its arms on no tooth."""
    a, b, c, d = (replace(arm, tooth=None) for arm in setting.arms)
    return replace(setting, arms=(a, b, c, d))
