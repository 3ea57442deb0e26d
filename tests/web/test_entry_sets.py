"""Several sets of lifting points and every outline in the form: nothing lost, nothing altered."""

from __future__ import annotations

import re
from collections.abc import Iterator
from copy import deepcopy
from html import unescape
from typing import Any

import pytest
from fastapi.testclient import TestClient

from tests.web.test_entry import form_in
from tests.web_cases import TODAY, client_of, shop_in
from underset.app import Actor, Shop, entry, entry_check
from underset.errors import ConflictError, InputErrors
from underset.records import Vehicle, from_json, to_json

BY = Actor("jorun", "test")
POLYGON = [["500 mm", "300 mm"], ["1500 ± 5 mm", "350 mm"], ["1400 mm", "-300 mm"]]
# Three hundred corners on a parabola and one beside it: far too many for a form.
ARC = [[f"{500 + n}.25 mm", f"{n * n / 1000} mm"] for n in range(300)] + [["500 mm", "90 mm"]]


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shop]:
    with shop_in(tmp_path_factory.mktemp("sets")) as opened:
        data = to_json(opened.workshop().vehicle("harbour-hatch"))
        first = data["point_sets"][0]
        data["point_sets"].append({**deepcopy(first), "id": "second", "label": "Second set"})
        put(opened, "pair", data)
        yield opened


@pytest.fixture(scope="module")
def client(shop: Shop) -> TestClient:
    return client_of(shop)


def full(shop: Shop) -> dict[str, Any]:
    """A vehicle with everything a form could trip over, as plain data."""
    data = to_json(shop.workshop().vehicle("chandler-van"))
    sets = data["point_sets"]
    for n in range(len(sets), 10):
        sets.append({**deepcopy(sets[0]), "id": f"set-{n}", "label": f"Set {n}"})
    zones = data["zones"]
    for n in range(len(zones), 43):
        zones.append({**deepcopy(zones[0]), "id": f"more-{n}"})
    zones[1] = {**zones[1], "outline": POLYGON}
    zones[2] = {**zones[2], "outline": ARC}
    data["notes"] = "first line\n\tsecond\u200b line " + "x" * 500
    data["sizes"]["tyre_width"] = "not given: worn  off"
    data["intake"] = {"asked_by": "Tavi", "air_suspension_in_lift_mode": "not fitted"}
    data["sizes"]["height"] = {"value": "2500 ± 5 mm", "source": next(iter(data["sources"]))}
    return data


def put(shop: Shop, id: str, data: dict[str, Any]) -> Vehicle:
    with shop.store.write(BY) as tx:
        kept: Vehicle = tx.records.put(id, from_json(Vehicle, data), version=0).record
    return kept


def test_what_the_form_cannot_show_is_stored_as_it_was(client: TestClient, shop: Shop) -> None:
    before = put(shop, "full", full(shop))
    page = client.get("/vehicles/new?edit=full").text
    assert "6 entries that this form cannot show" in page  # 2 sets, 3 rows, 1 outline too long
    fields = form_in(page)
    assert client.post("/vehicles/store", data=fields).status_code == 303
    assert shop.workshop().vehicle("full") == before
    assert shop.record("vehicle", "full").version == 1
    source = {"source_kind": "measured here", "source_document": "Tape"}
    wider = fields | source | {"width": "2021 mm"}
    assert client.post("/vehicles/store", data=wider).status_code == 303
    after, old = to_json(shop.workshop().vehicle("full")), to_json(before)
    assert after["sizes"].pop("width")["value"] == "2021 mm"
    old["sizes"].pop("width")
    after["sources"].pop("entered-1")
    assert after == old


def form_of(shop: Shop, id: str) -> entry.Form:
    return entry.edit_form(shop, id, "Jorun", TODAY)


def after(form: entry.Form, wish: str, **fields: str) -> entry.Form:
    """The form after a press of one of the buttons, then with other fields."""
    from underset.app import entry_sets

    changed = entry_sets.changed(form.fields, form.base.data, wish)
    return entry.Form(form.base, {**changed, **fields})


TOLD = {"source_kind": "measured here", "source_document": "Tape"}


def test_a_second_set_is_edited_and_the_first_stays(shop: Shop) -> None:
    form = form_of(shop, "pair")
    before = shop.workshop().vehicle("pair")
    assert [s.number for s in form.slots] == list(range(len(before.point_sets)))
    changed = {"set-1-lf_aft": "777 ± 3 mm", "set-1-mirrored": "no", **TOLD}
    record = entry.record_of(entry.Form(form.base, {**form.fields, **changed}))
    assert record.point_sets[0] == before.point_sets[0]
    point = record.point_sets[1].points[0]
    assert (str(point.aft), record.source_of(point.aft).document) == ("777 ± 3 mm", "Tape")
    assert point.side == before.point_sets[1].points[0].side


