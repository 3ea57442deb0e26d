"""Faults put into the sample workshop's records, one figure at a time, and what becomes of each.

    python -m benchmarks.mutate_records [VALUES [PLANS [SEED [CLI]]]]

Every value of every file is in turn missing, not given, negative, zero, a thousand times as great,
NaN, infinite, in a wrong unit, bare, of a wrong type, or from a stale or coming day. All are read;
of those that can be read some are planned, in a bay where the value counts, and CLI faults (default
50) go through the command itself. VALUES and PLANS are seeded shares (default 1: all). At
the setting that the sound records lead to, every check that a figure goes into is worked out again
without that figure: it must then not hold, or STANDS_IN says what stands in for it.

Slips of the pen (ten times, a tenth, a figure read in the other system of units) are listed by the
kinds of field where neither an error nor a remark tells of them: an inspector should know these.

Never allowed, and listed as findings: a trace, an error that does not tell field, value and what
may stand there, a check that holds without its figure, a refusal without a reason.
"""

from __future__ import annotations

import copy
import functools
import os
import random
import re
import shutil
import subprocess
import sys
import tempfile
import tomllib
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from pathlib import Path
from typing import Any

from underset.app import Planned, Wish, cases_for, make_plan
from underset.errors import AppError, InputError, InputErrors
from underset.records import (
    Adapter,
    Bay,
    Job,
    Record,
    Vehicle,
    Workshop,
    WorkshopFile,
    between,
    complaints,
    data_text,
    field_path,
    read_workshop,
    validated,
)
from underset.records.plausibility.shop import shop_complaints
from underset.records.reading import policy_of
from underset.setting import Check, Outcome, Setting, Status, evaluate, standing_on_file
from underset.units import UNITS

FOLDER = Path(__file__).resolve().parents[1] / "examples" / "quayside"
TODAY = date(2026, 11, 20)
MODELS: dict[str, type[Record]] = {
    "vehicles": Vehicle, "bays": Bay, "adapters": Adapter, "jobs": Job,
}  # fmt: skip
Way = tuple[str | int, ...]

# Where a vehicle is planned, and for which job; a bay and a job take the same pairs.
PAIRS: dict[str, tuple[str, str | None]] = {
    "chandler-van": ("yard", "chandler-unloaded-brakes"),
    "crew-pickup": ("yard", "pickup-transmission-out"),
    "ferry-saloon": ("north", "saloon-battery-down"),
    "harbour-hatch": ("south", "hatch-engine-out"),
    "harbourmaster-classic": ("north", None),
    "island-minibus": ("yard", None),
    "lock-runabout": ("north", "runabout-drive-unit-out"),
    "market-suv": ("north", None),
    "parcel-van": ("south", "parcel-drive-unit-out"),
    "pilot-coupe": ("south", "coupe-wheels-into-boot"),
}
IN_BAY = {
    "corner": ("lock-runabout", "runabout-drive-unit-out"),
    "north": ("harbour-hatch", "hatch-engine-out"),
    "south": ("parcel-van", "parcel-drive-unit-out"),
    "yard": ("crew-pickup", "pickup-transmission-out"),
}

# --- the sample -----------------------------------------------------------------------------------


@functools.cache
def sample() -> Workshop:
    return read_workshop(FOLDER)


@functools.cache
def places() -> list[str]:
    """Every file of the sample, such as `vehicles/harbour-hatch.toml`."""
    return sorted(p.relative_to(FOLDER).as_posix() for p in FOLDER.rglob("*.toml"))


@functools.cache
def _data(place: str) -> dict[str, Any]:
    return tomllib.loads((FOLDER / place).read_text("utf-8"))


def values(item: Any, way: Way = ()) -> Iterator[tuple[Way, Any]]:
    """Every value, table and list of plain data with the way to it, the data itself left out."""
    if way:
        yield way, item
    if isinstance(item, dict):
        for key, inside in item.items():
            yield from values(inside, (*way, key))
    elif isinstance(item, list):
        for number, inside in enumerate(item):
            yield from values(inside, (*way, number))


