"""Second judge, room: arms and pads against tyres, zones, arms and columns, doors, roof, space."""

from __future__ import annotations

import math
from itertools import combinations
from typing import Any

import numpy as np
import shapely
from shapely.affinity import rotate, translate
from shapely.geometry import LineString, Point, Polygon, box

from benchmarks.soundness.figures import figure, high, low, sure, value
from benchmarks.soundness.placing import CORNERS, pose_of, to_lift

Data = dict[str, Any]
SLICE = 0.02  # m along an arm
ROUND = 2e-4  # m: a disc drawn with straight sides, a zone met between two slices
EPS = 1e-6


def room(setting: Data, shop: Data, points: dict[str, Data]) -> list[str]:
    """Everything that stands too near in the final place."""
    bay, car = shop["bay"], shop["vehicle"]
    pose, told = pose_of(setting), []
    if any(bay["arms"][setting["arms"][c]["arm"]].get("profile") is None for c in CORNERS):
        told.append("needs the arms' profiles")
    else:
        told += _arms(setting, shop, pose)
    if car.get("zones") is None:
        told.append("needs the zones")
    else:
        told += [t for c in CORNERS for t in _pad(setting, shop, c, points[c], pose)]
    return told + drive_through(shop) + _space(shop, pose) + _doors(shop, pose)


# --- arms --------------------------------------------------------------------------------------


def _arms(setting: Data, shop: Data, pose: Any) -> list[str]:
    bay, car, gap = shop["bay"], shop["vehicle"], shop["policy"]["gap_arm"]
    strips = {c: Strip(setting, bay, c) for c in CORNERS}
    told = []
    wheels = tyres(car, pose, setting["seat_m"] + max(s.highest for s in strips.values()))
    if wheels is None:
        told.append("needs the tyres")
    for corner, strip in strips.items():
        told += [f"{corner}: arm at a tyre" for t in wheels or () if strip.away(t) < gap - EPS]
        for zone in car.get("zones") or []:
            told += _under(corner, strip, zone, setting["seat_m"], gap, pose)
        left = "left" in setting["arms"][corner]["arm"]
        for post in bay["columns"]:
            far_side = (sure(post["y"]) > 0.0) != left
            if far_side and strip.away(column(post)) < gap - EPS:
                told.append(f"{corner}: arm at the other column")
    for a, b in combinations(CORNERS, 2):
        if strips[a].whole.distance(strips[b].whole) < gap - EPS:
            told.append(f"{a}-{b}: arms")
    return told


class Strip:
    """An arm in plan as slices from its tip to its pivot, each with its two tops over the seat."""

    def __init__(self, setting: Data, bay: Data, corner: str) -> None:
        s = setting["arms"][corner]
        arm = bay["arms"][s["arm"]]
        pivot, pad = np.array([sure(arm["pivot_x"]), sure(arm["pivot_y"])]), np.array(s["pad_m"])
        inward = (pivot - pad) / np.linalg.norm(pivot - pad)
        normal = np.array([-inward[1], inward[0]])
        rows = sorted(
            (sure(t["from_tip"]), sure(t["half_width"]), sure(t["top"])) for t in arm["profile"]
        )
        at = [x for x, _, _ in rows]
        inner = [x for x in at if 0.0 < x < s["reach_m"]]
        cuts = np.unique([0.0, *np.arange(SLICE, s["reach_m"], SLICE), *inner, s["reach_m"]])
        wide = np.interp(cuts, at, [w for _, w, _ in rows])[:, None] * normal
        middle = pad + cuts[:, None] * inward
        left, right = middle + wide, middle - wide
        rings = np.stack([left[:-1], left[1:], right[1:], right[:-1]], axis=1)
        self.slices = shapely.polygons(rings)
        self.whole = Polygon(np.vstack([left, right[::-1]]))
        tops = np.interp(cuts, at, [t for _, _, t in rows])
        self.lower = np.minimum(tops[:-1], tops[1:])
        self.highest = max(t for _, _, t in rows)

    def away(self, other: Polygon) -> float:
        """Distance in plan."""
        return float(self.whole.distance(other))


