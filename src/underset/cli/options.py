"""Options that several commands share, and how results are written out."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer

from underset.errors import InputError

WorkshopDir = Annotated[
    Path | None,
    typer.Option("--workshop", help="Folder of the workshop; without it the invented sample."),
]
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
