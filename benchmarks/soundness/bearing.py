"""Second judge, loads and stability: rigid body on four springs, drawn within every tolerance.

All draws of a state are worked out at once. Springs have one stiffness k, the body twists by its
own stiffness, pads stand off their level, the carriages at different heights, points off their
places. Sliding is sought over many centres of rotation (upper bound of plastic limit analysis: no
centre may give less than the push). A stand is one more spring, from soft to rigid.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from benchmarks.soundness.figures import G0, figure, high, low, sure, value
from benchmarks.soundness.ledger import Draws, Push, Stand, State
from benchmarks.soundness.placing import CORNERS, offsets, pose_of
from benchmarks.soundness.stacks import RUNS_ALONG

Data = dict[str, Any]
RING = ((0, 1), (1, 3), (3, 2), (2, 0))  # edges of the pads, as corner indices
AROUND = np.linspace(0.0, 2 * np.pi, 24, endpoint=False)
REL = 1e-6
WAYS = {"forward": (1.0, 0.0), "rearward": (-1.0, 0.0), "left": (0.0, 1.0), "right": (0.0, -1.0)}


class Footing:
    """Pads of a setting at every draw: places in V, heights, levels, stiffness, limits."""

    def __init__(self, setting: Data, shop: Data, points: dict[str, Data], d: Draws) -> None:
        self.shop, self.setting, self.d = shop, setting, d
        policy, bay, car = shop["policy"], shop["bay"], shop["vehicle"]
        off = offsets(setting, points)
        self.xy = np.empty((d.count, 4, 2))
        up = np.empty((d.count, 4))
        for i, c in enumerate(CORNERS):
            p = points[c]
            along = off[c][0] if p["contact"] in RUNS_ALONG else 0.0
            self.xy[:, i, 0] = -d.sure(f"{c} aft", p["aft"]) + along
            self.xy[:, i, 1] = d.sure(f"{c} side", p["side"])
            up[:, i] = sure(p["up"])
        self.up = up.mean(axis=1)
        found = figure(bay.get("carriage_difference"))
        self.difference = policy["level_carriage"] if found is None else sum(found)
        arms = bay["arms"]
        span = abs(sure(arms["left_front"]["pivot_y"]) - sure(arms["right_front"]["pivot_y"]))
        unlevel = d.of("carriages")
        self.roll = -np.tan(self.difference / span) * unlevel  # the high side is the left at +1
        levels = np.stack([d.of(f"{c} level") for c in CORNERS], axis=1) * policy["level_pad"]
        sides = np.array([0.5, -0.5, 0.5, -0.5]) * self.difference
        self.raised = levels + unlevel[:, None] * sides
        mix = (d.of("stiffness") + 1) / 2
        least, most = policy["pad_stiffness_low"], policy["pad_stiffness_high"]
        self.k = least + (most - least) * mix
        twist = (value(car.get("body_twist_low")) or policy["twist_low"],
                 value(car.get("body_twist_high")) or policy["twist_high"])  # fmt: skip
        self.twist = twist[0] + (twist[1] - twist[0]) * (d.of("twist") + 1) / 2
        self.rows = np.concatenate([np.ones((d.count, 4, 1)), self.xy], axis=2)
        self.inverse = np.linalg.inv(self.rows.transpose(0, 2, 1) @ self.rows)
        self.forms = self.rows @ self.inverse  # (draw, pad, (1, x, y)) -> share
        self.warp = self._warp()
        self.mu = policy["friction_clean" if self._clean() else "friction"]

    def _clean(self) -> bool:
        tops = [self.shop["adapters"][self.setting["arms"][c]["stack"][-1]] for c in CORNERS]
        return all(t.get("clean_rubber") for t in tops)

    def _warp(self) -> np.ndarray:
        """Loads that unevenness adds: the one pattern without force or moment, by least energy."""
        _, _, v = np.linalg.svd(self.rows.transpose(0, 2, 1))
        n = v[:, 3, :]
        torque = n[:, 0] * self._beside(0) + n[:, 1] * self._beside(1)
        give = (n * n).sum(axis=1) / self.k + torque**2 / self.twist
        return np.asarray(n * ((n * self.raised).sum(axis=1) / give)[:, None])

    def _beside(self, i: int) -> np.ndarray:
        """How far a pad stands to the left of the line through the middles of both pairs.

        The body twists about that line: a choice of the model, made by the rules, not by either
        judge.
        """
        front, rear = self.xy[:, :2].mean(axis=1), self.xy[:, 2:].mean(axis=1)
        part = (self.xy[:, i, 0] - front[:, 0]) / (rear[:, 0] - front[:, 0])
        return np.asarray(self.xy[:, i, 1] - front[:, 1] - part * (rear[:, 1] - front[:, 1]))

    def loads(self, weight: np.ndarray, x: np.ndarray, y: np.ndarray) -> np.ndarray:
        """Loads of the pads under a weight, at every draw."""
        wrench = np.stack([weight, weight * x, weight * y], axis=1)
        return np.asarray((self.forms @ wrench[:, :, None])[:, :, 0] + self.warp)


def totals(state: State, forces: list[np.ndarray], foot: Footing) -> tuple[np.ndarray, ...]:
    """Weight on the pads and where it acts, stands and tables taken off it, carriages unlevel."""
    mass = sum(i.mass for i in state.loads)
    x, y, z = (sum(i.mass * getattr(i, k) for i in state.loads) / mass for k in "xyz")
    # A vehicle that leans by the carriages carries its weight to the low side.
    y = y + foot.roll * np.maximum(z - foot.up, 0.0)
    weight, mx, my = mass * G0, mass * G0 * x, mass * G0 * y
    for stand, force in zip(state.stands, forces, strict=True):
        weight, mx, my = weight - force, mx - force * stand.x, my - force * stand.y
    return weight, mx / weight, my / weight


def bearing(
    setting: Data, shop: Data, foot: Footing, states: list[State], *, pushes: bool = True
) -> list[str]:
    """Every limit of loads and stability that some draw of some state breaks, or of loads alone."""
    told: set[str] = set()
    for number, state in enumerate(states):
        if state.lifted:
            forces = stand_forces(states, number, foot)
            told |= {f"{t} (state {number})"
                     for t in _state(setting, shop, foot, state, forces, pushes)}  # fmt: skip
            if state.moves and any(not s.table for s in state.stands):
                told.add("the lift moves on a stand")
    return sorted(told)


def _state(
    setting: Data,
    shop: Data,
    foot: Footing,
    state: State,
    forces: list[np.ndarray],
    pushes: bool,
) -> set[str]:
    weight, x, y = totals(state, forces, foot)
    loads = foot.loads(weight, x, y)
    policy, room = shop["policy"], REL * weight
    told = _limits(setting, shop, weight, loads)
    if (loads.min(axis=1) < policy["least_pad_stop"] * weight - room).any():
        told.add("least pad")
    share = (loads[:, 0] + loads[:, 1]) / weight
    if (np.maximum(share, 1 - share) > _split(shop) + REL).any():
        told.add("split")
    away = edges(foot, x, y)
    if (away.min(axis=1) < policy["edge_stop"] - REL).any():
        told.add("edge")
    told |= _window(setting, shop, x)
    if not pushes:
        return told
    told |= _standing(shop, foot, (weight, x, y), loads, away)
    for push in state.pushes:
        told |= _pushed(shop, foot, push, (weight, x, y), loads, away)
    return told


def _limits(setting: Data, shop: Data, weight: np.ndarray, loads: np.ndarray) -> set[str]:
    bay, policy, told = shop["bay"], shop["policy"], set()
    plate, rated = bay["plate"], low(bay["plate"]["rated"]) * G0
    if (weight > rated * (1 + REL)).any():
        told.add("rated")
    points = shop["points"]
    for i, c in enumerate(CORNERS):
        arm = setting["arms"][c]
        own = [figure(bay["arms"][arm["arm"]].get("limit")), figure(plate.get("per_arm"))]
        given = next((f[0] - f[1] for f in own if f), policy["arm_share"] * rated)
        most = loads[:, i].max()
        rating = min(low(shop["adapters"][n]["rating"]) for n in arm["stack"]) * G0
        point = figure(points[c].get("limit"))
        for what, limit in (("arm load", given), ("adapter load", rating),
                            ("point load", point[0] - point[1] if point else np.inf)):  # fmt: skip
            if most > limit * (1 + REL):
                told.add(f"{c}: {what}")
    return told


def _split(shop: Data) -> float:
    plate, policy = shop["bay"]["plate"], shop["policy"]
    text = str(plate.get("split_high", "not given"))
    if ":" in text:
        a, b = sorted(float(x) for x in text.split(":"))
        return b / (a + b)
    narrow = sure(plate["rated"]) <= policy["split_boundary"]
    return float(policy["split_narrow" if narrow else "split_wide"])


def edges(foot: Footing, x: np.ndarray, y: np.ndarray) -> np.ndarray:
    """Distance of a place from each edge of the pads, positive inside."""
    found = []
    for a, b in RING:
        p, q = foot.xy[:, a], foot.xy[:, b]
        along = q - p
        long = np.hypot(along[:, 0], along[:, 1])
        # LF, RF, RR, LR turn clockwise seen from above: inside lies to the right.
        cross = along[:, 0] * (y - p[:, 1]) - along[:, 1] * (x - p[:, 0])
        found.append(-cross / long)
    return np.stack(found, axis=1)


def _window(setting: Data, shop: Data, x: np.ndarray) -> set[str]:
    plate, pose = shop["bay"]["plate"], pose_of(setting)
    least, most = figure(plate.get("cg_low")), figure(plate.get("cg_high"))
    if least is None or most is None:
        return set()
    at = pose[0] + x * np.cos(pose[2])
    outside = (at < sum(least) - 1e-5) | (at > most[0] - most[1] + 1e-5)
    return {"CG window"} if outside.any() else set()


# --- pushes ------------------------------------------------------------------------------------

Acting = tuple[np.ndarray, np.ndarray, np.ndarray]


def _standing(
    shop: Data, foot: Footing, acting: Acting, loads: np.ndarray, away: np.ndarray
) -> set[str]:
    """A person's push with its factor, all round at the roof edge and across at the far end."""
    policy, sizes = shop["policy"], shop["vehicle"]["sizes"]
    force = policy["push_force"] * policy["push_factor"]
    if figure(sizes.get("height")) is None:
        return {"needs the roof's height"}
    load = figure(shop["vehicle"].get("roof_load_height"))
    roof = max(high(sizes["height"]), sum(load) if load else 0.0)
    told = _tips(foot, acting, loads, away, force, roof - foot.up, AROUND)
    end = _far_end(shop, acting[1])
    return told | _slides(foot, acting, loads, force, (end, acting[2]), np.array([np.pi / 2]))


