"""Every error a caller may meet, as one tree arranged by what the caller can do about it.

    AppError
    ├── InputError      a figure or option is wrong: names the field, the value, what is allowed
    │   └── InputErrors   several at once, from one file or form
    ├── NotFoundError   a name that is not on file: lists what is
    ├── StoreError      the book or its disk refuses: nothing already stored is lost
    │   └── ConflictError   somebody else changed it meanwhile
    ├── DeniedError     the person may not do this
    ├── RenderError     a card or drawing could not be made
    └── InternalError   our own slip; the result was withheld

Physical refusals are not errors: they are results with a status.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any


class Said(str):
    """An English sentence that still knows its pattern and figures, so that it can be told anew.

    It is a text like any other wherever a text is wanted; `template` names its figures in braces.
    """

    __slots__ = ("figures", "template")
    template: str
    figures: dict[str, Any]

    def __new__(cls, template: str, figures: dict[str, Any]) -> Said:
        """Fill the template in English."""
        made = super().__new__(cls, template.format(**figures))
        made.template, made.figures = template, figures
        return made

    def __getnewargs__(self) -> tuple[str, dict[str, Any]]:  # type: ignore[override]
        return self.template, self.figures


def said(template: str, **figures: Any) -> str:
    """A sentence from a pattern and its figures: a `Said`."""
    return Said(template, figures)


class AppError(Exception):
    """Base of all errors of this package; `exit_code` is what the command line returns."""

    exit_code = 70

    def __init__(self, message: str) -> None:
        super().__init__(message)
        self.message = message


class InputError(AppError):
    """A value given by a person cannot be used.

    `field` names where it stands, `value` is what was received, `allowed` what may stand there
    and `remedy` what to do.
    """

    exit_code = 2

    def __init__(
        self, field: str, value: object, allowed: str, remedy: str = "", *, place: str = ""
    ) -> None:
        self.field, self.value, self.allowed = field, value, allowed
        self.remedy, self.place = remedy, place
        where = f"{place}: " if place else ""
        tail = f" {remedy}" if remedy else ""
        super().__init__(f"{where}{field}: received {_shown(value)}; {allowed}.{tail}")

    def at(self, place: str) -> InputError:
        """The same error, told with the file or row where it was met."""
        return InputError(self.field, self.value, self.allowed, self.remedy, place=place)


class InputErrors(InputError):
    """All complaints about one file, form or table at once."""

    def __init__(self, errors: Sequence[InputError]) -> None:
        self.errors = tuple(errors)
        first = self.errors[0]
        super().__init__(first.field, first.value, first.allowed, first.remedy, place=first.place)
        self.message = "\n".join(e.message for e in self.errors)
        self.args = (self.message,)

    def at(self, place: str) -> InputErrors:
        """The same errors, told with the file or row where they were met."""
        return InputErrors([e.at(place) for e in self.errors])


class NotFoundError(AppError):
    """A name that is not on file."""

    exit_code = 2

    def __init__(self, kind: str, name: str, known: Sequence[str]) -> None:
        self.kind, self.name, self.known = kind, name, tuple(known)
        listed = ", ".join(sorted(known)) or "none"
        template = "{kind} {name} is not on file; on file: {listed}."
        super().__init__(said(template, kind=kind, name=_shown(name), listed=listed))


class StoreError(AppError):
    """The store refused; nothing already stored was lost."""

    exit_code = 6


class ConflictError(StoreError):
    """The record was changed by somebody else since it was read."""


class DeniedError(AppError):
    """The person may not do this."""

    exit_code = 7


class RenderError(AppError):
    """A card, drawing or page could not be made."""

    exit_code = 8


class InternalError(AppError):
    """Our own slip: the result was withheld. Please report it with the input."""


def _shown(value: object) -> str:
    text = repr(value)
    return text if len(text) <= 80 else text[:77] + "..."
