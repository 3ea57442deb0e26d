"""Random vehicles and jobs, as the data of records: every kind of figure the record knows.

`Draw` gives texts with units and tolerances; a figure that the records may lack is left out with
the probability of the case.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

Data = dict[str, Any]
CORNERS = ("LF", "RF", "LR", "RR")
CONTACTS = ("flat boss", "pinch weld", "frame rail", "peg hole")
PROPULSION = ("combustion", "hybrid", "battery-electric")
WAYS = ("any", "any", "forward", "rearward", "left", "right", "up", "down")
NOT_GIVEN = "not given"


@dataclass
class Draw:
    """Random figures of one case: `missing` and `tolerance` are probabilities.

    A case that is not `hard` meets no rare mishap and figures that suit each other, so that enough
    cases come as far as being usable.
    """

    rng: np.random.Generator
    missing: float
    tolerance: float
    hard: bool = True

    def flip(self, probability: float) -> bool:
        return bool(self.rng.random() < probability)

    def pick(self, *choices: Any) -> Any:
        return choices[int(self.rng.integers(len(choices)))]

    def between(self, low: float, high: float) -> float:
        return float(self.rng.uniform(low, high))

    def text(self, value: float, unit: str, tol: float = 0.0) -> str:
        """A figure as written, with a tolerance up to `tol` in some cases."""
        half = self.between(0.0, tol) if tol and self.flip(self.tolerance) else 0.0
        return f"{value!r} ± {half!r} {unit}" if half else f"{value!r} {unit}"

    def figure(self, low: float, high: float, unit: str, tol: float = 0.0) -> str:
        return self.text(self.between(low, high), unit, tol)

    def maybe(self, text: str) -> str:
        """The text, or what stands where nobody has measured."""
        return NOT_GIVEN if self.flip(self.missing) else text

    def dice(self, chance: float, unusual: Any, usual: Any) -> Any:
        """The unusual one with this chance; a chance of 5 % and less is a mishap."""
        return unusual if self.flip(chance) and (self.hard or chance > 0.05) else usual


SOURCES = {
    "sheet": {"kind": "maker's document", "document": "Lifting sheet (drawn)"},
    "plate": {"kind": "plate", "document": "Plate (drawn)"},
}
GOOD_INTAKE = {
    "rust_at_points": "no",
    "repair_at_points": "no",
    "hidden_payload": "no",
    "person_in_vehicle": "no",
    "air_suspension_in_lift_mode": "not fitted",
    "entered_straight": "yes",
}


def sources(d: Draw, name: str, fresh: tuple[str, ...]) -> Data:
    """One source, its date mostly among the fresh ones, sometimes old or missing."""
    made = dict(SOURCES[name])
    if not d.flip(d.missing):
        made["date"] = d.dice(0.02, "2024-02-01", d.pick(*fresh))
    return {name: made}


def vehicle(d: Draw) -> Data:
    """A vehicle: sizes first, everything else placed against them."""
    base = d.between(2.0, 3.9)
    up = d.between(0.17, 0.34)
    kind = d.pick("car", "car", "SUV", "pickup", "van", "other")
    height = d.between(1.3, 1.9) if kind in ("car", "SUV") else d.between(1.6, 2.8)
    front = d.between(0.6, 1.0)
    half = d.between(0.8, 1.05)
    made: Data = {
        "label": "drawn",
        "source": "sheet",
        "sources": sources(d, "sheet", ("2026-02-01", "2026-09-01", "2025-11-26")),
        "drive": d.pick("front", "rear", "all-wheel", "four-wheel", "not known"),
        "body": kind,
        "construction": d.pick("unibody", "body-on-frame", "not known"),
        "propulsion": d.dice(d.missing, "not known", d.pick(*PROPULSION)),
        "sizes": _sizes(d, base, height, front, half),
        "weights": _weights(d, d.between(800.0, 3200.0)),
        "balance": _balance(d, height),
        "suspension": {
            "droop_front": d.maybe(d.figure(0.0, 0.12, "m", 0.01)),
            "droop_rear": d.maybe(d.figure(0.0, 0.12, "m", 0.01)),
        },
        "point_sets": [_point_set(d, f"set-{i}", base, up) for i in range(d.dice(0.2, 2, 1))],
        "zones": d.dice(d.missing, None, _zones(d, base, half, up)),
        "doors": d.dice(d.missing, None, _doors(d, base, half)),
        "lids": d.dice(d.missing, None, _lids(d, height)),
        "components": _components(d, base),
        "roof_load_height": d.dice(0.1, d.figure(height, height + 0.6, "m", 0.02), "none"),
        "special_adapter": d.dice(d.missing, NOT_GIVEN, d.dice(0.02, "head-0", "none")),
        "intake": intake(d),
    }  # fmt: skip
    if d.flip(0.5):
        low = d.between(4e3, 15e3)
        made["body_twist_low"], made["body_twist_high"] = f"{low} N m/deg", f"{low * 2} N m/deg"
    return made


def intake(d: Draw) -> Data:
    """Answers, mostly good ones."""
    made = {k: d.dice(d.missing, "not asked", v) for k, v in GOOD_INTAKE.items()}
    if d.hard and d.flip(0.02):
        made[d.pick(*made)] = d.pick("yes", "no")
    return made


def _sizes(d: Draw, base: float, height: float, front: float, half: float) -> Data:
    track = 2 * half - d.between(0.2, 0.35)
    return {
        "wheelbase": d.text(base, "m", 0.01),
        "track_front": d.maybe(d.text(track, "m", 0.01)),
        "track_rear": d.maybe(d.text(track + d.between(-0.05, 0.05), "m", 0.01)),
        "tyre_width": d.maybe(d.figure(0.15, 0.29, "m", 0.003)),
        "tyre_diameter": d.maybe(d.figure(0.55, 0.82, "m", 0.01)),
        "length": d.maybe(d.text(front + base + d.between(0.5, 1.2), "m", 0.01)),
        "width": d.maybe(d.text(2 * half, "m", 0.01)),
        "width_mirrors": d.maybe(d.text(2 * half + d.between(0.0, 0.3), "m", 0.01)),
        "height": d.maybe(d.text(height, "m", 0.02)),
        "overhang_front": d.maybe(d.text(front, "m", 0.01)),
        "sill_height": d.maybe(d.figure(0.2, 0.5, "m", 0.01)),
    }


def _weights(d: Draw, mass: float) -> Data:
    """Corner loads, axle loads, a total with or without a share, or nothing at all."""
    share, side = d.between(0.42, 0.62), d.between(0.485, 0.515)
    tol = d.dice(0.2, 0.05, 0.01) * mass
    how = d.pick("corner", "corner", "axle", "axle", "axle", "share", "total", "none")
    made: Data = {"state": "drawn"}
    if how == "corner":
        for key in ("lf", "rf", "lr", "rr"):
            part = (share if key[1] == "f" else 1 - share) * (side if key[0] == "l" else 1 - side)
            made[key] = d.maybe(d.text(mass * part, "kg", tol / 4))
    elif how == "axle":
        made["front"] = d.maybe(d.text(mass * share, "kg", tol / 2))
        made["rear"] = d.maybe(d.text(mass * (1 - share), "kg", tol / 2))
    elif how != "none":
        made["total"] = d.maybe(d.text(mass, "kg", tol))
        if how == "share":
            made["front_share"] = d.text(100 * share, "%", 1.0)
    return made


def _balance(d: Draw, height: float) -> Data:
    made: Data = {}
    if d.flip(0.6):
        made["height"] = d.maybe(d.text(height * d.between(0.33, 0.42), "m", 0.04))
    if d.flip(0.7):
        made["side"] = d.maybe(d.figure(-0.03, 0.03, "m", 0.015))
    return made


def _point_set(d: Draw, name: str, base: float, up: float) -> Data:
    aft = (base * d.between(0.16, 0.34), base * d.between(0.68, 0.88))
    side = (d.between(0.42, 0.78), d.between(0.42, 0.78))
    if d.flip(0.6):
        side = (side[0], side[0])
    kinds = d.pick(*CONTACTS[:1] * 4, *CONTACTS), d.pick(*CONTACTS)
    if d.flip(0.8):
        kinds = (kinds[0], kinds[0])
    zone = d.pick(0.0, 0.0005, 0.004, 0.012, 0.02, 0.03) if d.hard else d.pick(0.012, 0.03, 0.05)
    uneven = d.pick(0.0, 0.0, 0.01, 0.04 if d.hard else 0.005)
    tol = d.pick(0.0, 0.0, 0.002, 0.004)
    points = []
    for corner in CORNERS:
        end = 0 if corner.endswith("F") else 1
        left = 1.0 if corner.startswith("L") else -1.0
        across = left * side[end] + d.between(-0.01, 0.01)
        p = {
            "corner": corner,
            "aft": d.text(aft[end] + d.between(-0.01, 0.01), "m", tol),
            "side": d.text(across, "m", tol),
            "up": d.text(up + end * uneven / 2 + d.between(0.0, uneven), "m", 2 * tol),
            "contact": kinds[end],
            "along": f"{zone * d.between(0.8, 1.5)!r} m",
            "across": f"{zone * d.between(0.5, 1.2)!r} m",
        }
        if kinds[end] == "pinch weld":
            p["flange_thickness"] = d.maybe(d.figure(0.003, 0.008, "m", 0.001))
            p["flange_depth"] = d.maybe(d.figure(0.008, 0.025, "m", 0.002))
        if d.flip(0.2):
            p["limit"] = d.figure(5.0, 14.0, "kN")
        points.append(p)
    return {"id": name, "label": "drawn", "points": points}


def _zones(d: Draw, base: float, half: float, up: float) -> list[Data]:
    made = []
    for i in range(int(d.rng.integers(0, 5 if d.hard else 3))):
        kind = d.pick("skirt", "running board", "battery", "tank", "exhaust", "line", "floor")
        x, y = d.between(0.0, base), d.between(-half, half)
        if kind == "skirt":
            y = d.pick(-1.0, 1.0) * (half - 0.02)
        long, wide = d.between(0.05, 0.6 * base), d.between(0.03, 0.5)
        corners = [(x, y), (x + long, y), (x + long, y + wide), (x, y + wide)]
        if d.flip(0.3):
            corners = corners[:3]
        made.append({
            "id": f"zone-{i}", "kind": kind,
            "outline": [[f"{a!r} m", f"{b!r} m"] for a, b in corners],
            "underside": d.figure(up - 0.05 * d.hard, up + 0.15, "m", 0.01),
            "touch": d.flip(0.1), "pass_under": d.flip(0.9), "high_voltage": d.flip(0.1),
        })  # fmt: skip
    return made


def _doors(d: Draw, base: float, half: float) -> list[Data]:
    made = []
    for i in range(int(d.rng.integers(0, 3))):
        side, aft = d.pick("left", "right"), d.between(0.2, 0.7 * base)
        made.append({
            "id": f"door-{i}", "side": side, "hinge_aft": f"{aft!r} m",
            "hinge_side": f"{half if side == 'left' else -half!r} m",
            "length": d.figure(0.7, 1.2, "m"), "opens": d.figure(20.0, 75.0, "deg"),
            "hinged_at": d.pick("front", "front", "rear"),
        })  # fmt: skip
    return made


def _lids(d: Draw, height: float) -> list[Data]:
    kinds = ("bonnet", "boot lid", "tailgate")[: int(d.rng.integers(0, 4))]
    return [
        {
            "id": f"lid-{i}",
            "kind": kind,
            "open_height": d.figure(height, height + 0.8, "m", 0.02),
            "open_aft": d.figure(-0.5, 3.0, "m"),
        }
        for i, kind in enumerate(kinds)
    ]


def _components(d: Draw, base: float) -> list[Data]:
    return [
        {
            "id": f"part-{i}",
            "label": "drawn",
            "mass": d.figure(20.0, 260.0, "kg", 15.0),
            "aft": d.figure(-0.5, base + 0.6, "m", 0.05),
            "side": d.figure(-0.3, 0.3, "m", 0.03),
            "up": d.figure(0.2, 1.2, "m", 0.05),
            "on": d.flip(0.8),
        }
        for i in range(int(d.rng.integers(0, 4)))
    ]


# --- jobs --------------------------------------------------------------------------------------


class _Steps:
    """Steps drawn so that each of them is possible where it stands."""

    def __init__(self, d: Draw, car: Data) -> None:
        self.d, self.car = d, car
        self.on = {c["id"]: c["on"] for c in car["components"]}
        self.loads: list[str] = []
        self.stands: list[str] = []
        self.made: list[Data] = []
        self.base = float(car["sizes"]["wheelbase"].split()[0])

    def _at(self) -> Data:
        d = self.d
        return {
            "aft": d.figure(-0.5, self.base + 0.5, "m", 0.03),
            "side": d.figure(-0.4, 0.4, "m", 0.03),
        }

    def take_off(self) -> None:
        here = [k for k, on in self.on.items() if on]
        if here:
            part = self.d.pick(*here)
            self.on[part] = False
            self.made.append({"kind": "take off", "component": part})

    def put_on(self) -> None:
        here = [k for k, on in self.on.items() if not on]
        if here:
            part = self.d.pick(*here)
            self.on[part] = True
            self.made.append({"kind": "put on", "component": part})

    def add_load(self) -> None:
        name, d = f"load-{len(self.made)}", self.d
        self.loads.append(name)
        up = d.figure(0.3, 2.0, "m", 0.05)
        self.made.append({"kind": "add load", "id": name, "label": "drawn", **self._at(), "up": up,
                          "mass": d.figure(12.0, 120.0, "kg", 10.0)})  # fmt: skip

    def move_load(self) -> None:
        if self.loads:
            up = self.d.figure(0.3, 2.0, "m", 0.05)
            self.made.append(
                {"kind": "move load", "id": self.d.pick(*self.loads), **self._at(), "up": up}
            )

    def remove_load(self) -> None:
        if self.loads:
            name = self.d.pick(*self.loads)
            self.loads.remove(name)
            self.made.append({"kind": "remove load", "id": name})

    def open(self) -> None:
        doors, lids = self.car["doors"] or [], self.car["lids"] or []
        names = [x["id"] for x in (*doors, *lids)] + [x["kind"] for x in lids]
        names += ["all doors"] * bool(doors)
        if names:
            kind = self.d.dice(0.2, "close", "open")
            self.made.append({"kind": kind, "what": self.d.pick(*names)})

    def push(self) -> None:
        d = self.d
        made = {"kind": "push", "label": "drawn", "force": d.figure(50.0, 700.0, "N", 30.0),
                "up": d.figure(0.1, 1.5, "m"), "direction": d.pick(*WAYS)}  # fmt: skip
        self.made.append({**made, **self._at()} if d.flip(0.5) else made)

    def table(self) -> None:
        force = self.d.figure(0.2, 3.0, "kN", 0.2)
        self.made.append({"kind": "table push", "label": "drawn", "force": force, **self._at()})

    def stand(self) -> None:
        if len(self.stands) < 2:
            name = f"stand-{len(self.made)}"
            self.stands.append(name)
            force = self.d.figure(0.2, 3.0, "kN", 0.1)
            self.made.append({"kind": "stand set", "id": name, "preload": force, **self._at()})

    def stand_away(self) -> None:
        if self.stands:
            self.made.append({"kind": "stand away", "id": self.stands.pop()})

    def lift(self) -> None:
        d = self.d
        how = d.pick({"seat": d.figure(0.6, 1.9, "m")}, {"tyre_clearance": d.figure(0.0, 0.9, "m")})
        self.made.append({"kind": "raise", **how})


def job(d: Draw, car: Data) -> Data:
    """A job of one to eight steps, mostly with a raise first."""
    steps = _Steps(d, car)
    if d.flip(0.7):
        steps.lift()
    ways = (steps.take_off, steps.take_off, steps.put_on, steps.add_load, steps.move_load,
            steps.remove_load, steps.open, steps.push, steps.push, steps.table, steps.stand,
            steps.stand_away, steps.lift)  # fmt: skip
    for _ in range(int(d.rng.integers(1, 8))):
        d.pick(*ways)()
    if d.flip(0.3):
        steps.made.append({"kind": "lower"})
    made = {"label": "drawn", "vehicle": "car", "steps": steps.made}
    if d.flip(0.2):
        made["intake"] = intake(d)
    return made
