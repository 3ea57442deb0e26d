"""The page of events: what the book can say, and how its file is made."""

from __future__ import annotations

from typing import Any

from docs.generators._words import code, first_sentence, table
from underset.store import KINDS, Payload


def page() -> str:
    kinds = "\n\n".join(f"## {kind}\n\n{_kind(payload)}" for kind, payload in KINDS.items())
    return f"""# Events of the book

The book only grows. Each event has a number, a time in UTC, the person and the device, a kind, a
main subject such as `bay/north`, a key under which it counts once however often it is sent, what it
says, and the hash of the event before it. Its own hash is the SHA-256 (FIPS 180-4) of all of that
as canonical JSON: UTF-8, keys sorted by code point, no blanks, numbers in their shortest form. The
first event is chained to the hash of `{{"book": ID}}`.

Both databases refuse to change or delete an event. Whoever gets past that is found by the check of
the book, which names the first broken link.

## The book as a file

JSON Lines in UTF-8. The first line is the header:

{table(["field", "meaning"], _HEADER)}

Then one line a row, `{{"row": {{...}}, "table": NAME}}`, of the tables `documents`, `events` and
`record_versions` (a backup adds `drafts` and `accounts`), each in the order of its key. The last
line holds the SHA-256 of each table's lines, line breaks included: `{{"sha256": {{...}}}}`.

{kinds}
"""


_HEADER = [
    (code("kind"), "always `underset book`"),
    (code("version"), "form of the file, now 1"),
    (code("book"), "id of the book"),
    (code("events"), "how many events it has"),
    (code("head"), "hash of the last event"),
    (code("made"), "when the file was made"),
    (code("private"), "whether drafts and accounts are in it"),
]


def _kind(payload: type[Payload]) -> str:
    schema = payload.model_json_schema()
    rows = [
        (code(name), _shape(field), "yes" if name in schema.get("required", ()) else "")
        for name, field in schema["properties"].items()
    ]
    return f"{first_sentence(payload)}\n\n{table(['field', 'holds', 'needed'], rows)}"


def _shape(field: dict[str, Any]) -> str:
    """What a field of a JSON Schema may hold, in words."""
    if "anyOf" in field:
        return " or ".join(s for s in map(_shape, field["anyOf"]) if s != "nothing")
    if "const" in field or "enum" in field:
        return " or ".join(code(v) for v in field.get("enum", [field.get("const")]) if v)
    return _FORMATS.get(field.get("format", "")) or _TYPES.get(field.get("type", ""), "anything")


_FORMATS = {"date": "day", "date-time": "time with its zone"}
_TYPES = {
    "string": "text",
    "boolean": "true or false",
    "integer": "whole number",
    "number": "number",
    "array": "list",
    "object": "names and values",
    "null": "nothing",
}


PAGES = {"reference/events.md": page}
