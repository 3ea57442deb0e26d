"""The kinds of events and what each one says; `KINDS` is the whole table.

Adding a field later needs a default, so that old events still read. A kind is never renamed.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from typing import Annotated, Any, ClassVar, Final, Literal

from pydantic import AwareDatetime, ConfigDict, Field, ValidationError, model_validator

from underset.errors import InputError, InputErrors, StoreError
from underset.errors import said as told
from underset.records import Label, Name, Note, Record, allowed_words

Sha = Annotated[str, Field(pattern=r"^[0-9a-f]{64}$")]
Text = Annotated[str, Field(min_length=1, max_length=2000)]
Thing = Literal["bay", "adapter"]
Count = Annotated[int, Field(ge=1, le=1000)]
Metres = Annotated[float, Field(ge=-100.0, le=100.0)]
Where = Annotated[str, Field(max_length=120)]


class Payload(Record):
    """What an event says. `ABOUT` names the fields that hold ids of its subjects, main first."""

    model_config: ClassVar[ConfigDict] = ConfigDict(allow_inf_nan=False)
    KIND: ClassVar[str]
    ABOUT: ClassVar[tuple[str, ...]]

    def about(self) -> tuple[str, ...]:
        """Subjects such as "bay/north", main first, each once."""
        named = [(name, getattr(self, name)) for name in self.ABOUT]
        return tuple(dict.fromkeys(f"{name}/{value}" for name, value in named if value))


class PlanMade(Payload):
    """A plan was made. `inputs` names the documents it was made from, `versions` the software.

    With both, the same plan can be made again exactly. `result` is what came out then in its
    published form, `figures` the same as the card shows it.
    """

    KIND = "plan made"
    ABOUT = ("plan", "vehicle", "bay", "job")
    plan: Name
    vehicle: Name
    bay: Name | None = None
    job: Name | None = None
    outcome: Literal["found", "none", "limit", "incomplete"]
    status: Literal["holds", "watch", "not known", "stops", ""] = ""
    invented: bool = False
    inputs: dict[Text, Sha] = Field(min_length=1)
    versions: dict[Text, Text] = Field(min_length=1)
    result: Sha | None = None
    figures: Sha | None = None


class CardPrinted(Payload):
    """The card of a plan was made for paper."""

    KIND = "card printed"
    ABOUT = ("plan", "run")
    plan: Name
    run: Name | None = None
    form: Literal["PDF", "SVG", "HTML"] = "PDF"


class RunStarted(Payload):
    """Somebody began to set a vehicle by a plan; `points` are the hold points to come, in order."""

    KIND = "run started"
    ABOUT = ("run", "plan", "vehicle", "bay", "job")
    run: Name
    plan: Name | None = None
    vehicle: Name
    bay: Name
    job: Name | None = None
    points: tuple[Name, ...] = Field(min_length=1, max_length=500)
    invented: bool = False


class HoldPointTicked(Payload):
    """A hold point was looked at; `done_at` is the device's own time when it sent this later."""

    KIND = "hold point ticked"
    ABOUT = ("run",)
    run: Name
    point: Name
    answer: Literal["done", "not right"]
    note: Note = ""
    shown: tuple[tuple[str, str], ...] = ()
    done_at: AwareDatetime | None = None


class HoldPointSigned(Payload):
    """A hold point was signed; `means` says how, `mark` names the stored drawing of a signature."""

    KIND = "hold point signed"
    ABOUT = ("run", "person")
    run: Name
    point: Name
    person: Name
    means: Literal["PIN", "password", "drawn", "session"]
    mark: Sha | None = None
    note: Note = ""
    shown: tuple[tuple[str, str], ...] = ()
    done_at: AwareDatetime | None = None


class RunFinished(Payload):
    """The vehicle is down again, or the run was stopped."""

    KIND = "run finished"
    ABOUT = ("run",)
    run: Name
    ended: Literal["down", "stopped"]
    note: Note = ""
    done_at: AwareDatetime | None = None


