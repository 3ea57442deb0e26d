"""How a page is made: a view dataclass, a template, words of one language, the visitor's choices."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from fastapi import Request
from fastapi.responses import HTMLResponse

from underset.web.guard import token_for
from underset.web.words import Words, words_in

if TYPE_CHECKING:
    from jinja2 import Environment

    from underset.web.visit import Visit

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
    visit: Visit,
    template: str,
    view: Any,
    *,
    title: str,
    here: str,
    scripts: tuple[str, ...] = (),
    code: int = 200,
) -> HTMLResponse:
    """Render a page. `view` is a dataclass; the template uses nothing but it, `frame` and `words`."""
    words = words_in(visit.language)
    frame = _frame(visit, words[title] if title in words else title, here, scripts)
    text = environment().get_template(template).render(view=view, frame=frame, words=words)
    return HTMLResponse(text, status_code=code)


def _frame(visit: Visit, title: str, here: str, scripts: tuple[str, ...]) -> Frame:
    token = token_for(visit.options, visit.session)
    return Frame(
        title, here, visit.language, visit.units, visit.theme, visit.shop_name, visit.person_label,
        visit.invented, token, scripts,
    )  # fmt: skip


def error_page(request: Request, code: int, error: dict[str, Any]) -> str:
    """A refusal as a page, without anything that could fail again."""
    language = request.cookies.get("underset-language", "en")
    words: Words = words_in(language if language in ("en", "de") else "en")
    frame = Frame(
        words["refused"], "", words.language, "metric", request.cookies.get("underset-theme", "auto"),
        "", "", False, "", (),
    )  # fmt: skip
    plain = replace(frame, navigation=(("today", "/"),))
    template = environment().get_template("error.html")
    return template.render(view={"code": code, **error}, frame=plain, words=words)
