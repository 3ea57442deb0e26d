"""Records written as TOML and JSON read back the same; the published schemas are current."""

from __future__ import annotations

import functools
import json
import tomllib
from datetime import date

import jsonschema
import pytest

from tests.record_cases import ROOT, changed, data, model_of, quayside, sample_files
from underset.errors import InputError, InputErrors, InternalError
from underset.records import (
    DEFAULT_POLICY,
    Adapter,
    Record,
    Vehicle,
    WorkshopFile,
    data_text,
    from_json,
    json_text,
    policy_text,
    read_policy,
    schema,
    schema_texts,
    to_json,
    toml_text,
    validated,
)
from underset.records.schema import KINDS
from underset.units import ABSENT, NOT_GIVEN, NotGiven, Quantity

SCHEMAS = ROOT / "docs" / "schemas"


@functools.cache
def validator(kind: str) -> jsonschema.Draft202012Validator:
    return jsonschema.Draft202012Validator(schema(kind))


def record(place: str) -> Record:
    folder, stem = place.removesuffix(".toml").split("/")
    return getattr(quayside(), folder)[stem]


@pytest.mark.parametrize("place", sample_files())
def test_sample_records_survive_toml_and_json(place: str) -> None:
    before, model = record(place), model_of(place)
    assert validated(model, tomllib.loads(toml_text(before))) == before
    assert from_json(model, json_text(before)) == before
    assert toml_text(from_json(model, to_json(before))) == toml_text(before)


def test_workshop_and_policy_survive() -> None:
    shop = quayside()
    assert validated(WorkshopFile, tomllib.loads(toml_text(shop.about))) == shop.about
    assert read_policy(policy_text(shop.policy)) == shop.policy
    assert policy_text(DEFAULT_POLICY).strip() == ""


def test_nothing_that_was_said_is_lost_and_nothing_is_added() -> None:
    written = tomllib.loads(toml_text(record("vehicles/harbour-hatch.toml")))
    assert written == data("vehicles/harbour-hatch.toml")


@pytest.mark.parametrize(
    ("value", "meant"),
    [("none", ABSENT), ("not given", NOT_GIVEN), ("not given: rack is locked", NOT_GIVEN)],
)
def test_none_and_not_given_stay_apart(value: str, meant: object) -> None:
    before = Vehicle.model_validate(
        changed("vehicles/harbour-hatch.toml", {"roof_load_height": value})
    )
    after = validated(Vehicle, tomllib.loads(toml_text(before)))
    assert after.roof_load_height == meant
    assert str(after.roof_load_height) == value


def test_no_zones_and_zones_not_known_stay_apart() -> None:
    raw = changed("vehicles/harbour-hatch.toml", {"zones": []})
    none = Vehicle.model_validate(raw)
    del raw["zones"]
    unknown = Vehicle.model_validate(raw)
    assert none.zones == () and unknown.zones is None
    assert validated(Vehicle, tomllib.loads(toml_text(none))).zones == ()
    assert validated(Vehicle, tomllib.loads(toml_text(unknown))).zones is None


def test_figures_keep_their_unit_tolerance_and_source() -> None:
    figure = record("vehicles/harbour-hatch.toml").weights.lf
    assert (figure.text, figure.tol, figure.unit, figure.source) == (
        "394 ± 3 kg",
        3.0,
        "kg",
        "scales",
    )


def test_a_figure_without_a_text_is_written_in_its_unit() -> None:
    raw = {
        **data("adapters/peg-head.toml"),
        "height": Quantity(0.0512, 0.001),
        "width": NotGiven("x"),
    }
    made = Adapter.model_validate(raw)
    assert made.height.text == "0.0512 ± 0.001 m"
    assert validated(Adapter, tomllib.loads(toml_text(made))) == made


def test_a_figure_of_another_kind_is_refused_even_as_an_object() -> None:
    raw = {**data("adapters/peg-head.toml"), "height": Quantity(0.05, unit="kg", text="50 g")}
    with pytest.raises(InputErrors, match="length is wanted"):
        validated(Adapter, raw)


@pytest.mark.parametrize(
    "text", ['quote " and \\ backslash', "tab\t line\n end", "\x00\x1f\x7f", "Ø 60 ±"]
)
def test_any_text_survives_toml(text: str) -> None:
    table = {"a": text, "odd key": {"sub": [text, {"x": text}]}, "n": 1, "f": 0.5, "t": True}
    table["when"] = date(2026, 11, 20)
    assert tomllib.loads(data_text(table)) == table


