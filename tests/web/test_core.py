"""The frame of the bay app: refusals, headers, choices of the visitor, words, templates."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import fields
from html.parser import HTMLParser
from pathlib import Path
from string import Formatter

import pytest
from fastapi.testclient import TestClient
from jinja2 import StrictUndefined, meta, nodes

from tests.web_cases import OPEN, PERSON, client_of, shop_in
from underset.app import Actor, Shop, Wish, runs
from underset.web.guard import HEADERS
from underset.web.page import Frame, environment
from underset.web.pages.plan import PlanView
from underset.web.pages.run import RunView
from underset.web.pages.setting import SettingView
from underset.web.pages.today import TodayView
from underset.web.words import words_in

HATCH = "vehicle=harbour-hatch"
SETTING = f"{HATCH}&bay=north&points=sill-bosses"
PAGES = ("/", f"/plan?{HATCH}", f"/setting?{SETTING}&spot=1.25", f"/setting?{SETTING}&spot=0.2")
ERROR = {"kind", "field", "received", "allowed", "remedy", "message"}
BY = Actor(PERSON, "bench tablet")


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shop]:
    with shop_in(tmp_path_factory.mktemp("shop")) as opened:
        yield opened


@pytest.fixture(scope="module")
def client(shop: Shop) -> TestClient:
    return client_of(shop)


@pytest.fixture
def chooser(shop: Shop) -> TestClient:
    """A client of its own, for a test that changes its cookies."""
    return client_of(shop)


# --- refusals -------------------------------------------------------------------------------------

REFUSED = [
    ("GET", "/api/v1/nothing", None, 404),
    ("GET", "/api/v1/records/vehicle/no-such", None, 404),
    ("GET", "/api/v1/book/999999", None, 404),
    ("DELETE", "/api/v1/plan", None, 405),
    ("POST", "/api/v1/plan", {"vehicle": "No Such"}, 422),
    ("POST", "/api/v1/plan", {"vehicle": "harbour-hatch", "wheels": 4}, 422),
    ("POST", "/api/v1/plan", {"vehicle": "harbour-hatch", "heading": "sideways"}, 422),
    ("GET", f"/api/v1/setting?{SETTING}&spot=nan", None, 422),
    ("GET", f"/api/v1/setting?{SETTING}&spot=9", None, 422),
    ("POST", "/api/v1/book", {"kind": "run started", "said": {}, "key": "abcd-1234"}, 422),
    ("POST", "/api/v1/book", {"kind": "remark", "said": {}, "key": "abcd-1234"}, 422),
]


@pytest.mark.parametrize(("method", "path", "body", "code"), REFUSED)
def test_every_refusal_has_one_shape(
    client: TestClient, method: str, path: str, body: object, code: int
) -> None:
    answer = client.request(method, path, json=body)
    assert answer.status_code == code
    error = answer.json()["error"]
    assert set(error) == ERROR
    assert error["message"]


def test_a_refusal_names_field_value_and_what_is_allowed(client: TestClient) -> None:
    answer = client.get(f"/api/v1/setting?{SETTING}&spot=9")
    error = answer.json()["error"]
    assert (error["field"], error["received"]) == ("spot", "9")
    assert "8" in error["allowed"]


@pytest.mark.parametrize(("path", "code"), [("/nothing", 404), ("/plan?vehicle=none-such", 404)])
def test_a_page_refuses_in_words(client: TestClient, path: str, code: int) -> None:
    answer = client.get(path)
    assert answer.status_code == code
    assert answer.headers["content-type"].startswith("text/html")
    assert 'role="alert"' in answer.text


HOSTILE = [
    b'{"kind":"remark","said":{"subject":"bay/north","text":"\\ud800"},"key":"abcdefgh1"}',
    b'{"kind":NaN,"said":{},"key":"abcdefgh1"}',
    b'{"kind":"remark","said":' + b"[" * 5000 + b"]" * 5000 + b',"key":"abcdefgh1"}',
    b'{"kind":' + b"9" * 6000 + b',"said":{},"key":"abcdefgh1"}',
    b"\xff\xfe",
    b"",
]


@pytest.mark.parametrize("body", HOSTILE, ids=range(len(HOSTILE)))
def test_hostile_bodies_are_refused_in_words(client: TestClient, body: bytes) -> None:
    headers = {"content-type": "application/json"}
    answer = client.post("/api/v1/book", content=body, headers=headers)
    assert answer.status_code in (400, 422)
    assert set(answer.json()["error"]) == ERROR


@pytest.mark.parametrize(
    ("headers", "code"),
    [
        ({"host": "elsewhere.example"}, 421),
        ({"content-length": "²"}, 413),
        ({"content-length": "99999999999"}, 413),
        ({"transfer-encoding": "chunked"}, 411),
        ({"x-underset-token": "ä"}, 403),
        ({"x-underset-token": ""}, 403),
        ({"origin": "http://elsewhere.example"}, 403),
    ],
)
def test_the_guard_refuses_what_no_page_of_ours_sends(
    client: TestClient, headers: dict[str, str], code: int
) -> None:
    sent = {k: v.encode("latin-1") for k, v in headers.items()}
    answer = client.post("/api/v1/plan", json={"vehicle": "harbour-hatch"}, headers=sent)
    assert answer.status_code == code
    assert set(answer.json()["error"]) == ERROR


# --- headers and markup ---------------------------------------------------------------------------


class Markup(HTMLParser):
    """Everything that the policy of a page would have to allow by name."""

    def __init__(self) -> None:
        super().__init__()
        self.inline: list[str] = []
        self.ids: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        told = dict(attrs)
        scripted = tag == "script" and not told.get("src")
        named = [k for k in told if k == "style" or k.startswith("on")]
        if scripted or tag == "style" or named:
            self.inline.append(f"{tag} {named}")
        if told.get("id"):
            self.ids.append(str(told["id"]))


@pytest.mark.parametrize("path", PAGES)
def test_pages_carry_strict_headers_and_nothing_inline(client: TestClient, path: str) -> None:
    answer = client.get(path)
    assert answer.status_code == 200
    assert all(answer.headers[name] == value for name, value in HEADERS.items())
    assert "unsafe-inline" not in answer.headers["content-security-policy"]
    assert answer.headers["cache-control"] == "no-store"
    markup = Markup()
    markup.feed(answer.text)
    assert markup.inline == []
    assert len(markup.ids) == len(set(markup.ids))


def test_only_the_printed_pages_carry_their_style_with_them(client: TestClient) -> None:
    for path in (f"/card.html?{HATCH}", f"/working.html?{HATCH}"):
        policy = client.get(path).headers["content-security-policy"]
        assert "script-src" not in policy
        assert "default-src 'none'" in policy


# --- choices of the visitor -----------------------------------------------------------------------


def test_language_and_units_follow_the_visitor(chooser: TestClient) -> None:
    path = f"/setting?{SETTING}&spot=1.25"
    english = chooser.get(path).text
    assert '<html lang="en"' in english
    assert " mm" in english
    chooser.cookies.set("underset-language", "de")
    chooser.cookies.set("underset-units", "inch")
    german = chooser.get(path).text
    assert '<html lang="de"' in german
    assert words_in("de")["setting.title"] in german
    assert " in" in german and " mm<" not in german


def test_a_choice_that_is_none_falls_back(chooser: TestClient) -> None:
    chooser.cookies.set("underset-language", "xx")
    chooser.cookies.set("underset-theme", "pink")
    page = chooser.get("/").text
    assert '<html lang="en" data-theme="auto">' in page


# --- words and templates --------------------------------------------------------------------------


def test_the_catalogues_have_the_same_keys_and_figures() -> None:
    english, german = words_in("en"), words_in("de")
    assert sorted(english) == sorted(german)
    assert [k for k in english if not english[k].strip() or not german[k].strip()] == []

    def holes(text: str) -> set[str]:
        return {name for _, name, _, _ in Formatter().parse(text) if name}

    assert [k for k in english if holes(english[k]) != holes(german[k])] == []


TEMPLATES = sorted(environment().list_templates(extensions=["html"]))
VIEWS = {
    "today.html": TodayView,
    "plan.html": PlanView,
    "setting.html": SettingView,
    "run.html": RunView,
}


def _parsed(name: str) -> nodes.Template:
    made = environment()
    assert made.loader is not None
    return made.parse(made.loader.get_source(made, name)[0])


def _attributes(tree: nodes.Template, of: str) -> set[str]:
    return {
        n.attr for n in tree.find_all(nodes.Getattr)
        if isinstance(n.node, nodes.Name) and n.node.name == of
    }  # fmt: skip


def test_a_name_that_is_not_there_is_an_error() -> None:
    assert environment().undefined is StrictUndefined
    assert environment().autoescape is True


@pytest.mark.parametrize("name", TEMPLATES)
def test_templates_use_frame_and_words_as_declared(name: str) -> None:
    tree = _parsed(name)
    assert _attributes(tree, "frame") <= {f.name for f in fields(Frame)}
    keys = {
        n.arg.value for n in tree.find_all(nodes.Getitem)
        if isinstance(n.node, nodes.Name) and n.node.name == "words"
        and isinstance(n.arg, nodes.Const)
    }  # fmt: skip
    assert sorted(keys - set(words_in("en"))) == []


@pytest.mark.parametrize("name", sorted(VIEWS))
def test_pages_use_the_fields_of_their_view(name: str) -> None:
    tree = _parsed(name)
    assert meta.find_undeclared_variables(tree) <= {"view", "frame", "words", "forms"}
    assert _attributes(tree, "view") <= {f.name for f in fields(VIEWS[name])}
    assert _attributes(tree, "view")


# --- the setting ----------------------------------------------------------------------------------


def test_beside_every_window_the_nearest_one_is_drawn(client: TestClient) -> None:
    there = client.get(f"/api/v1/setting?{SETTING}&spot=0.2").json()
    assert there["reached"] is False
    (low, _high), *_ = there["windows_m"]
    part = client.get(f"/setting/part?{SETTING}&spot=0.2").text
    assert f'data-nearest="{low}"' in part
    assert f'data-shift-along="{0.2 - low}"' in part
    assert 'id="windows"' in part
    snapped = client.get(f"/api/v1/setting?{SETTING}&spot={low}").json()
    assert snapped["reached"] is True
    assert snapped["evaluation"]["setting"]["spot_m"] == pytest.approx(low)


def test_bays_are_told_as_the_card_tells_them(client: TestClient) -> None:
    bays = client.get(f"/api/v1/bays?{HATCH}").json()
    usable = [b for b in bays if b["usable"]]
    assert usable and usable == bays[: len(usable)]
    for bay in usable:
        assert re.match(r"\d+ mm (past|short of) \S+", bay["spot"])
    card = client.get(f"/card.html?{HATCH}&bay={usable[0]['bay']}").text
    assert usable[0]["spot"].split(" mm ")[0] + " mm" in card


# --- what is kept ---------------------------------------------------------------------------------


def test_a_tick_keeps_plans_and_a_changed_record_makes_them_anew(tmp_path: Path) -> None:
    with shop_in(tmp_path) as shop:
        wish = Wish("harbour-hatch", None, ("north",))
        first = shop.plan(wish, PERSON)
        name = runs.start_run(shop, wish, BY)
        point = runs.run_of(shop, name).points[0].point.id
        runs.answer(shop, name, point, True, BY, key="tick-0001")
        assert shop.plan(wish, PERSON) is first
        kept = shop.record("vehicle", "harbour-hatch")
        fresh = kept.record.model_copy(update={"label": "Harbour hatch, blue"})
        shop.save("vehicle", "harbour-hatch", fresh, kept.version, BY)
        assert shop.plan(wish, PERSON) is not first


def test_open_runs_stand_on_the_first_page(tmp_path: Path) -> None:
    with shop_in(tmp_path) as shop:
        client = client_of(shop, OPEN)
        name = runs.start_run(shop, Wish("harbour-hatch", None, ("north",)), BY)
        assert f'href="/run/{name}"' in client.get("/").text
        runs.finish(shop, name, BY, key="end-0001")
        assert f'href="/run/{name}"' not in client.get("/").text
