"""Sessions of programs on the shop's network: `POST /api/v1/session` and bearers, as attacked."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from typing import Any

import httpx
import pytest
from fastapi.testclient import TestClient

from tests.web_cases import TODAY, app_of
from underset.app import Actor, Shop, accounts, open_shop, sample_folder
from underset.app.shop import FILE_NAME
from underset.store import Query, open_store
from underset.store import signin as store_signin
from underset.web import ServeOptions, create_app

PINS = {"jorun": "748105", "tavi": "291846", "sunniva": "605937"}
ROLES = {"jorun": ("lead",), "tavi": ("technician",), "sunniva": ("inspector",)}
LAN = ServeOptions(hosts=("testserver",), lan=True, rate_per_minute=1_000_000)
REMARK = {"kind": "remark", "said": {"subject": "bay/north", "text": "seen"}}


class Clock:
    """A clock that stands still until it is moved."""

    def __init__(self) -> None:
        self.now = datetime(2026, 11, 20, 8, 0, tzinfo=UTC)

    def __call__(self) -> datetime:
        return self.now


@pytest.fixture(scope="module")
def clock() -> Clock:
    return Clock()


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory, clock: Clock) -> Iterator[Shop]:
    """The sample workshop with three accounts and a clock of its own."""
    place = tmp_path_factory.mktemp("sessions") / FILE_NAME
    open_shop(place, seed=sample_folder()).close()
    with Shop(open_store(place, clock=clock), lambda: TODAY) as opened:
        for name, pin in PINS.items():
            accounts.open_account(opened, name, pin, ROLES[name], Actor("test"))
        yield opened


@pytest.fixture
def program(shop: Shop) -> TestClient:
    """A program that nobody has signed in, with its own count of tries; it carries the token."""
    client = TestClient(app_of(shop, LAN), follow_redirects=False)
    client.headers["x-underset-token"] = client.get("/api/v1/token").json()["token"]
    return client


def sign_in(program: TestClient, name: str, pin: str = "") -> httpx.Response:
    return program.post("/api/v1/session", json={"name": name, "secret": pin or PINS[name]})


def signed(program: TestClient, name: str) -> dict[str, str]:
    """The headers of a signed-in program."""
    told = sign_in(program, name).json()
    return {"authorization": f"Bearer {told['session']}", "x-underset-token": told["token"]}


def says(program: TestClient, headers: dict[str, str], key: str, **said: Any) -> httpx.Response:
    return program.post("/api/v1/book", json={**(said or REMARK), "key": key}, headers=headers)


def length(shop: Shop) -> int:
    return shop.moment().head


# --- signing in -----------------------------------------------------------------------------------


def test_the_right_pin_gives_a_session_that_reads_and_writes_in_its_name(
    shop: Shop, program: TestClient
) -> None:
    headers = signed(program, "tavi")
    assert program.get("/api/v1/book", headers=headers).status_code == 200
    told = says(program, {**headers, "x-underset-person": "jorun"}, "remark-of-tavi")
    assert told.status_code == 201
    assert told.json()["person"] == "tavi", "a header that names somebody else is worth nothing"


def test_every_session_is_a_new_one_and_none_is_kept_in_clear(
    shop: Shop, program: TestClient
) -> None:
    tokens = [sign_in(program, "tavi").json()["session"] for _ in range(2)]
    assert tokens[0] != tokens[1]
    assert min(map(len, tokens)) >= 43, "256 bits in base64"
    with sqlite3.connect(shop.store.place) as raw:
        kept = "\n".join(raw.iterdump())
    raw.close()
    assert not any(t in kept for t in (*tokens, *PINS.values()))


@pytest.mark.parametrize(
    ("name", "pin", "code"),
    [
        ("tavi", "291847", 403), ("tavi", "291846 ", 403), ("tavi", "２９１８４６", 403),
        ("tavi", PINS["jorun"], 403), ("nobody-here", "291846", 403), ("brand", "291846", 403),
        ("Tavi", "291846", 422), ("tavi", "", 422), ("tavi", "1" * 201, 422),
        ("tavi' --", "291846", 422),
    ],
)  # fmt: skip
def test_a_wrong_pin_or_name_gives_nothing(
    shop: Shop, program: TestClient, name: str, pin: str, code: int
) -> None:
    before = length(shop)
    answer = program.post("/api/v1/session", json={"name": name, "secret": pin})
    assert answer.status_code == code
    assert set(answer.json()) == {"error"}
    assert len(pin) < 6 or pin not in answer.text
    assert "set-cookie" not in answer.headers
    assert length(shop) == before
    sign_in(program, "tavi")  # earlier failures no longer count


def test_name_and_pin_are_refused_alike_and_at_the_same_cost(
    program: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    compared: list[str] = []
    true = store_signin.secret_fits

    def counted(hashed: str, secret: str) -> bool:
        compared.append("$".join(hashed.split("$")[:4]))
        return true(hashed, secret)

    monkeypatch.setattr(store_signin, "secret_fits", counted)
    told = [sign_in(program, name, "135792") for name in ("sunniva", "nobody-here")]
    assert told[0].content == told[1].content
    assert len(compared) == 2
    assert compared[0] == compared[1], "the same kind of hash at the same cost"
    sign_in(program, "sunniva")


@pytest.mark.parametrize(
    "body",
    [
        b"", b"null", b"[]", b'{"name": "tavi"}', b'{"name": ["tavi"], "secret": "291846"}',
        b'{"name": "tavi", "secret": 291846}', b'{"name": "tavi", "secret": {"$ne": ""}}',
        b'{"name": "tavi", "secret": "291846", "roles": ["lead"]}', b"\xff\xfe",
        b'{"name": "tavi", "secret": "291846", "device": "<script>"}',
    ],
)  # fmt: skip
def test_what_is_no_sign_in_is_refused_in_the_one_shape(program: TestClient, body: bytes) -> None:
    kind = {"content-type": "application/json"}
    answer = program.post("/api/v1/session", content=body, headers=kind)
    assert answer.status_code in (400, 422)
    assert set(answer.json()) == {"error"}


def test_guessing_is_stopped_by_the_account_wherever_it_comes_from(
    shop: Shop, program: TestClient, clock: Clock
) -> None:
    for n in range(5):
        assert sign_in(program, "sunniva", f"13579{n}").status_code == 403
    elsewhere = TestClient(program.app, client=("10.0.0.9", 1), headers=program.headers)
    waiting = sign_in(elsewhere, "sunniva")
    assert waiting.status_code == 403, "even the right one waits"
    assert "Wait 30 s." in waiting.json()["error"]["message"]
    assert sign_in(program, "tavi").status_code == 200, "the others do not wait"
    clock.now += timedelta(seconds=31)
    assert sign_in(program, "sunniva").status_code == 200


def test_guessing_many_names_is_stopped_by_the_place_it_comes_from(program: TestClient) -> None:
    codes = [sign_in(program, f"guess-{n}", "135792").status_code for n in range(22)]
    assert codes == [403] * 20 + [429] * 2
    assert sign_in(program, "tavi").status_code == 429
    elsewhere = TestClient(program.app, client=("10.0.0.9", 1), headers=program.headers)
    assert sign_in(elsewhere, "tavi").status_code == 200, "another place is not shut out"


def test_without_accounts_nobody_signs_in_and_no_bearer_counts(shop: Shop) -> None:
    client = TestClient(create_app(shop, ServeOptions(hosts=("testserver",))))
    client.headers["x-underset-token"] = client.get("/api/v1/token").json()["token"]
    assert sign_in(client, "tavi").status_code == 403


# --- bearers --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "sent",
    [
        "Bearer", "Bearer ", "Bearer x", "Bearer " + "x" * 5000, "Bearer \xff\xfe",
        "Basic dGF2aToyOTE4NDY=", "{right}", "Token {right}", "Bearer {right}x",
        "Bearer  {right}", "Bearer {right} {right}", "Bearer {wrong_case}",
    ],
)  # fmt: skip
def test_what_is_no_session_lets_nobody_in(program: TestClient, sent: str) -> None:
    right = sign_in(program, "tavi").json()["session"]
    header = sent.format(right=right, wrong_case=right.swapcase()).encode("latin-1")
    answer = program.get("/api/v1/book", headers={b"authorization": header})  # type: ignore[dict-item]
    assert answer.status_code == 401
    assert answer.json()["error"]["field"] == "session"


def test_a_session_in_the_address_or_the_body_lets_nobody_in(program: TestClient) -> None:
    right = sign_in(program, "tavi").json()["session"]
    for name in ("session", "token", "authorization", "access_token", "underset-session"):
        assert program.get("/api/v1/book", params={name: right}).status_code == 401
    told = program.post("/api/v1/book", json={**REMARK, "key": "in-the-body-1", "session": right})
    assert told.status_code in (401, 422)


def test_a_session_ends_with_the_shift_however_much_it_was_used(
    shop: Shop, program: TestClient, clock: Clock
) -> None:
    headers = signed(program, "tavi")
    for _ in range(2):
        clock.now += timedelta(hours=4, minutes=59)
        assert program.get("/api/v1/book", headers=headers).status_code == 200
    before = length(shop)
    clock.now += timedelta(minutes=3)
    assert program.get("/api/v1/book", headers=headers).status_code == 401
    assert says(program, headers, "after-the-shift").status_code == 401
    assert length(shop) == before


@pytest.mark.parametrize("path", ["/book", "/people", "/settings", "/card.pdf"])
def test_a_session_that_is_over_leads_pages_to_the_door(program: TestClient, path: str) -> None:
    answer = program.get(path, headers={"authorization": "Bearer over-and-done"})
    assert answer.status_code == 303
    assert answer.headers["location"].startswith("/sign-in")


def test_signing_out_ends_this_session_and_no_other(program: TestClient) -> None:
    one, other = signed(program, "tavi"), signed(program, "tavi")
    bare = {"authorization": one["authorization"], "x-underset-token": "0" * 64}
    assert program.delete("/api/v1/session", headers=bare).status_code == 403
    assert program.delete("/api/v1/session", headers=one).status_code == 204
    assert program.get("/api/v1/book", headers=one).status_code == 401
    assert program.get("/api/v1/book", headers=other).status_code == 200
    assert program.delete("/api/v1/session").status_code == 204, "nobody is signed out by nobody"


@pytest.mark.parametrize("what", ["secret", "closed"])
def test_a_new_pin_or_a_closed_account_ends_every_session_at_once(
    shop: Shop, program: TestClient, what: str
) -> None:
    headers = signed(program, "sunniva")
    kept = next(a for a in accounts.accounts(shop) if a.name == "sunniva")
    to = accounts.Change(secret="318264") if what == "secret" else accounts.Change(active=False)
    kept = accounts.change(shop, "sunniva", kept.version, Actor("test"), to)
    assert program.get("/api/v1/book", headers=headers).status_code == 401
    if what == "closed":
        assert sign_in(program, "sunniva").status_code == 403
        to = accounts.Change(active=True)
        kept = accounts.change(shop, "sunniva", kept.version, Actor("test"), to)
    secret = accounts.Change(secret=PINS["sunniva"])
    accounts.change(shop, "sunniva", kept.version, Actor("test"), secret)


# --- roles ----------------------------------------------------------------------------------------

PASSED = {
    "kind": "examination",
    "said": {"bay": "north", "on": "2026-11-20", "by": "Sunniva", "passed": True},
}
BACK = {
    "kind": "returned to service",
    "said": {"thing": "bay", "id": "north", "reason": "rope changed"},
}
MADE_UP = {"kind": "run started", "said": {}}


@pytest.mark.parametrize(
    ("said", "allowed"),
    [(PASSED, ("sunniva",)), (BACK, ("jorun", "sunniva")), (MADE_UP, ())],
    ids=["examination", "returned", "run"],
)
def test_a_bearer_says_only_what_its_role_may(
    shop: Shop, program: TestClient, said: dict[str, Any], allowed: tuple[str, ...]
) -> None:
    for name in PINS:
        before = length(shop)
        key = f"{name}-{said['kind'].replace(' ', '-')}"
        answer = says(program, signed(program, name), key, **said)
        assert answer.status_code == (201 if name in allowed else 403 if allowed else 422), name
        assert length(shop) == before + (name in allowed)


def test_only_a_lead_changes_the_rules_and_an_inspector_starts_no_run(
    shop: Shop, program: TestClient
) -> None:
    before = length(shop)
    for name in ("tavi", "sunniva"):
        headers = signed(program, name)
        for kind, id in (("workshop", "workshop"), ("policy", "policy"), ("bay", "north")):
            path = f"/api/v1/records/{kind}/{id}"
            kept = program.get(path, headers=headers).json()
            told = {"version": kept["version"], "record": kept["record"]}
            assert program.put(path, json=told, headers=headers).status_code == 403
    wanted = {"vehicle": "harbour-hatch", "bay": "north", "key": "inspectors-run"}
    told_run = program.post("/api/v1/runs", json=wanted, headers=signed(program, "sunniva"))
    assert told_run.status_code == 403
    assert length(shop) == before


# --- forged requests: cookie and bearer -----------------------------------------------------------


def test_neither_cookie_nor_bearer_writes_without_the_token_of_its_own_session(
    shop: Shop, program: TestClient
) -> None:
    tavi, jorun = signed(program, "tavi"), signed(program, "jorun")
    session = tavi["authorization"].removeprefix("Bearer ")
    carried = ({"authorization": tavi["authorization"]}, {"cookie": f"underset-session={session}"})
    nobodys = program.headers["x-underset-token"]
    before = length(shop)
    for who in carried:
        for token in ("", "0" * 64, nobodys, jorun["x-underset-token"], "é".encode()):
            headers = {**who, "x-underset-token": token}
            assert says(program, headers, "forged-remark").status_code == 403  # type: ignore[arg-type]
        assert program.get("/api/v1/book", headers=who).status_code == 200
    assert length(shop) == before
    for n, who in enumerate(carried):
        headers = {**who, "x-underset-token": tavi["x-underset-token"]}
        assert says(program, headers, f"honest-remark-{n}").status_code == 201


def test_signing_in_itself_cannot_be_forged_by_another_site(program: TestClient) -> None:
    """Else a page elsewhere could sign the visitor in under the attacker's own name."""
    for token in ("", "0" * 64):
        headers = {"x-underset-token": token}
        told = {"name": "tavi", "secret": PINS["tavi"]}
        assert program.post("/api/v1/session", json=told, headers=headers).status_code == 403
    told = {"name": "tavi", "secret": PINS["tavi"]}
    elsewhere = {"origin": "https://evil.example"}
    assert program.post("/api/v1/session", json=told, headers=elsewhere).status_code == 403


