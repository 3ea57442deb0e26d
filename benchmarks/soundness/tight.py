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
MANY = (3, 2)  # limits put to the demand of one usable case; figures left out, one at a time


def tightened(
    case: Drawn, plan: Data, rng: np.random.Generator, many: tuple[int, int] = MANY
) -> Iterator[Drawn]:
    """A few cases with a limit put where the demand is, and a few that lack one figure."""
    limits, lacking = many
    for index in rng.choice(len(WAYS), limits, replace=False):
        way, hair = WAYS[int(index)], float(rng.choice(HAIRS))
        made = copy.deepcopy(case)
        if way(made, plan, 1.0 + hair):
            made.name = f"{case.name}/{way.__name__.strip('_')}{hair:+g}"
            yield made
    for _ in range(lacking):
        made = copy.deepcopy(case)
        where = _left_out(made, plan, rng)
        made.name = f"{case.name}/without {where}"
        yield made


def _left_out(case: Drawn, plan: Data, rng: np.random.Generator) -> str:
    """One figure or answer that the records may lack, taken out; where it stood comes back."""
    used = {n for a in plan["setting"]["arms"].values() for n in a["stack"]}
    places = [*_leaves(case.vehicle, "vehicle"), *_leaves(case.bay, "bay")]
    for name in used:
        places += _leaves(case.adapters[name], name)
    holder, key, where = places[int(rng.integers(len(places)))]
    if key in _ANSWERS:
        holder[key] = "not asked"
    elif key in _WORDS:
        holder[key] = "not known"
    else:
        holder.pop(key)
    return where


def _leaves(holder: Data, where: str) -> list[tuple[Data, str, str]]:
    """Every figure and answer of a record that may be missing, with its table and its path."""
    found = []
    for key, entry in holder.items():
        path = f"{where}.{key}"
        if isinstance(entry, dict):
            found += _leaves(entry, path)
        elif key in ("point_sets", "points", "lots"):
            found += [x for i, item in enumerate(entry) for x in _leaves(item, f"{path}[{i}]")]
        if key in _MAY_LACK:
            found.append((holder, key, path))
    return found


_ANSWERS = (
    "rust_at_points", "repair_at_points", "hidden_payload", "person_in_vehicle",
    "air_suspension_in_lift_mode", "entered_straight",
)  # fmt: skip
_WORDS = ("propulsion", "floor_level", "floor_certificate")
_MAY_LACK = (
    *_ANSWERS, *_WORDS, "track_front", "track_rear", "tyre_width", "tyre_diameter", "length",
    "width", "width_mirrors", "height", "overhang_front", "sill_height", "front", "rear", "lf",
    "rr", "total", "front_share", "side", "droop_front", "droop_rear", "zones", "doors", "lids",
    "special_adapter", "flange_thickness", "flange_depth", "parked_swing", "profile",
    "limit", "pitch", "offset", "greatest_stack", "per_arm", "cg_low", "cg_high", "ceiling",
    "stop_bar", "free_ahead", "free_behind", "free_left", "free_right", "examined", "travel",
    "thread", "slot", "slot_depth", "inspected", "date", "carriage_difference", "drive_through",
    "roof_load_height",
)  # fmt: skip


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
    room, plate = _demand(plan, "cg_window", least=True), case.bay["plate"]
    least, most = figure(plate.get("cg_low")), figure(plate.get("cg_high"))
    if room is None or least is None or most is None:
        return False
    plate["cg_low"] = f"{least[0] + room + by - 1.0!r} m"
    plate["cg_high"] = f"{most[0] - room - by + 1.0!r} m"
    return True


def _rating(case: Drawn, plan: Data, by: float) -> bool:
    demand = _demand(plan, "adapter_load")
    if not demand:
        return False
    for name in {n for a in plan["setting"]["arms"].values() for n in a["stack"]}:
        case.adapters[name]["rating"] = f"{demand / G0 * by!r} kg"
    return True


def _travel(case: Drawn, plan: Data, by: float) -> bool:
    """Screws no longer than the plan turns them out."""
    arms = plan["setting"]["arms"].values()
    for name in {n for a in arms for n in a["stack"]}:
        used = max(a["screw_m"] for a in arms if name in a["stack"])
        if case.adapters[name]["role"] == "head":
            case.adapters[name]["travel"] = f"{used * by!r} m"
    return True


def _job_push(case: Drawn, plan: Data, by: float) -> bool:
    ratio = _demand(plan, "job_push", least=True)
    if ratio is None or case.job is None or ratio <= 0.0:
        return False
    for step in case.job["steps"]:
        if step["kind"] == "push":
            value, tol = figure(step["force"]) or (0.0, 0.0)
            step["force"] = f"{(value + tol) * ratio * by!r} N"
    return True


def _unsure(case: Drawn, plan: Data, by: float) -> bool:
    """Points known just as well as the window has room."""
    low, high = plan["setting"]["window_m"]
    room = min(plan["setting"]["spot_m"] - low, high - plan["setting"]["spot_m"])
    if room <= 0.0:
        return False
    for p in case.vehicle["point_sets"][0]["points"]:
        p["aft"] = f"{sure(p['aft'])!r} ± {room * by!r} m"
    return True


def _wide(case: Drawn, plan: Data, by: float) -> bool:
    plate, sizes = case.bay["plate"], case.vehicle["sizes"]
    width, base = figure(sizes.get("width")), figure(sizes["wheelbase"])
    if width is None or base is None:
        return False
    plate["width_high"] = f"{sum(width) * by!r} m"
    plate["wheelbase_high"] = f"{sum(base) * by!r} m"
    plate["wheelbase_low"] = f"{(base[0] - base[1]) / by!r} m"
    return True


def _highest(case: Drawn, plan: Data, by: float) -> bool:
    """A lift that ends where the job wants it highest."""
    wanted = [c["limit"] for c in plan["states"][0]["checks"] if c["name"] == "overhead"]
    if not wanted or wanted[0] is None:
        return False
    case.bay["seat"]["highest"] = f"{wanted[0] * by!r} m"
    return True


WAYS = (
    _rated, _arm_load, _point_load, _reach, _zone, _ceiling, _split, _stack, _count, _cg_window,
    _rating, _travel, _job_push, _unsure, _wide, _highest,
    _policy("gap_arm", "arm_tyre", "m", 1.0), _policy("gap_arm", "arm_zone", "m", 1.0),
    _policy("gap_arm", "arm_arm", "m", 1.0), _policy("gap_arm", "pad_zone", "m", 1.0),
    _policy("gap_mirror", "drive_through", "m", 1.0),
    _policy("clear_space", "clear_space", "m", 1.0),
    _policy("edge_stop", "cg_edge", "m", 1.0), _policy("least_pad_stop", "least_pad", "%", 100.0),
    _policy("push_force", "push_tip", "N", 0.5), _policy("push_force", "push_unload", "N", 0.5),
    _policy("push_force", "push_slide", "N", 0.5),
)  # fmt: skip
