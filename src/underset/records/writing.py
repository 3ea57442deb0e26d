"""Records as TOML text that people can read and that reads back as the same record."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from typing import Any, Final

from underset.errors import InternalError
from underset.records.base import Record
from underset.records.policy import RULES, Policy
from underset.units import parse_quantity

WIDTH: Final = 100
_BARE: Final = re.compile(r"[A-Za-z0-9_-]+")
_ESCAPES: Final = {
    "\\": "\\\\", '"': '\\"', "\b": "\\b", "\t": "\\t", "\n": "\\n", "\f": "\\f", "\r": "\\r",
}  # fmt: skip


def plain(record: Record) -> dict[str, Any]:
    """What was said in a record, as plain data with dates; what nobody said is left out."""
    return record.model_dump(exclude_unset=True, exclude_none=True)


def toml_text(record: Record) -> str:
    """One record as TOML text; reading it gives the same record."""
    return data_text(plain(record))


def policy_text(policy: Policy) -> str:
    """The thresholds that differ from the defaults in figure or source, as TOML text."""
    own: dict[str, Any] = {}
    for t in policy.thresholds:
        rule = RULES[t.name]
        default = parse_quantity(rule.default, rule.kind)
        if t.value != default.value or t.source != str(rule.source):
            own[t.name] = {"value": t.text, "source": t.source}
    return data_text(own)


def data_text(data: Mapping[str, Any]) -> str:
    """Plain data (texts, numbers, truths, dates, lists, tables) as TOML 1.0 text."""
    return "\n".join(_section((), data)).strip("\n") + "\n"


def _section(path: tuple[str, ...], table: Mapping[str, Any]) -> Iterator[str]:
    inner = {k: v for k, v in table.items() if _is_section(v)}
    lists = {k: v for k, v in table.items() if not path and _is_table_list(v)}
    for key, value in table.items():
        if key not in inner and key not in lists:
            yield f"{_key(key)} = {_value(value)}"
    for key, value in inner.items():
        here = (*path, key)
        if any(not _is_section(v) for v in value.values()) or not value:
            yield f"\n[{_dotted(here)}]"
        yield from _section(here, value)
    for key, items in lists.items():
        for item in items:
            yield f"\n[[{_dotted((*path, key))}]]"
            yield from _entry(item)


def _entry(item: Mapping[str, Any]) -> Iterator[str]:
    for key, value in item.items():
        yield f"{_key(key)} = {_value(value)}"


def _is_section(value: object) -> bool:
    """A table of its own, unlike a quantity with its source, which stands on one line."""
    return isinstance(value, Mapping) and set(value) != {"value", "source"}


def _is_table_list(value: object) -> bool:
    return (
        isinstance(value, Sequence) and bool(value) and all(isinstance(v, Mapping) for v in value)
    )


def _value(value: object) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return _text(value)
    if isinstance(value, int | float):
        return repr(value)
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, Mapping):
        inner = ", ".join(f"{_key(k)} = {_value(v)}" for k, v in value.items())
        return f"{{ {inner} }}" if inner else "{}"
    if isinstance(value, Sequence):
        return _list(value)
    raise InternalError(f"no TOML form for {type(value).__name__}")


def _list(values: Sequence[Any]) -> str:
    items = [_value(v) for v in values]
    line = f"[{', '.join(items)}]"
    if len(line) <= WIDTH and not any(isinstance(v, Mapping) for v in values):
        return line
    return "[\n" + "".join(f"  {item},\n" for item in items) + "]" if items else "[]"


def _text(text: str) -> str:
    def sign(c: str) -> str:
        if c in _ESCAPES:
            return _ESCAPES[c]
        return f"\\u{ord(c):04x}" if ord(c) < 0x20 or ord(c) == 0x7F else c

    return '"' + "".join(map(sign, text)) + '"'


def _key(key: str) -> str:
    return key if _BARE.fullmatch(key) else _text(key)


def _dotted(path: Sequence[str]) -> str:
    return ".".join(map(_key, path))
