"""The page of validations: every claim of a published source that the reference tests have shown.

The tests themselves are run and write the rows, so the page can say nothing that no test has shown.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
from collections import Counter
from pathlib import Path
from typing import Any

from docs.generators._measured import section as measured
from docs.generators._words import table

ROOT = Path(__file__).resolve().parents[2]

PRACTICE = (
    "a screw pad travels up to about 76 mm (3 in), beyond that spacers",
    "frame cradles never stand under a battery vehicle",
    "all four arm restraints are in mesh before the load is taken",
    "contact is checked again with the tyres a hand's breadth off the floor; "
    "start again if one pad is loose",
    "lifting-point data is re-issued yearly",
    "improvised pieces never stand under a vehicle",
    "a quarter of the rated capacity on one arm where the plate gives no figure",
)

UNPROVED = (
    "stiffness of arms and pads: no published figure was found; the range is shop policy",
    "torsional stiffness of modern ladder frames: not found; the range is shop policy",
    "the factor 2 on a person's push, the least pad load and the distance to the edge: shop policy",
    "clause figures of EN 1493, of the North American lift standards and of SAE J2184: not seen, "
    "so none is used",
    "clearances (25, 50, 100 mm): shop policy; the geometry itself is held against Shapely",
    "the body's twist on pads that stand level: it moves up to 0.7 % of the weight between pads "
    "(16 drawn states) and is not in the range of a pad's load, which covers it but for 0.01 %",
    "tolerances of pivots, of an adapter's height and of the height of a push: taken as nominal",
    "the line about which the body twists: through the middles of both pairs of pads; the middle "
    "line of the vehicle would have moved a load of 3 kN by 0.02 N",
    "several stands at a time: each is followed alone",
    "the spot within a window: the first that nothing stops is taken, the middle first; of 15 "
    "plans of the sample to be watched, four would hold 9 to 22 cm on in the same bay, all by "
    "the checks of how the driver parks",
    "one tooth and one reach for each arm at a spot, those that bring the pad nearest its point: "
    "settings whose arms stand elsewhere in their zones are judged, not sought",
    "dynamics of raising and lowering, wear and creep: not computed",
)


def rows() -> list[dict[str, Any]]:
    """Run the reference tests and read what they recorded, by id."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "claims.jsonl"
        environment = {**os.environ, "UNDERSET_CLAIMS": str(path), "UNDERSET_GATE": ""}
        environment["PYTHONPATH"] = os.pathsep.join([str(ROOT / "src"), str(ROOT)])
        command = [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", "-p", "no:xdist"]
        done = subprocess.run(
            [*command, "tests/reference"], cwd=ROOT, env=environment, capture_output=True, text=True
        )
        if done.returncode:
            raise SystemExit(
                f"the reference tests fail:\n{done.stdout[-2000:]}{done.stderr[-500:]}"
            )
        found = {row["id"]: row for row in map(json.loads, path.read_text("utf-8").splitlines())}
    return [found[id] for id in sorted(found)]


def page() -> str:
    claims = rows()
    seen = Counter(row["seen"] for row in claims)
    kinds = "\n".join(f"- {count} {how}" for how, count in sorted(seen.items()))
    by_source: dict[str, list[dict[str, Any]]] = {}
    for row in claims:
        by_source.setdefault(row["source"], []).append(row)
    parts = "\n\n".join(
        f"### {source}\n\n{_table(by_source[source])}" for source in sorted(by_source)
    )
    return f"""# Validation

{len(claims)} figures from {len(by_source)} published sources are held against this program
by the tests in `tests/reference`, one file for each source. This page is written from what those
tests recorded; the command that makes it again is `python docs/generate.py`.

How far each source was seen:

{kinds}

Independent judges stand beside them in `tests/cross`: MuJoCo (contact, tipping, slipping, emptying
a pad), PyNite (frame on springs), Shapely (outlines, clearances, ways in), plain enumeration
(windows, stacks, the planner, what to buy, the day). In `benchmarks/soundness` a second
judge, written from the rules alone and sharing no code but the records and their published priors,
judges drawn plans again.

## Facts of the trade, common practice, no source

{chr(10).join(f"- {fact}" for fact in PRACTICE)}

## What has no outside check

{chr(10).join(f"- {gap}" for gap in UNPROVED)}

{measured()}

## Figures by source

{parts}
"""


def _table(claims: list[dict[str, Any]]) -> str:
    heads = ["claim", "where", "printed", "ours", "± allowed", "why so much"]
    return table(heads, [_row(row) for row in claims])


def _row(row: dict[str, Any]) -> tuple[str, ...]:
    digits = _digits(row["tolerance"])
    printed, ours = (", ".join(_number(x, digits) for x in row[k]) for k in ("printed", "ours"))
    return row["text"], row["where"], printed, ours, f"{row['tolerance']:g}", row["reason"]


def _digits(tolerance: float) -> int:
    """One digit more than the tolerance shows, four at the most."""
    return next((d for d in range(5) if tolerance >= 0.9 * 10.0 ** -(d - 1)), 4)


def _number(x: float, digits: int) -> str:
    text = f"{x:.{digits}f}"
    return text[1:] if text.startswith("-") and float(text) == 0.0 else text


PAGES = {"validation.md": page}
