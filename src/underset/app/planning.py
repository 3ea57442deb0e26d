"""Planning use cases: a workshop, a vehicle and a job in; a Plan for card, page and command out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from underset.errors import NotFoundError
from underset.job.holdpoints import hold_points
from underset.job.states import states_of
from underset.planner.changes import Voice
from underset.planner.missing import missing
from underset.planner.remedies import Asking, propose
from underset.planner.search import Found, Limits, rank_key, search
from underset.planner.verify import proved
from underset.records.workshop import Workshop
from underset.setting.build import bay_numbers, shelf, vehicle_numbers
from underset.setting.evaluate import Case
from underset.setting.result import Choice, Evaluation, Outcome, Plan
from underset.setting.scene import scene
from underset.setting.standing import Standing, standing_on_file


@dataclass(frozen=True, slots=True)
class Wish:
    """What is asked: a vehicle, perhaps a job, the bays to try (none named: all), a heading."""

    vehicle: str
    job: str | None = None
    bays: tuple[str, ...] = ()
    heading: str | None = None
    point_set: str | None = None
    remedies: bool = True


@dataclass(frozen=True, slots=True)
class Planned:
    """A plan with the cases it was made from, by bay, so that it can be judged and drawn again."""

    wish: Wish
    plan: Plan
    cases: dict[str, Case]
    by_bay: dict[str, Plan]
    parked: bool = False

    @property
    def case(self) -> Case | None:
        """The case of the best setting."""
        return self.cases[self.plan.best.setting.bay] if self.plan.best else None


def cases_for(workshop: Workshop, wish: Wish, standing: Standing) -> dict[str, Case]:
    """One case for each bay asked for; NotFoundError and InputError for names not on file."""
    record = workshop.vehicle(wish.vehicle)
    sets = [p.id for p in record.point_sets]
    if wish.point_set and wish.point_set not in sets:
        raise NotFoundError("point set", wish.point_set, sets)
    job = workshop.job(wish.job) if wish.job else None
    vehicle = vehicle_numbers(wish.vehicle, record, workshop.policy)
    states = states_of(vehicle, job)
    asked = job.intake if job and job.intake else record.intake
    intake = tuple((k, str(getattr(asked, k))) for k, _ in vehicle.intake)
    names = wish.bays or tuple(sorted(workshop.bays))
    return {
        name: Case(
            vehicle, bay_numbers(name, workshop.bay(name)),
            shelf(workshop.adapters, name, standing), workshop.policy, standing, intake,
            states, wish.job,
        )
        for name in names
    }  # fmt: skip


def make_plan(
    workshop: Workshop, wish: Wish, today: date, standing: Standing | None = None
) -> Planned:
    """Plan a lift: every bay asked for, ranked; the best with scene, hold points and remedies."""
    papers = standing or papers_on_file(workshop, today)
    cases = cases_for(workshop, wish, papers)
    limits = _limits(wish)
    found = {name: search([case], limits) for name, case in cases.items()}
    by_bay = {name: _of_bay(workshop, cases[name], f) for name, f in found.items()}
    plan = _overall(found, by_bay)
    if wish.remedies and plan.outcome is not Outcome.FOUND:
        plan = _mended(workshop, wish, papers, cases, plan, found)
    return Planned(wish, plan, cases, by_bay)


def papers_on_file(workshop: Workshop, today: date, person: str | None = None) -> Standing:
    """What the records say, with the shop's own rules: no daily check; `person` lifts, if named.

    Raises NotFoundError for a person who is not on file.
    """
    rules, known = workshop.about, tuple(p.id for p in workshop.about.people)
    if person is not None and person not in known:
        raise NotFoundError("person", person, known)
    return replace(
        standing_on_file(workshop, workshop.day(today), person),
        require_daily_check=rules.require_daily_check,
        require_authorisation=rules.require_authorisation,
    )


def _mended(
    workshop: Workshop,
    wish: Wish,
    papers: Standing,
    cases: dict[str, Case],
    plan: Plan,
    found: dict[str, Found],
) -> Plan:
    """The plan with what would make it work, here or in the bays that were not asked for."""
    others = tuple(sorted(set(workshop.bays) - set(cases)))
    elsewhere = cases_for(workshop, replace(wish, bays=others), papers) if others else {}
    voice = Voice(workshop.about.units, workshop.about.language)
    asking = Asking(found, _limits(wish), tuple(elsewhere.values()), voice=voice)
    proposed = propose(list(cases.values()), plan, asking)
    notes = ("Not every remedy was tried: the search for them was cut short.",) * proposed.cut
    return replace(plan, remedies=proposed.remedies, notes=(*plan.notes, *notes))


def _limits(wish: Wish) -> Limits:
    limits = Limits(point_set=wish.point_set)
    return replace(limits, headings=(wish.heading,)) if wish.heading else limits


def _of_bay(workshop: Workshop, case: Case, found: Found) -> Plan:
    choices = proved(case, found)
    if choices:
        return _plan(workshop, case, found, choices[0].evaluation, choices)
    shown = found.best_unclear() or found.best_stopped()
    return _plan(workshop, case, found, shown, ())


def _plan(
    workshop: Workshop,
    case: Case,
    found: Found,
    best: Evaluation | None,
    choices: Sequence[Choice],
) -> Plan:
    return Plan(
        outcome=found.outcome,
        best=best,
        choices=tuple(choices),
        refusals=found.refusals(),
        remedies=(),
        missing=missing(case, best) if best else (),
        candidates=found.count,
        scene=scene(case, best) if best else None,
        hold_points=hold_points(case, best) if best else (),
        invented=workshop.about.invented or case.vehicle.invented or case.bay.invented,
    )


_ORDER = (Outcome.FOUND, Outcome.INCOMPLETE, Outcome.LIMIT, Outcome.NONE)


def _overall(found: dict[str, Found], by_bay: dict[str, Plan]) -> Plan:
    """The best bay's plan, with all choices and all refusals of all bays."""
    first = min(by_bay, key=lambda name: bay_key(by_bay[name], name))
    choices = sorted((c for p in by_bay.values() for c in p.choices), key=rank_key)
    refusals = sorted(
        (r for p in by_bay.values() for r in p.refusals), key=lambda r: (-r.count, r.bay, r.check)
    )
    return replace(
        by_bay[first],
        choices=tuple(choices),
        refusals=tuple(refusals),
        candidates=sum(f.count for f in found.values()),
    )


def bay_key(plan: Plan, name: str) -> tuple[object, ...]:
    """Order of bays: outcome, rank of their best setting, fewest doubts, name."""
    rank = rank_key(plan.choices[0]) if plan.choices else ()
    doubts = (
        sum(c.status.value in ("stops", "not known") for c in plan.best.checks)
        if plan.best
        else 999
    )
    return (_ORDER.index(plan.outcome), rank, doubts, name)
