"""JSON Schema (2020-12) of a plan's JSON; `docs/schemas/plan.json` is its print."""

from __future__ import annotations

from typing import Any, Final

from underset.card.record import VERSION
from underset.setting import CORNERS, Outcome, Status

Json = dict[str, Any]

_TEXT: Final[Json] = {"type": "string"}
_NUMBER: Final[Json] = {"type": "number"}
_COUNT: Final[Json] = {"type": "integer", "minimum": 0}
_YES_NO: Final[Json] = {"type": "boolean"}
_STATUS: Final[Json] = {"enum": [s.value for s in Status]}
_OUTCOME: Final[Json] = {"enum": [o.value for o in Outcome]}


def plan_schema() -> Json:
    """The schema of what `plan_json` returns."""
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": f"urn:underset:plan:{VERSION}",
        "title": f"Underset plan, version {VERSION}",
        "description": "SI units; the end of a key names its unit. No verdict is a permission.",
        **_record(
            underset_plan={"const": VERSION},
            tool=_TEXT,
            caution=_TEXT,
            invented=_YES_NO,
            outcome=_OUTCOME,
            status=_or_null(_STATUS),
            usable=_YES_NO,
            candidates=_COUNT,
            setting=_or_null(_setting()),
            states=_list(_state()),
            hold_points=_list(_hold_point()),
            refusals=_list(_refusal()),
            remedies=_list(_remedy()),
            missing=_list(_record(record=_TEXT, field=_TEXT, why=_TEXT, how=_TEXT)),
            choices=_list(_choice()),
            notes=_list(_TEXT),
        ),
    }


def _record(**fields: Json) -> Json:
    """An object with exactly these keys, all of them required."""
    return {
        "type": "object",
        "properties": fields,
        "required": list(fields),
        "additionalProperties": False,
    }


def _list(items: Json) -> Json:
    return {"type": "array", "items": items}


def _tuple(count: int) -> Json:
    return {"type": "array", "items": _NUMBER, "minItems": count, "maxItems": count}


def _or_null(schema: Json) -> Json:
    return {"anyOf": [schema, {"type": "null"}]}


def _by_corner(schema: Json) -> Json:
    return _record(**dict.fromkeys(CORNERS, schema))


def _setting() -> Json:
    arm = _record(
        arm=_TEXT,
        tooth={"type": ["integer", "null"]},
        swing_deg=_NUMBER,
        reach_m=_NUMBER,
        pad_m=_tuple(2),
        point_m=_tuple(2),
        contact=_TEXT,
        stack=_list(_TEXT),
        screw_m=_NUMBER,
        turns={"type": ["number", "null"]},
    )
    return _record(
        vehicle=_TEXT,
        bay=_TEXT,
        job={"type": ["string", "null"]},
        heading=_TEXT,
        point_set=_TEXT,
        spot_m=_NUMBER,
        sideways_m=_NUMBER,
        yaw_deg=_NUMBER,
        window_m=_tuple(2),
        fixed_window_m=_tuple(2),
        seat_m=_NUMBER,
        arms=_by_corner(arm),
    )


def _state() -> Json:
    residuals = _record(force_N=_NUMBER, moment_x_Nm=_NUMBER, moment_y_Nm=_NUMBER)
    load = _record(nominal=_NUMBER, low=_NUMBER, high=_NUMBER)
    return _record(
        name=_TEXT,
        label=_TEXT,
        status=_STATUS,
        mass_kg=_or_null(_NUMBER),
        mass_range_kg=_or_null(_tuple(2)),
        cg_m=_or_null(_tuple(3)),
        pads=_or_null(_by_corner(_record(load_N=load))),
        supports=_list(_record(name=_TEXT, kind=_TEXT, place_m=_tuple(2), force_N=_NUMBER)),
        residuals=_or_null(residuals),
        checks=_list(_check()),
    )


def _check() -> Json:
    maybe = {"type": ["number", "null"]}
    return _record(
        name=_TEXT,
        status=_STATUS,
        where=_TEXT,
        demand=maybe,
        limit=maybe,
        margin=maybe,
        unit=_TEXT,
        sentence=_TEXT,
        sources=_list(_TEXT),
    )


def _hold_point() -> Json:
    fact = {"type": "array", "items": _TEXT, "minItems": 2, "maxItems": 2}
    return _record(
        id=_TEXT,
        title=_TEXT,
        text=_TEXT,
        sign=_YES_NO,
        state=_TEXT,
        corner=_TEXT,
        facts=_list(fact),
    )


def _refusal() -> Json:
    return _record(
        check=_TEXT, count=_COUNT, bay=_TEXT, candidate=_TEXT, nearest=_or_null(_check())
    )


def _remedy() -> Json:
    return _record(
        kind=_TEXT,
        text=_TEXT,
        effort={"type": "integer"},
        outcome=_OUTCOME,
        bay=_TEXT,
        status=_or_null(_STATUS),
        details={"type": "object", "additionalProperties": _TEXT},
    )


def _choice() -> Json:
    return _record(
        bay=_TEXT,
        heading=_TEXT,
        point_set=_TEXT,
        status=_STATUS,
        least_slack=_NUMBER,
        spot_m=_NUMBER,
        window_m=_tuple(2),
        pieces=_COUNT,
    )
