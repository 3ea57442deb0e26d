"""`look`: what looks wrong in a workshop's records, though it can be read."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path

from underset.cli.options import (
    JsonFile,
    Language,
    StoreOf,
    WorkshopDir,
    looked,
    on_file,
    say_line,
    write_out,
)

LOOKS_WRONG = 3


def look(
    workshop: WorkshopDir = None,
    store: StoreOf = None,
    json: JsonFile = None,
    language: Language = None,
) -> int:
    """Read all records and tell what looks wrong: slips of unit, sign, side, axle, day.

    Nothing is changed. 0 nothing looks wrong, which proves nothing; 3 something does; 2 a file
    cannot be read, with every reason.
    """
    import json as data

    from underset.app import doubts, today, wording

    shop, _, tongue = looked(on_file(workshop, store, None)[0], None, language)
    found = doubts.of_shop(shop, today())
    text = data.dumps([asdict(c) for c in found], indent=1, ensure_ascii=False)
    if json == "-":
        say_line(text)
    else:
        for c in found:
            say_line(f"{c.place}: {wording.doubted(c, tongue)}")
    if json and json != "-":
        write_out(Path(json), text + "\n")
    return LOOKS_WRONG if found else 0
