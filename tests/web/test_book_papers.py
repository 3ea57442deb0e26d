"""Lifts, shelf and people: what is written there holds every plan, in the judge, not a page."""

from __future__ import annotations

import re

import pytest
from fastapi.testclient import TestClient

from tests.web_cases import client_of
from underset.app import Shop, Wish
from underset.app.papers import DAILY_ITEMS

NORTH = Wish("harbour-hatch", None, ("north",), remedies=False)


@pytest.fixture
def tablet(shop: Shop) -> TestClient:
    return client_of(shop)


def outcome(shop: Shop, wish: Wish = NORTH, person: str | None = "jorun") -> str:
    return shop.plan(wish, person).plan.outcome.value


def posted(tablet: TestClient, path: str, code: int = 303, **fields: object) -> str:
    answer = tablet.post(path, data={"key": "a-key-of-this-form", **fields})
    assert answer.status_code == code, answer.text
    return str(answer.headers.get("location", answer.text))


def bay_card(tablet: TestClient, bay: str) -> str:
    """The text of one bay's card on the page of ranked bays."""
    page = tablet.get("/plan", params={"vehicle": "harbour-hatch"}).text
    cards = re.findall(r'<li class="card.*?</li>\s*(?=<li class="card|</ol>)', page, re.S)
    return next(c for c in cards if f"bay={bay}" in c)


# --- lifts ----------------------------------------------------------------------------------------


def test_a_lift_out_of_service_has_no_plan_until_it_is_returned(
    shop: Shop, tablet: TestClient
) -> None:
    assert outcome(shop) == "found"
    assert "Start the run" in bay_card(tablet, "north")
    to = posted(tablet, "/lifts/north/out", reason="Rope frayed")
    assert re.fullmatch(r"/lifts/north\?done=\d+", to)
    assert outcome(shop) == "none"
    assert "Start the run" not in bay_card(tablet, "north")
    assert "Rope frayed" in tablet.get("/lifts").text
    refused = tablet.post(
        "/run", data={"vehicle": "harbour-hatch", "bay": "north", "key": "start-key-1"}
    )
    assert refused.status_code == 422
    posted(tablet, "/lifts/north/back", key="another-key", reason="Rope changed")
    assert outcome(shop) == "found"


def test_a_defect_that_stops_use_blocks_until_it_is_mended_and_a_return_does_not_help(
    shop: Shop, tablet: TestClient
) -> None:
    posted(tablet, "/lifts/north/defect", text="Restraint does not catch", stops_use="yes")
    assert outcome(shop) == "none"
    posted(tablet, "/lifts/north/back", key="second-key", reason="Looks fine to me")
    assert outcome(shop) == "none"
    defect = re.search(r'name="defect" value="([^"]+)"', tablet.get("/lifts/north").text)
    assert defect
    posted(tablet, "/lifts/north/cleared", key="third-key", defect=defect[1], how="Spring renewed")
    assert outcome(shop) == "found"


def test_a_lesser_defect_is_told_and_watched(shop: Shop, tablet: TestClient) -> None:
    posted(tablet, "/lifts/north/defect", text="Paint is off", stops_use="no")
    assert outcome(shop) == "found"
    assert "Paint is off" in tablet.get("/").text
    best = shop.plan(NORTH, "jorun").plan.best
    assert best is not None
    assert "lift_service" in {c.name for c in best.checks if c.status.value == "watch"}


def test_an_examination_not_passed_blocks_and_a_passed_one_frees(
    shop: Shop, tablet: TestClient
) -> None:
    said = {"on": "2026-11-20", "by": "Sunniva", "why": "periodic"}
    posted(tablet, "/lifts/north/examination", passed="no", note="Weld cracked", **said)
    assert outcome(shop) == "none"
    posted(tablet, "/lifts/north/examination", key="second-key", passed="yes", **said)
    assert outcome(shop) == "found"


def test_the_daily_check_is_demanded_by_the_shops_rule_and_met_by_the_form(
    shop: Shop, tablet: TestClient
) -> None:
    version = shop.record("workshop", "workshop").version
    rules = {"require_daily_check": "yes", "require_authorisation": "no", "version": version}
    assert tablet.post("/settings/rules", data=rules).status_code == 303
    assert outcome(shop) == "none"
    fit = {f"item-{item}": "in order" for item in DAILY_ITEMS}
    posted(tablet, "/lifts/north/check", **fit)
    assert outcome(shop) == "found"
    assert "done today, fit" in tablet.get("/lifts/north").text
    worn = {**fit, "item-pads": "not in order"}
    posted(tablet, "/lifts/north/check", key="second-key", note="Pad torn", **worn)
    assert outcome(shop) == "none"


