"""The bay app as an attacker meets it: forged requests, sessions, roles, rates, headers, sizes."""

from __future__ import annotations

import re
import socket
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from fastapi.testclient import TestClient

from tests.web_cases import app_of, client_of, served, shop_in, token_in
from underset.app import Actor, Shop, accounts
from underset.store import sign_in
from underset.web import ServeOptions, create_app

SECRETS = {"jorun": "harbour light 7", "tavi": "rope and tar 12", "sunniva": "tide table 33"}
ROLES = {"jorun": ("lead",), "tavi": ("technician",), "sunniva": ("inspector",)}
LAN = ServeOptions(hosts=("testserver", "127.0.0.1"), lan=True, rate_per_minute=1_000_000)
OUT = {"key": "a-key-of-mine", "reason": "Rope frayed"}


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shop]:
    """A shop with accounts, for attacks that must not change anything."""
    with shop_in(tmp_path_factory.mktemp("kept")) as opened:
        for name, secret in SECRETS.items():
            accounts.open_account(opened, name, secret, ROLES[name], Actor("test"))
        yield opened


def stranger(shop: Shop, options: ServeOptions = LAN) -> TestClient:
    return TestClient(app_of(shop, options), follow_redirects=False)


def signed_in(shop: Shop, name: str) -> TestClient:
    client = stranger(shop)
    client.headers["x-underset-token"] = token_in(client.get("/sign-in").text)
    answer = client.post("/sign-in", data={"name": name, "secret": SECRETS[name]})
    assert answer.status_code == 303, answer.text
    client.headers["x-underset-token"] = token_in(client.get("/settings").text)
    return client


@pytest.fixture(scope="module")
def crew(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Shop, dict[str, TestClient]]]:
    """A shop of its own with everybody signed in, for attacks that may write."""
    with shop_in(tmp_path_factory.mktemp("crew")) as opened:
        for name, secret in SECRETS.items():
            accounts.open_account(opened, name, secret, ROLES[name], Actor("test"))
        yield opened, {name: signed_in(opened, name) for name in SECRETS}


@pytest.fixture(scope="module")
def technician(kept: Shop) -> TestClient:
    return signed_in(kept, "tavi")


def length(shop: Shop) -> int:
    return shop.moment().head


# --- forged requests ------------------------------------------------------------------------------


def test_a_request_without_the_token_of_a_page_changes_nothing(kept: Shop) -> None:
    before = length(kept)
    forger = TestClient(create_app(kept, ServeOptions(hosts=("testserver",))))
    forger.cookies.set("underset-person", "jorun")
    assert forger.post("/lifts/north/out", data=OUT).status_code == 403
    assert forger.post("/lifts/north/out", data={**OUT, "token": "0" * 64}).status_code == 403
    plain = forger.post(
        "/lifts/north/out", content="reason=x", headers={"content-type": "text/plain"}
    )
    assert plain.status_code == 403
    assert length(kept) == before


def test_the_token_of_one_session_is_no_good_in_another(kept: Shop, technician: TestClient) -> None:
    before = length(kept)
    mine, theirs = technician, signed_in(kept, "jorun")
    borrowed = {"x-underset-token": theirs.headers["x-underset-token"]}
    assert mine.post("/lifts/north/out", data=OUT, headers=borrowed).status_code == 403
    nobodys = {"x-underset-token": token_in(stranger(kept).get("/sign-in").text)}
    assert mine.post("/lifts/north/out", data=OUT, headers=nobodys).status_code == 403
    assert length(kept) == before


@pytest.mark.parametrize("origin", ["http://evil.example", "null", "https://testserver"])
def test_a_request_of_another_origin_is_refused_even_with_the_token(
    kept: Shop, origin: str
) -> None:
    before = length(kept)
    answer = client_of(kept).post("/lifts/north/out", data=OUT, headers={"origin": origin})
    assert answer.status_code == 403
    assert length(kept) == before


@pytest.mark.parametrize(
    "host", ["evil.example", "testserver.evil.example", "127.0.0.1.evil.example", "", "[::1].evil"]
)
def test_another_host_name_is_not_answered(kept: Shop, host: str) -> None:
    answer = client_of(kept).get("/book", headers={"host": host})
    assert answer.status_code == 421
    assert "Record changed" not in answer.text


def test_reading_never_writes_and_writing_is_never_a_get(kept: Shop) -> None:
    before, client = length(kept), client_of(kept)
    for path in ("/lifts/north/out", "/people/choose", "/book/verify", "/sign-out", "/book/export"):
        assert client.get(path).status_code in (404, 405, 422), path
    assert length(kept) == before


