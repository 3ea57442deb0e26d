"""As parked: new teeth, reaches, screws and checks where the vehicle stands, or how far to move.

The stop may lie off the line and askew. Moves are along the vehicle's own axis: the windows of
travel are exact, and the least move that gives a usable setting is found by judging within them.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import cos, sin

from underset.geometry import Piece as WindowPiece
from underset.geometry import SpotWindow, spot_windows
from underset.planner.candidates import Approach
from underset.planner.search import Found, Limits, rank_key, search_at
from underset.planner.tape import MeasuredStop
from underset.records.policy import Policy
from underset.setting.evaluate import Case
from underset.setting.loads import box_in_L
from underset.setting.numbers import PointSetNumbers
from underset.setting.place import TAIL_IN, Stop, windows_by_corner
from underset.setting.result import Evaluation, Outcome, Refusal
from underset.statics import total

FARTHEST = 3.0  # m: nobody shunts a vehicle farther within one bay
STEP = 0.001  # m: a move is told to the millimetre
MOST_TRIES = 12  # places judged in one direction
LIMITS = Limits(candidates=200, choices=1)


@dataclass(frozen=True, slots=True)
class Move:
    """A move along the vehicle's own axis, m: the least that gives a usable setting, and the one
    to aim at, which leaves room on both sides; `evaluation` is that of the aim.
    """

    way: str
    least: float
    aim: float
    evaluation: Evaluation


@dataclass(frozen=True, slots=True)
class AsParked:
    """What can be done where the vehicle stands: the best setting there, else moves each way."""

    stop: MeasuredStop
    outcome: Outcome
    evaluation: Evaluation | None
    moves: tuple[Move, ...]
    refusals: tuple[Refusal, ...]


def as_parked(case: Case, measured: MeasuredStop, point_set: str | None = None) -> AsParked:
    """Plan for a vehicle that has stopped. Never raises for a physical reason.

    The parking tolerance of policy gives way to the tolerance of the measurement.
    """
    here = replace(case, policy=measured_policy(case.policy, measured))
    sets = [p for p in here.vehicle.point_sets if point_set in (None, p.id)]
    found = [(p, _at(here, p, measured.stop)) for p in sets]
    usable = sorted((c for _, f in found for c in f.choices), key=rank_key)
    refusals = tuple(r for _, f in found for r in f.refusals())
    if usable:
        return AsParked(measured, Outcome.FOUND, usable[0].evaluation, (), refusals)
    nearest = [e for _, f in found for e in (f.best_unclear() or f.best_stopped(),) if e]
    unclear = any(f.unclear for _, f in found)
    moves = tuple(_moves(here, sets, measured.stop))
    return AsParked(
        measured, Outcome.INCOMPLETE if unclear else Outcome.NONE,
        nearest[0] if nearest else None, moves, refusals,
    )  # fmt: skip


def measured_policy(policy: Policy, measured: MeasuredStop) -> Policy:
    """The policy with the parking tolerances replaced by those of a measured stop."""
    new = {
        "park_along": measured.spot_tol,
        "park_across": measured.sideways_tol,
        "park_yaw": measured.yaw_tol,
    }
    return Policy(
        tuple(
            replace(t, value=new[t.name], text=f"{new[t.name]:.4g}", source="stop as measured")
            if t.name in new
            else t
            for t in policy.thresholds
        )
    )


def _at(case: Case, points: PointSetNumbers, stop: Stop) -> Found:
    """The search at one stop, in whatever window of travel it stands."""
    window = next(
        (w for w in travel_windows(case, points, stop) if w.low - 1e-9 <= 0.0 <= w.high + 1e-9),
        SpotWindow(0.0, 0.0, ()),
    )
    approach = Approach(case, stop.heading, points)
    return search_at(approach, stop, _shifted(window, stop.spot), LIMITS)


def travel_windows(case: Case, points: PointSetNumbers, stop: Stop) -> tuple[SpotWindow, ...]:
    """Intervals of travel from a stop in which every arm reaches and the balance is in its window.

    Exact; along +x turned by the vehicle's yaw, so tail in a vehicle goes back with rising travel.
    """
    low, high = _balance_limits(case, stop)
    rows = windows_by_corner(case.bay, points, stop)
    return spot_windows(rows, ((low, high),)) if low <= high else ()


def _balance_limits(case: Case, stop: Stop) -> tuple[float, float]:
    low, high = -FARTHEST, FARTHEST
    if case.bay.cg_window is None or case.vehicle.kerb is None:
        return low, high
    for state in case.states:
        if state.lifted:
            carried = total((*state.items, *state.supports_as_items()))
            (x_low, _), (x_high, _) = box_in_L(carried, stop.pose)
            low = max(low, (case.bay.cg_window[0] - x_low) / cos(stop.yaw))
            high = min(high, (case.bay.cg_window[1] - x_high) / cos(stop.yaw))
    return low, high


def _shifted(window: SpotWindow, by: float) -> SpotWindow:
    pieces = tuple(WindowPiece(p.low + by, p.high + by, p.teeth_by_arm) for p in window.pieces)
    return SpotWindow(window.low + by, window.high + by, pieces)


# --- moves ---------------------------------------------------------------------------------------


def _moves(case: Case, sets: list[PointSetNumbers], stop: Stop) -> Iterator[Move]:
    """The least usable move forward and the least back, whichever point set gives it."""
    for way in ("forward", "back"):
        sign = (1.0 if way == "forward" else -1.0) * (-1.0 if stop.heading == TAIL_IN else 1.0)
        found = [m for p in sets for m in (_move(case, p, stop, sign, way),) if m is not None]
        if found:
            yield min(found, key=lambda m: m.least)


def _move(case: Case, points: PointSetNumbers, stop: Stop, sign: float, way: str) -> Move | None:
    tries = 0
    for near, far in _ahead(travel_windows(case, points, stop), sign):
        short = near
        for aim in _aims(near, far, case.policy["park_along"]):
            tries += 1
            evaluation = _usable(case, points, moved(stop, sign * aim))
            if evaluation is not None:
                least = _least(case, points, stop, (short, aim), sign)
                return Move(way, least, aim, evaluation)
            short = aim
            if tries >= MOST_TRIES:
                return None
    return None


def _ahead(windows: tuple[SpotWindow, ...], sign: float) -> list[tuple[float, float]]:
    """Windows as distances to go in one direction, nearest first; what lies behind is cut off."""
    spans = [sorted((sign * w.low, sign * w.high)) for w in windows]
    return sorted((max(low, STEP), high) for low, high in spans if high > STEP)


def _aims(near: float, far: float, room: float) -> list[float]:
    """Distances to try in one window: as near as leaves room on both sides, then farther on."""
    inner = min(near + max(room, 0.005), (near + far) / 2)
    later = (near + (far - near) * part for part in (0.25, 0.5, 0.75))
    return [inner, *(d for d in later if d > inner)]


def _least(
    case: Case, points: PointSetNumbers, stop: Stop, span: tuple[float, float], sign: float
) -> float:
    """Least usable move between one that is too short and one that works, to the millimetre."""
    low, high = span
    if _usable(case, points, moved(stop, sign * low)) is not None:
        return low
    while high - low > STEP:
        middle = (low + high) / 2
        if _usable(case, points, moved(stop, sign * middle)) is None:
            low = middle
        else:
            high = middle
    return high


def _usable(case: Case, points: PointSetNumbers, stop: Stop) -> Evaluation | None:
    found = _at(case, points, stop)
    return found.choices[0].evaluation if found.choices else None


def moved(stop: Stop, travel: float) -> Stop:
    """The stop after a move along +x as the vehicle stands."""
    return Stop(
        stop.heading,
        stop.spot + travel * cos(stop.yaw),
        stop.sideways + travel * sin(stop.yaw),
        stop.yaw,
    )