def kind_of(place: str, way: Way) -> str:
    """A field's name without numbers and ids: `vehicles: point_sets.points.aft`."""
    folder = place.partition("/")[0].removesuffix(".toml")
    words = [str(w) for w in way if not isinstance(w, int) and w != "value"]
    if words[0] in ("sources", "visits") and len(words) > 1:
        words[1] = "NAME"
    if words[0] == "arms":
        words[1:2] = []
    return f"{folder}: {'.'.join(words)}"


# --- faults ---------------------------------------------------------------------------------------

GONE = object()
_QUANTITY = re.compile(r"([-+]?[\d.]+)((?: ± [\d.]+)?) (\S.*)")
_LIKE = {
    "length": "in", "mass": "lb", "force": "lbf", "angle": "rad", "speed": "ft/min",
    "stiffness": "lbf/in", "twist": "N m/rad", "share": "%", "duration": "min",
}  # fmt: skip
_TYPES: dict[str, Any] = {"a list": [1], "a table": {"x": 1}, "true": True}


def quantity(value: Any) -> re.Match[str] | None:
    found = _QUANTITY.fullmatch(value) if isinstance(value, str) else None
    return found if found and found[3] in UNITS else None


def faults(value: Any) -> dict[str, Any]:
    """Each fault that a value may have, with what stands there then."""
    if (read := quantity(value)) is not None:
        return _quantity_faults(float(read[1]), read[2], read[3])
    if isinstance(value, dict | list):
        return {"missing": GONE, "empty": type(value)(), "text": "about so", "number": 7}
    if isinstance(value, bool):
        return {"missing": GONE, "turned": not value, "text": "maybe", "number": 7,
                "a list": [1], "a table": {"x": 1}}  # fmt: skip
    if isinstance(value, int | float):
        return {
            "missing": GONE, "negative": -abs(value) - 1, "zero": 0, "huge": value * 1000 + 1000,
            "NaN": float("nan"), "infinite": float("inf"), "text": "about so", **_TYPES,
        }  # fmt: skip
    if isinstance(value, date):
        return {
            "missing": GONE, "stale": value - timedelta(days=1100), "number": 7,
            "to come": TODAY + timedelta(days=700), "text": "last spring", **_TYPES,
        }  # fmt: skip
    return {"missing": GONE, "empty": "", "other text": "something else", "number": 7, **_TYPES}


def _quantity_faults(number: float, tol: str, unit: str) -> dict[str, Any]:
    kind = UNITS[unit][0]
    like = _LIKE[kind] if _LIKE[kind] != unit else next(
        u for u, (k, _) in UNITS.items() if (k == kind and u != unit) or u == unit == "%"
    )  # fmt: skip
    other = "kg" if kind != "mass" else "mm"
    return {
        "missing": GONE, "not given": "not given",
        "negative": f"{-abs(number) or -1:g}{tol} {unit}", "zero": f"0{tol} {unit}",
        "huge": f"{number * 1000:.10g}{tol} {unit}", "NaN": f"nan {unit}",
        "infinite": f"inf {unit}", "wrong unit, like": f"{number:g}{tol} {like}",
        "wrong unit, other": f"{number:g}{tol} {other}", "bare": number, "bare text": f"{number:g}",
        "text": "about so", **_TYPES,
    }  # fmt: skip


def put(data: Any, way: Way, value: Any) -> None:
    """Write a value, or take it away; with its source when it stands in a table with one."""
    if value is GONE and way[-1] == "value":
        way = way[:-1]
    for step in way[:-1]:
        data = data[step]
    if value is GONE:
        del data[way[-1]]
    else:
        data[way[-1]] = value


def spoilt(place: str, way: Way, value: Any) -> dict[str, Any]:
    data = copy.deepcopy(_data(place))
    put(data, way, value)
    return data


def shop_with(place: str, data: dict[str, Any]) -> tuple[Workshop, Record | None]:
    """The workshop with one file's data; raises InputErrors as reading the folder does."""
    folder, _, name = place.partition("/")
    shop, record = sample(), None
    if place == "policy.toml":
        shop = replace(shop, policy=policy_of(data, place))
    elif place == "workshop.toml":
        record = validated(WorkshopFile, data, place)
        shop = replace(shop, about=record)
    else:
        record = validated(MODELS[folder], data, place)
        table = {**getattr(shop, folder), name.removesuffix(".toml"): record}
        shop = replace(shop, **{folder: table})
    wrong = between(shop)
    if wrong:
        raise InputErrors(wrong)
    return shop, record


