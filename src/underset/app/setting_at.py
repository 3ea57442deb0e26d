"""The setting at one stop: what a drag, a measured stop or a page asks for, judged at once."""

from __future__ import annotations

from dataclasses import dataclass

from underset.geometry import SpotWindow, spot_windows
from underset.planner.candidates import Approach, setting_at, spot_windows_of
from underset.planner.stacks import stack_choices
from underset.setting.evaluate import Case, evaluate
from underset.setting.place import Stop, placements, windows_by_corner
from underset.setting.result import CORNERS, Evaluation, Scene
from underset.setting.scene import scene


@dataclass(frozen=True, slots=True)
class At:
    """Where the vehicle is held: bay, heading, point set, spot, sideways, yaw; which stack."""

    bay: str
    heading: str
    point_set: str
    spot: float
    sideways: float = 0.0
    yaw: float = 0.0
    stack: int = 0
    state: int = 0


@dataclass(frozen=True, slots=True)
class There:
    """What stands there: the judged setting with its scene, or the corners no arm reaches."""

    at: At
    evaluation: Evaluation | None
    scene: Scene | None
    unreached: tuple[str, ...]
    windows: tuple[tuple[float, float], ...]


def judged_at(case: Case, at: At) -> There:
    """Judge the setting at one stop. Never raises for a physical reason."""
    approach = Approach(case, at.heading, case.point_set(at.point_set))
    stop = Stop(at.heading, at.spot, at.sideways, at.yaw)
    here = spot_windows_of(approach)
    spans = tuple((w.low, w.high) for w in here)
    stacks = stack_choices(case, approach.points)
    window = _window(approach, stop, here)
    choice = stacks[min(at.stack, len(stacks) - 1)] if stacks else None
    setting = setting_at(approach, stop, window, choice) if choice else None
    if setting is None:
        placed = placements(case.bay, approach.points, stop)
        missed = tuple(c for c, p in zip(CORNERS, placed, strict=True) if p is None)
        return There(at, None, None, missed or CORNERS, spans)
    evaluation = evaluate(case, setting)
    state = min(at.state, len(evaluation.states) - 1)
    return There(at, evaluation, scene(case, evaluation, state), (), spans)


def _window(approach: Approach, stop: Stop, here: tuple[SpotWindow, ...]) -> SpotWindow:
    """The window the stop lies in; a stop off the line gets its own, along the vehicle's axis."""
    if stop.sideways == 0.0 and stop.yaw == 0.0:
        for w in here:
            if w.low - 1e-9 <= stop.spot <= w.high + 1e-9:
                return w
        return SpotWindow(stop.spot, stop.spot, ())
    rows = windows_by_corner(approach.case.bay, approach.points, stop)
    for w in spot_windows(rows, ((-2.0, 2.0),)):
        if w.low - 1e-9 <= 0.0 <= w.high + 1e-9:
            return SpotWindow(stop.spot + w.low, stop.spot + w.high, ())
    return SpotWindow(stop.spot, stop.spot, ())
