"""Planning drawn cases and having each plan called usable judged a second time."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np

from benchmarks.soundness.again import again
from benchmarks.soundness.judge import broken
from benchmarks.soundness.tight import tightened
from benchmarks.soundness.workshops import TODAY, Drawn, drawn
from underset.app import Wish, make_plan
from underset.card import plan_json
from underset.errors import InputError
from underset.records import Vehicle, Workshop
from underset.records.massprior import mass_prior
from underset.records.prior import front_share_prior, height_prior, side_prior
from underset.setting import Plan

Data = dict[str, Any]
ODD = "found, not usable"
FEW = (2, 1)  # limits hit, and figures left out, of a case that was drawn again in part
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
    others: int = 0


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
    plan, shop, why = _planned(case)
    return (None if plan is None else _as_json(plan)), shop, why


def _planned(case: Drawn) -> tuple[Plan | None, Workshop | None, str]:
    try:
        shop = case.workshop()
        wish = Wish("car", "job" if case.job else None, ("bay",), remedies=False)
        return make_plan(shop, wish, TODAY).plan, shop, ""
    except InputError as error:
        return None, None, str(error)


def _as_json(plan: Plan) -> Data:
    made: Data = json.loads(json.dumps(plan_json(plan)))
    return made


def seen(case: Drawn, rng: np.random.Generator) -> tuple[Seen, Data | None]:
    """Plan one case; judge every setting that it offers a second time where it is usable."""
    made, shop, why = _planned(case)
    if made is None or shop is None:
        return Seen(case.name, "refused input", checks=[why[:80]]), None
    plan = _as_json(made)
    if plan["usable"]:
        facts = facts_of(case, shop)
        told = broken(plan, facts, rng)
        for number, other in enumerate(made.choices[1:], start=2):
            offered = _as_json(replace(made, best=other.evaluation, hold_points=(), scene=None))
            told += [f"choice {number}: {t}" for t in broken(offered, facts, rng)]
        return Seen(case.name, "usable", told, others=len(made.choices) - 1), plan
    if plan["outcome"] == "found":
        return Seen(case.name, ODD, checks=_bad(plan)), plan
    return Seen(case.name, plan["outcome"], checks=[r["check"] for r in plan["refusals"]]), plan


def _bad(plan: Data) -> list[str]:
    checks = [c for s in plan["states"] for c in s["checks"]]
    return [f"{c['name']} {c['status']}" for c in checks if c["status"] in ("stops", "not known")]


def cases(seed: int, number: int) -> Iterator[Seen]:
    """One drawn case; a usable one also drawn again in part, each with limits hit exactly."""
    case = drawn(seed, number)
    rng = np.random.default_rng((seed, number, 1))
    first, plan = seen(case, rng)
    yield first
    if first.outcome != "usable" or plan is None:
        return
    yield from (seen(tight, rng)[0] for tight in tightened(case, plan, rng))
    for other in again(case, rng):
        one, plan = seen(other, rng)
        yield one
        if one.outcome == "usable" and plan is not None:
            yield from (seen(tight, rng)[0] for tight in tightened(other, plan, rng, FEW))


def swept(seed: int, numbers: range) -> tuple[Counter[str], list[Seen]]:
    """Counts by outcome over some numbers of a seed, every false usable and what else is odd."""
    counts, false = Counter[str](), []
    for number in numbers:
        for one in cases(seed, number):
            counts["cases"] += 1
            counts[one.outcome] += 1
            counts["drawn again in part"] += "/again" in one.name
            hit = any(mark in one.name.rpartition("/")[2] for mark in ("+", "-", "without"))
            counts["limits hit"] += hit
            counts["limits hit and usable"] += hit and one.outcome == "usable"
            counts["further settings offered"] += one.others
            counts["false usable"] += bool(one.refused)
            false += [one] if one.refused or one.outcome == ODD else []
    return counts, false
