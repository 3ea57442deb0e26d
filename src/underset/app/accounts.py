"""Accounts and sessions: who may sign in on the shop's network, and who has."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import timedelta

from underset.app.shop import Account, Actor, Shop
from underset.errors import NotFoundError
from underset.store import ROLES, sign_in

__all__ = [
    "ROLES",
    "SHIFT",
    "SignedIn",
    "accounts",
    "change",
    "open_account",
    "sign_on",
    "sign_out",
]

SHIFT = timedelta(hours=10)  # shop policy: a session lasts one long shift


@dataclass(frozen=True, slots=True)
class SignedIn:
    """What came of a try: a session's token, or none and perhaps seconds to wait."""

    token: str
    wait: int = 0


@dataclass(frozen=True, slots=True)
class Change:
    """One change of an account: a new secret, other roles, or closed and opened."""

    secret: str = ""
    roles: tuple[str, ...] = ()
    active: bool | None = None


def sign_on(shop: Shop, name: str, secret: str, device: str) -> SignedIn:
    """Try to sign in; a new token every time, so that nobody's session can be prepared for them."""
    found = sign_in(shop.store, name, secret, device=device)
    if found.account is None:
        return SignedIn("", int(found.wait.total_seconds()))
    with shop.store.write(Actor(name, device)) as tx:
        return SignedIn(tx.accounts.begin_session(name, device, SHIFT))


def sign_out(shop: Shop, token: str, by: Actor) -> None:
    """End the session of a token."""
    with shop.store.write(by) as tx:
        tx.accounts.end_session(token)


def accounts(shop: Shop) -> tuple[Account, ...]:
    """All accounts by name, closed ones too."""
    with shop.store.read() as tx:
        return tx.accounts.listed()


def open_account(shop: Shop, name: str, secret: str, roles: Iterable[str], by: Actor) -> Account:
    """Open an account for a person on file; NotFoundError for anybody else."""
    people = {p.id: p.name for p in shop.workshop().about.people}
    if name not in people:
        raise NotFoundError("person", name, tuple(people))
    with shop.store.write(by) as tx:
        return tx.accounts.add(name, people[name], secret, roles)


def change(shop: Shop, name: str, version: int, by: Actor, to: Change) -> Account:
    """Change secret, roles or whether an account is open, over the version that was read."""
    with shop.store.write(by) as tx:
        account = tx.accounts.get(name)
        if to.secret:
            account = tx.accounts.set_secret(name, to.secret, version=version)
        elif to.roles:
            account = tx.accounts.set_roles(name, to.roles, version=version)
        elif to.active is not None:
            account = tx.accounts.set_active(name, to.active, version=version)
    return account
