"""A plan as JSON: the published form, its schema, and its hash. SI units, keys spell their unit."""

from __future__ import annotations

import hashlib
import json
import math
from typing import Any, Final

from underset import __version__
from underset.card.words import words_in
from underset.errors import InternalError
from underset.setting import (
    CORNERS,
    ArmSetting,
    Check,
    Choice,
    Evaluation,
    HoldPoint,
    Plan,
    Refusal,
    Remedy,
    Setting,
    StandLoad,
    StateResult,
    say,
)

VERSION: Final = 1
_BALANCE: Final = ("mass_kg", "mass_range_kg", "cg_m", "pads", "residuals")
Json = dict[str, Any]


def plan_json(plan: Plan, *, units: str = "metric", language: str = "en") -> Json:
    """The plan in its published form; figures are SI, sentences in `units` and `language`.

    Raises InternalError when a figure is not finite: such a result is withheld.
    """
    say_it = _Sayer(units, language)
    best = plan.best
    document = {
        "underset_plan": VERSION,
        "tool": f"Underset {__version__}",
        "caution": words_in(language)["advice"],
        "invented": plan.invented,
        "outcome": plan.outcome.value,
        "status": best.status.value if best else None,
        "usable": best.usable if best else False,
        "candidates": plan.candidates,
        "setting": _setting(best.setting) if best else None,
        "states": [_state(s, say_it) for s in best.states] if best else [],
        "hold_points": [_hold_point(h) for h in plan.hold_points],
        "refusals": [_refusal(r, say_it) for r in plan.refusals],
        "remedies": [_remedy(r) for r in plan.remedies],
        "missing": [
            {"record": m.record, "field": m.field, "why": m.why, "how": m.how} for m in plan.missing
        ],
        "choices": [_choice(c) for c in plan.choices],
        "notes": list(plan.notes),
    }
    _finite(document, "plan")
    return document


def plan_text(plan: Plan, *, units: str = "metric", language: str = "en") -> str:
    """The plan's JSON as text, keys in their published order."""
    document = plan_json(plan, units=units, language=language)
    return json.dumps(document, ensure_ascii=False, indent=2, allow_nan=False) + "\n"


def plan_digest(plan: Plan) -> str:
    """SHA-256 over the plan's canonical JSON (sorted keys, no spaces, metric English), as hex."""
    return document_digest(plan_json(plan))


def document_digest(document: Json) -> str:
    """SHA-256 over a plan's canonical JSON, fresh or read back, as hex."""
    text = json.dumps(document, sort_keys=True, separators=(",", ":"), allow_nan=False)
    return hashlib.sha256(text.encode("utf-8")).hexdigest()


# --- parts ----------------------------------------------------------------------------------------


class _Sayer:
    """Remembers how sentences are written."""

    def __init__(self, units: str, language: str) -> None:
        self.units, self.language = units, language

    def __call__(self, check: Check) -> str:
        return say(check, self.units, self.language)


def _setting(s: Setting) -> Json:
    return {
        "vehicle": s.vehicle,
        "bay": s.bay,
        "job": s.job,
        "heading": s.heading,
        "point_set": s.point_set,
        "spot_m": s.spot,
        "sideways_m": s.sideways,
        "yaw_deg": math.degrees(s.yaw),
        "window_m": list(s.window),
        "fixed_window_m": list(s.fixed_window),
        "seat_m": s.seat,
        "arms": {arm.corner: _arm(arm) for arm in s.arms},
    }


def _arm(arm: ArmSetting) -> Json:
    return {
        "arm": arm.arm,
        "tooth": arm.tooth,
        "swing_deg": math.degrees(arm.swing),
        "reach_m": arm.reach,
        "pad_m": list(arm.pad),
        "point_m": list(arm.point),
        "contact": arm.contact,
        "stack": list(arm.stack_ids),
        "screw_m": arm.screw,
        "turns": arm.turns,
    }


def _state(state: StateResult, say_it: _Sayer) -> Json:
    """One state; where mass or balance is not known its figures are null, never zero."""
    return {
        "name": state.name,
        "label": state.label,
        "status": state.status.value,
        **(_balance(state) if state.known else dict.fromkeys(_BALANCE)),
        "supports": [_support(s) for s in state.supports],
        "checks": [_check(c, say_it) for c in state.checks],
    }


def _balance(state: StateResult) -> Json:
    r = state.residuals
    return {
        "mass_kg": state.mass,
        "mass_range_kg": [state.mass_low, state.mass_high],
        "cg_m": list(state.cg),
        "pads": {
            corner: {"load_N": {"nominal": p.nominal, "low": p.low, "high": p.high}}
            for corner, p in zip(CORNERS, state.pads, strict=True)
        },
        "residuals": {"force_N": r.force, "moment_x_Nm": r.moment_x, "moment_y_Nm": r.moment_y},
    }


def _support(s: StandLoad) -> Json:
    return {"name": s.name, "kind": s.kind, "place_m": list(s.place), "force_N": s.force}


def _check(check: Check, say_it: _Sayer) -> Json:
    return {
        "name": check.name,
        "status": check.status.value,
        "where": check.where,
        "demand": check.demand,
        "limit": check.limit,
        "margin": check.margin,
        "unit": check.unit,
        "sentence": say_it(check),
        "sources": list(check.sources),
    }


def _hold_point(h: HoldPoint) -> Json:
    return {
        "id": h.id,
        "title": h.title,
        "text": h.text,
        "sign": h.sign,
        "state": h.state,
        "corner": h.corner,
        "facts": [list(fact) for fact in h.facts],
    }


def _refusal(r: Refusal, say_it: _Sayer) -> Json:
    return {
        "check": r.check,
        "count": r.count,
        "bay": r.bay,
        "candidate": r.candidate,
        "nearest": _check(r.nearest, say_it) if r.nearest else None,
    }


def _remedy(r: Remedy) -> Json:
    return {
        "kind": r.kind,
        "text": r.text,
        "effort": r.effort,
        "outcome": r.outcome.value,
        "bay": r.bay,
        "status": r.evaluation.status.value if r.evaluation else None,
        "details": dict(r.details),
    }


def _choice(c: Choice) -> Json:
    return {
        "bay": c.bay,
        "heading": c.heading,
        "point_set": c.point_set,
        "status": c.status.value,
        "least_slack": c.least_slack,
        "spot_m": c.spot,
        "window_m": list(c.window),
        "pieces": c.pieces,
    }


def _finite(value: object, path: str) -> None:
    """Walks the document; the first figure that is not finite withholds it."""
    if isinstance(value, float) and not math.isfinite(value):
        raise InternalError(f"{path}: figure {value} is not finite; result withheld.")
    if isinstance(value, dict):
        for key, item in value.items():
            _finite(item, f"{path}.{key}")
    elif isinstance(value, list):
        for i, item in enumerate(value):
            _finite(item, f"{path}[{i}]")


# --- one evaluation -------------------------------------------------------------------------------


def evaluation_json(best: Evaluation, *, units: str = "metric", language: str = "en") -> Json:
    """Setting and states alone, in the same form, for callers that judge without planning."""
    say_it = _Sayer(units, language)
    document = {
        "status": best.status.value,
        "usable": best.usable,
        "setting": _setting(best.setting),
        "states": [_state(s, say_it) for s in best.states],
    }
    _finite(document, "evaluation")
    return document
