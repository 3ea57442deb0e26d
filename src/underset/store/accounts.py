"""Who may sign in, with which roles, and who is signed in.

Secrets are kept as argon2id hashes (RFC 9106), session tokens as SHA-256 hashes: a copy of the
store lets nobody in.
"""

from __future__ import annotations

import json
import secrets
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any, Final, Literal, cast

from sqlalchemy import delete, insert, select, update
from sqlalchemy.engine import Row

from underset.errors import ConflictError, InputError, NotFoundError, said
from underset.store.book import Book
from underset.store.canonical import digest, moment, stamp
from underset.store.kinds import AccountChanged
from underset.store.tables import ACCOUNTS, SESSIONS
from underset.store.work import Work, plain_text

ROLES: Final = ("technician", "lead", "inspector")
FREE_ATTEMPTS: Final = 5
FIRST_WAIT: Final = timedelta(seconds=30)
LONGEST_WAIT: Final = timedelta(minutes=15)
SEEN_EVERY: Final = timedelta(seconds=60)
_DIGITS = "0123456789"


@dataclass(frozen=True, slots=True)
class Account:
    """Somebody who may sign in; `name` is the person's id."""

    name: str
    label: str
    roles: tuple[str, ...]
    active: bool
    version: int


@dataclass(frozen=True, slots=True)
class Session:
    """An account signed in at a device until `ends`."""

    account: Account
    device: str
    began: datetime
    seen: datetime
    ends: datetime


@dataclass(frozen=True, slots=True)
class Attempt:
    """A try to sign in, counted before it is looked at; `secret` is the hash to compare with."""

    account: Account | None
    secret: str
    wait: timedelta


@dataclass(frozen=True, slots=True)
class Accounts:
    """Accounts and sessions as one open transaction sees them."""

    work: Work

    # --- accounts --------------------------------------------------------------------------------

    def get(self, name: str) -> Account:
        """An account by name; NotFoundError lists those there are."""
        return _account(self._row(name))

    def listed(self) -> tuple[Account, ...]:
        """All accounts by name, closed ones too."""
        rows = self.work.conn.execute(select(ACCOUNTS).order_by(ACCOUNTS.c.name))
        return tuple(_account(row) for row in rows)

    def add(self, name: str, label: str, secret: str, roles: Iterable[str]) -> Account:
        """Open an account; ConflictError when the name has one already."""
        if self._find(name) is not None:
            raise ConflictError(
                said("{name!r} has an account already. Change that one instead.", name=name)
            )
        plain_text("name", name)
        row: dict[str, Any] = {
            **{"name": name, "label": plain_text("label", label), "secret": hash_of(secret)},
            **{"roles": _roles(roles), "active": True, "version": 1},
            **{"failed": 0, "locked_until": "", **self._who()},
        }
        self.work.conn.execute(insert(ACCOUNTS).values(row))
        self._note(name, "added", row["roles"])
        return self.get(name)

    def set_secret(self, name: str, secret: str, *, version: int) -> Account:
        """A new PIN or password; every session of the account ends."""
        self.end_all(name)
        changed = {"secret": hash_of(secret), "failed": 0, "locked_until": ""}
        return self._change(name, version, "secret", changed)

    def set_roles(self, name: str, roles: Iterable[str], *, version: int) -> Account:
        """Other roles; they count from the next look at the session."""
        return self._change(name, version, "roles", {"roles": _roles(roles)})

    def set_active(self, name: str, active: bool, *, version: int) -> Account:
        """Close an account, ending its sessions, or open it again. Accounts are never deleted."""
        if not active:
            self.end_all(name)
        return self._change(name, version, "opened" if active else "closed", {"active": active})

    # --- signing in: `sign_in` puts these together ------------------------------------------------

    def begin_attempt(self, name: str) -> Attempt:
        """Count a try as failed before its secret is looked at: many at once gain nothing."""
        row = self._find(name) if name.isprintable() else None
        if row is None or not row.active:
            return Attempt(None, "", timedelta())
        wait = moment(row.locked_until) - self.work.now if row.locked_until else timedelta()
        if wait > timedelta():
            return Attempt(_account(row), row.secret, wait)
        failed = row.failed + 1
        until = stamp(self.work.now + _wait_after(failed)) if failed >= FREE_ATTEMPTS else ""
        self._set(name, {"failed": failed, "locked_until": until})
        return Attempt(_account(row), row.secret, timedelta())

    def clear_attempts(self, name: str) -> None:
        """The secret was right: earlier failures no longer count."""
        self._set(name, {"failed": 0, "locked_until": ""})

    # --- sessions --------------------------------------------------------------------------------

    def begin_session(self, name: str, device: str, lasts: timedelta) -> str:
        """Sign an account in at a device; the token is returned once and kept only as a hash."""
        self.get(name)
        token = secrets.token_urlsafe(32)
        now = self.work.stamp
        row = {
            **{"token_sha": digest(token), "account": name, "device": device},
            **{"began": now, "seen": now, "ends": stamp(self.work.now + lasts)},
        }
        self.work.conn.execute(delete(SESSIONS).where(SESSIONS.c.ends <= now))
        self.work.conn.execute(insert(SESSIONS).values(row))
        return token

    def session(self, token: str) -> Session | None:
        """The session of a token; None when unknown, over, or its account is closed."""
        wanted = (
            select(SESSIONS, ACCOUNTS).join(ACCOUNTS).where(SESSIONS.c.token_sha == digest(token))
        )
        row = self.work.conn.execute(wanted.where(SESSIONS.c.ends > self.work.stamp)).one_or_none()
        if row is None or not row.active:
            return None
        times = (moment(row.began), moment(row.seen), moment(row.ends))
        return Session(_account(row), row._mapping[SESSIONS.c.device], *times)

    def seen(self, token: str, lasts: timedelta) -> None:
        """Note that a session is in use and let it last from now; written at most once a minute."""
        found = self.session(token)
        if found and self.work.now - found.seen >= SEEN_EVERY:
            times = {"seen": self.work.stamp, "ends": stamp(self.work.now + lasts)}
            here = SESSIONS.c.token_sha == digest(token)
            self.work.conn.execute(update(SESSIONS).where(here).values(times))

    def end_session(self, token: str) -> None:
        """Sign out at one device."""
        self.work.conn.execute(delete(SESSIONS).where(SESSIONS.c.token_sha == digest(token)))

    def end_all(self, name: str) -> None:
        """Sign an account out everywhere."""
        self.work.conn.execute(delete(SESSIONS).where(SESSIONS.c.account == name))

    # --- inside ----------------------------------------------------------------------------------

    def _find(self, name: str) -> Row[Any] | None:
        return self.work.conn.execute(select(ACCOUNTS).where(ACCOUNTS.c.name == name)).one_or_none()

    def _row(self, name: str) -> Row[Any]:
        row = self._find(name)
        if row is None:
            raise NotFoundError("account", name, [a.name for a in self.listed()])
        return row

    def _change(self, name: str, version: int, what: str, values: dict[str, Any]) -> Account:
        row = self._row(name)
        if row.version != version:
            raise ConflictError(
                said(
                    "the account {name!r} was changed by {person} on {at:%Y-%m-%d %H:%M} UTC. "
                    "Nothing of yours was stored; read it again.",
                    name=name, person=row.person, at=moment(row.at),
                )
            )  # fmt: skip
        self._set(name, {**values, "version": version + 1, **self._who()})
        self._note(name, what, values.get("roles", row.roles))
        return self.get(name)

    def _set(self, name: str, values: dict[str, Any]) -> None:
        self.work.conn.execute(update(ACCOUNTS).where(ACCOUNTS.c.name == name).values(values))

    def _who(self) -> dict[str, str]:
        actor = self.work.actor
        return {"at": self.work.stamp, "person": actor.person, "device": actor.device}

    def _note(self, name: str, change: str, roles: str) -> None:
        what = cast("Literal['added', 'secret', 'roles', 'closed', 'opened']", change)
        noted = AccountChanged(person=name, change=what, roles=tuple(json.loads(roles)))
        Book(self.work).append(noted)


