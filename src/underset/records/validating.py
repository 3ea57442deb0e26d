"""From plain data to a record, with every complaint at once and in words a workshop understands."""

from __future__ import annotations

import difflib
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Final, TypeVar, get_args

from pydantic import BaseModel, ValidationError

from underset.errors import InputError, InputErrors, said
from underset.records.base import Record
from underset.records.crosscheck import within

R = TypeVar("R", bound=Record)
Loc = tuple[int | str, ...]

DEEPEST: Final = 16  # tables in tables; the fullest record needs six
MOST_COMPLAINTS: Final = 100  # beyond this a file is not a slip but another kind of file
NOTHING: Final = "nothing"

_NAMES: Final = "a name is lower-case letters, digits and hyphens, such as screw-pad-long"
_DATE: Final = "a date is written year-month-day, such as 2026-11-20"
_TRUTH: Final = "true or false stands here"
_WHOLE: Final = "a whole number stands here"
_NUMBER: Final = "a number stands here"
_TEXT: Final = "a text in quotes stands here"
_TABLE: Final = "a table of fields stands here"
_LIST: Final = "a list stands here"

# Error types of the validation library, and what is allowed in words; {x} comes from its context.
_ALLOWED: Final[dict[str, str]] = {
    "missing": "this field is required",
    "enum": "allowed are {expected}",
    "literal_error": "allowed are {expected}",
    "union_tag_invalid": "kinds of step are {expected_tags}",
    "union_tag_not_found": "each step says its kind",
    "string_pattern_mismatch": _NAMES,
    "string_too_long": "at most {max_length} signs",
    "string_too_short": "not empty",
    "string_type": _TEXT,
    "string_sub_type": _TEXT,
    "string_unicode": "plain text in UTF-8",
    "too_short": "at least {min_length} entries",
    "too_long": "at most {max_length} entries",
    "date_type": _DATE,
    "date_parsing": _DATE,
    "date_from_datetime_parsing": _DATE,
    "date_from_datetime_inexact": _DATE,
    "datetime_type": _DATE,
    "bool_type": _TRUTH,
    "bool_parsing": _TRUTH,
    "int_type": _WHOLE,
    "int_parsing": _WHOLE,
    "int_from_float": _WHOLE,
    "int_parsing_size": "a whole number of at most 18 digits stands here",
    "float_type": _NUMBER,
    "float_parsing": _NUMBER,
    "finite_number": _NUMBER,
    "greater_than_equal": "not less than {ge}",
    "less_than_equal": "not greater than {le}",
    "dict_type": _TABLE,
    "mapping_type": _TABLE,
    "model_type": _TABLE,
    "model_attributes_type": _TABLE,
    "tuple_type": _LIST,
    "list_type": _LIST,
}


def validated(model: type[R], data: object, place: str = "") -> R:
    """The record that plain data describe.

    Raises InputErrors with every complaint: first those of single fields; when all fields can be
    read, those of fields against each other.
    """
    if isinstance(data, dict):
        bounded(data, place)
    try:
        record = model.model_validate(data)
    except ValidationError as error:
        raise InputErrors(_told(error, model, place)) from None
    complaints = within(record)
    if complaints:
        raise InputErrors([c.at(place) for c in complaints[:MOST_COMPLAINTS]])
    return record


def bounded(data: dict[str, Any], place: str = "") -> dict[str, Any]:
    """The same data, when it is nested no deeper than a record and all its texts are UTF-8."""
    todo: list[tuple[Any, int]] = [(data, 1)]
    while todo:
        table, depth = todo.pop()
        if depth > DEEPEST:
            allowed = said("tables and lists are nested at most {most} deep", most=DEEPEST)
            raise InputError("file", f"nested more than {DEEPEST} deep", allowed, place=place)
        for item in (*table, *table.values()) if isinstance(table, dict) else table:
            if isinstance(item, str):
                _encodable(item, place)
            elif isinstance(item, dict | list | tuple):
                todo.append((item, depth + 1))
    return data


