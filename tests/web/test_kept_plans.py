"""Plans kept in the book by page and program, read back and made again as they were then."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from tests.web_cases import OPEN, client_of, shop_in
from underset.app import Actor, Shop
from underset.records import Vehicle as VehicleRecord
from underset.records import from_json
from underset.web import ServeOptions

WISH = {"vehicle": "harbour-hatch", "bays": ["north"], "remedies": False}
LAN = ServeOptions(lan=True, hosts=OPEN.hosts, rate_per_minute=OPEN.rate_per_minute)


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shop]:
    with shop_in(tmp_path_factory.mktemp("shop")) as opened:
        yield opened


@pytest.fixture
def program(shop: Shop) -> TestClient:
    return client_of(shop)


def kept(program: TestClient, key: str, code: int = 201, **wish: object) -> dict[str, object]:
    answer = program.post("/api/v1/plans", json={**WISH, **wish, "key": key})
    assert answer.status_code == code, answer.text
    told: dict[str, object] = answer.json()
    return told


def test_a_plan_is_kept_once_under_its_key_and_read_back(program: TestClient, shop: Shop) -> None:
    first = kept(program, "keep-key-one")
    head = shop.moment().head
    assert kept(program, "keep-key-one") == first
    assert shop.moment().head == head
    assert (first["vehicle"], first["bay"], first["outcome"]) == ("harbour-hatch", "north", "found")
    assert program.get(f"/api/v1/plans/{first['id']}").json() == first
    planned = program.post("/api/v1/plan", json=WISH).json()
    assert first["result"] == planned
    listed = program.get("/api/v1/book", params={"kind": "plan made"}).json()["events"]
    assert f"plan/{first['id']}" in {e["subject"] for e in listed}


def test_a_key_that_stands_for_another_plan_is_refused(program: TestClient, shop: Shop) -> None:
    kept(program, "keep-key-two")
    told = kept(program, "keep-key-two", 409, bays=["south"])
    assert "Nothing was kept" in str(told)
    kept(client_of(shop, person="tavi"), "keep-key-two", 409)


def test_what_stops_a_lift_is_kept_too(program: TestClient) -> None:
    told = kept(program, "keep-key-three", vehicle="chandler-van", bays=["corner"])
    assert told["outcome"] != "found"
    assert program.get(f"/api/v1/plans/{told['id']}/card?kind=svg").text.startswith("<svg")


def test_an_old_plan_is_made_again_from_what_it_was_made_from(
    tmp_path: Path,
) -> None:
    with shop_in(tmp_path) as shop:
        program = client_of(shop)
        first = kept(program, "keep-key-four")
        card = program.get(f"/api/v1/plans/{first['id']}/card")
        on_file = program.get("/api/v1/records/vehicle/harbour-hatch").json()
        changed = {**on_file["record"], "label": "Another name"}
        record = from_json(VehicleRecord, changed)
        shop.save("vehicle", "harbour-hatch", record, on_file["version"], Actor("jorun"))
        again = program.get(f"/api/v1/plans/{first['id']}/again").json()
        assert (again["same"], again["differs"]) == (True, [])
        assert again["version"] == again["version_now"]
        later = program.get(f"/api/v1/plans/{first['id']}/card")
        assert later.headers["content-type"] == "application/pdf"
        assert later.content == card.content


def test_a_plan_the_book_does_not_have(program: TestClient) -> None:
    known = kept(program, "keep-key-five")["id"]
    for path in ("", "/again", "/card"):
        answer = program.get(f"/api/v1/plans/plan-000000000000{path}")
        assert answer.status_code == 404
        assert str(known) in answer.json()["error"]["allowed"]
    assert program.get("/api/v1/plans/No!").status_code == 422


def test_who_may_keep_a_plan(shop: Shop) -> None:
    nobody = client_of(shop, person="")
    assert nobody.post("/api/v1/plans", json={**WISH, "key": "keep-key-six"}).status_code == 403
    forged = client_of(shop)
    forged.headers["x-underset-token"] = "0" * 64
    assert forged.post("/api/v1/plans", json={**WISH, "key": "keep-key-six"}).status_code == 403
    stranger = client_of(shop, LAN)
    for path in ("", "/again", "/card"):
        assert stranger.get(f"/api/v1/plans/plan-000000000000{path}").status_code == 401


@pytest.mark.parametrize(
    "page",
    ["/plan?vehicle=harbour-hatch", "/setting?vehicle=harbour-hatch&bay=north&points=sill-bosses"],
)
def test_a_lead_keeps_a_plan_by_a_button(program: TestClient, shop: Shop, page: str) -> None:
    form = re.search(r'action="/plan/keep">(.*?)</form>', program.get(page).text, re.DOTALL)
    assert form
    said = dict(re.findall(r'name="(\w+)" value="([^"]*)"', form[1]))
    to = {program.post("/plan/keep", data=said).headers["location"] for _ in range(2)}
    assert len(to) == 1, "sent twice it counts once"
    entry = program.get(to.pop()).text
    assert "harbour-hatch" in entry
    assert "/card.pdf" in entry
    reader = client_of(shop, person="")
    assert "/plan/keep" not in reader.get(page).text


def test_a_german_card_is_german_throughout_now_and_later(program: TestClient) -> None:
    """Hold points and steps too, of a plan of now and of one made again from the book."""
    name = kept(program, "keep-key-seven")["id"]
    program.cookies.set("underset-language", "de")
    for path in ("/api/v1/card?vehicle=harbour-hatch&bay=north&", f"/api/v1/plans/{name}/card?"):
        card = program.get(f"{path}kind=html").text
        for german, english in (("Platz frei", "Bay clear"), ("wie es steht", "as it stands")):
            assert german in card
            assert english not in card
