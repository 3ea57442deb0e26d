"""Files that are wrong, huge or hostile are refused before anything in them is used."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Callable
from datetime import date, datetime
from pathlib import Path

import openpyxl
import pytest

from underset.errors import InputError, InputErrors
from underset.records import sheets
from underset.records.bulk import read_table
from underset.records.sheets import csv_text, read_sheet, safe_name

HEADER = [
    "id",
    "label",
    "role",
    "below",
    "height [mm]",
    "rating [kg]",
    "maker_rated",
    "inspected",
    "count",
]
ROW = ["pad-a", "Pad A", "head", "pin-60", 60, 1500.0, True, date(2026, 3, 17), 8]


def workbook(*rows: list[object], edit: Callable[[openpyxl.Workbook], None] | None = None) -> bytes:
    """A workbook of one sheet as a program would save it."""
    book = openpyxl.Workbook()
    for row in rows:
        book.active.append(row)
    if edit:
        edit(book)
    saved = io.BytesIO()
    book.save(saved)
    return saved.getvalue()


def repacked(content: bytes, change: Callable[[dict[str, bytes]], None]) -> bytes:
    """The same package with parts changed, added or taken out."""
    with zipfile.ZipFile(io.BytesIO(content)) as package:
        parts = {name: package.read(name) for name in package.namelist()}
    change(parts)
    saved = io.BytesIO()
    with zipfile.ZipFile(saved, "w", zipfile.ZIP_DEFLATED) as package:
        for name, part in parts.items():
            package.writestr(name, part)
    return saved.getvalue()


NOON = datetime.fromisoformat("2026-01-02T12:00")
GOOD = workbook(HEADER, ROW)


def refused(content: bytes, words: str, name: str = "shelf.xlsx") -> None:
    with pytest.raises(InputError, match=words):
        read_table("adapter", content, name)


# --- workbooks that are as they should be ---------------------------------------------------------


def test_a_workbook_reads_like_the_same_table_as_text() -> None:
    cells = ["pad-a", "Pad A", "head", "pin-60", "60", "1500", "yes", "2026-03-17", "8"]
    text = csv_text([HEADER, cells])
    assert read_table("adapter", GOOD, "Shelf.XLSX") == read_table(
        "adapter", text.encode(), "a.csv"
    )


def test_a_workbook_on_disk(tmp_path: Path) -> None:
    (tmp_path / "shelf.xlsx").write_bytes(GOOD)
    assert list(read_table("adapter", tmp_path / "shelf.xlsx")) == ["pad-a"]


def test_cells_of_every_type_become_text() -> None:
    row = [1, 2.5, 1 / 3, True, False, None, date(2026, 1, 2), NOON, " x ", 1e20]
    (found,) = read_sheet(workbook(row), "a.xlsx")
    assert found.cells == (
        "1", "2.5", "0.333333333333", "yes", "no", "", "2026-01-02", "", "x", "1e+20",
    )  # fmt: skip
    assert [(error.field, error.allowed) for error in found.wrong] == [
        ("7", "a text, a number or a day")
    ]


def test_rows_keep_the_numbers_that_people_see() -> None:
    found = read_sheet(workbook(HEADER, [], [], ROW), "a.xlsx")
    assert [row.number for row in found] == [1, 4]
    found = read_sheet(b'a,b\n\n"x\ny",c\nlast,d\n', "a.csv")
    assert [row.number for row in found] == [1, 3, 5]


def test_the_sheet_named_for_the_records_is_taken_of_several() -> None:
    def edit(book: openpyxl.Workbook) -> None:
        book.active.title = "adapter"
        book.create_sheet("notes").append(["anything"])

    assert list(read_table("adapter", workbook(HEADER, ROW, edit=edit), "a.xlsx")) == ["pad-a"]
    with pytest.raises(InputError, match="a sheet named 'lift'"):
        read_table("lift", workbook(HEADER, ROW, edit=edit), "a.xlsx")


def test_a_sheet_that_lies_about_its_size_is_read_as_it_is() -> None:
    def change(parts: dict[str, bytes]) -> None:
        sheet = parts["xl/worksheets/sheet1.xml"]
        assert b'ref="A1:I2"' in sheet
        parts["xl/worksheets/sheet1.xml"] = sheet.replace(b'ref="A1:I2"', b'ref="A1:XFD1048576"')

    assert list(read_table("adapter", repacked(GOOD, change), "a.xlsx")) == ["pad-a"]


# --- formulas -------------------------------------------------------------------------------------


@pytest.mark.parametrize("formula", ["=1+1", '=HYPERLINK("http://x","y")', "=cmd|' /C calc'!A0"])
def test_a_formula_in_a_workbook_is_named_and_not_worked_out(formula: str) -> None:
    row = [*ROW[:1], formula, *ROW[2:]]
    with pytest.raises(InputErrors) as told:
        read_table("adapter", workbook(HEADER, row), "a.xlsx")
    (error,) = told.value.errors
    assert (error.place, error.field) == ("a.xlsx, row 2", "label")
    assert "a formula" in error.message


def test_an_error_cell_is_no_figure() -> None:
    with pytest.raises(InputErrors, match="height"):
        read_table("adapter", workbook(HEADER, [*ROW[:4], "#DIV/0!", *ROW[5:]]), "a.xlsx")


RISKY = ["=1+1", "+1+1", "-1+1", "@x", "\t=1", "\r=1", "'=1", "''x", "=", "@"]


@pytest.mark.parametrize("cell", RISKY)
def test_a_risky_cell_is_written_with_an_apostrophe(cell: str) -> None:
    assert csv_text([["a", cell]]).partition(",")[2].lstrip('"').startswith("'")


@pytest.mark.parametrize("cell", ["-1.5", "+2", "1e-3", "text", "", "a=b", "5 - 3"])
def test_a_harmless_cell_is_written_as_it_is(cell: str) -> None:
    assert csv_text([[cell, "x"]]) == f"{cell},x\r\n"


@pytest.mark.parametrize("cell", [c for c in RISKY if c.isprintable()])
def test_what_was_written_with_an_apostrophe_reads_as_it_was(cell: str) -> None:
    (row,) = read_sheet(csv_text([["a", cell]]).encode(), "a.csv")
    assert row.cells == ("a", cell)


# --- packages that are not what they should be ----------------------------------------------------


def test_a_package_that_unpacks_beyond_reason(monkeypatch: pytest.MonkeyPatch) -> None:
    def change(parts: dict[str, bytes]) -> None:
        parts["xl/media/zeros.bin"] = bytes(sheets.LARGEST_UNPACKED)

    bomb = repacked(GOOD, change)
    assert len(bomb) < 100_000
    monkeypatch.setattr(zipfile.ZipFile, "read", lambda *_: pytest.fail("it was unpacked"))
    refused(bomb, "bytes unpacked")


def test_a_package_that_lies_about_what_it_unpacks_to() -> None:
    """The directory of the package says little, the part holds much: no more than said is read."""

    def change(parts: dict[str, bytes]) -> None:
        parts["xl/worksheets/sheet1.xml"] = b"<x>" + b" " * 3_000_000 + b"</x>"

    bomb = bytearray(repacked(GOOD, change))
    size = (3_000_007).to_bytes(4, "little")
    assert bomb.count(size) == 2
    refused(bytes(bomb.replace(size, (100).to_bytes(4, "little"))), "damaged")


def test_a_package_of_too_many_parts() -> None:
    refused(repacked(GOOD, lambda p: p.update({f"x/{n}": b"" for n in range(600)})), "parts")


PARTS = {
    "a part outside": ("../../../etc/cron.d/x.xml", b"<x/>"),
    "a part at the root of the disk": ("/etc/x.xml", b"<x/>"),
    "a part on a drive": ("C:/x.xml", b"<x/>"),
    "a part with the other slash": ("xl\\..\\..\\x.xml", b"<x/>"),
    "macros": ("xl/vbaProject.bin", b"\xd0\xcf\x11\xe0"),
    "links to other files": ("xl/externalLinks/externalLink1.xml", b"<x/>"),
    "an embedded file": ("xl/embeddings/oleObject1.bin", b"x"),
    "a control": ("xl/activeX/activeX1.xml", b"<x/>"),
    "a connection": ("xl/connections.xml", b"<x/>"),
    "a document type": ("xl/extra.xml", b'<?xml version="1.0"?><!DOCTYPE x [<!ENTITY a "b">]><x/>'),
    "one in sixteen bits": ("xl/extra.xml", '<!DOCTYPE x [<!ENTITY a "b">]><x/>'.encode("utf-16")),
    "one in small letters": ("xl/extra.xml", b'<!doctype x SYSTEM "file:///etc/passwd"><x/>'),
}


@pytest.mark.parametrize("what", PARTS)
def test_a_package_with(what: str) -> None:
    name, part = PARTS[what]
    refused(repacked(GOOD, lambda parts: parts.update({name: part})), "a workbook")


def test_a_billion_laughs_in_the_sheet_itself() -> None:
    entities = "".join(f'<!ENTITY a{n} "{f"&a{n - 1};" * 10}">' for n in range(1, 10))

    def change(parts: dict[str, bytes]) -> None:
        text = f'<?xml version="1.0"?><!DOCTYPE x [<!ENTITY a0 "ha">{entities}]><x>&a9;</x>'
        parts["xl/worksheets/sheet1.xml"] = text.encode()

    refused(repacked(GOOD, change), "document types")


def test_two_parts_of_one_name() -> None:
    saved = io.BytesIO(GOOD)
    with pytest.warns(UserWarning, match="Duplicate"), zipfile.ZipFile(saved, "a") as package:
        package.writestr("xl/workbook.xml", b"<x/>")
    refused(saved.getvalue(), "two parts of one name")


@pytest.mark.parametrize(
    "part", ["xl/workbook.xml", "xl/worksheets/sheet1.xml", "[Content_Types].xml"]
)
@pytest.mark.parametrize("content", [b"", b"<x", b"<x/>", b"\xff\xfe\x00"])
def test_a_workbook_with_a_damaged_part(part: str, content: bytes) -> None:
    refused(repacked(GOOD, lambda parts: parts.update({part: content})), ".")


@pytest.mark.parametrize(
    "part", ["xl/workbook.xml", "xl/worksheets/sheet1.xml", "[Content_Types].xml"]
)
def test_a_workbook_with_a_part_left_out(part: str) -> None:
    refused(repacked(GOOD, lambda parts: parts.pop(part)), ".")


@pytest.mark.parametrize("cut", [10, 100, 1000, -1, -30])
def test_a_workbook_cut_short(cut: int) -> None:
    refused(GOOD[:cut], ".")


def test_a_package_under_a_password() -> None:
    locked = bytearray(GOOD)
    for mark, at in ((b"PK\x03\x04", 6), (b"PK\x01\x02", 8)):
        start = locked.find(mark)
        while start >= 0:
            locked[start + at] |= 1
            start = locked.find(mark, start + 1)
    refused(bytes(locked), "locked package")


# --- sizes ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["a.csv", "a.xlsx"])
def test_a_file_beyond_reason(name: str) -> None:
    refused(b"PK\x03\x04" + b"x" * sheets.LARGEST_FILE, "bytes", name)


def test_more_rows_than_a_table_has(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sheets, "MOST_ROWS", 5)
    refused(workbook(HEADER, *[ROW] * 6), "at most 5 rows")
    refused(b"a\n" + b"b\n" * 6, "at most 5 rows", "a.csv")
    assert len(read_sheet(b"a\n" + b"b\n" * 5, "a.csv")) == 6


def test_more_cells_than_a_table_has(monkeypatch: pytest.MonkeyPatch) -> None:
    """Found by files made to hurt: a small package of millions of cells took half a minute."""
    monkeypatch.setattr(sheets, "MOST_CELLS", 5)
    refused(workbook(["id", "label"], ["a", "b"], ["c", "d"]), "at most 5 cells")
    with pytest.raises(InputError, match="at most 5 cells"):
        read_sheet(b"id,label\na,b\nc,d\n", "shelf.csv")


def test_a_row_of_empty_cells_without_end(monkeypatch: pytest.MonkeyPatch) -> None:
    """Found by files made to hurt: they were read one by one, and left out in the end."""
    monkeypatch.setattr(sheets, "_FAR", 30)
    assert len(read_sheet(b"id,label\na,b" + b"," * 20, "shelf.csv")) == 2
    with pytest.raises(InputError, match="42 columns"):
        read_sheet(b"id,label\na,b" + b"," * 40, "shelf.csv")


def test_a_billion_laughs_in_a_part_that_calls_itself_a_picture() -> None:
    def moved(parts: dict[str, bytes]) -> None:
        sheet = parts.pop("xl/worksheets/sheet1.xml")
        parts["xl/media/image1.dat"] = b"<!DOCTYPE x [<!ENTITY a 'a'>]>" + sheet
        for name in ("xl/_rels/workbook.xml.rels", "[Content_Types].xml"):
            parts[name] = parts[name].replace(b"worksheets/sheet1.xml", b"media/image1.dat")

    refused(repacked(workbook(["id"], ["a"]), moved), "without document types")


def test_a_cell_at_the_far_end_of_a_sheet_does_not_fill_the_memory() -> None:
    def edit(book: openpyxl.Workbook) -> None:
        book.active["A1048576"] = "x"

    refused(workbook(HEADER, edit=edit), "more rows")


def test_more_columns_than_a_table_has() -> None:
    def edit(book: openpyxl.Workbook) -> None:
        book.active["XFD1"] = "x"

    refused(workbook(HEADER, edit=edit), ".")
    refused(b",".join([b"a"] * 251), "251 columns", "a.csv")


# --- text that is none ----------------------------------------------------------------------------

TEXTS = {
    "bytes": bytes(range(256)),
    "zeros": b"id,label\0\n",
    "other encoding": "id,größe\n".encode("latin-1"),
    "sixteen bits": "id,label\n".encode("utf-16"),
    "a bell": b"id,label\a\n",
    "an open quote": b'id,"label\n',
    "a quote inside": b'id,"la"bel"\n',
    "a cell without end": b"id," + b"x" * 200_000,
    "a workbook by another name": GOOD,
    "an old workbook": b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(500),
    "a picture": b"\x89PNG\r\n\x1a\n" + bytes(50),
    "a program": b"\x7fELF" + bytes(50),
}


@pytest.mark.parametrize("what", TEXTS)
def test_text_that_is(what: str) -> None:
    refused(TEXTS[what], ".", "a.csv")


@pytest.mark.parametrize("name", ["a.xls", "a.txt", "a", "a.csv.exe", "a.xlsm", "a.ods"])
def test_a_file_of_another_kind(name: str) -> None:
    refused(b"id,label\n", "comma-separated text", name)


@pytest.mark.parametrize(
    "name",
    [
        "../a.csv", "/etc/a.csv", "..\\a.csv", "C:a.csv", "a/b.csv", ".a.csv", "", "a\n.csv",
        "a\0.csv", "x" * 300 + ".csv", "<script>.csv", "a|b.csv", "\u202ecsv.a", "con:.csv",
    ],
)  # fmt: skip
def test_a_name_that_is_no_plain_name(name: str) -> None:
    with pytest.raises(InputError, match="plain name"):
        safe_name(name)
    refused(b"id\n", "plain name", name)


@pytest.mark.parametrize("name", ["vehicles.csv", "Hebebühne Nord (2).xlsx", "a-b_c.csv"])
def test_a_plain_name(name: str) -> None:
    assert safe_name(name) == name
