"""The vehicle form: what it stores, what it says, what it never loses."""

from __future__ import annotations

import re
from html import unescape

import pytest
from fastapi.testclient import TestClient

from tests.web_cases import TODAY, client_of
from underset.app import Actor, Shop, entry, entry_check
from underset.errors import ConflictError, InputErrors
from underset.web.words import words_in

POINT = {"up": "220 ± 5 mm", "contact": "flat boss", "along": "40 mm", "across": "30 mm"}
TYPED = {
    "label": "Nachbars Kombi", "drive": "front", "body": "car", "wheelbase": "2600 ± 3 mm",
    "track_front": "1520 mm", "track_rear": "1515 mm", "length": "4250 mm", "width": "1790 mm",
    "weighed_as": "empty, full tank", "front_axle": "760 ± 5 kg", "rear_axle": "520 ± 5 kg",
    "lf_aft": "560 ± 3 mm", "lf_side": "710 ± 3 mm", "lr_aft": "1900 ± 3 mm",
    "lr_side": "705 ± 3 mm", "mirrored": "yes", "zones_looked": "yes",
    "zone-0-kind": "exhaust", "zone-0-from": "400 mm", "zone-0-to": "1800 mm",
    "zone-0-left": "150 mm", "zone-0-right": "-50 mm", "zone-0-underside": "170 mm",
    "source_kind": "measured here", "source_document": "Tape", "source_date": "2026-11-20",
    **{f"{c}_{k}": v for c in ("lf", "lr") for k, v in POINT.items()},
}  # fmt: skip


def form_in(page: str) -> dict[str, str]:
    """What a browser would send of the form of a page."""
    fields = {}
    for tag in re.findall(r"<input [^>]*>", page):
        name, value = re.search(r'name="([^"]*)"', tag), re.search(r'value="([^"]*)"', tag)
        if name and ('type="checkbox"' not in tag or " checked" in tag):
            fields[name[1]] = unescape(value[1]) if value else ""
    for name, inner in re.findall(
        r'<select id="f-[^"]*" name="([^"]*)"[^>]*>(.*?)</select>', page, re.S
    ):
        chosen = re.search(r'<option value="([^"]*)" selected', inner)
        fields[name] = unescape(chosen[1]) if chosen else ""
    for name, inner in re.findall(r'<select name="([^"]*)"[^>]*>(.*?)</select>', page, re.S):
        fields[name] = re.search(r'<option value="([^"]*)" selected', inner)[1]
    for name, text in re.findall(
        r'<textarea [^>]*name="([^"]*)"[^>]*>(.*?)</textarea>', page, re.S
    ):
        fields[name] = unescape(text)
    return fields


def test_a_vehicle_is_stored_with_its_source_and_can_be_planned(
    client: TestClient, shop: Shop
) -> None:
    answer = client.post("/vehicles/store", data=TYPED)
    assert answer.status_code == 303, re.findall(r'data-field="[^"]*".*', answer.text)
    assert answer.headers["location"] == "/vehicles/nachbars-kombi?stored=1"
    record = shop.workshop().vehicle("nachbars-kombi")
    left, right = record.point_sets[0].points[:2]
    assert (left.side.value, right.side.value) == (pytest.approx(0.71), pytest.approx(-0.71))
    assert str(record.source_of(record.sizes.wheelbase)) == "measured here: Tape, 2026-11-20"
    assert record.zones is not None and record.zones[0].kind.value == "exhaust"
    assert record.doors is None
    page = client.get("/vehicles/nachbars-kombi?stored=1").text
    assert "2600 ± 3 mm" in page and "Tape" in page
    assert client.get("/plan?vehicle=nachbars-kombi").status_code == 200


