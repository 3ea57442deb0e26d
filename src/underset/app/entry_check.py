"""What a half-filled form can be told at once: figures that cannot stand, figures that look wrong,
and the drawing that shows what each figure means.

Decision: figures still missing are stood in for by two vehicles, a small and a large one. A
complaint that both raise comes from what was typed; one that only one raises is not told.
"""

from __future__ import annotations

from collections.abc import Mapping
from copy import deepcopy
from dataclasses import dataclass
from typing import Any, Final

from pydantic import ValidationError

from underset.app.entry import Form, field_of, record_data, record_of
from underset.app.entry_fields import BY_NAME, CORNERS, ENTRIES, POINTS, at, put, set_name, shown
from underset.app.entry_sets import points_there
from underset.card import SketchDoor, SketchPoint, SketchZone, VehicleSketch, vehicle_svg
from underset.errors import InputError, InputErrors
from underset.records import Complaint, Vehicle, complaints
from underset.units import Quantity, parse_quantity

_STAND_INS: Final = (
    {"wheelbase": 2300.0, "half": 560.0, "state": "stand-in"},
    {"wheelbase": 4000.0, "half": 800.0, "state": "stand-in"},
)


@dataclass(frozen=True, slots=True)
class Remark:
    """One figure that looks wrong: field of the form, value, what is odd, likely slip, remedy."""

    name: str
    value: str
    looks: str
    slip: str
    remedy: str
    source: str


@dataclass(frozen=True, slots=True)
class Checked:
    """What a form is told: errors by field (empty fields left out unless asked), and remarks."""

    errors: Mapping[str, tuple[InputError, ...]]
    remarks: tuple[Remark, ...]
    complete: bool
    missing: int = 0  # needed figures that are still empty


def checked(form: Form, *, whole: bool) -> Checked:
    """Errors by field and what looks wrong. `whole` also tells what is still missing."""
    errors: dict[str, tuple[InputError, ...]] = {}
    empty: set[str] = set()
    try:
        record: Vehicle | None = record_of(form)
    except InputErrors as found:
        record = None
        for e in found.errors:
            empty |= set() if form.text(e.field) else {e.field}
            if whole or form.text(e.field):
                errors[e.field] = (*errors.get(e.field, ()), e)
    data = record_data(form)
    told = complaints(record) if record else _shared(data)
    return Checked(errors, tuple(_remark(c, form) for c in told), record is not None, len(empty))


def _remark(c: Complaint, form: Form) -> Remark:
    return Remark(field_of(c.field, form), c.value, c.looks, c.slip, c.remedy, c.source)


def _shared(data: dict[str, Any]) -> tuple[Complaint, ...]:
    """Complaints that both stand-ins raise."""
    small, large = (_of_stand_in(data, s) for s in _STAND_INS)
    known = {(c.field, c.value, c.looks) for c in large if c.field != "source"}
    return tuple(c for c in small if (c.field, c.value, c.looks) in known)


def _of_stand_in(data: dict[str, Any], stand_in: Mapping[str, Any]) -> tuple[Complaint, ...]:
    filled = deepcopy(data)
    for _ in range(3):
        _fill(filled, stand_in)
        try:
            return complaints(Vehicle.model_validate(filled))
        except ValidationError as error:
            for e in error.errors(include_url=False):
                _drop(filled, tuple(e["loc"]))
    return ()


def _drop(data: Any, loc: tuple[Any, ...]) -> None:
    """Take away what cannot be read, and the row it stands in when a list holds it."""
    for n, step in enumerate(loc):
        last = n == len(loc) - 1
        if step in ("zones", "doors", "lids") or (last and isinstance(data, dict)):
            data.pop(step, None)
            return
        data = _inside(data, step)
        if data is None:
            return


def _inside(data: Any, step: Any) -> Any:
    if isinstance(data, dict):
        return data.get(step)
    return data[step] if isinstance(data, list) else None


def _fill(data: dict[str, Any], stand_in: Mapping[str, Any]) -> None:
    points_there(data)
    wheelbase, half = stand_in["wheelbase"], stand_in["half"]
    parts = {"label": "?", "wheelbase": f"{wheelbase} mm", "weighed_as": stand_in["state"],
             "points_label": "?"}  # fmt: skip
    for corner in CORNERS:
        share = 0.25 if corner.endswith("f") else 0.75
        sign = 1 if corner.startswith("l") else -1
        parts |= {
            f"{corner}_aft": f"{share * wheelbase} mm", f"{corner}_side": f"{sign * half} mm",
            f"{corner}_up": "220 mm", f"{corner}_contact": "flat boss",
            f"{corner}_along": "30 mm", f"{corner}_across": "30 mm",
        }  # fmt: skip
    for source in data.get("sources", {}).values():
        source |= {"kind": "estimate", "document": "stand-in"}
    for place, one in enumerate(data["point_sets"]):
        one.setdefault("id", f"stand-in-{place}")
        for name, text in parts.items():
            path = BY_NAME[name].path
            path = (path[0], place, *path[2:]) if path[0] == "point_sets" else path
            if at(data, path) is None:
                put(data, path, text)


# --- the drawing ----------------------------------------------------------------------------------