# --- what a value goes into -----------------------------------------------------------------------


def wish_of(place: str) -> Wish:
    """The plan that a file's values count in."""
    folder, _, name = place.partition("/")
    stem = name.removesuffix(".toml")
    if folder == "bays":
        vehicle, job = IN_BAY[stem]
        return Wish(vehicle, job, (stem,), remedies=False)
    if folder == "adapters":
        return _wish_with(stem)
    vehicle = sample().jobs[stem].vehicle if folder == "jobs" else stem
    vehicle = vehicle if folder in ("vehicles", "jobs") else "harbour-hatch"
    bay, job = PAIRS[vehicle]
    return Wish(vehicle, stem if folder == "jobs" else job, (bay,), remedies=False)


@functools.cache
def _wish_with(adapter: str) -> Wish:
    """A plan that stands on an adapter, or, where none does, one whose bay may take it."""
    wishes = [Wish(v, job, (bay,), remedies=False) for v, (bay, job) in PAIRS.items()]
    wishes.append(Wish(IN_BAY["corner"][0], IN_BAY["corner"][1], ("corner",), remedies=False))
    for wish in wishes:
        best = _sound_plan(wish).plan.best
        if best and any(adapter in arm.stack_ids for arm in best.setting.arms):
            return wish
    approved = [w for w in wishes if adapter in sample().bays[w.bays[0]].adapters_approved]
    return (approved or wishes)[0]


def planned(shop: Workshop, wish: Wish) -> Planned:
    return make_plan(shop, wish, TODAY)


@functools.cache
def sound(place: str) -> Planned:
    """What the sound records lead to."""
    return _sound_plan(wish_of(place))


@functools.cache
def _sound_plan(wish: Wish) -> Planned:
    return planned(sample(), wish)


def judged(shop: Workshop, wish: Wish, setting: Setting) -> tuple[Check, ...]:
    """The checks of one setting for a workshop's records."""
    case = cases_for(shop, wish, standing_on_file(shop, shop.day(TODAY)))[setting.bay]
    return evaluate(case, setting).checks


Told = tuple[str, str, str]


def _by_name(checks: tuple[Check, ...]) -> dict[Told, Check]:
    return {(c.name, c.where, c.state): c for c in checks}


def touched(before: tuple[Check, ...], after: tuple[Check, ...]) -> set[Told]:
    """Checks of which anything said differs."""
    one, two = _by_name(before), _by_name(after)
    return {key for key in set(one) & set(two) if _said(one[key]) != _said(two[key])}


def _said(c: Check) -> tuple[Any, ...]:
    return c.status, c.demand, c.limit, c.nominal, c.inputs


def nudged(value: Any) -> Any:
    """The value a little different, or GONE where nothing near is known."""
    if (read := quantity(value)) is not None:
        number = float(read[1]) * 1.01 or 5.0
        return f"{number:.10g}{read[2]} {read[3]}"
    if isinstance(value, bool):
        return not value
    if isinstance(value, date):
        return value - timedelta(days=1100)
    return {"yes": "no", "no": "yes", "not fitted": "yes"}.get(value, GONE) if isinstance(
        value, str
    ) else GONE  # fmt: skip


# --- one fault ------------------------------------------------------------------------------------


@dataclass
class Count:
    """Everything counted and found."""

    tried: Counter[tuple[str, str]] = field(default_factory=Counter)
    findings: list[str] = field(default_factory=list)
    stood_in: Counter[tuple[str, str]] = field(default_factory=Counter)
    moved: Counter[str] = field(default_factory=Counter)
    still: Counter[str] = field(default_factory=Counter)
    removed: int = 0

    def finding(self, place: str, way: Way, fault: str, told: str) -> None:
        self.findings.append(f"{place}: {field_path(way)} {fault}: {told}")


