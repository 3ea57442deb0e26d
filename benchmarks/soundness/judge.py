"""A second judge, plain and slow, from the rules alone: NumPy springs, Shapely, sampling.

It reads records and a plan as JSON and shares no code with the product. For a plan called usable
it returns every rule that the plan breaks; an empty list is agreement.
"""

from __future__ import annotations

import math
import re
from collections import Counter
from itertools import combinations
from typing import Any

import numpy as np
from shapely.affinity import rotate, translate
from shapely.geometry import LineString, Point, Polygon, box

G0 = 9.80665
FACTORS = {
    **{"mm": 1e-3, "cm": 1e-2, "m": 1.0, "in": 0.0254, "ft": 0.3048},
    **{"kg": 1.0, "t": 1e3, "lb": 0.45359237, "N": 1.0, "kN": 1e3, "lbf": 0.45359237 * G0},
    **{"deg": math.pi / 180, "°": math.pi / 180, "rad": 1.0, "%": 0.01},
    **{"N/mm": 1e3, "kN/mm": 1e6, "N m/deg": 180 / math.pi, "kN m/deg": 180e3 / math.pi},
}
NUMBER = r"[-+]?[0-9.]+(?:[eE][-+]?[0-9]+)?"
FORM = re.compile(rf"^\s*({NUMBER})\s*(?:(?:±|\+/-)\s*({NUMBER})\s*)?([A-Za-z°%/ ]+)$")
CORNERS = ("LF", "RF", "LR", "RR")
SERVED = {
    "nose-in": dict(
        zip(CORNERS, ("left_front", "right_front", "left_rear", "right_rear"), strict=True)
    ),
    "tail-in": dict(
        zip(CORNERS, ("right_rear", "left_rear", "right_front", "left_front"), strict=True)
    ),
}
EPS = 2e-6


def figure(text: Any) -> tuple[float, float] | None:
    """(value, tolerance) of a quantity as written; None for what is not given or not there."""
    if isinstance(text, dict):
        text = text["value"]
    if text is None or str(text).startswith(("not given", "none")):
        return None
    match = FORM.match(str(text))
    assert match is not None, text
    unit = match[3].strip()
    return float(match[1]) * FACTORS[unit], float(match[2] or 0.0) * FACTORS[unit]


def value(text: Any) -> float | None:
    """The value alone."""
    found = figure(text)
    return None if found is None else found[0]


def sure(text: Any) -> float:
    """The value of a figure that must be there."""
    found = value(text)
    assert found is not None
    return found


def broken(plan: dict[str, Any], shop: dict[str, Any], rng: np.random.Generator) -> list[str]:
    """Every rule a usable plan breaks. `shop` holds vehicle, bay, adapters, policy as JSON data."""
    setting = plan["setting"]
    vehicle, bay = shop["vehicle"], shop["bay"]
    points = next(p for p in vehicle["point_sets"] if p["id"] == setting["point_set"])["points"]
    points = {p["corner"]: p for p in points}
    pose = _pose(setting)
    told = _arms(setting, bay, points, pose)
    told += _stacks(setting, shop, points)
    told += _clear(setting, shop, points, pose)
    told += _loads(setting, shop, points, rng)
    return told


def _pose(setting: dict[str, Any]) -> tuple[float, float, float]:
    turn = math.radians(setting["yaw_deg"]) + (math.pi if setting["heading"] == "tail-in" else 0.0)
    return setting["spot_m"], setting["sideways_m"], turn


def _to_lift(pose: tuple[float, float, float], x: float, y: float) -> tuple[float, float]:
    s, t, a = pose
    return s + x * math.cos(a) - y * math.sin(a), t + x * math.sin(a) + y * math.cos(a)


# --- arms, teeth, zones ------------------------------------------------------------------------


def _arms(
    setting: dict[str, Any], bay: dict[str, Any], points: dict[str, Any], pose: Any
) -> list[str]:
    told = []
    for corner in CORNERS:
        s = setting["arms"][corner]
        place = SERVED[setting["heading"]][corner]
        arm, p = bay["arms"][place], points[corner]
        if s["arm"] != place:
            told.append(f"{corner}: wrong arm")
        swing, reach = math.radians(s["swing_deg"]), s["reach_m"]
        if not sure(arm["swing_low"]) - EPS <= swing <= sure(arm["swing_high"]) + EPS:
            told.append(f"{corner}: swing")
        if not sure(arm["reach_low"]) - EPS <= reach <= sure(arm["reach_high"]) + EPS:
            told.append(f"{corner}: reach")
        told += _tooth(corner, s, bay["restraint"], swing)
        end, side = (1 if "front" in place else -1), (1 if "left" in place else -1)
        pad = (
            sure(arm["pivot_x"]) + end * reach * math.sin(swing),
            sure(arm["pivot_y"]) - side * reach * math.cos(swing),
        )
        if math.dist(pad, s["pad_m"]) > 1e-6:
            told.append(f"{corner}: pad place")
        at = _to_lift(pose, -sure(p["aft"]), sure(p["side"]))
        dx, dy = pad[0] - at[0], pad[1] - at[1]
        along = dx * math.cos(pose[2]) + dy * math.sin(pose[2])
        across = -dx * math.sin(pose[2]) + dy * math.cos(pose[2])
        if abs(along) > sure(p["along"]) + EPS or abs(across) > sure(p["across"]) + EPS:
            told.append(f"{corner}: outside the zone")
    return told


