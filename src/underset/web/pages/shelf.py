"""The shelf: adapters with their pieces, conditions and inspections, out of service and back."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated

from fastapi import APIRouter, Form
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from underset.app import bookkeeping, papers
from underset.app.bookkeeping import Line
from underset.app.papers import AdapterPapers, LotLine
from underset.errors import ConflictError, InputError
from underset.web.clash import clash_page
from underset.web.forms import (
    Choices,
    Count,
    Day,
    Key,
    Name,
    Version,
    Words,
    done,
    fresh_key,
    signs,
)
from underset.web.page import show
from underset.web.visit import Visit, Visitor

router = APIRouter(include_in_schema=False)
LAST = 12
Failed = Annotated[int, Form(ge=0, le=1000)]


@dataclass(frozen=True, slots=True)
class ShelfView:
    """All adapter types."""

    roles: tuple[tuple[str, tuple[AdapterPapers, ...]], ...]
    signs: dict[str, str]


@dataclass(frozen=True, slots=True)
class AdapterView:
    """One adapter type, its forms and the last that was written about it."""

    adapter: AdapterPapers
    version: int
    places: tuple[tuple[str, str], ...]
    today: str
    key: str
    done: int
    lines: tuple[Line, ...]
    signs: dict[str, str]


@router.get("/shelf", response_class=HTMLResponse)
def shelf(visit: Visitor) -> HTMLResponse:
    """Every adapter type, by what it does."""
    found = papers.shelf(visit.shop)
    roles = tuple(
        (role, tuple(a for a in found if a.role == role)) for role in ("spacer", "head", "block")
    )
    return show(visit, "shelf.html", ShelfView(roles, signs()), title="shelf", here="shelf")


@router.get("/shelf/{adapter}", response_class=HTMLResponse)
def adapter(visit: Visitor, adapter: str, done: int = 0) -> HTMLResponse:
    """One adapter type."""
    found = papers.adapter(visit.shop, adapter)
    about = bookkeeping.Asked(subject=f"adapter/{adapter}")
    lines = bookkeeping.search(visit.shop, about, LAST).lines
    view = AdapterView(
        found, papers.version_of(visit.shop, "adapter", adapter), _places(visit),
        visit.shop.day().isoformat(), fresh_key(), done, lines, signs(),
    )  # fmt: skip
    return show(visit, "adapter.html", view, title=found.label, here="shelf")


def _places(visit: Visit) -> tuple[tuple[str, str], ...]:
    bays = visit.shop.workshop().bays
    return (("shelf", ""), *((k, bay.label) for k, bay in sorted(bays.items())))


@router.post("/shelf/{adapter}/out")
def out(
    visit: Visitor, adapter: str, key: Key, reason: Words, count: Count = 1, where: Name = "shelf"
) -> Response:
    """Take pieces out of service: plans no longer count on them."""
    visit.may("technician", "lead", "inspector")
    return _moved(visit, adapter, "taken out of service", key, (reason, count, where))


@router.post("/shelf/{adapter}/back")
def back(
    visit: Visitor, adapter: str, key: Key, reason: Words, count: Count = 1, where: Name = "shelf"
) -> Response:
    """Return pieces to service."""
    visit.may("lead", "inspector")
    return _moved(visit, adapter, "returned to service", key, (reason, count, where))


def _moved(visit: Visit, adapter: str, kind: str, key: str, what: tuple[str, int, str]) -> Response:
    reason, count, where = what
    said = {"thing": "adapter", "id": adapter, "reason": reason, "count": count, "where": where}
    return _said(visit, adapter, kind, said, key)


@router.post("/shelf/{adapter}/defect")
def defect(
    visit: Visitor, adapter: str, key: Key, text: Words, count: Count = 1, where: Name = "shelf"
) -> Response:
    """Report pieces that are not right; they are out of service at once."""
    visit.may("technician", "lead", "inspector")
    said = {
        **{"thing": "adapter", "id": adapter, "defect": f"defect-{key}", "text": text},
        **{"stops_use": True, "count": count, "where": where},
    }
    return _said(visit, adapter, "defect reported", said, key)


@router.post("/shelf/{adapter}/cleared")
def cleared(visit: Visitor, adapter: str, key: Key, defect: Name, how: Words) -> Response:
    """A defect was mended."""
    visit.may("lead", "inspector")
    said = {"thing": "adapter", "id": adapter, "defect": defect, "how": how}
    return _said(visit, adapter, "defect cleared", said, key)


@router.post("/shelf/{adapter}/inspection")
def inspection(
    visit: Visitor, adapter: str, key: Key, on: Day, by: Name, seen: Count, failed: Failed = 0,
    where: Name = "shelf", note: Words = "",
) -> Response:  # fmt: skip
    """Write an inspection down; failed pieces are out of service."""
    visit.may("lead", "inspector")
    said = {
        **{"adapter": adapter, "on": bookkeeping.day_in(on, "on"), "by": by, "where": where},
        **{"seen": seen, "failed": failed, "note": note},
    }
    return _said(visit, adapter, "adapter inspection", said, key)


def _said(visit: Visit, adapter: str, kind: str, said: Mapping[str, object], key: str) -> Response:
    papers.adapter(visit.shop, adapter)
    return done(f"/shelf/{adapter}", bookkeeping.say(visit.shop, kind, said, visit.by, key))


@router.post("/shelf/{adapter}/lots", response_class=HTMLResponse)
def lots(
    visit: Visitor, adapter: str, version: Version, count: Choices, where: Choices,
    state: Choices, inspected: Choices, note: Choices,
) -> Response:  # fmt: skip
    """Change how many pieces there are and where; the second of two tablets is told."""
    visit.may("lead")
    mine = _lots(count, where, state, inspected, note)
    try:
        papers.save_lots(visit.shop, adapter, mine, version, visit.by)
    except ConflictError as error:
        return _clash(visit, adapter, error, mine)
    return RedirectResponse(f"/shelf/{adapter}", status_code=303)


def _lots(*columns: list[str]) -> list[LotLine]:
    if len({len(c) for c in columns}) != 1:
        raise InputError("lots", [len(c) for c in columns], "as many of each column as rows")
    rows = [row for row in zip(*columns, strict=True) if row[0].strip() not in ("", "0")]
    for row in rows:
        if not (row[0].isascii() and row[0].isdigit() and int(row[0][:5]) <= 1000):
            raise InputError("count", row[0], "a whole number from 0 to 1000")
    return [
        LotLine(int(c), where, state != "out", day, note) for c, where, state, day, note in rows
    ]


def _clash(visit: Visit, adapter: str, error: ConflictError, mine: list[LotLine]) -> Response:
    record = visit.shop.record("adapter", adapter)
    theirs = {f"{n}": _told(lot) for n, lot in enumerate(papers.lots_of(record.record), 1)}
    said = [(f"{n}", _told(lot)) for n, lot in enumerate(mine, 1)]
    return clash_page(visit, papers.clash(error, said, theirs, record.version), f"/shelf/{adapter}")


def _told(lot: LotLine) -> str:
    out = "" if lot.in_service else " ✕"
    return " · ".join(x for x in (f"{lot.count} × {lot.where}{out}", lot.inspected, lot.note) if x)
