"""`cover`, `buy`, `lifts`, `day`: studies over many vehicles, bays and jobs."""

from __future__ import annotations

import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from re import fullmatch
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
Share = Annotated[
    float | None,
    typer.Option("--share", min=0, max=1, help="Least cost for this share of visits, 0 to 1."),
]
Budget = Annotated[
    float | None,
    typer.Option(
        "--budget", min=0, help="Greatest share of visits for this money, in the shop's currency."
    ),
]
BuySeconds = Annotated[
    float,
    typer.Option(
        "--seconds", min=1, help="Wall time for every answer; all choices together are one answer."
    ),
]
Candidates = Annotated[
    Path | None, typer.Option("--candidates", help="Folder of bay files to choose from.")
]
Replace = Annotated[str | None, typer.Option("--replace", help="Bay whose lift goes.")]
NoSensitivity = Annotated[
    bool, typer.Option("--no-sensitivity", help="Do not ask which figure matters.")
]
Seconds = Annotated[
    float, typer.Option("--seconds", min=1, help="Wall time for the board, seconds.")
]
Before = Annotated[
    Path | None, typer.Option("--before", help="The board before, as --json wrote it.")
]
Now = Annotated[str | None, typer.Option("--now", help="Time of day of the new board, as 10:30.")]
Longer = Annotated[
    list[str] | None,
    typer.Option("--longer", help="JOB=MINUTES: a job takes so much longer; may be repeated."),
]
Out = Annotated[
    list[str] | None,
    typer.Option("--out", help="BAY=FROM-TO: a lift out, as north=10:30-12:00; may be repeated."),
]


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
    from underset.studies import charts, coverage_table

    shop = open_workshop(workshop)
    if fleet is not None or table is not None:
        on = _place(workers, cluster)
        return _cover_many(shop, (fleet, seed, table), bay, (on, journal), (json, csv))
    unit = chosen("--units", units, shop.about.units, ("metric", "inch"))
    tongue = chosen("--language", language, shop.about.language, ("en", "de"))
    asked = studying.Survey(tuple(vehicle or ()), tuple(bay or ()), not no_remedies, unit, tongue)
    with _spread(_place(workers, cluster)) as run:
        told = studying.cover(shop, asked, today(), run=run)
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


@contextmanager
def _spread(on: Place) -> Iterator[Any]:
    """A study's way to run its plans, which says on standard error how far it is."""
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn

    console = Console(stderr=True)
    columns = (BarColumn(), MofNCompleteColumn(), TextColumn("plans"))
    with Progress(*columns, console=console, transient=True) as bar:
        yield _Counted(on, bar, bar.add_task("", total=None))


class _Counted:
    """Counts what has been planned; says so every `EVERY` seconds where no bar can be drawn."""

    EVERY = 5.0

    def __init__(self, on: Place, bar: Any, task: Any) -> None:
        self.on, self.bar, self.task = on, bar, task
        self.done = self.total = 0
        self.said = time.monotonic()

    def __call__(self, work: Any, tasks: Any) -> Iterator[Any]:
        from underset.studies import Spread

        waiting = list(tasks)
        self.total += len(waiting)
        for result in Spread(self.on)(work, waiting):
            self.done += 1
            self._tell()
            yield result

    def _tell(self) -> None:
        self.bar.update(self.task, completed=self.done, total=self.total)
        if not self.bar.console.is_terminal and time.monotonic() - self.said > self.EVERY:
            self.said = time.monotonic()
            self.bar.console.print(f"{self.done} of {self.total} plans")


def _place(workers: int, cluster: str | None) -> Place:
    from underset.studies import Cluster, Here, Pool

    if cluster is not None:
        return Cluster(cluster)
    return Pool(workers) if workers > 1 else Here()