def _tooth(corner: str, s: dict[str, Any], restraint: dict[str, Any], swing: float) -> list[str]:
    if restraint["kind"] == "missing":
        return [f"{corner}: no restraint"]
    pitch, offset = value(restraint.get("pitch")), value(restraint.get("offset"))
    if restraint["kind"] != "toothed" or pitch is None or offset is None:
        return []
    k = (swing - offset) / pitch
    return [] if abs(k - round(k)) * pitch < 1e-6 else [f"{corner}: between teeth"]


# --- stacks ------------------------------------------------------------------------------------


def _stacks(setting: dict[str, Any], shop: dict[str, Any], points: dict[str, Any]) -> list[str]:
    told: list[str] = []
    for corner in CORNERS:
        told += _pieces(setting, shop, corner, points[corner])
        told += _height(setting, shop, corner, points[corner])
    told += _counted(setting, shop)
    seat = shop["bay"]["seat"]
    if not sure(seat["lowest"]) - EPS <= setting["seat_m"] <= sure(seat["highest"]) + EPS:
        told.append("seat height")
    return told


def _pieces(
    setting: dict[str, Any], shop: dict[str, Any], corner: str, p: dict[str, Any]
) -> list[str]:
    told, s, types = [], setting["arms"][corner], shop["adapters"]
    face = shop["bay"]["seat"]["interface"]
    battery = "electric" in shop["vehicle"]["propulsion"]
    for name in s["stack"]:
        t = types[name]
        wrong = {
            f"{name} on {face}": t["below"] != face,
            f"{name} improvised": not t["maker_rated"],
            "cradle under a battery": bool(t.get("cradle")) and battery,
        }
        told += [f"{corner}: {what}" for what, is_so in wrong.items() if is_so]
        face = t.get("above")
    if p["contact"] not in types[s["stack"][-1]].get("contacts", []):
        told.append(f"{corner}: contact")
    return told


def _height(
    setting: dict[str, Any], shop: dict[str, Any], corner: str, p: dict[str, Any]
) -> list[str]:
    s, types = setting["arms"][corner], shop["adapters"]
    fixed = sum(sure(types[n]["height"]) for n in s["stack"])
    travel = sum(value(types[n].get("travel")) or 0.0 for n in s["stack"])
    tallest = value(shop["bay"]["seat"].get("greatest_stack"))
    stands = setting["seat_m"] + fixed + s["screw_m"]
    wrong = {
        "screw travel": not -EPS <= s["screw_m"] <= travel + EPS,
        "pad off its point in height": abs(stands - sure(p["up"])) > 1e-6,
        "stack too tall": tallest is not None and fixed + s["screw_m"] > tallest + EPS,
    }
    return [f"{corner}: {what}" for what, is_so in wrong.items() if is_so]


def _counted(setting: dict[str, Any], shop: dict[str, Any]) -> list[str]:
    used = Counter(n for c in CORNERS for n in setting["arms"][c]["stack"])
    here = ("shelf", shop["bay_id"])
    told = []
    for name, count in used.items():
        lots = shop["adapters"][name].get("lots", [])
        usable = [x for x in lots if x.get("in_service", True) and x.get("where", "shelf") in here]
        have = sum(x["count"] for x in usable)
        told += [f"{name}: {count} of {have}"] if count > have else []
    return told


# --- clearances --------------------------------------------------------------------------------


def _clear(
    setting: dict[str, Any], shop: dict[str, Any], points: dict[str, Any], pose: Any
) -> list[str]:
    bay, vehicle, gap = shop["bay"], shop["vehicle"], shop["policy"]["gap_arm"]
    strips = {c: _strip(setting, bay, c) for c in CORNERS}
    tyres = _tyres(vehicle, pose, setting["seat_m"] + max(t for _, t in strips.values()))
    told = []
    for corner, (sections, _) in strips.items():
        near = [t for t in tyres if min(s.distance(t) for s, _ in sections) < gap - EPS]
        told += [f"{corner}: arm at a tyre" for _ in near]
        for zone in vehicle.get("zones") or []:
            told += _under(corner, sections, zone, setting["seat_m"], gap, pose)
    for a, b in combinations(CORNERS, 2):
        if min(s.distance(t) for s, _ in strips[a][0] for t, _ in strips[b][0]) < gap - EPS:
            told.append(f"{a}-{b}: arms")
    for corner in CORNERS:
        told += _pad(setting, shop, corner, points[corner], pose)
    return told


