"""Random bays, shelves and policies, and whole workshops of one vehicle, bay and job.

    drawn(seed, number) -> Drawn

makes the same workshop every time. Its records are read from the data as from a file.
"""

from __future__ import annotations

import json
from dataclasses import dataclass, field
from datetime import date
from typing import Any

import numpy as np

from benchmarks.soundness.figures import value
from benchmarks.soundness.fitting import fit
from benchmarks.soundness.vehicles import CONTACTS, NOT_GIVEN, Draw, job, sources, vehicle
from underset.records import (
    Adapter,
    Bay,
    Job,
    Vehicle,
    Workshop,
    WorkshopFile,
    from_json,
    policy_from,
)

Data = dict[str, Any]
TODAY = date(2026, 11, 25)
RATED = (2500.0, 3000.0, 3200.0, 3500.0, 4000.0, 4200.0, 5000.0, 6500.0)
ARMS = ("left_front", "right_front", "left_rear", "right_rear")


@dataclass
class Drawn:
    """One case: the data of its records, everything that the second judge reads."""

    name: str
    vehicle: Data
    bay: Data
    adapters: dict[str, Data]
    policy: dict[str, str]
    job: Data | None
    about: Data = field(default_factory=dict)

    def workshop(self) -> Workshop:
        """The records, read from the data; raises InputError where a record refuses it."""
        return Workshop(
            from_json(WorkshopFile, json.dumps(self.about)),
            policy_from(dict(self.policy)),
            {"car": from_json(Vehicle, json.dumps(self.vehicle))},
            {"bay": from_json(Bay, json.dumps(self.bay))},
            {k: from_json(Adapter, json.dumps(a)) for k, a in self.adapters.items()},
            {"job": from_json(Job, json.dumps(self.job))} if self.job else {},
        )


def drawn(seed: int, number: int) -> Drawn:
    """Case `number` of a seed."""
    rng = np.random.default_rng((seed, number))
    missing = float(rng.choice((0.0, 0.0, 0.0, 0.005, 0.02, 0.15)))
    d = Draw(rng, missing, float(rng.choice((0.0, 0.5, 1.0))), hard=bool(rng.random() < 0.35))
    car = vehicle(d)
    lift = bay(d)
    shelf = adapters(d, lift["seat"]["interface"])
    if not d.hard:
        _strong(car, lift)
    if not d.hard or d.flip(0.8):
        fit(d, car, lift, shelf)
        car.pop("_served", None)
    work = job(d, car) if d.flip(0.65) else None
    return Drawn(f"{seed}:{number}", car, lift, shelf, policy(d), work, about(d))


def _strong(car: Data, lift: Data) -> None:
    """A lift well above the weight of the vehicle."""
    w = car["weights"]
    mass = sum(value(w.get(k)) or 0.0 for k in ("lf", "rf", "lr", "rr", "front", "rear", "total"))
    rated = next((r for r in RATED if r > 1.6 * mass), RATED[-1])
    lift["plate"]["rated"] = f"{rated!r} kg"
    if lift["plate"]["per_arm"] != NOT_GIVEN:
        lift["plate"]["per_arm"] = f"{rated * 3.5!r} N"


def about(d: Draw) -> Data:
    """The workshop's own page: rules on the daily check and on who may lift, and the people."""
    return {
        "name": "drawn",
        "require_daily_check": d.dice(0.02, True, False),
        "require_authorisation": d.flip(0.1),
        "people": [{
            "id": "hand", "name": "hand", "authorised_for": d.dice(0.1, [], ["two-post"]),
            "trained": "2026-03-01",
        }],
    }  # fmt: skip


def policy(d: Draw) -> dict[str, str]:
    """The default policy, in some cases with the shop's own figures."""
    made: dict[str, str] = {}
    if d.flip(0.6):
        low = d.between(50.0, 400.0)
        made["pad_stiffness_low"] = f"{low!r} N/mm"
        made["pad_stiffness_high"] = f"{low * d.between(1.0, 2.0)!r} N/mm"
        made["level_pad"] = f"{d.between(0.0, 4.0)!r} mm"
    if d.flip(0.3):
        made["level_carriage"] = f"{d.between(0.0, 20.0)!r} mm"
        made["gap_arm"] = f"{d.between(0.0, 40.0)!r} mm"
        made["least_pad_stop"] = f"{d.between(1.0, 8.0)!r} %"
        made["edge_stop"] = f"{d.between(0.0, 150.0)!r} mm"
    if d.flip(0.2):
        made["split_wide"] = f"{d.between(60.0, 80.0)!r} %"
        made["split_narrow"] = f"{d.between(55.0, 65.0)!r} %"
        made["friction"] = f"{d.between(15.0, 50.0)!r} %"
        made["clear_space"] = f"{d.between(0.0, 1.0)!r} m"
        made["gap_roof"] = f"{d.between(0.0, 200.0)!r} mm"
        made["gap_door"] = f"{d.between(0.0, 80.0)!r} mm"
    return made


