"""Long runs whose figures were written down: docs/measured/*.toml as one section of a page.

A file says what was run, when and where, and what came of it; all six keys of a file but `note`,
and all of a row but `unit` and `note`, are needed:

    title = "Faults put into the sample's records"
    date = 2026-11-25
    machine = "two cores of an AMD EPYC, 23 GiB, Linux, Python 3.11"
    command = "python -m benchmarks.mutate_records"
    note = "one sentence, if one is needed"

    [[rows]]
    name = "faults tried"
    value = 8000        # a number, or a text
    unit = "faults"
    note = ""
"""

from __future__ import annotations

import tomllib
from datetime import date
from pathlib import Path
from typing import Any

from docs.generators._words import code, table

FOLDER = Path(__file__).resolve().parents[1] / "measured"
NEEDED = {"title": str, "date": date, "machine": str, "command": str, "rows": list}
ROW_NEEDED = {"name": str, "value": (int, float, str)}
EXTRA = {"note": str}
ROW_EXTRA = {"unit": str, "note": str}


def section() -> str:
    """The section of all files, by name of the file."""
    parts = [_part(read(path)) for path in sorted(FOLDER.glob("*.toml"))]
    told = "\n\n".join(parts) or "Nothing is written down yet."
    return f"""## Measured on our machine

Runs too long for the gate. Each was run by hand with the command named; its figures were written
down in `docs/measured` and hold for that day's code. Run the command again to judge today's.

{told}"""


def read(path: Path) -> dict[str, Any]:
    """One file, or SystemExit with what is wrong in it."""
    data = tomllib.loads(path.read_text("utf-8"))
    _checked(data, NEEDED, EXTRA, path.name)
    for number, row in enumerate(data["rows"], start=1):
        _checked(row, ROW_NEEDED, ROW_EXTRA, f"{path.name}, row {number}")
    return data


def _checked(table: Any, needed: dict[str, Any], extra: dict[str, Any], place: str) -> None:
    if not isinstance(table, dict):
        raise SystemExit(f"{place}: a table of {', '.join(needed)} stands here")
    for key in sorted(set(needed) | set(table)):
        kind = needed.get(key) or extra.get(key)
        if kind is None:
            raise SystemExit(f"{place}: {key} is none of {', '.join((*needed, *extra))}")
        if key not in table or not isinstance(table[key], kind) or isinstance(table[key], bool):
            raise SystemExit(f"{place}: {key} is missing or of the wrong kind")


def _part(data: dict[str, Any]) -> str:
    rows = [
        (r["name"], _shown(r["value"]), r.get("unit", ""), r.get("note", "")) for r in data["rows"]
    ]
    note = f"\n\n{data['note']}" if data.get("note") else ""
    return f"""### {data["title"]}

{data["date"]}, {data["machine"]}: {code(data["command"])}{note}

{table(["figure", "value", "unit", "note"], rows)}"""


def _shown(value: float | str) -> str:
    if isinstance(value, int):
        return f"{value:,}"
    return f"{value:.6g}" if isinstance(value, float) else value
