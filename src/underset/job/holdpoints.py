"""Hold points of one vehicle and job, from "bay clear" to "arms out": where people stop and look.

Generated from the setting that was judged. A fact's value is plain text, or a figure with its SI
unit in front ("m:0.034", "N:1234", "rad:0.52", "kg:205", "1:0.62", "turns:3.5") for the printer.
No verdict stands in for a hold point: people tick or sign them.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from underset.geometry import Blocked
from underset.job.hold_words import ARMS, HOLD_DE, HOLD_EN, LABELS_DE, PLACES
from underset.setting import clear
from underset.setting.evaluate import Case
from underset.setting.result import (
    CORNERS,
    ArmSetting,
    Check,
    Evaluation,
    HoldPoint,
    StateResult,
)
from underset.setting.state import State

Facts = tuple[tuple[str, str], ...]
SECOND_LOOK = 1.0  # m: "about one metre"
MIDDLE = 0.15  # of the distance between the pad pairs: a part this near the middle has no end


def hold_points(case: Case, evaluation: Evaluation, language: str = "en") -> tuple[HoldPoint, ...]:
    """Every hold point of this setting and job, in the order in which they are met."""
    run = _Run(case, evaluation, language)
    return (
        *_before_arms(run),
        *_arms(run),
        *_first_lift(run),
        *_steps(run),
        *_down(run),
    )


@dataclass(frozen=True, slots=True)
class _Run:
    case: Case
    evaluation: Evaluation
    language: str

    def point(self, key: str, facts: Facts = (), **more: object) -> HoldPoint:
        """A hold point with the words of its key; `more` names id, sign, state, corner, filled."""
        title, text = (HOLD_DE if self.language == "de" else HOLD_EN)[key]
        filled = more.pop("filled", {})
        assert isinstance(filled, dict)
        told = tuple((self.label(k), v) for k, v in facts if v)
        more.setdefault("id", key)
        return HoldPoint(title=title, text=text.format(**filled), facts=told, **more)  # type: ignore[arg-type]

    def label(self, text: str) -> str:
        """A fact's label in the language asked for; names of marks and parts stay as they are."""
        return LABELS_DE.get(text, text) if self.language == "de" else text

    def places(self, which: str) -> str:
        """The front or rear end in words."""
        return PLACES["de" if self.language == "de" else "en"][which]

    def arm(self, name: str) -> str:
        """An arm's place in words."""
        return ARMS["de" if self.language == "de" else "en"][name]

    def check(self, name: str, state: StateResult | None = None) -> Check | None:
        """The first check of a name, in one state or in any."""
        among = state.checks if state else self.evaluation.checks
        return next((c for c in among if c.name == name), None)

    @property
    def taken_up(self) -> StateResult:
        """The state in which the pads take the load."""
        return next((s for s in self.evaluation.states if s.lifted), self.evaluation.states[0])


def _metres(value: float | None) -> str:
    return "" if value is None else f"m:{value:.4f}"


def _newtons(value: float) -> str:
    return f"N:{value:.1f}"


def _share(value: float) -> str:
    return f"1:{value:.4f}"


# --- before the arms -----------------------------------------------------------------------------


def _before_arms(run: _Run) -> Iterator[HoldPoint]:
    case, setting = run.case, run.evaluation.setting
    yield run.point("bay-clear", (("all round", _metres(case.policy["clear_space"])),))
    examined = case.standing.examined.get(case.bay.id)
    checked = "yes" if case.standing.checked_today(case.bay.id) else "no"
    told = (
        ("last examined", examined.isoformat() if examined else run.label("not known")),
        ("checked today", run.label(checked)),
    )
    yield run.point("daily-check", told, sign=True)
    answers = tuple((k.replace("_", " "), run.label(v)) for k, v in case.intake)
    yield run.point("intake", answers, sign=True)
    yield run.point("stopped", (("approach", run.label(setting.heading)), *_spot(run)))


def _spot(run: _Run) -> Facts:
    """The stop as distances from the floor mark, or from the column line where there is none."""
    s, mark = run.evaluation.setting, run.case.bay.mark
    name, x = mark or ("column line", 0.0)
    past = s.spot - x
    which = "front axle past" if past >= 0.0 else "front axle short of"
    facts = [(f"{run.label(which)} {name}", _metres(abs(past)))]
    low, high = s.window[0] - x, s.window[1] - x
    if low < 0.0 < high:
        facts += [("at most short of it", _metres(-low)), ("at most past it", _metres(high))]
    else:
        near, far = sorted((abs(low), abs(high)))
        facts += [("least", _metres(near)), ("greatest", _metres(far))]
    if s.sideways:
        facts.append(("sideways", _metres(s.sideways)))
    if s.yaw:
        facts.append(("askew", f"rad:{s.yaw:.5f}"))
    return tuple(facts)


# --- arms ----------------------------------------------------------------------------------------


