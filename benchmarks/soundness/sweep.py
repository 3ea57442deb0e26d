"""Planning drawn cases and having each plan called usable judged a second time."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from benchmarks.soundness.judge import broken
from benchmarks.soundness.tight import tightened
from benchmarks.soundness.workshops import TODAY, Drawn, drawn
from underset.app import Wish, make_plan
from underset.card import plan_json
from underset.errors import InputError
from underset.records import Vehicle, Workshop
from underset.records.massprior import mass_prior
from underset.records.prior import front_share_prior, height_prior, side_prior

Data = dict[str, Any]
ODD = "found, not usable"
PRIORS = {
    "mass": mass_prior,
    "front_share": front_share_prior,
    "side": side_prior,
    "height": height_prior,
}


@dataclass
class Seen:
    """What became of one case: outcome, and what the second judge holds against a usable plan."""

    name: str
    outcome: str
    refused: list[str] = field(default_factory=list)
    checks: list[str] = field(default_factory=list)


def facts_of(case: Drawn, shop: Workshop) -> Data:
    """What the second judge reads."""
    return {
        "vehicle": case.vehicle,
        "bay": case.bay,
        "bay_id": "bay",
        "adapters": case.adapters,
        "policy": {t.name: t.value for t in shop.policy.thresholds},
        "job": case.job,
        "about": case.about,
        "today": TODAY,
        "priors": priors_of(shop.vehicles["car"]),
    }


def priors_of(car: Vehicle) -> dict[str, tuple[float, float]]:
    """Published figures for what nobody weighed, from the record side."""
    found = {name: prior(car) for name, prior in PRIORS.items()}  # type: ignore[operator]
    return {k: (p.mean, p.half_width) for k, p in found.items() if p is not None}


def planned(case: Drawn) -> tuple[Data | None, Workshop | None, str]:
    """The plan as JSON, or None and why the records were refused."""
    try:
        shop = case.workshop()
        wish = Wish("car", "job" if case.job else None, ("bay",), remedies=False)
        plan = make_plan(shop, wish, TODAY).plan
    except InputError as error:
        return None, None, str(error)
    return json.loads(json.dumps(plan_json(plan))), shop, ""


def seen(case: Drawn, rng: np.random.Generator) -> tuple[Seen, Data | None]:
    """Plan one case; judge it a second time where it is called usable."""
    plan, shop, why = planned(case)
    if plan is None or shop is None:
        return Seen(case.name, "refused input", checks=[why[:80]]), None
    if plan["usable"]:
        told = broken(plan, facts_of(case, shop), rng)
        return Seen(case.name, "usable", told), plan
    if plan["outcome"] == "found":
        return Seen(case.name, ODD, checks=_bad(plan)), plan
    return Seen(case.name, plan["outcome"], checks=[r["check"] for r in plan["refusals"]]), plan


def _bad(plan: Data) -> list[str]:
    checks = [c for s in plan["states"] for c in s["checks"]]
    return [f"{c['name']} {c['status']}" for c in checks if c["status"] in ("stops", "not known")]


def cases(seed: int, number: int) -> Iterator[Seen]:
    """One drawn case, and where it is usable in some cases the same with a limit hit exactly."""
    case = drawn(seed, number)
    rng = np.random.default_rng((seed, number, 1))
    first, plan = seen(case, rng)
    yield first
    if first.outcome == "usable" and plan is not None:
        for tight in tightened(case, plan, rng):
            yield seen(tight, rng)[0]


def swept(seed: int, numbers: range) -> tuple[Counter[str], list[Seen]]:
    """Counts by outcome over some numbers of a seed, every false usable and what else is odd."""
    counts, false = Counter[str](), []
    for number in numbers:
        for one in cases(seed, number):
            counts["cases"] += 1
            counts[one.outcome] += 1
            counts["limits hit"] += "/" in one.name
            counts["limits hit and usable"] += "/" in one.name and one.outcome == "usable"
            counts["false usable"] += bool(one.refused)
            false += [one] if one.refused or one.outcome == ODD else []
    return counts, false
