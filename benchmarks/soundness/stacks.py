"""Second judge, stacks: pieces, stock, contact, level over the tolerance of the points' heights."""

from __future__ import annotations

import math
from collections import Counter
from datetime import date
from typing import Any

import numpy as np

from benchmarks.soundness.figures import figure, high, sure, value
from benchmarks.soundness.placing import CORNERS, EPS, offsets

Data = dict[str, Any]
MONTH = 30.4375
RUNS_ALONG = ("frame rail", "pinch weld")


def stacks(
    setting: Data, shop: Data, points: dict[str, Data], rng: np.random.Generator
) -> list[str]:
    """Every rule of the stacks that the setting breaks."""
    told: list[str] = []
    off = offsets(setting, points)
    for corner in CORNERS:
        told += _pieces(setting, shop, corner, points[corner], off[corner])
        told += _height(setting, shop, corner, points[corner])
    seat = shop["bay"]["seat"]
    if not sure(seat["lowest"]) - EPS <= setting["seat_m"] <= sure(seat["highest"]) + EPS:
        told.append("seat height")
    return told + _stock(setting, shop) + _level(setting, shop, points, rng)


def _pieces(setting: Data, shop: Data, corner: str, p: Data, off: tuple[float, float]) -> list[str]:
    types, car, bay = shop["adapters"], shop["vehicle"], shop["bay"]
    stack = [types[n] for n in setting["arms"][corner]["stack"]]
    face, wrong = bay["seat"]["interface"], {}
    roles = [t["role"] for t in stack]
    for t in stack:
        wrong["interface"] = wrong.get("interface", False) or t["below"] != face
        face = t.get("above")
    top, approved = stack[-1], bay.get("adapters_approved") or []
    plain = roles[:-1] if roles[-1] == "block" else roles
    wrong["order of pieces"] = plain[-1] != "head" or set(plain[:-1]) - {"spacer"} != set()
    wrong["improvised"] = not all(t["maker_rated"] for t in stack)
    wrong["not approved"] = bool(approved) and bool(
        set(setting["arms"][corner]["stack"]) - set(approved)
    )
    cradle = any(t.get("cradle") for t in stack)
    wrong["cradle under a battery"] = cradle and "electric" in car["propulsion"]
    wrong["needs the propulsion"] = cradle and car["propulsion"] == "not known"
    special = car.get("special_adapter", "not given")
    wrong["needs a word on special adapters"] = special == "not given"
    named = special not in ("none", "not given")
    wrong["special adapter"] = named and special not in setting["arms"][corner]["stack"]
    wrong["contact"] = p["contact"] not in top.get("contacts", [])
    wrong |= _on_top(top, p, off)
    return [f"{corner}: {what}" for what, is_so in wrong.items() if is_so]


def _on_top(top: Data, p: Data, off: tuple[float, float]) -> dict[str, bool]:
    """The point on the contact face, and a flange in its slot."""
    width = value(top.get("width"))
    away = abs(off[1]) if p["contact"] in RUNS_ALONG else math.hypot(*off)
    wrong = {
        "needs the pad's width": width is None,
        "point off its pad": width is not None and away > width / 2 + EPS,
    }
    if p["contact"] != "pinch weld":
        return wrong
    slot, deep = value(top.get("slot")), value(top.get("slot_depth"))
    thick, flange = figure(p.get("flange_thickness")), figure(p.get("flange_depth"))
    if slot is None or deep is None or thick is None or flange is None:
        return {**wrong, "needs slot and flange": True}
    wrong["slot too narrow"] = sum(thick) + 2 * abs(off[1]) > slot + EPS
    wrong["slot too shallow"] = sum(flange) > deep + EPS
    return wrong


def _height(setting: Data, shop: Data, corner: str, p: Data) -> list[str]:
    s, types = setting["arms"][corner], shop["adapters"]
    fixed, travel = lengths(shop, s["stack"])
    away = abs(setting["seat_m"] + fixed + s["screw_m"] - sure(p["up"]))
    tallest = value(shop["bay"]["seat"].get("greatest_stack"))
    spacer = any(types[n]["role"] == "spacer" for n in s["stack"])
    wrong = {
        "screw travel": not -EPS <= s["screw_m"] <= travel + EPS,
        "pad off its point in height": away > EPS,
        "stack too tall": tallest is not None and fixed + s["screw_m"] > tallest + EPS,
        "needs the greatest stack height": tallest is None and spacer,
    }  # fmt: skip
    return [f"{corner}: {what}" for what, is_so in wrong.items() if is_so]


def lengths(shop: Data, stack: list[str]) -> tuple[float, float]:
    """Height of a stack with its screws in, and what its screws add."""
    types = [shop["adapters"][n] for n in stack]
    return sum(sure(t["height"]) for t in types), sum(value(t.get("travel")) or 0.0 for t in types)


def _level(
    setting: Data, shop: Data, points: dict[str, Data], rng: np.random.Generator
) -> list[str]:
    """All four pads touch at one seat height, however the points' heights lie in tolerance."""
    draws = np.vstack([np.zeros(4), rng.choice((-1.0, 1.0), (24, 4)), rng.uniform(-1, 1, (8, 4))])
    up = np.array([sure(points[c]["up"]) for c in CORNERS])
    tol = np.array([high(points[c]["up"]) for c in CORNERS]) - up
    sizes = np.array([lengths(shop, setting["arms"][c]["stack"]) for c in CORNERS])
    most = (up + draws * tol - sizes[:, 0]).min(axis=1)
    least = (up + draws * tol - sizes.sum(axis=1)).max(axis=1)
    return ["pads do not touch together over the tolerance"] if (least > most + EPS).any() else []


def _stock(setting: Data, shop: Data) -> list[str]:
    used = Counter(n for c in CORNERS for n in setting["arms"][c]["stack"])
    here, told = ("shelf", shop["bay_id"]), []
    for name, count in used.items():
        t = shop["adapters"][name]
        lots = [x for x in t.get("lots", []) if x.get("in_service", True)]
        lots = [x for x in lots if x.get("where", "shelf") in here and x["count"]]
        have = sum(x["count"] for x in lots)
        told += [f"{name}: {count} of {have}"] if count > have else []
        days = [x.get("inspected") for x in lots]
        if None in days:
            told.append(f"{name}: needs its inspection")
            continue
        general = shop["policy"]["adapter_inspection"] / 86400.0 / MONTH
        limit = t.get("interval_months") or general
        oldest = min(date.fromisoformat(str(x)) for x in days) if days else shop["today"]
        if (shop["today"] - oldest).days / MONTH > limit + 0.1:
            told.append(f"{name}: inspection overdue")
    return told
