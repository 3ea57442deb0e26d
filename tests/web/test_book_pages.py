"""The book, jobs, settings and as-parked pages, in both languages."""

from __future__ import annotations

import html
import json
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from jinja2 import Environment, FileSystemLoader
from sqlalchemy import text

from tests.web_cases import client_of, shop_in
from underset.app import Shop, Wish, bookkeeping
from underset.store import KINDS, opened_book
from underset.web.page import HERE
from underset.web.words import words_in
from underset.web.words_book_de import WORDS_BOOK_DE
from underset.web.words_book_en import WORDS_BOOK_EN

SCREENS = (
    "/lifts", "/lifts/north", "/lifts/north/check", "/shelf", "/shelf/spacer-75", "/people",
    "/people/jorun", "/jobs", "/jobs/hatch-engine-out", "/book", "/book/1", "/settings",
    "/parked?vehicle=harbour-hatch&bay=north",
)  # fmt: skip


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shop]:
    """A shop for tests that only look."""
    with shop_in(tmp_path_factory.mktemp("kept")) as opened:
        yield opened


def looking(shop: Shop, language: str = "en", units: str = "metric") -> TestClient:
    client = client_of(shop)
    client.cookies.set("underset-language", language)
    client.cookies.set("underset-units", units)
    return client


# --- words ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("language", ["en", "de"])
@pytest.mark.parametrize("address", SCREENS)
def test_every_screen_is_there_in_both_languages(kept: Shop, address: str, language: str) -> None:
    answer = looking(kept, language, "inch").get(address)
    assert answer.status_code == 200
    assert f'<html lang="{language}"' in answer.text
    assert words_in(language)["advice"] in html.unescape(answer.text)
    assert "<script>" not in answer.text
    assert ' style="' not in answer.text


def test_both_catalogues_hold_the_same_words_with_the_same_figures_in_them() -> None:
    assert list(WORDS_BOOK_EN) == list(WORDS_BOOK_DE)
    gap = re.compile(r"\{(\w+)\}")
    for key, said in WORDS_BOOK_EN.items():
        assert sorted(gap.findall(said)) == sorted(gap.findall(WORDS_BOOK_DE[key])), key
        assert said.strip(), key


def test_every_kind_of_entry_has_a_word() -> None:
    assert {f"kind.{k}" for k in KINDS} <= set(WORDS_BOOK_EN)


def test_every_field_and_every_fixed_answer_of_an_entry_has_a_word() -> None:
    for kind, payload in KINDS.items():
        fields = payload.model_json_schema()["properties"]
        assert {f"fact.{name}" for name in fields} <= set(WORDS_BOOK_EN), kind
        fixed = {v for said in fields.values() for v in said.get("enum", ()) if v}
        assert {f"said.{v}" for v in fixed} - {"said.PDF", "said.SVG", "said.HTML", "said.PIN"} <= (
            set(WORDS_BOOK_EN)
        ), kind


def test_every_word_a_template_names_is_in_the_catalogues() -> None:
    loader = Environment(loader=FileSystemLoader(HERE / "templates"), autoescape=True)
    named = re.compile(r'words\[["\']([^"\']+)["\']\]')
    for name in loader.list_templates():
        source = (HERE / "templates" / name).read_text(encoding="utf-8")
        missing = {k for k in named.findall(source) if k not in words_in("de")}
        assert not missing, (name, missing)


# --- the book -------------------------------------------------------------------------------------


def test_the_book_is_searched_by_kind_subject_person_and_day(shop: Shop) -> None:
    tablet = client_of(shop)
    tablet.post("/lifts/north/out", data={"key": "first-key", "reason": "Rope frayed"})
    tablet.post("/lifts/south/out", data={"key": "second-key", "reason": "Oil on the floor"})
    client_of(shop, person="tavi").post(
        "/lifts/north/back", data={"key": "third-key", "reason": "Rope changed"}
    )

    def found(**asked: str) -> list[str]:
        page = tablet.get("/book", params=asked).text
        return [w for w in ("Rope frayed", "Oil on the floor", "Rope changed") if w in page]

    assert found() == ["Rope frayed", "Oil on the floor", "Rope changed"]
    assert found(kind="taken out of service") == ["Rope frayed", "Oil on the floor"]
    assert found(subject="bay/north") == ["Rope frayed", "Rope changed"]
    assert found(person="tavi") == ["Rope changed"]
    assert found(subject="bay/north", person="jorun") == ["Rope frayed"]
    assert found(day="2001-01-01") == []
    assert tablet.get("/book", params={"kind": "gossip"}).status_code == 422
    assert tablet.get("/book", params={"after": "gossip"}).status_code == 422


def test_a_long_book_is_read_page_by_page_and_nothing_is_twice_or_lost(shop: Shop) -> None:
    by = {"key": "", "reason": "x"}
    tablet = client_of(shop)
    for n in range(8):
        tablet.post("/lifts/north/out", data={**by, "key": f"key-number-{n}"})
    seen: list[str] = []
    address = "/book"
    while address:
        page = tablet.get(address).text
        seen += re.findall(r'class="line" href="/book/(\d+)"', page)
        more = re.search(r'href="(/book\?after=[^"]+)"', page)
        address = more[1] if more else ""
    assert seen == [str(n) for n in range(shop.moment().head, 0, -1)]