def bay(d: Draw) -> Data:
    """A lift: symmetric, asymmetric with turned columns, long-armed or small."""
    kind = d.pick("symmetric", "symmetric", "asymmetric", "long", "small")
    wide = {"symmetric": 1.35, "asymmetric": 1.38, "long": 1.5, "small": 1.2}[kind]
    wide += d.between(-0.05, 0.1)
    turn = d.between(20.0, 35.0) if kind == "asymmetric" else 0.0
    stand = wide + d.between(0.2, 0.3)
    rated = d.pick(*RATED)
    per_arm = d.figure(rated * 2.4, rated * 4.0, "N", rated * 0.02)
    low = d.between(0.085, 0.13)
    return {
        "label": "drawn",
        "lift_kind": "two-post",
        "source": "plate",
        "sources": sources(d, "plate", ("2019-05-14",)),
        "columns": [_column(d, "left", stand, -turn), _column(d, "right", stand, turn)],
        "arms": _arms(d, kind, wide),
        "restraint": _restraint(d),
        "seat": {
            "interface": d.pick("pin-a", "pin-b"),
            "lowest": f"{low!r} m",
            "highest": d.figure(1.6, 2.0, "m"),
            "greatest_stack": d.maybe(d.figure(0.12, 0.4, "m")),
        },
        "plate": _plate(d, rated, per_arm),
        "surroundings": _surroundings(d),
        "inspection": {
            "examined": d.dice(d.missing, None, d.dice(0.02, "2025-10-01", "2026-04-21")),
            "in_service": d.dice(0.01, False, True),
            "defect": d.dice(0.03, "handle loose", ""),
            **(
                {"interval": d.dice(0.05, "6 months", d.pick("12 months", "24 months"))}
                if d.flip(0.5)
                else {}
            ),
        },
        "approach": d.pick("either way", "either way", "forward only"),
        "carriage_difference": d.dice(0.3, d.figure(0.0, 0.03, "m", 0.002), NOT_GIVEN),
        "adapters_approved": d.dice(0.1, ["head-0", "head-1", "spacer-0", "spacer-1"], []),
    }


def _column(d: Draw, side: str, y: float, turn: float) -> Data:
    along, across = d.between(0.2, 0.4), d.between(0.2, 0.36)
    left = 1.0 if side == "left" else -1.0
    return {
        "side": side, "x": f"{-0.05 if turn else 0.0} m", "y": f"{left * y!r} m",
        "along": f"{along!r} m", "across": f"{across!r} m", "turn": f"{turn!r} deg",
    }  # fmt: skip


def _arms(d: Draw, kind: str, wide: float) -> Data:
    x = d.between(0.0, 0.25)
    shift = -d.between(0.1, 0.35) if kind == "asymmetric" else 0.0
    longest = {"symmetric": 1.15, "asymmetric": 1.35, "long": 1.65, "small": 1.0}[kind]
    high = {"front": longest * d.between(0.9, 1.2), "rear": longest * d.between(0.9, 1.2)}
    if kind == "asymmetric":
        high["front"] *= 0.75
    low = {k: h * d.between(0.45, 0.62) for k, h in high.items()}
    swing = (d.between(-30.0, 0.0), d.between(80.0, 115.0))
    thick, half = d.between(0.0, 0.05), d.between(0.03, 0.06)
    profile = [
        {"from_tip": "0 m", "half_width": f"{half!r} m", "top": "0 m", "bottom": "-0.05 m"},
        {"from_tip": "0.3 m", "half_width": f"{half * 1.1!r} m", "top": "0 m", "bottom": "-0.06 m"},
        {"from_tip": "0.7 m", "half_width": f"{half * 1.4!r} m", "top": f"{thick!r} m",
         "bottom": "-0.08 m"},
    ]  # fmt: skip
    made, own = {}, d.flip(0.3)
    for name in ARMS:
        side, end = name.split("_")
        arm: Data = {
            "pivot_x": f"{shift + (x if end == 'front' else -x)!r} m",
            "pivot_y": f"{wide if side == 'left' else -wide!r} m",
            "swing_low": f"{swing[0]!r} deg", "swing_high": f"{swing[1]!r} deg",
            "reach_low": f"{low[end]!r} m", "reach_high": f"{high[end]!r} m",
            "parked_swing": d.maybe(f"{swing[1] - 4.0!r} deg"),
            "profile": d.dice(d.missing, None, profile),
        }  # fmt: skip
        if own:
            arm["limit"] = d.maybe(d.figure(7.0 if d.hard else 11.0, 18.0, "kN"))
        made[name] = arm
    return made


def _restraint(d: Draw) -> Data:
    kind = d.pick("toothed", "toothed", "toothed", "stepless")
    if d.flip(0.01):
        kind = "missing"
    if kind != "toothed":
        return {"kind": kind}
    return {
        "kind": kind,
        "pitch": d.maybe(d.pick(d.figure(1.5, 5.0, "deg"), d.figure(4.0, 12.0, "deg"))),
        "offset": d.dice(d.missing, NOT_GIVEN, d.dice(0.1, NOT_GIVEN, d.figure(0.0, 3.0, "deg"))),
    }