def _pad(
    setting: dict[str, Any], shop: dict[str, Any], corner: str, p: dict[str, Any], pose: Any
) -> list[str]:
    s, gap = setting["arms"][corner], shop["policy"]["gap_arm"]
    head = shop["adapters"][s["stack"][-1]]
    disc = Point(s["pad_m"]).buffer((value(head.get("width")) or 0.0) / 2, 256)
    told = []
    for zone in shop["vehicle"].get("zones") or []:
        voltage = zone.get("high_voltage") or zone["kind"] == "battery"
        found = figure(zone["underside"])
        assert found is not None
        above = found[0] - found[1] >= sure(p["up"]) and not voltage
        if zone.get("touch") or above:
            continue
        if disc.distance(_placed(zone["outline"], pose)) < gap - 1e-4:
            told.append(f"{corner}: pad at {zone['id']}")
    return told


def _strip(
    setting: dict[str, Any], bay: dict[str, Any], corner: str
) -> tuple[list[tuple[Polygon, Any]], float]:
    """Sections of an arm in fine slices from the tip, each with its highest top."""
    s = setting["arms"][corner]
    arm = bay["arms"][s["arm"]]
    pivot = np.array([sure(arm["pivot_x"]), sure(arm["pivot_y"])])
    pad = np.array(s["pad_m"])
    inward = (pivot - pad) / np.linalg.norm(pivot - pad)
    normal = np.array([-inward[1], inward[0]])
    stations = sorted(
        (sure(t["from_tip"]), sure(t["half_width"]), sure(t["top"])) for t in arm["profile"]
    )
    reach, sections = s["reach_m"], []
    at = [x for x, _, _ in stations]
    cuts = np.unique(
        np.concatenate(
            [np.arange(max(at[0], 0.0), reach, 0.01), [x for x in at if x < reach], [reach]]
        )
    )
    wide = np.interp(cuts, at, [w for _, w, _ in stations])
    tops = np.interp(cuts, at, [t for _, _, t in stations])
    for i in range(len(cuts) - 1):
        a, b = pad + inward * cuts[i], pad + inward * cuts[i + 1]
        quad = Polygon(
            [
                a - normal * wide[i],
                b - normal * wide[i + 1],
                b + normal * wide[i + 1],
                a + normal * wide[i],
            ]
        )
        sections.append((quad, (tops[i], tops[i + 1], a, b)))
    return sections, max(t for _, _, t in stations)


def _under(
    corner: str, sections: Any, zone: dict[str, Any], seat: float, gap: float, pose: Any
) -> list[str]:
    outline = _placed(zone["outline"], pose)
    found = figure(zone["underside"])
    assert found is not None
    low = found[0] - found[1]
    for quad, (t0, t1, _, _) in sections:
        touching = quad.distance(outline) < gap - 1e-4
        if touching and quad.intersects(outline):
            if not zone.get("pass_under", True) or low - (seat + min(t0, t1)) < gap - 1e-4:
                return [f"{corner}: arm under {zone['id']}"]
        elif touching and not zone.get("pass_under", True):
            return [f"{corner}: arm beside {zone['id']}"]
    return []


def _placed(outline: Any, pose: Any) -> Polygon:
    return Polygon([_to_lift(pose, -sure(a), sure(b)) for a, b in outline])


def _tyres(vehicle: dict[str, Any], pose: Any, height: float) -> list[Polygon]:
    z, droop = vehicle["sizes"], vehicle.get("suspension", {})
    hang = [figure(droop.get(k)) for k in ("droop_front", "droop_rear")]
    lower = max(h[0] + h[1] for h in hang if h) if all(hang) else math.inf
    diameter, width = sure(z["tyre_diameter"]), sure(z["tyre_width"])
    r = diameter / 2
    at = min(height + lower, r)
    chord = 2 * math.sqrt(max(r * r - (r - at) ** 2, 0.0))
    made = []
    for x, track in ((0.0, sure(z["track_front"])), (-sure(z["wheelbase"]), sure(z["track_rear"]))):
        for side in (1, -1):
            flat = box(-chord / 2, -width / 2, chord / 2, width / 2)
            centre = _to_lift(pose, x, side * track / 2)
            made.append(translate(rotate(flat, math.degrees(pose[2]), origin=(0, 0)), *centre))
    return made


