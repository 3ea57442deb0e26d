"""Candidates of one bay, heading and point set: windows x spots x stacks, as complete settings."""

from __future__ import annotations

from dataclasses import dataclass
from math import floor

from underset.geometry import Placement, SpotWindow
from underset.planner.stacks import Stack, StackChoice
from underset.setting.borne import ledger_of
from underset.setting.evaluate import Case, Kept
from underset.setting.numbers import PointSetNumbers, Shelf
from underset.setting.place import (
    ARM_PLACES,
    TAIL_IN,
    Stop,
    placements,
    served_by,
    windows,
)
from underset.setting.result import ArmSetting, Piece, Setting

REACHABLE = (-8.0, 8.0)  # m: no bay is longer


@dataclass(frozen=True, slots=True)
class Approach:
    """One way to set the vehicle: heading and point set in one bay."""

    case: Case
    heading: str
    points: PointSetNumbers


def cg_limits(case: Case, heading: str, kept: Kept | None = None) -> tuple[float, float]:
    """Spots at which the CG lies within the lift maker's window in every state, worst corner."""
    kept = {} if kept is None else kept
    low, high = REACHABLE
    if case.bay.cg_window is None or case.vehicle.kerb is None:
        return low, high
    sign = -1.0 if heading == TAIL_IN else 1.0
    for state in case.states:
        if not state.lifted:
            continue
        _, _, carried = ledger_of(state, kept)
        ends = sorted((sign * carried.cg_low[0], sign * carried.cg_high[0]))
        low = max(low, case.bay.cg_window[0] - ends[0])
        high = min(high, case.bay.cg_window[1] - ends[1])
    return low, high


def spot_windows_of(approach: Approach, kept: Kept | None = None) -> tuple[SpotWindow, ...]:
    """Every window of spots in which all arms reach and the balance sits where it should, exact."""
    limits = cg_limits(approach.case, approach.heading, kept)
    if limits[0] > limits[1]:
        return ()
    return windows(approach.case.bay, approach.points, approach.heading, (limits,))


MOST_SPOTS = 7  # judged in one window: its middle, then runs of teeth spread over it


