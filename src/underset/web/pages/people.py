"""People: who is at this device, training, authorisation, accounts."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated

from fastapi import APIRouter, Form
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from underset.app import accounts, bookkeeping, papers
from underset.app.bookkeeping import Line
from underset.app.papers import PersonPapers
from underset.app.shop import Account
from underset.errors import ConflictError, DeniedError
from underset.web.clash import clash_page
from underset.web.cookies import keep
from underset.web.forms import Choices, Day, Key, Name, Version, Words, done, fresh_key, signs
from underset.web.page import show
from underset.web.visit import Visit, Visitor

router = APIRouter(include_in_schema=False)
LAST = 12
PERSON_COOKIE = "underset-person"
Secret = Annotated[str, Form(max_length=200)]
Id = Annotated[str, Form(pattern=r"^[a-z0-9][a-z0-9-]{0,62}$")]


@dataclass(frozen=True, slots=True)
class PeopleView:
    """Everybody on file, who is here, and the form for somebody new."""

    people: tuple[PersonPapers, ...]
    here: str
    lan: bool
    version: int
    roles: tuple[str, ...]
    signs: dict[str, str]


@dataclass(frozen=True, slots=True)
class PersonView:
    """One person with training, authorisations and account."""

    person: PersonPapers
    kinds: tuple[str, ...]
    account: Account | None
    roles: tuple[str, ...]
    lead: bool
    today: str
    key: str
    done: int
    lines: tuple[Line, ...]
    signs: dict[str, str]


@router.get("/people", response_class=HTMLResponse)
def people(visit: Visitor) -> HTMLResponse:
    """Everybody on file."""
    version = papers.version_of(visit.shop, "workshop", "workshop")
    view = PeopleView(
        papers.people(visit.shop), visit.person, visit.options.lan, version, accounts.ROLES, signs()
    )
    return show(visit, "people.html", view, title="people", here="people")


@router.post("/people/choose")
def choose(visit: Visitor, person: Name = "") -> Response:
    """Say who is at this device; only without accounts, where nobody signs in."""
    if visit.options.lan:
        raise DeniedError("On the shop's network people sign in. Sign out and in again.")
    if person:
        papers.person(visit.shop, person)
    answer = RedirectResponse("/people", status_code=303)
    keep(answer, visit.options, PERSON_COOKIE, person)
    return answer


@router.post("/people", response_class=HTMLResponse)
def add(visit: Visitor, id: Id, name: Name, version: Version, roles: Choices) -> Response:
    """Put somebody on file, or change name and roles; the second of two tablets is told."""
    visit.may("lead")
    said = {"id": id, "name": name, "roles": roles}
    try:
        papers.save_person(visit.shop, said, version, visit.by)
    except ConflictError as error:
        return _clash(visit, error, id, name, roles)
    return RedirectResponse(f"/people/{id}", status_code=303)


def _clash(visit: Visit, error: ConflictError, id: str, name: str, roles: list[str]) -> Response:
    found = {p.id: p for p in papers.people(visit.shop)}.get(id)
    theirs = {"name": found.name, "roles": ", ".join(found.roles)} if found else {}
    mine = [("name", name), ("roles", ", ".join(roles))]
    version = papers.version_of(visit.shop, "workshop", "workshop")
    return clash_page(visit, papers.clash(error, mine, theirs, version), "/people")


@router.get("/people/{id}", response_class=HTMLResponse)
def person(visit: Visitor, id: str, done: int = 0) -> HTMLResponse:
    """One person."""
    found = papers.person(visit.shop, id)
    lines = bookkeeping.search(visit.shop, bookkeeping.Asked(subject=f"person/{id}"), LAST).lines
    account = next((a for a in accounts.accounts(visit.shop) if a.name == id), None)
    view = PersonView(
        found, papers.lift_kinds(visit.shop), account, accounts.ROLES,
        not visit.options.lan or "lead" in visit.roles, visit.shop.day().isoformat(), fresh_key(),
        done, lines, signs(),
    )  # fmt: skip
    return show(visit, "person.html", view, title=found.name, here="people")


@router.post("/people/{id}/training")
def training(
    visit: Visitor, id: str, key: Key, on: Day, by: Name, lift_kind: Name = "", note: Words = ""
) -> Response:
    """Somebody was instructed."""
    visit.may("lead", "inspector")
    said = {"lift_kind": lift_kind, "on": bookkeeping.day_in(on, "on"), "by": by, "note": note}
    return _said(visit, id, "training", said, key)


@router.post("/people/{id}/authorise")
def authorise(
    visit: Visitor, id: str, key: Key, on: Day, by: Name, lift_kind: Name, until: Day = ""
) -> Response:
    """Somebody may work a kind of lift."""
    visit.may("lead")
    said = {"lift_kind": lift_kind, "on": bookkeeping.day_in(on, "on"), "by": by}
    last = {"until": bookkeeping.day_in(until, "until")}
    return _said(visit, id, "authorisation given", {**said, **last}, key)


@router.post("/people/{id}/withdraw")
def withdraw(visit: Visitor, id: str, key: Key, lift_kind: Name, reason: Words) -> Response:
    """Somebody may no longer work a kind of lift."""
    visit.may("lead")
    said = {"lift_kind": lift_kind, "on": visit.shop.day(), "reason": reason}
    return _said(visit, id, "authorisation withdrawn", said, key)


def _said(visit: Visit, id: str, kind: str, said: Mapping[str, object], key: str) -> Response:
    line = bookkeeping.say(visit.shop, kind, {"person": id, **said}, visit.by, key)
    return done(f"/people/{id}", line)


# --- accounts ------------------------------------------------------------------------------------


@router.post("/people/{id}/account")
def open_account(visit: Visitor, id: str, secret: Secret, roles: Choices) -> Response:
    """Open an account, so that this person may sign in on the shop's network."""
    visit.may("lead")
    accounts.open_account(visit.shop, id, secret, roles, visit.by)
    return RedirectResponse(f"/people/{id}", status_code=303)


@router.post("/people/{id}/account/secret")
def new_secret(visit: Visitor, id: str, secret: Secret, version: Version) -> Response:
    """A new PIN or password: one's own, or anybody's for a lead. Every session of it ends."""
    if id != visit.person:
        visit.may("lead")
    return _changed(visit, id, version, accounts.Change(secret=secret))


@router.post("/people/{id}/account/roles")
def new_roles(visit: Visitor, id: str, roles: Choices, version: Version) -> Response:
    """Other roles."""
    visit.may("lead")
    return _changed(visit, id, version, accounts.Change(roles=tuple(roles)))


@router.post("/people/{id}/account/active")
def active(visit: Visitor, id: str, active: Name, version: Version) -> Response:
    """Close an account, ending its sessions, or open it again."""
    visit.may("lead")
    return _changed(visit, id, version, accounts.Change(active=active == "yes"))


def _changed(visit: Visit, id: str, version: int, to: accounts.Change) -> Response:
    accounts.change(visit.shop, id, version, visit.by, to)
    return RedirectResponse(f"/people/{id}", status_code=303)
