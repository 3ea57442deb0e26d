"""Signing in and out on the shop's network."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from fastapi import APIRouter, Form, Query, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from underset.app import accounts
from underset.app.shop import Actor
from underset.web.cookies import keep
from underset.web.guard import SESSION_COOKIE, try_allowed
from underset.web.page import show
from underset.web.visit import Visit, Visitor

router = APIRouter(include_in_schema=False)
Name = Annotated[str, Form(max_length=63)]
Secret = Annotated[str, Form(max_length=200)]
To = Annotated[str, Form(max_length=200)]


@dataclass(frozen=True, slots=True)
class SignInView:
    """The form, and what became of the last try."""

    to: str
    refused: bool
    wait: int


@router.get("/sign-in", response_class=HTMLResponse)
def form(visit: Visitor, to: Annotated[str, Query(max_length=200)] = "/") -> Response:
    """The form; on loopback without accounts nobody signs in."""
    if not visit.options.lan:
        return RedirectResponse("/people", status_code=303)
    return _form(visit, SignInView(_own(to), refused=False, wait=0), 200)


@router.post("/sign-in", response_class=HTMLResponse)
def sign_in(visit: Visitor, request: Request, name: Name, secret: Secret, to: To = "/") -> Response:
    """Try to sign in; too many tries from one place are refused before they are looked at."""
    try_allowed(request)
    found = accounts.sign_on(visit.shop, name, secret, visit.device)
    if not found.token:
        return _form(visit, SignInView(_own(to), refused=True, wait=found.wait), 403)
    answer = RedirectResponse(_own(to), status_code=303)
    lasts = int(accounts.SHIFT.total_seconds())
    keep(answer, visit.options, SESSION_COOKIE, found.token, lasts)
    return answer


@router.post("/sign-out")
def sign_out(visit: Visitor) -> Response:
    """End this session."""
    if visit.session:
        accounts.sign_out(visit.shop, visit.session, Actor(visit.person or "nobody", visit.device))
    answer = RedirectResponse("/sign-in", status_code=303)
    keep(answer, visit.options, SESSION_COOKIE, "")
    return answer


def _form(visit: Visit, view: SignInView, code: int) -> HTMLResponse:
    return show(visit, "signin.html", view, title="sign.in", here="", code=code)


def _own(to: str) -> str:
    """Where to go on: a path of ours, never another server."""
    safe = to.startswith("/") and not to.startswith("//") and "\\" not in to and to.isprintable()
    return to if safe else "/"
