"""Studies as use cases: which bay takes what, what to buy, which lift, the day."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from re import fullmatch
from typing import TYPE_CHECKING
from urllib.parse import urlencode

from underset.app.planning import Wish, cases_for
from underset.app.study_desk import Count, Working, ask
from underset.errors import InputError
from underset.planner import Voice
from underset.records import Bay, Job, Workshop, read_bay
from underset.setting import Case, Standing, standing_on_file
from underset.studies.coverage import Cell, Coverage, Pair, Run
from underset.studies.coverage import cover as cover_pairs
from underset.studies.coverage_table import Telling, mark, why
from underset.studies.day_case import Day, DayBay, DayJob, DayPerson, Stretch
from underset.studies.kit_case import KitCase, Stock, Way
from underset.studies.ways import Ask, Sold, kit_case, own_way_of_ask, way_of, ways_of_ask

if TYPE_CHECKING:
    from pathlib import Path

    from underset.app.shop import Moment, Shop
    from underset.studies.batch import Survey as BatchSurvey
    from underset.studies.day import Board
    from underset.studies.fleet import Fleet
    from underset.studies.kit import Curve
    from underset.studies.lifts import Choosing, LiftChoice


Met = tuple[str, tuple[Way, ...]]  # a vehicle and the ways met in one bay


@dataclass(frozen=True, slots=True)
class Survey:
    """What a coverage is asked for: vehicles and bays (none named: all), with remedies or not."""

    vehicles: tuple[str, ...] = ()
    bays: tuple[str, ...] = ()
    remedies: bool = True
    units: str = "metric"
    language: str = "en"


def cover(
    workshop: Workshop,
    survey: Survey,
    today: date,
    standing: Standing | None = None,
    run: Run[Pair, Cell] | None = None,
) -> Coverage:
    """Which bay takes which vehicle; NotFoundError for names that are not on file."""
    papers = standing or standing_on_file(workshop, workshop.day(today))
    return cover_pairs(pairs_of(workshop, survey, papers), run)


def pairs_of(workshop: Workshop, survey: Survey, papers: Standing) -> list[Pair]:
    """Every vehicle in every bay, vehicles first."""
    voice = Voice(survey.units, survey.language)
    visits = workshop.about.visits
    names = survey.vehicles or tuple(sorted(workshop.vehicles))
    pairs = []
    for name in names:
        cases = cases_for(workshop, Wish(name, bays=survey.bays), papers)
        weight = float(visits[name]) if name in visits else None
        pairs += [Pair(case, weight, survey.remedies, voice) for case in cases.values()]
    return pairs


def telling(
    workshop: Workshop, units: str, language: str, more: Mapping[str, str] | None = None
) -> Telling:
    """Labels of the workshop, and `more` of other records, for tables and pictures."""
    labels = dict(more or {})
    labels |= {k: v.label for k, v in workshop.vehicles.items()}
    labels |= {k: b.label for k, b in workshop.bays.items()}
    labels |= {k: a.label for k, a in workshop.adapters.items()}
    labels |= {k: j.label for k, j in workshop.jobs.items()}
    labels |= {p.id: p.name for p in workshop.about.people}
    return Telling(labels, units, language)


# --- many vehicles at once ------------------------------------------------------------------------


def many(
    workshop: Workshop, source: Fleet | Path, bays: tuple[str, ...], today: date
) -> BatchSurvey:
    """A batch over a synthetic fleet or a table, in the bays asked for (none named: all)."""
    from underset.studies.batch import Survey as BatchSurvey
    from underset.studies.batch_build import bay_table

    papers = standing_on_file(workshop, workshop.day(today))
    vehicle = min(workshop.vehicles, default="")  # the tables are the bays'; any vehicle will do
    cases = cases_for(workshop, Wish(vehicle, bays=bays), papers)
    tables = tuple(bay_table(c) for c in cases.values())
    return BatchSurvey(tables, workshop.policy["twist_high"], source)


# --- what to buy, which lift ----------------------------------------------------------------------


def sold_by(workshop: Workshop) -> Sold:
    """Adapter types with a price, rated by their maker."""
    return Sold(
        {k: a.price for k, a in workshop.adapters.items() if a.price is not None and a.maker_rated}
    )


def owned(workshop: Workshop) -> tuple[tuple[str, int, str], ...]:
    """Pieces in service by type and place."""
    return tuple(
        (name, lot.count, lot.where)
        for name, adapter in sorted(workshop.adapters.items())
        for lot in adapter.lots
        if lot.in_service and adapter.maker_rated
    )


def visits_of(workshop: Workshop) -> dict[str, float]:
    """Visits a year; one for each vehicle where the shop has said nothing at all."""
    told = workshop.about.visits
    return {v: float(told.get(v, 0) if told else 1) for v in sorted(workshop.vehicles)}


def buying(
    workshop: Workshop,
    today: date,
    standing: Standing | None = None,
    run: Run[Ask, Met] | None = None,
) -> KitCase:
    """The question of what to buy for the shop's own vehicles and bays.

    Alternatives are looked for only where no bay takes the vehicle with what is owned: nothing that
    is bought makes a visit cheaper that costs nothing.
    """
    papers = standing or standing_on_file(workshop, workshop.day(today))
    spread, sold, visits = run or map, sold_by(workshop), visits_of(workshop)
    names = sorted(workshop.vehicles)
    asks = [Ask(c, sold) for v in names for c in cases_for(workshop, Wish(v), papers).values()]
    own = list(spread(own_way_of_ask, asks))
    now = kit_case(own, visits, sold, owned(workshop))
    taken = {v.id for v in now.visits if any(not now.lacks(w) for w in v.ways)}
    rest = [a for a in asks if a.case.vehicle.id not in taken]
    found = [(v, ways) for v, ways in own if v in taken]
    return kit_case([*found, *spread(ways_of_ask, rest)], visits, sold, owned(workshop))


def read_bays(folder: Path) -> dict[str, Bay]:
    """The bay files of a folder by their stem; InputError where there is none."""
    files = sorted(folder.glob("*.toml"))
    if not files:
        raise InputError("candidates", folder.name, "a folder with bay files ending in .toml")
    return {f.stem: read_bay(f) for f in files}


def choosing(
    workshop: Workshop, candidates: Mapping[str, Bay], replaced: str | None, today: date
) -> Choosing:
    """The question of which lift: candidates beside the shop's bays, or in place of one."""
    from underset.studies.lifts import Candidate, Choosing

    papers = standing_on_file(workshop, workshop.day(today))
    kept = tuple(b for b in sorted(workshop.bays) if b != replaced)
    if replaced is not None:
        workshop.bay(replaced)
    told = cover(workshop, Survey(bays=kept, remedies=False), today) if kept else None
    trial = replace(workshop, bays=dict(candidates))
    fit = _as_new(papers, candidates)
    by_bay: dict[str, list[Case]] = {name: [] for name in candidates}
    for vehicle in sorted(workshop.vehicles):
        for name, case in cases_for(trial, Wish(vehicle), fit).items():
            by_bay[name].append(case)
    return Choosing(
        tuple(Candidate(name, tuple(cases)) for name, cases in by_bay.items()),
        frozenset(told.served()) if told else frozenset(),
        visits_of(workshop), sold_by(workshop), owned(workshop),
    )  # fmt: skip


