"""As parked: where the vehicle really stopped, typed or by tape, and what can be done there."""

from __future__ import annotations

from dataclasses import dataclass

from underset.app.planning import Wish, cases_for
from underset.app.shop import Shop
from underset.app.stops import Stood, judged_where
from underset.planner.parked import AsParked
from underset.planner.tape import named_places
from underset.setting.evaluate import Case
from underset.setting.result import Evaluation, Status
from underset.setting.wording import amount, say, title

REASONS = 4
_KEYS = {
    **{Status.HOLDS: "holds", Status.WATCH: "watch"},
    **{Status.NOT_KNOWN: "unknown", Status.STOPS: "stops"},
}


@dataclass(frozen=True, slots=True)
class CornerLine:
    """One corner as it is to be set."""

    corner: str
    arm: str
    tooth: str
    reach: str
    turns: str
    load: str


@dataclass(frozen=True, slots=True)
class MoveLine:
    """A move along the vehicle's axis that helps."""

    way: str
    least: str
    aim: str


@dataclass(frozen=True, slots=True)
class ParkedShown:
    """What can be done at a stop, in the visitor's units; the stop itself in m and rad."""

    outcome: str
    key: str
    heading: str
    point_set: str
    spot: float
    sideways: float
    yaw: float
    told: tuple[str, str, str]
    corners: tuple[CornerLine, ...]
    reasons: tuple[str, ...]
    moves: tuple[MoveLine, ...]


def tape_places(shop: Shop, wish: Wish) -> tuple[str, ...]:
    """Where a tape can be held at a vehicle."""
    return tuple(named_places(_case(shop, wish, None).vehicle))


def parked(
    shop: Shop, wish: Wish, stood: Stood, person: str | None, look: tuple[str, str]
) -> ParkedShown:
    """Judge the vehicle where it stands; `look` is units and language.

    Raises InputError for readings that do not agree or do not fix the stop.
    """
    return _shown(judged_where(_case(shop, wish, person), stood, wish.point_set), look)


def _case(shop: Shop, wish: Wish, person: str | None) -> Case:
    cases = cases_for(shop.workshop(), wish, shop.standing(person))
    return cases[wish.bays[0]]


def mark_of(shop: Shop, bay: str) -> tuple[str, float]:
    """The bay's floor mark and its x in L; the lift's own middle without one."""
    around = shop.workshop().bay(bay).surroundings
    x = getattr(around.mark_x, "value", None)
    return (around.mark, float(x)) if x is not None else ("", 0.0)


def _shown(found: AsParked, look: tuple[str, str]) -> ParkedShown:
    stop, best = found.stop.stop, found.evaluation
    usable = found.outcome.value == "found" and best is not None
    status = best.status if usable and best else Status.STOPS
    if found.outcome.value == "incomplete":
        status = Status.NOT_KNOWN
    tol = found.stop
    return ParkedShown(
        outcome=found.outcome.value,
        key=_KEYS[status],
        heading=stop.heading,
        point_set=best.setting.point_set if best else "",
        spot=stop.spot,
        sideways=stop.sideways,
        yaw=stop.yaw,
        told=(
            _length(stop.spot, tol.spot_tol, look), _length(stop.sideways, tol.sideways_tol, look),
            _angle(stop.yaw, tol.yaw_tol, look),
        ),
        corners=_corners(best, look) if usable and best else (),
        reasons=_reasons(found, look),
        moves=tuple(
            MoveLine(m.way, amount(m.least, "m", *look), amount(m.aim, "m", *look))
            for m in found.moves
        ),
    )  # fmt: skip


def _length(value: float, tol: float, look: tuple[str, str]) -> str:
    text = amount(value, "m", *look)
    return f"{text} ± {amount(tol, 'm', *look)}" if tol else text


def _angle(value: float, tol: float, look: tuple[str, str]) -> str:
    text = amount(value, "rad", *look)
    return f"{text} ± {amount(tol, 'rad', *look)}" if tol else text


def _corners(best: Evaluation, look: tuple[str, str]) -> tuple[CornerLine, ...]:
    loads = next((s.pads for s in best.states if s.known and s.lifted), None)
    lines = []
    for i, arm in enumerate(best.setting.arms):
        load = amount(loads[i].nominal, "N", *look) if loads else "–"
        lines.append(
            CornerLine(
                arm.corner, arm.arm, "–" if arm.tooth is None else str(arm.tooth),
                amount(arm.reach, "m", *look), "–" if arm.turns is None else f"{arm.turns:.1f}",
                load,
            )
        )  # fmt: skip
    return tuple(lines)


def _reasons(found: AsParked, look: tuple[str, str]) -> tuple[str, ...]:
    if found.outcome.value == "found" and found.evaluation is not None:
        watched = [c for c in found.evaluation.checks if c.status is Status.WATCH]
        return tuple(dict.fromkeys(say(c, *look) for c in watched))[:REASONS]
    told = []
    for refusal in found.refusals:
        near = refusal.nearest
        told.append(say(near, *look) if near else title(refusal.check, look[1]))
    return tuple(dict.fromkeys(told))[:REASONS]
