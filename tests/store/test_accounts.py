"""Accounts: secrets nobody can read back, tries that cost time, sessions that end."""

from __future__ import annotations

import threading
from datetime import timedelta

import pytest
from argon2 import PasswordHasher
from sqlalchemy import text

from tests.store_cases import JORUN
from underset.errors import ConflictError, InputError, NotFoundError
from underset.store import Account, Query, Store, sign_in
from underset.store.accounts import hash_of, secret_fits

PIN, PASSWORD = "834512", "harbour crane in fog"
HOUR = timedelta(hours=1)


@pytest.fixture
def shop(store: Store) -> Store:
    with store.write(JORUN) as tx:
        tx.accounts.add("jorun", "Jorun", PASSWORD, ["lead", "technician"])
        tx.accounts.add("tavi", "Tavi", PIN, ["technician"])
    return store


def test_an_account_is_listed_with_its_roles_and_never_its_secret(shop: Store) -> None:
    with shop.read() as tx:
        found = tx.accounts.listed()
        told = tx.book.find(Query(kinds=("account changed",))).events
        stored = str(tx.work.conn.execute(text("SELECT * FROM accounts")).all())
    assert found == (
        Account("jorun", "Jorun", ("technician", "lead"), True, 1),
        Account("tavi", "Tavi", ("technician",), True, 1),
    )
    assert [event.subject for event in told] == ["person/tavi", "person/jorun"]
    for hidden in (PIN, PASSWORD):
        assert hidden not in stored
        assert hidden not in str(told)
    assert stored.count("$argon2id$") == 2