# --- signing in -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "path", ["/", "/book", "/people", "/setting", "/shelf", "/settings", "/run/run-1", "/card.pdf"]
)
def test_on_the_shops_network_nothing_is_shown_before_signing_in(kept: Shop, path: str) -> None:
    answer = stranger(kept).get(path)
    assert answer.status_code == 303
    assert answer.headers["location"].startswith("/sign-in?to=")


def test_the_api_answers_strangers_with_401(kept: Shop) -> None:
    answer = stranger(kept).get("/api/v1/book")
    assert answer.status_code == 401
    assert answer.json()["error"]["field"] == "session"


def test_a_session_prepared_by_somebody_else_is_not_taken_over(kept: Shop) -> None:
    victim = stranger(kept)
    victim.cookies.set("underset-session", "prepared-by-the-attacker")
    victim.headers["x-underset-token"] = token_in(victim.get("/sign-in").text)
    answer = victim.post("/sign-in", data={"name": "tavi", "secret": SECRETS["tavi"]})
    assert answer.status_code == 303
    fresh = re.search(r"underset-session=([^;]+)", answer.headers["set-cookie"])
    assert fresh
    assert fresh[1] != "prepared-by-the-attacker"
    attacker = stranger(kept)
    attacker.cookies.set("underset-session", "prepared-by-the-attacker")
    assert attacker.get("/book").status_code == 303


def test_session_cookies_are_kept_from_scripts_other_sites_and_plain_text(kept: Shop) -> None:
    client = TestClient(
        create_app(kept, ServeOptions(hosts=("testserver",), lan=True, tls=True)),
        base_url="https://testserver", follow_redirects=False,
    )  # fmt: skip
    client.headers["x-underset-token"] = token_in(client.get("/sign-in").text)
    answer = client.post("/sign-in", data={"name": "tavi", "secret": SECRETS["tavi"]})
    cookie = answer.headers["set-cookie"].lower()
    assert "httponly" in cookie
    assert "samesite=strict" in cookie
    assert "secure" in cookie
    assert "max-age=31536000" in answer.headers["strict-transport-security"]


def test_after_signing_out_the_old_cookie_is_worth_nothing(kept: Shop) -> None:
    client = signed_in(kept, "tavi")
    stolen = client.cookies["underset-session"]
    assert client.post("/sign-out").status_code == 303
    thief = stranger(kept)
    thief.cookies.set("underset-session", stolen)
    assert thief.get("/book").status_code == 303


def test_the_person_cookie_is_worth_nothing_on_the_network(kept: Shop) -> None:
    client = signed_in(kept, "tavi")
    client.cookies.set("underset-person", "jorun")
    assert "<strong>Tavi</strong>" in client.get("/settings").text
    assert client.post("/people/choose", data={"person": "jorun"}).status_code == 403


@pytest.mark.parametrize(
    "to", ["//evil.example", "https://evil.example", "/\\evil.example", "javascript:x", "\t/x"]
)
def test_signing_in_leads_nowhere_but_here(kept: Shop, to: str) -> None:
    client = stranger(kept)
    client.headers["x-underset-token"] = token_in(client.get("/sign-in").text)
    said = {"name": "tavi", "secret": SECRETS["tavi"], "to": to}
    answer = client.post("/sign-in", data=said)
    assert urlsplit(answer.headers["location"]).netloc == ""
    assert answer.headers["location"] == "/"


def test_guessing_is_slowed_by_account_and_by_place(tmp_path: Path) -> None:
    with shop_in(tmp_path) as shop:
        accounts.open_account(shop, "tavi", SECRETS["tavi"], ("technician",), Actor("test"))
        client = stranger(shop)
        client.headers["x-underset-token"] = token_in(client.get("/sign-in").text)
        codes, texts = [], []
        for n in range(22):
            said = {"name": "tavi" if n < 7 else f"guess-{n}", "secret": f"wrong guess {n}"}
            answer = client.post("/sign-in", data=said)
            codes.append(answer.status_code)
            texts.append(answer.text)
        assert set(codes[:20]) == {403}
        assert codes[20:] == [429, 429]
        assert "Too many wrong tries" in texts[6]
        assert sign_in(shop.store, "tavi", SECRETS["tavi"]).wait, "the right secret waits too"


def test_guessing_by_program_counts_with_guessing_by_page(kept: Shop) -> None:
    client = stranger(kept)
    client.headers["x-underset-token"] = token_in(client.get("/sign-in").text)
    client.app.state.sign_in_rate.limit = 2  # type: ignore[attr-defined]
    said = {"name": "nobody-here", "secret": "wrong guess 1"}
    assert client.post("/sign-in", data=said).status_code == 403
    told = [client.post("/api/v1/session", json={**said, "device": "x"}) for _ in range(2)]
    assert [a.status_code for a in told] == [403, 429]
    assert told[1].json()["error"]["kind"] == "refused"


