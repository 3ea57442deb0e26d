"""The page of commands, as the command line itself describes them."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from typer.main import get_command

from docs.generators._words import code, table
from underset.cli.commands import app


def page() -> str:
    parts = [_section(name, command) for name, command in _commands(get_command(app))]
    return "\n\n".join([INTRODUCTION.strip(), *parts])


INTRODUCTION = """
# Commands

From the repository: `python3 start.py COMMAND ...`; where the package is installed:
`underset COMMAND ...`. `--help` after any command prints the same.
"""


def _commands(group: Any, before: str = "") -> Iterator[tuple[str, Any]]:
    for name, command in sorted(group.commands.items()):
        if hasattr(command, "commands"):
            yield from _commands(command, f"{before}{name} ")
        else:
            yield before + name, command


def _section(name: str, command: Any) -> str:
    told = "\n\n".join(" ".join(part.split()) for part in (command.help or "").split("\n\n"))
    rows = [_row(one) for one in command.params]
    listed = table(["option", "what it does", "if left out"], rows) if rows else ""
    return f"## {name}\n\n{told}\n\n{listed}".strip()


def _row(option: Any) -> tuple[str, ...]:
    names = " ".join(code(one) for one in [*option.opts, *option.secondary_opts])
    left_out = "refused" if option.required else _default(option.default)
    return names, getattr(option, "help", None) or "", left_out


def _default(value: object) -> str:
    return "" if value in (None, False, (), []) else code(value)


PAGES = {"reference/commands.md": page}
