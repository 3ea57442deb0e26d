"""Signing in: the try is counted, then the secret compared, outside any transaction."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from functools import cache

from underset.store.accounts import Account, hash_of, secret_fits
from underset.store.store import Store
from underset.store.work import Actor


@dataclass(frozen=True, slots=True)
class SignIn:
    """What came of it: the account, or nobody and perhaps a time to wait before the next try."""

    account: Account | None
    wait: timedelta = timedelta()


def sign_in(store: Store, name: str, secret: str, *, device: str = "") -> SignIn:
    """Compare a secret with the one of an account; a wrong name takes as long as a wrong secret."""
    by = Actor("sign-in", device)
    with store.write(by) as tx:
        attempt = tx.accounts.begin_attempt(name)
    if attempt.wait:
        return SignIn(None, attempt.wait)
    if not secret_fits(attempt.secret or _nobodys(), secret) or attempt.account is None:
        return SignIn(None)
    with store.write(by) as tx:
        tx.accounts.clear_attempts(name)
    return SignIn(attempt.account)


@cache
def _nobodys() -> str:
    return hash_of("nobody has this password")