def _under(corner: str, strip: Strip, zone: Data, seat: float, gap: float, pose: Any) -> list[str]:
    outline = placed(zone["outline"], pose)
    away = strip.away(outline)
    if away >= gap - ROUND:
        return []
    passes = zone.get("pass_under", True)
    if away > ROUND:
        return [] if passes else [f"{corner}: arm beside {zone['id']}"]
    met = strip.slices[shapely.intersects(strip.slices, outline)] if passes else strip.slices[:0]
    if passes and not len(met):
        return []
    tops = strip.lower[shapely.intersects(strip.slices, outline)]
    if not passes or low(zone["underside"]) - (seat + tops.max()) < gap - ROUND:
        return [f"{corner}: arm under {zone['id']}"]
    return []


def placed(outline: Any, pose: Any) -> Polygon:
    """An outline of the records in L."""
    return Polygon([to_lift(pose, -sure(a), sure(b)) for a, b in outline])


def column(c: Data) -> Polygon:
    """A column in plan."""
    half, across = sure(c["along"]) / 2, sure(c["across"]) / 2
    flat = rotate(box(-half, -across, half, across), math.degrees(sure(c["turn"])), origin=(0, 0))
    return translate(flat, sure(c["x"]), sure(c["y"]))


def tyres(
    car: Data, pose: Any, height: float, *, hanging: bool = True, worst: bool = True
) -> list[Polygon] | None:
    """Tyres as an arm of that height meets them; at worst as large and as far off as may be."""
    z, droop = car["sizes"], car.get("suspension", {})
    figures = [
        figure(z.get(k)) for k in ("track_front", "track_rear", "tyre_width", "tyre_diameter")
    ]
    if None in figures:
        return None
    front, rear, width, diameter = ((f[0], f[1] if worst else 0.0) for f in figures if f)
    hang = [figure(droop.get(k)) for k in ("droop_front", "droop_rear")]
    lower = max(h[0] + h[1] for h in hang if h) if all(hang) else math.inf
    r = sum(diameter) / 2
    up = min(height + lower if hanging else height, r)
    chord = 2 * math.sqrt(max(r * r - (r - up) ** 2, 0.0))
    base, off = figure(z["wheelbase"]) or (0.0, 0.0)
    made = []
    for x, along, track in ((0.0, 0.0, front), (-base, off * worst, rear)):
        half_x, half_y = chord / 2 + along, (sum(width) + track[1]) / 2
        for side in (1, -1):
            turned = rotate(box(-half_x, -half_y, half_x, half_y), math.degrees(pose[2]),
                            origin=(0, 0))  # fmt: skip
            made.append(translate(turned, *to_lift(pose, x, side * track[0] / 2)))
    return made


# --- pads --------------------------------------------------------------------------------------


def _pad(setting: Data, shop: Data, corner: str, p: Data, pose: Any) -> list[str]:
    s, gap = setting["arms"][corner], shop["policy"]["gap_arm"]
    head = shop["adapters"][s["stack"][-1]]
    width = value(head.get("width"))
    if width is None:
        return [f"{corner}: needs the pad's width"]
    pad, told = Point(s["pad_m"]), []
    for tyre in tyres(shop["vehicle"], pose, sure(p["up"])) or ():
        told += [f"{corner}: pad at a tyre"] if pad.distance(tyre) - width / 2 < gap - EPS else []
    for zone in shop["vehicle"]["zones"]:
        voltage = zone.get("high_voltage") or zone["kind"] == "battery"
        above = low(zone["underside"]) >= sure(p["up"]) + EPS and not voltage
        if zone.get("touch") or above:
            continue
        edges = voltage and head.get("raised_edges", True) and not head.get("edges_near_battery")
        room_there = pad.distance(placed(zone["outline"], pose)) - width / 2
        if room_there < gap * (2 if edges else 1) - EPS:
            told.append(f"{corner}: pad at {zone['id']}")
    return told


# --- the vehicle in the bay --------------------------------------------------------------------


def drive_through(shop: Data) -> list[str]:
    """The vehicle with its mirrors between the columns."""
    bay, sizes = shop["bay"], shop["vehicle"]["sizes"]
    if figure(sizes.get("width_mirrors")) is None:
        return ["needs the width with mirrors"]
    ys = [np.array(column(c).exterior.coords)[:, 1] for c in bay["columns"]]
    between = [
        min(abs(y).min() for y in ys) * 2,
        max(y.min() for y in ys) - min(y.max() for y in ys),
    ]
    through = figure(bay["plate"].get("drive_through"))
    least = min(between[1], through[0] - through[1] if through else math.inf)
    spare = (least - high(sizes["width_mirrors"])) / 2
    return ["drive through"] if spare < shop["policy"]["gap_mirror"] - EPS else []


