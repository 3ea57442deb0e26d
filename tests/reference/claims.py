"""One claim of a published source: asserted here, and recorded for the page of validations.

With UNDERSET_CLAIMS naming a file, every claim that held is added to it as one line of JSON; the
page is written from those lines, so it can say nothing that no test has shown.
"""

from __future__ import annotations

import json
import os
from collections.abc import Sequence
from pathlib import Path

Numbers = float | Sequence[float]

# How far the source was seen.
READ = "read in the document itself or on its official host"
SECOND_HAND = "read second-hand: a mirror, trade page, forum or summary"
MEMORY = "inputs from memory, not read; worked out here"
DERIVED = "worked out here from a published formula or rule"

EXACT = 1e-9


def claim(
    id: str,
    text: str,
    *,
    source: str,
    where: str,
    seen: str,
    printed: Numbers,
    ours: Numbers,
    tolerance: float,
    reason: str,
) -> None:
    """Assert that `ours` lies within `tolerance` of `printed`, in the units of the source."""
    assert seen in (READ, SECOND_HAND, MEMORY, DERIVED), seen
    assert reason, f"{id}: a tolerance needs its reason"
    expected, got = many(printed), many(ours)
    assert len(expected) == len(got), f"{id}: {len(got)} figures for {len(expected)}"
    for want, have in zip(expected, got, strict=True):
        assert abs(have - want) <= tolerance, (
            f"{id}: {text}: {source} has {printed}, ours is {ours}, allowed ± {tolerance}"
        )
    record(
        {
            "id": id,
            "text": text,
            "source": source,
            "where": where,
            "seen": seen,
            "printed": expected,
            "ours": got,
            "tolerance": tolerance,
            "reason": reason,
        }
    )


def many(numbers: Numbers) -> list[float]:
    if isinstance(numbers, Sequence):
        return [float(number) for number in numbers]
    return [float(numbers)]


def record(row: dict[str, object]) -> None:
    path = os.environ.get("UNDERSET_CLAIMS")
    if path:
        with Path(path).open("a", encoding="utf-8") as file:
            file.write(json.dumps(row, ensure_ascii=False) + "\n")
