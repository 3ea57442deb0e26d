"""Support stands: where one may stand and how hard it must push so that every later step holds.

Pad loads are linear in the push of a stand, so each demand of the judge is one straight line in
that push for a fixed place, and one half-plane of places for a fixed push (`statics.stands`). The
lines are built for the worst corner of the ledger, as the judge's checks are; what follows from
them is judged again before it is shown.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from underset.geometry import convex_pieces
from underset.job.stand_demands import demands_on
from underset.setting import loads
from underset.setting.catalogue import CHECKS
from underset.setting.evaluate import Case, evaluate
from underset.setting.result import Check, Evaluation, Status
from underset.setting.stand_loads import STAND, load_change
from underset.setting.state import State, Support
from underset.statics import Clash, Demand, Polygon, place_region, preload_range

Point = tuple[float, float]
NAME = "support-stand"
AT_REST = "-at-rest"
GREATEST = 25_000.0  # N: decision, no stand for road vehicles is asked to take more
LEAST_RANGE = 100.0  # N: decision, a preload must be settable by hand to within so much
GRID = 6


@dataclass(frozen=True, slots=True)
class StandAdvice:
    """A stand at one place of the vehicle, or why none there helps. Places in V as (aft, side).

    `preload_low` to `preload_high` is what it may be set to at (aft, side); `region` is where a
    stand of `preload` serves; `load_low` to `load_high` is what it then takes over the later
    states. It is set in the state `set_in`, once the lift stands still, and stands through `until`.
    """

    state: str
    fails: str
    holds: bool
    place: str = ""
    label: str = ""
    aft: float = 0.0
    side: float = 0.0
    up: float = 0.0
    region: Polygon = ()
    preload: float = 0.0
    preload_low: float = 0.0
    preload_high: float = 0.0
    load_low: float = 0.0
    load_high: float = 0.0
    set_in: str = ""
    until: str = ""
    end: str = ""
    opposite: bool = True
    reason: str = ""
    cautions: tuple[str, ...] = ()
    evaluation: Evaluation | None = None


@dataclass(frozen=True, slots=True)
class _Span:
    """The states a stand must serve: from the one it is set in to the last that needs it."""

    case: Case
    evaluation: Evaluation
    first: int
    failing: int
    last: int

    @property
    def states(self) -> tuple[State, ...]:
        return self.case.states[self.first : self.last + 1]

    @property
    def fails(self) -> Check:
        """What fails first."""
        return next(c for c in self.evaluation.states[self.failing].checks if _stops(c))

    def advice(self, holds: bool, **more: object) -> StandAdvice:
        """An advice for this span."""
        state = self.evaluation.states[self.failing].name
        return StandAdvice(state, self.fails.name, holds, **more)  # type: ignore[arg-type]


def stand_advice(case: Case, evaluation: Evaluation) -> tuple[StandAdvice, ...]:
    """For a setting that stops in a later state: stands that make every state hold, best first.

    Empty where nothing stops, or where something stops that no stand can mend. One advice that
    does not hold, with its reason, where no stand does.
    """
    span = _span(case, evaluation)
    if isinstance(span, StandAdvice):
        return (span,)
    if span is None:
        return ()
    tried = [_at_place(span, *place) for place in case.vehicle.stand_places]
    serving = [a for a in tried if a.holds]
    if serving:
        return tuple(sorted(serving, key=lambda a: (a.load_high, a.place)))
    return (_none_serves(span, tried),)


# --- which states ---------------------------------------------------------------------------------


def _stops(check: Check) -> bool:
    return check.status is Status.STOPS and CHECKS[check.name].group in ("load", "stability")


def _span(case: Case, evaluation: Evaluation) -> _Span | StandAdvice | None:
    stops = [c for c in evaluation.checks if c.status is Status.STOPS]
    if not stops or not all(_stops(c) for c in stops):
        return None
    failing = [i for i, s in enumerate(evaluation.states) if any(map(_stops, s.checks))]
    span = _Span(case, evaluation, failing[0], failing[0], failing[-1])
    up = next(i for i, s in enumerate(case.states) if s.lifted)
    if failing[0] == up:
        why = "it fails as soon as the lift takes it: no stand comes before that"
        return span.advice(False, reason=why)
    moved = [i for i in range(failing[0], failing[-1] + 1) if case.states[i].moves_lift]
    if moved:
        label = case.states[moved[0]].label
        return span.advice(False, reason=f"the lift moves ({label}) while it would have to stand")
    first = _set_in(case.states, failing[0])
    if first is None:
        return span.advice(False, reason="no step before leaves time to set it")
    span = replace(span, first=first)
    return _come_to_rest(span) if case.states[first].moves_lift else span


def _come_to_rest(span: _Span) -> _Span:
    """The span with a state put in once the lift has stopped: a stand is set there, not before."""
    states = list(span.case.states)
    moving = states[span.first]
    still = replace(moving, name=moving.name + AT_REST, moves_lift=False, pushes=())
    case = replace(span.case, states=(*states[: span.first + 1], still, *states[span.first + 1 :]))
    evaluation = evaluate(case, span.evaluation.setting)
    return _Span(case, evaluation, span.first + 1, span.failing + 1, span.last + 1)


def _set_in(states: Sequence[State], failing: int) -> int | None:
    """The last state before the failing one that has no table under it and no move after it."""
    for i in range(failing - 1, -1, -1):
        if not states[i].lifted:
            return None
        if not any(s.kind != STAND for s in states[i].supports):
            return i
        if states[i].moves_lift:
            return None
    return None


# --- one place ------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Serving:
    """What a stand at one spot must do: preloads allowed, and its loads over the states."""

    at: Point
    low: float
    high: float
    rows: tuple[tuple[float, float], ...]

    @property
    def room(self) -> float:
        return self.high - self.low

    def loads(self, preload: float) -> tuple[float, float]:
        """Least and greatest load over the states."""
        return (
            min(preload + low for low, _ in self.rows),
            max(preload + high for _, high in self.rows),
        )


class _Demands:
    """The judge's demands on every state of a span, as lines in the load of a stand."""

    def __init__(self, span: _Span, limit: float) -> None:
        case, setting = span.case, span.evaluation.setting
        self.foot = loads.footing(case.vehicle, case.bay, case.shelf, case.policy, setting)
        self.states = span.states
        self.limit = limit
        self.rows: tuple[tuple[Demand, ...], ...] = tuple(
            tuple(demands_on(state, self.foot, case)) for state in self.states
        )

    def serving(self, at: Point) -> _Serving | Clash:
        """Preloads at a spot of V that serve every state, whatever the stiffness of the stand."""
        low, high, rows = 0.0, self.limit, []
        for state, demands in zip(self.states, self.rows, strict=True):
            change = load_change(self.states[0], state, at, self.foot.forms)
            load = preload_range(demands, at, self.limit)
            if isinstance(load, Clash):
                return load
            rows.append(change)
            low, high = max(low, load.low - change[0]), min(high, load.high - change[1])
        if high - low < LEAST_RANGE:
            return Clash(low, high, "every state", "every state")
        return _Serving(at, low, high, tuple(rows))

    def serves(self, at: Point, preload: float) -> bool:
        """Whether a stand of this preload serves at a spot."""
        found = self.serving(at)
        return isinstance(found, _Serving) and found.low - 1e-6 <= preload <= found.high + 1e-6


