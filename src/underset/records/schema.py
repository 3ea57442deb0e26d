"""Records as JSON, and the published JSON Schemas of every kind of record (draft 2020-12)."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any, Final, TypeVar

from pydantic.json_schema import GenerateJsonSchema, JsonSchemaValue
from pydantic_core import core_schema

from underset.errors import InputError
from underset.records.adapter import Adapter
from underset.records.base import Dimension, Record
from underset.records.job import Job
from underset.records.lift import Bay
from underset.records.policy import RULES
from underset.records.reading import GREATEST_FILE
from underset.records.validating import validated
from underset.records.vehicle import Vehicle
from underset.records.workshop import WorkshopFile
from underset.units import Absent, NotGiven, Quantity, write_quantity

R = TypeVar("R", bound=Record)

VERSION: Final = 1  # of the records' form; raised when a reader of the old form would go wrong
DIALECT: Final = "https://json-schema.org/draft/2020-12/schema"

KINDS: Final[dict[str, type[Record]]] = {
    "vehicle": Vehicle,
    "bay": Bay,
    "adapter": Adapter,
    "job": Job,
    "workshop": WorkshopFile,
}


def to_json(record: Record) -> dict[str, Any]:
    """What was said in a record, as JSON data; what nobody said is left out."""
    return record.model_dump(mode="json", exclude_unset=True, exclude_none=True)


def json_text(record: Record) -> str:
    """One record as JSON text, indented, in the order of the fields."""
    return json.dumps(to_json(record), indent=2, ensure_ascii=False) + "\n"


def from_json(model: type[R], source: str | bytes | Mapping[str, Any], place: str = "") -> R:
    """The record in JSON text or JSON data; raises InputErrors with every complaint."""
    data = dict(source) if isinstance(source, Mapping) else _parsed(source, place)
    return validated(model, data, place)


def schema(kind: str) -> dict[str, Any]:
    """The JSON Schema of one kind of record, or of the policy."""
    if kind == "policy":
        return _headed("policy", _policy_schema())
    return _headed(kind, KINDS[kind].model_json_schema(schema_generator=_Generator))


def schema_texts() -> dict[str, str]:
    """File name and text of every published schema."""
    return {
        f"{kind}.schema.json": json.dumps(schema(kind), indent=2, ensure_ascii=False) + "\n"
        for kind in (*KINDS, "policy")
    }


def _parsed(source: str | bytes, place: str) -> dict[str, Any]:
    if len(source) > GREATEST_FILE:
        allowed = f"a record takes at most {GREATEST_FILE} bytes"
        raise InputError("file", f"{len(source)} bytes", allowed, place=place)
    try:
        data = json.loads(source, object_pairs_hook=_once)
    except InputError as error:
        raise error.at(place) from None
    except (ValueError, RecursionError) as error:
        received = (
            str(error) if isinstance(error, json.JSONDecodeError) else "text beyond any record"
        )
        raise InputError("file", received, "JSON in UTF-8 stands here", place=place) from None
    if not isinstance(data, dict):
        raise InputError("file", type(data).__name__, "one JSON object stands here", place=place)
    return data


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    data: dict[str, Any] = {}
    for key, value in pairs:
        if key in data:
            raise InputError(key, "written twice", "each field once in one object")
        data[key] = value
    return data


class _Generator(GenerateJsonSchema):
    """Writes the defaults of quantities in the form in which a person would write them."""

    def encode_default(self, dft: Any) -> Any:
        if isinstance(dft, Quantity | NotGiven | Absent):
            return write_quantity(dft)
        return to_json(dft) if isinstance(dft, Record) else super().encode_default(dft)

    def default_schema(self, schema: core_schema.WithDefaultSchema) -> JsonSchemaValue:
        # Nothing at all stands for what nobody said: None is no value that JSON may bring.
        written = super().default_schema(schema)
        if "default" in written and written["default"] is None:
            del written["default"]
        return written


def _headed(kind: str, body: dict[str, Any]) -> dict[str, Any]:
    title = f"Underset {kind} record, version {VERSION}"
    return {"$schema": DIALECT, "$id": f"urn:underset:{kind}:{VERSION}", **body, "title": title}


def _policy_schema() -> dict[str, Any]:
    properties = {}
    for name, rule in RULES.items():
        inner = Dimension(rule.kind, "zero or more").schema()
        properties[name] = {**inner, "description": rule.meaning, "default": rule.default}
    return {"type": "object", "properties": properties, "additionalProperties": False}