def test_a_wrong_name_and_a_wrong_secret_are_told_alike(kept: Shop) -> None:
    client = stranger(kept)
    client.headers["x-underset-token"] = token_in(client.get("/sign-in").text)
    said = [{"name": n, "secret": "wrong guess 1"} for n in ("sunniva", "nobody-here")]
    pages = [client.post("/sign-in", data=s) for s in said]
    assert [p.status_code for p in pages] == [403, 403]
    assert pages[0].text == pages[1].text


# --- roles ----------------------------------------------------------------------------------------

KIND = "symmetric two-post"
DONE = {"on": "2026-11-20", "by": "Sunniva"}
ONLY_FOR = (
    ("/lifts/north/back", {"reason": "x"}, ("jorun", "sunniva")),
    ("/lifts/north/examination", {**DONE, "passed": "yes"}, ("sunniva",)),
    ("/lifts/north/cleared", {"defect": "defect-1", "how": "x"}, ("jorun", "sunniva")),
    ("/shelf/spacer-75/back", {"reason": "x"}, ("jorun", "sunniva")),
    ("/shelf/spacer-75/inspection", {**DONE, "seen": 1}, ("jorun", "sunniva")),
    ("/people/brand/authorise", {**DONE, "lift_kind": KIND}, ("jorun",)),
    ("/people/brand/training", DONE, ("jorun", "sunniva")),
)


@pytest.mark.parametrize(("path", "said", "allowed"), ONLY_FOR, ids=[p for p, _, _ in ONLY_FOR])
def test_only_the_right_roles_write(
    crew: tuple[Shop, dict[str, TestClient]], path: str, said: dict[str, object],
    allowed: tuple[str, ...],
) -> None:  # fmt: skip
    shop, clients = crew
    for name, client in clients.items():
        before = length(shop)
        key = f"{name}{path.replace('/', '-')}"
        answer = client.post(path, data={"key": key, **said})
        assert answer.status_code == (303 if name in allowed else 403), (name, answer.text)
        assert length(shop) == before + (name in allowed)


RULES = {"require_daily_check": "no", "require_authorisation": "no"}
LOT = {"count": "9", "where": "shelf", "state": "in", "inspected": "", "note": ""}
LOTS = {"version": 1, **LOT}


@pytest.mark.parametrize(
    ("path", "said"),
    [
        ("/people", {"id": "tavi", "name": "Tavi", "roles": ["lead"], "version": 1}),
        ("/people/tavi/account/roles", {"roles": ["lead"], "version": 1}),
        ("/people/jorun/account/secret", {"secret": "mine now 123", "version": 1}),
        ("/people/jorun/account/active", {"active": "no", "version": 1}),
        ("/people/brand/account", {"secret": "mine now 123", "roles": ["lead"]}),
        ("/settings/rules", {**RULES, "version": 1}),
        ("/book/export", {}),
        ("/shelf/spacer-75/lots", LOTS),
    ],
)  # fmt: skip
def test_a_technician_cannot_raise_themselves_or_change_the_rules(
    kept: Shop, technician: TestClient, path: str, said: dict[str, object]
) -> None:
    before = length(kept)
    assert technician.post(path, data=said).status_code == 403
    assert length(kept) == before


def test_a_closed_account_is_out_at_once(tmp_path: Path) -> None:
    with shop_in(tmp_path) as shop:
        for name in ("jorun", "tavi"):
            accounts.open_account(shop, name, SECRETS[name], ROLES[name], Actor("test"))
        tavi, jorun = signed_in(shop, "tavi"), signed_in(shop, "jorun")
        assert tavi.get("/book").status_code == 200
        said = {"active": "no", "version": 1}
        assert jorun.post("/people/tavi/account/active", data=said).status_code == 303
        assert tavi.get("/book").status_code == 303


# --- headers, sizes, names ------------------------------------------------------------------------


@pytest.mark.parametrize(
    "path", ["/", "/book", "/nothing-here", "/static/shop.css", "/api/v1/book", "/card.pdf"]
)
def test_every_answer_carries_the_strict_headers(kept: Shop, path: str) -> None:
    headers = client_of(kept).get(path).headers
    policy = headers["content-security-policy"]
    for part in ("default-src 'none'", "script-src 'self'", "frame-ancestors 'none'"):
        assert part in policy
    assert "unsafe" not in policy
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["x-frame-options"] == "DENY"
    assert headers["referrer-policy"] == "same-origin"
    assert "access-control-allow-origin" not in headers