def _at_place(
    span: _Span, name: str, label: str, area: Polygon, up: float, limit: float | None
) -> StandAdvice:
    demands = _Demands(span, GREATEST if limit is None else limit)
    best = _best_spot(demands, area)
    if best is None:
        clash = demands.serving(_middle(area))
        reason = _why_not(clash) if isinstance(clash, Clash) else ""
        return span.advice(False, place=name, label=label, reason=reason)
    preload = (best.low + best.high) / 2
    low, high = best.loads(preload)
    judged = _judged_with_stand(
        span.case, span.evaluation, best.at, preload, (span.first, span.last)
    )
    end, opposite = _ends(span, best.at)
    return span.advice(
        judged.status is not Status.STOPS,
        place=name,
        label=label,
        aft=-best.at[0],
        side=best.at[1],
        up=up,
        region=_region(demands, area, best, preload),
        preload=preload,
        preload_low=best.low,
        preload_high=best.high,
        load_low=low,
        load_high=high,
        set_in=span.case.states[span.first].name.removesuffix(AT_REST),
        until=span.case.states[span.last].name,
        end=end,
        opposite=opposite,
        cautions=_cautions(span, end, opposite),
        evaluation=judged,
    )


def _judged_with_stand(
    case: Case, evaluation: Evaluation, at: Point, preload: float, span: tuple[int, int]
) -> Evaluation:
    """The evaluation with a stand set in the first state of a span and standing to its last."""
    return evaluate(with_stand(case, at, preload, span), evaluation.setting)


def with_stand(case: Case, at: Point, preload: float, span: tuple[int, int]) -> Case:
    """The case with a stand at a place of V from one state to another, both included."""
    stand = Support(NAME, at, preload, 0.0, STAND)
    states = tuple(
        replace(s, supports=(*s.supports, stand)) if span[0] <= i <= span[1] else s
        for i, s in enumerate(case.states)
    )
    return replace(case, states=states)


# --- places ---------------------------------------------------------------------------------------


def _best_spot(demands: _Demands, area: Polygon) -> _Serving | None:
    """The spot with the widest range of preloads; ties go to the middle line."""
    found = [demands.serving(p) for p in spots_of(area)]
    serving = [s for s in found if isinstance(s, _Serving)]
    return max(serving, key=lambda s: (round(s.room, 1), -round(abs(s.at[1]), 3)), default=None)


def spots_of(area: Polygon) -> tuple[Point, ...]:
    """Corners, middles of sides and an even grid of a place, on its middle line first."""
    xs, ys = [x for x, _ in area], [y for _, y in area]
    steps = [i / GRID for i in range(GRID + 1)]
    grid = [
        (min(xs) + u * (max(xs) - min(xs)), min(ys) + v * (max(ys) - min(ys)))
        for u in steps
        for v in steps
    ]
    ends = zip(area, (*area[1:], area[0]), strict=True)
    sides = [((a[0] + b[0]) / 2, (a[1] + b[1]) / 2) for a, b in ends]
    pieces = convex_pieces(area)
    inside = [p for p in grid if any(_inside(piece, p) for piece in pieces)]
    return (_middle(area), *area, *sides, *inside)


