"""Arms set elsewhere in their points' zones, where the place nearest the point will not do."""

from __future__ import annotations

from dataclasses import replace
from itertools import islice

from underset.geometry import Placement, SpotWindow
from underset.planner.candidates import Approach, arm_setting, placed_at, set_on
from underset.planner.stacks import choice_of
from underset.setting.clear import comes_in, layout, traceable
from underset.setting.evaluate import Memo, evaluate, kept_of
from underset.setting.place import Stop, other_placements, served_by
from underset.setting.result import CORNERS, Evaluation, Setting, Status

LOOKS = 16  # places of one arm that are looked at
ELSEWHERE = {"way_in", "point_on_pad", "pad_zone", "arm_tyre", "arm_zone", "arm_column"}


def corners_to_move(evaluation: Evaluation) -> tuple[str, ...]:
    """Corners whose arm might do elsewhere, where nothing else stops a setting."""
    stops = [c for c in evaluation.checks if c.status is Status.STOPS]
    if not all(c.name in ELSEWHERE and c.where in CORNERS for c in stops):
        return ()
    return tuple(dict.fromkeys(c.where for c in stops))


def set_otherwise(
    approach: Approach, window: SpotWindow, stopped: Evaluation, memo: Memo
) -> Evaluation | None:
    """The same stop and stacks with arms elsewhere in their zones, judged whole.

    None where something else stops too, or where no place looked at will do.
    """
    case, judged, placed = approach.case, stopped, list(placed_at(approach, _stop(stopped.setting)))
    for _ in CORNERS if placed else ():
        for i in [CORNERS.index(c) for c in corners_to_move(judged)]:
            found = _elsewhere(approach, judged.setting, i, memo)
            if found is None:
                return None
            placed[i] = found
        choice = choice_of(case, judged.setting)
        setting = set_on(approach, _stop(judged.setting), window, tuple(placed), choice)
        judged = evaluate(case, setting, memo=memo)
        if judged.status is not Status.STOPS:
            return judged
    return None


def _elsewhere(approach: Approach, setting: Setting, i: int, memo: Memo) -> Placement | None:
    """The place of one arm nearest to its point that has a way in and that nothing stops there."""
    case, choice = approach.case, choice_of(approach.case, setting)
    index, point = served_by(setting.heading)[i], approach.points.points[i]
    kept, gap = kept_of(case, memo), case.policy["gap_arm"]
    for place in islice(other_placements(case.bay, index, point, _stop(setting)), LOOKS):
        moved = arm_setting(approach, i, place, choice)
        arms = (*setting.arms[:i], moved, *setting.arms[i + 1 :])
        there = replace(setting, arms=arms)  # type: ignore[arg-type]
        judged = evaluate(case, there, complete=False, memo=memo)
        if point.corner in corners_to_move(judged):
            continue
        plan = layout(there, case.vehicle, case.bay, case.shelf, kept)
        if not traceable(plan, case.bay) or comes_in(plan, case.bay, moved, gap, kept):
            return place
    return None


def _stop(setting: Setting) -> Stop:
    return Stop(setting.heading, setting.spot, setting.sideways, setting.yaw)