def test_a_copied_set_keeps_the_sources_of_its_figures(shop: Shop) -> None:
    form = form_of(shop, "pilot-coupe")
    before = shop.workshop().vehicle("pilot-coupe")
    count = len(before.point_sets)
    name = f"set-{count}-points_label"
    record = entry.record_of(after(form, "copy-0", **{name: "With the long pads"}))
    assert len(record.point_sets) == count + 1
    assert record.point_sets[:count] == before.point_sets
    assert record.point_sets[count].points == before.point_sets[0].points
    assert record.point_sets[count].id not in [p.id for p in before.point_sets]
    assert record.sources == before.sources


def test_a_set_is_taken_out_but_never_the_last(shop: Shop) -> None:
    form = form_of(shop, "pair")
    before = shop.workshop().vehicle("pair")
    record = entry.record_of(after(form, "remove-0"))
    assert record.point_sets == before.point_sets[1:]
    for slot in form.slots:
        form = after(form, f"remove-{slot.number}")
    assert len(form.slots) == 1


def test_an_added_set_says_what_it_needs_at_its_own_fields(shop: Shop) -> None:
    form = after(form_of(shop, "pilot-coupe"), "add")
    new = form.slots[-1].number
    assert form.text(f"set-{new}-mirrored") == "yes"
    found = entry_check.checked(form, whole=True).errors
    assert f"set-{new}-lf_aft" in found and "lf_aft" not in found
    assert entry_check.checked(form, whole=False).errors == {}
    wrong = entry.Form(form.base, {**form.fields, f"set-{new}-lf_up": "3 m"})
    remarks = entry_check.checked(wrong, whole=False).remarks
    assert f"set-{new}-lf_up" in [r.name for r in remarks]


@pytest.mark.parametrize("wish", ["", "add-1", "copy-9", "remove-x", "drop-0", "copy", "remove-77"])
def test_other_wishes_change_nothing_that_is_there(shop: Shop, wish: str) -> None:
    form = form_of(shop, "pilot-coupe")
    assert set(form.slots) <= set(after(form, wish).slots)


def test_hostile_slots_are_no_slots(shop: Shop) -> None:
    form = form_of(shop, "pilot-coupe")
    for text in ("99:0", "-1:0", "0:99", "a:b", "0:0 " * 300, "0"):
        slots = entry.Form(form.base, {**form.fields, "sets": text}).slots
        assert 1 <= len(slots) <= 8
        assert all(s.origin is None or s.origin < 10 for s in slots)


def test_buttons_of_the_page_work_without_a_script(client: TestClient, shop: Shop) -> None:
    fields = form_in(client.get("/vehicles/new?edit=pilot-coupe").text)
    page = client.post("/vehicles/sets", data=fields | {"set_do": "copy-0"}).text
    copied = form_in(page)
    new = copied["sets"].split()[-1].partition(":")[0]
    assert copied[f"set-{new}-lf_aft"] == fields["lf_aft"]
    assert client.post("/vehicles/store", data=copied).status_code == 303
    sets = shop.workshop().vehicle("pilot-coupe").point_sets
    assert sets[-1].points == sets[0].points
    back = form_in(client.get("/vehicles/new?edit=pilot-coupe").text)
    back = form_in(client.post("/vehicles/sets", data=back | {"set_do": f"remove-{new}"}).text)
    assert client.post("/vehicles/store", data=back).status_code == 303
    assert shop.workshop().vehicle("pilot-coupe").point_sets == sets[:-1]


def test_an_outline_is_typed_corner_by_corner(shop: Shop) -> None:
    form = form_of(shop, "harbour-hatch")
    before = shop.workshop().vehicle("harbour-hatch").zones or ()
    edges = {f"zone-0-{edge}": "" for edge in ("from", "to", "left", "right")}
    outline = "500 mm, 300 mm;\n1500 mm, 350 mm;\n1400 mm, -300 mm;"
    sent = {**form.fields, **TOLD, **edges, "zone-0-outline": outline, "base_mode": "edit",
            "base_id": "harbour-hatch", "base_version": "1"}  # fmt: skip
    record = entry.record_of(entry.sent_form(shop, sent))
    assert record.zones is not None
    corners = [(str(a), str(s)) for a, s in record.zones[0].outline]
    assert corners == [("500 mm", "300 mm"), ("1500 mm", "350 mm"), ("1400 mm", "-300 mm")]
    assert record.source_of(record.zones[0].outline[0][0]).document == "Tape"
    assert record.zones[1:] == before[1:]
    drawn = entry_check.drawing(entry.sent_form(shop, sent), {"title": "", "told": "", "front": "",
                                                               "left": ""})  # fmt: skip
    assert drawn.count("<svg") == 1


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"zone-0-outline": "500 mm, 300 mm; 1 m, 2 m; 3 m, 1 m"}, "zone-0-outline"),  # and edges
        ({"zone-7-outline": "500 mm"}, "zone-7-outline"),
        ({"zone-7-outline": "1 m, 2 m, 3 m; 1 m, 1 m; 2 m, 2 m"}, "zone-7-outline"),
        ({"zone-7-outline": "1 m, 2; 1 m, 1 m; 2 m, 2 m"}, "zone-7-outline"),
        ({"zone-7-outline": "1 m, 2 m; 1 m, 1 m"}, "zone-7-outline"),
        ({"zone-7-underside": "100 mm", "zone-7-from": "1"}, "zone-7-from"),
    ],
)
def test_outlines_that_cannot_stand_are_told_at_their_row(
    shop: Shop, typed: dict[str, str], field: str
) -> None:
    form = form_of(shop, "harbour-hatch")
    with pytest.raises(InputErrors) as caught:
        entry.record_of(entry.Form(form.base, {**form.fields, **TOLD, **typed}))
    assert field in [e.field for e in caught.value.errors]