# --- loads by sampling ---------------------------------------------------------------------------


def _loads(
    setting: dict[str, Any], shop: dict[str, Any], points: dict[str, Any], rng: np.random.Generator
) -> list[str]:
    """Random draws within every tolerance: no draw may break a limit that stops."""
    policy, bay = shop["policy"], shop["bay"]
    pads = np.array([(-sure(points[c]["aft"]), sure(points[c]["side"])) for c in CORNERS])
    told: set[str] = set()
    for _ in range(shop.get("draws", 40)):
        mass, x, y = _drawn(shop["vehicle"], rng)
        level = rng.uniform(-1, 1, 4) * policy["level_pad"]
        k = rng.uniform(policy["pad_stiffness_low"], policy["pad_stiffness_high"])
        loads = _springs(pads, mass * G0, (x, y), level, k)
        weight = mass * G0
        if loads.min() < policy["least_pad_stop"] * weight - 1.0:
            told.add("least pad")
        share = (loads[0] + loads[1]) / loads.sum()
        limit = _split(bay, policy)
        if max(share, 1 - share) > limit + 1e-6:
            told.add("split")
        if mass > sure(bay["plate"]["rated"]) + 1e-6:
            told.add("rated")
        for corner, load in zip(CORNERS, loads, strict=True):
            arm = bay["arms"][SERVED[setting["heading"]][corner]]
            own = (
                value(arm.get("limit"))
                or value(bay["plate"].get("per_arm"))
                or policy["arm_share"] * sure(bay["plate"]["rated"]) * G0
            )
            if load > own + 1.0:
                told.add(f"{corner}: arm load")
            limit_here = value(points[corner].get("limit"))
            if limit_here is not None and load > limit_here + 1.0:
                told.add(f"{corner}: point load")
        hull = LineString([*pads[[0, 1, 3, 2]], pads[0]])
        inside = Polygon(pads[[0, 1, 3, 2]]).contains(Point(x, y))
        if not inside or hull.distance(Point(x, y)) < policy["edge_stop"] - 1e-6:
            told.add("edge")
    return sorted(told)


def _drawn(vehicle: dict[str, Any], rng: np.random.Generator) -> tuple[float, float, float]:
    """Mass and CG drawn from the scales' tolerances (corner or axle loads only)."""
    w, z = vehicle["weights"], vehicle["sizes"]
    length = _draw(z["wheelbase"], rng)
    four = [_draw(w.get(k), rng) for k in ("lf", "rf", "lr", "rr")]
    if None not in four:
        lf, rf, lr, rr = (float(f or 0.0) for f in four)
        mass = lf + rf + lr + rr
        tf, tr = _draw(z["track_front"], rng) or 0.0, _draw(z["track_rear"], rng) or 0.0
        return (
            mass,
            -float(length or 0.0) * (lr + rr) / mass,
            (tf * (lf - rf) + tr * (lr - rr)) / (2 * mass),
        )
    front, rear = _draw(w["front"], rng) or 0.0, _draw(w["rear"], rng) or 0.0
    side = figure(vehicle.get("balance", {}).get("side"))
    y = rng.uniform(side[0] - side[1], side[0] + side[1]) if side else 0.0
    return front + rear, -float(length or 0.0) * rear / (front + rear), y


def _draw(text: Any, rng: np.random.Generator) -> float | None:
    found = figure(text)
    return None if found is None else float(rng.uniform(found[0] - found[1], found[0] + found[1]))


def _springs(
    pads: np.ndarray, weight: float, at: tuple[float, float], level: np.ndarray, k: float
) -> np.ndarray:
    """Rigid body on four springs that cannot pull, pads raised by `level`; active set by trial."""
    rows = np.column_stack([np.ones(4), pads])
    on = np.ones(4, bool)
    for _ in range(8):
        a = rows[on]
        stiff = k * a.T @ a
        force = np.array([weight, weight * at[0], weight * at[1]]) - k * a.T @ level[on]
        plane = np.linalg.lstsq(stiff, force, rcond=None)[0]
        loads = np.where(on, k * (rows @ plane + level), 0.0)
        if loads.min() >= -1e-6:
            return loads
        on &= loads > 0.0
    return loads


def _split(bay: dict[str, Any], policy: dict[str, float]) -> float:
    text = str(bay["plate"].get("split_high", "not given"))
    if ":" in text:
        a, b = sorted(float(x) for x in text.split(":"))
        return b / (a + b)
    narrow = sure(bay["plate"]["rated"]) <= policy["split_boundary"]
    return policy["split_narrow" if narrow else "split_wide"]
