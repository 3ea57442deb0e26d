"""The book: list, search, one entry, check of the chain, export."""

from __future__ import annotations

import shutil
from dataclasses import dataclass
from typing import Annotated
from urllib.parse import urlencode

from fastapi import APIRouter, Form, Path, Query
from fastapi.responses import FileResponse, HTMLResponse, RedirectResponse, Response
from starlette.background import BackgroundTask

from underset.app import bookkeeping, card_prints, kept_plans
from underset.app.bookkeeping import KIND_NAMES, PLAN_MADE, Asked, Chain, Line
from underset.web.page import show
from underset.web.pages.plan import MEDIA, known, printed
from underset.web.visit import Visit, Visitor

router = APIRouter(include_in_schema=False)
Word = Annotated[str, Query(max_length=120)]
Name = Annotated[str, Path(max_length=63)]


@dataclass(frozen=True, slots=True)
class BookView:
    """A page of the book and what was asked for; `more` is the address of the next page."""

    asked: Asked
    lines: tuple[Line, ...]
    more: str
    kinds: tuple[str, ...]
    people: tuple[tuple[str, str], ...]
    chain: Chain | None


@dataclass(frozen=True, slots=True)
class EntryView:
    """One entry; of a plan also where its card is, by the form of the file."""

    line: Line
    cards: tuple[tuple[str, str], ...]


@router.get("/book", response_class=HTMLResponse)
def book(
    visit: Visitor, kind: Word = "", subject: Word = "", person: Word = "", day: Word = "",
    after: Word = "",
) -> HTMLResponse:  # fmt: skip
    """Entries, newest first."""
    asked = Asked(kind, subject.strip(), person, bookkeeping.day_in(day), after)
    return _shown(visit, asked, None)


@router.post("/book/verify", response_class=HTMLResponse)
def verify(visit: Visitor) -> HTMLResponse:
    """Walk the whole chain and show what came of it."""
    return _shown(visit, Asked(), bookkeeping.chain(visit.shop, visit.language))


def _shown(visit: Visit, asked: Asked, chain: Chain | None) -> HTMLResponse:
    page = bookkeeping.search(visit.shop, asked)
    people = tuple((p.id, p.name) for p in visit.shop.workshop().about.people)
    more = f"/book?{urlencode(_query(asked, page.more))}" if page.more else ""
    view = BookView(asked, page.lines, more, KIND_NAMES, people, chain)
    return show(visit, "book.html", view, title="book", here="book")


def _query(asked: Asked, after: str) -> dict[str, str]:
    day = asked.day.isoformat() if asked.day else ""
    said = {"kind": asked.kind, "subject": asked.subject, "person": asked.person, "day": day}
    return {k: v for k, v in {**said, "after": after}.items() if v}


@router.post("/book/export")
def export(visit: Visitor) -> Response:
    """The whole book as a file that another shop can read."""
    visit.may("lead", "inspector")
    path = bookkeeping.exported(visit.shop, visit.by)
    name = f"underset-book-{visit.shop.day().isoformat()}.jsonl"
    away = BackgroundTask(shutil.rmtree, path.parent, ignore_errors=True)
    return FileResponse(path, filename=name, media_type="application/jsonl", background=away)


@router.get("/book/plan/{name}/card.{kind}")
def card(visit: Visitor, name: Name, kind: str) -> Response:
    """The card of a plan that was written down, with the figures of then."""
    known(kind)
    again = kept_plans.plan_again(visit.shop, name)
    made = kept_plans.card_again(again, visit.units, visit.language, f".{kind}")
    return printed(made, name, kind)


@router.post("/book/plan/{name}/card.{kind}")
def card_printed(
    visit: Visitor, name: Name, kind: str, run: Annotated[str, Form(max_length=63)] = ""
) -> RedirectResponse:
    """Write down that this card is printed, and lead to it."""
    card_prints.print_kept(visit.shop, name, known(kind), visit.by, run)
    return RedirectResponse(f"/book/plan/{name}/card.{kind}", status_code=303)


@router.get("/book/{number}", response_class=HTMLResponse)
def entry(visit: Visitor, number: int) -> HTMLResponse:
    """One entry with everything it says and its place in the chain; a plan with its card."""
    line = bookkeeping.event(visit.shop, number)
    plan = line.subject.removeprefix("plan/") if line.kind == PLAN_MADE else ""
    cards = tuple((kind.upper(), f"/book/plan/{plan}/card.{kind}") for kind in MEDIA if plan)
    view = EntryView(line, cards)
    return show(visit, "book_entry.html", view, title="book.entry", here="book")
