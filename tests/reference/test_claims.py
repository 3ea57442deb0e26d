"""The recorder of claims refuses a wrong figure and writes only what held."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.reference.claims import DERIVED, claim


def one(ours: float | tuple[float, ...], **changes: object) -> None:
    row: dict[str, object] = {
        "source": "two and two",
        "where": "everywhere",
        "seen": DERIVED,
        "printed": 4.0,
        "tolerance": 0.01,
        "reason": "rounded",
        **changes,
    }
    claim("sum", "two and two", ours=ours, **row)  # type: ignore[arg-type]


def test_a_claim_that_holds_is_recorded(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "claims"
    monkeypatch.setenv("UNDERSET_CLAIMS", str(path))
    one(4.004)
    one((4.0,))
    rows = [json.loads(line) for line in path.read_text("utf-8").splitlines()]
    assert [row["ours"] for row in rows] == [[4.004], [4.0]]
    assert rows[0]["printed"] == [4.0]
    assert rows[0]["seen"] == DERIVED


@pytest.mark.parametrize(
    ("ours", "changes"),
    [
        (4.02, {}),
        (float("nan"), {}),
        ((4.0, 4.0), {}),
        (4.0, {"reason": ""}),
        (4.0, {"seen": "somehow"}),
    ],
)
def test_a_claim_that_does_not_hold_fails_and_is_not_recorded(
    ours: float, changes: dict[str, object], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "claims"
    monkeypatch.setenv("UNDERSET_CLAIMS", str(path))
    with pytest.raises(AssertionError):
        one(ours, **changes)
    assert not path.exists()