def _far_end(shop: Data, x: np.ndarray) -> np.ndarray:
    sizes = shop["vehicle"]["sizes"]
    length, front = value(sizes.get("length")), value(sizes.get("overhang_front"))
    ends = (1.2, -sure(sizes["wheelbase"]) - 1.2)
    if length is not None and front is not None and value(sizes.get("width")) is not None:
        ends = (front, front - length)
    return np.where(ends[0] - x > x - ends[1], ends[0], ends[1])


def _tips(
    foot: Footing,
    acting: Acting,
    loads: np.ndarray,
    away: np.ndarray,
    force: float,
    height: np.ndarray,
    around: np.ndarray,
) -> set[str]:
    """A horizontal push at a height over the pads, in these directions: tipping and emptying."""
    told, weight = set(), acting[0]
    for angle in around:
        moment = force * height
        change = moment[:, None] * (
            foot.forms[:, :, 1] * np.cos(angle) + foot.forms[:, :, 2] * np.sin(angle)
        )
        if ((loads + change).min(axis=1) < -REL * weight).any():
            told.add("a push empties a pad")
        x = acting[1] + moment / weight * np.cos(angle)
        y = acting[2] + moment / weight * np.sin(angle)
        if (edges(foot, x, y).min(axis=1) < -REL).any():
            told.add("a push tips")
    return told