def test_a_bearer_counts_before_a_cookie_and_is_never_mixed_with_it(
    shop: Shop, program: TestClient
) -> None:
    tavi, jorun = signed(program, "tavi"), signed(program, "jorun")
    cookie = {"cookie": f"underset-session={jorun['authorization'].removeprefix('Bearer ')}"}
    mixed = says(program, {**tavi, **cookie}, "mixed-remark-1")
    assert (mixed.status_code, mixed.json()["person"]) == (201, "tavi")
    borrowed = {**tavi, **cookie, "x-underset-token": jorun["x-underset-token"]}
    assert says(program, borrowed, "mixed-remark-2").status_code == 403
    over = {**cookie, "authorization": "Bearer over", "x-underset-token": jorun["x-underset-token"]}
    assert says(program, over, "mixed-remark-3").status_code in (401, 403)


def test_no_answer_lets_another_site_read_it(program: TestClient) -> None:
    headers = {**signed(program, "tavi"), "origin": "https://evil.example"}
    for method, path in (
        ("GET", "/api/v1/token"),
        ("GET", "/api/v1/book"),
        ("OPTIONS", "/api/v1/book"),
    ):
        answer = program.request(method, path, headers=headers)
        assert "access-control-allow-origin" not in answer.headers
        assert "access-control-allow-credentials" not in answer.headers


def test_no_secret_and_no_session_ever_stands_in_the_book(shop: Shop, program: TestClient) -> None:
    session = sign_in(program, "tavi").json()["session"]
    with shop.store.read() as tx:
        events = tx.book.find(Query(kinds=("account changed",)), limit=500).events
    told = "".join(str(e) for e in events)
    assert events
    assert not any(t in told for t in (session, *PINS.values()))
