"""The JSON Schemas of the records, for editors and other programs."""

from __future__ import annotations

from functools import partial

from underset.records import schema_texts

PAGES = {f"schemas/{name}": partial(str, text) for name, text in schema_texts().items()}
