"""One spelling for every JSON value, and the hashes that chain the book.

Canonical JSON here: UTF-8, keys sorted by code point, no blanks, no NaN or infinity, numbers as
Python's shortest spelling that reads back the same. SHA-256 as in FIPS 180-4.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from datetime import UTC, datetime
from typing import Any

from underset.errors import InputError

_TIME = "%Y-%m-%dT%H:%M:%S.%fZ"


def canonical(value: Any) -> str:
    """The one spelling of a JSON value.

    Raises InputError for what JSON cannot hold: NaN, infinity, lone surrogates, endless nesting.
    """
    try:
        text = json.dumps(
            value, sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False
        )
        text.encode("utf-8")
    except (TypeError, ValueError, RecursionError) as error:
        raise InputError(
            "content", type(value).__name__, f"plain JSON is stored here ({error})"
        ) from error
    return text


def digest(text: str) -> str:
    """SHA-256 of a text in UTF-8, in hexadecimal."""
    return hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()


def first_link(book: str) -> str:
    """What the first event of a book is chained to: the book's own id."""
    return digest(canonical({"book": book}))


# What the hash of an event covers, beside its payload; columns of the table have the same names.
LINKED = ("seq", "at", "person", "device", "kind", "subject", "key", "previous")


def link_hash(event: Mapping[str, Any]) -> str:
    """Hash of one event: all its fields, the payload as a JSON value, the hash before it."""
    linked = {name: event[name] for name in LINKED}
    return digest(canonical({**linked, "payload": json.loads(event["payload"])}))


def stamp(moment: datetime) -> str:
    """A moment as the store writes it: UTC, microseconds, so that texts sort like times."""
    if moment.tzinfo is None:
        raise InputError("time", moment, "a time carries its zone")
    return moment.astimezone(UTC).strftime(_TIME)


def moment(text: str) -> datetime:
    """The moment that `stamp` wrote. Raises ValueError for any other text."""
    return datetime.strptime(text, _TIME).replace(tzinfo=UTC)