def _plate(d: Draw, rated: float, per_arm: str) -> Data:
    made: Data = {
        "rated": f"{rated!r} kg",
        "per_arm": d.dice(0.3, NOT_GIVEN, per_arm),
        "split_high": d.pick(NOT_GIVEN, "3:1", "3:1", "3:2", "2:1"),
    }
    if d.flip(0.4):
        made["cg_low"] = d.maybe(d.figure(-0.8, -0.2, "m"))
        made["cg_high"] = d.maybe(d.figure(0.2, 0.8, "m"))
    if d.flip(0.3):
        made["wheelbase_low"] = d.maybe(d.figure(1.8, 2.4, "m"))
        made["wheelbase_high"] = d.maybe(d.figure(3.0, 4.5, "m"))
        made["width_high"] = d.maybe(d.figure(1.8, 2.4, "m"))
    if d.flip(0.3):
        made["drive_through"] = d.maybe(d.figure(2.2, 2.8, "m"))
    return made


def _surroundings(d: Draw) -> Data:
    def free() -> str:
        return str(
            d.maybe(d.pick("none", "none", d.figure(2.0 if d.hard else 4.5, 6.0, "m", 0.02)))
        )

    return {
        "ceiling": d.maybe(d.pick("none", d.figure(3.2 if d.hard else 4.8, 5.5, "m", 0.02))),
        "stop_bar": d.maybe(d.pick("none", d.figure(3.2 if d.hard else 4.6, 5.5, "m", 0.01))),
        "free_ahead": free(), "free_behind": free(), "free_left": free(), "free_right": free(),
        "floor_level": d.dice(d.missing, "not known", d.dice(0.01, "no", "yes")),
        "floor_certificate": d.dice(d.missing, "not known", d.dice(0.01, "no", "yes")),
    }  # fmt: skip


# --- shelf -------------------------------------------------------------------------------------


def adapters(d: Draw, seat: str) -> dict[str, Data]:
    """Heads, a block and spacers: few or many of each, some out of service, some improvised."""
    many = d.pick(4, 8, 8, 3) if d.hard else 8
    made: dict[str, Data] = {}
    for i in range(d.pick(1, 2, 3)):
        plain = [*CONTACTS[::2]]
        contacts = d.pick(plain, plain, ["peg hole"], ["pinch weld"], [*CONTACTS])
        made[f"head-{i}"] = _piece(d, "head", seat, many, contacts)
        if not d.hard and i == 0:
            made["head-0"]["contacts"] = ["flat boss", "frame rail"]
            made["head-0"]["travel"] = d.figure(0.04, 0.08, "m")
            made["head-0"]["width"] = d.figure(0.09, 0.16, "m")
    if d.flip(0.5):
        made["block-0"] = _piece(d, "block", "cap", many, ["pinch weld"])
    for i in range(int(d.rng.integers(0, 4))):
        made[f"spacer-{i}"] = _piece(d, "spacer", seat, many, [])
    return made


def _piece(d: Draw, role: str, below: str, many: int, contacts: list[str]) -> Data:
    height = {"head": d.between(0.03, 0.09), "block": d.between(0.02, 0.05)}
    made: Data = {
        "label": role, "source": "plate", "sources": sources(d, "plate", ("2024-02-15",)),
        "role": role, "below": d.dice(0.05, "pin-c", below),
        "height": f"{height.get(role, d.between(0.04, 0.16))!r} m", "contacts": contacts,
        "rating": d.figure(500.0 if d.hard else 1400.0, 2500.0, "kg"),
        "maker_rated": d.dice(0.05, False, True),
        "clean_rubber": d.flip(0.4), "raised_edges": d.flip(0.3),
        "edges_near_battery": d.flip(0.5), "cradle": role == "head" and d.flip(0.1),
    }  # fmt: skip
    if role == "spacer":
        made["above"] = below
    else:
        made["width"] = d.maybe(d.figure(0.03, 0.16, "m"))
    if role == "head":
        made["above"] = "cap"
        made["travel"] = d.maybe(
            d.pick("0 m", d.figure(0.02, 0.08, "m"), d.figure(0.04, 0.08, "m"))
        )
        made["thread"] = d.maybe(d.figure(0.002, 0.006, "m"))
    if "pinch weld" in contacts:
        made["slot"] = d.maybe(d.figure(0.008, 0.04, "m"))
        made["slot_depth"] = d.maybe(d.figure(0.012, 0.04, "m"))
    if d.flip(0.5):
        made["interval_months"] = d.dice(0.05, 3, d.pick(6, 12, 24))
    made["lots"] = [_lot(d, many) for _ in range(d.pick(1, 1, 2))]
    return made


def _lot(d: Draw, many: int) -> Data:
    return {
        "count": d.pick(many, many, many, d.pick(0, 1, 2, 4)) if d.hard else many,
        "where": d.dice(0.03, "elsewhere", d.dice(0.2, "bay", "shelf")),
        "in_service": d.dice(0.03, False, True),
        "inspected": d.dice(d.missing, None, d.dice(0.02, "2025-01-10", "2026-06-17")),
    }
