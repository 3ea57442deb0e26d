"""Coverage and day board: every cell leads on, both languages, refusals in words."""

from __future__ import annotations

import re
from collections.abc import Iterator
from html import unescape

import pytest
from fastapi.testclient import TestClient

from tests.web_cases import client_of, shop_in
from underset.web.words_studies_de import STUDIES_DE
from underset.web.words_studies_en import STUDIES_EN


@pytest.fixture(scope="module")
def client(tmp_path_factory: pytest.TempPathFactory) -> Iterator[TestClient]:
    with shop_in(tmp_path_factory.mktemp("studies")) as shop:
        yield client_of(shop)


def links(page: str) -> list[str]:
    found = re.findall(r'class="button" href="([^"]+)"', page)
    return [unescape(x) for x in found]


def test_coverage_leads_to_settings_and_plans(client: TestClient) -> None:
    page = client.get("/coverage").text
    there = links(page)
    assert len(there) == 40  # ten vehicles in four bays
    served = [x for x in there if x.startswith("/setting?")]
    refused = [x for x in there if x.startswith("/plan?")]
    assert served and refused and len(served) + len(refused) == 40
    assert client.get(served[0]).status_code == 200
    assert client.get(refused[0]).status_code == 200
    assert page.count("/card.pdf?") == len(served)


def test_day_names_every_job_once(client: TestClient) -> None:
    pytest.importorskip("ortools")
    page = client.get("/day").text
    assert page.count("<li>") + page.count('href="/plan?') >= 11
    assert STUDIES_EN["day.refused"] in page


@pytest.mark.parametrize("path", ["/coverage", "/day"])
def test_pages_speak_german(client: TestClient, path: str) -> None:
    page = client.get(path, headers={"Cookie": "underset-language=de"}).text
    assert STUDIES_DE[f"{path[1:]}.title"] in unescape(page)


def test_both_catalogues_have_the_same_words() -> None:
    assert STUDIES_EN.keys() == STUDIES_DE.keys()
