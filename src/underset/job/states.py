"""Steps of a job turned into states of the vehicle: ledger, supports, pushes, openings."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from underset import records
from underset.errors import InputError, said
from underset.records import Job
from underset.setting.bearing import taken_off
from underset.setting.build import item_from, value
from underset.setting.numbers import VehicleNumbers
from underset.setting.state import PushCase, State, Support
from underset.statics import Item
from underset.units import G0


@dataclass(slots=True)
class _Running:
    """What is on, off, open and supported while the steps are walked through."""

    vehicle: VehicleNumbers
    taken_off: dict[str, Item] = field(default_factory=dict)
    added: dict[str, Item] = field(default_factory=dict)
    supports: dict[str, Support] = field(default_factory=dict)
    doors: set[str] = field(default_factory=set)
    lids: set[str] = field(default_factory=set)
    seat: float | None = None
    tyre_clearance: float | None = None

    def state(self, name: str, label: str) -> State:
        """The state as it stands now, without what lasts for one step only."""
        kerb = (self.vehicle.kerb,) if self.vehicle.kerb else ()
        tops = [i.place[2] + i.place_tol[2] for i in self.added.values()]
        return State(
            name=name,
            label=label,
            items=(*kerb, *self.taken_off.values(), *self.added.values()),
            supports=tuple(self.supports.values()),
            doors=tuple(sorted(self.doors)),
            lids=tuple(sorted(self.lids)),
            seat=self.seat,
            tyre_clearance=self.tyre_clearance,
            top=max(tops, default=None),
        )


def states_of(vehicle: VehicleNumbers, job: Job | None) -> tuple[State, ...]:
    """The first state and one after each step.

    Raises InputError naming the step when it takes off what is not on, moves a load that is not
    there, or opens a door the vehicle does not have.
    """
    running = _Running(vehicle)
    states = [running.state("set", "as it stands")]
    for number, step in enumerate(job.steps if job else (), start=1):
        try:
            label, passing = _STEPS[step.kind](running, step)
            state = replace(running.state(f"step-{number}", label), **passing)
            _check_borne(state, step)
        except InputError as error:
            raise error.at(f"step {number} ({step.kind})") from error
        states.append(state)
    kinds = [step.kind for step in job.steps] if job else []
    return tuple(_lifted(states, kinds, _all_the_way_down(job)))


def _check_borne(state: State, step: records.Step) -> None:
    """What pushes up is less than what the vehicle weighs at the least: else it would fly."""
    if not isinstance(step, records.TablePush | records.StandSet):
        return
    least = sum(item.mass - item.mass_tol for item in state.items) * G0
    if sum(s.force + s.force_tol for s in state.supports) >= least > 0.0:
        name = "force" if isinstance(step, records.TablePush) else "preload"
        allowed = said("less than the vehicle weighs at this step, {most:.1f} kN", most=least / 1e3)
        given = step.force if isinstance(step, records.TablePush) else step.preload
        raise InputError(name, given.text, allowed, "Check the figure and its unit.")


def _all_the_way_down(job: Job | None) -> set[int]:
    """Numbers of the steps that set the vehicle back on its tyres."""
    steps = enumerate(job.steps if job else (), start=1)
    return {n for n, step in steps if step.kind == "lower" and value(step.seat) is None}


def _lifted(states: list[State], kinds: Sequence[str], down: set[int]) -> Iterator[State]:
    """States marked as borne by the pads or standing on the tyres, and whether parts are off.

    A job that says when it raises is on the floor until then; the state just before a raise is the
    one the pads take up. A job that never raises is on the lift from its first state.
    """
    raises = [n for n, kind in enumerate(kinds, start=1) if kind == "raise"]
    up, off = not raises, 0
    for n, state in enumerate(states):
        if up and n > 0:
            off = max(0, off + (kinds[n - 1] == "take off") - (kinds[n - 1] == "put on"))
        up = up or n + 1 in raises
        yield replace(state, lifted=up, parts_off=off > 0)
        up = up and n not in down


_Passing = dict[str, Any]
LIDS = ("bonnet", "boot lid", "tailgate")


def _take_off(run: _Running, step: records.TakeOff) -> tuple[str, _Passing]:
    item, fitted = _component(run, step.component)
    if step.component in run.added:
        del run.added[step.component]
    elif fitted and step.component not in run.taken_off:
        run.taken_off[step.component] = taken_off(item)
    else:
        raise InputError("component", step.component, "is not on the vehicle at this step")
    return f"{step.component} off", {}


def _put_on(run: _Running, step: records.PutOn) -> tuple[str, _Passing]:
    item, fitted = _component(run, step.component)
    if step.component in run.taken_off:
        del run.taken_off[step.component]
        run.added.pop(step.component, None)
    elif not fitted and step.component not in run.added:
        run.added[step.component] = item
    else:
        raise InputError("component", step.component, "is on the vehicle already at this step")
    return f"{step.component} on", {}


def _component(run: _Running, name: str) -> tuple[Item, bool]:
    for part, item, fitted in run.vehicle.parts:
        if part == name:
            return item, fitted
    known = ", ".join(p for p, _, _ in run.vehicle.parts) or "none"
    raise InputError("component", name, f"components of this vehicle are {known}")


def _add_load(run: _Running, step: records.AddLoad) -> tuple[str, _Passing]:
    if step.id in run.added:
        raise InputError("load", step.id, "is on the vehicle already at this step")
    run.added[step.id] = item_from(step.id, step.mass, step.aft, step.side, step.up)
    return f"{step.label} added", {}


def _move_load(run: _Running, step: records.MoveLoad) -> tuple[str, _Passing]:
    """A load put in before goes elsewhere; a component that is on comes off and is put in there."""
    moved = run.added.get(step.id)
    if moved is None:
        moved, fitted = _component(run, step.id)
        if not fitted or step.id in run.taken_off:
            raise InputError("load", step.id, "is not on the vehicle at this step")
        run.taken_off[step.id] = taken_off(moved)
    place = (-step.aft.value, step.side.value, step.up.value)
    tol = (step.aft.tol, step.side.tol, step.up.tol)
    run.added[step.id] = Item(f"{step.id} moved", moved.mass, moved.mass_tol, place, tol)
    return f"{step.id} moved", {}


def _remove_load(run: _Running, step: records.RemoveLoad) -> tuple[str, _Passing]:
    if step.id not in run.added:
        raise InputError("load", step.id, "was not added by an earlier step")
    del run.added[step.id]
    return f"{step.id} removed", {}


def _open(run: _Running, step: records.Open) -> tuple[str, _Passing]:
    doors, lids = _openings(run, step.what)
    run.doors.update(doors)
    run.lids.update(lids)
    return f"{step.what} open", {}


def _close(run: _Running, step: records.Close) -> tuple[str, _Passing]:
    doors, lids = _openings(run, step.what)
    run.doors.difference_update(doors)
    run.lids.difference_update(lids)
    return f"{step.what} closed", {}


def _openings(run: _Running, what: str) -> tuple[set[str], set[str]]:
    vehicle = run.vehicle
    # What is not on file stays open by its name: the judge then says that it is not known.
    if vehicle.lids is None and what in LIDS:
        return set(), {what}
    if vehicle.doors is None and what not in LIDS:
        return {what}, set()
    doors = {d.id for d in vehicle.doors or () if what in (d.id, "all doors")}
    lids = {x.id for x in vehicle.lids or () if what in (x.id, x.kind)}
    if not doors and not lids:
        known = [d.id for d in vehicle.doors or ()] + [x.id for x in vehicle.lids or ()]
        raise InputError("what", what, f"openings are all doors, {', '.join(known) or 'none'}")
    return doors, lids


_DIRECTIONS: dict[str, tuple[float, float, float] | None] = {
    "any": None,
    "forward": (1.0, 0.0, 0.0),
    "rearward": (-1.0, 0.0, 0.0),
    "left": (0.0, 1.0, 0.0),
    "right": (0.0, -1.0, 0.0),
    "up": (0.0, 0.0, 1.0),
    "down": (0.0, 0.0, -1.0),
}


def _push(run: _Running, step: records.Push) -> tuple[str, _Passing]:
    aft, side = value(step.aft), value(step.side)
    place = None if aft is None else (-aft, side)
    push = PushCase(step.label, step.force.high, step.up.value, _DIRECTIONS[step.direction], place)
    return step.label, {"pushes": (push,)}


def _table(run: _Running, step: records.TablePush) -> tuple[str, _Passing]:
    place = (-step.aft.value, step.side.value)
    support = Support(step.label, place, step.force.value, step.force.tol, "table")
    return step.label, {"supports": (*run.supports.values(), support)}


def _stand_set(run: _Running, step: records.StandSet) -> tuple[str, _Passing]:
    if step.id in run.supports:
        raise InputError("stand", step.id, "stands already at this step")
    place = (-step.aft.value, step.side.value)
    run.supports[step.id] = Support(step.id, place, step.preload.value, step.preload.tol, "stand")
    return f"{step.id} set", {}


def _stand_away(run: _Running, step: records.StandAway) -> tuple[str, _Passing]:
    if step.id not in run.supports:
        raise InputError("stand", step.id, "was not set by an earlier step")
    del run.supports[step.id]
    return f"{step.id} away", {}


def _raise(run: _Running, step: records.Raise) -> tuple[str, _Passing]:
    run.seat, run.tyre_clearance = value(step.seat), value(step.tyre_clearance)
    return "raised", {"moves_lift": True}


def _lower(run: _Running, step: records.Lower) -> tuple[str, _Passing]:
    run.seat, run.tyre_clearance = value(step.seat), None
    return "lowered", {"moves_lift": True}


_STEPS: dict[str, Callable[[_Running, Any], tuple[str, _Passing]]] = {
    "take off": _take_off,
    "put on": _put_on,
    "add load": _add_load,
    "move load": _move_load,
    "remove load": _remove_load,
    "open": _open,
    "close": _close,
    "push": _push,
    "table push": _table,
    "stand set": _stand_set,
    "stand away": _stand_away,
    "raise": _raise,
    "lower": _lower,
}