def _as_new(papers: Standing, candidates: Mapping[str, Bay]) -> Standing:
    """A lift that is bought has its papers in order: the question is its geometry."""
    return replace(
        papers, lifts_out={}, lift_defects={}, require_daily_check=False,
        require_authorisation=False, examined=dict.fromkeys(candidates, papers.today),
    )  # fmt: skip


# --- the day --------------------------------------------------------------------------------------

OPEN, CLOSE = 7 * 60, 17 * 60  # where the shop says nothing of its hours


def day_of(
    workshop: Workshop,
    today: date,
    standing: Standing | None = None,
    hours: Stretch | None = None,
    run: Run[Case, Way | None] | None = None,
) -> Day:
    """The jobs on file as a day: allowed bays and pieces from plans, people and pieces as owned."""
    papers = standing or standing_on_file(workshop, workshop.day(today))
    jobs = _day_jobs(workshop, papers, run)
    bays = tuple(DayBay(b) for b in sorted(workshop.bays) if b not in papers.lifts_out)
    open_, close = hours or (OPEN, CLOSE)
    people = tuple(
        DayPerson(
            p.id, ((open_, close),), p.skills,
            tuple(b.id for b in bays if workshop.bay(b.id).lift_kind in p.authorised_for),
        )
        for p in workshop.about.people
        if "technician" in p.roles
    )  # fmt: skip
    stock = tuple(Stock(*piece) for piece in owned(workshop) if piece[1])
    return Day(jobs, bays, people, stock)