def try_one(count: Count, place: str, way: Way, fault: str, value: Any, *, plan: bool) -> str:
    """Put one fault in; its class, and what is found written down."""
    try:
        shop, record = shop_with(place, spoilt(place, way, value))
    except InputError as error:
        lacks = "" if told_elsewhere(error, place) else incomplete(error, way, value)
        if lacks:
            count.finding(place, way, fault, f"the error lacks {lacks}: {error}")
        return "error"
    except Exception as error:  # noqa: BLE001
        count.finding(place, way, fault, f"trace when read: {type(error).__name__} {error}")
        return "trace"
    if not plan:
        return "read, not planned"
    try:
        return outcome_of(count, place, way, fault, planned(shop, wish_of(place)), record)
    except AppError as error:
        lacks = incomplete(error, way, value) if isinstance(error, InputError) else "its kind"
        if lacks:
            count.finding(place, way, fault, f"the error when planned lacks {lacks}: {error}")
        return "error when planned"
    except Exception as error:  # noqa: BLE001
        count.finding(place, way, fault, f"trace when planned: {type(error).__name__} {error}")
        return "trace"


def told_elsewhere(error: InputError, place: str) -> bool:
    """Whether other records tell it, each with its file: they name what is no longer there."""
    errors = getattr(error, "errors", (error,))
    return all(e.place and e.place != place and "on file are" in e.allowed for e in errors)


def incomplete(error: InputError, way: Way, value: Any) -> str:
    """What the text of an error lacks: field, value received or what is allowed. Mostly nothing."""
    errors = getattr(error, "errors", (error,))
    words = [w for w in way if isinstance(w, str) and w != "value"]
    whole = isinstance(way[-1], int) and value is GONE  # then whoever names it tells
    if not whole and not any(word in e.message for e in errors for word in words[-2:]):
        return "the field"
    if not all("received" in e.message and e.allowed for e in errors):
        return "what is allowed"
    shown = "nothing" if value is GONE else repr(value)[:30].strip("'\"")
    if not isinstance(value, dict | list) and value is not GONE and shown:
        dated = value.isoformat() if isinstance(value, date) else shown
        if not any(shown in e.message or dated in e.message for e in errors):
            return f"the value {shown}"
    return ""


def outcome_of(
    count: Count, place: str, way: Way, fault: str, now: Planned, record: Record | None
) -> str:
    """The class of a fault that was read and planned."""
    before = sound(place)
    plan, kind = now.plan, kind_of(place, way)
    same = _signature(before) == _signature(now)
    (count.still if same else count.moved)[kind] += 1
    if plan.outcome is Outcome.INCOMPLETE:
        return "not known"
    if plan.outcome is not Outcome.FOUND:
        if not plan.refusals:
            count.finding(place, way, fault, f"{plan.outcome} without a reason")
        return "refused with its reason"
    odd = set(_looks(record)) - set(_looks(_sound_record(place)))
    if odd:
        return "usable, said to look wrong"
    return "usable, nothing changed" if same else "usable with other figures"


def _signature(planned: Planned) -> Any:
    plan = planned.plan
    best = plan.best
    checks = [(c.name, c.where, c.state, _said(c)) for c in best.checks] if best else []
    return plan.outcome, checks, best and best.setting, plan.hold_points, plan.missing


def _looks(record: Record | None) -> Iterator[tuple[str, str, str]]:
    if record is not None:
        yield from ((c.field, str(c.looks), str(c.value)) for c in complaints(record))


@functools.cache
def _sound_record(place: str) -> Record | None:
    return shop_with(place, copy.deepcopy(_data(place)))[1]


# --- a check without its figure -------------------------------------------------------------------


def without(count: Count, place: str, way: Way, value: Any) -> None:
    """Take a value out at the sound setting: no check it goes into may hold, but for stand-ins."""
    best, wish = sound(place).plan.best, wish_of(place)
    near = nudged(value)
    if best is None or near is GONE:
        return
    try:
        moved, _ = shop_with(place, spoilt(place, way, near))
        bare, _ = shop_with(place, spoilt(place, way, GONE))
        goes_into = touched(best.checks, judged(moved, wish, best.setting))
        after = _by_name(judged(bare, wish, best.setting))
    except InputError:
        return  # the field is needed, or its neighbour tells of it
    count.removed += 1
    kind = kind_of(place, way)
    for told in goes_into:
        if told in after and after[told].status is Status.HOLDS:
            count.stood_in[(kind, told[0])] += 1
            if not stands_in(kind):
                count.finding(place, way, "missing", f"{told[0]} holds without it")


