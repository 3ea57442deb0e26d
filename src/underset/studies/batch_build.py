"""Bays, shelves and vehicles as the batch's tables."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, TypeAlias

import numpy as np

from underset.errors import InputError
from underset.planner import stacks_for
from underset.setting import AdapterNumbers, Case, PointNumbers, loads
from underset.studies import batch_columns as at
from underset.studies.batch_kernels import Lift
from underset.units import G0

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats: TypeAlias = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class BatchBay:
    """One bay with its shelf as tables, and the stacks its rows stand for."""

    id: str
    lift: Lift
    profiles: Any
    stacks: tuple[tuple[str, ...], ...]


def bay_table(case: Case) -> BatchBay:
    """The tables of a case's bay, shelf and policy; the vehicle in it does not matter.

    Raises InputError for what the batch cannot judge as the planner does: an arm without profile,
    a restraint that is missing or whose offset is not known, or a least pad load of nothing.
    """
    bay, policy = case.bay, case.policy
    _supported(case)
    stacks = _stacks(case)
    counts = [Counter(ids) for ids, _ in stacks]
    types = case.shelf.types
    stock = np.array(
        [[all(2 * (a[i] + b[i]) <= types[i].count for i in a | b) for b in counts] for a in counts],
        dtype=bool,
    ).reshape(len(stacks), len(stacks))
    lift = Lift(
        np.array([a.numbers() for a in bay.arms]),
        _figures(case),
        np.array([row for _, row in stacks]).reshape(len(stacks), at.STACK_WIDTH),
        stock,
        np.array([policy[name] for name in at.POLICY]),
    )
    return BatchBay(bay.id, lift, _profiles(case), tuple(ids for ids, _ in stacks))


def _supported(case: Case) -> None:
    bay = case.bay
    if bay.restraint is None or not bay.tooth_offset_known:
        raise InputError(
            f"bay {bay.id}", "no offset of its teeth" if bay.restraint else "no restraint",
            "teeth with a known offset, or stepless", "Measure it, or name other bays with --bay.",
        )  # fmt: skip
    if any(p is None for p in bay.profiles):
        raise InputError(
            f"bay {bay.id}", "no arm profile", "the profile of every arm is known",
            "Measure it, or name other bays with --bay.",
        )  # fmt: skip
    if case.policy["least_pad_stop"] <= 0.0:
        raise InputError("policy.least_pad_stop", 0.0, "the batch needs it above zero")


def _figures(case: Case) -> Floats:
    bay, policy = case.bay, case.policy
    row = np.full(at.LIFT_WIDTH, np.nan)
    row[at.SEAT_LOW], row[at.SEAT_HIGH] = bay.seat_low, bay.seat_high
    if bay.greatest_stack is not None:
        row[at.GREATEST_STACK] = bay.greatest_stack
    row[at.RATED] = bay.rated
    row[at.SPLIT_LIMIT] = loads.split_limit(bay, policy)[0]
    if bay.cg_window is not None:
        row[at.CG_LOW], row[at.CG_HIGH] = bay.cg_window
    known = bay.carriage_difference
    row[at.CARRIAGE] = policy["level_carriage"] if known is None else known
    row[at.SPAN] = bay.carriage_span
    row[at.EITHER_WAY] = float(bay.approach == "either way")
    row[at.PITCH] = getattr(bay.restraint, "pitch", 0.0)
    row[at.OFFSET] = getattr(bay.restraint, "offset", 0.0)
    quarter = policy["arm_share"] * bay.rated * G0
    row[at.ARM_LIMIT :] = [quarter if x is None else x for x in bay.arm_limits]
    return row


def _profiles(case: Case) -> Floats:
    longest = max(len(p or ()) for p in case.bay.profiles)
    table = np.full((4, longest, 4), np.nan)
    for i, profile in enumerate(case.bay.profiles):
        for k, station in enumerate(profile or ()):
            table[i, k] = station
    return table


def _stacks(case: Case) -> list[tuple[tuple[str, ...], list[float]]]:
    """Every stack that serves some contact, in the planner's order, as rows."""
    found: dict[tuple[str, ...], set[str]] = {}
    open_case = replace(case, vehicle=replace(case.vehicle, battery=False, special_adapter="none"))
    for contact in at.CONTACTS:
        for stack in stacks_for(open_case, _probe(contact)):
            found.setdefault(stack.ids, set()).add(contact)
    names = {ids: rank for rank, ids in enumerate(sorted(found))}
    types = case.shelf.types
    rows = []
    for ids, contacts in found.items():
        pieces = [types[i] for i in ids]
        if len(ids) > at.MOST_PIECES:
            raise InputError("policy.most_spacers", len(ids), "stacks of at most four pieces")
        if pieces[-1].width is not None:
            rows.append((ids, _row(pieces, contacts, names[ids])))
    return rows


def _probe(contact: str) -> PointNumbers:
    """A point that every stack with this contact can serve."""
    from underset.geometry import Zone

    return PointNumbers(
        "LF", (0.0, 0.0), (0.0, 0.0), 0.0, 0.0, Zone(0.0, 0.0), contact, 0.0, 0.0, None
    )


def _row(pieces: Sequence[AdapterNumbers], contacts: set[str], rank: int) -> list[float]:
    top = pieces[-1]
    row = [0.0] * at.STACK_WIDTH
    row[at.FIXED] = sum(t.height for t in pieces)
    row[at.TRAVEL] = sum(t.travel for t in pieces)
    row[at.PIECES] = float(len(pieces))
    row[at.HALF_WIDTH] = (top.width or 0.0) / 2
    row[at.RATING] = min(t.rating * G0 for t in pieces)
    row[at.CLEAN] = float(top.clean_rubber)
    for k, contact in enumerate(at.CONTACTS):
        row[at.SERVES + k] = float(contact in contacts)
    row[at.RANK] = float(rank)
    row[at.SLOT] = -1.0 if top.slot is None else top.slot
    row[at.SLOT_DEPTH] = -1.0 if top.slot_depth is None else top.slot_depth
    row[at.EDGES] = float(top.raised_edges is not False and not top.edges_near_battery)
    row[at.CRADLE] = float(any(t.cradle for t in pieces))
    row[at.SPACERS] = float(any(t.role != "head" for t in pieces))
    for k, piece in enumerate(pieces):
        row[at.HEIGHTS + k], row[at.TRAVELS + k] = piece.height, piece.travel
    return row
