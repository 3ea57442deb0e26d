"""`cover`, `buy`, `lifts`, `day`: studies over many vehicles, bays and jobs."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

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
from underset.errors import InputError

if TYPE_CHECKING:
    from underset.studies import Place

Vehicles = Annotated[
    list[str] | None, typer.Option("--vehicle", help="Vehicle on file; may be repeated.")
]
CsvFile = Annotated[Path | None, typer.Option("--csv", help="Write the table as CSV.")]
Picture = Annotated[Path | None, typer.Option("--picture", help="Write the picture: .svg.")]
NoRemedies = Annotated[bool, typer.Option("--no-remedies", help="Do not look for remedies.")]
Workers = Annotated[int, typer.Option("--workers", min=1, max=1024, help="Processes to use.")]
Address = Annotated[str | None, typer.Option("--cluster", help="Address of a Dask scheduler.")]
FleetSize = Annotated[
    int | None, typer.Option("--fleet", min=1, help="So many synthetic vehicles instead.")
]
Seed = Annotated[int, typer.Option("--seed", min=0, help="Seed of the synthetic fleet.")]
TableFile = Annotated[
    Path | None, typer.Option("--table", help="Vehicles of a table instead: .csv or .parquet.")
]
JournalFile = Annotated[
    Path | None, typer.Option("--journal", help="Keep results here; a broken run goes on from it.")
]
Share = Annotated[float | None, typer.Option("--share", help="Least cost for this share, 0 to 1.")]
Budget = Annotated[float | None, typer.Option("--budget", help="Greatest share for this money.")]
Candidates = Annotated[
    Path | None, typer.Option("--candidates", help="Folder of bay files to choose from.")
]
Replace = Annotated[str | None, typer.Option("--replace", help="Bay whose lift goes.")]
NoSensitivity = Annotated[
    bool, typer.Option("--no-sensitivity", help="Do not ask which figure matters.")
]
Seconds = Annotated[float, typer.Option("--seconds", min=1, help="Time for the board.")]


def cover(
    workshop: WorkshopDir = None,
    vehicle: Vehicles = None,
    bay: BayNames = None,
    no_remedies: NoRemedies = False,
    fleet: FleetSize = None,
    seed: Seed = 0,
    table: TableFile = None,
    journal: JournalFile = None,
    workers: Workers = 1,
    cluster: Address = None,
    json: JsonFile = None,
    csv: CsvFile = None,
    picture: Picture = None,
    units: Units = None,
    language: Language = None,
) -> int:
    """Which bay takes which vehicle, with the reason in each empty cell and what would change it.

    With --fleet or --table: many vehicles at once by the core checks alone.
    0 every vehicle can be lifted somewhere, 3 some cannot, 2 input wrong.
    """
    from underset.app import open_workshop, studying, today
    from underset.studies import Spread, charts, coverage_table

    shop = open_workshop(workshop)
    if fleet is not None or table is not None:
        return _cover_many(shop, (fleet, seed, table), bay, _place(workers, cluster), journal)
    unit = chosen("--units", units, shop.about.units, ("metric", "inch"))
    tongue = chosen("--language", language, shop.about.language, ("en", "de"))
    asked = studying.Survey(tuple(vehicle or ()), tuple(bay or ()), not no_remedies, unit, tongue)
    told = studying.cover(shop, asked, today(), run=Spread(_place(workers, cluster)))
    telling = studying.telling(shop, unit, tongue)
    if json == "-":
        say_line(coverage_table.as_json(told, telling).rstrip())
    else:
        say_line(coverage_table.as_text(told, telling).rstrip())
    if json and json != "-":
        write_out(Path(json), coverage_table.as_json(told, telling))
    if csv:
        write_out(csv, coverage_table.as_csv(told, telling))
    if picture:
        write_out(picture, charts.coverage_picture(told, telling))
    return 0 if len(told.served()) == len(told.vehicles) else 3


def _place(workers: int, cluster: str | None) -> Place:
    from underset.studies import Cluster, Here, Pool

    if cluster is not None:
        return Cluster(cluster)
    return Pool(workers) if workers > 1 else Here()


def _cover_many(
    shop: Any, source: tuple[int | None, int, Path | None], bay: Any, on: Place, file: Path | None
) -> int:
    """The batch: counts by bay with the checks that refuse most."""
    from underset.app import studying, today
    from underset.studies import Fleet, batch

    count, seed, table = source
    if count is not None and table is not None:
        raise InputError("--fleet", count, "either a synthetic fleet or a table, not both")
    vehicles = table if table is not None else Fleet(count or 0, seed)
    asked = studying.many(shop, vehicles, tuple(bay or ()), today())
    with _bar(asked) as watch:
        told = batch.survey(asked, on, watch, file)
    say_line("\n".join(batch.as_lines(asked, told)))
    return 0 if told.anywhere == told.vehicles else 3


@contextmanager
def _bar(asked: Any) -> Iterator[Any]:
    """A bar with rate and time left, on standard error."""
    from rich.console import Console
    from rich.progress import BarColumn, Progress, TextColumn, TimeRemainingColumn

    from underset.studies import Fleet, Watch, batch

    known = asked.source.count * len(asked.bays) if isinstance(asked.source, Fleet) else 0
    columns = (
        BarColumn(), TextColumn("{task.completed:,.0f} plans"), TextColumn("{task.fields[rate]}"),
        TimeRemainingColumn(),
    )  # fmt: skip
    with Progress(*columns, console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task("", total=known or None, rate="")

        def tell(progress: Any) -> None:
            rate = f"{progress.rate:,.0f} a second" if progress.rate else ""
            bar.update(task, completed=progress.done, rate=rate)

        yield Watch(tell, known, batch.size_of)


def buy(
    workshop: WorkshopDir = None,
    share: Share = None,
    budget: Budget = None,
    picture: Picture = None,
    json: JsonFile = None,
    language: Language = None,
) -> int:
    """What to buy: least cost for a share of visits, greatest share for a budget, or every choice.

    Ways to serve a vehicle are those the planner meets, not every one there is. Proved optimal for
    these, with the gap shown otherwise. 0 an answer, 3 none.
    """
    from underset.app import open_workshop, studying, today
    from underset.studies import buying, charts, trade_off

    shop = open_workshop(workshop)
    tongue = chosen("--language", language, shop.about.language, ("en", "de"))
    telling = studying.telling(shop, shop.about.units, tongue)
    case = studying.buying(shop, today())
    curve = trade_off(case)
    kits = buying.asked_for(case, curve, share, budget)
    lines = buying.as_lines(kits, telling, shop.about.currency)
    say_line(buying.as_json(kits).rstrip() if json == "-" else "\n".join(lines))
    if json and json != "-":
        write_out(Path(json), buying.as_json(kits))
    if picture:
        drawn = charts.curve_picture(
            curve, telling, currency=shop.about.currency, invented=shop.about.invented
        )
        write_out(picture, drawn)
    return 0 if any(k.proof.has_answer for k in kits) else 3


def lifts(
    workshop: WorkshopDir = None,
    candidates: Candidates = None,
    replace: Replace = None,
    no_sensitivity: NoSensitivity = False,
    workers: Workers = 1,
    json: JsonFile = None,
    language: Language = None,
) -> int:
    """Which lift adds most: alone, with its best shelf, and which of its figures matters.

    Without --candidates the shop's own lifts are looked at as a further one of each.
    """
    from dataclasses import replace as changed

    from underset.app import open_workshop, studying, today
    from underset.studies import Spread, choose, lifts_table

    shop = open_workshop(workshop)
    tongue = chosen("--language", language, shop.about.language, ("en", "de"))
    offered = studying.read_bays(candidates) if candidates else dict(shop.bays)
    asked = studying.choosing(shop, offered, replace, today())
    asked = changed(asked, sensitivity=not no_sensitivity)
    found = choose(asked, Spread(_place(workers, None)))
    labels = {name: b.label for name, b in offered.items()}
    telling = studying.telling(shop, shop.about.units, tongue, labels)
    if json == "-":
        say_line(lifts_table.as_json(found).rstrip())
    else:
        say_line("\n".join(lifts_table.as_lines(found, telling, shop.about.currency)))
    if json and json != "-":
        write_out(Path(json), lifts_table.as_json(found))
    return 0


def day(
    workshop: WorkshopDir = None,
    seconds: Seconds = 10.0,
    picture: Picture = None,
    language: Language = None,
) -> int:
    """The day's board: jobs on file over bays, people and pieces; refusals say what is short.

    0 every job is on the board, 3 some are not.
    """
    from underset.app import open_workshop, studying, today
    from underset.studies import Effort, charts, day_table, schedule

    shop = open_workshop(workshop)
    tongue = chosen("--language", language, shop.about.language, ("en", "de"))
    telling = studying.telling(shop, shop.about.units, tongue)
    asked = studying.day_of(shop, today())
    board = schedule(asked, Effort(seconds=seconds))
    say_line("\n".join(day_table.as_lines(board, telling, invented=shop.about.invented)))
    if picture:
        write_out(
            picture, charts.board_picture(asked, board, telling, invented=shop.about.invented)
        )
    return 0 if board.complete else 3
