"""`book`, `backup`, `restore`, `export`, `import`, `person`: called as people call them."""

from __future__ import annotations

import csv
import json
import shutil
import sqlite3
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from typer.testing import CliRunner

from tests.store_cases import JORUN, QUAYSIDE, TAVI, check, fill, quayside
from underset.cli import main
from underset.cli.commands import app
from underset.records import read_workshop
from underset.store import PlanMade, Query, compare, open_store, sign_in

ALL = ["by Tavi", "by Jorun"]
NOW = datetime(2026, 11, 20, 8, 0, tzinfo=UTC)
SECRET = "rope and tar 12"


@pytest.fixture(scope="module")
def filled(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A store with the invented sample workshop and two daily checks, closed."""
    path = tmp_path_factory.mktemp("filled") / "book.db"
    with open_store(path, clock=lambda: NOW) as store:
        with store.write(JORUN) as tx:
            fill(tx, quayside())
            tx.book.append(check(note="by Jorun"))
        with store.write(TAVI) as tx:
            tx.book.append(check(1, bay="south", note="by Tavi"))
    return path


@pytest.fixture
def book(filled: Path, tmp_path: Path) -> Path:
    """A copy of it."""
    return Path(shutil.copy(filled, tmp_path / "book.db"))


class Told:
    """What a command said."""

    def __init__(self, capsys: pytest.CaptureFixture[str]) -> None:
        self._capsys = capsys

    def __call__(self, *arguments: str | Path, code: int = 0) -> str:
        """Run a command; its exit code is as expected, and no trace is ever shown."""
        assert main([str(a) for a in arguments]) == code
        out, err = self._capsys.readouterr()
        assert "Traceback" not in out + err
        assert "our own slip" not in err
        assert bool(err) == (code in (2, 6) and "chain is broken" not in out)
        return err or out


@pytest.fixture
def told(capsys: pytest.CaptureFixture[str]) -> Iterator[Told]:
    return Told(capsys)


def events_in(path: Path) -> int:
    with open_store(path, create=False) as store, store.read() as tx:
        return tx.book.head().seq


# --- book -----------------------------------------------------------------------------------------


def test_a_whole_chain_is_told_with_its_last_hash(told: Told, book: Path) -> None:
    said = told("book", "verify", "--store", book)
    with open_store(book) as store, store.read() as tx:
        head = tx.book.head()
    assert said == f"The chain is whole: {head.seq} entries, last hash {head.hash}\n"


def test_a_broken_chain_is_named_by_its_first_broken_link(told: Told, book: Path) -> None:
    with sqlite3.connect(book) as raw:
        for (trigger,) in raw.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'"):
            raw.execute(f"DROP TRIGGER {trigger}")
        raw.execute("UPDATE events SET person = 'somebody' WHERE seq IN (5, 9)")
    raw.close()
    said = told("book", "verify", "--store", book, code=6)
    assert said.startswith("The chain is broken at event 5: ")
    assert "hash" in said


@pytest.mark.parametrize(
    ("asked", "found"),
    [
        ((), ALL),
        (("--limit", "1"), ["by Tavi"]),
        (("--kind", "daily check", "--person", "jorun"), ["by Jorun"]),
        (("--subject", "bay/south", "--kind", "daily check"), ["by Tavi"]),
        (("--day", "2026-11-20", "--kind", "daily check"), ALL),
        (("--day", "2001-01-01"), []),
    ],
)
def test_entries_are_listed_newest_first(
    told: Told, book: Path, asked: tuple[str, ...], found: list[str]
) -> None:
    lines = told("book", "list", "--store", book, *asked).splitlines()
    notes = [
        line.partition("note ")[2].partition(";")[0] for line in lines if "daily check" in line
    ]
    assert notes == found
    numbers = [int(line.split()[0]) for line in lines]
    assert numbers == sorted(numbers, reverse=True)


def test_hashes_are_short_for_people_and_whole_in_json(told: Told, tmp_path: Path) -> None:
    inputs = {f"vehicle/v-{i}": f"{i:064x}" for i in range(20)}
    made = PlanMade(plan="plan-1", vehicle="harbour-hatch", outcome="found", inputs=inputs,
                    versions={"underset": "1"}, result="ab" * 32)  # fmt: skip
    with open_store(tmp_path / "b.db") as store, store.write(TAVI) as tx:
        tx.book.append(made)
    asked = ("book", "list", "--store", tmp_path / "b.db", "--kind", "plan made")
    line = told(*asked)
    assert "inputs 20 documents" in line
    assert "result abababababab…" in line
    assert "ab" * 32 not in line
    facts = json.loads(told(*asked, "--json", "-"))[0]["facts"]
    assert facts["result"] == "ab" * 32
    assert all(sha in facts["inputs"] for sha in inputs.values())


def test_entries_are_listed_as_json(told: Told, book: Path, tmp_path: Path) -> None:
    asked = ("book", "list", "--store", book, "--kind", "daily check", "--json")
    rows = json.loads(told(*asked, "-"))
    assert [r["person"] for r in rows] == ["tavi", "jorun"]
    assert rows[0]["facts"]["note"] == "by Tavi"
    told(*asked, tmp_path / "list.json")
    assert json.loads((tmp_path / "list.json").read_text("utf-8")) == rows


@pytest.mark.parametrize(
    ("asked", "named"),
    [
        (("--kind", "no such kind"), "kind"),
        (("--day", "yesterday"), "--day"),
        (("--limit", "0"), "limit"),
        (("--limit", "many"), "limit"),
        (("--json", "/no/such/folder/list.json"), "cannot be written"),
    ],
)
def test_what_cannot_be_asked_of_the_book_is_told(
    told: Told, book: Path, asked: tuple[str, ...], named: str
) -> None:
    assert named in told("book", "list", "--store", book, *asked, code=2)


@pytest.mark.parametrize(
    "command",
    [
        ("book", "list"), ("book", "verify"), ("book", "card", "plan-1", "card.svg"),
        ("backup", "copy.db"), ("export", "folder"), ("person",),
    ],
)  # fmt: skip
def test_a_slip_in_the_name_of_a_store_makes_none(
    told: Told, tmp_path: Path, command: tuple[str, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert "there is no store at" in told(*command, "--store", "typo.db", code=6)
    assert list(tmp_path.iterdir()) == []


def test_without_a_name_the_store_is_in_the_users_folder(
    told: Told, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("UNDERSET_HOME", str(tmp_path / "home"))
    told("import", QUAYSIDE)
    assert told("book", "verify").startswith("The chain is whole")
    assert (tmp_path / "home" / "underset.db").is_file()


@pytest.mark.parametrize("command", [("book", "list"), ("person",), ("export", "out")])
def test_a_look_at_a_store_that_is_not_there_yet_makes_none(
    told: Told, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, command: tuple[str, ...]
) -> None:
    monkeypatch.setenv("UNDERSET_HOME", str(tmp_path / "home"))
    assert "`import FOLDER`" in told(*command, code=6)
    assert not (tmp_path / "home").exists()


def test_a_real_workshop_is_not_mixed_with_the_invented_one(
    told: Told, book: Path, tmp_path: Path
) -> None:
    real = Path(shutil.copytree(QUAYSIDE, tmp_path / "real"))
    about = real / "workshop.toml"
    text = about.read_text(encoding="utf-8").replace("invented = true\n", "", 1)
    about.write_text(text, encoding="utf-8")
    before = events_in(book)
    assert "--store FILE" in told("import", real, "--store", book, code=2)
    assert events_in(book) == before
    own = tmp_path / "own.db"
    told("import", real, "--store", own)
    assert "a real workshop" in told("import", QUAYSIDE, "--store", own, code=2)


def test_a_file_that_is_no_store_is_told(told: Told, tmp_path: Path) -> None:
    (tmp_path / "book.db").write_text("not a store at all, only words " * 50)
    assert str(tmp_path) in told("book", "list", "--store", tmp_path / "book.db", code=6)


# --- backup and restore ---------------------------------------------------------------------------


def test_a_backup_is_proved_and_restores_into_an_empty_store(
    told: Told, book: Path, tmp_path: Path
) -> None:
    copy, new = tmp_path / "copy.db", tmp_path / "new.db"
    said = told("backup", copy, "--store", book, "--by", "jorun")
    assert said.startswith(f"{copy}: ")
    assert said.endswith("(restored and compared)\n")
    assert told("restore", copy, "--store", new).startswith(str(new))
    with open_store(book) as one, open_store(new) as other:
        assert compare(one, other) == ()
        with other.read() as tx:
            last = tx.book.find(Query(kinds=("book kept",)), limit=1).events[0]
    assert (last.person, last.payload["what"]) == ("jorun", "backed up")
    assert told("book", "verify", "--store", new).startswith("The chain is whole")


def test_a_backup_without_the_check_says_so(told: Told, book: Path, tmp_path: Path) -> None:
    said = told("backup", tmp_path / "copy.db", "--store", book, "--no-check")
    assert said.endswith("(not checked)\n")


def test_a_restore_into_a_store_that_holds_anything_is_refused(
    told: Told, book: Path, tmp_path: Path
) -> None:
    told("backup", tmp_path / "copy.db", "--store", book, "--no-check")
    before = events_in(book)
    assert "not empty" in told("restore", tmp_path / "copy.db", "--store", book, code=6)
    assert events_in(book) == before


@pytest.mark.parametrize(
    ("content", "code", "named"),
    [
        (None, 2, "a backup or a book's file that is there"), (b"", 2, "ends in the middle"),
        (b"only words\n" * 9, 2, "it is not JSON"),
        (b"SQLite format 3\0" + b"\0" * 4096, 6, "backup.db"),
    ],
    ids=["none", "empty", "words", "zeros"],
)  # fmt: skip
def test_what_is_no_backup_restores_nothing(
    told: Told, tmp_path: Path, content: bytes | None, code: int, named: str
) -> None:
    source = tmp_path / "backup.db"
    if content is not None:
        source.write_bytes(content)
    assert named in told("restore", source, "--store", tmp_path / "new.db", code=code)
    assert not (tmp_path / "new.db").exists()


def test_a_backup_cut_short_restores_nothing(told: Told, book: Path, tmp_path: Path) -> None:
    whole, cut = tmp_path / "book.jsonl", tmp_path / "cut.jsonl"
    told("export", whole, "--store", book)
    cut.write_bytes(whole.read_bytes()[:-200])
    assert "line 1" in told("restore", cut, "--store", tmp_path / "new.db", code=2)
    assert not (tmp_path / "new.db").exists()


@pytest.mark.parametrize("target", ["", "no-such-folder/copy.db", "book.db"])
def test_a_backup_that_has_no_place_leaves_the_store_as_it_is(
    told: Told, book: Path, tmp_path: Path, target: str
) -> None:
    told("backup", tmp_path / target, "--store", book, code=2)
    assert told("book", "verify", "--store", book).startswith("The chain is whole")


# --- export and import ----------------------------------------------------------------------------


def test_a_folder_goes_out_and_comes_into_a_new_store_the_same(
    told: Told, book: Path, tmp_path: Path
) -> None:
    folder, new = tmp_path / "shop", tmp_path / "new.db"
    assert told("export", folder, "--store", book).endswith("files\n")
    assert read_workshop(folder) == quayside()
    said = told("import", folder, "--store", new)
    assert said.split(" records read, ")[0].endswith(said.split(" records read, ")[1].split()[0])
    with open_store(new) as store, store.read() as tx:
        assert tx.records.workshop() == quayside()
    assert told("import", folder, "--store", new).endswith(" 0 changed\n")


def test_the_book_goes_out_and_another_shop_reads_it(
    told: Told, book: Path, tmp_path: Path
) -> None:
    told("export", tmp_path / "book.jsonl", "--store", book, "--by", "jorun")
    told("restore", tmp_path / "book.jsonl", "--store", tmp_path / "new.db")
    assert events_in(tmp_path / "new.db") == events_in(book) - 1  # the note that it went out
    assert told("book", "verify", "--store", tmp_path / "new.db").startswith("The chain is whole")


@pytest.mark.parametrize("kind", ["vehicle", "adapter", "lift"])
def test_a_table_goes_out_and_changes_nothing_when_it_comes_back(
    told: Told, book: Path, tmp_path: Path, kind: str
) -> None:
    table = tmp_path / "table.csv"
    said = told("export", table, "--kind", kind, "--store", book)
    assert ("More than a table holds" in said) == (kind != "adapter")
    said = told("import", table, "--kind", kind, "--store", book)
    assert said.endswith(" 0 changed\n")


def test_a_folder_that_holds_something_is_not_written_into(
    told: Told, book: Path, tmp_path: Path
) -> None:
    assert "empty" in told("export", tmp_path, "--store", book, code=2)
    assert [p.name for p in tmp_path.iterdir()] == ["book.db"]


def adapters(book: Path) -> dict[str, object]:
    with open_store(book, create=False) as store, store.read() as tx:
        return dict(tx.records.workshop().adapters)


def table_of(told: Told, book: Path, path: Path) -> list[list[str]]:
    """The adapters on file as rows of a table, header first."""
    told("export", path, "--kind", "adapter", "--store", book)
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.reader(file))


def written(rows: list[list[str]], path: Path) -> Path:
    """Rows as a file of the form its ending names."""
    if path.suffix == ".xlsx":
        from openpyxl import Workbook

        sheet = Workbook()
        page = sheet.worksheets[0]
        for row in rows:
            page.append(row)
        sheet.save(path)
        return path
    with path.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows(rows)
    return path


@pytest.mark.parametrize("ending", [".csv", ".xlsx"])
def test_new_rows_of_a_table_are_taken_in(
    told: Told, book: Path, tmp_path: Path, ending: str
) -> None:
    header, first, *_ = table_of(told, book, tmp_path / "out.csv")
    row = ["spacer-new" if name == "id" else cell for name, cell in zip(header, first, strict=True)]
    table = written([header, row], tmp_path / f"in{ending}")
    said = told("import", table, "--kind", "adapter", "--store", book, "--by", "jorun")
    assert said == f"{table}: 1 adapter read, 1 changed\n"
    assert set(adapters(book)) == {*quayside().adapters, "spacer-new"}
    listed = told("book", "list", "--store", book, "--subject", "adapter/spacer-new")
    assert "jorun  record changed" in listed


@pytest.mark.parametrize("ending", [".csv", ".xlsx"])
def test_one_bad_row_and_nothing_is_taken_in_and_every_bad_row_is_named(
    told: Told, book: Path, tmp_path: Path, ending: str
) -> None:
    header, first, *_ = table_of(told, book, tmp_path / "out.csv")
    height = next(n for n, name in enumerate(header) if name.startswith("height"))

    def row(id: str, tall: str) -> list[str]:
        cells = list(first)
        cells[header.index("id")], cells[height] = id, tall
        return cells

    rows = [header, row("good", "40"), row("bad-one", "tall"), row("Bad Two", "40")]
    table = written(rows, tmp_path / f"in{ending}")
    before = events_in(book)
    said = told("import", table, "--kind", "adapter", "--store", book, code=2)
    lines = said.splitlines()
    assert len(lines) == 2
    assert f"in{ending}" in lines[0]
    assert "row 3" in lines[0]
    assert "'tall'" in lines[0]
    assert "row 4" in lines[1]
    assert "'Bad Two'" in lines[1]
    assert events_in(book) == before
    assert adapters(book) == quayside().adapters


@pytest.mark.parametrize(
    ("name", "kind", "named"),
    [
        ("none.csv", "vehicle", "none.csv"),
        ("none", "", "a workshop's folder"),
        ("table.txt", "vehicle", "a workshop's folder"),
        ("table.csv", "", "--kind"),
        ("table.csv", "spaceship", "--kind"),
        ("table.csv", "vehicle", "table.csv"),
        ("fake.xlsx", "vehicle", "fake.xlsx"),
    ],
)
def test_what_is_no_table_is_told(
    told: Told, book: Path, tmp_path: Path, name: str, kind: str, named: str
) -> None:
    (tmp_path / "table.csv").write_text("this is no table\n", "utf-8")
    (tmp_path / "table.txt").write_text("nor this\n", "utf-8")
    (tmp_path / "fake.xlsx").write_bytes(b"PK\x03\x04 no workbook")
    before = events_in(book)
    asked = ("import", tmp_path / name, "--store", book, *(("--kind", kind) if kind else ()))
    assert named in told(*asked, code=2)
    assert events_in(book) == before


def test_a_folder_with_bad_files_is_told_whole_and_makes_no_records(
    told: Told, book: Path, tmp_path: Path
) -> None:
    folder = tmp_path / "shop"
    told("export", folder, "--store", book)
    for name in ("vehicles/harbour-hatch", "adapters/spacer-75"):
        (folder / f"{name}.toml").write_text("label = 7\n", "utf-8")
    before = events_in(book)
    said = told("import", folder, "--store", book, code=2)
    assert "harbour-hatch.toml" in said
    assert "spacer-75.toml" in said
    assert events_in(book) == before


# --- person ---------------------------------------------------------------------------------------


def secret(tmp_path: Path, text: str = SECRET) -> Path:
    path = tmp_path / "secret.txt"
    path.write_text(f"{text}\n", "utf-8")
    return path


def test_an_account_is_opened_changed_listed_and_closed(
    told: Told, book: Path, tmp_path: Path
) -> None:
    here = ("--store", book)
    tavi = ("person", "--account", "tavi", *here)
    assert told("person", *here) == ""
    assert told(*tavi, "--secret-file", secret(tmp_path)) == "tavi: open\n"
    assert told("person", *here) == "tavi  technician  open\n"
    again = ("--secret-file", secret(tmp_path, "tide table 33"))
    told(*tavi, *again, "--role", "lead", "--role", "inspector")
    assert told("person", *here) == "tavi  lead, inspector  open\n"
    with open_store(book) as store:
        assert sign_in(store, "tavi", "tide table 33").account
        assert sign_in(store, "tavi", SECRET).account is None
    assert told(*tavi, "--close") == "tavi: closed\n"
    assert told("person", *here) == "tavi  lead, inspector  closed\n"
    with open_store(book) as store:
        assert sign_in(store, "tavi", "tide table 33").account is None
    told(*tavi, *again)
    assert told("person", *here) == "tavi  lead, inspector  open\n"


@pytest.mark.parametrize(
    ("asked", "text", "named"),
    [
        (("--account", "nobody"), SECRET, "person 'nobody' is not on file"),
        (("--account", "tavi"), "123456", "not all alike, not in a row"),
        (("--account", "tavi"), "hunter2", "a PIN of 6 to 12 digits"),
        (("--account", "tavi", "--role", "king"), SECRET, "technician, lead, inspector"),
        (("--account", "tavi", "--close"), SECRET, "a person with an account"),
    ],
)
def test_an_account_that_cannot_be_is_told_and_its_secret_not_repeated(
    told: Told, book: Path, tmp_path: Path, asked: tuple[str, ...], text: str, named: str
) -> None:
    file = secret(tmp_path, text)
    said = told("person", *asked, "--secret-file", file, "--store", book, code=2)
    assert named in said
    assert text not in said
    assert told("person", "--store", book) == ""


def test_a_file_of_a_secret_that_is_not_there_is_told(told: Told, book: Path) -> None:
    asked = ("person", "--account", "tavi", "--store", book, "--secret-file", "/no/such/file")
    assert "--secret-file" in told(*asked, code=2)


def test_without_a_file_the_secret_is_asked_twice_and_not_shown(book: Path) -> None:
    asked = ["person", "--account", "tavi", "--store", str(book)]
    said = CliRunner().invoke(app, asked, input=f"{SECRET}\n{SECRET}\n")
    assert said.exit_code == 0, said.output
    assert SECRET not in said.output
    with open_store(book) as store:
        assert sign_in(store, "tavi", SECRET).account