def _day_jobs(
    workshop: Workshop, papers: Standing, run: Run[Case, Way | None] | None
) -> tuple[DayJob, ...]:
    """Every job on file with the ways that the planner finds for it."""
    asked = [
        (name, case)
        for name in sorted(workshop.jobs)
        for bay, case in cases_for(workshop, Wish(workshop.job(name).vehicle, name), papers).items()
        if bay not in papers.lifts_out
    ]
    ways: dict[str, list[Way]] = {name: [] for name in sorted(workshop.jobs)}
    for (name, _), way in zip(asked, (run or map)(way_of, [c for _, c in asked]), strict=True):
        ways[name] += [way] if way is not None else []
    return tuple(_day_job(name, workshop.job(name), tuple(w)) for name, w in ways.items())


def _day_job(name: str, job: Job, ways: tuple[Way, ...]) -> DayJob:
    minutes = round(job.duration.value / 60.0) if job.duration else 60
    due = clock_minutes(job.due) if job.due else CLOSE
    return DayJob(name, job.vehicle, max(1, minutes), due, ways, skill=job.skill)


def as_it_is_now(day: Day, longer: Mapping[str, int], out: Mapping[str, str]) -> Day:
    """The day with jobs that take longer (minutes more) and lifts out (`10:30-12:00` by bay).

    Raises InputError for a job or bay that is not on the board, and for figures that cannot be.
    """
    jobs = {j.id: j for j in day.jobs}
    bays = {b.id: b for b in day.bays}
    for name in longer:
        if name not in jobs:
            raise InputError("longer", name, f"one of {', '.join(jobs)}")
    for name in out:
        if name not in bays:
            raise InputError("out", name, f"one of {', '.join(bays)}")
    later = {k: replace(jobs[k], minutes=jobs[k].minutes + n) for k, n in longer.items()}
    gone = {k: replace(bays[k], out=(_stretch(span),)) for k, span in out.items()}
    return replace(
        day,
        jobs=tuple(later.get(j.id, j) for j in day.jobs),
        bays=tuple(gone.get(b.id, b) for b in day.bays),
    )


def _stretch(span: str) -> Stretch:
    low, dash, high = span.partition("-")
    if not dash:
        raise InputError("out", span, "from and to, as 10:30-12:00")
    return clock_minutes(low), clock_minutes(high)


def clock_minutes(clock: str) -> int:
    """Minutes from midnight of a time of day; InputError for anything else."""
    read = fullmatch(r"([0-9]{1,2}):([0-5][0-9])", clock)
    if read is None or int(read[1]) > 24:
        raise InputError("due", clock, "a time of day, as 15:30")
    return 60 * int(read[1]) + int(read[2])


# --- what the pages show --------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class CoverCell:
    """One cell of the page: its mark, figures in words, and where to go on."""

    mark: str
    key: str
    margin: str
    why: str
    link: str
    card: str


@dataclass(frozen=True, slots=True)
class CoverRow:
    """One vehicle over all bays."""

    vehicle: str
    visits: str
    cells: tuple[CoverCell, ...]


@dataclass(frozen=True, slots=True)
class CoverPage:
    """Coverage as the page shows it."""

    served: int
    share: str
    bays: tuple[str, ...]
    rows: tuple[CoverRow, ...]
    picture: str


@dataclass(frozen=True, slots=True)
class DaySlot:
    """One job on the board: from, to, bay, job, person, pieces, late; and its plan."""

    fields: tuple[str, ...]
    link: str


@dataclass(frozen=True, slots=True)
class DayPage:
    """The board as the page shows it."""

    headline: str
    slots: tuple[DaySlot, ...]
    refused: tuple[str, ...]
    picture: str


def shown_coverage(shop: Shop, units: str, language: str) -> CoverPage | Working:
    """Coverage of everything on file against the book's standing, kept while nothing changes."""
    from underset.studies import coverage_picture

    now, papers = shop.moment(), shop.standing()
    asked = Survey(remedies=False)
    told = ask(shop, ("coverage",), lambda m, c: cover(m.workshop, asked, m.day, papers, c.run))
    if isinstance(told, Working):
        return told
    say = telling(now.workshop, units, language)
    rows = tuple(
        CoverRow(
            say.label(v), "" if told.visits(v) is None else f"{told.visits(v):.0f}",
            tuple(_cover_cell(told.cell(v, b), say) for b in told.bays),
        )
        for v in told.vehicles
    )  # fmt: skip
    bays = tuple(say.label(b) for b in told.bays)
    drawn = coverage_picture(told, say, "bare")
    return CoverPage(len(told.served()), say.part(told.share()), bays, rows, drawn)