CENTRES = np.array(
    [(a, b) for a in np.linspace(-4.0, 4.0, 33) for b in (-0.6, -0.2, 0.0, 0.2, 0.6)]
)


def _slides(
    foot: Footing,
    acting: Acting,
    loads: np.ndarray,
    force: float,
    place: tuple[np.ndarray | float, np.ndarray | float],
    around: np.ndarray,
) -> set[str]:
    """A push at a place: whether some slip, straight or about some centre, costs less than it."""
    weight, x, y = acting
    if (force > foot.mu * weight * (1 + REL)).any():
        return {"a push slides"}
    centre = np.stack([x, y], axis=1)[:, None, :] + CENTRES[None]
    arm = np.hypot(
        foot.xy[:, None, :, 0] - centre[:, :, None, 0],
        foot.xy[:, None, :, 1] - centre[:, :, None, 1],
    )
    cost = foot.mu * (np.maximum(loads, 0.0)[:, None, :] * arm).sum(axis=2)
    rx = np.reshape(np.broadcast_to(place[0], weight.shape), (-1, 1)) - centre[:, :, 0]
    ry = np.reshape(np.broadcast_to(place[1], weight.shape), (-1, 1)) - centre[:, :, 1]
    for angle in around:
        gain = force * np.abs(rx * np.sin(angle) - ry * np.cos(angle))
        if (gain > cost * (1 + REL)).any():
            return {"a push slides"}
    return set()