def _arms(run: _Run) -> Iterator[HoldPoint]:
    yield from _orders(run)
    for a in run.evaluation.setting.arms:
        yield run.point("sighted", _of_arm(run, a), id=f"arm-{a.corner.lower()}", corner=a.corner)
    level = run.check("level", run.taken_up)
    facts = [("each pad within", _metres(run.case.policy["level_pad"])),
             ("seat height", _metres(run.evaluation.setting.seat))]  # fmt: skip
    if level is not None and level.demand is not None:
        facts.append(("one pad this far off lifts another clear", _metres(level.demand)))
        facts += [("turns", f"turns:{v:.1f}") for k, v, _ in level.inputs if k.startswith("turns")]
    yield run.point("level", tuple(facts))
    arms = run.evaluation.setting.arms
    teeth = tuple((a.corner, str(a.tooth)) for a in arms if a.tooth is not None)
    yield run.point("restraints", teeth, sign=True)


def _of_arm(run: _Run, a: ArmSetting) -> Facts:
    ahead = "pad ahead of point" if a.along >= 0.0 else "pad behind point"
    left = "pad left of point" if a.across >= 0.0 else "pad right of point"
    return (
        ("arm", run.arm(a.arm)),
        ("tooth", "" if a.tooth is None else str(a.tooth)),
        ("swing", f"rad:{a.swing:.5f}"),
        ("reach", _metres(a.reach)),
        ("stack", " + ".join(p.label for p in a.stack)),
        ("screw out", _metres(a.screw)),
        ("turns", "" if a.turns is None else f"turns:{a.turns:.1f}"),
        ("contact", a.contact),
        (ahead, _metres(abs(a.along)) if abs(a.along) >= 0.0005 else ""),
        (left, _metres(abs(a.across)) if abs(a.across) >= 0.0005 else ""),
    )


def _orders(run: _Run) -> Iterator[HoldPoint]:
    """For each side of the lift whose arms pass each other in one order only: that order."""
    for side in ("left", "right"):
        pair = [a for a in run.evaluation.setting.arms if a.arm.startswith(side)]
        orders = arm_orders(run.case, run.evaluation, (pair[0], pair[1]))
        if orders is None or len(orders) == 2:
            continue
        key = "order" if orders else "order-none"
        named = tuple(run.arm(name) for name in (orders[0] if orders else (a.arm for a in pair)))
        facts = tuple(zip(("first", "then") if orders else ("arm", "arm"), named, strict=True))
        yield run.point(key, facts, id=f"order-{side}")


def arm_orders(
    case: Case, evaluation: Evaluation, pair: tuple[ArmSetting, ArmSetting]
) -> tuple[tuple[str, str], ...] | None:
    """The orders in which two arms of one side can be brought in, the one past the other.

    The first passes the other's parked place, the second the first one set. None where the way in
    cannot be traced.
    """
    plan = clear.layout(evaluation.setting, case.vehicle, case.bay, case.shelf)
    if plan.tyres is None or plan.zones is None or None in plan.strips or None in case.bay.parked:
        return None
    found, gap = [], case.policy["gap_arm"]
    for a, b in (pair, pair[::-1]):
        past_parked = clear.path_past(plan, case.bay, a, b, at_rest=True, gap=gap)
        past_set = clear.path_past(plan, case.bay, b, a, at_rest=False, gap=gap)
        if not isinstance(past_parked, Blocked) and not isinstance(past_set, Blocked):
            found.append((a.arm, b.arm))
    return tuple(found)


# --- up ------------------------------------------------------------------------------------------


def _first_lift(run: _Run) -> Iterator[HoldPoint]:
    setting, state = run.evaluation.setting, run.taken_up
    yield run.point("touch", (("seat height", _metres(setting.seat)),), state=state.name)
    word = run.label("load")
    loads = tuple(
        (f"{word} {c}", _newtons(p.nominal)) for c, p in zip(CORNERS, state.pads, strict=True)
    )
    facts = (("seat height", _metres(_tyres_clear(run))),)
    told = (*facts, *loads, ("least load", _least(state))) if state.known else facts
    yield run.point("tyres-off", told, state=state.name, sign=True)
    yield run.point("about-1m", (("seat height", _metres(_second_look(run))),), state=state.name)
    yield run.point("locks", (("seat height", _metres(_working_seat(run))),), state=state.name)


def _tyres_clear(run: _Run) -> float | None:
    """Seat height at which the tyres are off the floor by what policy asks; None without droop."""
    droop = run.case.vehicle.droop
    if droop is None:
        return None
    return run.evaluation.setting.seat + droop + run.case.policy["touch_clearance"]


def _working_seat(run: _Run) -> float | None:
    return max((s.seat for s in run.case.states if s.seat is not None), default=None)


def _second_look(run: _Run) -> float:
    """About one metre up, or as high as the job or the room overhead lets the lift go."""
    overhead, wanted = run.check("overhead"), _working_seat(run)
    usable = overhead.demand if overhead is not None else None
    heights = (run.evaluation.setting.seat + SECOND_LOOK, wanted, usable)
    return min(h for h in heights if h is not None)


