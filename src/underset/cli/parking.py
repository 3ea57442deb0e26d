"""`parked`: a vehicle that has stopped, planned where it stands."""

from __future__ import annotations

from typing import Annotated

import typer

from underset.cli.options import (
    CardFile,
    JobName,
    JsonFile,
    Language,
    Lifter,
    StoreOf,
    Units,
    VehicleName,
    WorkingFile,
    WorkshopDir,
    chosen,
    looked,
    on_file,
)
from underset.cli.planning import EXIT_BY_OUTCOME, tell

Bay = Annotated[str, typer.Option("--bay", help="The bay it stands in.")]
Heading = Annotated[str, typer.Option("--heading", help="nose-in or tail-in.")]
Spot = Annotated[
    str | None, typer.Option("--spot", help='Front axle past the floor mark: "252 ± 5 mm".')
]
Sideways = Annotated[
    str | None, typer.Option("--sideways", help='To the left of the middle: "12 mm".')
]
Yaw = Annotated[str | None, typer.Option("--yaw", help='Turned to the left: "0.3 deg".')]
Tape = Annotated[
    list[str] | None,
    typer.Option("--tape", help='Reading "LF tyre, left, 412 mm"; repeat, two to each column.'),
]


def parked(
    vehicle: VehicleName,
    bay: Bay,
    heading: Heading = "nose-in",
    spot: Spot = None,
    sideways: Sideways = None,
    yaw: Yaw = None,
    tape: Tape = None,
    workshop: WorkshopDir = None,
    job: JobName = None,
    json: JsonFile = None,
    card: CardFile = None,
    working: WorkingFile = None,
    units: Units = None,
    language: Language = None,
    person: Lifter = None,
    store: StoreOf = None,
) -> int:
    """New teeth and reaches for a vehicle as it stands, or how far to move it.

    The stop is typed (spot, sideways, yaw) or read with a tape from named places to each column.
    Sideways or yaw left out: anything within the parking tolerance. Exit codes as for plan.
    """
    from underset.app import Wish, stops, today
    from underset.units import parse_quantity

    filed, papers = on_file(workshop, store, person)
    shop, unit, tongue = looked(filed, units, language)
    at = parse_quantity(spot, "length", field="--spot") if spot else None
    side = parse_quantity(sideways, "length", field="--sideways") if sideways else None
    turn = parse_quantity(yaw, "angle", field="--yaw") if yaw else None
    stood = stops.Stood(
        chosen("--heading", heading, "", ("nose-in", "tail-in")),
        at.value if at else None,
        side.value if side else None,
        turn.value if turn else None,
        (at.tol if at else 0.0, side.tol if side else 0.0, turn.tol if turn else 0.0),
        tuple(stops.reading_of(t) for t in tape or ()),
    )
    planned = stops.parked_plan(shop, Wish(vehicle, job, (bay,)), stood, papers, (unit, tongue))
    outputs = (json, card, working)
    tell(shop, planned, shop.day(today()).isoformat(), (unit, tongue), outputs)
    return EXIT_BY_OUTCOME[planned.plan.outcome.value]