def _pushed(
    shop: Data, foot: Footing, push: Push, acting: Acting, loads: np.ndarray, away: np.ndarray
) -> set[str]:
    """The push or pull of a step."""
    weight, x, y = acting
    if push.direction in ("up", "down"):
        sign = 1.0 if push.direction == "up" else -1.0
        px, py = (x, y) if push.x is None else (push.x, push.y)
        share = foot.forms[:, :, 0] + foot.forms[:, :, 1] * np.reshape(px, (-1, 1))
        share = share + foot.forms[:, :, 2] * np.reshape(py, (-1, 1))
        left = loads - sign * push.force * share
        return {"job push empties"} if (left.min(axis=1) < -REL * weight).any() else set()
    way = WAYS.get(push.direction)
    around = AROUND if way is None else np.array([np.arctan2(way[1], way[0])])
    told = _tips(foot, acting, loads, away, push.force, push.up - foot.up, around)
    place = (_far_end(shop, x), y) if push.x is None else (push.x, push.y)
    told |= _slides(foot, acting, loads, push.force, place, around)
    return {f"job push: {t}" for t in told}


# --- stands ------------------------------------------------------------------------------------


def stand_forces(states: list[State], number: int, foot: Footing) -> list[np.ndarray]:
    """Force of each stand and table of a state at every draw.

    A stand keeps the height it was set to: its force is its preload plus its stiffness times what
    the body has settled at its place since. Settled is what equal pad springs and stands give.
    """
    state = states[number]
    found = []
    for stand in state.stands:
        if stand.table:
            found.append(stand.force)
            continue
        first = next(n for n, s in enumerate(states) if stand.name in [t.name for t in s.stands])
        found.append(_later(stand, states[first], state, foot))
    return found


def _later(stand: Stand, first: State, state: State, foot: Footing) -> np.ndarray:
    """One stand followed from where it was set; other stands of the state push as they were set."""
    change = _wrench(state, stand) - _wrench(first, stand)
    at = np.array([1.0, stand.x, stand.y])
    stiff = foot.k * 10.0 ** (2.0 * foot.d.of(f"{stand.name} stiffness"))
    settle = np.einsum("i,nij,nj->n", at, foot.inverse, change) / foot.k
    give = np.einsum("i,nij,j->n", at, foot.inverse, at) / foot.k
    return np.maximum(0.0, stand.force + settle / (give + 1.0 / stiff))


def _wrench(state: State, without: Stand) -> np.ndarray:
    mass = [(i.mass * G0, i.x, i.y) for i in state.loads]
    others = [(-s.force, s.x, s.y) for s in state.stands if s.name != without.name]
    rows = [np.stack([w, w * x, w * y], axis=1) for w, x, y in (*mass, *others)]
    return np.asarray(sum(rows))
