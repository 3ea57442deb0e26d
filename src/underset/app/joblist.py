"""Jobs on file as pages list them."""

from __future__ import annotations

from dataclasses import dataclass

from underset.app.shop import Shop
from underset.records import Job, to_json

_NAMED = ("component", "label", "id", "what")


@dataclass(frozen=True, slots=True)
class JobLine:
    """A job in a list."""

    id: str
    label: str
    vehicle: str
    vehicle_label: str
    steps: int
    duration: str
    skill: str
    due: str


@dataclass(frozen=True, slots=True)
class StepLine:
    """One step: its kind, what it is about, its figures as they were written."""

    number: int
    kind: str
    about: str
    figures: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class JobPapers:
    """One job with its steps."""

    line: JobLine
    steps: tuple[StepLine, ...]


def jobs(shop: Shop) -> tuple[JobLine, ...]:
    """Every job, by vehicle and label."""
    found = [_line(shop, id, job) for id, job in shop.workshop().jobs.items()]
    return tuple(sorted(found, key=lambda j: (j.vehicle_label, j.label)))


def job(shop: Shop, id: str) -> JobPapers:
    """One job; NotFoundError when it is not on file."""
    record = shop.workshop().job(id)
    steps = tuple(_step(n, to_json(s)) for n, s in enumerate(record.steps, 1))
    return JobPapers(_line(shop, id, record), steps)


def _line(shop: Shop, id: str, job: Job) -> JobLine:
    vehicle = shop.workshop().vehicles.get(job.vehicle)
    label = vehicle.label if vehicle else job.vehicle
    duration = str(job.duration) if job.duration else ""
    return JobLine(id, job.label, job.vehicle, label, len(job.steps), duration, job.skill, job.due)


def _step(number: int, said: dict[str, object]) -> StepLine:
    about = next((str(said[k]) for k in _NAMED if said.get(k)), "")
    rest = {k: v for k, v in said.items() if k != "kind" and k not in _NAMED}
    return StepLine(number, str(said["kind"]), about, tuple((k, _told(v)) for k, v in rest.items()))


def _told(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value)
