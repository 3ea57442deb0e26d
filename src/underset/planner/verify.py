"""The printed window, proved: every check is judged again at its ends and at every run of teeth.

Reach is exact over the whole window; clearances, ways in and loads are judged at these spots, and
it is cut back to the millimetre where one of them does not stand.
"""

from __future__ import annotations

from dataclasses import replace

from underset.geometry import SpotWindow
from underset.planner.candidates import Approach, placed_at, setting_at, spot_windows_of
from underset.planner.otherways import set_otherwise
from underset.planner.search import Found
from underset.planner.stacks import choice_of
from underset.setting.evaluate import Case, Memo, evaluate, stands_at
from underset.setting.place import Stop
from underset.setting.result import Choice, Evaluation, Setting

STEP = 0.001  # m: a window is cut back in whole millimetres


def approach_of(case: Case, setting: Setting) -> Approach:
    """The approach a setting belongs to."""
    return Approach(case, setting.heading, case.point_set(setting.point_set))


def proved(case: Case, found: Found) -> tuple[Choice, ...]:
    """The usable settings, best first, the first one with its window proved.

    A setting that its window, cut back, no longer makes usable is filed with the others and the
    next one is proved in its place.
    """
    while found.choices:
        first, *others = found.ranked()
        best = verified(case, first.evaluation, found.memo)
        if best.usable:
            setting = best.setting
            kept = replace(first, evaluation=best, window=setting.window, status=best.status)
            return (kept, *others)
        found.withdraw(first, best)
    return ()


def verified(case: Case, evaluation: Evaluation, memo: Memo | None = None) -> Evaluation:
    """The evaluation with its window cut back to where everything still works, judged anew.

    A window that was cut on one side gets its spot moved to the new middle where that is usable.
    """
    memo = {} if memo is None else memo
    low, high = cut = _proved_window(case, evaluation.setting, memo)
    if cut == evaluation.setting.window:
        return evaluation
    if high - low >= STEP:
        moved = _moved(case, evaluation.setting, (low + high) / 2, cut, memo)
        if moved is not None and moved.usable:
            return moved
    return evaluate(case, _narrowed(evaluation.setting, cut), memo=memo)


def _proved_window(case: Case, setting: Setting, memo: Memo) -> tuple[float, float]:
    approach = approach_of(case, setting)
    window = _window(approach, setting)
    if window is None:
        return setting.window
    judge = _Spots(approach, window, setting, memo)
    low = _edge(judge, setting.spot, window.low, [p.low for p in window.pieces])
    high = _edge(judge, setting.spot, window.high, [p.high for p in window.pieces])
    return low, high


def _narrowed(setting: Setting, window: tuple[float, float]) -> Setting:
    low, high = window
    fixed = (max(low, setting.fixed_window[0]), min(high, setting.fixed_window[1]))
    return replace(setting, window=window, fixed_window=fixed)


def _moved(
    case: Case, setting: Setting, spot: float, proved: tuple[float, float], memo: Memo
) -> Evaluation | None:
    approach = approach_of(case, setting)
    window = _window(approach, setting)
    if window is None:
        return None
    there = setting_at(approach, Stop(setting.heading, spot), window, choice_of(case, setting))
    return evaluate(case, _narrowed(there, proved), memo=memo) if there is not None else None


def _window(approach: Approach, setting: Setting) -> SpotWindow | None:
    here = spot_windows_of(approach)
    return next((w for w in here if w.low - 1e-9 <= setting.spot <= w.high + 1e-9), None)


class _Spots:
    """Whether a spot of one window is usable with given stacks, the arms set anew."""

    def __init__(
        self, approach: Approach, window: SpotWindow, setting: Setting, memo: Memo
    ) -> None:
        self.approach, self.window, self.memo = approach, window, memo
        self.choice = choice_of(approach.case, setting)
        nearest = placed_at(approach, Stop(setting.heading, setting.spot))
        self.otherwise = any(
            (a.swing, a.reach) != (p.swing, p.reach)
            for a, p in zip(setting.arms, nearest, strict=False)
        )

    def works(self, spot: float) -> bool:
        stop = Stop(self.approach.heading, spot)
        setting = setting_at(self.approach, stop, self.window, self.choice)
        if setting is None:
            return False
        case = self.approach.case
        if stands_at(case, setting, self.memo):
            return True
        if not self.otherwise:
            return False
        blocked = evaluate(case, setting, memo=self.memo)
        found = set_otherwise(self.approach, self.window, blocked, self.memo)
        return found is not None and found.usable


MOST_STATIONS = 4  # runs of teeth judged on one side of the spot, spread over them, besides the end


def _edge(judge: _Spots, spot: float, end: float, breaks: list[float]) -> float:
    """The farthest spot toward `end` up to which every judged spot works."""
    outward = 1.0 if end >= spot else -1.0
    stations = sorted(
        {b for b in breaks if (b - spot) * outward > STEP and (end - b) * outward > STEP},
        key=lambda b: abs(b - spot),
    )
    stations = stations[:: -(-len(stations) // MOST_STATIONS) or 1]
    good = spot
    for station in (*stations, end):
        if abs(station - good) < STEP or judge.works(station):
            good = station
            continue
        return _bisected(judge, good, station)
    return good


def _bisected(judge: _Spots, good: float, bad: float) -> float:
    while abs(bad - good) > STEP:
        middle = (good + bad) / 2
        if judge.works(middle):
            good = middle
        else:
            bad = middle
    return good