@pytest.mark.parametrize(
    "path",
    [
        "/static/../app.py", "/static/%2e%2e/app.py", "/static/..%2fapp.py", "/static/....//app.py",
        "/static/%2e%2e%2f%2e%2e%2f%2e%2e%2fetc/passwd", "/static//etc/passwd",
        "/static/..\\app.py",
        "/lifts/..%2f..%2fetc%2fpasswd", "/shelf/%2e%2e", "/run/%00", "/people/%ff",
    ],
)  # fmt: skip
def test_no_path_leads_out_of_the_pages(kept: Shop, path: str) -> None:
    answer = client_of(kept).get(path)
    assert answer.status_code in (400, 404, 405, 422), answer.status_code
    assert "root:" not in answer.text
    assert "import" not in answer.text


@pytest.mark.parametrize("path", ["/lifts/north/out", "/sign-in", "/shelf/spacer-75/lots"])
def test_bodies_that_are_too_big_or_of_unknown_length_are_refused(kept: Shop, path: str) -> None:
    options = ServeOptions(hosts=("testserver",), upload_limit=1000)
    client = client_of(kept, options)
    assert client.post(path, data={"reason": "x" * 2000}).status_code == 413
    chunks = client.post(path, content=iter([b"reason=x"]))
    assert chunks.status_code == 411


def test_a_length_that_lies_over_the_wire_is_refused(kept: Shop) -> None:
    options = ServeOptions(hosts=("127.0.0.1",), upload_limit=1000)
    with served(kept, options) as address:
        port = urlsplit(address).port
        for head in ("Content-Length: -5", "Content-Length: 99999999999", "Content-Length: 5x"):
            answer = raw(port, f"POST /sign-in HTTP/1.1\r\nHost: 127.0.0.1\r\n{head}\r\n\r\n")
            assert re.match(r"HTTP/1\.1 (400|413)", answer), answer[:60]
        twice = "GET / HTTP/1.1\r\nHost: 127.0.0.1\r\nHost: evil.example\r\n\r\n"
        assert re.match(r"HTTP/1\.1 400", raw(port, twice))


def raw(port: int | None, text: str) -> str:
    with socket.create_connection(("127.0.0.1", port or 0), timeout=10) as link:
        link.sendall(text.encode())
        return link.recv(4096).decode(errors="replace")


def test_too_many_requests_are_refused_and_told(kept: Shop) -> None:
    client = TestClient(create_app(kept, ServeOptions(hosts=("testserver",), rate_per_minute=30)))
    codes = [client.get("/static/mark.svg").status_code for _ in range(32)]
    assert codes == [200] * 30 + [429] * 2


@pytest.mark.parametrize(
    "text",
    [
        "<script>alert(1)</script>", '"><img src=x onerror=alert(1)>', "{{ 7 * 7 }}",
        "'; DROP TABLE events; --",
    ],
)  # fmt: skip
def test_words_of_an_attacker_are_shown_as_words(tmp_path: Path, text: str) -> None:
    with shop_in(tmp_path) as shop:
        client = client_of(shop)
        answer = client.post("/lifts/north/out", data={"key": "a-key-of-mine", "reason": text})
        assert answer.status_code == 303
        for path in ("/lifts", "/lifts/north", "/book", f"/book/{length(shop)}", "/"):
            page = client.get(path).text
            assert "<script>alert" not in page
            assert "<img src=x" not in page
        assert "49" not in re.findall(r"Reason: ([^<]*)", client.get("/book").text)
        found = client.get("/book", params={"subject": text})
        assert found.status_code in (200, 422)
        assert "<script>alert" not in found.text


@pytest.mark.parametrize("field", ["reason", "key"])
def test_texts_that_do_not_fit_are_refused(kept: Shop, field: str) -> None:
    before, client = length(kept), client_of(kept)
    for bad in ("", "x" * 2001, "a\x00b"):
        answer = client.post("/lifts/north/out", data={**OUT, field: bad})
        assert answer.status_code == 422, (field, bad[:5])
    assert length(kept) == before


def test_the_secret_never_comes_back(kept: Shop) -> None:
    client = signed_in(kept, "jorun")
    short = client.post("/people/brand/account", data={"secret": "hunter2", "roles": ["lead"]})
    assert short.status_code == 422
    assert "hunter2" not in short.text
    assert not any(SECRETS["jorun"] in str(e.payload) for e in kept.moment().events)
