"""Cautions of the card: which of them matter most for this plan.

The cautions restate public guidance in our own words: DGUV Information 208-015 (10/2019), DGUV
Regel 109-009, HSE and WorkSafe alerts on two-post lifts, SAE J2184. All are eligible always;
relevance only decides the order, and so which of them a crowded page keeps.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from underset.setting import Plan, Status

_WIDE_CG: Final = 0.05  # m, from this spread on the CG is told to be an estimate

KEYS: Final = (
    "points",
    "limits",
    "restraints",
    "all_pads",
    "just_clear",
    "parts_off",
    "surface",
    "heavy_end",
    "unload",
    "battery",
    "rust",
    "papers",
    "bolts",
    "space",
    "estimates",
    "floor",
)


def cautions(plan: Plan) -> tuple[str, ...]:
    """Keys of the cautions, most relevant first; the order is otherwise that of KEYS."""
    pressing = [key for key in KEYS if key in _RULES and _RULES[key](plan)]
    return (*pressing, *(key for key in KEYS if key not in pressing))


def _has_battery(plan: Plan) -> bool:
    return plan.scene is not None and any(z.kind == "battery" for z in plan.scene.zones)


def _has_parts_off(plan: Plan) -> bool:
    return plan.best is not None and len(plan.best.states) > 1


def _has_wide_cg(plan: Plan) -> bool:
    if plan.best is None or not plan.best.states:
        return False
    first = plan.best.states[0]
    return first.cg_high[0] - first.cg_low[0] > _WIDE_CG


def _troubled(*names: str) -> Callable[[Plan], bool]:
    """Whether one of these checks does not hold."""

    def holds_not(plan: Plan) -> bool:
        checks = plan.best.checks if plan.best else ()
        return any(c.name in names and c.status is not Status.HOLDS for c in checks)

    return holds_not


_RULES: Final[dict[str, Callable[[Plan], bool]]] = {
    "battery": _has_battery,
    "parts_off": _has_parts_off,
    "estimates": _has_wide_cg,
    "restraints": _troubled("arm_tooth"),
    "rust": _troubled("rust_at_points", "repair_at_points"),
    "papers": _troubled("lift_examined", "daily_check", "lift_service"),
    "unload": _troubled("hidden_payload", "rated_load"),
    "space": _troubled("clear_space", "overhead"),
    "floor": _troubled("floor"),
    "bolts": _troubled("job_push", "push_slide", "push_tip"),
}
