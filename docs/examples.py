"""The examples on the pages: a block that begins with the prompt, and the lines it shows."""

from __future__ import annotations

import shlex
from dataclasses import dataclass

PROMPT = "$ python3 start.py "
LEFT_OUT = "..."


@dataclass(frozen=True)
class Example:
    """One command with the lines a page shows of its output, in order."""

    arguments: tuple[str, ...]
    lines: tuple[str, ...]


def examples_of(page: str) -> list[Example]:
    """Every example of a page: its blocks of code whose first line bears the prompt."""
    blocks = (block.strip() for block in page.split("```")[1::2])
    found = []
    for block in blocks:
        if block.startswith(PROMPT):
            command, *shown = block.splitlines()
            lines = tuple(line for line in shown if line.strip() not in ("", LEFT_OUT))
            found.append(Example(tuple(shlex.split(command.removeprefix(PROMPT))), lines))
    return found


def missing_lines(example: Example, printed: list[str]) -> list[str]:
    """The lines shown that were not printed, or not in this order."""
    lost, at = [], 0
    bare = [line.strip() for line in printed]
    for line in example.lines:
        try:
            at = bare.index(line.strip(), at) + 1
        except ValueError:
            lost.append(line)
    return lost
