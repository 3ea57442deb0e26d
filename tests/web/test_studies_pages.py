"""Coverage and day board: every cell leads on, both languages, refusals in words."""

from __future__ import annotations

import re
import threading
import time
from collections.abc import Iterator
from html import unescape

import pytest
from fastapi.testclient import TestClient

from tests.web_cases import client_of, shop_in
from underset.app.study_desk import Count, Desk, Working
from underset.errors import InputError
from underset.web.words_studies_de import STUDIES_DE
from underset.web.words_studies_en import STUDIES_EN


@pytest.fixture(scope="module")
def client(tmp_path_factory: pytest.TempPathFactory) -> Iterator[TestClient]:
    with shop_in(tmp_path_factory.mktemp("studies")) as shop:
        yield client_of(shop)


def answered(client: TestClient, path: str, **more: object) -> str:
    """The page once its study is there; until then it must say how far it is."""
    for _ in range(600):
        page = client.get(path, **more).text
        if 'hx-trigger="load delay:1s"' not in page:
            return page
        assert 'role="status"' in page
        time.sleep(0.2)
    raise AssertionError(f"{path} is never answered")


def links(page: str) -> list[str]:
    found = re.findall(r'class="button" href="([^"]+)"', page)
    return [unescape(x) for x in found]


def test_coverage_leads_to_settings_and_plans(client: TestClient) -> None:
    page = answered(client, "/coverage")
    there = [x for x in links(page) if x.startswith(("/setting?", "/plan?"))]
    assert len(there) == 40  # ten vehicles in four bays
    served = [x for x in there if x.startswith("/setting?")]
    refused = [x for x in there if x.startswith("/plan?")]
    assert served and refused and len(served) + len(refused) == 40
    assert client.get(served[0]).status_code == 200
    assert client.get(refused[0]).status_code == 200
    assert page.count("/card.pdf?") == len(served)


def test_day_names_every_job_once(client: TestClient) -> None:
    pytest.importorskip("ortools")
    page = answered(client, "/day")
    assert page.count("<li>") + page.count('href="/plan?') >= 11
    assert STUDIES_EN["day.refused"] in page


def test_each_study_shows_its_picture(client: TestClient) -> None:
    pytest.importorskip("ortools")
    for path, name in (("/coverage", "coverage"), ("/day", "day"), ("/buying", "curve")):
        page = answered(client, path)
        assert f"us-drawing us-{name}" in page
        assert f".us-{name} .us-text" in client.get("/studies.css").text


def test_buying_answers_a_budget_and_refuses_a_word(client: TestClient) -> None:
    page = unescape(answered(client, "/buying?budget=500"))
    assert "440.00 EUR" in page and "Heavy spacer 100" in page
    share = unescape(answered(client, "/buying?share=85"))
    assert "89.4 % of all visits (proved" in share
    refused = client.get("/buying?budget=much")
    assert refused.status_code == 422
    assert 'role="alert"' in refused.text


def test_a_lift_that_is_not_there_is_refused(client: TestClient) -> None:
    assert client.get("/lift-choice?replace=moon").status_code == 404


@pytest.mark.parametrize("path", ["/coverage", "/day", "/buying", "/lift-choice"])
def test_pages_speak_german(client: TestClient, path: str) -> None:
    page = client.get(path, headers={"Cookie": "underset-language=de"}).text
    assert STUDIES_DE[f"{path[1:].replace('-', '_')}.title"] in unescape(page)


def test_a_desk_tells_how_far_it_is_and_hands_on_refusals() -> None:
    desk, go = Desk(), threading.Event()

    def slowly(count: Count) -> int:
        told = list(count.run(lambda x: 2 * x, [1, 2]))
        go.wait(10)
        return sum(told)

    first = desk.ask("a", slowly, patience=0.05)
    assert isinstance(first, Working)
    go.set()
    assert desk.ask("a", slowly, patience=10) == 6

    def refuses(count: Count) -> int:
        raise InputError("share", 2, "a share is between 0 and 1")

    with pytest.raises(InputError):
        desk.ask("b", refuses, patience=10)


def test_both_catalogues_have_the_same_words() -> None:
    assert STUDIES_EN.keys() == STUDIES_DE.keys()
