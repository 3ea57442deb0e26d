"""start.py sets up from a locked list: exactly that list, once, and with plain words when it fails.

A tiny wheel in a folder stands for the package index, so nothing here needs a network.
"""

from __future__ import annotations

import base64
import hashlib
import os
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

import check
import start

PIP = {"PIP_NO_INDEX": "1", "PIP_CONFIG_FILE": os.devnull, "PIP_RETRIES": "0"}


@pytest.fixture
def shelf(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with one small wheel, from which alone pip may install."""
    folder = tmp_path / "shelf"
    folder.mkdir()
    wheel(folder / "spanner-1.0-py3-none-any.whl")
    for name, value in {**PIP, "PIP_FIND_LINKS": str(folder)}.items():
        monkeypatch.setenv(name, value)
    return folder


def wheel(path: Path) -> None:
    about = "spanner-1.0.dist-info"
    files = {
        "spanner.py": "SIZE = 17\n",
        f"{about}/METADATA": "Metadata-Version: 2.1\nName: spanner\nVersion: 1.0\n",
        f"{about}/WHEEL": "Wheel-Version: 1.0\nRoot-Is-Purelib: true\nTag: py3-none-any\n",
    }
    listed = [f"{name},{digest(text)},{len(text)}" for name, text in files.items()]
    files[f"{about}/RECORD"] = "\n".join([*listed, f"{about}/RECORD,,"]) + "\n"
    with zipfile.ZipFile(path, "w") as made:
        for name, text in files.items():
            made.writestr(name, text)


def digest(text: str) -> str:
    raw = hashlib.sha256(text.encode()).digest()
    return "sha256=" + base64.urlsafe_b64encode(raw).rstrip(b"=").decode()


def lock(folder: Path, *, right: bool = True) -> Path:
    """A list that asks for the wheel on the shelf, with its hash or with a wrong one."""
    content = (folder / "spanner-1.0-py3-none-any.whl").read_bytes()
    seen = hashlib.sha256(content if right else b"another").hexdigest()
    path = folder.parent / "one.lock"
    path.write_text(f"spanner==1.0 \\\n    --hash=sha256:{seen}\n", "utf-8")
    return path


def test_the_environment_holds_the_list_and_is_used_again(shelf: Path, tmp_path: Path) -> None:
    folder, wanted = tmp_path / "vénv with space", lock(shelf)
    python = start.prepare(folder, wanted)
    size = subprocess.run(
        [python, "-c", "import spanner; print(spanner.SIZE)"], capture_output=True, check=True
    )
    assert size.stdout.strip() == b"17"
    (shelf / "spanner-1.0-py3-none-any.whl").unlink()  # a second installation would fail
    assert start.prepare(folder, wanted) == python


def test_a_changed_list_makes_the_environment_anew(shelf: Path, tmp_path: Path) -> None:
    folder, wanted = tmp_path / "venv", lock(shelf)
    start.prepare(folder, wanted)
    left = folder / "left-over"
    left.touch()
    wanted.write_text(wanted.read_text("utf-8") + "\n", "utf-8")
    start.prepare(folder, wanted)
    assert not left.exists()


def test_a_package_with_another_hash_is_refused(shelf: Path, tmp_path: Path) -> None:
    folder = tmp_path / "venv"
    with pytest.raises(start.SetupError, match="do not install it"):
        start.prepare(folder, lock(shelf, right=False))
    assert start.prepare(folder, lock(shelf)).exists()


def test_a_folder_made_by_somebody_else_is_left_alone(shelf: Path, tmp_path: Path) -> None:
    kept = tmp_path / "mine" / "letter.txt"
    kept.parent.mkdir()
    kept.write_text("dear all", "utf-8")
    with pytest.raises(start.SetupError, match="is left alone"):
        start.prepare(kept.parent, lock(shelf))
    assert kept.read_text("utf-8") == "dear all"


def test_without_a_network_the_words_are_plain(tmp_path: Path) -> None:
    done = run_start(tmp_path, PIP_NO_INDEX="0", PIP_INDEX_URL="http://127.0.0.1:9/")
    assert done.returncode == start.SETUP_FAILED
    assert "pip could not install the packages" in done.stderr
    assert "check the network" in done.stderr
    assert "Traceback" not in done.stderr


def test_without_pip_the_words_are_plain() -> None:
    words = start.reason_of(["/usr/bin/python3: No module named pip"], Path("a.log"))
    assert "has no pip" in words


def run_start(tmp_path: Path, **variables: str) -> subprocess.CompletedProcess[str]:
    named = {"UNDERSET_VENV": str(tmp_path / "venv"), "PIP_FIND_LINKS": "", **PIP, **variables}
    return subprocess.run(
        [sys.executable, str(start.ROOT / "start.py"), "--help"],
        env={**os.environ, **named},
        cwd=tmp_path,
        capture_output=True,
        text=True,
        check=False,
    )


def test_a_place_may_be_named(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("UNDERSET_VENV", str(tmp_path / "here"))
    assert start.place("UNDERSET_VENV", ".venv") == tmp_path / "here"
    monkeypatch.setenv("UNDERSET_VENV", "")
    assert start.place("UNDERSET_VENV", ".venv") == start.ROOT / ".venv"


def test_an_unknown_step_of_the_gate_is_told(capsys: pytest.CaptureFixture[str]) -> None:
    assert check.main(["polish"]) == 2
    assert "format lint types imports tests docs pages" in capsys.readouterr().err


def test_the_gate_fails_when_any_step_fails(capsys: pytest.CaptureFixture[str]) -> None:
    good, bad = check.Outcome("lint", True, 1.0), check.Outcome("types", False, 2.0)
    assert check.summary([good], 1.0) == 0
    assert check.summary([good, bad], 3.0) == 1
    assert "These failed: types." in capsys.readouterr().out


def test_a_missing_program_is_named_and_fails_the_gate(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(check, "find_program", lambda name: None if name == "chromium" else name)
    monkeypatch.setattr(check.shutil, "which", lambda name: None)
    with pytest.raises(check.SetupError, match=r"missing: chromium \(package chromium\)"):
        check.provide_programs()


def test_a_missing_program_is_installed_where_that_is_possible(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    there, asked = {"chromium"}, []

    def apt(*arguments: str) -> None:
        asked.append(arguments)
        there.update(["initdb", "pg_ctl"] if arguments[0] == "install" else [])

    monkeypatch.setattr(check, "find_program", lambda name: name if name in there else None)
    monkeypatch.setattr(check, "may_install", lambda: True)
    monkeypatch.setattr(check, "apt", apt)
    check.provide_programs()
    assert asked[0] == ("update",)
    assert asked[1][-1] == "postgresql"
