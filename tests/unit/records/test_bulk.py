"""Tables of vehicles, adapters and lifts: all of it or none, every bad row named, nothing run."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from underset.errors import InputError, InputErrors
from underset.records import read_workshop, to_json
from underset.records.bulk import MODELS, beyond_table, read_table, write_table
from underset.records.columns import ARMS, CORNERS, QUANTITIES, TABLES, WORDS
from underset.units import NOT_GIVEN

SHOP = read_workshop(Path(__file__).resolve().parents[3] / "examples" / "quayside")
RECORDS = {"vehicle": SHOP.vehicles, "adapter": SHOP.adapters, "lift": SHOP.bays}

ADAPTERS = """id,label,role,below,height [mm],travel [mm],rating [kg],maker_rated,count,inspected
pad-a,Pad A,head,pin-60,60,40 ± 2,1500,yes,8,2026-03-17
pad-b,Pad B,head,pin-60,72.5,not given,1500,no,,
"""


def read(text: str, kind: str = "adapter", name: str = "shelf.csv") -> dict[str, object]:
    return read_table(kind, text.encode(), name)


def complaints(text: str, kind: str = "adapter") -> list[tuple[str, str]]:
    """Where and what, of everything that is wrong with a table."""
    with pytest.raises(InputErrors) as told:
        read(text, kind)
    return [(error.place, error.field) for error in told.value.errors]


def edited(line: int, column: str, cell: str, text: str = ADAPTERS) -> str:
    rows = list(csv.reader(io.StringIO(text)))
    rows[line - 1][rows[0].index(column)] = cell
    written = io.StringIO()
    csv.writer(written).writerows(rows)
    return written.getvalue()


# --- what is read ---------------------------------------------------------------------------------


def test_a_table_of_adapters_reads_with_units_tolerances_and_gaps() -> None:
    found = read(ADAPTERS)
    assert list(found) == ["pad-a", "pad-b"]
    a, b = found["pad-a"], found["pad-b"]
    assert (a.height.value, a.travel.value, a.travel.tol) == pytest.approx((0.06, 0.04, 0.002))
    assert (a.travel.unit, a.rating.value, a.maker_rated) == ("mm", 1500.0, True)
    assert (a.lots[0].count, a.lots[0].inspected.isoformat()) == (8, "2026-03-17")
    assert (b.travel, b.lots, b.maker_rated) == (NOT_GIVEN, (), False)


@pytest.mark.parametrize(
    ("header", "cell", "metres"),
    [
        ("height [mm]", "60", 0.06),
        ("height [m]", "0.06", 0.06),
        ("height [in]", "2.5", 0.0635),
        ("height [cm]", " 6 ", 0.06),
        ("Height[mm]", "6e1", 0.06),
        ("height", "60 mm", 0.06),
        ("height", "2.5 in", 0.0635),
    ],
)
def test_the_unit_stands_in_the_header_or_in_every_cell(
    header: str, cell: str, metres: float
) -> None:
    text = edited(2, "height [mm]", cell).replace("72.5", cell).replace("height [mm]", header)
    assert read(text)["pad-a"].height.value == pytest.approx(metres)


@pytest.mark.parametrize("delimiter", [",", ";", "\t"])
@pytest.mark.parametrize("start", ["", "\ufeff"])
@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_tables_of_other_programs_are_read(delimiter: str, start: str, end: str) -> None:
    text = start + ADAPTERS.replace(",", delimiter).replace("\n", end)
    assert read(text) == read(ADAPTERS)


def test_empty_rows_and_trailing_separators_do_not_matter() -> None:
    text = ADAPTERS.replace("\n", ",,\n,,,\n").replace("inspected,,", "inspected")
    assert read(text) == read(ADAPTERS)


def test_the_rows_of_a_vehicle_may_give_one_side_and_say_mirrored() -> None:
    header = "id,label,wheelbase [mm],weighed_as,mirrored," + ",".join(
        f"{c}_{f}" + ("" if f == "contact" else " [mm]")
        for c in ("lf", "lr")
        for f in ("aft", "side", "up", "contact", "along", "across")
    )
    row = "van,Van,3300,empty,yes,600,720,310,pinch weld,30,15,2500,-700 ± 5,315,flat boss,20,20"
    (van,) = read(f"{header}\n{row}\n", "vehicle").values()
    points = van.point_sets[0].points
    assert [p.corner.value for p in points] == ["LF", "RF", "LR", "RR"]
    assert [p.side.value for p in points] == pytest.approx([0.72, -0.72, -0.7, 0.7])
    assert (points[2].side.tol, points[3].side.tol) == pytest.approx((0.005, 0.005))
    assert [p.aft.value for p in points] == pytest.approx([0.6, 0.6, 2.5, 2.5])
    assert van.weights.front == NOT_GIVEN
    assert van.zones is None


def test_mirrored_and_a_right_side_given_contradict_each_other() -> None:
    text = write_table("vehicle", {"v": SHOP.vehicles["harbour-hatch"]})
    rows = list(csv.reader(io.StringIO(text)))
    rows[0].append("mirrored")
    rows[1].append("yes")
    mirrored = "\n".join(",".join(f'"{cell}"' for cell in row) for row in rows)
    assert complaints(mirrored, "vehicle") == [("shelf.csv, row 2", "mirrored")] * 2


def test_the_right_side_of_a_lift_may_mirror_the_left() -> None:
    text = write_table("lift", {"north": SHOP.bays["north"]})
    rows = [dict(zip(*list(csv.reader(io.StringIO(text))), strict=True))]
    kept = {k: v for k, v in rows[0].items() if not k.startswith("right_")} | {"mirrored": "yes"}
    written = io.StringIO()
    csv.writer(written).writerows([list(kept), list(kept.values())])
    (lift,) = read(written.getvalue(), "lift").values()
    left, right, *_ = lift.arms.in_order()
    assert right.pivot_y.value == -left.pivot_y.value
    assert right.reach_high == left.reach_high
    assert [c.y.value for c in lift.columns] == [lift.columns[0].y.value, -lift.columns[0].y.value]
    assert [c.side for c in lift.columns] == ["left", "right"]


# --- what is refused ------------------------------------------------------------------------------

CELLS = {
    "a bare number": ("height [mm]", "height", "60", "height"),
    "a decimal comma": ("height [mm]", "height [mm]", "60,5", "height"),
    "a unit in the cell too": ("height [mm]", "height [mm]", "60 mm", "height"),
    "a word for a number": ("height [mm]", "height [mm]", "high", "height"),
    "nothing where something is needed": ("height [mm]", "height [mm]", "", "height"),
    "not given where something is needed": ("height [mm]", "height [mm]", "not given", "height"),
    "zero": ("height [mm]", "height [mm]", "-5", "height"),
    "beyond any bound": ("height [mm]", "height [mm]", "1e9", "height"),
    "no number": ("height [mm]", "height [mm]", "nan", "height"),
    "another word than yes or no": ("maker_rated", "maker_rated", "maybe", "maker_rated"),
    "an unknown role": ("role", "role", "roof", "role"),
    "half a piece": ("count", "count", "1.5", "count"),
    "fewer than none": ("count", "count", "-1", "count"),
    "digits of another script": ("count", "count", "٣", "count"),
    "a day in another order": ("inspected", "inspected", "17.03.2026", "inspected"),
    "a number for a day": ("inspected", "inspected", "45733", "inspected"),
    "no day": ("inspected", "inspected", "2026-02-30", "inspected"),
    "an id with a path": ("id", "id", "../../etc/passwd", "id"),
    "an id in capitals": ("id", "id", "PAD", "id"),
    "two lines": ("label", "label", "a\nb", "label"),
    "a formula": ("label", "label", "=1+1", "label"),
    "a formula after blanks": ("label", "label", '  =HYPERLINK("x")', "label"),
    "a formula with a plus": ("label", "label", "+1+cmd|' /C calc'!A0", "label"),
    "a formula with a minus": ("label", "label", "-2+3", "label"),
    "a formula with an at": ("label", "label", "@SUM(A1)", "label"),
    "a formula for a number": ("height [mm]", "height [mm]", "=60", "height"),
    "a cell without end": ("label", "label", "x" * 2001, "label"),
    "a label beyond the record's": ("label", "label", "x" * 121, "label"),
}


@pytest.mark.parametrize("what", CELLS)
def test_a_bad_cell_is_named_by_row_and_column(what: str) -> None:
    column, header, cell, field = CELLS[what]
    text = edited(3, column, cell, edited(3, "count", "4"))
    if header != column:
        text = edited(2, column, "60 mm", text).replace(column, header)
    assert complaints(text) == [("shelf.csv, row 3", field)]


def test_every_bad_row_is_listed_and_nothing_is_taken() -> None:
    rows = [f"pad-{n},Pad,head,pin-60,{n or ''},,1500,yes,," for n in range(30)]
    rows[7] = "pad-7,,spoon,pin-60,x,,1500,perhaps,,"
    header = ADAPTERS.splitlines()[0]
    found = complaints("\n".join([header, *rows]))
    assert found == [
        ("shelf.csv, row 2", "height"),
        ("shelf.csv, row 9", "height"),
        ("shelf.csv, row 9", "maker_rated"),
        ("shelf.csv, row 9", "label"),
    ]


def test_the_same_id_twice() -> None:
    assert complaints(ADAPTERS.replace("pad-b", "pad-a")) == [("shelf.csv, row 3", "id")]


def test_a_cell_too_many() -> None:
    assert complaints(ADAPTERS.replace("2026-03-17", "2026-03-17,surplus")) == [
        ("shelf.csv, row 2", "row")
    ]


@pytest.mark.parametrize(
    ("header", "words"),
    [
        ("height [kg]", "units of length are m, cm, mm, in, ft"),
        ("height [furlong]", "units of length"),
        ("heigth [mm]", "Did you mean height"),
        ("hight", "Did you mean"),
        ("label [mm]", "has no unit"),
        ("=height", "no formula"),
        ("", "columns are"),
        ("travel [mm]", "each column once"),
        ("price", "also needed: height"),
    ],
)
def test_a_header_that_does_not_fit_is_told(header: str, words: str) -> None:
    text = ADAPTERS.replace("height [mm]", header, 1)
    with pytest.raises(InputErrors, match=words) as told:
        read(text)
    assert told.value.errors[0].place == "shelf.csv, row 1"


def test_a_flood_of_complaints_is_cut_short() -> None:
    header = ADAPTERS.splitlines()[0]
    found = complaints("\n".join([header, *(f"p{n},P,head,pin,x,,y,yes,," for n in range(500))]))
    assert len(found) == 201
    assert found[-1] == ("shelf.csv", "table")


def test_a_file_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="can be read"):
        read_table("adapter", tmp_path / "shelf.csv")


def test_a_file_on_disk_is_read(tmp_path: Path) -> None:
    (tmp_path / "shelf.csv").write_text(ADAPTERS, "utf-8")
    assert read_table("adapter", tmp_path / "shelf.csv") == read(ADAPTERS)


@pytest.mark.parametrize("text", ["", "\n\n", ",,,\n"])
def test_an_empty_file(text: str) -> None:
    with pytest.raises(InputError, match="a header and rows"):
        read(text)


# --- there and back -------------------------------------------------------------------------------


@pytest.mark.parametrize("kind", RECORDS)
def test_the_sample_goes_into_a_table_and_back(kind: str) -> None:
    back = read(write_table(kind, RECORDS[kind]), kind)
    assert list(back) == list(RECORDS[kind])
    for id, record in RECORDS[kind].items():
        assert write_table(kind, {id: back[id]}) == write_table(kind, {id: record})
        if not beyond_table(kind, record):
            assert content(back[id]) == content(record)


def content(record: object) -> dict[str, object]:
    """What is said, whatever the one source of a record is called."""
    data = to_json(record)
    return {**data, "source": "x", "sources": list(data.get("sources", {}).values())}


def test_what_a_table_cannot_hold_is_named() -> None:
    hatch = SHOP.vehicles["harbour-hatch"]
    lost = beyond_table("vehicle", hatch)
    assert hatch.zones
    assert any(path.startswith("zones") for path in lost)
    assert not any(path.startswith("sizes") and "source" not in path for path in lost)
    assert all(beyond_table("adapter", a) == () for a in SHOP.adapters.values())


def test_a_column_of_mixed_units_brings_them_in_its_cells() -> None:
    found = read(ADAPTERS)
    a = found["pad-a"].model_copy(update={"height": read(
        ADAPTERS.replace("[mm]", "[in]").replace("72.5", "2")
    )["pad-b"].height})  # fmt: skip
    text = write_table("adapter", {"a": a, "b": found["pad-b"]})
    header, first, second = csv.reader(io.StringIO(text))
    at = header.index("height")
    assert (first[at], second[at]) == ("2 in", "72.5 mm")
    assert read(text)["a"].height == a.height


LABELS = st.text(
    st.characters(codec="utf-8", exclude_categories=["C", "Z"]), min_size=1, max_size=40
)


@given(LABELS.filter(lambda text: text.strip()))
def test_any_printable_label_survives_and_is_never_a_formula(label: str) -> None:
    adapter = read(ADAPTERS)["pad-a"].model_copy(update={"label": label})
    text = write_table("adapter", {"a": adapter})
    cells = list(csv.reader(io.StringIO(text)))[1]
    assert all(
        not cell.startswith(("=", "+", "-", "@", "\t", "\r")) or number(cell) for cell in cells
    )
    assert read(text)["a"].label == label


def number(cell: str) -> bool:
    try:
        return bool(float(cell)) or True
    except ValueError:
        return False


@given(st.binary(max_size=400))
def test_no_bytes_do_anything_but_read_or_be_refused(content: bytes) -> None:
    for name in ("a.csv", "a.xlsx"):
        try:
            read_table("adapter", content, name)
        except InputError as told:
            assert told.message


# --- the list of columns --------------------------------------------------------------------------


@pytest.mark.parametrize("kind", TABLES)
def test_every_column_stands_for_one_field_and_says_what_it_means(kind: str) -> None:
    columns = TABLES[kind]
    assert len({c.name for c in columns}) == len(columns)
    assert len({c.path for c in columns}) == len(columns)
    for column in columns:
        assert column.kind in QUANTITIES | set(WORDS)
        assert column.meaning
        assert len(column.meaning) < 100


def test_every_column_reaches_a_field_of_its_record() -> None:
    for kind, columns in TABLES.items():
        schema = MODELS[kind].model_json_schema()
        for column in columns:
            if column.path[0] not in ("id", "mirrored"):
                assert reaches(schema, list(column.path)), column.path


def reaches(schema: dict, path: list[str | int]) -> bool:
    at = schema
    for step in path:
        at = resolved(schema, at)
        if isinstance(step, int):
            at = at["items"] if "items" in at else at["prefixItems"][step]
        elif step in at.get("properties", {}):
            at = at["properties"][step]
        elif "additionalProperties" in at:
            at = at["additionalProperties"]
        else:
            return False
    return True


def resolved(schema: dict, at: dict) -> dict:
    while "$ref" in at:
        at = schema["$defs"][at["$ref"].rpartition("/")[2]]
    return at


def test_corners_and_arms_stand_in_the_order_of_the_records() -> None:
    assert CORNERS == ("lf", "rf", "lr", "rr")
    assert ARMS == ("left_front", "right_front", "left_rear", "right_rear")