@pytest.mark.parametrize(
    ("field", "text"),
    [
        ("wheelbase", "2600"),
        ("wheelbase", "2600 kg"),
        ("lf_aft", ""),
        ("lr_up", "-3 mm"),
        ("front_axle", "lots"),
        ("lf_contact", "goodwill"),
        ("zone-0-underside", "low"),
        ("source_document", ""),
        ("source_date", "yesterday"),
        ("label", ""),
    ],
)
def test_what_cannot_stand_is_told_at_its_field_and_nothing_is_stored(
    client: TestClient, shop: Shop, field: str, text: str
) -> None:
    before = len(shop.workshop().vehicles)
    answer = client.post("/vehicles/store", data=TYPED | {field: text, "id": "kombi"})
    assert answer.status_code == 422
    assert f'data-field="{field}"' in answer.text
    assert re.search(rf'name="{field}"[^>]*aria-invalid="true"', answer.text)
    assert len(shop.workshop().vehicles) == before
    assert "Nachbars Kombi" in answer.text or field == "label"


def test_plausibility_is_told_while_half_the_form_is_empty(client: TestClient) -> None:
    said = client.post("/vehicles/check", data={"wheelbase": "260 in", "lf_up": "3 m"}).text
    assert 'data-odd="wheelbase"' in said and "cm written as inches" in said
    assert 'data-odd="lf_up"' in said
    assert "data-field" not in said  # what is still empty is no mistake yet


def test_no_complaint_comes_from_figures_nobody_typed(shop: Shop) -> None:
    blank = entry_check.checked(entry.new_form("Jorun", TODAY), whole=False)
    assert (blank.errors, blank.remarks, blank.complete) == ({}, (), False)
    for id in shop.workshop().vehicles:
        fields = entry.edit_form(shop, id, "", TODAY).fields
        for dropped in ("wheelbase", "lr_aft", "weighed_as"):
            form = entry.Form(entry.Base(), {**fields, dropped: ""})
            assert entry_check.checked(form, whole=False).remarks == (), (id, dropped)


def test_every_vehicle_of_the_sample_survives_its_form(client: TestClient, shop: Shop) -> None:
    for id, before in shop.workshop().vehicles.items():
        fields = form_in(client.get(f"/vehicles/new?edit={id}").text)
        answer = client.post("/vehicles/store", data=fields)
        assert answer.status_code == 303, (id, re.findall(r"data-field=.*", answer.text))
        assert shop.workshop().vehicle(id) == before
        assert shop.record("vehicle", id).version == 1


def test_a_changed_figure_gets_the_new_source_and_the_others_keep_theirs(
    client: TestClient, shop: Shop
) -> None:
    fields = form_in(client.get("/vehicles/new?edit=chandler-van").text)
    fields |= {
        "sill_height": "425 ± 5 mm",
        "source_kind": "measured here",
        "source_document": "Rule",
    }
    assert client.post("/vehicles/store", data=fields).status_code == 303
    record = shop.workshop().vehicle("chandler-van")
    assert record.source_of(record.sizes.sill_height).document == "Rule"
    assert record.source_of(record.sizes.wheelbase) == record.sources["manual"]
    assert len(record.components) == 3 and len(record.stand_places) == 2


def test_every_copied_figure_is_unverified_until_typed_or_checked(
    client: TestClient, shop: Shop
) -> None:
    page = client.get("/vehicles/new?copy=chandler-van").text
    fields = form_in(page)
    assert page.count("is-unverified") >= 40
    assert fields["label"] == "" and fields["rust_at_points"] == ""
    fields |= {
        "label": "Second van", "wheelbase": "3452 mm", "checked_length": "yes",
        "source_kind": "measured here", "source_document": "Tape",
    }  # fmt: skip
    assert client.post("/vehicles/store", data=fields).status_code == 303
    record = shop.workshop().vehicle("second-van")
    for figure in (record.sizes.wheelbase, record.sizes.length):
        assert record.source_of(figure).document == "Tape"
    others = (record.sizes.width, record.weights.front, record.point_sets[0].points[0].aft)
    for figure in (*others, record.zones[0].underside, record.components[0].mass):
        source = record.source_of(figure)
        assert (source.kind.value, source.document) == (
            "estimate", "copied from Chandler van, not verified",
        )  # fmt: skip
    assert "not verified" in client.get("/vehicles").text