def test_a_daily_check_with_an_item_nobody_looked_at_is_refused(
    shop: Shop, tablet: TestClient
) -> None:
    before = shop.moment().head
    some = {f"item-{item}": "in order" for item in DAILY_ITEMS[1:]}
    text = posted(tablet, "/lifts/north/check", code=422, **some)
    assert f"items.{DAILY_ITEMS[0]}" in text
    assert shop.moment().head == before


def test_a_form_sent_twice_counts_once(shop: Shop, tablet: TestClient) -> None:
    first = posted(tablet, "/lifts/north/out", reason="Rope frayed")
    head = shop.moment().head
    assert posted(tablet, "/lifts/north/out", reason="Rope frayed") == first
    assert shop.moment().head == head
    clash = posted(tablet, "/lifts/north/out", code=409, reason="Something else")
    assert "already stands for event" in clash


def test_a_bay_that_is_not_on_file_takes_no_entry(shop: Shop, tablet: TestClient) -> None:
    before = shop.moment().head
    posted(tablet, "/lifts/nowhere/out", code=404, reason="Rope frayed")
    assert shop.moment().head == before


# --- shelf ----------------------------------------------------------------------------------------


def used_adapter(shop: Shop) -> str:
    best = shop.plan(NORTH, "jorun").plan.best
    assert best is not None
    return best.setting.arms[0].stack[0].adapter


def test_an_adapter_out_of_service_changes_the_plan_and_its_return_gives_it_back(
    shop: Shop, tablet: TestClient
) -> None:
    before, adapter = shop.plan(NORTH, "jorun").plan, used_adapter(shop)
    page = tablet.get(f"/shelf/{adapter}").text
    count = int(re.search(r"<dd>(\d+) / \d+</dd>", page)[1])  # type: ignore[index]
    posted(tablet, f"/shelf/{adapter}/out", reason="Rubber torn", count=count, where="shelf")
    after = shop.plan(NORTH, "jorun").plan
    stacks = {p.adapter for c in after.choices for a in c.evaluation.setting.arms for p in a.stack}
    assert adapter not in stacks
    assert after != before
    assert "Rubber torn" in tablet.get("/shelf").text
    posted(tablet, f"/shelf/{adapter}/back", key="second-key", reason="New", count=count)
    assert shop.plan(NORTH, "jorun").plan == before


def test_an_inspection_with_failed_pieces_takes_them_out(shop: Shop, tablet: TestClient) -> None:
    adapter = used_adapter(shop)
    said = {"on": "2026-11-20", "by": "Sunniva", "where": "shelf"}
    posted(tablet, f"/shelf/{adapter}/inspection", seen=4, failed=2, note="Cracked", **said)
    assert shop.standing().pieces_out(adapter, "north") == 2
    text = posted(
        tablet, f"/shelf/{adapter}/inspection", 422, key="second-key", seen=1, failed=2, **said
    )
    assert "no more pieces fail than were seen" in text


def lots_of(version: int, count: int, note: str = "") -> dict[str, object]:
    return {
        "version": version, "count": [str(count), ""], "where": ["shelf", "shelf"],
        "state": ["in", "in"], "inspected": ["2026-03-17", ""], "note": [note, ""],
    }  # fmt: skip


def test_of_two_tablets_the_second_is_shown_both_versions_and_overwrites_nothing(
    shop: Shop, tablet: TestClient
) -> None:
    version = shop.record("adapter", "spacer-75").version
    posted(tablet, "/shelf/spacer-75/lots", **lots_of(version, 6))
    other = client_of(shop, person="tavi")
    page = posted(other, "/shelf/spacer-75/lots", 409, **lots_of(version, 9, "counted at noon"))
    assert "changed by jorun" in page
    assert "9 × shelf" in page
    assert "counted at noon" in page
    assert "6 × shelf" in page
    assert [lot.count for lot in shop.workshop().adapters["spacer-75"].lots] == [6]


def test_lots_must_stand_where_there_is_a_place(shop: Shop, tablet: TestClient) -> None:
    version = shop.record("adapter", "spacer-75").version
    wrong = {**lots_of(version, 4), "where": ["cellar", "shelf"]}
    assert "cellar" in posted(tablet, "/shelf/spacer-75/lots", 422, **wrong)
    uneven = {**lots_of(version, 4), "note": ["only one"]}
    posted(tablet, "/shelf/spacer-75/lots", 422, **uneven)
    letters = {**lots_of(version, 4), "count": ["four", ""]}
    posted(tablet, "/shelf/spacer-75/lots", 422, **letters)
    assert shop.record("adapter", "spacer-75").version == version


