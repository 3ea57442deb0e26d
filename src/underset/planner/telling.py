"""The one measurement that would settle a verdict, or narrow it most.

Each figure that is known to a tolerance only is taken as measured: its tolerance shrinks to what
the tool in hand gives, and its value is put at several places of its present band. Loads and
stability are judged again at each place. A place settles the verdict when the setting is then
usable, or when it stops although everything else stands at its middle.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import product

from underset.planner.missing import AXLES, TOO_WIDE, Need, needs, told
from underset.setting.bearing import bearing_checks, with_items
from underset.setting.catalogue import CHECKS
from underset.setting.evaluate import Case
from underset.setting.result import Check, Evaluation, Missing, Setting, Status, merge
from underset.setting.wording import note_text
from underset.statics import Item

Place = tuple[float, float, float]

# Decision: what a workshop's tools give; a figure known better than that gains nothing.
SCALE = 5.0  # kg, one axle or one part on a scale
TAPE = 0.005  # m, tape and plumb line on a level floor
HEIGHT_PART = 0.05  # of a measured CG height: ISO 10392:2011 tells "a few percent"
SIDE = 0.005  # m, sideways balance from four wheel scales of ± 3 kg on a car of 1.2 t
_PLACES = (-1.0, 0.0, 1.0)


@dataclass(frozen=True, slots=True)
class Telling:
    """What to measure, and what it does.

    `settles` is the part of the band at which the verdict is settled, `usable` the part at which
    the setting is then usable; `answers` names the checks it answers or that stop without it.
    """

    missing: Missing
    settles: float
    usable: float
    gain: float
    answers: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Probe:
    """A figure taken as measured: where it stands, and the cases at places of its band."""

    need: Need
    why: str
    cases: tuple[Case, ...]


def most_telling(case: Case, evaluation: Evaluation, language: str = "en") -> Telling | None:
    """The one measurement that settles most; None where none would change the verdict.

    What is not given comes before what is not well known: without it nothing is settled.
    """
    unknown = [c for c in evaluation.checks if _not_said(c)]
    if unknown:
        return _not_given(case, unknown, language)
    if not _only_bearing_stops(evaluation):
        return None
    found = [_tried(case, evaluation, probe, language) for probe in probes(case)]
    if not any(t.usable for t in found) and _stops_anyhow(case, evaluation.setting):
        return None
    useful = [t for t in found if t.settles > 0.0 or t.gain > 1e-4]
    return max(useful, key=_worth, default=None)


def _worth(t: Telling) -> tuple[bool, float, float, float]:
    """A measurement that may turn out well comes before one that only confirms a no."""
    return t.usable > 0.0, t.settles, t.usable, round(t.gain, 4)


def _not_said(check: Check) -> bool:
    """A figure is missing; one that is only estimated is there, with its band."""
    return check.status is Status.NOT_KNOWN and check.note[:1] != (TOO_WIDE,)


def _not_given(case: Case, unknown: list[Check], language: str) -> Telling | None:
    answered: dict[Need, list[Check]] = {}
    for check in unknown:
        for need in needs(case, check):
            answered.setdefault(need, []).append(check)
    if not answered:
        return None
    need, checks = max(answered.items(), key=lambda row: len(row[1]))
    names = tuple(dict.fromkeys(c.name for c in checks))
    made = told(case, need, note_text(checks[0], language), language)
    return Telling(made, len(checks) / len(unknown), 0.0, 0.0, names)


_BEARING = ("load", "stability")


def _only_bearing_stops(evaluation: Evaluation) -> bool:
    """Whether loads and stability alone decide: a tape does not move a column."""
    stops = [c for c in evaluation.checks if c.status is Status.STOPS]
    return all(CHECKS[c.name].group in _BEARING for c in stops)


def _tried(case: Case, evaluation: Evaluation, probe: _Probe, language: str) -> Telling:
    before = bearing_checks(case, evaluation.setting)
    settled = usable = 0
    gain = 0.0
    for variant in probe.cases:
        after = bearing_checks(variant, evaluation.setting)
        works = merge(*(c.status for c in after)) in (Status.HOLDS, Status.WATCH)
        usable += works
        settled += works or _stops_anyhow(variant, evaluation.setting)
        gain += _least_slack(after) - _least_slack(before)
    count = len(probe.cases)
    stops = tuple(dict.fromkeys(c.name for c in before if c.status is Status.STOPS))
    made = told(case, probe.need, probe.why, language)
    # Without a stop there is nothing to settle: only the margin grows.
    settles = settled / count if stops else 0.0
    return Telling(made, settles, usable / count if stops else 1.0, gain / count, stops)


def _stops_anyhow(case: Case, setting: Setting) -> bool:
    """Whether it stops although every figure of the ledger stands at its middle."""
    states = tuple(replace(s, items=tuple(map(_exact, s.items))) for s in case.states)
    exact = replace(case, states=states)
    return merge(*(c.status for c in bearing_checks(exact, setting))) is Status.STOPS


def _exact(item: Item) -> Item:
    return Item(item.name, item.mass, 0.0, item.place, (0.0, 0.0, 0.0))


def _least_slack(checks: tuple[Check, ...]) -> float:
    return min((c.slack for c in checks if c.slack is not None), default=0.0)


# --- figures known to a tolerance ----------------------------------------------------------------


def probes(case: Case) -> Iterator[_Probe]:
    """Every figure of the ledger and the lift that a measurement would tighten."""
    kerb = case.vehicle.kerb
    if kerb is None:
        return
    yield from _of_axles(case, kerb)
    yield from _of_axis(case, kerb, 1, SIDE, Need("vehicle", "weights.lf, rf, lr, rr", "corners"))
    allowed = HEIGHT_PART * kerb.place[2]
    yield from _of_axis(case, kerb, 2, allowed, Need("vehicle", "balance.height", "height"))
    for name, item, _ in case.vehicle.parts:
        if _matters(case, item):
            yield from _of_part(case, name, item)
    if case.bay.carriage_difference is None:
        greatest = case.policy["level_carriage"]
        cases = tuple(
            replace(case, bay=replace(case.bay, carriage_difference=d))
            for d in (0.0, greatest / 2, greatest)
        )
        yield _Probe(Need("bay", "carriage_difference", "carriages"), "", cases)


def _of_axles(case: Case, kerb: Item) -> Iterator[_Probe]:
    """Mass and balance along the vehicle, which two axle loads give together."""
    mass_tol, aft_tol = 2 * SCALE, case.vehicle.wheelbase * SCALE / kerb.mass
    if kerb.mass_tol <= mass_tol and kerb.place_tol[0] <= aft_tol:
        return
    corners = [(0.0, 0.0), *product((-1.0, 1.0), repeat=2)]
    cases = []
    for m, x in corners:
        mass = kerb.mass + m * max(0.0, kerb.mass_tol - mass_tol)
        place = (kerb.place[0] + x * max(0.0, kerb.place_tol[0] - aft_tol), *kerb.place[1:])
        tol = (min(kerb.place_tol[0], aft_tol), *kerb.place_tol[1:])
        weighed = Item(kerb.name, mass, min(kerb.mass_tol, mass_tol), place, tol)
        cases.append(with_items(case, [weighed]))
    why = f"{case.vehicle.basis.mass}; {case.vehicle.basis.aft}"
    yield _Probe(Need("vehicle", AXLES, "axles"), why, tuple(cases))


def _of_axis(case: Case, item: Item, axis: int, reached: float, need: Need) -> Iterator[_Probe]:
    """One coordinate of an entry's place, measured to within `reached`."""
    band = item.place_tol[axis]
    if band <= reached:
        return
    cases = []
    for u in _PLACES:
        place = _with(item.place, axis, item.place[axis] + u * (band - reached))
        tol = _with(item.place_tol, axis, reached)
        cases.append(with_items(case, [replace(item, place=place, place_tol=tol)]))
    basis = (case.vehicle.basis.aft, case.vehicle.basis.side, case.vehicle.basis.height)[axis]
    yield _Probe(need, basis, tuple(cases))


def _with(place: Place, axis: int, value: float) -> Place:
    x, y, z = (value if i == axis else p for i, p in enumerate(place))
    return x, y, z


def _of_part(case: Case, name: str, item: Item) -> Iterator[_Probe]:
    tol = (TAPE, TAPE, TAPE)
    if item.mass_tol <= SCALE and max(item.place_tol) <= TAPE:
        return
    reached = min(item.mass_tol, SCALE)
    room = item.mass_tol - reached
    weighed = [Item(item.name, item.mass + u * room, reached, item.place, tol) for u in _PLACES]
    cases = tuple(with_items(case, [i]) for i in weighed)
    yield _Probe(Need("vehicle", f"components.{name}.mass, aft, side", "part"), "", cases)


def _matters(case: Case, item: Item) -> bool:
    """Whether a step takes the part off, on or elsewhere."""
    names = {item.name, f"{item.name} off", f"{item.name} moved"}
    return any(i.name in names for s in case.states for i in s.items)
