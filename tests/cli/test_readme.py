"""The README and the pages with examples say what the command line says."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from typer.main import get_command

from docs.examples import Example, examples_of, missing_lines
from underset.cli import main
from underset.cli.commands import app

ROOT = Path(__file__).resolve().parents[2]
README = (ROOT / "README.md").read_text("utf-8")
PAGES = ("README.md", "docs/using.md")
PAIRS = [(p, e) for p in PAGES for e in examples_of((ROOT / p).read_text("utf-8"))]
EXAMPLES = [pytest.param(p, e, id=f"{p}: {' '.join(e.arguments)[:50]}") for p, e in PAIRS]
OUTCOMES = (0, 3, 4, 5)


def test_it_lists_every_command_and_no_other() -> None:
    table = README.partition("## Commands")[2].partition("\n\nWorked examples")[0]
    named = {
        name
        for row in table.splitlines()
        if row.startswith("| `")
        for name in re.findall(r"`(\w+)`", row.split("|")[1])
    }
    assert named == set(getattr(get_command(app), "commands", {}))


@pytest.mark.parametrize(("page", "example"), EXAMPLES)
def test_an_example_is_what_the_command_prints(
    page: str,
    example: Example,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
    tmp_path: Path,
) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(list(example.arguments)) in OUTCOMES, page
    assert missing_lines(example, capsys.readouterr().out.splitlines()) == []


def test_every_page_shows_something() -> None:
    shown = {page: [e for p, e in PAIRS if p == page] for page in PAGES}
    assert [len(e.lines) for e in shown["README.md"]] == [10]
    assert len(shown["docs/using.md"]) >= 6
    assert all(e.lines for _, e in PAIRS)


def test_its_pictures_and_pages_exist() -> None:
    linked = re.findall(r"\]\(([^)#:]+)\)", README)
    assert len(linked) > 5
    assert [place for place in linked if not (ROOT / place).is_file()] == []