# What stands in for a figure that is not there: how the field begins, and on whose word.
_POLICY = "policy's own figure, which the check names"
_CLASS = "open data of the vehicle's class with their spread, or another weighing"
STANDS_IN: tuple[tuple[str, str], ...] = (
    ("policy: ", "the default of the policy"),
    ("bays: inspection.interval", _POLICY),
    ("bays: plate.split_high", _POLICY),
    ("bays: plate.per_arm", _POLICY),
    ("bays: arms.limit", "the plate's limit of every arm"),
    ("bays: carriage_difference", _POLICY),
    ("bays: plate.wheelbase_", "a plate that names one end of a range sets no other"),
    ("bays: seat.greatest_stack", "a head alone is the lift maker's own"),
    ("adapters: interval_months", _POLICY),
    ("adapters: travel", "the piece with its screw fully in; nothing can be levelled then"),
    ("vehicles: body_twist_", _POLICY),
    ("vehicles: weights.", _CLASS),
    ("vehicles: balance.", _CLASS),
    ("vehicles: sizes.track_", "the mass and balance of " + _CLASS),
    ("vehicles: sizes.sill_height", "a push at the roof, which does more"),
    ("vehicles: suspension.droop_", "tyres taken at their widest"),
    ("bays: plate.drive_through", "the gap between the columns as they stand on file"),
    ("jobs: steps.aft", "a push at the far end of the vehicle, the worst place"),
    ("workshop: today", "the day of the computer; it is given for a sample only"),
    ("jobs: steps.seat", "a step without a height asks for none"),
    ("jobs: steps.tyre_clearance", "the policy's clearance at the first hold point"),
)


def stands_in(kind: str) -> str:
    """The reason why a check may hold without this figure; empty when there is none."""
    return next((why for start, why in STANDS_IN if kind.startswith(start)), "")


# --- the sweep ------------------------------------------------------------------------------------


def slips(value: Any) -> dict[str, Any]:
    """Slips of the pen that leave a figure readable: a decimal place, the other system of units."""
    read = quantity(value)
    if read is None or not float(read[1]):
        return {}
    number, tol, unit = float(read[1]), read[2], read[3]
    found = {"ten times": number * 10, "a tenth": number / 10}
    other = {"mass": "lb", "length": "in", "force": "lbf"}.get(UNITS[unit][0])
    if other and other != unit:
        ratio = UNITS[unit][1] / UNITS[other][1]
        found |= {"the other system's figure": number * ratio}
    return {name: f"{x:.6g}{tol} {unit}" for name, x in found.items()}


def unnoticed() -> dict[tuple[str, str], tuple[int, int]]:
    """By kind of field and slip: how many pass without an error or a remark, of how many."""
    found: dict[tuple[str, str], tuple[int, int]] = {}
    for place in places():
        for way, value in values(_data(place)):
            for slip, bad in slips(value).items():
                key = (kind_of(place, way), slip)
                quiet, tried = found.get(key, (0, 0))
                found[key] = (quiet + passes(place, way, bad), tried + 1)
    return found


def passes(place: str, way: Way, bad: Any) -> bool:
    """Whether a value is taken as if nothing were wrong with it."""
    try:
        shop, record = shop_with(place, spoilt(place, way, bad))
    except InputError:
        return False
    if set(_looks(record)) - set(_looks(_sound_record(place))):
        return False
    return not set(_shop_looks(shop)) - _sound_shop_looks()


def _shop_looks(shop: Workshop) -> Iterator[tuple[str, str, str]]:
    yield from ((c.place, c.field, str(c.looks)) for c in shop_complaints(shop))


@functools.cache
def _sound_shop_looks() -> set[tuple[str, str, str]]:
    return set(_shop_looks(sample()))