class ParkedAs(Payload):
    """Where the vehicle really stopped, in metres and radians in the frame of the lift."""

    KIND = "parked as"
    ABOUT = ("vehicle", "bay", "run", "plan")
    vehicle: Name
    bay: Name
    run: Name | None = None
    plan: Name | None = None
    spot: Metres
    sideways: Metres = 0.0
    yaw: Annotated[float, Field(ge=-0.5, le=0.5)] = 0.0


class IntakeAnswered(Payload):
    """What was asked at the vehicle, and the answers; "not asked" stays not known."""

    KIND = "intake answered"
    ABOUT = ("vehicle", "job", "run")
    vehicle: Name
    job: Name | None = None
    run: Name | None = None
    answers: dict[Text, Literal["no", "yes", "not asked", "not fitted"]] = Field(min_length=1)


class Weighing(Payload):
    """Loads read off scales or gauges, as texts with units, and the state of the vehicle."""

    KIND = "weighing"
    ABOUT = ("vehicle", "bay", "run")
    vehicle: Name
    bay: Name | None = None
    run: Name | None = None
    on: dt.date
    state: Label
    method: Label
    readings: dict[Text, Text] = Field(min_length=1, max_length=40)


class DailyCheck(Payload):
    """The check of a lift before its first use of a day; not fit means out of service."""

    KIND = "daily check"
    ABOUT = ("bay",)
    bay: Name
    on: dt.date
    fit: bool
    items: dict[Text, Literal["in order", "not in order", "not there"]] = Field(default={})
    note: Note = ""

    @model_validator(mode="after")
    def _fit_means_every_item(self) -> DailyCheck:
        if self.fit and "not in order" in self.items.values():
            raise ValueError("a lift with an item not in order is not fit")
        return self


class Examination(Payload):
    """A lift was examined by a qualified person; not passed means out of service."""

    KIND = "examination"
    ABOUT = ("bay",)
    bay: Name
    on: dt.date
    by: Label
    passed: bool
    why: Literal["periodic", "after installation", "after re-siting", "after repair"] = "periodic"
    document: Label | None = None
    note: Note = ""


class AdapterInspection(Payload):
    """Pieces of one type were inspected; an empty `where` means all; the `failed` ones are out."""

    KIND = "adapter inspection"
    ABOUT = ("adapter",)
    adapter: Name
    on: dt.date
    by: Label
    where: Where = ""
    seen: Count
    failed: Annotated[int, Field(ge=0, le=1000)] = 0
    note: Note = ""

    @model_validator(mode="after")
    def _failed_were_seen(self) -> AdapterInspection:
        if self.failed > self.seen:
            raise ValueError("no more pieces fail than were seen")
        return self


class AboutThing(Payload):
    """An event about a lift (by its bay) or an adapter type."""

    ABOUT: ClassVar[tuple[str, ...]] = ()
    thing: Thing
    id: Name

    def about(self) -> tuple[str, ...]:
        """The lift's bay or the adapter, then what the fields of ABOUT name."""
        return (f"{self.thing}/{self.id}", *super().about())


class DefectReported(AboutThing):
    """Somebody found something wrong. `stops_use` puts the lift, or the pieces, out of service."""

    KIND = "defect reported"
    ABOUT = ("defect",)
    defect: Name
    text: Text
    stops_use: bool
    where: Where = ""
    count: Count = 1


class DefectCleared(AboutThing):
    """A defect was mended or found to be none."""

    KIND = "defect cleared"
    ABOUT = ("defect",)
    defect: Name
    how: Text


class TakenOut(AboutThing):
    """A lift, or some pieces of an adapter type, must not be used."""

    KIND = "taken out of service"
    reason: Text
    where: Where = ""
    count: Count = 1


class Returned(AboutThing):
    """A lift, or some pieces of an adapter type, may be used again."""

    KIND = "returned to service"
    reason: Text
    where: Where = ""
    count: Count = 1


class Training(Payload):
    """A person was instructed; an empty `lift_kind` means every kind of lift."""

    KIND = "training"
    ABOUT = ("person",)
    person: Name
    lift_kind: Where = ""
    on: dt.date
    by: Label
    note: Note = ""


