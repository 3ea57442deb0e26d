"""What the product's own judge says of a setting that the second judge takes."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

from benchmarks.soundness.placing import CORNERS
from benchmarks.soundness.stacks import lengths
from benchmarks.soundness.workshops import TODAY, Drawn
from underset.app.planning import Wish, cases_for
from underset.geometry import Placement, Teeth
from underset.planner.candidates import Approach, arm_setting, setting_at, spot_windows_of
from underset.planner.stacks import Stack, StackChoice
from underset.records import Workshop
from underset.setting.evaluate import Case, evaluate
from underset.setting.place import Stop
from underset.setting.result import Evaluation, Setting, Status
from underset.setting.standing import standing_on_file

Data = dict[str, Any]
NARROW = 1e-9


def verdict(case: Drawn, shop: Workshop, setting: Data) -> str:
    """The checks that stop it or cannot tell, or that the planner missed it, and where."""
    wish = Wish("car", "job" if case.job else None, ("bay",), remedies=False)
    numbers = cases_for(shop, wish, standing_on_file(shop, TODAY))["bay"]
    approach = Approach(numbers, setting["heading"], numbers.point_set(setting["point_set"]))
    spot = setting["spot_m"]
    here = [w for w in spot_windows_of(approach) if w.low - NARROW <= spot <= w.high + NARROW]
    if not here:
        return "no window at this spot"
    choice = _choice(case, numbers, setting)
    made = setting_at(approach, Stop(setting["heading"], spot), here[0], choice)
    if made is None:
        return "no reach at this spot"
    judged = evaluate(numbers, made)
    if judged.usable:
        return "missed by the planner"
    moved = evaluate(numbers, _as_found(approach, made, choice, setting))
    if moved.usable:
        return f"missed, other teeth or reaches ({_bad(judged)} as the planner sets them)"
    return _bad(moved)


def _bad(judged: Evaluation) -> str:
    bad = {c.name: c.status.value for c in judged.checks
           if c.status in (Status.STOPS, Status.NOT_KNOWN)}  # fmt: skip
    return ", ".join(f"{name} {status}" for name, status in sorted(bad.items()))


def _as_found(approach: Approach, made: Setting, choice: StackChoice, setting: Data) -> Setting:
    """The setting with its arms on the teeth and reaches that were found."""
    sign = -1.0 if approach.heading == "tail-in" else 1.0
    teeth, arms = approach.case.bay.restraint, []
    for i, (corner, here) in enumerate(zip(CORNERS, made.arms, strict=True)):
        s = setting["arms"][corner]
        swing, pad, tooth = math.radians(s["swing_deg"]), s["pad_m"], here.tooth
        if isinstance(teeth, Teeth) and here.tooth is not None:
            tooth = here.tooth + round((swing - here.swing) / teeth.pitch)
        away = (sign * (pad[0] - here.point[0]), sign * (pad[1] - here.point[1]))
        place = Placement(tooth, swing, s["reach_m"], (pad[0], pad[1]), *away)
        arms.append(arm_setting(approach, i, place, choice))
    a, b, c, d = arms
    return replace(made, arms=(a, b, c, d))


def _choice(case: Drawn, numbers: Case, setting: Data) -> StackChoice:
    facts = {"adapters": case.adapters}
    arms = [setting["arms"][c] for c in CORNERS]
    stacks = tuple(Stack(tuple(a["stack"]), *lengths(facts, a["stack"])) for a in arms)
    screws = tuple(a["screw_m"] for a in arms)
    seat = setting["seat_m"]
    return StackChoice(seat, stacks, screws, seat, seat)  # type: ignore[arg-type]