_SIZES: Final = {
    "length": 4.5, "width": 1.8, "width_mirrors": 2.05, "height": 1.6, "overhang_front": 0.9,
    "wheelbase": 2.7, "track_front": 1.55, "track_rear": 1.55, "tyre_width": 0.215,
    "tyre_diameter": 0.65, "sill_height": 0.25, "droop_front": 0.09, "droop_rear": 0.09,
    "cg_height": 0.55, "cg_side": 0.0,
}  # fmt: skip
_DRAWN: Final = (
    *(n for n in _SIZES),
    *(f"{c}_{word}" for c in CORNERS for word in ("aft", "side")),
    *("lf_up", "lr_up"),
)


def drawing(form: Form, words: Mapping[str, str]) -> str:
    """The vehicle as typed so far; what is not known yet is drawn as usual and labelled "?"."""
    drawn = form.text("drawn")
    place = next((i for i, s in enumerate(form.slots) if str(s.number) == drawn), 0)
    slot, data = form.slots[place].number, record_data(form)
    texts = {n: form.text(n) for n in BY_NAME}
    texts |= {e.name: form.text(set_name(slot, e.name)) for e in POINTS}
    return vehicle_svg(sketch(data | {"point_sets": [data["point_sets"][place]]}, words, texts))


def sketch(
    data: Mapping[str, Any], words: Mapping[str, str], texts: Mapping[str, str]
) -> VehicleSketch:
    """The drawing's figures out of a record's plain data."""
    lengths = {e.name: _length(at(data, e.path)) for e in ENTRIES if e.kind == "length"}
    sizes = {n: _known(lengths[n], usual) for n, usual in _SIZES.items()}
    _proportioned(sizes, lengths)
    labels = {n: texts.get(n) or "?" for n in _DRAWN}
    return VehicleSketch(
        sizes=sizes,
        points=tuple(_point(c, lengths, sizes) for c in CORNERS),
        labels=labels,
        words=words,
        zones=_zones(data.get("zones") or (), words),
        doors=tuple(d for d in map(_door, data.get("doors") or ()) if d),
        stands=_zones(data.get("stand_places") or (), words),
        unknown=frozenset(n for n, v in lengths.items() if v is None),
    )


def _known(value: float | None, usual: float) -> float:
    return usual if value is None else max(min(value, 12.0), -12.0)


def _proportioned(sizes: dict[str, float], lengths: Mapping[str, float | None]) -> None:
    """What is not typed follows the wheelbase, so that a long van is not drawn on a short body."""
    ratio = sizes["wheelbase"] / _SIZES["wheelbase"]
    for name in ("length", "overhang_front"):
        if lengths[name] is None:
            sizes[name] = _SIZES[name] * ratio
    least = sizes["wheelbase"] + sizes["overhang_front"] + 0.2
    sizes["length"] = max(sizes["length"], least if lengths["length"] is None else 0.5)


def _point(
    corner: str, lengths: Mapping[str, float | None], sizes: Mapping[str, float]
) -> SketchPoint:
    share = 0.25 if corner.endswith("f") else 0.75
    side = 0.42 * sizes["width"] * (1 if corner.startswith("l") else -1)
    aft = share * sizes["wheelbase"]
    usual = {"aft": aft, "side": side, "up": 0.2, "along": 0.05, "across": 0.04}
    return SketchPoint(**{n: _known(lengths[f"{corner}_{n}"], u) for n, u in usual.items()})


def _length(leaf: Any) -> float | None:
    return _measured(leaf, "length")


def _measured(leaf: Any, kind: str) -> float | None:
    try:
        return parse_quantity(shown(leaf), kind).value
    except InputError:
        return None


def _zones(items: Any, words: Mapping[str, str]) -> tuple[SketchZone, ...]:
    found = []
    for item in items:
        corners = [(_length(a), _length(s)) for a, s in item.get("outline", ())]
        whole = [(a, s) for a, s in corners if a is not None and s is not None]
        if len(whole) == len(corners) >= 3:
            kind = str(item.get("kind", ""))
            label = words.get(f"zone.{kind}") or str(item.get("label") or kind)
            found.append(SketchZone(tuple(whole), label, _length(item.get("underside"))))
    return tuple(found)


def _door(item: Mapping[str, Any]) -> SketchDoor | None:
    from math import cos, sin

    aft, side = _length(item.get("hinge_aft")), _length(item.get("hinge_side"))
    leaf, opens = _length(item.get("length")), _measured(item.get("opens"), "angle")
    if aft is None or side is None or leaf is None or opens is None:
        return None
    back = -1.0 if item.get("hinged_at") == "rear" else 1.0
    out = 1.0 if side > 0 else -1.0
    swung = (aft + back * leaf * cos(opens), side + out * leaf * sin(opens))
    return SketchDoor((aft, side), (aft + back * leaf, side), swung)


def vehicle_drawing(record: Vehicle, words: Mapping[str, str]) -> str:
    """A record's drawing, every figure it holds labelled."""
    from underset.records import to_json

    data = to_json(record)
    texts = {e.name: shown(at(data, e.path)) for e in ENTRIES}
    drawn = sketch(data, words, texts)
    held = {n: t for n, t in drawn.labels.items() if t != "?"}
    labels = {n: t for n, t in held.items() if _measured(t, "length") is not None}
    return vehicle_svg(
        VehicleSketch(
            drawn.sizes, drawn.points, labels, words, drawn.zones, drawn.doors, drawn.stands
        )
    )


__all__ = ["Checked", "Quantity", "Remark", "checked", "drawing", "sketch", "vehicle_drawing"]
