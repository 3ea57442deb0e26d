"""`sheet`: a measure sheet to print and fill in."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from underset.cli.options import Language, WorkshopDir, chosen, say_line, write_out

SheetKind = Annotated[str, typer.Argument(help="vehicle, lift or shelf.")]
SheetFile = Annotated[Path, typer.Argument(help="File to write: .pdf or .html.")]


def sheet(
    kind: SheetKind, target: SheetFile, workshop: WorkshopDir = None, language: Language = None
) -> int:
    """Write a measure sheet to fill in beside the vehicle, the lift or the shelf."""
    from underset.app import open_workshop, sheets

    shop = open_workshop(workshop)
    tongue = chosen("--language", language, shop.about.language, ("en", "de"))
    name = shop.about.name if workshop else ""
    write_out(target, sheets.sheet(kind, target.suffix.lower().removeprefix("."), tongue, name))
    say_line(str(target))
    return 0
