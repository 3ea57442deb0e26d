"""Studies as use cases: which bay takes what, what to buy, which lift, the day."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from underset.app.planning import Wish, cases_for
from underset.planner import Voice
from underset.records.workshop import Workshop
from underset.setting.standing import Standing, standing_on_file
from underset.studies.coverage import Cell, Coverage, Pair, Run
from underset.studies.coverage import cover as cover_pairs
from underset.studies.coverage_table import Telling


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


def telling(workshop: Workshop, units: str, language: str) -> Telling:
    """Labels of the workshop for tables and pictures."""
    labels = {k: v.label for k, v in workshop.vehicles.items()}
    labels |= {k: b.label for k, b in workshop.bays.items()}
    labels |= {k: a.label for k, a in workshop.adapters.items()}
    labels |= {k: j.label for k, j in workshop.jobs.items()}
    labels |= {p.id: p.name for p in workshop.about.people}
    return Telling(labels, units, language)
