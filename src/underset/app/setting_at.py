"""The setting at one stop: what a drag, a measured stop or a page asks for, judged at once."""

from __future__ import annotations

from dataclasses import dataclass

from underset.geometry import SpotWindow, spot_windows
from underset.planner.candidates import Approach, setting_at, spot_windows_of
from underset.planner.stacks import StackChoice, stack_choices
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

    @property
    def nearest(self) -> float | None:
        """The nearest stop inside a window of the straight approach; None where there is none."""
        stops = [min(max(self.at.spot, low), high) for low, high in self.windows]
        return min(stops, key=lambda x: abs(x - self.at.spot), default=None)


@dataclass(frozen=True, slots=True)
class Held:
    """What does not change while the vehicle is moved: approach, its windows, choices of stacks."""

    approach: Approach
    windows: tuple[SpotWindow, ...]
    stacks: tuple[StackChoice, ...]


def held(case: Case, heading: str, point_set: str) -> Held:
    """Everything of one approach that a drag asks for again and again."""
    approach = Approach(case, heading, case.point_set(point_set))
    stacks = tuple(stack_choices(case, approach.points))
    return Held(approach, tuple(spot_windows_of(approach)), stacks)


def judged_at(held: Held, at: At) -> There:
    """Judge the setting at one stop. Never raises for a physical reason."""
    approach, case = held.approach, held.approach.case
    stop = Stop(at.heading, at.spot, at.sideways, at.yaw)
    spans = tuple((w.low, w.high) for w in held.windows)
    window = _window(approach, stop, held.windows)
    choice = held.stacks[min(at.stack, len(held.stacks) - 1)] if held.stacks else None
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