def told_slips() -> list[str]:
    """What nobody notices, as lines of text."""
    found = unnoticed()
    lines = []
    for kind in sorted({k for k, _ in found}):
        parts = [f"{s} {q} of {n}" for (k, s), (q, n) in sorted(found.items()) if k == kind and q]
        if parts:
            lines.append(f"  {kind}: {', '.join(parts)}")
    quiet, tried = (sum(x[i] for x in found.values()) for i in (0, 1))
    return [f"{tried:,} slips of the pen, {quiet:,} unnoticed, by kind of field:", *lines]


def sweep(share: float, seed: int, take: Callable[[random.Random], bool] | None = None) -> Count:
    """All faults of all values; `take` chooses among values (all by default)."""
    rng, count = random.Random(seed), Count()
    for place in places():
        for way, value in values(_data(place)):
            if take is not None and not take(rng):
                continue
            if not isinstance(value, dict | list):
                without(count, place, way, value)
            for fault, bad in faults(value).items():
                found = try_one(count, place, way, fault, bad, plan=rng.random() < share)
                count.tried[(fault, found)] += 1
    return count


def table(count: Count) -> list[str]:
    """Faults by class as lines of text."""
    classes = sorted({c for _, c in count.tried})
    names = list(dict.fromkeys(f for f, _ in count.tried))
    lines = [f"{'fault':<20}" + "".join(f"{c[:26]:>28}" for c in classes)]
    for name in [*names, "all"]:
        cells = [
            sum(n for (f, k), n in count.tried.items() if k == c and name in (f, "all"))
            for c in classes
        ]
        lines.append(f"{name:<20}" + "".join(f"{n:>28,}" for n in cells))
    return lines


def by_command(count: Count, number: int, seed: int) -> Counter[int]:
    """Some faults through the real command: exit codes, and a finding for every trace."""
    rng, codes = random.Random(seed), Counter[int]()
    for _ in range(number):
        place = rng.choice(places())
        way, value = rng.choice([v for v in values(_data(place)) if not isinstance(v[1], dict)])
        fault, bad = rng.choice(list(faults(value).items()))
        with tempfile.TemporaryDirectory() as folder:
            shop = Path(folder, "shop")
            shutil.copytree(FOLDER, shop)
            (shop / place).write_text(data_text(spoilt(place, way, bad)), "utf-8")
            done = _plan_command(shop, wish_of(place))
        codes[done.returncode] += 1
        if "Traceback" in done.stderr + done.stdout or done.returncode not in EXPECTED:
            count.finding(place, way, fault, f"the command ended with {done.returncode}")
    return codes


EXPECTED = frozenset((0, 2, 3, 4, 5))  # an outcome, or an error of a person's making


def _plan_command(shop: Path, wish: Wish) -> subprocess.CompletedProcess[str]:
    options = ["--workshop", str(shop), "--vehicle", wish.vehicle, "--bay", *wish.bays]
    options += ["--job", wish.job] if wish.job else []
    command = [sys.executable, "-m", "underset", "plan", *options]
    env = {**os.environ, "PYTHONPATH": str(FOLDER.parents[1] / "src")}
    return subprocess.run(command, capture_output=True, text=True, check=False, cwd=shop, env=env)


def main(arguments: list[str]) -> int:
    given = [float(a) for a in arguments]
    some, plans, seed, commands = [*given, *(1.0, 1.0, 1, 50)[len(given) :]]
    count = sweep(plans, int(seed), lambda rng: rng.random() < some)
    print(f"{some:.0%} of the values, {plans:.0%} of what can be read planned, seed {seed:g}")
    print("\n".join(table(count)))
    print("\n" + "\n".join(told_slips()))
    print(f"\n{count.removed} figures taken out at the sound setting. What stood in for one:")
    for (kind, check), n in sorted(count.stood_in.items()):
        print(f"  {kind} in {check} ({n}): {stands_in(kind) or 'NOTHING'}")
    quiet = sorted(set(count.still) - set(count.moved))
    print(
        f"\n{len(quiet)} kinds of field that changed no plan here: {', '.join(quiet)}", flush=True
    )
    codes = by_command(count, int(commands), int(seed))
    print(f"\nby the command: {', '.join(f'{n} with {c}' for c, n in sorted(codes.items()))}")
    print(f"\n{len(count.findings)} findings")
    for line in count.findings:
        print(f"  {line}")
    return 1 if count.findings else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