def test_over_a_newer_version_keeps_their_lists_or_says_that_it_cannot(shop: Shop) -> None:
    put(shop, "shared", to_json(shop.workshop().vehicle("harbour-hatch")))
    mine = form_of(shop, "shared")
    theirs = entry.Form(
        mine.base, {**mine.fields, **TOLD, "zone-0-underside": "190 mm", "door-0-length": "901 mm"}
    )
    entry.store(shop, theirs, BY)
    hidden = {"base_mode": "edit", "base_id": "shared", "base_version": "1", "over": "2"}
    sent = {**mine.fields, **TOLD, **hidden}
    merged = entry.record_of(entry.sent_form(shop, sent | {"height": "1490 mm"}))
    assert merged.zones is not None and merged.doors is not None
    assert (str(merged.zones[0].underside), str(merged.sizes.height)) == ("190 mm", "1490 mm")
    with pytest.raises(ConflictError):
        entry.sent_form(shop, sent | {"zone-1-underside": "150 mm"})
    lids = entry.record_of(entry.sent_form(shop, sent | {"lid-0-open_height": "1.9 m"})).lids
    assert lids is not None and str(lids[0].open_height) == "1.9 m"


GERMAN = {"underset-language": "de"}
BAD = (
    {"wheelbase": "2600"}, {"wheelbase": "2600 kg"}, {"lr_up": "-3 mm"}, {"front_axle": "lots"},
    {"lf_contact": "goodwill"}, {"source_date": "yesterday"}, {"label": ""}, {"wheelbase": "900 m"},
    {"wheelbase": "260 in"}, {"front_axle": "500 kg", "rear_axle": "790 kg"},
    {"front_axle": "760 lb", "rear_axle": "520 lb", "height": "1500 mm"}, {"lf_side": "-710 mm"},
    {"track_front": "1900 mm"}, {"zone-0-underside": "low"}, {"zone-0-from": "-9 m"},
    {"zone-1-outline": "1 m"}, {"width_mirrors": "1.6 m"}, {"body_twist_low": "5 N m/deg"},
    {"cg_height": "1.4 m", "height": "1.5 m"}, {"lr_aft": "300 mm"}, {"id": "A B"},
    {"wheelbase": "2600 mm ± 3 in"}, {"rf_up": "3 m", "mirrored": "no"},
    {"lid-0-kind": "bonnet", "lid-0-open_height": "9 m", "lid-0-open_aft": "1 m"},
)  # fmt: skip
# Words that no German sentence holds.
ENGLISH = re.compile(
    r"\b(the|is|of|with|and|or|not|this|that|unit|units|such|written|measure|again|swapped|allowed|"
    r"are|figure|greater|received|needed|likely|vehicle|axles?|wheelbase|between|than|corner|one)\b"
)


def told_in(page: str) -> str:
    lines = re.findall(r'<p class="(?:stops|watch) saidline".*?</p>|<p class="say".*?</p>', page)
    return unescape(re.sub(r"<[^>]+>", " ", " ".join(lines)))


@pytest.mark.parametrize("bad", BAD, ids=lambda b: ",".join(b))
def test_german_refuses_and_doubts_in_german(client: TestClient, bad: dict[str, str]) -> None:
    from tests.web.test_entry import TYPED

    client.cookies.update(GERMAN)
    page = client.post("/vehicles/check", data=TYPED | bad).text
    if "saidline" not in page:
        page = client.post("/vehicles/store", data=TYPED | bad).text
    client.cookies.delete("underset-language")
    text = told_in(page)
    assert text.strip(), bad
    for typed in bad.values():
        text = text.replace(typed, "")
    assert ENGLISH.findall(text.lower()) == []
    assert 'lang="en"' not in page


@pytest.mark.parametrize("address", ["/vehicles/nope", "/nope", "/import?kind=x", "/sheets/x.pdf"])
def test_german_error_pages_are_german_and_the_api_is_not(client: TestClient, address: str) -> None:
    client.cookies.update(GERMAN)
    page = client.get(address).text
    told = client.get(f"/api/v1/records/vehicle/{address.strip('/')}").json()
    client.cookies.delete("underset-language")
    text = unescape(re.sub(r"<[^>]+>", " ", page.partition("<main")[2].partition("<footer")[0]))
    assert ENGLISH.findall(text.lower().replace("vehicle", "")) == []
    assert set(told["error"]) == {"kind", "field", "received", "allowed", "remedy", "message"}
