"""The judge alone over drawn settings: what it calls usable goes to the second judge.

    python -m benchmarks.soundness.settings WORKSHOPS [--seed 1] [--first 0] [--keep FILE]

A planner only shows its best setting, so a sweep over plans looks at few of those the judge would
let pass. Here each drawn workshop gets some eighty settings nobody would choose: spots anywhere in
and just beyond the windows, teeth beside the best, reaches drawn in and out, any stacks that the
shelf has, seats low and high. Every one that the judge calls usable must stand before the second
judge; the limits are met from both sides that way. Chunks are kept as in the sweep over plans.
"""

from __future__ import annotations

import argparse
import json
import sys
import time
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np

sys.path[:0] = [str(Path(__file__).resolve().parents[2] / part) for part in ("", "src")]

from benchmarks.soundness.judge import broken  # noqa: E402
from benchmarks.soundness.sweep import facts_of  # noqa: E402
from benchmarks.soundness.workshops import TODAY, drawn  # noqa: E402
from underset.app import Wish, cases_for  # noqa: E402
from underset.card import plan_json  # noqa: E402
from underset.errors import InputError  # noqa: E402
from underset.geometry import Placement, Teeth, pad_place  # noqa: E402
from underset.planner.candidates import Approach, arm_setting, setting_at, spot_windows_of  # noqa: E402
from underset.planner.stacks import StackChoice, feasible, seated  # noqa: E402
from underset.setting import (  # noqa: E402
    Case,
    Memo,
    Outcome,
    Plan,
    Setting,
    Status,
    Stop,
    evaluate,
    standing_on_file,
)
from underset.setting.place import TAIL_IN, served_by  # noqa: E402

SETTINGS = 80  # a workshop
BEYOND = 0.005  # m past the ends of a window
HOPELESS = 24  # settings without a usable one after which a workshop is left
DRAWS = 12  # of the second judge's tolerances for each setting
CHUNK = 25


def settings_of(case: Case, rng: np.random.Generator) -> Iterator[Setting]:
    """Settings over both headings, every set of points and every window, as drawn."""
    approaches = [
        Approach(case, heading, points)
        for heading in ("nose-in", "tail-in")
        for points in case.vehicle.point_sets
    ]
    windows = [(a, w) for a in approaches for w in spot_windows_of(a)]
    stacks = {a.points.id: stacks_of(case, a) for a in approaches}
    for _ in range(SETTINGS if windows else 0):
        approach, window = windows[rng.integers(len(windows))]
        choice = chosen(approach, stacks[approach.points.id], rng)
        if choice is None:
            continue
        wide = rng.uniform(window.low - BEYOND, window.high + BEYOND)
        spot = float(rng.choice((window.low, window.high, *([wide] * 8))))
        there = setting_at(approach, Stop(approach.heading, spot), window, choice)
        if there is not None:
            if rng.random() < 0.5:
                there = arms_moved(approach, there, choice, rng)
            yield replace(there, window=(spot, spot), fixed_window=(spot, spot))


def stacks_of(case: Case, approach: Approach) -> tuple[Any, ...]:
    """Every stack that could serve each corner, with the seats it allows."""
    return tuple(feasible(case, p) for p in approach.points.points)


def chosen(
    approach: Approach, by_corner: tuple[Any, ...], rng: np.random.Generator
) -> StackChoice | None:
    """Some stack at each corner, mostly alike left and right, at a seat that all four allow."""
    if not all(by_corner):
        return None
    picked = [r[rng.integers(len(r))] for r in by_corner]
    if rng.random() < 0.8:
        picked[1] = next((r for r in by_corner[1] if r.stack.ids == picked[0].stack.ids), picked[1])
        picked[3] = next((r for r in by_corner[3] if r.stack.ids == picked[2].stack.ids), picked[3])
    low, high = max(r.low for r in picked), min(r.high for r in picked)
    if low > high:
        return None
    seat = float(rng.choice((low, high, rng.uniform(low, high))))
    a, b, c, d = (r.stack for r in picked)
    rough = StackChoice(seat, (a, b, c, d), (0.0, 0.0, 0.0, 0.0), low, high)
    return seated(rough, approach.points, seat, seat)


