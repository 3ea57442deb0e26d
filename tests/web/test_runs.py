"""Starting a run: once under its key, however often and by however many tablets it is sent."""

from __future__ import annotations

import threading
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import httpx
import pytest
from fastapi.testclient import TestClient

from tests.web_cases import TODAY, client_of, served, shop_in, token_in
from underset.app import Actor, Shop, Wish, open_shop, runs, sample_folder
from underset.app.shop import Keeper
from underset.store import PlanMade, RunStarted, TakenOut
from underset.web import ServeOptions

CLIENTS = 30
FREE = ServeOptions(hosts=("127.0.0.1",), rate_per_minute=1_000_000)
NORTH = {"vehicle": "harbour-hatch", "bay": "north"}
KEY = "start-key-1"


@pytest.fixture(params=["sqlite", pytest.param("postgresql", marks=pytest.mark.postgres)])
def place(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """Where the shop's store is made, on either engine."""
    if request.param == "sqlite":
        return str(tmp_path / "book.db")
    return str(request.getfixturevalue("postgres_url"))


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shop]:
    with shop_in(tmp_path_factory.mktemp("runs")) as opened:
        yield opened


@pytest.fixture(scope="module")
def tablet(shop: Shop) -> TestClient:
    return client_of(shop)


def counted(shop: Shop) -> tuple[int, int]:
    """How many runs and plans the book has."""
    with shop.store.read() as tx:
        kinds = [e.kind for e in tx.book.all_of([RunStarted.KIND, PlanMade.KIND])]
    return kinds.count(RunStarted.KIND), kinds.count(PlanMade.KIND)


def api(tablet: TestClient, **more: Any) -> httpx.Response:
    return tablet.post("/api/v1/runs", json={**NORTH, "key": KEY, **more})


def test_sent_twice_it_is_one_run_by_page_and_by_program(shop: Shop, tablet: TestClient) -> None:
    before = counted(shop)
    sent = [tablet.post("/run", data={**NORTH, "key": KEY}) for _ in range(2)]
    assert {a.status_code for a in sent} == {303}
    assert len({a.headers["location"] for a in sent}) == 1
    told = api(tablet)
    assert told.status_code == 201
    assert sent[0].headers["location"] == f"/run/{told.json()['id']}"
    assert counted(shop) == (before[0] + 1, before[1] + 1)


def test_the_page_gives_each_bay_a_key_of_its_own_and_another_page_other_ones(
    tablet: TestClient,
) -> None:
    pages = [tablet.get("/plan", params={"vehicle": "harbour-hatch"}).text for _ in range(2)]
    keys = [part.partition('"')[0] for p in pages for part in p.split('name="key" value="')[1:]]
    assert len(keys) >= 4
    assert len(set(keys)) == len(keys)
    assert tablet.post("/run", data={**NORTH, "key": keys[0]}).status_code == 303


@pytest.mark.parametrize(
    ("changed", "person"),
    [({"bay": "south"}, "jorun"), ({"vehicle": "crew-pickup"}, "jorun"), ({}, "tavi")],
)
def test_a_key_that_stands_for_another_run_starts_none(
    shop: Shop, tablet: TestClient, changed: dict[str, str], person: str
) -> None:
    api(tablet)
    before = counted(shop)
    answer = tablet.post(
        "/api/v1/runs", json={**NORTH, "key": KEY, **changed}, headers={"x-underset-person": person}
    )
    assert answer.status_code == 409, answer.text
    assert "Nothing was started" in answer.json()["error"]["message"]
    assert counted(shop) == before


def test_a_key_of_another_kind_of_entry_starts_none(shop: Shop, tablet: TestClient) -> None:
    said = {"kind": "remark", "said": {"subject": "bay/north", "text": "x"}, "key": "remark-key-1"}
    assert tablet.post("/api/v1/book", json=said).status_code == 201
    before = counted(shop)
    assert api(tablet, key="remark-key-1").status_code == 409
    assert counted(shop) == before


@pytest.mark.parametrize("key", [None, "", "short", "UPPER-CASE", "x" * 81, "a b c d e f"])
def test_without_a_good_key_nothing_is_started(
    shop: Shop, tablet: TestClient, key: str | None
) -> None:
    before = counted(shop)
    told = {**NORTH, **({} if key is None else {"key": key})}
    assert tablet.post("/run", data=told).status_code == 422
    assert tablet.post("/api/v1/runs", json=told).status_code == 422
    assert counted(shop) == before


def test_sent_again_when_the_lift_has_gone_out_of_service_it_is_still_that_run(
    tmp_path: Path,
) -> None:
    with shop_in(tmp_path) as shop:
        tablet = client_of(shop)
        first = api(tablet)
        shop.write_down(TakenOut(thing="bay", id="north", reason="rope frayed"), Actor("tavi"))
        assert api(tablet).json()["id"] == first.json()["id"]
        assert counted(shop) == (1, 1)


def test_thirty_tablets_that_send_one_start_begin_one_run(place: str) -> None:
    shop = open_shop(place, seed=sample_folder(), clock=lambda: TODAY)
    try:
        with served(shop, FREE) as address:
            answers = sent_at_once(address)
        assert {code for code, _ in answers} == {303}
        assert len({to for _, to in answers}) == 1
        assert counted(shop) == (1, 1)
        with shop.store.read() as tx:
            assert tx.verify().whole
        assert runs.run_of(shop, answers[0][1].removeprefix("/run/")).next_open == 0
    finally:
        shop.close()


def sent_at_once(address: str) -> list[tuple[int, str]]:
    together = threading.Barrier(CLIENTS)

    def tablet(_: int) -> tuple[int, str]:
        who = {"underset-person": "jorun"}
        with httpx.Client(base_url=address, cookies=who, timeout=60) as client:
            client.headers["x-underset-token"] = token_in(client.get("/settings").text)
            together.wait(60)
            answer = client.post("/run", data={**NORTH, "key": KEY})
            return answer.status_code, answer.headers.get("location", "")

    with ThreadPoolExecutor(CLIENTS) as pool:
        return list(pool.map(tablet, range(CLIENTS)))


def test_a_run_that_could_not_be_stored_leaves_no_plan_behind(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with shop_in(tmp_path) as shop:

        def no_disk(*_: object, **__: object) -> None:
            raise OSError("no room")

        with monkeypatch.context() as patch:
            patch.setattr(runs, "RunStarted", no_disk)
            with pytest.raises(Exception, match="no room"):
                runs.start_run(shop, Wish("harbour-hatch", None, ("north",)), Actor("jorun"))
        assert counted(shop)[1] == 0


def test_a_plan_that_many_ask_for_at_once_is_made_once() -> None:
    kept, made, together = Keeper(4), [], threading.Barrier(CLIENTS)

    def slow() -> str:
        made.append(threading.get_ident())
        time.sleep(0.05)
        return "the plan"

    def ask(_: int) -> str:
        together.wait(60)
        return kept.get("key", slow)

    with ThreadPoolExecutor(CLIENTS) as pool:
        assert set(pool.map(ask, range(CLIENTS))) == {"the plan"}
    assert len(made) == 1


def test_a_plan_that_failed_is_made_anew_by_the_next_who_asks() -> None:
    kept = Keeper(4)

    def fails() -> str:
        raise ValueError("not this time")

    with pytest.raises(ValueError, match="not this time"):
        kept.get("key", fails)
    assert kept.get("key", lambda: "the plan") == "the plan"
