"""A second judge, plain and slow, from the rules alone: NumPy springs, Shapely, sampling.

It reads records and a plan as JSON and shares no code with the product. For a plan called usable
it returns every rule that the plan breaks; an empty list is agreement. A rule whose figure is
missing is broken as well ("needs ...").
"""

from __future__ import annotations

from datetime import date
from typing import Any

import numpy as np

from benchmarks.soundness.bearing import Footing, bearing
from benchmarks.soundness.ledger import Draws, State, kerb, states_of
from benchmarks.soundness.papers import papers
from benchmarks.soundness.placing import arms
from benchmarks.soundness.room import overhead, room
from benchmarks.soundness.stacks import stacks
from benchmarks.soundness.wayin import ways_in

Data = dict[str, Any]
DRAWS = 32


def broken(plan: Data, shop: Data, rng: np.random.Generator) -> list[str]:
    """Every rule a usable plan breaks.

    `shop` holds vehicle, bay, bay_id, adapters, policy (SI by name), and perhaps job, about, priors
    (name -> mean and half width), today and draws.
    """
    setting = plan["setting"]
    facts = {"priors": {}, "today": date(2026, 11, 20), **shop}
    sets = facts["vehicle"]["point_sets"]
    points = next(p for p in sets if p["id"] == setting["point_set"])["points"]
    facts["points"] = {p["corner"]: p for p in points}
    told = arms(setting, facts, facts["points"], rng)
    told += stacks(setting, facts, facts["points"], rng)
    told += papers(setting, facts)
    told += room(setting, facts, facts["points"])
    told += ways_in(setting, facts, sure_of_it=False)
    return told + _in_states(setting, facts, rng)


def _in_states(setting: Data, facts: Data, rng: np.random.Generator) -> list[str]:
    draws = Draws(rng, facts.get("draws", DRAWS))
    start = kerb(facts["vehicle"], draws, facts["priors"])
    if start is None:
        return ["needs mass and balance"]
    states: list[State] = states_of(facts["vehicle"], facts.get("job"), draws, start)
    foot = Footing(setting, facts, facts["points"], draws)
    return overhead(setting, facts, states) + bearing(setting, facts, foot, states)
