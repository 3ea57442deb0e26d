"""Second judge, ledger: the vehicle's mass and balance drawn within every tolerance, per job state.

`Draws` holds one random number between -1 and +1 per figure and draw, so that a figure keeps its
value through all states of one draw. Priors are the record side's published figures.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

import numpy as np

from benchmarks.soundness.figures import figure, high, sure, value

Data = dict[str, Any]
CORNER_KEYS = ("lf", "rf", "lr", "rr")


# Levels that warp the pads most, on the stiffest arms and body: random corners seldom meet them.
WARPED = {"LF level": 1.0, "RF level": -1.0, "LR level": -1.0, "RR level": 1.0}
STIFF = ("stiffness", "twist")


class Draws:
    """Random numbers by the name of a figure: nominal first, then corners, then the inside.

    Every second corner has the levels of its pads in the pattern that warps them most.
    """

    def __init__(self, rng: np.random.Generator, count: int) -> None:
        self.rng, self.count = rng, count
        self._made: dict[str, np.ndarray] = {}

    def of(self, name: str) -> np.ndarray:
        """The draws of one figure."""
        if name not in self._made:
            corners = (self.count - 1) * 2 // 3
            ends = self.rng.choice((-1.0, 1.0), corners)
            if name in WARPED:
                ends[::4], ends[1::4] = WARPED[name], -WARPED[name]
            elif name in STIFF:
                ends[::4] = ends[1::4] = 1.0
            inside = self.rng.uniform(-1.0, 1.0, self.count - 1 - corners)
            self._made[name] = np.concatenate([[0.0], ends, inside])
        return self._made[name]

    def figure(self, name: str, text: Any) -> np.ndarray | None:
        """A figure at its draws; None where it is not given."""
        found = figure(text)
        return None if found is None else found[0] + found[1] * self.of(name)

    def sure(self, name: str, text: Any) -> np.ndarray:
        """A figure that must be there."""
        found = self.figure(name, text)
        if found is None:
            raise ValueError(name)
        return found


@dataclass
class Load:
    """A mass and its place in V, at every draw."""

    mass: np.ndarray
    x: np.ndarray
    y: np.ndarray
    z: np.ndarray


@dataclass
class Push:
    """A push of a step: force (greatest), height over the floor, place and direction in V."""

    force: float
    up: float
    direction: str
    x: float | None
    y: float


@dataclass
class Stand:
    """A stand or a table: place in V, force or preload at every draw."""

    name: str
    x: float
    y: float
    force: np.ndarray
    table: bool


@dataclass
class State:
    """The vehicle after one step."""

    loads: list[Load]
    stands: list[Stand]
    pushes: list[Push]
    doors: set[str]
    lids: set[str]
    tops: list[float]
    seat: float | None
    tyre_clearance: float | None
    moves: bool = False
    lifted: bool = True


def kerb(car: Data, d: Draws, priors: Data) -> Load | None:
    """The vehicle as weighed; None where mass or balance cannot be known."""
    w, sizes = car["weights"], car["sizes"]
    base = d.sure("wheelbase", sizes["wheelbase"])
    mass, x, y = _weighed(w, sizes, base, d)
    if mass is None:
        mass = d.figure("total", w.get("total"))
        mass = _prior(priors, "mass", d) if mass is None else mass
    if x is None:
        share = d.figure("share", w.get("front_share"))
        share = _prior(priors, "front_share", d) if share is None else share
        x = None if share is None else -base * (1.0 - share)
    if mass is None or x is None:
        return None
    balance = car.get("balance", {})
    if y is None:
        y = d.figure("side", balance.get("side"))
        y = _prior(priors, "side", d) if y is None else y
    z = d.figure("cg height", balance.get("height"))
    z = _prior(priors, "height", d) if z is None else z
    return None if y is None or z is None else Load(mass, x, y, z)


_Weighed = tuple[np.ndarray | None, np.ndarray | None, np.ndarray | None]


def _weighed(w: Data, sizes: Data, base: np.ndarray, d: Draws) -> _Weighed:
    four = [d.figure(k, w.get(k)) for k in CORNER_KEYS]
    front, rear = d.figure("front", w.get("front")), d.figure("rear", w.get("rear"))
    side = None
    if all(f is not None for f in four):
        lf, rf, lr, rr = four
        front, rear = lf + rf, lr + rr
        tracks = [d.figure(k, sizes.get(k)) for k in ("track_front", "track_rear")]
        if all(t is not None for t in tracks):
            side = (tracks[0] * (lf - rf) + tracks[1] * (lr - rr)) / (2 * (front + rear))
    if front is None or rear is None:
        return None, None, None
    return front + rear, -base * rear / (front + rear), side


def _prior(priors: Data, name: str, d: Draws) -> np.ndarray | None:
    found = priors.get(name)
    return None if found is None else found[0] + found[1] * d.of(f"prior {name}")


# --- the job -----------------------------------------------------------------------------------


@dataclass
class _Walk:
    """What is on, off, open and supported while the steps are gone through."""

    car: Data
    d: Draws
    start: Load
    off: dict[str, Load] = field(default_factory=dict)
    on: dict[str, Load] = field(default_factory=dict)
    tops: dict[str, float] = field(default_factory=dict)
    stands: dict[str, Stand] = field(default_factory=dict)
    doors: set[str] = field(default_factory=set)
    lids: set[str] = field(default_factory=set)
    seat: float | None = None
    tyre_clearance: float | None = None

    def state(self) -> State:
        loads = [self.start, *self.off.values(), *self.on.values()]
        return State(loads, list(self.stands.values()), [], set(self.doors), set(self.lids),
                     list(self.tops.values()), self.seat, self.tyre_clearance)  # fmt: skip

    def load(self, name: str, r: Data, sign: float = 1.0, place: Data | None = None) -> Load:
        """A thing with its mass; at another place where one is given."""
        at, d, tag = place or r, self.d, name if place is None else f"{name} moved {id(place)}"
        return Load(
            sign * d.sure(f"{name} mass", r["mass"]), -d.sure(f"{tag} aft", at["aft"]),
            d.sure(f"{tag} side", at["side"]), d.sure(f"{tag} up", at["up"]),
        )  # fmt: skip


def states_of(car: Data, job: Data | None, d: Draws, start: Load) -> list[State]:
    """The vehicle as it stands and after each step of the job, with what lasts one step only."""
    walk, steps = _Walk(car, d, start), (job or {}).get("steps", [])
    added: dict[str, Data] = {}
    found = [walk.state()]
    for step in steps:
        pushes, table = _step(walk, step, added)
        state = walk.state()
        state.pushes, state.moves = pushes, step["kind"] in ("raise", "lower")
        state.stands = [*state.stands, *table]
        found.append(state)
    _mark_lifted(found, steps)
    return found


def _step(walk: _Walk, step: Data, added: dict[str, Data]) -> tuple[list[Push], list[Stand]]:
    """What a step changes for good; what it does while it lasts comes back."""
    kind = step["kind"]
    if kind in ("take off", "put on", "add load", "move load", "remove load"):
        _mass(walk, step, added)
    elif kind in ("open", "close"):
        _open(walk, step["what"], kind == "open")
    elif kind == "push":
        return [_push(step)], []
    elif kind == "table push":
        return [], [_stand(walk, step["label"], step, step["force"], table=True)]
    elif kind == "stand set":
        walk.stands[step["id"]] = _stand(walk, step["id"], step, step["preload"], table=False)
    elif kind == "stand away":
        walk.stands.pop(step["id"])
    else:
        walk.seat = value(step.get("seat"))
        walk.tyre_clearance = value(step.get("tyre_clearance"))
    return [], []


def _mass(walk: _Walk, step: Data, added: dict[str, Data]) -> None:
    kind, parts = step["kind"], {c["id"]: c for c in walk.car.get("components", [])}
    if kind in ("take off", "put on"):
        _part(walk, parts[step["component"]], kind == "take off")
    elif kind == "add load":
        added[step["id"]] = step
        _put(walk, step["id"], walk.load(step["id"], step), step)
    elif kind == "remove load":
        walk.on.pop(step["id"])
        walk.tops.pop(step["id"])
    else:
        record = added.get(step["id"])
        if record is None:
            record = parts[step["id"]]
            walk.off[step["id"]] = walk.load(step["id"], record, -1.0)
        _put(walk, step["id"], walk.load(step["id"], record, place=step), step)


def _put(walk: _Walk, name: str, load: Load, place: Data) -> None:
    walk.on[name], walk.tops[name] = load, high(place["up"])


def _part(walk: _Walk, part: Data, comes_off: bool) -> None:
    name = part["id"]
    if comes_off and name in walk.on:
        walk.on.pop(name)
        walk.tops.pop(name)
    elif comes_off:
        walk.off[name] = walk.load(name, part, -1.0)
    elif name in walk.off:
        walk.off.pop(name)
        walk.on.pop(name, None)
        walk.tops.pop(name, None)
    else:
        _put(walk, name, walk.load(name, part), part)


def _open(walk: _Walk, what: str, opens: bool) -> None:
    doors = {x["id"] for x in walk.car.get("doors") or [] if what in (x["id"], "all doors")}
    lids = {x["id"] for x in walk.car.get("lids") or [] if what in (x["id"], x["kind"])}
    if walk.car.get("lids") is None and what in ("bonnet", "boot lid", "tailgate"):
        lids = {what}
    for have, change in ((walk.doors, doors), (walk.lids, lids)):
        have.update(change) if opens else have.difference_update(change)


def _push(step: Data) -> Push:
    aft, side = value(step.get("aft")), value(step.get("side"))
    x = None if aft is None else -aft
    return Push(high(step["force"]), sure(step["up"]), step.get("direction", "any"), x, side or 0.0)


def _stand(walk: _Walk, name: str, step: Data, force: Any, *, table: bool) -> Stand:
    at = (-sure(step["aft"]), sure(step["side"]))
    return Stand(name, *at, walk.d.sure(f"{name} {id(step)} force", force), table)


def _mark_lifted(states: list[State], steps: list[Data]) -> None:
    """On the tyres until the state before the first raise, and again after a full lower."""
    raises = {n for n, s in enumerate(steps, start=1) if s["kind"] == "raise"}
    downs = {n for n, s in enumerate(steps, start=1)
             if s["kind"] == "lower" and value(s.get("seat")) is None}  # fmt: skip
    up = not raises
    for n, state in enumerate(states):
        up = up or n + 1 in raises
        state.lifted = up
        up = up and n not in downs
