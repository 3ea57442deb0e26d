"""Weighing use cases: scales, axle lift and gauge readings turned into a vehicle's record.

Pure functions: a record and readings in, a new record with its source and what was found out.
Nothing is stored here. Loads are in kg as scales show them, pad readings in N.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from math import ceil
from typing import Literal

from underset.app.weigh_words import Amount, lifted
from underset.errors import InputError, said
from underset.records.base import Source
from underset.records.vehicle import Balance, Vehicle, Weights
from underset.setting.build import kerb_item
from underset.setting.evaluate import Case
from underset.setting.loads import footing
from underset.setting.result import CORNERS, Evaluation, StateResult
from underset.sources import SourceKind
from underset.statics import (
    AxleLift,
    Comparison,
    Figure,
    HeightFit,
    LiftStep,
    Misfit,
    combine_fits,
    compare_loads,
    fit_axle_lift,
    forecast,
    left_share,
    within,
)
from underset.statics import front_share as share_of
from underset.units import G0, NOT_GIVEN, Quantity, quantity

HEIGHT_PART = 0.05  # of a measured CG height: ISO 10392:2011, scope, tells "a few percent"


@dataclass(frozen=True, slots=True)
class Who:
    """Who weighed, when, with what."""

    by: str
    on: date
    document: str = "scales"


@dataclass(frozen=True, slots=True)
class Aboard:
    """Something known that was on board while weighing; a part that was off has a negative mass.

    Mass in kg ± tol; place aft of the front axle and left of the middle, m.
    """

    label: str
    mass: float
    aft: float
    mass_tol: float = 0.0
    side: float = 0.0


@dataclass(frozen=True, slots=True)
class LoadState:
    """One weighing: two axle loads, or wheel loads LF RF LR RR, kg ± tol, and what was aboard."""

    label: str
    loads: tuple[float, ...]
    tol: float
    aboard: tuple[Aboard, ...] = ()


@dataclass(frozen=True, slots=True)
class Weighed:
    """A weighing worked out: the new record, whether everything fits, and what does not."""

    vehicle: Vehicle
    fits: bool
    findings: tuple[str, ...]


# --- scales --------------------------------------------------------------------------------------


def weigh_scales(vehicle: Vehicle, states: Sequence[LoadState], who: Who) -> Weighed:
    """Axle or wheel loads of the vehicle alone, from one load state or several.

    What was aboard is taken off by moments; the states then have to agree within their tolerances.
    A state that does not is named, and the record keeps the range that the others share. Raises
    InputError for readings that cannot be, or when states of two and of four loads are mixed.
    """
    if not states:
        raise InputError("weighings", 0, "at least one load state")
    count = len(states[0].loads)
    for state in states:
        _check_state(state, count)
    bare = [_bare(vehicle, state) for state in states]
    kept, odd = _agreeing([list(row) for row in zip(*bare, strict=True)], states)
    findings = tuple(
        said(
            "“{label}” does not fit: {what} is off by {off} beyond the scales",
            label=states[i].label, what=what, off=Amount(off, "kg"),
        )
        for i, what, off in odd
    )  # fmt: skip
    name, record = _sourced(vehicle, who)
    figures = [quantity(_round(f.value), "kg", _up(_tol(f), 0.1), source=name) for f in kept]
    told = f"{states[0].label}, {who.on.isoformat()}"
    weights = (
        Weights(state=told, front=figures[0], rear=figures[1])
        if count == 2
        else Weights(state=told, lf=figures[0], rf=figures[1], lr=figures[2], rr=figures[3])
    )
    changed = record.model_copy(update={"weights": weights})
    return Weighed(changed, not odd, (*findings, *_against_before(vehicle, weights)))


def balance_told(vehicle: Vehicle) -> tuple[str, ...]:
    """Mass and balance that the loads of a record tell, in words, each with its range."""
    kerb, basis = kerb_item(vehicle)
    if kerb is None or basis.estimated:
        return (
            "Balance: not known; it takes two axle loads, or four wheel loads and both tracks.",
        )
    aft, side = -kerb.place[0], kerb.place[1]
    on_front = 1.0 - aft / vehicle.sizes.wheelbase.value
    lines = [
        said("Mass {mass}", mass=Amount(kerb.mass, "kg", kerb.mass_tol)),
        said(
            "Balance {aft} behind the front axle; {share} of the weight on it",
            aft=Amount(aft, "m", kerb.place_tol[0]), share=Amount(on_front, "1"),
        ),
    ]  # fmt: skip
    if not basis.side.startswith("prior"):
        told = Amount(side, "m", kerb.place_tol[1])
        lines.append(said("Balance {side} to the left of the middle", side=told))
    return tuple(lines)


def _check_state(state: LoadState, count: int) -> None:
    _check_name("name of a load state", state.label)
    if len(state.loads) != count or count not in (2, 4):
        raise InputError(
            f"loads of “{state.label}”", f"{len(state.loads)} loads",
            "two axle loads, or four wheel loads LF RF LR RR, the same in every state",
        )  # fmt: skip
    if min(state.loads) <= 0.0 or state.tol < 0.0:
        raise InputError(f"loads of “{state.label}”", state.loads, "loads are more than 0 kg")


def _bare(vehicle: Vehicle, state: LoadState) -> tuple[Figure, ...]:
    """Loads without what was aboard, with their ranges."""
    loads = [within(load, state.tol) for load in state.loads]
    for thing in state.aboard:
        for i, part in enumerate(_parts(vehicle, thing, len(loads))):
            off = within(thing.mass * part, abs(thing.mass_tol * part))
            f = loads[i]
            loads[i] = Figure(f.value - off.value, f.low - off.high, f.high - off.low)
    if min(f.value for f in loads) <= 0.0:
        raise InputError(
            f"what was aboard in “{state.label}”", [a.label for a in state.aboard],
            "no more than the scales showed", "Check masses and places.",
        )  # fmt: skip
    return tuple(loads)


def _parts(vehicle: Vehicle, thing: Aboard, count: int) -> tuple[float, ...]:
    """Parts of a mass that each axle, or each wheel, carries: moments about the axles and sides."""
    rear = thing.aft / vehicle.sizes.wheelbase.value
    if count == 2:
        return 1.0 - rear, rear
    tracks = vehicle.sizes.track_front, vehicle.sizes.track_rear
    front_track, rear_track = (t.value if isinstance(t, Quantity) else None for t in tracks)
    if front_track is None or rear_track is None:
        raise InputError("tracks", "not given", "wheel loads with a load aboard need both tracks")
    left_f, left_r = 0.5 + thing.side / front_track, 0.5 + thing.side / rear_track
    return (1 - rear) * left_f, (1 - rear) * (1 - left_f), rear * left_r, rear * (1 - left_r)


_LOADS = {2: ("front axle", "rear axle"), 4: tuple(f"{c} wheel" for c in CORNERS)}


def _agreeing(
    columns: list[list[Figure]], states: Sequence[LoadState]
) -> tuple[list[Figure], list[tuple[int, str, float]]]:
    """The range all states share for each load; states that miss the middle one are left out."""
    odd: list[tuple[int, str, float]] = []
    names = _LOADS[len(columns)]
    for name, column in zip(names, columns, strict=True):
        middle = sorted(f.value for f in column)[(len(column) - 1) // 2]
        for i, f in enumerate(column):
            off = max(f.low - middle, middle - f.high)
            room = max(_tol(g) for j, g in enumerate(column) if j != i) if len(column) > 1 else 0.0
            if off > room + 1e-9:
                odd.append((i, name, off - room))
    # Two states that disagree do not tell which is wrong: the record then keeps what both allow.
    left_out = {i for i, _, _ in odd} if len(states) > 2 else set()
    kept = []
    for column in columns:
        good = [f for i, f in enumerate(column) if i not in left_out] or column
        low, high = max(f.low for f in good), min(f.high for f in good)
        if low > high or (odd and not left_out):
            low, high = min(f.low for f in good), max(f.high for f in good)
        kept.append(_no_narrower(low, high, [f.value for f in good]))
    return kept, odd


def _no_narrower(low: float, high: float, values: list[float]) -> Figure:
    """The range round its middle; never narrower than the readings lie apart.

    Decision: readings that barely agree share a hair, which is no proof that the load lies in it.
    """
    middle = (low + high) / 2
    half = max((high - low) / 2, (max(values) - min(values)) / 2)
    return Figure(middle, middle - half, middle + half)


def _against_before(vehicle: Vehicle, weights: Weights) -> tuple[str, ...]:
    """What an earlier weighing of the record said otherwise."""
    before = vehicle.weights
    rows = (("front", "front axle"), ("rear", "rear axle"), ("lf", "LF wheel"), ("rf", "RF wheel"),
            ("lr", "LR wheel"), ("rr", "RR wheel"))  # fmt: skip
    found = []
    for field, name in rows:
        old, new = getattr(before, field), getattr(weights, field)
        if isinstance(old, Quantity) and isinstance(new, Quantity):
            apart = max(new.low - old.high, old.low - new.high)
            if apart > 0.0:
                both = {"new": Amount(new.value, "kg"), "old": Amount(old.value, "kg")}
                template = "{name}: {new} now, {old} on file ({state})"
                found.append(said(template, name=name, state=before.state, **both))
    return tuple(found)


def _tol(f: Figure) -> float:
    return (f.high - f.low) / 2


def _round(kg: float) -> float:
    return round(kg, 1)


def _up(tol: float, step: float) -> float:
    """A tolerance in whole steps, never less than it is."""
    return ceil(tol / step - 1e-6) * step


_LONGEST_NAME = 100  # characters: with its day it still fits into a record


def _check_name(field: str, text: str) -> None:
    """A name as a record can hold it."""
    if not (text and len(text) <= _LONGEST_NAME and text.isprintable()):
        allowed = f"1 to {_LONGEST_NAME} printable characters"
        raise InputError(field, text, allowed, "Write it shorter, on one line.")


def _sourced(vehicle: Vehicle, who: Who) -> tuple[str, Vehicle]:
    """A source name that is not taken yet, and the vehicle with that source."""
    _check_name("who weighs", who.by)
    stem = f"weighed-{who.on.isoformat()}"
    taken = set(vehicle.sources)
    name = next(n for n in (stem, *(f"{stem}-{k}" for k in range(2, 1000))) if n not in taken)
    source = Source(kind=SourceKind.WEIGHED, document=who.document, by=who.by, date=who.on)
    return name, vehicle.model_copy(update={"sources": {**vehicle.sources, name: source}})


# --- height --------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Raised:
    """Readings with one axle raised: loads of the other axle, kg, by rise or angle."""

    axle: Literal["front", "rear"]
    steps: tuple[LiftStep, ...]
    scale_tol: float = 0.0


@dataclass(frozen=True, slots=True)
class HeightWeighed:
    """CG height worked out: the new record, the fits, and warnings for the person who weighs."""

    vehicle: Vehicle
    fits: tuple[HeightFit, ...]
    height: float
    tol: float
    warnings: tuple[str, ...]


def weigh_height(
    vehicle: Vehicle, raised: Sequence[Raised], radii: tuple[float, float], who: Who
) -> HeightWeighed:
    """CG height from the axle lift of ISO 10392, one axle or both, repeated steps.

    `radii` are the heights of the front and rear wheel centres on the level floor, m. The axle
    loads are those of the record. The tolerance is what the stated tolerances of the readings and
    of the record's axle loads come to at worst, twice the standard error of the fit, the gap
    between both axles, or one twentieth of the height, whichever is most. Raises InputError when
    the record has no axle loads or the readings cannot be.
    """
    front, rear = axle_loads(vehicle)
    fits = tuple(_fit(vehicle, r, (front, rear), radii) for r in raised)
    if not fits:
        raise InputError("raised axles", 0, "readings with one axle raised, or with each")
    height = sum(f.height for f in fits) / len(fits)
    warnings = [lifted(w) for f in fits for w in f.warnings]
    warnings += [_outlier_told(r, f) for r, f in zip(raised, fits, strict=True) if f.outliers]
    gap = 0.0
    if len(fits) == 2 and {r.axle for r in raised} == {"front", "rear"}:
        pair = combine_fits(*(fits if raised[0].axle == "front" else fits[::-1]))
        gap = abs(pair.gap) / 2
        if pair.agree is False:
            apart = Amount(abs(pair.gap), "m")
            warnings.append(said("The two axles give heights {apart} apart.", apart=apart))
    errors = [2.0 * f.std_error for f in fits if f.std_error is not None]
    errors += [_read_at_worst(vehicle, r, f) for r, f in zip(raised, fits, strict=True)]
    tol = max(HEIGHT_PART * height, gap, *errors)
    name, record = _sourced(vehicle, who)
    figure = quantity(round(height * 1000), "mm", _up(tol * 1000, 1.0), source=name)
    balance = Balance(height=figure, side=vehicle.balance.side)
    return HeightWeighed(
        record.model_copy(update={"balance": balance}), fits, height, tol, tuple(warnings)
    )


def _read_at_worst(vehicle: Vehicle, raised: Raised, fit: HeightFit) -> float:
    """What the tolerances of the level load and of the steps come to where all add up, m."""
    front, rear = (sum(q.tol for q in pair) for pair in _axle_figures(vehicle))
    level, steps = fit.per_kg
    lower = max(rear if raised.axle == "front" else front, raised.scale_tol)
    return level * lower + steps * raised.scale_tol


def _fit(
    vehicle: Vehicle, raised: Raised, loads: tuple[float, float], radii: tuple[float, float]
) -> HeightFit:
    level = loads[1] if raised.axle == "front" else loads[0]
    length = vehicle.sizes.wheelbase.value
    lift = AxleLift(sum(loads), length, *radii, raised.axle, level, raised.scale_tol)
    return fit_axle_lift(raised.steps, lift)


def _outlier_told(raised: Raised, fit: HeightFit) -> str:
    numbers = ", ".join(str(i + 1) for i in fit.outliers)
    template = "With the {axle} axle raised, step {numbers} lies off the line of the others."
    return said(template, axle=str(raised.axle), numbers=numbers)


def axle_loads(vehicle: Vehicle) -> tuple[float, float]:
    """Front and rear axle load of the record, kg. Raises InputError where they are not given."""
    front, rear = _axle_figures(vehicle)
    return sum(f.value for f in front), sum(f.value for f in rear)


def _axle_figures(vehicle: Vehicle) -> tuple[list[Quantity], list[Quantity]]:
    w = vehicle.weights
    pairs = ((w.front,), (w.rear,)), ((w.lf, w.rf), (w.lr, w.rr))
    for front, rear in pairs:
        if all(isinstance(f, Quantity) for f in (*front, *rear)):
            return (
                [f for f in front if isinstance(f, Quantity)],
                [f for f in rear if isinstance(f, Quantity)],
            )
    raise InputError("weights", NOT_GIVEN, "axle or wheel loads on file", "Weigh the axles first.")


# --- gauges and load cells -----------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Gauged:
    """Pad readings beside the prediction: accepted, or the figure or pad that does not fit.

    `vehicle` is the record with the weight and balance that the pads tell.
    """

    accepted: bool
    comparison: Comparison
    told: tuple[str, ...]
    vehicle: Vehicle
    mass: float
    aft: float
    side: float


def compare_gauges(
    case: Case,
    evaluation: Evaluation,
    vehicle: Vehicle,
    readings: Sequence[float],
    who: Who,
    tol: float | None = None,
) -> Gauged:
    """Four pad loads, N, LF RF LR RR, tyres just off the floor, beside those expected.

    `tol` is what one reading may be off; by default policy's part (`weigh_accept`) of a quarter of
    the weight. Raises InputError for readings that are no pad loads.
    """
    state = next(s for s in evaluation.states if s.lifted)
    off = case.policy["weigh_accept"] * state.mass * G0 / 4 if tol is None else tol
    foot = footing(case.vehicle, case.bay, case.shelf, case.policy, evaluation.setting)
    loads = [Figure(p.nominal, p.low, p.high) for p in state.pads]
    weight = Figure(state.mass * G0, state.mass_low * G0, state.mass_high * G0)
    shares = _shares(state, case)
    expected = forecast(foot.pads, loads, weight, shares, foot.warp)
    comparison = compare_loads(foot.pads, readings, expected, off)
    whole = sum(readings)
    x = sum(f * p[0] for f, p in zip(readings, foot.pads, strict=True)) / whole
    y = sum(f * p[1] for f, p in zip(readings, foot.pads, strict=True)) / whole
    mass = whole / G0
    length = vehicle.sizes.wheelbase.value
    spread = (
        sum(abs(1.0 + p[0] / length) for p in foot.pads) * off / G0,
        sum(abs(p[0] / length) for p in foot.pads) * off / G0,
        sum(abs(p[1] - y) for p in foot.pads) * off / whole,
    )
    record = _from_pads(vehicle, case, state, (mass, -x, y), (spread, who))
    told = tuple(_misfit_told(m) for m in comparison.misfits)
    return Gauged(comparison.fits, comparison, told, record, mass, -x, y)


def _shares(state: StateResult, case: Case) -> tuple[Figure, Figure]:
    """Front and left parts of the load, with the range the judge gives the pads."""
    nominal = [p.nominal for p in state.pads]
    front, left = share_of(nominal), left_share(nominal)
    check = next(c for c in state.checks if c.name == "pad_split")
    told = {k: v for k, v, _ in check.inputs}
    low, high = told["front share, least"], told["front share, greatest"]
    assert isinstance(low, float) and isinstance(high, float)
    spread = _side_spread(state, case, left)
    return Figure(front, min(low, front), max(high, front)), spread


def _side_spread(state: StateResult, case: Case, left: float) -> Figure:
    """Range of the left part: sideways range of the CG over the width between the pads."""
    points = case.vehicle.point_sets[0].points
    width = (points[0].place[1] - points[1].place[1] + points[2].place[1] - points[3].place[1]) / 2
    half = max(abs(high - low) for low, high in [(state.cg_low[1], state.cg_high[1])]) / 2
    return within(left, half / width)


def _from_pads(
    vehicle: Vehicle,
    case: Case,
    state: StateResult,
    found: tuple[float, float, float],
    how: tuple[tuple[float, float, float], Who],
) -> Vehicle:
    """The record with axle loads by moments; what the state carries beside it is taken off."""
    mass, aft, side = found
    (front_tol, rear_tol, side_tol), who = how
    items = next(s for s in case.states if s.name == state.name).items
    kerb = case.vehicle.kerb.name if case.vehicle.kerb else ""
    for item in items:
        if item.name != kerb:
            left = mass - item.mass
            aft = (mass * aft + item.mass * item.place[0]) / left
            side = (mass * side - item.mass * item.place[1]) / left
            mass = left
    name, record = _sourced(
        vehicle, replace(who, document=f"{who.document}, pads just off the floor")
    )
    length = vehicle.sizes.wheelbase.value
    rear = mass * aft / length
    weights = Weights(
        state=f"on the pads, {who.on.isoformat()}",
        front=quantity(_round(mass - rear), "kg", _round(front_tol), source=name),
        rear=quantity(_round(rear), "kg", _round(rear_tol), source=name),
    )
    sideways = quantity(round(side * 1000), "mm", round(side_tol * 1000), source=name)
    balance = Balance(height=vehicle.balance.height, side=sideways)
    return record.model_copy(update={"weights": weights, "balance": balance})


_NAMES = {
    "total": "total weight",
    "axle": "front part of the load",
    "side": "left part of the load",
    "warp": "level of the pads",
}


def _misfit_told(m: Misfit) -> str:
    name = _NAMES.get(m.what) or f"pad {CORNERS[m.pad or 0]}"
    read, low, high = m.measured.value, m.expected.low, m.expected.high
    unit = "1" if m.what in ("axle", "side") else "N"
    figures = {"read": Amount(read, unit), "low": Amount(low, unit), "high": Amount(high, unit)}
    return said("{name}: {read} read, {low} to {high} expected", name=name, **figures)
