"""A usable case drawn again in part: the same arms and points, other loads, jobs, rooms and limits.

Most drawn workshops fail at something plain, such as an arm that meets another. Where arms, points
and stacks are known to suit each other, everything else is drawn anew, so that more cases come as
far as loads, stability and room, hard ones included.
"""

from __future__ import annotations

import copy
from collections.abc import Iterator
from typing import Any

import numpy as np

from benchmarks.soundness import vehicles, workshops
from benchmarks.soundness.figures import figure, sure, value
from benchmarks.soundness.vehicles import Draw
from benchmarks.soundness.workshops import Drawn

Data = dict[str, Any]
TIMES = 14  # a usable case is drawn again
PARTS = 3  # redrawn at most at a time


def again(case: Drawn, rng: np.random.Generator) -> Iterator[Drawn]:
    """The case a few times, each time with one to three parts of it drawn anew."""
    for number in range(TIMES):
        missing = float(rng.choice((0.0, 0.0, 0.0, 0.01)))
        d = Draw(rng, missing, float(rng.choice((0.0, 0.5, 1.0))), hard=bool(rng.random() < 0.5))
        made = copy.deepcopy(case)
        picked = rng.choice(len(WAYS), int(rng.integers(1, PARTS + 1)), replace=False)
        for index in sorted(picked):
            WAYS[index](made, d)
        made.name = f"{case.name}/again {number}"
        yield made


def _weights(case: Drawn, d: Draw) -> None:
    """Other weights round the same mass; a hard one may be near what the lift may carry."""
    w = case.vehicle["weights"]
    told = [value(w.get(k)) for k in ("lf", "rf", "lr", "rr", "front", "rear", "total")]
    mass = sum(x for x in told if x) or 1500.0
    case.vehicle["weights"] = vehicles._weights(d, mass * d.between(0.7, 1.5 if d.hard else 1.1))
    case.vehicle["balance"] = vehicles._balance(d, _height(case))


def _work(case: Drawn, d: Draw) -> None:
    """Another job, on other parts."""
    case.vehicle["components"] = vehicles._components(d, sure(case.vehicle["sizes"]["wheelbase"]))
    case.job = vehicles.job(d, case.vehicle)


def _policy(case: Drawn, d: Draw) -> None:
    case.policy = workshops.policy(d)


def _below(case: Drawn, d: Draw) -> None:
    """Other zones below the body."""
    sizes = case.vehicle["sizes"]
    up = sum(sure(p["up"]) for p in case.vehicle["point_sets"][0]["points"]) / 4
    half = (value(sizes.get("width")) or 1.8) / 2
    case.vehicle["zones"] = vehicles._zones(d, sure(sizes["wheelbase"]), half, up)


def _around(case: Drawn, d: Draw) -> None:
    """Other doors, lids and walls."""
    sizes = case.vehicle["sizes"]
    half = (value(sizes.get("width")) or 1.8) / 2
    case.vehicle["doors"] = vehicles._doors(d, sure(sizes["wheelbase"]), half)
    case.vehicle["lids"] = vehicles._lids(d, _height(case))
    case.bay["surroundings"] = workshops._surroundings(d)


def _plate(case: Drawn, d: Draw) -> None:
    """Another plate on the lift; loads and tolerances of arms and carriages as well."""
    bay = case.bay
    rated = sure(bay["plate"]["rated"]) * d.between(0.75 if d.hard else 0.9, 1.1)
    bay["plate"] = workshops._plate(d, rated, d.figure(rated * 2.4, rated * 4.0, "N", rated * 0.02))
    bay["carriage_difference"] = d.dice(0.3, d.figure(0.0, 0.03, "m", 0.002), vehicles.NOT_GIVEN)
    for arm in bay["arms"].values():
        arm.pop("limit", None)
        if d.flip(0.15):
            arm["limit"] = d.maybe(d.figure(rated * 2.4, rated * 4.0, "N"))


def _unsure(case: Drawn, d: Draw) -> None:
    """Points, sizes and pieces measured less well."""
    for points in case.vehicle["point_sets"]:
        for p in points["points"]:
            for key, tol in (("aft", 0.006), ("side", 0.006), ("up", 0.008)):
                p[key] = _blurred(d, p[key], tol)
    sizes = case.vehicle["sizes"]
    for key in ("wheelbase", "track_front", "track_rear", "tyre_width", "height", "width"):
        if figure(sizes.get(key)):
            sizes[key] = _blurred(d, sizes[key], 0.015)
    case.bay["seat"]["lowest"] = _blurred(d, case.bay["seat"]["lowest"], 0.003)


def _shelf(case: Drawn, d: Draw) -> None:
    """Pieces rated lower, fewer of them, other rubber, other spacers beside them."""
    for piece in case.adapters.values():
        piece["rating"] = d.figure(500.0 if d.hard else 1000.0, 2000.0, "kg", 20.0)
        piece["clean_rubber"] = d.flip(0.4)
        for lot in piece["lots"]:
            lot["count"] = d.pick(4, 4, 8, 3) if d.hard else d.pick(4, 8)
    case.adapters["spacer-again"] = workshops._piece(
        d, "spacer", case.bay["seat"]["interface"], 8, []
    )


def _height(case: Drawn) -> float:
    return value(case.vehicle["sizes"].get("height")) or 1.6


def _blurred(d: Draw, text: str, tol: float) -> str:
    """The same length with a tolerance of its own, up to `tol`."""
    return d.text(sure(text), "m", tol)


WAYS = (_weights, _work, _policy, _below, _around, _plate, _unsure, _shelf)
