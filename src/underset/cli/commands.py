"""Commands by name. Each module of this folder holds one family; heavy imports wait inside them."""

from __future__ import annotations

import typer

from underset.cli import (
    bookkeeping,
    imports,
    looking,
    parking,
    planning,
    proving,
    serving,
    studies,
    weighing,
)

app = typer.Typer(
    add_completion=False,
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    help="Plan, prove and record how a road vehicle is set on a two-post swing-arm lift.",
    epilog="The tool advises; the vehicle maker, the lift maker, local law and a qualified "
    "inspector decide. No verdict is a permission.",
)

app.command("plan")(planning.plan)
app.command("parked")(parking.parked)
app.add_typer(weighing.app, name="weigh")
app.command("look")(looking.look)
app.command("cover")(studies.cover)
app.command("buy")(studies.buy)
app.command("lifts")(studies.lifts)
app.command("day")(studies.day)
app.add_typer(bookkeeping.book, name="book")
app.command("backup")(bookkeeping.backup)
app.command("restore")(bookkeeping.restore)
app.command("export")(bookkeeping.export)
app.command("import")(bookkeeping.take_in)
app.command("sheet")(imports.sheet)
app.command("person")(bookkeeping.person)
app.command("serve")(serving.serve)
app.command("selftest")(proving.selftest)


@app.callback()
def _common() -> None:
    """Common to all commands."""