def test_the_second_of_two_tablets_is_told_and_loses_nothing(
    client: TestClient, shop: Shop
) -> None:
    mine = form_in(client.get("/vehicles/new?edit=harbour-hatch").text)
    source = {"source_kind": "measured here", "source_document": "Tape"}
    theirs = mine | source | {"width": "1795 mm"}
    assert client.post("/vehicles/store", data=theirs).status_code == 303
    mine |= source | {"height": "1490 mm"}
    refused = client.post("/vehicles/store", data=mine)
    assert refused.status_code == 409
    assert "<td>1490 mm</td>" in refused.text and 'value="1490 mm"' in refused.text
    assert str(shop.workshop().vehicle("harbour-hatch").sizes.width) == "1795 mm"
    assert client.post("/vehicles/store", data=mine | {"over": "2"}).status_code == 303
    sizes = shop.workshop().vehicle("harbour-hatch").sizes
    assert (str(sizes.height), str(sizes.width)) == ("1490 mm", "1795 mm")  # theirs is kept


def test_a_taken_short_name_is_no_permission_to_overwrite(client: TestClient, shop: Shop) -> None:
    before = shop.workshop().vehicle("harbour-hatch")
    refused = client.post("/vehicles/store", data=TYPED | {"id": "harbour-hatch"})
    assert refused.status_code == 409
    assert shop.workshop().vehicle("harbour-hatch") == before


def test_a_draft_keeps_what_was_typed_and_goes_when_stored(client: TestClient, shop: Shop) -> None:
    half = {"label": "Half done", "wheelbase": "26", "lf_aft": "about 500"}
    where = client.post("/vehicles/draft", data=half).headers["location"]
    page = client.get(where).text
    assert 'value="about 500"' in page
    assert "Half done" in client.get("/vehicles").text
    fields = form_in(page)
    again = client.post("/vehicles/draft", data=fields | {"label": "Later"})
    assert again.status_code == 303
    lost = client.post("/vehicles/draft", data=fields)  # the first version's page, sent again
    assert lost.status_code == 409
    fields = form_in(client.get(where).text) | TYPED
    assert client.post("/vehicles/store", data=fields).status_code == 303
    assert entry.drafts(shop) == ()


def test_a_draft_is_thrown_away_once(client: TestClient, shop: Shop) -> None:
    client.post("/vehicles/draft", data={"label": "Gone"})
    draft = entry.drafts(shop)[0]
    sent = {"draft": draft.id, "draft_version": str(draft.version)}
    assert client.post("/vehicles/discard", data=sent).status_code == 303
    assert entry.drafts(shop) == ()
    assert client.post("/vehicles/discard", data=sent | {"draft_version": "x"}).status_code == 422


MARKS = {
    "front": (350, 450), "rear": (1000, 450), "left": (700, 250), "lf": (550, 300),
    "rf": (550, 600), "lr": (850, 300), "rr": (850, 600),
}  # fmt: skip
SENT = {f"{n}_{a}": str(p) for n, xy in MARKS.items() for a, p in zip("xy", xy, strict=True)} | {
    "wheelbase": "2600 ± 4 mm", "kind": "drawing", "click": "1", "document": "Body sheet",
}  # fmt: skip


def test_a_traced_diagram_becomes_points_with_tolerance_and_source(
    client: TestClient, shop: Shop
) -> None:
    page = client.post("/vehicles/trace", data=SENT).text
    assert re.search(r"800 ± \d+ mm", page) and "seen from below" in page
    where = client.post("/vehicles/trace", data=SENT | {"use": "yes"}).headers["location"]
    fields = form_in(client.get(where).text)
    assert re.fullmatch(r"800 ± \d+ mm", fields["lf_aft"])
    traced = {k: v for k, v in fields.items() if k[3:] in ("aft", "side") and k[:2] in MARKS}
    sent = TYPED | fields | {k: v for k, v in TYPED.items() if k not in traced} | traced
    sent |= {f"{c}_{k}": v for c in ("rf", "rr") for k, v in POINT.items()}
    sent.pop("mirrored")
    assert client.post("/vehicles/store", data=sent).status_code == 303
    record = shop.workshop().vehicle("nachbars-kombi")
    point = record.point_sets[0].points[0]
    assert record.source_of(point.aft).document == "Body sheet, traced from its diagram"
    assert record.source_of(point.up).document == "Tape"


