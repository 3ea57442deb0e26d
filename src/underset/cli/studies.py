"""`cover`, `buy`, `lifts`, `day`: studies over many vehicles, bays and jobs."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from underset.cli.options import (
    BayNames,
    JsonFile,
    Language,
    Units,
    WorkshopDir,
    chosen,
    say_line,
    write_out,
)

Vehicles = Annotated[
    list[str] | None, typer.Option("--vehicle", help="Vehicle on file; may be repeated.")
]
CsvFile = Annotated[Path | None, typer.Option("--csv", help="Write the table as CSV.")]
Picture = Annotated[Path | None, typer.Option("--picture", help="Write the picture: .svg.")]
NoRemedies = Annotated[bool, typer.Option("--no-remedies", help="Do not look for remedies.")]


def cover(
    workshop: WorkshopDir = None,
    vehicle: Vehicles = None,
    bay: BayNames = None,
    no_remedies: NoRemedies = False,
    json: JsonFile = None,
    csv: CsvFile = None,
    units: Units = None,
    language: Language = None,
) -> int:
    """Which bay takes which vehicle, with the reason in each empty cell and what would change it.

    0 every vehicle can be lifted somewhere, 3 some cannot, 2 input wrong.
    """
    from underset.app import open_workshop, studying, today
    from underset.studies import coverage_table as table

    shop = open_workshop(workshop)
    unit = chosen("--units", units, shop.about.units, ("metric", "inch"))
    tongue = chosen("--language", language, shop.about.language, ("en", "de"))
    survey = studying.Survey(tuple(vehicle or ()), tuple(bay or ()), not no_remedies, unit, tongue)
    told = studying.cover(shop, survey, today())
    telling = studying.telling(shop, unit, tongue)
    if json == "-":
        say_line(table.as_json(told, telling).rstrip())
    else:
        say_line(table.as_text(told, telling).rstrip())
    if json and json != "-":
        write_out(Path(json), table.as_json(told, telling))
    if csv:
        write_out(csv, table.as_csv(told, telling))
    return 0 if len(told.served()) == len(told.vehicles) else 3
