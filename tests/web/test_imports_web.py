"""Tables sent to the bay app: looked at, taken in whole or not at all, hostile ones refused."""

from __future__ import annotations

import io
import re
import zipfile
from dataclasses import replace
from typing import Any

import pytest
from fastapi.testclient import TestClient

from tests.web_cases import PERSON, client_of
from underset.app import Actor, Shop, imports
from underset.errors import ConflictError
from underset.records import write_table

HEADER = (
    "id,label,wheelbase [mm],weighed_as,front_axle [kg],rear_axle [kg],mirrored,"
    "lf_aft [mm],lf_side [mm],lf_up [mm],lf_contact,lf_along [mm],lf_across [mm],"
    "lr_aft [mm],lr_side [mm],lr_up [mm],lr_contact,lr_along [mm],lr_across [mm],"
    "source_kind,source_document"
)
ROW = (
    "{id},{label},{wheelbase},empty,760,520,yes,560,710,220,flat boss,40,30,"
    "1900,705,225,flat boss,40,30,maker's document,Data sheet"
)


def table(*rows: dict[str, Any]) -> str:
    usual = {"id": "kombi", "label": "Kombi", "wheelbase": "2600"}
    return "\n".join([HEADER, *(ROW.format(**usual | row) for row in rows or ({},))])


def look(
    client: TestClient, content: str | bytes, name: str = "t.csv", kind: str = "vehicle"
) -> Any:
    data = content.encode() if isinstance(content, str) else content
    return client.post("/import", data={"kind": kind}, files={"file": (name, data)})


def key_in(page: str) -> str:
    found = re.search(r'name="key" value="([0-9a-f]{32})"', page)
    assert found
    return found.group(1)


def test_a_table_is_looked_at_first_and_then_taken_in(client: TestClient, shop: Shop) -> None:
    seen = look(client, table({}, {"id": "kombi-2", "label": "Kombi 2"}))
    assert seen.status_code == 200 and seen.text.count("<strong>new</strong>") == 2
    assert "kombi" not in shop.workshop().vehicles
    taken = client.post("/import/take", data={"key": key_in(seen.text)})
    assert "2 records taken in" in taken.text
    record = shop.workshop().vehicle("kombi-2")
    assert record.source_of(record.sizes.wheelbase).document == "Data sheet"
    assert client.get("/plan?vehicle=kombi").status_code == 200


def test_one_bad_row_and_nothing_is_taken_in(client: TestClient, shop: Shop) -> None:
    rows = [{"id": f"car-{n}"} for n in range(5)]
    rows[2]["wheelbase"], rows[4]["id"] = "long", "Bad Id"
    seen = look(client, table(*rows))
    assert seen.status_code == 422
    assert "t.csv, row 4" in seen.text and "t.csv, row 6" in seen.text
    assert 'name="key"' not in seen.text
    assert "car-0" not in shop.workshop().vehicles


def test_what_looks_odd_is_told_and_not_refused(client: TestClient) -> None:
    seen = look(client, table({"wheelbase": "6600"}))
    assert seen.status_code == 200
    assert "wheelbase of a road vehicle" in seen.text


def test_a_row_over_a_record_on_file_leaves_what_it_does_not_say(
    client: TestClient, shop: Shop
) -> None:
    before = shop.workshop().vehicle("chandler-van")
    text = "id,label,weighed_as,source_kind,source_document,wheelbase [mm]"
    point = "".join(
        f",{c}_{n}"
        for c in ("lf", "lr")
        for n in ("aft", "side", "up", "contact", "along", "across")
    )
    values = "".join(
        f",{p.aft},{p.side},{p.up},{p.contact.value},{p.along},{p.across}"
        for p in before.point_sets[0].points[::2]
    )
    row = (
        f"chandler-van,Chandler van,{before.weights.state.replace(',', '')},measured here,Tape,3460"
    )
    seen = look(client, f"{text}{point},mirrored\n{row}{values},yes")
    assert "changes what is on file" in seen.text, re.findall(r"<tr>.*", seen.text)[:5]
    client.post("/import/take", data={"key": key_in(seen.text)})
    after = shop.workshop().vehicle("chandler-van")
    assert str(after.sizes.wheelbase) == "3460 mm"
    assert after.source_of(after.sizes.wheelbase).document == "Tape"
    assert after.source_of(after.point_sets[0].points[0].aft) == before.sources["manual"]
    assert (after.zones, after.doors, after.components) == (
        before.zones,
        before.doors,
        before.components,
    )


@pytest.mark.parametrize(
    ("kind", "place"), [("vehicle", "vehicles"), ("adapter", "adapters"), ("lift", "bays")]
)
def test_a_table_of_what_is_on_file_changes_nothing(shop: Shop, kind: str, place: str) -> None:
    records = getattr(shop.workshop(), place)
    seen = imports.preview(shop, kind, write_table(kind, records).encode(), "t.csv")
    assert seen.wrong == ()
    assert {line.change for line in seen.lines} == {"same"}
    assert not seen.useful
    assert imports.take_in(shop, seen, Actor(PERSON, "")) == 0


