"""Second judge, placing: arms, teeth, reach, zones, the window of spots, unsure points."""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from benchmarks.soundness.figures import figure, high, low, sure, value

Data = dict[str, Any]
CORNERS = ("LF", "RF", "LR", "RR")
SERVED = {
    "nose-in": dict(
        zip(CORNERS, ("left_front", "right_front", "left_rear", "right_rear"), strict=True)
    ),
    "tail-in": dict(
        zip(CORNERS, ("right_rear", "left_rear", "right_front", "left_front"), strict=True)
    ),
}
EPS = 1e-6
SPOTS = 9  # looked at in a window
OFFSETS = 12  # places of the first tooth tried where nobody knows it


def pose_of(setting: Data) -> tuple[float, float, float]:
    """Spot, sideways and turn of V in L."""
    turn = math.radians(setting["yaw_deg"]) + (math.pi if setting["heading"] == "tail-in" else 0.0)
    return setting["spot_m"], setting["sideways_m"], turn


def to_lift(pose: tuple[float, float, float], x: float, y: float) -> tuple[float, float]:
    """A place of V in L."""
    s, t, a = pose
    return s + x * math.cos(a) - y * math.sin(a), t + x * math.sin(a) + y * math.cos(a)


def offsets(setting: Data, points: dict[str, Data]) -> dict[str, tuple[float, float]]:
    """How far each pad's centre stands from its point, along and across the vehicle."""
    pose, found = pose_of(setting), {}
    for corner in CORNERS:
        p, pad = points[corner], setting["arms"][corner]["pad_m"]
        at = to_lift(pose, -sure(p["aft"]), sure(p["side"]))
        dx, dy, a = pad[0] - at[0], pad[1] - at[1], pose[2]
        found[corner] = (dx * math.cos(a) + dy * math.sin(a), -dx * math.sin(a) + dy * math.cos(a))
    return found


def arms(setting: Data, shop: Data, points: dict[str, Data], rng: np.random.Generator) -> list[str]:
    """Every rule of placing that the setting breaks."""
    bay, told = shop["bay"], []
    off = offsets(setting, points)
    for corner in CORNERS:
        s = setting["arms"][corner]
        arm, place = bay["arms"][s["arm"]], SERVED[setting["heading"]][corner]
        told += [f"{corner}: wrong arm"] if s["arm"] != place else []
        told += _one_arm(corner, s, arm, place)
        told += _tooth(corner, s, bay["restraint"])
        along, across = (abs(v) for v in off[corner])
        p = points[corner]
        if along > sure(p["along"]) + EPS or across > sure(p["across"]) + EPS:
            told.append(f"{corner}: outside the zone")
    if setting["heading"] == "tail-in" and bay.get("approach") == "forward only":
        told.append("approach")
    return told + plate(shop) + _window(setting, bay, points) + _unsure(setting, bay, points, rng)


def _one_arm(corner: str, s: Data, arm: Data, place: str) -> list[str]:
    told, swing, reach = [], math.radians(s["swing_deg"]), s["reach_m"]
    if not sure(arm["swing_low"]) - EPS <= swing <= sure(arm["swing_high"]) + EPS:
        told.append(f"{corner}: swing")
    if not sure(arm["reach_low"]) - EPS <= reach <= sure(arm["reach_high"]) + EPS:
        told.append(f"{corner}: reach")
    end, side = (1 if "front" in place else -1), (1 if "left" in place else -1)
    pad = (
        sure(arm["pivot_x"]) + end * reach * math.sin(swing),
        sure(arm["pivot_y"]) - side * reach * math.cos(swing),
    )
    return [*told, f"{corner}: pad place"] if math.dist(pad, s["pad_m"]) > EPS else told


def _tooth(corner: str, s: Data, restraint: Data) -> list[str]:
    if restraint["kind"] == "missing":
        return [f"{corner}: no restraint"]
    if restraint["kind"] != "toothed":
        return []
    pitch, offset = value(restraint.get("pitch")), value(restraint.get("offset"))
    if pitch is None:
        return ["needs the tooth pitch"]
    if offset is None:
        return []
    k = (math.radians(s["swing_deg"]) - offset) / pitch
    return [] if abs(k - round(k)) * pitch < EPS else [f"{corner}: between teeth"]


def plate(shop: Data) -> list[str]:
    """Wheelbase and width within the plate's."""
    told, sizes, given = [], shop["vehicle"]["sizes"], shop["bay"]["plate"]
    least, most = value(given.get("wheelbase_low")), value(given.get("wheelbase_high"))
    if least is not None and low(sizes["wheelbase"]) < least - EPS:
        told.append("wheelbase under the plate's")
    if most is not None and high(sizes["wheelbase"]) > most + EPS:
        told.append("wheelbase over the plate's")
    widest = value(given.get("width_high"))
    if widest is not None and figure(sizes.get("width")) is None:
        told.append("needs the width")
    elif widest is not None and high(sizes["width"]) > widest + EPS:
        told.append("wider than the plate's")
    return told