def test_the_hash_in_use_is_argon2id_with_todays_cost(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("argon2.PasswordHasher", PasswordHasher)
    hashed = hash_of(PASSWORD)
    assert hashed.startswith("$argon2id$v=19$m=65536,t=3,p=4$")
    assert secret_fits(hashed, PASSWORD)
    assert not secret_fits(hashed, PASSWORD + " ")


@pytest.mark.parametrize(
    "secret",
    ["", "12345", "1234567", "987654", "111111", "121212", "short", "a" * 20, "9" * 13, "x" * 201],
)
def test_an_easy_secret_is_refused_and_not_repeated(local: Store, secret: str) -> None:
    with pytest.raises(InputError) as told, local.write(JORUN) as tx:
        tx.accounts.add("tavi", "Tavi", secret, ["technician"])
    assert not secret or secret not in told.value.message


@pytest.mark.parametrize("roles", [[], ["boss"], ["lead", "boss"]])
def test_roles_are_those_there_are(local: Store, roles: list[str]) -> None:
    with pytest.raises(InputError, match="technician, lead, inspector"), local.write(JORUN) as tx:
        tx.accounts.add("tavi", "Tavi", PIN, roles)


def test_a_name_has_one_account(shop: Store) -> None:
    with pytest.raises(ConflictError, match="has an account already"), shop.write(JORUN) as tx:
        tx.accounts.add("tavi", "Tavi", PIN, ["lead"])
    with shop.read() as tx, pytest.raises(NotFoundError, match="jorun, tavi"):
        tx.accounts.get("oleva")


# --- signing in -----------------------------------------------------------------------------------


def test_the_right_secret_lets_in_and_a_wrong_one_does_not(shop: Store) -> None:
    found = sign_in(shop, "tavi", PIN).account
    assert found is not None
    assert found.name == "tavi"
    assert sign_in(shop, "tavi", "834513").account is None
    assert sign_in(shop, "jorun", PIN).account is None


@pytest.mark.parametrize("name", ["nobody", "", "tavi\0", "' OR '1'='1", "\ud800", "x" * 10_000])
def test_an_unknown_name_is_no_account(shop: Store, name: str) -> None:
    assert sign_in(shop, name, PIN).account is None


@pytest.mark.parametrize("secret", ["", "\0", "\ud800", "x" * 100_000])
def test_a_strange_secret_is_only_wrong(shop: Store, secret: str) -> None:
    assert sign_in(shop, "tavi", secret).account is None


def test_after_five_wrong_tries_even_the_right_secret_waits(shop: Store, clock: object) -> None:
    for _ in range(5):
        assert sign_in(shop, "tavi", "834513").wait == timedelta()
    told = sign_in(shop, "tavi", PIN)
    assert (told.account, told.wait) == (None, timedelta(seconds=30))
    clock.move(seconds=29)
    assert sign_in(shop, "tavi", PIN).wait == timedelta(seconds=1)
    clock.move(seconds=1)
    assert sign_in(shop, "tavi", PIN).account is not None
    assert sign_in(shop, "tavi", "834513").wait == timedelta()  # and the count began anew


def test_each_further_wrong_try_doubles_the_wait_up_to_a_bound(shop: Store, clock: object) -> None:
    waits = []
    for _ in range(12):
        sign_in(shop, "tavi", "834513")
        waits.append(sign_in(shop, "tavi", PIN).wait.total_seconds())
        clock.move(seconds=waits[-1])
        if not waits[-1]:  # the right secret went through and cleared the count: fail again
            for _ in range(4):
                sign_in(shop, "tavi", "834513")
    assert waits[0] == 0
    assert sorted(set(waits)) == [0, 30, 60, 120, 240, 480, 900]


def test_twenty_tries_at_once_gain_nothing(shop: Store) -> None:
    fits: list[bool] = []
    tries = [f"8345{n:02}" for n in range(10, 30)]  # the right one is among them
    threads = [
        threading.Thread(target=lambda s=s: fits.append(sign_in(shop, "tavi", s).account is None))
        for s in reversed(tries)
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(fits) == 20
    with shop.read() as tx:
        failed = tx.work.conn.scalar(text("SELECT failed FROM accounts WHERE name = 'tavi'"))
    assert failed <= 5


# --- sessions -------------------------------------------------------------------------------------


@pytest.fixture
def token(shop: Store) -> str:
    with shop.write(JORUN) as tx:
        return tx.accounts.begin_session("tavi", "tablet-1", HOUR)


def test_a_session_is_known_by_its_token_until_it_ends(
    shop: Store, token: str, clock: object
) -> None:
    with shop.read() as tx:
        found = tx.accounts.session(token)
        assert tx.accounts.session(token[:-1]) is None
        assert tx.accounts.session("\ud800\0") is None
        stored = str(tx.work.conn.execute(text("SELECT * FROM sessions")).all())
    assert found is not None
    assert (found.account.name, found.device, found.ends - found.began) == (
        "tavi",
        "tablet-1",
        HOUR,
    )
    assert token not in stored
    clock.move(hours=1)
    with shop.read() as tx:
        assert tx.accounts.session(token) is None


def test_a_session_in_use_lasts(shop: Store, token: str, clock: object) -> None:
    for _ in range(4):
        clock.move(minutes=50)
        with shop.write(JORUN) as tx:
            tx.accounts.seen(token, HOUR)
    with shop.read() as tx:
        assert tx.accounts.session(token) is not None


def test_a_session_in_use_is_written_once_a_minute(shop: Store, token: str, clock: object) -> None:
    seen = []
    for _ in range(3):
        clock.move(seconds=40)
        with shop.write(JORUN) as tx:
            tx.accounts.seen(token, HOUR)
            seen.append(tx.accounts.session(token).seen)
    assert [f"{moment:%M:%S}" for moment in seen] == ["00:00", "01:20", "01:20"]


def test_signing_out_here_and_everywhere(shop: Store, token: str) -> None:
    with shop.write(JORUN) as tx:
        other = tx.accounts.begin_session("tavi", "tablet-2", HOUR)
        tx.accounts.end_session(token)
        assert tx.accounts.session(token) is None
        assert tx.accounts.session(other) is not None
        tx.accounts.end_all("tavi")
        assert tx.accounts.session(other) is None


@pytest.mark.parametrize("how", ["close", "secret"])
def test_a_closed_account_and_a_new_secret_end_every_session(
    shop: Store, token: str, how: str
) -> None:
    with shop.write(JORUN) as tx:
        if how == "close":
            tx.accounts.set_active("tavi", False, version=1)
        else:
            tx.accounts.set_secret("tavi", "665544", version=1)
        assert tx.accounts.session(token) is None
    assert sign_in(shop, "tavi", PIN).account is None


def test_other_roles_count_at_once(shop: Store, token: str) -> None:
    with shop.write(JORUN) as tx:
        tx.accounts.set_roles("tavi", ["inspector"], version=1)
        assert tx.accounts.session(token).account.roles == ("inspector",)


def test_two_who_change_one_account_are_told_apart(shop: Store) -> None:
    with shop.write(JORUN) as tx:
        tx.accounts.set_roles("tavi", ["lead"], version=1)
    with pytest.raises(ConflictError, match="changed by jorun"), shop.write(JORUN) as tx:
        tx.accounts.set_roles("tavi", ["technician"], version=1)


def test_sessions_that_are_over_are_cleared_away(shop: Store, token: str, clock: object) -> None:
    clock.move(hours=2)
    with shop.write(JORUN) as tx:
        tx.accounts.begin_session("jorun", "", HOUR)
        assert tx.work.conn.scalar(text("SELECT count(*) FROM sessions")) == 1