def _account(row: Row[Any]) -> Account:
    return Account(row.name, row.label, tuple(json.loads(row.roles)), row.active, row.version)


def _roles(roles: Iterable[str]) -> str:
    wanted = set(roles)
    if not wanted or wanted - set(ROLES):
        raise InputError(
            "roles", sorted(wanted), said("one or more of {known}", known=", ".join(ROLES))
        )
    return json.dumps([role for role in ROLES if role in wanted])


def _wait_after(failed: int) -> timedelta:
    """Half a minute after the fifth failure, doubled by each further one up to the longest."""
    doubled: timedelta = FIRST_WAIT * 2 ** min(failed - FREE_ATTEMPTS, 10)
    return min(doubled, LONGEST_WAIT)


# --- secrets -------------------------------------------------------------------------------------


def hash_of(secret: str) -> str:
    """The argon2id hash of a PIN or password. Raises InputError for one that is easily guessed."""
    from argon2 import PasswordHasher

    _good_secret(secret)
    return PasswordHasher().hash(secret)


def secret_fits(hashed: str, secret: str) -> bool:
    """Whether a secret is the one behind a hash."""
    from argon2 import PasswordHasher
    from argon2.exceptions import InvalidHashError, VerificationError

    try:
        return PasswordHasher().verify(hashed, secret.encode("utf-8", "surrogatepass"))
    except (VerificationError, InvalidHashError):
        return False


def _good_secret(secret: str) -> None:
    """Decision: six digits, because a wrong one costs a growing wait; ten characters otherwise."""
    pin = secret.isascii() and secret.isdigit()
    if not (6 <= len(secret) <= 12 if pin else 10 <= len(secret) <= 200):
        raise InputError(
            "secret", "*" * min(len(secret), 12),
            "a PIN of 6 to 12 digits, or a password of 10 to 200 characters",
        )  # fmt: skip
    run = secret in _DIGITS * 2 or secret[::-1] in _DIGITS * 2
    if len(set(secret)) < 3 or (pin and run):
        raise InputError(
            "secret", "*" * min(len(secret), 12),
            "a PIN of 6 to 12 digits, or a password of 10 to 200 characters, not all alike, "
            "not in a row",
        )  # fmt: skip
