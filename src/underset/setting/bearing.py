"""Loads and stability of a setting alone: for questions that change nothing but the ledger."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from underset.errors import InputError
from underset.setting import loads
from underset.setting.evaluate import Case
from underset.setting.place import Stop
from underset.setting.result import Check, Setting, Status, merge
from underset.setting.state import State
from underset.statics import Item


def bearing_checks(case: Case, setting: Setting) -> tuple[Check, ...]:
    """Every load and stability check of every state on the lift, as the judge makes them."""
    if case.vehicle.kerb is None:
        return loads.unknown_loads()
    try:
        foot = loads.footing(case.vehicle, case.bay, case.shelf, case.policy, setting)
    except InputError as error:
        return (loads.in_line_refusal(error),)
    pose = Stop(setting.heading, setting.spot, setting.sideways, setting.yaw).pose
    found: list[Check] = []
    vehicle, bay, policy = case.vehicle, case.bay, case.policy
    borne = loads.bear(case.states, foot)
    for judged in loads.judge_states(borne, foot, vehicle, bay, policy, setting):
        result = loads.state_result(judged, bay, pose)
        found += [c.in_state(judged.state.name) for c in result.checks]
    return tuple(found)


def bearing_status(case: Case, setting: Setting) -> Status:
    """Worst status of the load and stability checks."""
    return merge(*(c.status for c in bearing_checks(case, setting)))


def with_items(case: Case, items: Iterable[Item]) -> Case:
    """The case with entries of its ledger replaced by name, in the vehicle and in every state.

    A part's entry stands for the part taken off as well ("name off", the mass negative), and gives
    its mass to the part put elsewhere ("name moved").
    """
    new = {i.name: i for i in items}
    new |= {f"{i.name} off": taken_off(i) for i in new.values()}
    kerb = case.vehicle.kerb
    vehicle = replace(
        case.vehicle,
        kerb=new.get(kerb.name, kerb) if kerb else None,
        parts=tuple((name, new.get(item.name, item), on) for name, item, on in case.vehicle.parts),
    )
    return replace(case, vehicle=vehicle, states=tuple(_swapped(s, new) for s in case.states))


def taken_off(item: Item) -> Item:
    """The ledger's entry of an item that is no longer there."""
    return Item(f"{item.name} off", -item.mass, item.mass_tol, item.place, item.place_tol)


def _swapped(state: State, new: dict[str, Item]) -> State:
    return replace(state, items=tuple(_new_entry(i, new) for i in state.items))


def _new_entry(item: Item, new: dict[str, Item]) -> Item:
    whole = new.get(item.name.removesuffix(" moved"))
    if whole is not None and item.name.endswith(" moved"):
        return replace(item, mass=whole.mass, mass_tol=whole.mass_tol)
    return new.get(item.name, item)
