"""The server itself: health, the token of its pages, sessions."""

from __future__ import annotations

from fastapi import APIRouter, Request

from underset import __version__
from underset.app import Actor, accounts
from underset.errors import DeniedError
from underset.web.api.shapes import Health, Session, SignOn, Token
from underset.web.guard import TOKEN_HEADER, token_for, try_allowed
from underset.web.visit import Visitor

router = APIRouter(tags=["server"])


@router.get("/health")
def health() -> Health:
    """Whether the server answers, and which version."""
    return Health(version=__version__)


@router.get("/token")
def token(visit: Visitor) -> Token:
    """The token that goes with every unsafe request of this session.

    Only programs and pages of this server can read it: other sites may not read answers.
    """
    return Token(header=TOKEN_HEADER, token=visit.token)


@router.post("/session")
def session(visit: Visitor, request: Request, told: SignOn) -> Session:
    """Sign in, where the server runs with accounts."""
    try_allowed(request)
    if not visit.options.lan:
        raise DeniedError("This server runs without accounts; nobody signs in.")
    found = accounts.sign_on(visit.shop, told.name, told.secret, told.device)
    if not found.token:
        wait = f" Wait {found.wait} s." if found.wait else ""
        raise DeniedError(f"Name and secret do not fit together.{wait}")
    return Session(session=found.token, token=token_for(visit.options, found.token))


@router.delete("/session", status_code=204)
def no_session(visit: Visitor) -> None:
    """Sign out: the session sent with this request is worth nothing afterwards."""
    if visit.session:
        accounts.sign_out(visit.shop, visit.session, Actor(visit.person or "nobody", visit.device))
