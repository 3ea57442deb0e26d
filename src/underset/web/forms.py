"""What the forms of the papers share: fields, keys under which a form counts once, answers."""

from __future__ import annotations

from secrets import token_hex
from typing import Annotated

from fastapi import Form
from fastapi.responses import RedirectResponse

from underset.app import showing
from underset.app.bookkeeping import Line
from underset.errors import InputError, said

Name = Annotated[str, Form(max_length=63)]
Key = Annotated[str, Form(min_length=8, max_length=80, pattern=r"^[a-z0-9-]+$")]
Words = Annotated[str, Form(max_length=2000)]
Day = Annotated[str, Form(max_length=10)]
Count = Annotated[int, Form(ge=1, le=1000)]
Version = Annotated[int, Form(ge=0, le=1_000_000_000)]
Choices = Annotated[list[str], Form(max_length=60)]
STATUSES = ("holds", "watch", "unknown", "stops")


def fresh_key() -> str:
    """A key for the forms of one page: sent twice, a form counts once."""
    return token_hex(8)


def signs() -> dict[str, str]:
    """The sign of each status, so that none is told by colour alone."""
    return {key: showing.badge(key) for key in STATUSES}


def done(to: str, line: Line) -> RedirectResponse:
    """Back to a page, which then says under which number the book has it."""
    return RedirectResponse(f"{to}?done={line.seq}", status_code=303)


def figure_or_none(field: str, text: str, low: float, high: float) -> float | None:
    """A number a person typed; None where nothing was typed, which is not zero."""
    return figure(field, text, low, high) if text.strip() else None


def figure(field: str, text: str, low: float, high: float) -> float:
    """A number a person typed, with a comma or a point; InputError outside its range."""
    try:
        value = float(text.strip().replace(",", ".").replace("−", "-") or "0")
    except ValueError as error:
        raise InputError(
            field, text, said("a number from {low:g} to {high:g}", low=low, high=high)
        ) from error
    if not low <= value <= high:
        raise InputError(field, text, said("a number from {low:g} to {high:g}", low=low, high=high))
    return value
