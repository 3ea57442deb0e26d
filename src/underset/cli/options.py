"""Options that several commands share, and how results are written out."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from underset.errors import InputError

if TYPE_CHECKING:
    from underset.records import Workshop
    from underset.setting import Standing

WorkshopDir = Annotated[
    Path | None,
    typer.Option("--workshop", help="Folder of the workshop; without it the invented sample."),
]
StoreOf = Annotated[
    str | None,
    typer.Option("--store", help="A store, with what its book says, instead of a folder."),
]
Lifter = Annotated[str | None, typer.Option("--person", help="Who lifts, by id.")]
VehicleName = Annotated[str, typer.Option("--vehicle", help="Vehicle on file.")]
BayNames = Annotated[list[str] | None, typer.Option("--bay", help="Bay to try; may be repeated.")]
JobName = Annotated[str | None, typer.Option("--job", help="Job on file for this vehicle.")]
JsonFile = Annotated[
    str | None, typer.Option("--json", help="Write the result as JSON; - prints it.")
]
CardFile = Annotated[
    Path | None, typer.Option("--card", help="Write the card: .pdf, .svg or .html.")
]
WorkingFile = Annotated[
    Path | None, typer.Option("--working", help="Write the working: .md, .html or .pdf.")
]
Units = Annotated[
    str | None, typer.Option("--units", help="metric or inch; else as the shop chose.")
]
Language = Annotated[
    str | None, typer.Option("--language", help="en or de; else as the shop chose.")
]


def chosen(option: str, given: str | None, default: str, allowed: tuple[str, ...]) -> str:
    """An option's value or the shop's own; InputError for a word that is not allowed."""
    value = given or default
    if value not in allowed:
        raise InputError(option, value, f"one of {', '.join(allowed)}")
    return value


def on_file(
    folder: Path | None, store: str | None, person: str | None
) -> tuple[Workshop, Standing]:
    """The workshop and its papers of today, of a folder or of a store; `person` will lift.

    Raises InputError when both are named, NotFoundError for a person who is not on file.
    """
    from underset.app import open_shop, open_workshop, papers_on_file, today

    if store is None:
        shop = open_workshop(folder)
        return shop, papers_on_file(shop, today(), person)
    if folder is not None:
        raise InputError("--store", store, "a store or a folder, not both")
    with open_shop(store, create=False) as kept:
        papers_on_file(kept.workshop(), today(), person)
        return kept.workshop(), kept.standing(person)


def looked(shop: Workshop, units: str | None, language: str | None) -> tuple[Workshop, str, str]:
    """The workshop as it is to be told: units and language as chosen, or its own."""
    unit = chosen("--units", units, shop.about.units, ("metric", "inch"))
    tongue = chosen("--language", language, shop.about.language, ("en", "de"))
    told = shop.about.model_copy(update={"units": unit, "language": tongue})
    return replace(shop, about=told), unit, tongue


def write_out(target: Path, content: str | bytes) -> None:
    """Write a file; InputError when the place cannot be written."""
    data = content.encode() if isinstance(content, str) else content
    try:
        target.write_bytes(data)
    except OSError as error:
        raise InputError("file", str(target), f"cannot be written: {error.strerror}") from error


def say_line(text: str = "") -> None:
    """One line to standard output."""
    sys.stdout.write(text + "\n")
