"""A usable case made again with one limit hit exactly, or missed by a hair.

The limit is set to the demand that the plan prints, to a little above it, or to a little below it.
"""

from __future__ import annotations

import copy
from collections.abc import Iterator
from typing import Any

import numpy as np

from benchmarks.soundness.figures import figure, sure
from benchmarks.soundness.workshops import Drawn

Data = dict[str, Any]
G0 = 9.80665
HAIRS = (0.0, 0.0, 1e-6, 1e-4, -1e-6, -1e-4)
CHANCE = 0.5


def tightened(case: Drawn, plan: Data, rng: np.random.Generator) -> Iterator[Drawn]:
    """Perhaps one case with a limit put where the demand is."""
    if rng.random() > CHANCE:
        return
    made = copy.deepcopy(case)
    way = WAYS[int(rng.integers(len(WAYS)))]
    hair = float(rng.choice(HAIRS))
    if way(made, plan, 1.0 + hair):
        made.name = f"{case.name}/{way.__name__.strip('_')}{hair:+g}"
        yield made


def _demand(plan: Data, name: str, least: bool = False) -> float | None:
    found = [c["demand"] for s in plan["states"] for c in s["checks"] if c["name"] == name]
    found = [f for f in found if f is not None]
    return (min(found) if least else max(found)) if found else None


def _rated(case: Drawn, plan: Data, by: float) -> bool:
    demand = _demand(plan, "rated_load")
    if not demand:
        return False
    case.bay["plate"]["rated"] = f"{demand / G0 * by!r} kg"
    return True


def _arm_load(case: Drawn, plan: Data, by: float) -> bool:
    demand = _demand(plan, "arm_load")
    if not demand:
        return False
    for arm in case.bay["arms"].values():
        arm["limit"] = f"{demand * by!r} N"
    return True


def _point_load(case: Drawn, plan: Data, by: float) -> bool:
    for p in case.vehicle["point_sets"][0]["points"]:
        loads = [s["pads"][p["corner"]]["load_N"]["high"] for s in plan["states"] if s["pads"]]
        if not max(loads, default=0.0) > 0.0:
            return False
        p["limit"] = f"{max(loads) * by!r} N"
    return True


def _reach(case: Drawn, plan: Data, by: float) -> bool:
    for arm in plan["setting"]["arms"].values():
        case.bay["arms"][arm["arm"]]["reach_high"] = f"{arm['reach_m'] * by!r} m"
        if arm["reach_m"] * by <= sure(case.bay["arms"][arm["arm"]]["reach_low"]):
            return False
    return True


def _zone(case: Drawn, plan: Data, by: float) -> bool:
    """Zones that hold the pads at their edges: a window of no width."""
    for p in case.vehicle["point_sets"][0]["points"]:
        arm = plan["setting"]["arms"][p["corner"]]
        dx, dy = (abs(a - b) for a, b in zip(arm["pad_m"], arm["point_m"], strict=True))
        p["along"], p["across"] = f"{dx * by!r} m", f"{dy * by!r} m"
    return True


def _policy(name: str, check: str, unit: str, scale: float) -> Any:
    def way(case: Drawn, plan: Data, by: float) -> bool:
        demand = _demand(plan, check, least=True)
        if demand is None or demand <= 0.0:
            return False
        case.policy[name] = f"{demand * by * scale!r} {unit}"
        return True

    way.__name__ = f"_{name}"
    return way


def _ceiling(case: Drawn, plan: Data, by: float) -> bool:
    about, height = case.bay["surroundings"], figure(case.vehicle["sizes"].get("height"))
    found = next((c for c in plan["states"][0]["checks"] if c["name"] == "overhead"), None)
    if (
        found is None
        or found["demand"] is None
        or height is None
        or figure(about["ceiling"]) is None
    ):
        return False
    room = found["demand"] - found["limit"]
    about["ceiling"] = f"{(sure(about['ceiling']) - room) * by!r} m"
    return True


def _split(case: Drawn, plan: Data, by: float) -> bool:
    demand = _demand(plan, "pad_split")
    if not demand:
        return False
    case.bay["plate"]["split_high"] = "not given"
    case.policy["split_wide"] = case.policy["split_narrow"] = f"{100 * demand * by!r} %"
    return True


def _stack(case: Drawn, plan: Data, by: float) -> bool:
    demand = _demand(plan, "stack_height")
    if not demand:
        return False
    case.bay["seat"]["greatest_stack"] = f"{demand * by!r} m"
    return True


def _count(case: Drawn, plan: Data, by: float) -> bool:
    """Just as many pieces as the plan uses, or one fewer."""
    used = [n for a in plan["setting"]["arms"].values() for n in a["stack"]]
    for name in set(used):
        lots = case.adapters[name]["lots"]
        lots[:] = [{**lots[0], "count": used.count(name) - (by < 1.0), "where": "shelf",
                    "in_service": True}]  # fmt: skip
    return True


def _cg_window(case: Drawn, plan: Data, by: float) -> bool:
    states = [s for s in plan["states"] if s["cg_m"]]
    if not states:
        return False
    xs = [s["cg_m"][0] for s in states]
    case.bay["plate"]["cg_low"] = f"{min(xs) - 0.03 * by!r} m"
    case.bay["plate"]["cg_high"] = f"{max(xs) + 0.03 * by!r} m"
    return True


WAYS = (
    _rated, _arm_load, _point_load, _reach, _zone, _ceiling, _split, _stack, _count, _cg_window,
    _policy("gap_arm", "arm_tyre", "m", 1.0), _policy("gap_arm", "arm_zone", "m", 1.0),
    _policy("gap_arm", "arm_arm", "m", 1.0), _policy("gap_arm", "pad_zone", "m", 1.0),
    _policy("gap_mirror", "drive_through", "m", 1.0),
    _policy("clear_space", "clear_space", "m", 1.0),
    _policy("edge_stop", "cg_edge", "m", 1.0), _policy("least_pad_stop", "least_pad", "%", 100.0),
    _policy("push_force", "push_tip", "N", 0.5), _policy("push_force", "push_unload", "N", 0.5),
    _policy("push_force", "push_slide", "N", 0.5),
)  # fmt: skip
