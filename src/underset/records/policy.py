"""Policy: every threshold the judge uses, each with value, unit and source; a shop may change it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from underset.errors import InputError
from underset.sources import (
    DGUV_109_008,
    DGUV_208_015,
    DGUV_208_015_SYNC,
    FRICTION_TABLE,
    PAD_SLIP,
    PRACTICE,
    PUSH_TABLE,
    SHOP,
    Citation,
)
from underset.units import Quantity, parse_quantity


@dataclass(frozen=True, slots=True)
class Rule:
    """A threshold of the default policy: kind of quantity, default text, why, source."""

    kind: str
    default: str
    meaning: str
    source: Citation


RULES: Final[dict[str, Rule]] = {
    "split_boundary": Rule("mass", "3500 kg", "rated capacity up to which the narrow split holds", DGUV_208_015),
    "split_narrow": Rule("share", "60 %", "greatest share of either pad pair, lifts up to the boundary (3:2)", DGUV_208_015),
    "split_wide": Rule("share", "75 %", "greatest share of either pad pair, lifts above the boundary (3:1)", DGUV_208_015),
    "arm_share": Rule("share", "25 %", "load of one arm against rated capacity where the plate gives none", PRACTICE),
    "point_watch": Rule("share", "47 %", "point to pad centre against half the pad width, watch beyond", PAD_SLIP),
    "heavy_arms": Rule("length", "50 mm", "arms whose greatest reach differs by no more count as equally long", SHOP),
    "heavy_share": Rule("share", "2 %", "front share no further than this from one half counts as even", SHOP),
    "least_pad_stop": Rule("share", "5 %", "least pad load against the weight, stops below", SHOP),
    "least_pad_watch": Rule("share", "10 %", "least pad load against the weight, watch below", SHOP),
    "edge_stop": Rule("length", "100 mm", "CG to the nearest edge of the support polygon, stops below", SHOP),
    "edge_watch": Rule("length", "200 mm", "CG to the nearest edge of the support polygon, watch below", SHOP),
    "push_force": Rule("force", "225 N", "a standing person's push, any direction", PUSH_TABLE),
    "push_factor": Rule("share", "200 %", "factor on a push that must neither tip, unload nor slide", SHOP),
    "friction": Rule("share", "30 %", "pad friction, greasy", FRICTION_TABLE),
    "friction_clean": Rule("share", "60 %", "pad friction where clean rubber is stated", FRICTION_TABLE),
    "level_pad": Rule("length", "3 mm", "each pad level at touch, plus or minus", SHOP),
    "level_carriage": Rule("length", "5 mm", "carriages level, plus or minus", SHOP),
    "carriage_stop": Rule("length", "50 mm", "difference between carriages, stops at", DGUV_208_015_SYNC),
    "carriage_tilt": Rule("angle", "1 deg", "tilt between carriages, stops at", DGUV_208_015_SYNC),
    "park_along": Rule("length", "25 mm", "parking tolerance along the bay, plus or minus", SHOP),
    "park_across": Rule("length", "20 mm", "parking tolerance across the bay, plus or minus", SHOP),
    "park_yaw": Rule("angle", "0.5 deg", "parking tolerance in heading, plus or minus", SHOP),
    "gap_arm": Rule("length", "25 mm", "arm or stack to tyre, zone or other arm", SHOP),
    "gap_door": Rule("length", "50 mm", "door to column", SHOP),
    "door_exit": Rule("angle", "25 deg", "least door opening through which a person gets out", SHOP),
    "gap_roof": Rule("length", "100 mm", "roof or lid to ceiling or stop bar", SHOP),
    "gap_mirror": Rule("length", "50 mm", "mirrors to columns while driving through, each side", SHOP),
    "clear_space": Rule("length", "0.5 m", "clear space round the moving load", DGUV_109_008),
    "source_age": Rule("duration", "12 months", "lifting-point data re-checked within", PRACTICE),
    "examination": Rule("duration", "12 months", "lift examined within, where the lift names no interval", SHOP),
    "adapter_inspection": Rule("duration", "12 months", "adapters inspected within", SHOP),
    "training": Rule("duration", "12 months", "people who work lifts instructed again within", SHOP),
    "twist_low": Rule("twist", "2000 N m/deg", "least body torsional stiffness where not given", SHOP),
    "twist_high": Rule("twist", "40000 N m/deg", "greatest body torsional stiffness where not given", SHOP),
    "pad_stiffness_low": Rule("stiffness", "100 N/mm", "least stiffness of one arm with its joints and pad; no published figure found", SHOP),
    "pad_stiffness_high": Rule("stiffness", "300 N/mm", "greatest stiffness of one arm with its joints and pad; no published figure found", SHOP),
    "most_spacers": Rule("share", "200 %", "greatest number of spacers in one stack (100 % is one)", SHOP),
    "touch_clearance": Rule("length", "50 mm", "tyres this far off the floor at the first hold point", PRACTICE),
    "weigh_accept": Rule("share", "3 %", "gauge reading against predicted load, accepted within", SHOP),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Threshold:
    """A threshold in force: its value and where it comes from."""

    name: str
    value: float
    text: str
    source: str


@dataclass(frozen=True, slots=True)
class Policy:
    """All thresholds in force, by name."""

    thresholds: tuple[Threshold, ...]

    def __getitem__(self, name: str) -> float:
        return self.threshold(name).value

    def threshold(self, name: str) -> Threshold:
        """The threshold in force under a name; KeyError is our own slip."""
        return self._by_name()[name]

    def _by_name(self) -> dict[str, Threshold]:
        return _index(self)


_INDEX: dict[int, tuple[Policy, dict[str, Threshold]]] = {}


def _index(policy: Policy) -> dict[str, Threshold]:
    kept = _INDEX.get(id(policy))
    if kept is None or kept[0] is not policy:
        if len(_INDEX) > 64:
            _INDEX.clear()
        kept = (policy, {t.name: t for t in policy.thresholds})
        _INDEX[id(policy)] = kept
    return kept[1]


def policy_from(overrides: dict[str, dict[str, str] | str]) -> Policy:
    """The default policy with a shop's own figures in place.

    Each override is a text with its unit, or a table with `value` and `source`. Raises InputError for
    an unknown name, a bare number or a unit of another kind.
    """
    for name in overrides:
        if name not in RULES:
            known = ", ".join(RULES)
            raise InputError(f"policy.{name}", overrides[name], f"thresholds are {known}")
    return Policy(tuple(_threshold(n, r, overrides.get(n)) for n, r in RULES.items()))


def _threshold(name: str, rule: Rule, override: dict[str, str] | str | None) -> Threshold:
    if override is None:
        q, source = parse_quantity(rule.default, rule.kind, field=name), str(rule.source)
    elif isinstance(override, dict):
        extra = set(override) - {"value", "source"}
        if extra or "value" not in override:
            raise InputError(f"policy.{name}", override, "a table has value and source, no others")
        q = parse_quantity(override["value"], rule.kind, field=f"policy.{name}")
        source = str(override.get("source", SHOP))
    else:
        q, source = parse_quantity(override, rule.kind, field=f"policy.{name}"), str(SHOP)
    return _checked(name, q, source)


def _checked(name: str, q: Quantity, source: str) -> Threshold:
    if q.value < 0.0:
        raise InputError(f"policy.{name}", q.text, "a threshold is not negative")
    return Threshold(name, q.value, q.text, source)


DEFAULT_POLICY: Final = policy_from({})
