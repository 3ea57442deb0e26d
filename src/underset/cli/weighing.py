"""`weigh`: scales, axle lift, gauges; the result is a vehicle record with its source."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from underset.cli.options import (
    BayNames,
    Language,
    Units,
    VehicleName,
    WorkshopDir,
    looked,
    say_line,
    write_out,
)
from underset.errors import InputError, said

if TYPE_CHECKING:
    from underset.app import weigh
    from underset.records import Vehicle, Workshop
    from underset.units import Quantity

app = typer.Typer(
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    help="Weigh a vehicle: by scales, by raising one axle, or by gauges under the pads.",
)
By = Annotated[str, typer.Option("--by", help="Who weighs.")]
On = Annotated[str | None, typer.Option("--on", help="Day, as 2026-11-20; today without it.")]
Write = Annotated[Path | None, typer.Option("--write", help="Write the new record here, as TOML.")]
Loads = Annotated[
    list[str],
    typer.Option("--load", help='"kerb: 780 ± 3 kg, 520 ± 3 kg"; axles or wheels; repeat.'),
]
AboardOf = Annotated[
    list[str] | None,
    typer.Option("--aboard", help='"kerb: driver, 75 ± 5 kg, 1300 mm, 350 mm": mass, aft, side.'),
]
RaisedBy = Annotated[
    list[str],
    typer.Option("--raised", help='"rear: 600 mm, 930.4 kg": rise, other axle; repeat.'),
]
Radii = Annotated[str, typer.Option("--radii", help='Wheel centres: "300 mm, 300 mm" front, rear.')]
Read = Annotated[
    str, typer.Option("--read", help='"4.4 kN, 4.5 kN, 1.9 kN, 1.8 kN" LF RF LR RR; or kg, lb.')
]
DIFFERS = 3


@app.command("scales")
def scales(
    vehicle: VehicleName,
    load: Loads,
    by: By,
    aboard: AboardOf = None,
    on: On = None,
    workshop: WorkshopDir = None,
    write: Write = None,
    units: Units = None,
    language: Language = None,
) -> int:
    """Axle or wheel loads, from one load state or several that have to agree."""
    from underset.app import open_workshop, weigh

    shop, *look = looked(open_workshop(workshop), units, language)
    record = shop.vehicle(vehicle)
    found = weigh.weigh_scales(record, _states(load, aboard or []), _who(shop, by, on, "scales"))
    lines = list(found.findings)
    weights = found.vehicle.weights
    axles = (weights.front, weights.rear)
    shown = axles if weights.front else (weights.lf, weights.rf, weights.lr, weights.rr)
    alone = ", ".join(_load(w, *look) for w in shown)
    lines += [said("Loads of the vehicle alone: {loads}", loads=alone)]
    _tell([*lines, *weigh.balance_told(found.vehicle)], look)
    _write(write, found.vehicle, look)
    return 0 if found.fits else DIFFERS


@app.command("height")
def height(
    vehicle: VehicleName,
    raised: RaisedBy,
    radii: Radii,
    by: By,
    on: On = None,
    workshop: WorkshopDir = None,
    write: Write = None,
    units: Units = None,
    language: Language = None,
) -> int:
    """CG height by raising one axle in steps and coming down again (ISO 10392)."""
    from underset.app import open_workshop, weigh, weigh_words
    from underset.units import in_unit

    shop, *look = looked(open_workshop(workshop), units, language)
    record = shop.vehicle(vehicle)
    wheels = [_figure(r, "length", "--radii").value for r in radii.split(",")]
    if len(wheels) != 2:
        raise InputError("--radii", radii, 'two heights, "300 mm, 300 mm"')
    who = _who(shop, by, on, "axle lift")
    found = weigh.weigh_height(record, _raised(raised), (wheels[0], wheels[1]), who)
    height = weigh_words.Amount(found.height, "m", found.tol)
    lines = [said("CG height {height} above the floor", height=height)]
    name = "lb" if look[0] == "inch" else "kg"
    for fit in found.fits:
        left = "; ".join(_signed(in_unit(r, name), look[1]) for r in fit.residuals)
        lines.append(said("  residuals of the straight line, {unit}: {left}", unit=name, left=left))
    _tell([*lines, *found.warnings], look)
    _write(write, found.vehicle, look)
    return 0


@app.command("gauges")
def gauges(
    vehicle: VehicleName,
    bay: BayNames,
    read: Read,
    by: By,
    on: On = None,
    workshop: WorkshopDir = None,
    write: Write = None,
    units: Units = None,
    language: Language = None,
) -> int:
    """Pad loads read with the tyres just off the floor, beside those predicted."""
    from underset.app import Wish, make_plan, open_workshop, today, weigh

    shop, *look = looked(open_workshop(workshop), units, language)
    planned = make_plan(shop, Wish(vehicle, None, tuple(bay or ()), remedies=False), today())
    if planned.case is None or planned.plan.best is None:
        raise InputError("plan", planned.plan.outcome.value, "a setting whose loads are predicted")
    readings = [_load_read(r) for r in read.split(",")]
    found = weigh.compare_gauges(
        planned.case,
        planned.plan.best,
        shop.vehicle(vehicle),
        readings,
        _who(shop, by, on, "gauges"),
    )
    verdict = "accepted" if found.accepted else "does not fit: down, and begin again"
    _tell([verdict, *found.told], look)
    _write(write, found.vehicle, look)
    return 0 if found.accepted else DIFFERS


def _who(shop: Workshop, by: str, on: str | None, document: str) -> weigh.Who:
    """Who weighed, and when: no later than today, or than the day on which the shop stands."""
    from underset.app import today, weigh
    from underset.records import not_ahead

    try:
        day = date.fromisoformat(on) if on else today()
    except ValueError as error:
        raise InputError("--on", on, "a day as 2026-11-20") from error
    if wrong := not_ahead("--on", day, max(today(), shop.day(today()))):
        raise wrong
    return weigh.Who(by, day, document)


def _states(loads: list[str], aboard: list[str]) -> list[weigh.LoadState]:
    from underset.app import weigh

    extra: dict[str, list[weigh.Aboard]] = {}
    for text in aboard:
        state, told = _told(text, "--aboard")
        parts = [p.strip() for p in told.split(",")]
        if len(parts) not in (3, 4):
            raise InputError("--aboard", text, "a state, then what, mass, aft and perhaps side")
        mass, aft = _figure(parts[1], "mass", "--aboard"), _figure(parts[2], "length", "--aboard")
        side = _figure(parts[3], "length", "--aboard").value if len(parts) == 4 else 0.0
        item = weigh.Aboard(parts[0], mass.value, aft.value, mass.tol, side)
        extra.setdefault(state, []).append(item)
    states = []
    for text in loads:
        label, told = _told(text, "--load")
        figures = [_figure(p, "mass", "--load") for p in told.split(",")]
        tol = max(f.tol for f in figures)
        values = tuple(f.value for f in figures)
        states.append(weigh.LoadState(label, values, tol, tuple(extra.pop(label, ()))))
    if extra:
        raise InputError("--aboard", next(iter(extra)), "the name of one of the load states")
    return states


def _raised(texts: list[str]) -> list[weigh.Raised]:
    from underset.app import weigh
    from underset.statics import LiftStep

    steps: dict[str, list[LiftStep]] = {}
    tols: dict[str, float] = {}
    for text in texts:
        axle, told = _told(text, "--raised")
        parts = told.split(",")
        if axle not in ("front", "rear") or len(parts) != 2:
            raise InputError("--raised", text, '"front" or "rear", then rise and load')
        rise, load = _figure(parts[0], "length", "--raised"), _figure(parts[1], "mass", "--raised")
        steps.setdefault(axle, []).append(LiftStep(load=load.value, rise=rise.value))
        tols[axle] = max(tols.get(axle, 0.0), load.tol)
    return [
        weigh.Raised("front" if axle == "front" else "rear", tuple(s), tols[axle])
        for axle, s in steps.items()
    ]


def _told(text: str, option: str) -> tuple[str, str]:
    name, colon, told = text.partition(":")
    if not colon:
        raise InputError(option, text, "a name, a colon, then figures with their units")
    return name.strip(), told


def _figure(text: str, kind: str, option: str) -> Quantity:
    from underset.units import parse_quantity

    return parse_quantity(text.strip(), kind, field=option)


def _load_read(text: str) -> float:
    """A pad load, N; many scales show the mass that weighs as much."""
    from underset.units import G0, UNITS

    if UNITS.get(text.split()[-1] if text.split() else "", ("", 0.0))[0] == "mass":
        return _figure(text, "mass", "--read").value * G0
    return _figure(text, "force", "--read").value


def _load(weight: Any, units: str, language: str) -> str:
    """A load as the record has it, or in lb where the shop reads inches."""
    from underset.app import weigh_words

    if units == "metric":
        return str(weight).replace(".", ",") if language == "de" else str(weight)
    return weigh_words.Amount(weight.value, "kg", weight.tol).told(units, language)


def _signed(value: float, language: str) -> str:
    text = f"{value:+.2f}".replace("-", "−")
    return text.replace(".", ",") if language == "de" else text


def _tell(lines: Sequence[str], look: Sequence[str]) -> None:
    """Lines in units and language."""
    from underset.app import weigh_words

    for line in lines:
        say_line(weigh_words.weigh_told(line, *look))


def _write(target: Path | None, vehicle: Vehicle, look: Sequence[str]) -> None:
    if target is not None:
        from underset.records import toml_text

        write_out(target, toml_text(vehicle))
        _tell([said("written: {target}", target=str(target))], look)