def _cover_many(
    shop: Any,
    source: tuple[int | None, int, Path | None],
    bay: Any,
    how: tuple[Place, Path | None],
    out: tuple[str | None, Path | None],
) -> int:
    """The batch: counts by bay with the checks that refuse most. `how` is place and journal."""
    from underset.app import studying, today
    from underset.studies import Fleet, batch

    count, seed, table = source
    if count is not None and table is not None:
        raise InputError("--fleet", count, "either a synthetic fleet or a table, not both")
    vehicles = table if table is not None else Fleet(count or 0, seed)
    asked = studying.many(shop, vehicles, tuple(bay or ()), today())
    with _bar(asked) as watch:
        told = batch.survey(asked, how[0], watch, how[1])
    json, csv = out
    if json == "-":
        say_line(batch.as_json(asked, told).rstrip())
    else:
        say_line("\n".join(batch.as_lines(asked, told)))
    if json and json != "-":
        write_out(Path(json), batch.as_json(asked, told))
    if csv:
        write_out(csv, batch.as_csv(asked, told))
    return 0 if told.anywhere == told.vehicles else 3


@contextmanager
def _bar(asked: Any) -> Iterator[Any]:
    """A bar with rate and time left, on standard error; then how long it took.

    Where no bar can be drawn it says so every few seconds instead.
    """
    from rich.console import Console
    from rich.progress import BarColumn, Progress, TextColumn, TimeRemainingColumn

    from underset.studies import Watch, batch

    known = asked.plans()
    columns = (
        BarColumn(), TextColumn("{task.completed:,.0f} plans"), TextColumn("{task.fields[rate]}"),
        TimeRemainingColumn(),
    )  # fmt: skip
    latest: list[Any] = []
    with Progress(*columns, console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task("", total=known or None, rate="")
        if known and not bar.console.is_terminal:
            bar.console.print(f"{known:,} plans; compiling may take a minute the first time")
        said = time.monotonic()

        def tell(progress: Any) -> None:
            nonlocal said
            latest[:] = [progress]
            bar.update(task, completed=progress.done, rate=_rate(progress))
            if not bar.console.is_terminal and time.monotonic() - said > _Counted.EVERY:
                said = time.monotonic()
                left = f", {progress.left:,.0f} s left" if progress.left and known else ""
                bar.console.print(f"{progress.done:,} plans, {_rate(progress)}{left}")

        yield Watch(tell, known, batch.size_of)
        for p in latest:
            rate = f", {_rate(p)}" if p.rate else ""
            kept = f", {p.kept:,} of them from the journal" if p.kept else ""
            bar.console.print(f"{p.done:,} plans in {p.seconds:,.1f} s{rate}{kept}")


def _rate(progress: Any) -> str:
    return f"{progress.rate:,.0f} a second" if progress.rate else ""


def buy(
    workshop: WorkshopDir = None,
    share: Share = None,
    budget: Budget = None,
    seconds: BuySeconds = 300.0,
    workers: Workers = 1,
    picture: Picture = None,
    json: JsonFile = None,
    language: Language = None,
) -> int:
    """What to buy: least cost for a share of visits, greatest share for a budget, or every choice.

    Ways to serve a vehicle are those the planner meets, not every one there is. Proved optimal for
    these, or stopped by --seconds and told with what no purchase can beat and the gap. 0 an answer,
    3 none.
    """
    from underset.app import open_workshop, studying, today
    from underset.studies import Curve, Limits, buying, charts, trade_off

    shop = open_workshop(workshop)
    tongue = chosen("--language", language, shop.about.language, ("en", "de"))
    telling = studying.telling(shop, shop.about.units, tongue)
    with _spread(_place(workers, None)) as run:
        case = studying.buying(shop, today(), run=run)
    every = share is None and budget is None
    limits, curve = Limits(seconds=seconds), Curve((), complete=False)
    if every or picture:
        curve = trade_off(case, limits=limits, seconds=seconds)
    kits = buying.asked_for(case, curve, share, budget, limits)
    lines = buying.as_lines(kits, telling, shop.about.currency)
    lines += [telling.word("curve_cut")] if every and not curve.complete else []
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
    picture: Picture = None,
    json: JsonFile = None,
    units: Units = None,
    language: Language = None,
) -> int:
    """Which lift adds most: alone, with its best shelf, and which of its figures matters.

    Without --candidates the shop's own lifts are looked at as a further one of each.
    """
    from dataclasses import replace as changed

    from underset.app import open_workshop, studying, today
    from underset.studies import charts, choose, lifts_table

    shop = open_workshop(workshop)
    tongue = chosen("--language", language, shop.about.language, ("en", "de"))
    offered = studying.read_bays(candidates) if candidates else dict(shop.bays)
    asked = studying.choosing(shop, offered, replace, today())
    asked = changed(asked, sensitivity=not no_sensitivity)
    with _spread(_place(workers, None)) as run:
        found = choose(asked, run)
    labels = {name: b.label for name, b in offered.items()}
    unit = chosen("--units", units, shop.about.units, ("metric", "inch"))
    telling = studying.telling(shop, unit, tongue, labels)
    if json == "-":
        say_line(lifts_table.as_json(found).rstrip())
    else:
        say_line("\n".join(lifts_table.as_lines(found, telling, shop.about.currency)))
    if json and json != "-":
        write_out(Path(json), lifts_table.as_json(found))
    if picture:
        about = shop.about
        drawn = charts.lifts_picture(
            found, telling, currency=about.currency, invented=about.invented
        )
        write_out(picture, drawn)
    return 0


