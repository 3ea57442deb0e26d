"""Who visits, from which device, with which choices; and the check of every unsafe request."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated
from urllib.parse import quote

from fastapi import Depends, Request

from underset.app.shop import Account, Actor, Shop
from underset.errors import DeniedError, said
from underset.web.guard import (
    DEVICE_COOKIE,
    SAFE,
    SESSION_COOKIE,
    TOKEN_FIELD,
    TOKEN_HEADER,
    token_fits,
    token_for,
)
from underset.web.options import ServeOptions

OPEN_PATHS = ("/sign-in", "/static/", "/api/v1/health", "/api/v1/token", "/api/v1/session")
PERSON_HEADER, DEVICE_HEADER = "x-underset-person", "x-underset-device"


class SignInNeeded(Exception):
    """The page is for people who are signed in; carries where to go on."""

    def __init__(self, path: str) -> None:
        super().__init__(path)
        self.to = f"/sign-in?to={quote(path, safe='')}"


@dataclass(frozen=True, slots=True)
class Visit:
    """One request's visitor."""

    shop: Shop
    options: ServeOptions
    session: str
    device: str
    person: str
    person_label: str
    roles: tuple[str, ...]
    language: str
    units: str
    theme: str
    shop_name: str
    invented: bool

    @property
    def token(self) -> str:
        """What pages of this visitor send with every unsafe request."""
        return token_for(self.options, self.session)

    @property
    def by(self) -> Actor:
        """Who writes; DeniedError when nobody has said who they are."""
        if not self.person:
            raise DeniedError(
                "Nobody is named at this device. Choose your name first, under People."
            )
        return Actor(self.person, self.device)

    def may(self, *any_of: str) -> None:
        """Demand one of some roles; on loopback without accounts everybody may do everything."""
        if self.options.lan and not set(any_of) & set(self.roles):
            raise DeniedError(
                said(
                    "This needs the role {needed}; yours: {yours}.",
                    needed=" / ".join(any_of),
                    yours=", ".join(self.roles) or "–",
                )
            )


def visitor(request: Request) -> Visit:
    """Who asks; SignInNeeded when only people who are signed in may.

    A program carries its session as a bearer; without accounts it names its person in a header,
    which no page of another site can send.
    """
    options: ServeOptions = request.app.state.options
    shop: Shop = request.app.state.shop
    token = _session(request)
    account = shop.account(token) if options.lan else None
    if options.lan and account is None and not request.url.path.startswith(OPEN_PATHS):
        raise SignInNeeded(request.url.path)
    about = shop.workshop().about
    person, label, roles = _person(request, shop, account)
    return Visit(
        shop, options, token, _named(request, DEVICE_HEADER, DEVICE_COOKIE)[:60],
        person, label, roles,
        _choice(request, "underset-language", about.language, ("en", "de")),
        _choice(request, "underset-units", about.units, ("metric", "inch")),
        _choice(request, "underset-theme", "auto", ("auto", "light", "dark")),
        about.name, about.invented,
    )  # fmt: skip


async def visit(request: Request, found: Annotated[Visit, Depends(visitor)]) -> Visit:
    """The visitor of a request, after the checks that every page shares."""
    if request.method not in SAFE:
        await _token_checked(request, found.options, found.session)
    return found


def _session(request: Request) -> str:
    scheme, _, token = request.headers.get("authorization", "").partition(" ")
    return token if scheme.lower() == "bearer" else request.cookies.get(SESSION_COOKIE, "")


def _named(request: Request, header: str, cookie: str) -> str:
    return request.headers.get(header) or request.cookies.get(cookie, "")


def _person(
    request: Request, shop: Shop, account: Account | None
) -> tuple[str, str, tuple[str, ...]]:
    if account is not None:
        return account.name, account.label, account.roles
    named = _named(request, PERSON_HEADER, "underset-person")
    person = next((p for p in shop.workshop().about.people if p.id == named), None)
    return (person.id, person.name, person.roles) if person else ("", "", ())


async def _token_checked(request: Request, options: ServeOptions, session: str) -> None:
    sent = request.headers.get(TOKEN_HEADER, "")
    kind = request.headers.get("content-type", "")
    if not sent and kind.startswith(("application/x-www-form-urlencoded", "multipart/form-data")):
        form = await request.form()
        sent = str(form.get(TOKEN_FIELD, ""))
    if not token_fits(options, session, sent):
        raise DeniedError(
            "This request does not come from a page of this server. Open the page anew."
        )


def _choice(request: Request, cookie: str, default: str, allowed: tuple[str, ...]) -> str:
    chosen = request.cookies.get(cookie, default)
    return chosen if chosen in allowed else default


Visitor = Annotated[Visit, Depends(visit)]