class AuthorisationGiven(Payload):
    """A person was appointed, in writing, to work a kind of lift, perhaps until a day."""

    KIND = "authorisation given"
    ABOUT = ("person",)
    person: Name
    lift_kind: Label
    on: dt.date
    until: dt.date | None = None
    by: Label


class AuthorisationWithdrawn(Payload):
    """A person may no longer work a kind of lift."""

    KIND = "authorisation withdrawn"
    ABOUT = ("person",)
    person: Name
    lift_kind: Label
    on: dt.date
    reason: Text


class SourceChecked(Payload):
    """Lifting points of one set were compared with their source; `differs` says what is not so."""

    KIND = "source re-checked"
    ABOUT = ("vehicle",)
    vehicle: Name
    point_set: Name
    on: dt.date
    by: Label
    edition: Where = ""
    differs: Note = ""


class RecordChanged(Payload):
    """A record was added, changed or removed; `sha` is the hash of its stored content."""

    KIND = "record changed"
    ABOUT = ("record",)
    kind: Name
    id: Name
    version: Annotated[int, Field(ge=1)]
    sha: Sha
    change: Literal["added", "changed", "removed"]

    def about(self) -> tuple[str, ...]:
        """The record itself."""
        return (f"{self.kind}/{self.id}",)


class AccountChanged(Payload):
    """Somebody's account was added or changed; no secret stands here."""

    KIND = "account changed"
    ABOUT = ("person",)
    person: Name
    change: Literal["added", "secret", "roles", "closed", "opened"]
    roles: tuple[str, ...] = ()


class BookKept(Payload):
    """The book itself was backed up, exported, restored or read in."""

    KIND = "book kept"
    ABOUT = ("book",)
    book: Label
    what: Literal["backed up", "exported", "restored", "imported"]
    events: Annotated[int, Field(ge=0)]
    head: Sha


class Remark(Payload):
    """A note on any subject, such as "vehicle/harbour-hatch"."""

    KIND = "remark"
    ABOUT = ()
    subject: Annotated[str, Field(pattern=r"^[a-z]{1,20}/[a-z0-9][a-z0-9-]{0,62}$")]
    text: Text

    def about(self) -> tuple[str, ...]:
        """What the note is on."""
        return (self.subject,)


KINDS: Final[dict[str, type[Payload]]] = {
    payload.KIND: payload
    for payload in (
        *(PlanMade, CardPrinted, RunStarted, HoldPointTicked, HoldPointSigned, RunFinished),
        *(ParkedAs, IntakeAnswered, Weighing),
        *(DailyCheck, Examination, AdapterInspection),
        *(DefectReported, DefectCleared, TakenOut, Returned),
        *(Training, AuthorisationGiven, AuthorisationWithdrawn, SourceChecked),
        *(RecordChanged, AccountChanged, BookKept, Remark),
    )
}


def payload_from(kind: str, said: Mapping[str, Any]) -> Payload:
    """A payload from what a form or program sent; every complaint at once.

    Raises InputError for an unknown kind, InputErrors for fields that do not fit.
    """
    if kind not in KINDS:
        raise InputError("kind", kind, told("one of {known}", known=", ".join(KINDS)))
    try:
        return KINDS[kind].model_validate(said)
    except ValidationError as error:
        raise InputErrors([_complaint(kind, e) for e in error.errors()]) from error


def payload_on_file(kind: str, said: Mapping[str, Any]) -> Payload:
    """A payload as it was stored. Raises StoreError when a newer version wrote it."""
    try:
        return payload_from(kind, said)
    except InputError as error:
        raise StoreError(
            told(
                "an event of kind {kind!r} cannot be read by this version: {error} "
                "Read it with the version that wrote it, or a newer one.",
                kind=kind, error=error.message,
            )
        ) from error  # fmt: skip


def _complaint(kind: str, error: Any) -> InputError:
    field = ".".join(str(part) for part in error["loc"]) or kind
    value = "nothing" if error["type"] == "missing" else error["input"]
    return InputError(field, value, allowed_words(error))
