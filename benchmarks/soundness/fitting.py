"""A drawn vehicle made to suit a drawn lift: without it nearly every case is out of reach.

The points are put where arms on their teeth can stand, at the middle of their zones, anywhere in
them or right at their edges; their height and contact suit pieces on the shelf. What then refuses
a case is everything else.
"""

from __future__ import annotations

import math

from benchmarks.soundness.figures import sure, value
from benchmarks.soundness.vehicles import CORNERS, Data, Draw

ARMS = dict(zip(CORNERS, ("left_front", "right_front", "left_rear", "right_rear"), strict=True))


def fit(d: Draw, car: Data, bay: Data, shelf: dict[str, Data]) -> None:
    """Move the points of the first set under the arms, and to a height that the shelf serves."""
    points = {p["corner"]: p for p in car["point_sets"][0]["points"]}
    pieces = [(k, a) for k, a in shelf.items() if a["role"] == "head" and a["contacts"]]
    pieces = [(k, a) for k, a in pieces if a["below"] == bay["seat"]["interface"]]
    aft = [sure(p["aft"]) for p in points.values()]
    spot = sum(aft) / 4 + d.between(-0.15, 0.15)
    if bay["arms"]["left_front"]["reach_high"] != bay["arms"]["left_rear"]["reach_high"]:
        spot += d.between(-0.3, 0.1)
    level = _level(d, bay, pieces)
    for corner, p in points.items():
        _under(d, p, bay, ARMS[corner], spot)
        if pieces and d.flip(0.95):
            _serve(d, p, pieces, car)
        if level is not None:
            up = level + d.between(0.0, d.pick(0.0, 0.01, 0.03 if d.hard else 0.015))
            p["up"] = d.text(up, "m", d.pick(0.0, 0.004))


def _level(d: Draw, bay: Data, pieces: list[tuple[str, Data]]) -> float | None:
    """A height of the points that some head reaches, perhaps with one turn to spare."""
    if not pieces or d.flip(0.05):
        return None
    _, head = d.pick(*pieces) if d.hard else pieces[0]
    travel = value(head.get("travel")) or 0.0
    low = sure(bay["seat"]["lowest"]) + sure(head["height"])
    if not d.hard:
        return low + d.between(0.0, travel) + d.pick(0.0, 0.02)
    return low + d.pick(0.0, travel, d.between(0.0, travel), d.between(0.0, 0.15))


def _serve(d: Draw, p: Data, pieces: list[tuple[str, Data]], car: Data) -> None:
    """One contact for both corners of an end: what the first head that is drawn for it serves."""
    end = p["corner"][1]
    chosen = car.setdefault("_served", {})
    if end not in chosen:
        head = d.pick(*pieces) if d.hard else pieces[0]
        first = d.pick(*head[1]["contacts"])
        chosen[end] = next(iter(chosen.values())) if chosen and d.flip(0.8) else first
    p["contact"] = chosen[end]
    if p["contact"] == "pinch weld":
        p["flange_thickness"] = d.maybe(d.figure(0.003, 0.008, "m"))
        p["flange_depth"] = d.maybe(d.figure(0.008, 0.02, "m"))


def _under(d: Draw, p: Data, bay: Data, name: str, spot: float) -> None:
    arm, teeth = bay["arms"][name], bay["restraint"]
    end, side = (1 if "front" in name else -1), (1 if "left" in name else -1)
    px, py = sure(arm["pivot_x"]), sure(arm["pivot_y"])
    x, y = spot - sure(p["aft"]), sure(p["side"])
    swing = math.atan2(end * (x - px), side * (py - y))
    pitch, offset = value(teeth.get("pitch")), value(teeth.get("offset"))
    if pitch and offset is not None:
        swing = offset + round((swing - offset) / pitch) * pitch
    reach = math.hypot(x - px, y - py)
    low, high = sure(arm["reach_low"]), sure(arm["reach_high"])
    reach = min(max(reach, low), high)
    part = d.pick(0.3, 0.6, 1.0) if d.hard else 0.3
    along, across = d.between(-part, part), d.between(-part, part)
    if d.hard and d.flip(0.3):
        reach = d.pick(reach, low, high)
        along, across = d.pick(*_OFFSETS), d.pick(*_OFFSETS)
    at_x = px + end * reach * math.sin(swing) - along * sure(p["along"])
    at_y = py - side * reach * math.cos(swing) - across * sure(p["across"])
    tol = d.pick(0.0, 0.0, 0.002)
    p["aft"], p["side"] = d.text(spot - at_x, "m", tol), d.text(at_y, "m", tol)


_OFFSETS = (-1.0, 0.0, 0.0, 1.0)