def arms_moved(
    approach: Approach, setting: Setting, choice: StackChoice, rng: np.random.Generator
) -> Setting:
    """The setting with arms a tooth or some millimetres away from where the planner sets them."""
    bay, arms = approach.case.bay, []
    sign = -1.0 if approach.heading == TAIL_IN else 1.0
    for i, arm in enumerate(setting.arms):
        place = bay.arms[served_by(approach.heading)[i]]
        tooth, swing, reach = arm.tooth, arm.swing, arm.reach
        if tooth is not None and isinstance(bay.restraint, Teeth) and rng.random() < 0.3:
            step = int(rng.choice((-1, 1)))
            tooth, swing = tooth + step, swing + step * bay.restraint.pitch
        if rng.random() < 0.4:
            reach += float(rng.normal(0.0, 0.015))
        if rng.random() < 0.2:
            reach = float(np.clip(reach, place.reach_low, place.reach_high))
        pad = pad_place(place, swing, reach)
        away = (sign * (pad[0] - arm.point[0]), sign * (pad[1] - arm.point[1]))
        arms.append(arm_setting(approach, i, Placement(tooth, swing, reach, pad, *away), choice))
    a, b, c, d = arms
    return replace(setting, arms=(a, b, c, d))


def swept(seed: int, number: int) -> tuple[Counter[str], list[str]]:
    """Counts of one workshop, and every setting called usable that the second judge refuses."""
    counts, false = Counter[str](), []
    drawn_case = drawn(seed, number)
    try:
        shop = drawn_case.workshop()
        papers = standing_on_file(shop, TODAY)
        papers = replace(
            papers,
            require_daily_check=shop.about.require_daily_check,
            require_authorisation=shop.about.require_authorisation,
        )
        wish = Wish("car", "job" if drawn_case.job else None, ("bay",), remedies=False)
        case = cases_for(shop, wish, papers)["bay"]
    except InputError:
        return Counter({"refused input": 1}), []
    facts = {**facts_of(drawn_case, shop), "draws": DRAWS}
    memo: Memo = {}
    rng = np.random.default_rng((seed, number, 3))
    for k, setting in enumerate(settings_of(case, rng)):
        if k == HOPELESS and not counts["usable"]:
            break
        counts["settings"] += 1
        quick = evaluate(case, setting, complete=False, memo=memo)
        judged = evaluate(case, setting, memo=memo) if quick.usable else quick
        statuses = {c.status for c in judged.checks}
        kind = "usable" if judged.usable else "stops" if Status.STOPS in statuses else "not known"
        counts[kind] += 1
        if judged.usable:
            plan = plan_json(Plan(Outcome.FOUND, judged, (), (), (), (), 1))
            told = broken(json.loads(json.dumps(plan)), facts, rng)
            counts["false usable"] += bool(told)
            false += [f"{seed}:{number}, setting {k}: {t}" for t in told]
    return counts, false


def main() -> int:
    """Run the sweep, print it, keep finished chunks."""
    about = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    about.add_argument("workshops", type=int)
    about.add_argument("--seed", type=int, default=1)
    about.add_argument("--first", type=int, default=0)
    about.add_argument("--keep", type=Path)
    told = about.parse_args()
    total, began = Counter[str](), time.process_time()
    done = _kept(told.keep)
    for number in range(told.first, told.first + told.workshops):
        if number not in done:
            counts, false = swept(told.seed, number)
            done[number] = {"number": number, "counts": counts, "false": false}
            if told.keep:
                with told.keep.open("a", encoding="utf-8") as file:
                    file.write(json.dumps(done[number], ensure_ascii=False) + "\n")
            for line in false:
                print(f"  {line}")
        total.update(done[number]["counts"])
        if (number + 1 - told.first) % CHUNK == 0 or number + 1 == told.first + told.workshops:
            rate = total["settings"] / max(time.process_time() - began, 1e-9)
            sums = ", ".join(f"{k} {v}" for k, v in sorted(total.items()))
            print(f"seed {told.seed}, to {number}: {sums}; {rate:.0f} a second", flush=True)
    return 1 if total["false usable"] else 0


def _kept(path: Path | None) -> dict[int, Any]:
    if path is None or not path.exists():
        return {}
    return {c["number"]: c for c in map(json.loads, path.read_text("utf-8").splitlines())}


if __name__ == "__main__":
    sys.exit(main())
