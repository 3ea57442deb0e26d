"""How a page is made: a view dataclass, a template, words, the visitor's choices."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, Protocol

from fastapi import Request
from fastapi.responses import HTMLResponse

from underset.app import wording
from underset.web.words import Words, words_in

if TYPE_CHECKING:
    from jinja2 import Environment

HERE = Path(__file__).parent
NAVIGATION = (
    ("today", "/"),
    ("vehicles", "/vehicles"),
    ("jobs", "/jobs"),
    ("lifts", "/lifts"),
    ("shelf", "/shelf"),
    ("people", "/people"),
    ("book", "/book"),
    ("coverage", "/coverage"),
    ("day", "/day"),
    ("settings", "/settings"),
)


class Visiting(Protocol):
    """What a page needs to know of its visitor."""

    @property
    def language(self) -> str: ...
    @property
    def units(self) -> str: ...
    @property
    def theme(self) -> str: ...
    @property
    def shop_name(self) -> str: ...
    @property
    def person_label(self) -> str: ...
    @property
    def invented(self) -> bool: ...
    @property
    def token(self) -> str: ...


@dataclass(frozen=True, slots=True)
class Frame:
    """What every page shows round its own view."""

    title: str
    here: str
    language: str
    units: str
    theme: str
    shop: str
    person: str
    invented: bool
    token: str
    scripts: tuple[str, ...]
    navigation: tuple[tuple[str, str], ...] = NAVIGATION


@lru_cache(maxsize=1)
def environment() -> Environment:
    """The templates; everything is escaped, unknown names are errors."""
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    return Environment(
        loader=FileSystemLoader(HERE / "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )


def show(
    visit: Visiting,
    template: str,
    view: Any,
    *,
    title: str,
    here: str,
    scripts: tuple[str, ...] = (),
    code: int = 200,
) -> HTMLResponse:
    """Render a page. The template uses nothing but `view`, `frame` and `words`."""
    words = words_in(visit.language)
    frame = _frame(visit, words.get(title, title), here, scripts)
    text = environment().get_template(template).render(view=view, frame=frame, words=words)
    return HTMLResponse(text, status_code=code)


def _frame(visit: Visiting, title: str, here: str, scripts: tuple[str, ...]) -> Frame:
    return Frame(
        title, here, visit.language, visit.units, visit.theme, visit.shop_name, visit.person_label,
        visit.invented, visit.token, scripts,
    )  # fmt: skip


def error_page(request: Request, code: int, error: dict[str, Any]) -> str:
    """A refusal as a page, without anything that could fail again."""
    language = request.cookies.get("underset-language", "en")
    words: Words = words_in(language if language in ("en", "de") else "en")
    frame = Frame(
        words["refused"], "", words.language, "metric",
        request.cookies.get("underset-theme", "auto"), "", "", False, "", (),
    )  # fmt: skip
    plain = replace(frame, navigation=(("today", "/"),))
    template = environment().get_template("error.html")
    view = {"code": code, **_worded(error, words)}
    return template.render(view=view, frame=plain, words=words)


def _worded(error: dict[str, Any], words: Words) -> dict[str, Any]:
    """What an error says, in the language of the page."""
    told = {
        k: wording.worded(v, words.language) if isinstance(v, str) else v for k, v in error.items()
    }
    if error.get("field") and error.get("allowed"):
        told["message"] = f"{told['field']}: {told['allowed']}"
    return told
