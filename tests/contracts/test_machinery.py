"""The tests' own machinery: browser and database are really there, and a skip is told."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.contracts.source_tree import ROOT


@pytest.mark.browser
def test_the_browser_shows_a_page(page) -> None:
    page.set_content("<title>Bay</title><button onclick=\"document.title='Set'\">Set</button>")
    page.click("button")
    assert page.title() == "Set"


@pytest.mark.postgres
def test_a_new_database_is_empty_and_takes_rows(postgres_url: str) -> None:
    import psycopg

    with psycopg.connect(postgres_url) as connection:
        tables = "SELECT count(*) FROM pg_tables WHERE schemaname = 'public'"
        assert connection.execute(tables).fetchone() == (0,)
        connection.execute("CREATE TABLE bay (name text)")
        connection.execute("INSERT INTO bay VALUES ('north')")
        assert connection.execute("SELECT name FROM bay").fetchall() == [("north",)]


SKIPPING = "import pytest\n\ndef test_x():\n    pytest.skip('no lift here')\n"


@pytest.mark.parametrize(("gate", "code", "word"), [("1", 1, "1 failed"), ("0", 0, "1 skipped")])
def test_a_skip_fails_the_gate_only(tmp_path: Path, gate: str, code: int, word: str) -> None:
    (tmp_path / "test_x.py").write_text(SKIPPING, "utf-8")
    conftest = (ROOT / "tests" / "conftest.py").read_text("utf-8")
    (tmp_path / "conftest.py").write_text(conftest, "utf-8")
    done = subprocess.run(
        [sys.executable, "-m", "pytest", "-p", "no:cacheprovider", "-p", "no:schemathesis", "."],
        cwd=tmp_path,
        env={**os.environ, "UNDERSET_GATE": gate},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == code
    assert word in done.stdout
    assert (gate == "0") or "no lift here" in done.stdout