# --- people ---------------------------------------------------------------------------------------


def test_authorisation_is_demanded_by_the_shops_rule_and_met_by_an_entry(
    shop: Shop, tablet: TestClient
) -> None:
    version = shop.record("workshop", "workshop").version
    rules = {"require_daily_check": "no", "require_authorisation": "yes", "version": version}
    assert tablet.post("/settings/rules", data=rules).status_code == 303
    assert outcome(shop, person="brand") == "none"
    kind = shop.workshop().bays["north"].lift_kind
    said = {"lift_kind": kind, "on": "2026-11-20", "by": "Jorun"}
    posted(tablet, "/people/brand/authorise", **said)
    assert outcome(shop, person="brand") == "found"
    posted(tablet, "/people/brand/withdraw", key="second-key", lift_kind=kind, reason="Left")
    assert outcome(shop, person="brand") == "none"


def test_the_person_at_the_device_is_chosen_and_written_with_entries(shop: Shop) -> None:
    nobody = client_of(shop, person="")
    assert nobody.post(
        "/lifts/north/out", data={"key": "a-key-of-mine", "reason": "Rope frayed"}
    ).status_code == 403  # fmt: skip
    answer = nobody.post("/people/choose", data={"person": "tavi"})
    assert answer.status_code == 303
    cookie = answer.headers["set-cookie"]
    assert "underset-person=tavi" in cookie
    assert "HttpOnly" in cookie
    assert "SameSite=strict" in cookie
    tavi = client_of(shop, person="tavi")
    to = posted(tavi, "/lifts/north/out", reason="Rope frayed")
    assert "tavi" in tavi.get(f"/book/{to.partition('=')[2]}").text
    assert nobody.post("/people/choose", data={"person": "nobody-here"}).status_code == 404


def test_people_are_added_and_the_second_of_two_tablets_is_told(
    shop: Shop, tablet: TestClient
) -> None:
    version = shop.record("workshop", "workshop").version
    new = {"id": "ylva", "name": "Ylva", "roles": ["technician", "lead"], "version": version}
    posted(tablet, "/people", **new)
    assert next(p for p in shop.workshop().about.people if p.id == "ylva").roles == (
        "technician",
        "lead",
    )
    page = posted(tablet, "/people", 409, **{**new, "name": "Ylva B."})
    assert "Ylva B." in page
    kept = next(p for p in shop.workshop().about.people if p.id == "jorun")
    assert kept.authorised_for, "other people keep what is on file"


def test_training_is_written_down(shop: Shop, tablet: TestClient) -> None:
    said = {"lift_kind": "", "on": "2026-11-19", "by": "Sunniva", "note": "yearly"}
    posted(tablet, "/people/brand/training", **said)
    kind = shop.workshop().bays["corner"].lift_kind
    told = shop.standing().trained_on("brand", kind)
    assert told is not None
    assert told.isoformat() == "2026-11-19"
    assert "2026-11-19" in tablet.get("/people/brand").text
    posted(tablet, "/people/brand/training", 422, **{**said, "on": "yesterday"})


# --- refusals in the reader's language ------------------------------------------------------------


def test_a_german_tablet_is_refused_in_german(shop: Shop, tablet: TestClient) -> None:
    """By the store, by a key that stands for something else, by a run, by an entry that is none."""
    tablet.cookies.set("underset-language", "de")
    version = shop.record("adapter", "spacer-75").version
    posted(tablet, "/shelf/spacer-75/lots", **lots_of(version, 6))
    posted(tablet, "/lifts/north/out", reason="Rope frayed")
    seen = {"on": "2026-11-20", "by": "Sunniva", "where": "shelf", "seen": 1, "failed": 2}
    refused = {
        "Von Ihnen wurde nichts gespeichert; bitte neu öffnen.": posted(
            tablet, "/shelf/spacer-75/lots", 409, **lots_of(version, 9)
        ),
        "steht schon für Eintrag": posted(tablet, "/lifts/north/out", 409, reason="Another"),
        "gehoben wird nur mit einer brauchbaren Einstellung": posted(
            tablet, "/run", 422, key="run-key-one", vehicle="harbour-hatch", bay="north"
        ),
        "nicht mehr Stücke fallen durch": posted(
            tablet, "/shelf/spacer-75/inspection", 422, key="second-key", **seen
        ),
    }
    for german, page in refused.items():
        assert german in page
        assert not re.search("Nothing of yours|already stands|usable setting|more pieces", page)
