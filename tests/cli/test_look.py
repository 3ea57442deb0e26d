"""`look`, and what a plan says of figures that look wrong."""

from __future__ import annotations

import json
import re
import shutil
from pathlib import Path

import pytest

from tests.store_cases import QUAYSIDE, ROOT
from underset.cli import main


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """The sample with a wheel load in kg that was read in lb, and an examination in the future."""
    folder = Path(shutil.copytree(QUAYSIDE, tmp_path / "shop"))
    _changed(folder / "vehicles" / "ferry-saloon.toml", "486 ± 4 kg", "1071 ± 4 kg")
    _changed(folder / "bays" / "north.toml", "examined = 2026", "examined = 2062")
    return folder


def _changed(file: Path, old: str, new: str) -> None:
    text = file.read_text(encoding="utf-8")
    assert old in text
    file.write_text(text.replace(old, new, 1), encoding="utf-8")


def test_nothing_looks_wrong_in_the_sample(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["look"]) == 0
    assert capsys.readouterr().out == ""


def test_every_slip_is_told_at_once_with_its_file(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["look", "--workshop", str(shop)]) == 3
    told = capsys.readouterr().out
    assert "vehicles/ferry-saloon.toml: weights.lf" in told
    assert "bays/north.toml: inspection.examined = 2062" in told
    assert main(["look", "--workshop", str(shop), "--json", "-"]) == 3
    rows = json.loads(capsys.readouterr().out)
    assert len(rows) == told.count("\n")
    assert {"field", "value", "looks", "slip", "remedy", "source", "place"} == set(rows[0])


def test_the_day_ahead_is_seen_where_the_shop_keeps_no_day_of_its_own(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    _changed(shop / "workshop.toml", "today = 2026-11-20\n", "")
    assert main(["look", "--workshop", str(shop)]) == 3
    assert "inspection.examined = 2062" in capsys.readouterr().out


def test_a_plan_tells_what_looks_wrong_beside_its_verdict(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    at = ("plan", "--vehicle", "ferry-saloon", "--bay", "south", "--no-remedies")
    main([*at, "--workshop", str(shop), "--json", "-"])
    out, err = capsys.readouterr()
    assert json.loads(out)["underset_plan"] == 1
    assert "vehicles/ferry-saloon.toml: weights.lf" in err
    main([*at])
    assert capsys.readouterr().err == ""


def test_the_workshop_of_the_docs_can_be_begun_with(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    page = (ROOT / "docs" / "using.md").read_text(encoding="utf-8")
    files = re.findall(r"```toml\n# (\S+\.toml)\n(.*?)```", page, re.DOTALL)
    assert len(files) == 4
    for name, text in files:
        place = tmp_path / name
        place.parent.mkdir(exist_ok=True)
        place.write_text(text, encoding="utf-8")
    assert main(["plan", "--vehicle", "hatch", "--workshop", str(tmp_path)]) == 5
    told = capsys.readouterr().out
    assert "Bay one" in told
    assert "What is missing" in told
    assert "What refused" not in told
    main(["look", "--workshop", str(tmp_path)])
    told = capsys.readouterr().out.splitlines()
    assert all("figures without a source" in line for line in told), told