@pytest.mark.parametrize(
    "wrong",
    [{"wheelbase": "2600"}, {"rr_x": ""}, {"lf_x": "nan"}, {"click": "-1"}, {"document": ""}],
)
def test_marks_that_cannot_be_worked_out_are_told(
    client: TestClient, wrong: dict[str, str]
) -> None:
    answer = client.post("/vehicles/trace", data=SENT | wrong)
    assert answer.status_code == 422
    assert 'role="alert"' in answer.text and 'value="350"' in answer.text


def test_nobody_named_stores_nothing(shop: Shop) -> None:
    stranger = client_of(shop, person="")
    assert stranger.post("/vehicles/store", data=TYPED).status_code == 403
    assert stranger.post("/vehicles/draft", data=TYPED).status_code == 403
    assert "nachbars-kombi" not in shop.workshop().vehicles


def test_a_page_of_another_server_stores_nothing(client: TestClient, shop: Shop) -> None:
    del client.headers["x-underset-token"]
    assert client.post("/vehicles/store", data=TYPED).status_code == 403
    assert "nachbars-kombi" not in shop.workshop().vehicles


def test_script_typed_into_a_field_is_shown_as_text(client: TestClient) -> None:
    evil = '"><script>alert(1)</script>'
    for data in ({"label": evil}, {"wheelbase": evil}, {"zone-0-kind": evil, "zone-0-from": evil}):
        for where in ("/vehicles/check", "/vehicles/store"):
            assert "<script>alert" not in client.post(where, data=data).text


def test_fields_the_form_does_not_have_are_not_kept(shop: Shop) -> None:
    sent = {
        "label": "x",
        "zone-99-kind": "tank",
        "__class__": "y",
        "zone-0-evil": "z",
        "checked_": "yes",
    }
    assert set(entry.sent_form(shop, sent).fields) == {"label"}


def test_use_cases_refuse_as_the_pages_do(shop: Shop) -> None:
    by = Actor("jorun", "test")
    form = entry.edit_form(shop, "pilot-coupe", "Jorun", TODAY)
    changed = entry.Form(form.base, {**form.fields, "notes": "new"})
    entry.store(shop, changed, by)
    with pytest.raises(ConflictError):
        entry.store(shop, entry.Form(form.base, {**form.fields, "notes": "other"}), by)
    with pytest.raises(InputErrors):
        entry.record_of(entry.Form(entry.Base(), {}))


@pytest.mark.parametrize("language", ["en", "de"])
def test_every_page_of_data_entry_speaks_both_languages(client: TestClient, language: str) -> None:
    client.cookies.set("underset-language", language)
    titles = {
        "/vehicles": "vehicles.title",
        "/vehicles/new": "entry.new",
        "/vehicles/trace": "trace.title",
        "/import": "import.title",
        "/sheets": "sheets.title",
        "/vehicles/new?copy=pilot-coupe": "entry.copy",
    }
    for address, title in titles.items():
        page = client.get(address).text
        assert f"<h1>{words_in(language)[title]}</h1>" in page
        assert f'<html lang="{language}"' in page


def test_drawing_holds_a_part_for_every_figure_that_is_drawn(client: TestClient) -> None:
    page = client.get("/vehicles/new").text
    for name in (
        "wheelbase",
        "track_front",
        "sill_height",
        "lf_aft",
        "rr_side",
        "lf_zone",
        "front_axle",
    ):
        assert f'data-key="{name}"' in page


def test_unknown_vehicles_and_drafts_are_not_found(client: TestClient) -> None:
    for address in ("/vehicles/no-such", "/vehicles/new?edit=no-such", "/vehicles/new?draft=x",
                    "/vehicles/trace?vehicle=no-such"):  # fmt: skip
        assert client.get(address).status_code == 404