_KEYS = {"holds": "holds", "watch": "watch", "none": "stops"}


def _cover_cell(cell: Cell, say: Telling) -> CoverCell:
    at = {"vehicle": cell.vehicle, "bay": cell.bay}
    there = {"heading": cell.heading, "points": cell.point_set, "spot": f"{cell.spot or 0.0:.4f}"}
    link = f"/setting?{urlencode(at | there)}" if cell.served else f"/plan?{urlencode(at)}"
    word = mark(cell)
    return CoverCell(
        word, _KEYS.get(word, "unknown"), say.part(cell.least_margin), why(cell, say), link,
        f"/card.pdf?{urlencode(at)}",
    )  # fmt: skip


def shown_day(shop: Shop, units: str, language: str) -> DayPage | Working:
    """The board of the jobs on file, kept while nothing changes."""
    from underset.studies import board_picture, headline, printable, schedule, why_not

    now, papers = shop.moment(), shop.standing()

    def make(m: Moment, count: Count) -> tuple[Day, Board]:
        day = day_of(m.workshop, m.day, papers, run=count.run)
        return day, schedule(day)

    made = ask(shop, ("day",), make)
    if isinstance(made, Working):
        return made
    day, board = made
    say = telling(now.workshop, units, language)
    slots = []
    for slot, fields in zip(board.slots, printable(board, say), strict=True):
        at = {"vehicle": now.workshop.job(slot.job).vehicle, "job": slot.job}
        slots.append(DaySlot(fields, f"/plan?{urlencode(at)}"))
    refused = tuple(why_not(r, say) for r in board.refusals)
    invented = now.workshop.about.invented
    drawn = board_picture(day, board, say, "bare", invented=invented) if day.jobs else ""
    return DayPage(headline(board, say), tuple(slots), refused, drawn)


@dataclass(frozen=True, slots=True)
class BuyPage:
    """What to buy as the page shows it: the answers in lines, and the picture of the curve."""

    lines: tuple[str, ...]
    picture: str


def shown_buying(
    shop: Shop, wanted: tuple[float | None, float | None], units: str, language: str
) -> BuyPage | Working:
    """Every choice worth having, or the answer for a share (0 to 1) and a budget (money)."""
    from underset.studies import buying as tables
    from underset.studies import curve_picture, trade_off

    now, papers = shop.moment(), shop.standing()

    def make(m: Moment, count: Count) -> tuple[KitCase, Curve]:
        case = buying(m.workshop, m.day, papers, count.run)
        return case, trade_off(case)

    made = ask(shop, ("buying",), make)
    if isinstance(made, Working):
        return made
    say, about = telling(now.workshop, units, language), now.workshop.about
    kits = tables.asked_for(*made, *wanted)
    drawn = curve_picture(made[1], say, "bare", currency=about.currency, invented=about.invented)
    return BuyPage(tuple(tables.as_lines(kits, say, about.currency)), drawn)


def shown_lifts(shop: Shop, replaced: str, units: str, language: str) -> BuyPage | Working:
    """What one more of each lift on file would add, in place of one of them or beside all."""
    from underset.studies import choose, lifts_picture, lifts_table

    now = shop.moment()
    workshop, about = now.workshop, now.workshop.about
    if replaced:
        workshop.bay(replaced)

    def make(m: Moment, count: Count) -> tuple[LiftChoice, ...]:
        offered = dict(m.workshop.bays)
        return choose(choosing(m.workshop, offered, replaced or None, m.day), count.run)

    found = ask(shop, ("lifts", replaced), make)
    if isinstance(found, Working):
        return found
    say = telling(workshop, units, language)
    drawn = lifts_picture(found, say, "bare", currency=about.currency, invented=about.invented)
    return BuyPage(tuple(lifts_table.as_lines(found, say, about.currency)), drawn)


def styles() -> str:
    """Style rules of the studies' pictures."""
    from underset.studies import screen_styles

    return screen_styles()