def test_tables_lists_and_sections_survive_toml() -> None:
    table = {
        "empty": [], "rows": [{"a": [[1, 2], [3]], "b": {"value": "1 m", "source": "x"}}, {}],
        "deep": {"one": {"two": {"three": 3}}, "bare": {}}, "value": {"value": {"x": 1}},
    }  # fmt: skip
    assert tomllib.loads(data_text(table)) == table


def test_what_has_no_form_in_toml_is_our_own_slip() -> None:
    with pytest.raises(InternalError):
        data_text({"a": object()})


# --- JSON -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "text",
    ["", "{", "[]", "null", '"x"', "[" * 100_000, '{"a": ' * 3000, '{"label": 1' + "0" * 6000 + "}",
     '{"label": "a", "label": "b"}', '{"label": NaN}', b"\xff\xfe{}", '{"label": "\\ud800"}',
     '{"height": {"value": "not given: \\ud800"}}', '{"sources": {"\\ud800": {}}}'],
)  # fmt: skip
def test_bad_json_is_an_input_error(text: str | bytes) -> None:
    with pytest.raises(InputError) as caught:
        from_json(Adapter, text, "posted")
    assert "posted" in caught.value.message


def test_a_json_text_beyond_any_record_is_refused() -> None:
    with pytest.raises(InputError, match="at most"):
        from_json(Adapter, " " * 1_000_001)


def test_a_field_written_twice_is_named() -> None:
    with pytest.raises(InputError, match="each field once"):
        from_json(Adapter, '{"label": "a", "label": "b"}')


# --- schemas --------------------------------------------------------------------------------------


def test_published_schemas_are_current() -> None:
    texts = schema_texts()
    assert {name: (SCHEMAS / name).read_text("utf-8") for name in texts} == texts


@pytest.mark.parametrize("kind", [*KINDS, "policy"])
def test_schemas_are_schemas(kind: str) -> None:
    meta = jsonschema.Draft202012Validator(jsonschema.Draft202012Validator.META_SCHEMA)
    assert [e.message for e in meta.iter_errors(schema(kind))] == []


@pytest.mark.parametrize("place", sample_files())
def test_sample_records_obey_their_schema(place: str) -> None:
    kind = next(k for k, model in KINDS.items() if model is model_of(place))
    found = validator(kind).iter_errors(json.loads(json_text(record(place))))
    assert [e.message for e in found] == []


def test_the_workshop_and_its_policy_obey_their_schemas() -> None:
    shop = quayside()
    assert validator("workshop").is_valid(to_json(shop.about))
    assert validator("policy").is_valid(tomllib.loads(policy_text(shop.policy)))


@pytest.mark.parametrize(
    ("dotted", "value"),
    [("sizes.wheelbase", 2600), ("sizes.wheelbase", "2600"), ("sizes.wheelbase", "2600 kg"),
     ("sizes.wheelbase", "none"), ("sizes.wheelbase", "-2600 mm"), ("sizes.colour", "red"),
     ("sizes.length", "none"), ("drive", "both"), ("zones.0.id", "Skirt"), ("weights.lf.value", 4)],
)  # fmt: skip
def test_what_a_record_refuses_its_schema_refuses(dotted: str, value: object) -> None:
    raw = changed("vehicles/harbour-hatch.toml", {dotted: value})
    posted = json.loads(json.dumps(raw, default=str))
    with pytest.raises(InputErrors):
        from_json(Vehicle, posted)
    assert not validator("vehicle").is_valid(posted)


@pytest.mark.parametrize(
    "text", ["2600 mm", "102.4 in", "2.6 ± 0.01 m", "2600±3mm", "2600 mm +/- 3"]
)
def test_what_a_record_takes_its_schema_takes(text: str) -> None:
    raw = json.loads(json.dumps(changed("vehicles/harbour-hatch.toml", {}), default=str))
    raw["sizes"]["wheelbase"] = text
    assert from_json(Vehicle, raw).sizes.wheelbase.value == pytest.approx(2.6, abs=2e-3)
    assert validator("vehicle").is_valid(raw)
