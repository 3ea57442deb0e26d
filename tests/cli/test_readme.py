"""The README says what the command line says."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from typer.main import get_command

from underset.cli import main
from underset.cli.commands import app

ROOT = Path(__file__).resolve().parents[2]
README = (ROOT / "README.md").read_text("utf-8")
PROMPT = "$ python3 start.py "


def test_it_lists_every_command_and_no_other() -> None:
    table = README.partition("## Commands")[2].partition("\n\nEvery option")[0]
    named = {
        name
        for row in table.splitlines()
        if row.startswith("| `")
        for name in re.findall(r"`(\w+)`", row.split("|")[1])
    }
    assert named == set(getattr(get_command(app), "commands", {}))


def test_its_example_is_what_the_command_prints(capsys: pytest.CaptureFixture[str]) -> None:
    block = next(b for b in README.split("```") if b.strip().startswith(PROMPT))
    command, *shown = block.strip().splitlines()
    assert main(command.removeprefix(PROMPT).split()) == 0
    printed = capsys.readouterr().out.splitlines()
    places = [printed.index(line) for line in shown]
    assert len(shown) == 10
    assert places == sorted(places)


def test_its_pictures_and_pages_exist() -> None:
    linked = re.findall(r"\]\(([^)#:]+)\)", README)
    assert len(linked) > 5
    assert [place for place in linked if not (ROOT / place).is_file()] == []
