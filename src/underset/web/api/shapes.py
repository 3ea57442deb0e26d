"""What goes in and out of the JSON API: bounded fields, one shape for every refusal."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from fastapi import Path, Query
from pydantic import BaseModel, ConfigDict, Field

NAME = r"^[a-z0-9][a-z0-9-]{0,62}$"
Name = Annotated[str, Field(pattern=NAME)]
IdPath = Annotated[str, Path(pattern=NAME)]
NameQuery = Annotated[str, Query(pattern=NAME)]
MaybeQuery = Annotated[str, Query(pattern=r"^([a-z0-9][a-z0-9-]{0,62})?$")]
Key = Annotated[str, Field(min_length=8, max_length=80, pattern=r"^[a-z0-9-]+$")]
Note = Annotated[str, Field(max_length=600)]
Kind = Literal["vehicle", "bay", "adapter", "job", "workshop", "policy"]
Version = Annotated[int, Field(ge=0, le=1_000_000_000)]
Json = dict[str, Any]


class Told(BaseModel):
    """Every body of a request: unknown fields are refused."""

    model_config = ConfigDict(extra="forbid", allow_inf_nan=False)


class Refused(BaseModel):
    """Why something was not done."""

    kind: str
    field: str | None
    received: str | int | bool | None
    allowed: str | None
    remedy: str | None
    message: str


class Refusal(BaseModel):
    """The one shape of every refusal."""

    error: Refused


REFUSALS: dict[int | str, dict[str, Any]] = {
    code: {"model": Refusal, "description": text}
    for code, text in {
        400: "Not readable",
        401: "A session is needed",
        403: "Not allowed, or without the token of this server",
        404: "Not on file",
        409: "Somebody else changed it meanwhile",
        413: "Too large",
        422: "A value cannot be used",
        429: "Too many requests",
        503: "The store refuses; nothing already stored is lost",
    }.items()
}


class Health(BaseModel):
    """The server answers."""

    status: Literal["ok"] = "ok"
    version: str


class Token(BaseModel):
    """What goes with every unsafe request, and in which header."""

    header: str
    token: str


class SignOn(Told):
    """A try to sign in."""

    name: Name
    secret: Annotated[str, Field(min_length=1, max_length=200)]
    device: Annotated[str, Field(max_length=60, pattern=r"^[A-Za-z0-9 .-]*$")] = ""


class Session(BaseModel):
    """A session; send it as a bearer, with the token that belongs to it."""

    session: str
    token: str


class WishIn(Told):
    """What shall be planned. No bay named: all of them."""

    vehicle: Name
    job: Name | None = None
    bays: Annotated[list[Name], Field(max_length=50)] = []
    heading: Literal["nose-in", "tail-in"] | None = None
    point_set: Name | None = None
    remedies: bool = True


class KeepIn(WishIn):
    """The plan that shall be kept; sent again under its key it is the same plan."""

    key: Key


class KeptPlanOut(BaseModel):
    """A plan of the book; `result` is what was found then, in the form of a plan."""

    id: str
    vehicle: str
    bay: str | None
    job: str | None
    outcome: Literal["found", "none", "limit", "incomplete"]
    status: Literal["holds", "watch", "not known", "stops", ""]
    invented: bool
    seq: int
    at: str
    person: str
    device: str
    versions: dict[str, str]
    result: Json


class DiffersOut(BaseModel):
    """One figure or word of a result, then and now."""

    place: str
    then: str
    now: str


class PlanAgainOut(BaseModel):
    """A plan of the book made again from what it was made from, compared with its result."""

    id: str
    day: str
    version: str
    version_now: str
    same: bool
    differs: list[DiffersOut]


class BayOut(BaseModel):
    """One bay for a vehicle and job: its verdict and the reasons in words."""

    bay: str
    label: str
    outcome: Literal["found", "none", "limit", "incomplete"]
    key: Literal["holds", "watch", "unknown", "stops"]
    usable: bool
    spot: str
    heading: str
    reasons: list[str]


class ThereOut(BaseModel):
    """A judged stop; `evaluation` has the form of a plan's setting and states."""

    reached: bool
    unreached: list[str]
    windows_m: list[list[float]]
    evaluation: Json | None


class ListedOut(BaseModel):
    """A record in a list."""

    kind: Kind
    id: str
    label: str
    version: int
    at: str
    person: str
    device: str


class RecordOut(BaseModel):
    """A record with its version and who stored it."""

    kind: Kind
    id: str
    version: int
    sha: str
    at: str
    person: str
    device: str
    record: Json


class RecordIn(Told):
    """A record over the version it was made from (0: new)."""

    version: Version
    record: Json


class EventIn(Told):
    """Something to be written down; sent again under its key it counts once."""

    kind: Annotated[str, Field(max_length=40)]
    said: Json
    key: Key


class EventOut(BaseModel):
    """One event of the book."""

    seq: int
    at: str
    person: str
    device: str
    kind: str
    subject: str
    subjects: list[str]
    facts: dict[str, str]
    key: str
    previous: str
    hash: str


class EventsOut(BaseModel):
    """A page of the book, newest first; `more` is the cursor of the next page."""

    events: list[EventOut]
    more: str


class RunIn(Told):
    """The lift whose hold points shall be run; sent again under its key it is the same run."""

    vehicle: Name
    bay: Name
    job: Name | None = None
    key: Key


class AnswerIn(Told):
    """What was found at a hold point; sent again under its key it counts once."""

    point: Annotated[str, Field(min_length=1, max_length=120)]
    right: bool
    key: Key
    note: Note = ""


class FinishIn(Told):
    """The end of a run."""

    key: Key
    note: Note = ""


class PointOut(BaseModel):
    """One hold point and what people said at it; `answer` is empty while it is open."""

    id: str
    title: str
    text: str
    sign: bool
    answer: str
    person: str
    at: str | None
    note: str


class RunOut(BaseModel):
    """A run as the book tells it."""

    id: str
    vehicle: str
    bay: str
    job: str | None
    plan: str | None
    invented: bool
    ended: str
    next_open: int | None
    points: list[PointOut]