def _space(shop: Data, pose: Any) -> list[str]:
    sizes, about = shop["vehicle"]["sizes"], shop["bay"].get("surroundings", {})
    keys = ("length", "width", "overhang_front")
    if any(figure(sizes.get(k)) is None for k in keys):
        return ["needs length, width and overhang"]
    front, half = high(sizes["overhang_front"]), high(sizes["width"]) / 2
    rear = low(sizes["overhang_front"]) - high(sizes["length"])
    body = [to_lift(pose, x, y) for x in (front, rear) for y in (half, -half)]
    xs, ys = [p[0] for p in body], [p[1] for p in body]
    reached = {"free_ahead": max(xs), "free_behind": -min(xs), "free_left": max(ys),
               "free_right": -min(ys)}  # fmt: skip
    told = []
    for key, at in reached.items():
        free = about.get(key, "not given")
        if free == "none":
            continue
        if figure(free) is None:
            told.append(f"needs {key}")
        elif low(free) - at < shop["policy"]["clear_space"] - EPS:
            told.append(f"{key}: space")
    return told


def _doors(shop: Data, pose: Any) -> list[str]:
    """Every door opens as far as a person needs, its leaf clear of both columns all the way."""
    doors, policy = shop["vehicle"].get("doors"), shop["policy"]
    if doors is None:
        return ["needs the doors"]
    columns, told = [column(c) for c in shop["bay"]["columns"]], []
    for d in doors:
        hinge = (-sure(d["hinge_aft"]), sure(d["hinge_side"]))
        outward = 1.0 if d["side"] == "left" else -1.0
        rearward = -1.0 if d.get("hinged_at", "front") == "front" else 1.0
        for angle in np.linspace(0.0, min(policy["door_exit"], sure(d["opens"])), 16):
            length = sure(d["length"])
            tip = (
                hinge[0] + rearward * length * math.cos(angle),
                hinge[1] + outward * length * math.sin(angle),
            )
            leaf = LineString([to_lift(pose, *hinge), to_lift(pose, *tip)])
            if min(leaf.distance(c) for c in columns) < policy["gap_door"] - EPS:
                told.append(f"{d['id']}: door at a column")
                break
    return told


# --- above -------------------------------------------------------------------------------------


def overhead(setting: Data, shop: Data, states: list[Any]) -> list[str]:
    """Under ceiling and stop bar in every state, lids open and loads on the roof included."""
    car, about, policy = shop["vehicle"], shop["bay"].get("surroundings", {}), shop["policy"]
    roof = figure(car["sizes"].get("height"))
    over = [about.get("ceiling", "not given"), about.get("stop_bar", "not given")]
    if roof is None or any(x != "none" and figure(x) is None for x in over):
        return ["needs roof, ceiling and stop bar"]
    ceiling = min((low(x) for x in over if x != "none"), default=math.inf)
    load = figure(car.get("roof_load_height"))
    top = max(sum(roof), sum(load) if load else 0.0)
    hang = [figure(car.get("suspension", {}).get(k)) for k in ("droop_front", "droop_rear")]
    droop = max(sum(h) for h in hang if h) if all(hang) else None
    told = []
    for state in states:
        told += _above(setting, shop, state, (ceiling, top, droop), policy)
    return sorted(set(told))


def _above(setting: Data, shop: Data, state: Any, figures: Any, policy: Any) -> list[str]:
    ceiling, top, droop = figures
    touch, lids = setting["seat_m"], shop["vehicle"].get("lids")
    if not state.lifted:
        return []
    if state.lids and lids is None:
        return ["needs the lids"]
    highest = max([top, *(high(x["open_height"]) for x in lids or () if x["id"] in state.lids),
                   *state.tops])  # fmt: skip
    limit = min(
        sure(shop["bay"]["seat"]["highest"]), ceiling - policy["gap_roof"] - highest + touch
    )
    off_floor = max(policy["touch_clearance"], state.tyre_clearance or 0.0)
    seats = [touch + (droop if droop is not None else 0.0) + off_floor, state.seat or 0.0]
    if droop is None and limit < touch + off_floor + 0.3:
        return ["needs the droop"]
    return ["overhead"] if max(seats) > limit + EPS else []
