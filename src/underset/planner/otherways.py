"""Arms set elsewhere in their points' zones, where no way leads to the place nearest the point."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import islice

from underset.geometry import Placement, SpotWindow
from underset.planner.candidates import Approach, arm_setting, placed_at, set_on
from underset.planner.stacks import StackChoice, choice_of
from underset.setting.clear import comes_in, layout
from underset.setting.evaluate import Memo, evaluate, kept_of
from underset.setting.place import Stop, other_placements, served_by
from underset.setting.result import CORNERS, Evaluation, Setting, Status

LOOKS = 16  # places of one arm whose way in is traced


def blocked_corners(evaluation: Evaluation) -> tuple[str, ...]:
    """Corners whose arm has no way in, where nothing else stops a setting."""
    stops = [c for c in evaluation.checks if c.status is Status.STOPS]
    return tuple(c.where for c in stops) if {c.name for c in stops} == {"way_in"} else ()


def set_otherwise(
    approach: Approach, window: SpotWindow, blocked: Evaluation, memo: Memo
) -> Evaluation | None:
    """The same stop and stacks with the blocked arms elsewhere in their zones, judged whole.

    None where something else stops too, where no place looked at has a way in, or where something
    stops the whole.
    """
    corners, case, setting = blocked_corners(blocked), approach.case, blocked.setting
    stop = Stop(setting.heading, setting.spot, setting.sideways, setting.yaw)
    choice, placed = choice_of(case, setting), list(placed_at(approach, stop))
    if not corners or not placed:
        return None
    for i in [CORNERS.index(c) for c in corners]:
        found = next(_with_way(approach, setting, (i, choice), memo), None)
        if found is None:
            return None
        placed[i] = found
    judged = evaluate(case, set_on(approach, stop, window, tuple(placed), choice), memo=memo)
    return None if judged.status is Status.STOPS else judged


def _with_way(
    approach: Approach, setting: Setting, arm: tuple[int, StackChoice], memo: Memo
) -> Iterator[Placement]:
    """Places of one arm with a way in, nearest to the point first."""
    case, (i, choice) = approach.case, arm
    stop = Stop(setting.heading, setting.spot, setting.sideways, setting.yaw)
    index, point = served_by(setting.heading)[i], approach.points.points[i]
    kept, gap = kept_of(case, memo), case.policy["gap_arm"]
    for place in islice(other_placements(case.bay, index, point, stop), LOOKS):
        moved = arm_setting(approach, i, place, choice)
        arms = (*setting.arms[:i], moved, *setting.arms[i + 1 :])
        there = replace(setting, arms=arms)  # type: ignore[arg-type]
        plan = layout(there, case.vehicle, case.bay, case.shelf, kept)
        if comes_in(plan, case.bay, moved, gap, kept):
            yield place