# --- reach at other spots and for points off their places --------------------------------------


def _window(setting: Data, bay: Data, points: dict[str, Data]) -> list[str]:
    """At spots over the whole printed window every arm must have a tooth and a reach."""
    least, most = setting["window_m"]
    if not least - EPS <= setting["spot_m"] <= most + EPS:
        return ["spot outside its window"]
    spots = np.linspace(least, most, SPOTS)
    _, t, a = pose_of(setting)
    told = []
    for corner in CORNERS:
        p = points[corner]
        x, y = to_lift((0.0, t, a), -sure(p["aft"]), sure(p["side"]))
        centres = np.column_stack([spots + x, np.full(SPOTS, y)])
        if not reachable(bay, SERVED[setting["heading"]][corner], centres, p).all():
            told.append(f"{corner}: no tooth at a spot of the window")
    return told


def _unsure(
    setting: Data, bay: Data, points: dict[str, Data], rng: np.random.Generator
) -> list[str]:
    """A point that stands off its place along the vehicle, as far as its tolerance, is reached."""
    pose, told = pose_of(setting), []
    for corner in CORNERS:
        p = points[corner]
        found = figure(p["aft"])
        if found is None or not found[1]:
            continue
        aft = found[0] + found[1] * np.array([-1.0, 1.0, rng.uniform(-1, 1)])
        centres = np.array([to_lift(pose, -x, sure(p["side"])) for x in aft])
        if not reachable(bay, SERVED[setting["heading"]][corner], centres, p).all():
            told.append(f"{corner}: no tooth where its point may stand")
    return told


def reachable(bay: Data, name: str, centres: np.ndarray, p: Data) -> np.ndarray:
    """Whether some tooth and reach bring the pad within the zone round each centre (L, no yaw)."""
    restraint = bay["restraint"]
    pitch, offset = value(restraint.get("pitch")), value(restraint.get("offset"))
    if restraint["kind"] != "toothed" or pitch is None:
        return rays(bay, name, centres, p, None).any(axis=1)
    arm = bay["arms"][name]
    first, last = sure(arm["swing_low"]), sure(arm["swing_high"])
    unknown = np.arange(OFFSETS) / OFFSETS * pitch
    good = np.ones(len(centres), bool)
    for at in [offset] if offset is not None else unknown:
        k = np.arange(
            math.ceil((first - at) / pitch - EPS), math.floor((last - at) / pitch + EPS) + 1
        )
        good &= rays(bay, name, centres, p, at + k * pitch).any(axis=1)
    return good


def rays(
    bay: Data, name: str, centres: np.ndarray, p: Data, swings: np.ndarray | None
) -> np.ndarray:
    """(centre, swing) -> whether a reach on that swing lies in the zone; any swing when None."""
    arm = bay["arms"][name]
    pivot = np.array([sure(arm["pivot_x"]), sure(arm["pivot_y"])])
    end, side = (1 if "front" in name else -1), (1 if "left" in name else -1)
    half = np.array([sure(p["along"]), sure(p["across"])])
    if swings is None:
        swings = _toward(centres - pivot, half, end, side, arm)
    swings = np.broadcast_to(swings, (len(centres), np.shape(swings)[-1]))
    u = np.stack([end * np.sin(swings), -side * np.cos(swings)], axis=-1)
    from_pivot = (centres - pivot)[:, None, :]
    near = np.full(swings.shape, sure(arm["reach_low"]) - EPS)
    far = np.full(swings.shape, sure(arm["reach_high"]) + EPS)
    for axis in (0, 1):
        with np.errstate(divide="ignore", invalid="ignore"):
            a = (from_pivot[..., axis] - half[axis] - EPS) / u[..., axis]
            b = (from_pivot[..., axis] + half[axis] + EPS) / u[..., axis]
        flat = np.abs(u[..., axis]) < 1e-12
        inside = np.abs(from_pivot[..., axis]) <= half[axis] + EPS
        near = np.maximum(near, np.where(flat, np.where(inside, -np.inf, np.inf), np.minimum(a, b)))
        far = np.minimum(far, np.where(flat, np.inf, np.maximum(a, b)))
    return np.asarray(near <= far)


def _toward(away: np.ndarray, half: np.ndarray, end: int, side: int, arm: Data) -> np.ndarray:
    """Swings from one end of each zone to the other, kept within the arm's."""
    corners = away[:, None, :] + half * np.array([(-1, -1), (-1, 1), (1, -1), (1, 1), (0, 0)])
    swing = np.arctan2(end * corners[..., 0], -side * corners[..., 1])
    least, most = swing.min(axis=1), swing.max(axis=1)
    spread = least[:, None] + (most - least)[:, None] * np.linspace(0.0, 1.0, 61)
    spread = np.concatenate([swing, spread], axis=1)
    return np.clip(spread, sure(arm["swing_low"]), sure(arm["swing_high"]))
