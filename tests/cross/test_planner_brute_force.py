"""The planner against brute force on random small workshops.

Spots: every millimetre of the bay and every tooth, by plain trigonometry of its own. Stacks: every
sequence of pieces the shelf could make, tried at every corner. Ranking: every spot of the
planner's stated rule with every stack, none left out as sure to fail, each judged in full.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from itertools import product
from math import ceil, cos, floor, pi, radians, sin
from random import Random

import pytest

from tests.judge_cases import bay, head, plain_case, points, policy_with, spacer, vehicle
from underset.geometry import Arm, Teeth, Zone
from underset.planner.candidates import (
    Approach,
    cg_limits,
    setting_at,
    spot_windows_of,
    spots,
)
from underset.planner.search import Limits, _key, search
from underset.planner.stacks import StackChoice, feasible, level_choices, seated
from underset.records.policy import DEFAULT_POLICY
from underset.setting.clear import greatest_touch_seat, layout
from underset.setting.evaluate import Case, evaluate, with_ways
from underset.setting.numbers import AdapterNumbers, PointNumbers, ZoneNumbers
from underset.setting.place import HEADINGS, TAIL_IN, Stop
from underset.setting.result import Evaluation, Outcome
from underset.statics import Item

STEP = 0.001


def workshop(seed: int, many: bool = False) -> Case:
    """A random lift, vehicle and shelf, small enough to try everything; `many` kinds of pieces."""
    rng = Random(seed)
    arms = []
    reach = rng.uniform(0.55, 0.7), rng.uniform(0.95, 1.25)
    pivot = rng.uniform(0.1, 0.3), rng.uniform(1.2, 1.35)
    for front, left in ((True, True), (True, False), (False, True), (False, False)):
        arms.append(
            Arm(
                (pivot[0] if front else -pivot[0], pivot[1] if left else -pivot[1]),
                -pi / 2 if left else pi / 2,
                1 if front == left else -1,
                radians(-15.0),
                radians(rng.uniform(85.0, 100.0)),
                *reach,
            )
        )
    pitch = radians(rng.uniform(3.0, 6.0))
    place = bay(
        arms=tuple(arms), restraint=Teeth(pitch, radians(rng.uniform(-1.0, 1.0))), pitch=pitch,
        cg_window=rng.choice((None, (-0.3, 0.3), (-0.15, 0.4))),
        greatest_stack=rng.uniform(0.2, 0.3), seat_low=rng.uniform(0.09, 0.11),
    )  # fmt: skip
    up = rng.uniform(0.16, 0.30)
    zone = Zone(rng.uniform(0.015, 0.03), rng.uniform(0.015, 0.03))
    front, rear = -rng.uniform(0.5, 0.7), -rng.uniform(1.9, 2.2)
    base = points(front, rear, rng.uniform(0.6, 0.75), up, zone=zone)
    rear_up = up + rng.uniform(-0.02, 0.02)
    moved = tuple(replace(p, up=up if i < 2 else rear_up) for i, p in enumerate(base.points))
    car = vehicle(
        Item("kerb vehicle", 1250.0, 8.0, (-rng.uniform(1.05, 1.35), 0.0, 0.55), (0.01,) * 3),
        point_sets=(replace(base, points=moved),), zones=skirts(rng, up),
    )  # fmt: skip
    pad = head("pad", travel=rng.uniform(0.04, 0.07), count=rng.choice((4, 8)), width=0.11)
    tall = head("tall", height=0.08, travel=0.04, count=rng.choice((2, 4)), width=0.14)
    low = spacer("low", rng.uniform(0.03, 0.06), rng.choice((2, 4, 8)))
    high = spacer("high", rng.uniform(0.07, 0.11), rng.choice((2, 4)))
    shelf = (pad, tall, low, high) if many else (pad, rng.choice((tall, low, high)))
    policy = DEFAULT_POLICY if many else policy_with(most_spacers=1.0)
    return plain_case(car, place, shelf, (), policy)


def skirts(rng: Random, up: float) -> tuple[ZoneNumbers, ...]:
    """Side skirts outboard of the points, sometimes low."""
    if rng.random() < 0.4:
        return ()
    outer, inner = 0.88, rng.uniform(0.78, 0.84)
    underside = up - rng.uniform(0.0, 0.06)
    outline = ((-0.5, inner), (-2.2, inner), (-2.2, outer), (-0.5, outer))
    return tuple(
        ZoneNumbers(
            f"skirt-{side}", "skirt",
            tuple((x, side * y) for x, y in outline),
            underside, False, True, False,
        )
        for side in (1, -1)
    )  # fmt: skip


SEEDS = [seed for seed in range(11) if seed != 5]  # 5 tries everything for half a minute


# --- spots ----------------------------------------------------------------------------------------


def reaches(arm: Arm, teeth: Teeth, at: tuple[float, float], zone: Zone) -> bool:
    """Whether some tooth and reach put the pad within the zone about a place: brute force."""
    first = ceil((arm.swing_low - teeth.offset) / teeth.pitch - 1e-9)
    last = floor((arm.swing_high - teeth.offset) / teeth.pitch + 1e-9)
    for tooth in range(first, last + 1):
        angle = arm.inward + arm.turn * (teeth.offset + tooth * teeth.pitch)
        ux, uy = cos(angle), sin(angle)
        low, high = arm.reach_low, arm.reach_high
        for u, off, half in (
            (ux, at[0] - arm.pivot[0], zone.along),
            (uy, at[1] - arm.pivot[1], zone.across),
        ):
            if abs(u) < 1e-12:
                low, high = (low, high) if abs(off) <= half else (1.0, 0.0)
            else:
                ends = sorted(((off - half) / u, (off + half) / u))
                low, high = max(low, ends[0]), min(high, ends[1])
        if low <= high:
            return True
    return False


def works_at(case: Case, heading: str, spot: float) -> bool:
    sign, served = (-1.0, (3, 2, 1, 0)) if heading == TAIL_IN else (1.0, (0, 1, 2, 3))
    low, high = cg_limits(case, heading)
    if not low <= spot <= high:
        return False
    assert isinstance(case.bay.restraint, Teeth)
    return all(
        reaches(
            case.bay.arms[index],
            case.bay.restraint,
            (spot + sign * p.place[0], sign * p.place[1]),
            p.zone,
        )
        for index, p in zip(served, case.vehicle.point_sets[0].points, strict=True)
    )


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("heading", HEADINGS)
def test_the_same_spots_to_a_millimetre(seed: int, heading: str) -> None:
    case = workshop(seed)
    windows = spot_windows_of(Approach(case, heading, case.vehicle.point_sets[0]))
    edges = [e for w in windows for e in (w.low, w.high)]
    for k in range(-1900, 1901):
        spot = k * STEP
        if any(abs(spot - e) < STEP for e in edges):
            continue
        inside = any(w.low <= spot <= w.high for w in windows)
        assert inside == works_at(case, heading, spot), f"at {spot:.3f} m"


# --- stacks ---------------------------------------------------------------------------------------


def every_stack(case: Case, point: PointNumbers) -> list[tuple[AdapterNumbers, ...]]:
    """Every sequence of up to two spacers and one head that fits from seat to point."""
    types = [t for t in case.shelf.types.values() if t.count]
    most = round(case.policy["most_spacers"])
    found = []
    for spacers in range(most + 1):
        for path in product(types, repeat=spacers + 1):
            roles = [t.role for t in path]
            faces = [case.bay.interface, *[t.above for t in path]]
            fits = all(t.below == face for t, face in zip(path, faces, strict=False))
            serves = roles == ["spacer"] * spacers + ["head"] and point.contact in path[-1].contacts
            if fits and serves:
                found.append(path)
    return found


def levels(case: Case, paths: tuple[tuple[AdapterNumbers, ...], ...]) -> bool:
    """Whether four stacks stand level at one seat height with what the shelf holds."""
    used = Counter(t.id for path in paths for t in path)
    if any(n > case.shelf.types[i].count for i, n in used.items()):
        return False
    lows, highs = [case.bay.seat_low], [case.bay.seat_high]
    for path, p in zip(paths, case.vehicle.point_sets[0].points, strict=True):
        fixed, travel = sum(t.height for t in path), sum(t.travel for t in path)
        lows += [p.up - fixed - travel, p.up - (case.bay.greatest_stack or 9.0)]
        highs.append(p.up - fixed)
    return max(lows) <= min(highs) + 1e-9


def without_order(ids: tuple[str, ...]) -> tuple[tuple[str, ...], str]:
    return tuple(sorted(ids[:-1])), ids[-1]


@pytest.mark.parametrize("seed", range(8))
def test_the_same_stacks(seed: int) -> None:
    case = workshop(seed, many=True)
    sets = case.vehicle.point_sets[0]
    brute = {
        tuple(without_order(tuple(t.id for t in path)) for path in paths)
        for paths in product(*(every_stack(case, p) for p in sets.points))
        if levels(case, paths)
    }
    found = list(level_choices(case, sets, tuple(feasible(case, p) for p in sets.points)))
    assert {tuple(without_order(s.ids) for s in c.stacks) for c in found} == brute
    pieces = [c.pieces for c in found]
    assert pieces == sorted(pieces)


# --- ranking --------------------------------------------------------------------------------------


def best_by_the_rule(case: Case) -> tuple[Evaluation, int] | None:
    """The planner's stated rule without its short cuts.

    In each window the first of the rule's spots with a usable setting counts: its easiest stack
    and its easiest stack with twice the gap below the body, whichever ranks better; where neither
    is usable, the first usable stack in order of ease. Over all windows the best rank wins.
    """
    entries = []
    sets = case.vehicle.point_sets[0]
    for heading in HEADINGS:
        approach = Approach(case, heading, sets)
        choices = list(level_choices(case, sets, tuple(feasible(case, p) for p in sets.points)))
        for window in spot_windows_of(approach) if choices else ():
            for spot in spots(window, approach.heading):
                first = setting_at(approach, Stop(heading, spot), window, choices[0])
                assert first is not None
                found = usable_at(approach, spot, window, choices)
                if found is not None:
                    entries.append(found)
                    break
    return min(entries, key=lambda e: _key(*e), default=None)


def usable_at(
    approach: Approach, spot: float, window: object, choices: list[StackChoice]
) -> tuple[Evaluation, int] | None:
    case, stop = approach.case, Stop(approach.heading, spot)
    gap = case.policy["gap_arm"]
    first = setting_at(approach, stop, window, choices[0])  # type: ignore[arg-type]
    assert first is not None
    greatest = greatest_touch_seat(layout(first, case.vehicle, case.bay, case.shelf), gap)
    low = [seated(c, approach.points, greatest - gap, greatest) for c in choices]
    order = [c for c in low if c is not None]
    roomy = [c for c in order if c.seat <= greatest - gap + 1e-9]
    for batch in ([*order[:1], *roomy[:1]], *[[c] for c in order]):
        usable = []
        for choice in batch:
            setting = setting_at(approach, stop, window, choice)  # type: ignore[arg-type]
            assert setting is not None
            judged = evaluate(case, setting, complete=False)
            if judged.usable and (whole := with_ways(case, judged)).usable:
                usable.append((whole, choice.pieces))
        if usable:
            return min(usable, key=lambda u: _key(*u))
    return None


@pytest.mark.parametrize("seed", SEEDS)
def test_no_better_ranked_setting_is_missed(seed: int) -> None:
    case = workshop(seed)
    best = best_by_the_rule(case)
    found = search([case], Limits(choices=1))
    assert best is None or found.outcome is Outcome.FOUND
    if best is not None:
        choice = found.ranked()[0]
        assert _key(choice.evaluation, choice.pieces) == _key(*best)


def test_the_workshops_differ() -> None:
    """Both outcomes and several kinds of refusal occur: the comparison means something."""
    found = [search([workshop(seed)], Limits(choices=1)) for seed in range(16)]
    outcomes = {f.outcome for f in found}
    refused = {check for f in found for _, check in f.refused}
    assert outcomes >= {Outcome.FOUND, Outcome.NONE}
    assert len(refused) >= 3