def day(
    workshop: WorkshopDir = None,
    seconds: Seconds = 8.0,
    before: Before = None,
    now: Now = None,
    longer: Longer = None,
    out: Out = None,
    json: JsonFile = None,
    picture: Picture = None,
    language: Language = None,
) -> int:
    """The day's board: jobs on file over bays, people and pieces; refusals say what is short.

    With --before and --now: a new board near the one before, as the day is now. 0 every job is on
    the board, 3 some are not.
    """
    from underset.app import open_workshop, studying, today
    from underset.studies import Here, charts, day_table

    if (before is None) != (now is None):
        raise InputError("--before", before, "the board before and --now, both or neither")
    shop = open_workshop(workshop)
    tongue = chosen("--language", language, shop.about.language, ("en", "de"))
    telling = studying.telling(shop, shop.about.units, tongue)
    with _spread(Here()) as run:
        asked = studying.day_of(shop, today(), run=run)
    asked = studying.as_it_is_now(asked, _minutes_by_name(longer), _by_name("--out", out))
    board = _board(asked, before, now, seconds)
    lines = day_table.as_lines(board, telling, invented=shop.about.invented)
    say_line(day_table.as_json(board).rstrip() if json == "-" else "\n".join(lines))
    if json and json != "-":
        write_out(Path(json), day_table.as_json(board))
    if picture:
        drawn = charts.board_picture(asked, board, telling, invented=shop.about.invented)
        write_out(picture, drawn)
    return 0 if board.complete else 3


def _board(asked: Any, before: Path | None, now: str | None, seconds: float) -> Any:
    from underset.app import studying
    from underset.studies import Effort, day_table, replan, schedule

    effort = Effort(seconds=seconds)
    if before is None or now is None:
        return schedule(asked, effort)
    old = day_table.read_board(before)
    return replan(asked, old, studying.clock_minutes(now), effort=effort)


def _by_name(option: str, given: list[str] | None) -> dict[str, str]:
    """NAME=VALUE, each name once."""
    pairs = [g.partition("=") for g in given or ()]
    for name, sign, value in pairs:
        if not (name and sign and value):
            raise InputError(option, f"{name}{sign}{value}", "a name, =, and a value")
    return {name: value for name, _, value in pairs}


def _minutes_by_name(given: list[str] | None) -> dict[str, int]:
    pairs = _by_name("--longer", given)
    for name, value in pairs.items():
        if not fullmatch(r"\+?[0-9]{1,4}", value):
            raise InputError("--longer", f"{name}={value}", "whole minutes more, as job=30")
    return {name: int(value) for name, value in pairs.items()}