def spots(window: SpotWindow, heading: str) -> tuple[float, ...]:
    """Spots to judge in a window: its middle first, then middles of runs of teeth, outward.

    Of two as far from the middle, to a nanometre, the one with the nose less far ahead comes first.
    """
    middle = (window.low + window.high) / 2
    quarter = (window.high - window.low) / 4
    runs = sorted((p.low + p.high) / 2 for p in window.pieces)
    step = max(1, -(-len(runs) // (MOST_SPOTS - 3)))
    others = runs[step // 2 :: step]
    others += [window.low + quarter, window.high - quarter] if quarter > 0.02 else []
    ordered = {round(s, 6): s for s in (middle, *outward(others, middle, heading))}
    return tuple(ordered.values())[:MOST_SPOTS]


CLOSER = 0.025  # m between spots on a closer look
EDGE = 0.002  # m from the ends of a window: what stops in its middle is often least there


def outward(found: list[float], middle: float, heading: str) -> list[float]:
    """Spots in the order of their distance from the middle; see `spots` for equal distances."""
    ahead = -1.0 if heading == TAIL_IN else 1.0
    # Decision: distances count in whole nanometres, so that rounding never orders two spots.
    return sorted(found, key=lambda s: (floor(abs(s - middle) * 1e9 + 0.5), ahead * s))


def closer_spots(window: SpotWindow, heading: str) -> tuple[float, ...]:
    """Spots every 25 mm of a window and beside its ends, middle first, where others stop."""
    count = max(1, round((window.high - window.low) / CLOSER))
    step = (window.high - window.low) / count
    middle = (window.low + window.high) / 2
    even = [window.low + (i + 0.5) * step for i in range(count)]
    ends = [window.low + EDGE, window.high - EDGE] if step > 4 * EDGE else []
    return tuple(outward([*even, *ends], middle, heading))


def setting_at(
    approach: Approach, stop: Stop, window: SpotWindow, choice: StackChoice
) -> Setting | None:
    """The complete setting at one stop, or None when an arm cannot reach its point."""
    sure = placed_at(approach, stop)
    return set_on(approach, stop, window, sure, choice) if sure else None


def placed_at(approach: Approach, stop: Stop) -> tuple[Placement, ...]:
    """Where the four arms stand at one stop; none of them when one cannot reach its point."""
    placed = placements(approach.case.bay, approach.points, stop)
    sure = tuple([p for p in placed if p is not None])
    return sure if len(sure) == len(placed) else ()


def set_on(
    approach: Approach,
    stop: Stop,
    window: SpotWindow,
    sure: tuple[Placement, ...],
    choice: StackChoice,
) -> Setting:
    """The complete setting of arms that stand so, on these stacks."""
    case = approach.case
    arms = tuple(arm_setting(approach, i, sure[i], choice) for i in range(4))
    return Setting(
        vehicle=case.vehicle.id,
        bay=case.bay.id,
        job=case.job,
        heading=stop.heading,
        point_set=approach.points.id,
        spot=stop.spot,
        sideways=stop.sideways,
        yaw=stop.yaw,
        window=(window.low, window.high),
        fixed_window=_fixed(window, stop.spot, sure),
        seat=choice.seat,
        arms=arms,  # type: ignore[arg-type]
    )


def arm_setting(approach: Approach, i: int, p: Placement, choice: StackChoice) -> ArmSetting:
    """One arm with its stack piece by piece, screw turned out as the choice says."""
    point = approach.points.points[i]
    pieces = stacked(approach.case.shelf, choice.stacks[i], choice.screws[i], choice.seat)
    turns = [x.turns for x in pieces if x.turns is not None]
    sign = -1.0 if approach.heading == TAIL_IN else 1.0
    at = (p.pad[0] - sign * p.along, p.pad[1] - sign * p.across)
    return ArmSetting(
        corner=point.corner,
        arm=ARM_PLACES[served_by(approach.heading)[i]],
        tooth=p.tooth,
        swing=p.swing,
        reach=p.reach,
        pad=p.pad,
        point=at,
        along=p.along,
        across=p.across,
        stack=pieces,
        screw=choice.screws[i],
        turns=sum(turns) if turns else None,
        contact=point.contact,
    )


def stacked(shelf: Shelf, stack: Stack, screw: float, seat: float) -> tuple[Piece, ...]:
    """Pieces from the seat up with the heights of their faces; the topmost screws turn first."""
    shares, left = {}, screw
    for name in reversed(stack.ids):
        shares[name] = min(left, shelf.types[name].travel)
        left -= shares[name]
    pieces, face = [], seat
    for name in stack.ids:
        t = shelf.types[name]
        top = face + t.height + shares[name]
        turned = t.thread is not None and t.travel > 0.0
        pieces.append(
            Piece(
                name, t.label, t.role, face, top, shares[name], t.travel or None,
                shares[name] / t.thread if turned and t.thread else None,
            )
        )  # fmt: skip
        face = top
    return tuple(pieces)


def _fixed(window: SpotWindow, spot: float, placed: tuple[Placement, ...]) -> tuple[float, float]:
    """Part of the window round the spot in which the chosen teeth all still work."""
    low = high = spot
    runs = [p for p in window.pieces if _works(p.teeth_by_arm, placed)]
    for run in sorted(runs, key=lambda p: p.low):
        if run.low <= high + 1e-9 and run.high >= spot - 1e-9:
            high = max(high, run.high)
    for run in sorted(runs, key=lambda p: -p.high):
        if run.high >= low - 1e-9 and run.low <= spot + 1e-9:
            low = min(low, run.low)
    return low, high


def _works(teeth_by_arm: tuple[tuple[int | None, ...], ...], placed: tuple[Placement, ...]) -> bool:
    return all(p.tooth in teeth for p, teeth in zip(placed, teeth_by_arm, strict=True))
