"""Workshop: bays, adapters, vehicles, jobs, people and policy on file, read together."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Annotated, Literal, TypeVar

from pydantic import Field

from underset.errors import NotFoundError
from underset.records.adapter import Adapter
from underset.records.base import Label, MaybeDate, Name, Record
from underset.records.job import Job
from underset.records.lift import Bay
from underset.records.policy import DEFAULT_POLICY, Policy
from underset.records.vehicle import Vehicle

T = TypeVar("T")


class Person(Record):
    """Somebody who works here, what they may do, and the kinds of lift they may use."""

    id: Name
    name: Label
    roles: tuple[Literal["technician", "lead", "inspector"], ...] = ("technician",)
    skills: tuple[str, ...] = ()
    authorised_for: tuple[str, ...] = ()
    trained: MaybeDate = None


class WorkshopFile(Record):
    """What stands in `workshop.toml`."""

    name: Label
    invented: bool = False
    units: Literal["metric", "inch"] = "metric"
    language: Literal["en", "de"] = "en"
    currency: str = ""
    today: MaybeDate = None
    people: tuple[Person, ...] = ()
    require_daily_check: bool = False
    require_authorisation: bool = False
    visits: dict[Name, Annotated[int, Field(ge=0, le=100_000)]] = Field(default={})
    notes: str = ""


@dataclass(frozen=True, slots=True)
class Workshop:
    """A workshop as read: everything by id (the file's stem)."""

    about: WorkshopFile
    policy: Policy = DEFAULT_POLICY
    vehicles: Mapping[str, Vehicle] = field(default_factory=dict)
    bays: Mapping[str, Bay] = field(default_factory=dict)
    adapters: Mapping[str, Adapter] = field(default_factory=dict)
    jobs: Mapping[str, Job] = field(default_factory=dict)

    def vehicle(self, name: str) -> Vehicle:
        """A vehicle by id; raises NotFoundError listing the ids on file."""
        return _find("vehicle", self.vehicles, name)

    def bay(self, name: str) -> Bay:
        """A bay by id; raises NotFoundError listing the ids on file."""
        return _find("bay", self.bays, name)

    def adapter(self, name: str) -> Adapter:
        """An adapter type by id; raises NotFoundError listing the ids on file."""
        return _find("adapter", self.adapters, name)

    def job(self, name: str) -> Job:
        """A job by id; raises NotFoundError listing the ids on file."""
        return _find("job", self.jobs, name)

    def day(self, today: date) -> date:
        """The day on which ages are counted: the invented sample keeps its own."""
        return self.about.today or today


def _find(kind: str, table: Mapping[str, T], name: str) -> T:
    if name not in table:
        raise NotFoundError(kind, name, tuple(table))
    return table[name]
