"""A vehicle that has stopped: where it stands, typed or by tape, and its Plan like any other."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from underset.app.planning import Planned, Wish, cases_for
from underset.errors import InputError
from underset.job import hold_points
from underset.planner.missing import missing
from underset.planner.parked import AsParked, Move, as_parked
from underset.planner.tape import MeasuredStop, TapeReading, named_places, stop_from_tape
from underset.records import Workshop
from underset.setting.evaluate import Case
from underset.setting.place import HEADINGS, Stop
from underset.setting.result import Choice, Outcome, Plan, Remedy
from underset.setting.scene import scene
from underset.setting.standing import Standing
from underset.setting.wording import amount

TAPE = 0.005  # m: what a tape read beside a tyre is good for, shop policy
WAYS = {"en": {"forward": "forward", "back": "back"}, "de": {"forward": "vor", "back": "zurück"}}
MOVE = {
    "en": "Move the vehicle {0} {1}; {2} gives room on both sides.",
    "de": "Das Fahrzeug {1} {0} rollen; {2} lässt Platz auf beiden Seiten.",
}


@dataclass(frozen=True, slots=True)
class Stood:
    """Where a vehicle stands: past the bay's mark and to the left, m; turned to the left, rad.

    Tape readings, when there are any, are fitted instead, and `past` only says about where. What
    nobody read sideways or askew is not zero: it may be anything within policy's parking tolerance.
    A figure without a tolerance of its own has that of a tape.
    """

    heading: str
    past: float | None = None
    sideways: float | None = None
    yaw: float | None = None
    tolerance: tuple[float, float, float] = (0.0, 0.0, 0.0)
    readings: tuple[TapeReading, ...] = ()


def reading(place: str, column: str, distance: float, tol: float = 0.0) -> TapeReading:
    """A reading in m; without a tolerance of its own a tape's is taken."""
    if column not in ("left", "right"):
        raise InputError("column", column, "left or right")
    side: Literal["left", "right"] = "left" if column == "left" else "right"
    return TapeReading(place, side, distance, tol or TAPE)


def reading_of(text: str) -> TapeReading:
    """A reading as typed: "LF tyre, left, 412 ± 5 mm". Raises InputError for anything else."""
    from underset.units import parse_quantity

    parts = [p.strip() for p in text.split(",")]
    if len(parts) != 3 or parts[1] not in ("left", "right"):
        raise InputError(
            "--tape", text, 'a place, a column and a distance: "LF tyre, left, 412 mm"'
        )
    distance = parse_quantity(parts[2], "length", field="--tape")
    return reading(parts[0], parts[1], distance.value, distance.tol)


def parked_plan(
    workshop: Workshop, wish: Wish, stood: Stood, papers: Standing, look: tuple[str, str]
) -> Planned:
    """Plan one bay for the vehicle as it stands; moves that would help come as remedies.

    `papers` are those of the day; `look` is units and language of the moves in words.
    """
    if len(wish.bays) != 1:
        raise InputError("bay", ", ".join(wish.bays) or "none", "the one bay it stands in")
    cases = cases_for(workshop, wish, papers)
    case = cases[wish.bays[0]]
    found = judged_where(case, stood, wish.point_set)
    plan = _plan(workshop, case, found, look)
    return Planned(wish, plan, cases, {wish.bays[0]: plan}, parked=True)


def judged_where(case: Case, stood: Stood, point_set: str | None) -> AsParked:
    """The vehicle judged where it stands, and the moves that would help.

    Raises InputError for readings that do not agree or do not fix the stop.
    """
    if stood.heading not in HEADINGS:
        raise InputError("heading", stood.heading, f"one of {', '.join(HEADINGS)}")
    return as_parked(case, _measured(case, stood), point_set)


def _measured(case: Case, stood: Stood) -> MeasuredStop:
    mark = case.bay.mark[1] if case.bay.mark else 0.0
    near = None if stood.past is None else mark + stood.past
    if stood.readings:
        places = named_places(case.vehicle)
        return stop_from_tape(stood.readings, places, case.bay, stood.heading, near)
    if near is None:
        raise InputError("spot", "nothing", "a distance past the mark, or tape readings")
    along, across, askew = stood.tolerance
    turn = 2.0 * TAPE / case.vehicle.wheelbase  # a tape at each axle
    return MeasuredStop(
        Stop(stood.heading, near, stood.sideways or 0.0, stood.yaw or 0.0),
        along or TAPE,
        case.policy["park_across"] if stood.sideways is None else across or TAPE,
        case.policy["park_yaw"] if stood.yaw is None else askew or turn,
    )


def _plan(workshop: Workshop, case: Case, found: AsParked, look: tuple[str, str]) -> Plan:
    best = found.evaluation
    usable = found.outcome is Outcome.FOUND and best is not None
    return Plan(
        outcome=found.outcome,
        best=best,
        choices=(_choice(found),) if usable else (),
        refusals=found.refusals,
        remedies=tuple(_moves(found.moves, case.bay.id, look)),
        missing=missing(case, best) if best else (),
        candidates=sum(r.count for r in found.refusals) + usable,
        scene=scene(case, best) if best else None,
        hold_points=hold_points(case, best, look[1]) if best else (),
        invented=workshop.about.invented or case.vehicle.invented or case.bay.invented,
    )


def _choice(found: AsParked) -> Choice:
    assert found.evaluation is not None
    e, s = found.evaluation, found.evaluation.setting
    pieces = sum(len(a.stack) for a in s.arms)
    return Choice(
        s.bay, s.heading, s.point_set, e.status, e.least_slack, s.spot, s.window, pieces, e
    )


def _moves(moves: Sequence[Move], bay: str, look: tuple[str, str]) -> list[Remedy]:
    units, language = look
    return [
        Remedy(
            "move",
            MOVE[language].format(
                amount(m.least, "m", units, language), WAYS[language][m.way],
                amount(m.aim, "m", units, language),
            ),
            1, Outcome.FOUND, bay, m.evaluation,
        )
        for m in moves
    ]  # fmt: skip
