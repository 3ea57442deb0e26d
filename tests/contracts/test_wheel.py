"""The wheel holds everything that a user without the repository needs."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from tests.contracts.source_tree import ROOT, SOURCE

SAMPLE = ROOT / "examples" / "quayside"


@pytest.fixture(scope="module")
def installed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The wheel, built from this source and unpacked as an installer would."""
    folder = tmp_path_factory.mktemp("wheel")
    command = [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(folder)]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    place = folder / "installed"
    with zipfile.ZipFile(next(folder.glob("underset-*.whl"))) as wheel:
        wheel.extractall(place)
    return place


def kept(folder: Path) -> set[str]:
    return {
        path.relative_to(folder).as_posix()
        for path in folder.rglob("*")
        if path.is_file() and "__pycache__" not in path.parts and path.suffix != ".pyc"
    }


def test_the_wheel_holds_every_file_of_the_package(installed: Path) -> None:
    assert sorted(kept(SOURCE / "underset") - kept(installed / "underset")) == []


def test_the_wheel_holds_the_sample_workshop(installed: Path) -> None:
    assert kept(SAMPLE)
    assert kept(installed / "underset" / "sample" / "quayside") == kept(SAMPLE)


def test_the_wheel_names_the_command(installed: Path) -> None:
    names = next(installed.glob("*.dist-info")) / "entry_points.txt"
    assert "underset = underset.cli:main" in names.read_text("utf-8")


def test_the_wheel_plans_without_the_repository(installed: Path, tmp_path: Path) -> None:
    """Without a workshop named, the plan is made for the sample inside the wheel."""
    plan = ["plan", "--vehicle", "harbour-hatch", "--json", "-"]
    variables = {"PYTHONPATH": str(installed), "UNDERSET_HOME": str(tmp_path)}
    done = subprocess.run(
        [sys.executable, "-m", "underset", *plan],
        cwd=tmp_path,
        env={**os.environ, **variables},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert json.loads(done.stdout)["outcome"] == "found"