def test_a_change_without_a_source_is_refused(client: TestClient, shop: Shop) -> None:
    records = {"chandler-van": shop.workshop().vehicle("chandler-van")}
    seen = look(client, write_table("vehicle", records).replace("3450 ± 4", "3460 ± 4"))
    assert seen.status_code == 422 and "source_document" in seen.text


def test_a_record_changed_after_the_look_is_not_overwritten(shop: Shop) -> None:
    by = Actor(PERSON, "")
    seen = imports.preview(shop, "vehicle", table().encode(), "t.csv")
    imports.take_in(shop, seen, by)
    before = shop.workshop().vehicle("kombi")
    with pytest.raises(ConflictError):
        changes = tuple(
            replace(c, record=c.record.model_copy(update={"label": "x"})) for c in seen.changes
        )
        imports.take_in(shop, replace(seen, changes=changes), by)
    assert shop.workshop().vehicle("kombi") == before


def test_a_look_serves_once_and_only_the_one_who_looked(client: TestClient, shop: Shop) -> None:
    key = key_in(look(client, table()).text)
    assert client_of(shop, person="tavi").post("/import/take", data={"key": key}).status_code == 409
    assert client.post("/import/take", data={"key": key}).status_code == 409
    assert "kombi" not in shop.workshop().vehicles


def test_few_looks_are_held() -> None:
    held, seen = imports.Held(), imports.Preview("vehicle", (), ())
    keys = [held.hold(seen, "p") for _ in range(12)]
    with pytest.raises(ConflictError):
        held.take(keys[0], "p")
    assert held.take(keys[-1], "p") is seen


def workbook(**parts: bytes) -> bytes:
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as pack:
        for name, content in parts.items():
            pack.writestr(name.replace("__", "/").replace("_", "."), content)
    return made.getvalue()


HOSTILE = {
    "formula": ("t.csv", table({"label": '=HYPERLINK("http://x")'}).encode()),
    "command": ("t.csv", table({"label": "@SUM(1+1)*cmd|' /C calc'!A0"}).encode()),
    "zip bomb": ("t.xlsx", workbook(xl__workbook_xml=b"0" * 70_000_000)),
    "no workbook": ("t.xlsx", b"PK\x03\x04" + b"\0" * 200),
    "binary": ("t.csv", bytes(range(256)) * 20),
    "picture": ("t.csv", b"\x89PNG\r\n\x1a\n" + b"\0" * 100),
    "macros": ("t.xlsx", workbook(xl__vbaProject_bin=b"x", xl__workbook_xml=b"<workbook/>")),
    "path name": ("../../etc/passwd.csv", table().encode()),
    "script in name": ("<script>alert(1)</script>.csv", table().encode()),
    "wrong ending": ("t.exe", table().encode()),
    "nothing": ("t.csv", b""),
}


@pytest.mark.parametrize("case", HOSTILE)
def test_hostile_files_are_refused(client: TestClient, shop: Shop, case: str) -> None:
    name, content = HOSTILE[case]
    answer = look(client, content, name)
    assert answer.status_code == 422
    assert "<script>alert" not in answer.text
    assert "kombi" not in shop.workshop().vehicles


def test_script_in_a_cell_is_shown_as_text(client: TestClient) -> None:
    seen = look(client, table({"label": "<script>alert(1)</script>"}))
    assert "<script>alert" not in seen.text
    assert "&lt;script&gt;" in seen.text


def test_an_oversized_file_is_refused(client: TestClient) -> None:
    assert look(client, b"a" * 10_000_001).status_code == 422
    assert look(client, b"a" * 12_500_000).status_code == 413


def test_no_file_an_unknown_kind_and_a_stranger_are_refused(client: TestClient, shop: Shop) -> None:
    assert client.post("/import", data={"kind": "vehicle"}).status_code == 422
    assert look(client, table(), kind="boat").status_code == 422
    assert client.get("/import?kind=boat").status_code == 422
    assert look(client_of(shop, person=""), table()).status_code == 403


@pytest.mark.parametrize("kind", ["vehicle", "adapter", "lift"])
def test_the_empty_table_has_every_column_and_no_row(client: TestClient, kind: str) -> None:
    answer = client.get(f"/import/empty-{kind}.csv")
    assert answer.status_code == 200 and "attachment" in answer.headers["content-disposition"]
    header = answer.text.strip().split("\n")
    assert len(header) == 1
    assert [h.split(" [")[0] for h in header[0].split(",")] == [
        c.name for c in imports.columns(kind)
    ]


@pytest.mark.parametrize("kind", ["vehicle", "lift", "shelf"])
def test_sheets_are_served(client: TestClient, kind: str) -> None:
    assert client.get(f"/sheets/{kind}.pdf").content.startswith(b"%PDF-")
    page = client.get(f"/sheets/{kind}.html")
    assert page.status_code == 200 and "unsafe-inline" in page.headers["content-security-policy"]
    assert client.get(f"/sheets/{kind}.exe").status_code == 422
    assert client.get("/sheets/boat.pdf").status_code == 422
