"""The page of record fields."""

from __future__ import annotations

import importlib
import inspect
import pkgutil
from enum import Enum
from typing import Any, Literal, get_args, get_origin

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from docs.generators._words import code, first_sentence, table
from underset import records
from underset.records.base import Dimension
from underset.units import EXAMPLES


def page() -> str:
    parts = [_section(model) for model in _models()]
    return "\n\n".join([INTRODUCTION.strip(), *parts])


INTRODUCTION = """
# Record fields

Every record is a table of a TOML file. A dimension always carries its unit (`"2600 mm"`,
`"102.4 in"`) and may carry a tolerance (`"810 ± 10 kg"`); a bare number is refused. `"not given"`
says that a figure is not known; it never counts as zero.
"""


def _models() -> list[type[BaseModel]]:
    """Every record with fields of its own, module by module in the order they are written."""
    modules = [
        importlib.import_module(f"{records.__name__}.{found.name}")
        for found in pkgutil.iter_modules(records.__path__)
    ]
    return [
        thing
        for module in modules
        for thing in vars(module).values()
        if inspect.isclass(thing)
        and issubclass(thing, BaseModel)
        and thing.__module__ == module.__name__
        and inspect.get_annotations(thing)
        and thing.model_fields
    ]


def _section(model: type[BaseModel]) -> str:
    rows = [
        (code(name), _kind(model, name), _default(field))
        for name, field in model.model_fields.items()
    ]
    return "\n\n".join(
        [
            f"## {model.__name__}",
            first_sentence(model),
            table(["field", "what stands there", "if left out"], rows),
        ]
    )


def _kind(model: type[BaseModel], name: str) -> str:
    """What may stand in the field: a dimension with its sign rule, a choice, or a type."""
    field = model.model_fields[name]
    for mark in field.metadata:
        if isinstance(mark, Dimension):
            return _dimension(mark)
    if get_origin(field.annotation) is Literal:
        return "one of " + ", ".join(map(code, get_args(field.annotation)))
    if inspect.isclass(field.annotation) and issubclass(field.annotation, Enum):
        return "one of " + ", ".join(code(one.value) for one in field.annotation)
    return code(_written(model, name))


def _dimension(mark: Dimension) -> str:
    words = [mark.kind if mark.sign == "any" else f"{mark.kind}, {mark.sign}"]
    words += ["or `not given`"] * mark.not_given + ["or `none`"] * mark.absent
    return " ".join([*words, f"(such as {EXAMPLES[mark.kind]})"])


def _written(model: type[BaseModel], name: str) -> str:
    """The field's type as the source writes it."""
    written = [inspect.get_annotations(one).get(name) for one in model.__mro__]
    first = next(one for one in written if one is not None)
    return first if isinstance(first, str) else getattr(first, "__name__", str(first))


def _default(field: FieldInfo) -> str:
    if field.is_required():
        return "refused"
    value: Any = field.get_default(call_default_factory=True)
    return "nothing" if value in ((), None, "", {}) else code(value)


PAGES = {"reference/records.md": page}
