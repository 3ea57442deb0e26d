"""Records: round trips of anything that can be written, and no trace for anything that cannot."""

from __future__ import annotations

import tomllib
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.record_cases import (
    adapters,
    data,
    is_quantity,
    leaves,
    model_of,
    put,
    sample_files,
    vehicles,
)
from underset.errors import InputError
from underset.records import (
    Adapter,
    Vehicle,
    complaints,
    data_text,
    from_json,
    json_text,
    toml_data,
    toml_text,
    validated,
)
from underset.units import UNITS, parse_quantity

SOME = settings(max_examples=60, deadline=None)
FEW = settings(max_examples=25, deadline=None)  # whole vehicles take long to draw

JUNK = st.one_of(
    st.none(), st.booleans(), st.integers(), st.floats(), st.text(max_size=12), st.dates(),
    st.lists(st.integers(), max_size=2), st.dictionaries(st.text(max_size=4), st.text(max_size=4)),
    st.sampled_from(["not given", "none", "1e400 mm", "-1 mm", "0 kg", "1 ± -1 kg", "9 " * 60]),
)  # fmt: skip

TOML_VALUES = st.recursive(
    st.booleans() | st.integers(-(2**63), 2**63 - 1) | st.text(max_size=8) | st.dates()
    | st.floats(allow_nan=False),
    lambda inner: st.lists(inner, max_size=3)
    | st.dictionaries(st.text(max_size=6), inner, max_size=3),
    max_leaves=12,
)  # fmt: skip


@SOME
@given(st.dictionaries(st.text(max_size=6), TOML_VALUES, max_size=4))
def test_any_toml_data_survives_writing(table: dict[str, Any]) -> None:
    assert tomllib.loads(data_text(table)) == table


@SOME
@given(adapters())
def test_any_adapter_survives_toml_and_json(raw: dict[str, Any]) -> None:
    before = validated(Adapter, raw)
    assert validated(Adapter, toml_data(toml_text(before))) == before
    assert from_json(Adapter, json_text(before)) == before


@FEW
@given(vehicles())
def test_any_vehicle_survives_toml_and_json(raw: dict[str, Any]) -> None:
    before = validated(Vehicle, raw)
    again = validated(Vehicle, toml_data(toml_text(before)))
    assert again == before
    assert toml_text(again) == toml_text(before)
    assert from_json(Vehicle, json_text(before)) == before


@FEW
@given(vehicles())
def test_plausibility_never_fails_however_odd_the_vehicle(raw: dict[str, Any]) -> None:
    found = complaints(validated(Vehicle, raw))
    assert all(c.field and c.looks for c in found)


@settings(max_examples=150, deadline=None)
@given(st.sampled_from(sample_files()), st.data())
def test_a_spoilt_field_gives_a_record_or_a_complaint_never_a_trace(place: str, draw: Any) -> None:
    raw = data(place)
    ways = [path for path, _ in leaves(raw)]
    path = draw.draw(st.sampled_from(ways))
    cut = draw.draw(st.integers(1, len(path)))
    put(raw, path[:cut], draw.draw(JUNK))
    try:
        record = validated(model_of(place), raw, place)
    except InputError as error:
        assert error.place == place
        assert error.field and error.allowed
    else:
        assert all(c.looks for c in complaints(record))


def _every_figure() -> list[tuple[str, Any, str]]:
    """Each field that holds a figure anywhere in the sample, once: file, path, text."""
    seen: dict[Any, tuple[str, Any, str]] = {}
    for place in sample_files():
        for path, value in leaves(data(place)):
            if is_quantity(value):
                name = (model_of(place), *(p for p in path if not isinstance(p, int)))
                seen.setdefault(name, (place, path, value))
    return list(seen.values())


def test_a_bare_number_is_refused_in_every_field() -> None:
    figures = _every_figure()
    assert len(figures) > 140
    for place, path, value in figures:
        head = value.split(" ")[0]
        for bare in (float(head), head):
            raw = data(place)
            put(raw, path, bare)
            with pytest.raises(InputError) as caught:
                validated(model_of(place), raw)
            assert caught.value.field == _field(path)
            assert "unit" in caught.value.allowed


def _field(path: Any) -> str:
    text = ""
    for part in path:
        text += f"[{part}]" if isinstance(part, int) else f".{part}" if text else part
    return text.removesuffix(".value")


@SOME
@given(
    st.sampled_from(sorted(UNITS)),
    st.decimals(-50, 50, places=3, allow_nan=False),
    st.decimals(0, 5, places=3, allow_nan=False),
)
def test_a_quantity_keeps_value_and_tolerance_in_its_unit(unit: str, value: Any, tol: Any) -> None:
    kind, factor = UNITS[unit]
    if abs(float(value)) * factor > 5.0:
        value = value / 1000
    q = parse_quantity(f"{value:f} ± {tol / 1000:f} {unit}", kind)
    assert q.value == pytest.approx(float(value) * factor, rel=1e-12, abs=1e-15)
    assert q.low <= q.value <= q.high
    assert parse_quantity(q.text, kind) == q