def _encodable(text: str, place: str) -> None:
    if text.isascii():
        return
    try:
        text.encode("utf-8")
    except UnicodeEncodeError:
        # JSON may bring half of a surrogate pair, which no file and no page can hold.
        raise InputError("file", text, "plain text in UTF-8", place=place) from None


def field_path(loc: Sequence[int | str]) -> str:
    """`("points", 2, "aft")` as `points[2].aft`."""
    text = ""
    for part in loc:
        text += f"[{part}]" if isinstance(part, int) else f".{part}" if text else part
    return text or "record"


def _told(error: ValidationError, model: type[Record], place: str) -> list[InputError]:
    raw = _without_echoes(error.errors(include_url=False))
    told = [_complaint(e, model).at(place) for e in raw[:MOST_COMPLAINTS]]
    if len(raw) > MOST_COMPLAINTS:
        more = f"{len(raw) - MOST_COMPLAINTS} more complaints"
        told.append(InputError("record", more, "only the first are listed", place=place))
    return told


def _without_echoes(errors: Sequence[Any]) -> list[Any]:
    """A list with a bad entry is also called too short: that says nothing more."""
    inside = {e["loc"][:n] for e in errors for n in range(1, len(e["loc"]))}
    return [e for e in errors if not (e["type"] == "too_short" and e["loc"] in inside)]


def _complaint(error: Any, model: type[Record]) -> InputError:
    kind, loc, context = str(error["type"]), tuple(error["loc"]), error.get("ctx", {})
    path = field_path(_untagged(loc))
    value = NOTHING if kind == "missing" else error["input"]
    if kind == "underset":
        return InputError(path, context["value"], context["allowed"], context["remedy"])
    if kind == "extra_forbidden":
        return _unknown_field(path, loc, model)
    if loc and loc[-1] == "[key]":
        return InputError(field_path(loc[:-2]), value, _NAMES)
    return InputError(path, value, allowed_words(error))


def allowed_words(error: Any) -> str:
    """What may stand where the validation library found something else; its own words at last."""
    template = _ALLOWED.get(str(error["type"]))
    told = {k: str(v).replace(" or ", ", ") for k, v in error.get("ctx", {}).items()}
    return said(template, **told) if template else str(error["msg"]).removeprefix("Value error, ")


def _unknown_field(path: str, loc: Loc, model: type[Record]) -> InputError:
    known = sorted({name for m in _models_at(model, loc[:-1]) for name in m.model_fields})
    near = difflib.get_close_matches(str(loc[-1]), known, n=1)
    remedy = (
        said('Did you mean "{near}"?', near=near[0])
        if near
        else "Take it out or write one of these."
    )
    return InputError(
        path, str(loc[-1]), said("fields here are {known}", known=", ".join(known)), remedy
    )


def _untagged(loc: Loc) -> Loc:
    """Without the kind that the validation library puts after a step's number."""
    tagged = len(loc) > 2 and loc[0] == "steps" and isinstance(loc[1], int)
    return (*loc[:2], *loc[3:]) if tagged else loc


def _models_at(model: type[BaseModel], loc: Loc) -> list[type[BaseModel]]:
    found: list[type[BaseModel]] = [model]
    for part in loc:
        if isinstance(part, int):
            continue
        inside = [m for f in found if part in f.model_fields for m in _models_of(f, part)]
        tagged = [m for m in found if part in _kinds(m)]
        found = inside or tagged or found
    return found


def _models_of(model: type[BaseModel], name: str) -> list[type[BaseModel]]:
    return list(_models_in(model.model_fields[name].annotation))


def _models_in(annotation: object) -> Iterator[type[BaseModel]]:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield annotation
    for inner in get_args(annotation):
        yield from _models_in(inner)


def _kinds(model: type[BaseModel]) -> Mapping[object, None]:
    kind = model.model_fields.get("kind")
    return dict.fromkeys(get_args(kind.annotation)) if kind else {}