def _middle(area: Polygon) -> Point:
    return sum(x for x, _ in area) / len(area), sum(y for _, y in area) / len(area)


def _inside(convex: Polygon, p: Point) -> bool:
    turns = [
        (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0])
        for a, b in zip(convex, (*convex[1:], convex[0]), strict=True)
    ]
    return min(turns) >= -1e-12 or max(turns) <= 1e-12


def _region(demands: _Demands, area: Polygon, best: _Serving, preload: float) -> Polygon:
    """Where a stand of this preload serves, as (aft, side) corners, each checked by itself.

    Cut exactly for the loads the stand takes at its best spot; because those change a little with
    the place, a corner that does not serve is drawn toward the best spot until it does.
    """
    piece = next((p for p in convex_pieces(area) if _inside(p, best.at)), area)
    for row, (low, high) in zip(demands.rows, best.rows, strict=True):
        for load in {preload + low, preload + high}:
            piece = place_region(row, load, piece)
    corners = [_drawn_in(demands, best.at, corner, preload) for corner in piece]
    return tuple((-x, y) for x, y in corners)


def _drawn_in(demands: _Demands, at: Point, corner: Point, preload: float) -> Point:
    if demands.serves(corner, preload):
        return corner
    good, bad = 0.0, 1.0
    for _ in range(20):
        part = (good + bad) / 2
        here = (at[0] + part * (corner[0] - at[0]), at[1] + part * (corner[1] - at[1]))
        good, bad = (part, bad) if demands.serves(here, preload) else (good, part)
    return at[0] + good * (corner[0] - at[0]), at[1] + good * (corner[1] - at[1])


# --- words ----------------------------------------------------------------------------------------


def _why_not(clash: Clash) -> str:
    if clash.needed_by == "every state":
        return "no one preload serves every state"
    if clash.needed > GREATEST:
        return f"no push there helps: {clash.needed_by}"
    return (
        f"{clash.needed_by} needs at least {clash.needed:.0f} N,"
        f" {clash.allowed_by} allows at most {clash.allowed:.0f} N"
    )


def _ends(span: _Span, at: Point) -> tuple[str, bool]:
    """The end a stand supports, and whether that is opposite to where weight came off."""
    points = span.case.point_set(span.evaluation.setting.point_set).points
    middle = sum(p.place[0] for p in points) / 4
    before, after = span.case.states[span.first], span.case.states[span.failing]
    gone = sum(i.mass * (i.place[0] - middle) for i in before.items)
    gone -= sum(i.mass * (i.place[0] - middle) for i in after.items)
    return ("front" if at[0] > middle else "rear"), gone * (at[0] - middle) <= 0.0


def _cautions(span: _Span, end: str, opposite: bool) -> tuple[str, ...]:
    # A vehicle maker's manual of 1997: support goes at the end opposite the removed parts, and the
    # frame is chained to the pads at the same end as the removed parts.
    away = span.case.states[span.last].label
    other = {"front": "rear", "rear": "front"}[end]
    same = other if opposite else end
    said = [
        f"Set it under the {end} end before the part comes off; secure the {same} end to its arms.",
        f"The lift does not move while it stands; take it away only after “{away}” is over.",
        "Look at all four pads again once it is set, and before any lift movement afterwards.",
    ]
    if not opposite:
        said.append("It stands at the end the part comes off: keep the part's way down clear.")
    return tuple(said)


def _none_serves(span: _Span, tried: Sequence[StandAdvice]) -> StandAdvice:
    """No stand on file helps: why, and where the body would have to offer a place."""
    reasons = list(_reasons(tried))
    if tried:
        return span.advice(False, reason="; ".join(reasons))
    outline = span.case.vehicle.outline
    if outline is None:
        return span.advice(False, reason="no place for a stand is on file for this vehicle")
    front, rear, half = outline
    area = ((front, half / 2), (rear, half / 2), (rear, -half / 2), (front, -half / 2))
    demands = _Demands(span, GREATEST)
    best = _best_spot(demands, area)
    if best is None:
        return span.advice(False, reason="no place for a stand is on file, and none would help")
    preload = (best.low + best.high) / 2
    end, opposite = _ends(span, best.at)
    return span.advice(
        False,
        reason=f"no place for a stand is on file; one under the {end} end would serve",
        region=_region(demands, area, best, preload),
        preload=preload,
        preload_low=best.low,
        preload_high=best.high,
        end=end,
        opposite=opposite,
    )


def _reasons(tried: Sequence[StandAdvice]) -> Iterator[str]:
    for a in tried:
        why = a.reason or "judged again, it does not hold"
        if a.evaluation is not None:
            stops = {c.name for c in a.evaluation.checks if c.status is Status.STOPS}
            why = f"judged again, {', '.join(sorted(stops))} stops"
        yield f"{a.label}: {why}"