def test_the_chain_is_checked_by_a_button_and_a_broken_link_is_named(
    shop: Shop, tmp_path: Path
) -> None:
    tablet = client_of(shop)
    assert "The chain is whole: 48 entries" in tablet.post("/book/verify").text
    with shop.store.engines.writer.begin() as conn:
        for trigger in conn.scalars(text("SELECT name FROM sqlite_master WHERE type='trigger'")):
            conn.execute(text(f"DROP TRIGGER {trigger}"))
        conn.execute(text("UPDATE events SET person = 'somebody' WHERE seq = 7"))
    page = tablet.post("/book/verify").text
    assert "The chain is broken at event 7" in page
    german = looking(shop, "de").post("/book/verify").text
    assert "Die Kette ist gebrochen bei Eintrag 7" in german
    assert "der Inhalt ist nicht der, aus dem die Prüfsumme entstand" in german


def test_the_exported_book_is_whole_and_the_export_is_in_the_book(
    shop: Shop, tmp_path: Path
) -> None:
    tablet = client_of(shop)
    answer = tablet.post("/book/export")
    assert answer.status_code == 200
    assert "attachment" in answer.headers["content-disposition"]
    path = tmp_path / "given.jsonl"
    path.write_bytes(answer.content)
    with opened_book(path) as book:
        assert book.header.events == 48
        assert len(list(book.rows())) > 48
        assert not book.header.private
    assert json.loads(answer.content.splitlines()[0])["events"] == 48
    last = bookkeeping.search(shop, bookkeeping.Asked(kind="book kept")).lines[0]
    assert dict(last.facts)["what"] == "exported"


def test_an_entry_that_is_not_there_is_told(kept: Shop) -> None:
    assert client_of(kept).get("/book/999999").status_code == 404
    assert client_of(kept).get("/book/first").status_code == 422


# --- settings -------------------------------------------------------------------------------------


def test_this_devices_choices_are_kept_and_used(kept: Shop) -> None:
    tablet = client_of(kept)
    chosen = {"language": "de", "units": "inch", "theme": "dark", "device": "Tablet 2"}
    answer = tablet.post("/settings/device", data=chosen)
    assert answer.status_code == 303
    page = tablet.get("/settings").text
    assert '<html lang="de" data-theme="dark"' in page
    assert "Werkstatt" in page
    wrong = tablet.post("/settings/device", data={**chosen, "device": "a\nb"})
    assert wrong.status_code == 422
    assert tablet.post("/settings/device", data={**chosen, "theme": "pink"}).status_code == 422


def test_the_devices_name_stands_with_entries(shop: Shop) -> None:
    tablet = client_of(shop)
    tablet.cookies.set("underset-device", "Tablet 2")
    tablet.post("/lifts/north/out", data={"key": "first-key", "reason": "Rope frayed"})
    assert bookkeeping.event(shop, shop.moment().head).device == "Tablet 2"


def test_rules_changed_on_two_tablets_are_told_to_the_second(shop: Shop) -> None:
    version = shop.record("workshop", "workshop").version
    asked = {"version": version, "require_daily_check": "yes", "require_authorisation": "no"}
    assert client_of(shop).post("/settings/rules", data=asked).status_code == 303
    other = client_of(shop, person="tavi").post(
        "/settings/rules", data={**asked, "require_authorisation": "yes"}
    )
    assert other.status_code == 409
    assert "changed by jorun" in other.text
    assert not shop.workshop().about.require_authorisation


# --- as parked ------------------------------------------------------------------------------------


def parked(shop: Shop, units: str = "metric", **typed: object) -> str:
    asked = {"vehicle": "harbour-hatch", "bay": "north", **typed}
    answer = looking(shop, "en", units).get("/parked", params=asked)
    assert answer.status_code == 200
    return answer.text


def test_a_stop_as_planned_is_usable_and_one_far_off_tells_how_far_to_move(kept: Shop) -> None:
    best = kept.plan(Wish("harbour-hatch", None, ("north",))).plan.best
    assert best is not None
    mark = kept.workshop().bays["north"].surroundings.mark_x.value  # type: ignore[union-attr]
    here = {"heading": best.setting.heading, "points": best.setting.point_set}
    past = (best.setting.spot - mark) * 1000
    page = parked(kept, spot=f"{past:.1f}", **here)
    assert "Usable where it stands" in page
    assert f"{best.setting.arms[0].reach * 1000:.0f} mm" in page
    off = parked(kept, spot=f"{past - 700:.1f}", **here)
    assert "Not usable where it stands" in off
    assert "Move it" in off
    assert "Usable where it stands" in parked(kept, "inch", spot=f"{past / 25.4:.2f}", **here)


def test_readings_that_do_not_agree_are_told_and_nothing_is_judged(kept: Shop) -> None:
    page = parked(kept, read=["540", "540", "540", "700"])
    assert "readings agree within their tolerances" in page
    assert "Usable where it stands" not in page
    assert "a number from" in parked(kept, spot="nearly")
    assert looking(kept).get("/parked?vehicle=harbour-hatch&bay=nowhere").status_code == 404


def test_a_stop_is_written_down(shop: Shop) -> None:
    tablet = client_of(shop)
    said = {
        "key": "parked-key", "vehicle": "harbour-hatch", "bay": "north", "spot": "0.7312",
        "sideways": "0.01", "yaw": "0.002",
    }  # fmt: skip
    assert tablet.post("/parked", data=said).status_code == 303
    line = bookkeeping.event(shop, shop.moment().head)
    assert (line.kind, dict(line.facts)["spot"]) == ("parked as", "0.7312")
    assert (
        tablet.post("/parked", data={**said, "key": "next-key", "spot": "nan"}).status_code == 422
    )
