"""`plan`: one vehicle, one or all bays, one job."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from underset.cli.options import (
    BayNames,
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
    say_line,
    write_out,
)

if TYPE_CHECKING:
    from underset.app import Planned
    from underset.records import Workshop

EXIT_BY_OUTCOME = {"found": 0, "none": 3, "limit": 4, "incomplete": 5}
Heading = Annotated[str | None, typer.Option("--heading", help="nose-in or tail-in; else both.")]
PointSet = Annotated[str | None, typer.Option("--point-set", help="Only this set of points.")]
ChancesOf = Annotated[
    int | None,
    typer.Option("--chances", help="Draw the tolerances this often: what fails, what drives it."),
]
NoRemedies = Annotated[bool, typer.Option("--no-remedies", help="Do not look for remedies.")]


def plan(
    vehicle: VehicleName,
    workshop: WorkshopDir = None,
    bay: BayNames = None,
    job: JobName = None,
    heading: Heading = None,
    point_set: PointSet = None,
    no_remedies: NoRemedies = False,
    chances: ChancesOf = None,
    json: JsonFile = None,
    card: CardFile = None,
    working: WorkingFile = None,
    units: Units = None,
    language: Language = None,
    person: Lifter = None,
    store: StoreOf = None,
) -> int:
    """Plan a lift: print the verdict, write card, working or JSON; the exit code tells the outcome.

    0 found, 3 none exists, 4 stopped at a limit, 5 input incomplete, 2 input wrong.
    """
    from underset.app import Wish, make_plan, today

    filed, papers = on_file(workshop, store, person)
    shop, unit, tongue = looked(filed, units, language)
    if heading is not None:
        chosen("--heading", heading, "", ("nose-in", "tail-in"))
    wish = Wish(vehicle, job, tuple(bay or ()), heading, point_set, not no_remedies)
    planned = make_plan(shop, wish, today(), papers)
    tell(shop, planned, shop.day(today()).isoformat(), (unit, tongue), (json, card, working))
    if chances is not None:
        from underset.app import likely

        told = likely.chances_text(likely.chances(planned, chances), tongue)
        print(f"\n{told}", file=sys.stderr if json == "-" else sys.stdout)
    return EXIT_BY_OUTCOME[planned.plan.outcome.value]


def tell(
    shop: Workshop,
    planned: Planned,
    day: str,
    look: tuple[str, str],
    outputs: tuple[str | None, Path | None, Path | None],
) -> None:
    """Print the verdict or the JSON of a plan, and write JSON, card and working where asked.

    Figures that look wrong are told on standard error; the plan stands as it is.
    """
    from underset.app import doubts, rendering, wording

    (json, card, working), (unit, tongue) = outputs, look
    for doubt in doubts.of_plan(shop, planned):
        print(f"{doubt.place}: {wording.doubted(doubt, tongue)}", file=sys.stderr)
    if json == "-":
        say_line(rendering.as_json(planned, unit, tongue).rstrip())
    else:
        say_line(rendering.verdict(shop, planned, day, unit, tongue).rstrip())
    if json and json != "-":
        write_out(Path(json), rendering.as_json(planned, unit, tongue))
    if card:
        write_out(card, rendering.card(shop, planned, day, unit, tongue, rendering.ending(card)))
    if working:
        kind = rendering.ending(working)
        write_out(working, rendering.working(shop, planned, day, unit, tongue, kind))