def _least(state: StateResult) -> str:
    return _newtons(min(p.low for p in state.pads))


# --- the job -------------------------------------------------------------------------------------


def _steps(run: _Run) -> Iterator[HoldPoint]:
    rows = list(zip(run.case.states, run.evaluation.states, strict=True))
    stands: set[str] = set()
    for (before, was), (state, now) in pairwise(rows):
        if not (was.lifted and now.lifted) or not now.known:
            continue
        taken = _taken_off(before, state)
        if taken is not None:
            yield _part_off(run, taken, was, now)
        if state.moves_lift and before.parts_off:
            off = (("off since the lift", _names_off(state)),)
            facts = (*off, *_figures("now", now))
            named = {"id": f"fresh-{now.name}", "state": now.name, "sign": True}
            yield run.point("fresh-check", facts, **named)
        yield from _supports(run, now, stands)


@dataclass(frozen=True, slots=True)
class _Taken:
    name: str
    mass: float
    x: float


def _taken_off(before: State, after: State) -> _Taken | None:
    """What came off between two states: from the ledgers, so that loads count like parts."""
    gone = [i for i in before.items if i not in after.items]
    come = [i for i in after.items if i not in before.items]
    mass = sum(i.mass for i in gone) - sum(i.mass for i in come)
    if mass <= 0.0:
        return None
    moment = sum(i.mass * i.place[0] for i in gone) - sum(i.mass * i.place[0] for i in come)
    name = next((i.name.removesuffix(" off") for i in (*come, *gone)), "")
    return _Taken(name, mass, moment / mass)


def _part_off(run: _Run, taken: _Taken, was: StateResult, now: StateResult) -> HoldPoint:
    front, rear = _pad_lines(run)
    part = (taken.x - (front + rear) / 2) / (front - rear)
    facts = (("part", taken.name), ("part", f"kg:{taken.mass:.1f}"),
             *_figures("now", was), *_figures("after", now))  # fmt: skip
    named = {"id": f"off-{now.name}", "state": now.name, "sign": True}
    if abs(part) < MIDDLE:
        return run.point("part-off-middle", facts, **named)
    same, opposite = ("front", "rear") if part > 0.0 else ("rear", "front")
    filled = {"same": run.places(same), "opposite": run.places(opposite)}
    return run.point("part-off", facts, filled=filled, **named)


def _pad_lines(run: _Run) -> tuple[float, float]:
    """Places of the front and rear pad pairs along the vehicle, in V."""
    points = run.case.point_set(run.evaluation.setting.point_set).points
    return (
        (points[0].place[0] + points[1].place[0]) / 2,
        (points[2].place[0] + points[3].place[0]) / 2,
    )


def _figures(when: str, state: StateResult) -> Facts:
    carried = sum(p.nominal for p in state.pads)
    least = min(range(4), key=lambda i: state.pads[i].low)
    facts = [
        (f"least pad {when}", _newtons(state.pads[least].low)),
        (f"least pad {when}", CORNERS[least]),
    ]
    if carried > 0.0:
        share = (state.pads[0].nominal + state.pads[1].nominal) / carried
        facts.append((f"on the front pads {when}", _share(share)))
    edge = next((c.demand for c in state.checks if c.name == "cg_edge"), None)
    if when == "after" and edge is not None:
        facts.append(("CG to the nearest edge after", _metres(edge)))
    return tuple(facts)


def _names_off(state: State) -> str:
    off = [i.name.removesuffix(" off") for i in state.items if i.mass < 0.0]
    return ", ".join(off)


def _supports(run: _Run, now: StateResult, stands: set[str]) -> Iterator[HoldPoint]:
    """Tables that push in this state, and stands that are new in it."""
    for s in now.supports:
        if s.kind == "stand" and s.name in stands:
            continue
        side = "left of the middle" if s.side >= 0.0 else "right of the middle"
        place = (("aft of the front axle", _metres(s.aft)), (side, _metres(abs(s.side))))
        check = next(
            (c for c in now.checks if c.name == "table_push" and c.note[-1] == s.name), None
        )
        empties = (
            (("push that empties a pad", _newtons(check.demand)),) if check and check.demand else ()
        )
        if s.kind == "stand":
            stands.add(s.name)
            facts = (("preload", _newtons(s.force)), *place, *empties)
            yield run.point("stand-set", facts, id=f"stand-{now.name}", state=now.name, sign=True)
        else:
            facts = (("push in use", _newtons(s.force)), *place, *empties)
            yield run.point("table-up", facts, id=f"table-{now.name}", state=now.name)


# --- down ----------------------------------------------------------------------------------------


def _down(run: _Run) -> Iterator[HoldPoint]:
    last = next((s for s in reversed(run.evaluation.states) if s.lifted), run.evaluation.states[-1])
    yield run.point("before-lowering", state=last.name, sign=True)
    yield run.point("arms-out", state=last.name)
