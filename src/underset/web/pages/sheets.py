"""Measure sheets to print and fill in."""

from __future__ import annotations

from dataclasses import dataclass

from fastapi import APIRouter
from fastapi.responses import HTMLResponse, Response

from underset.app import sheets
from underset.errors import InputError, said
from underset.web.page import show
from underset.web.visit import Visitor

router = APIRouter(include_in_schema=False)
MEDIA = {"pdf": "application/pdf", "html": "text/html; charset=utf-8"}


@dataclass(frozen=True, slots=True)
class SheetsView:
    """Which sheets there are."""

    kinds: tuple[str, ...]
    formats: tuple[str, ...]


@router.get("/sheets", response_class=HTMLResponse)
def listed(visit: Visitor) -> HTMLResponse:
    """The sheets by kind."""
    view = SheetsView(sheets.KINDS, sheets.FORMATS)
    return show(visit, "sheets.html", view, title="sheets.title", here="vehicles")


@router.get("/sheets/{kind}.{form}")
def one(visit: Visitor, kind: str, form: str) -> Response:
    """One sheet, in the visitor's language."""
    if form not in MEDIA:
        raise InputError("form", form[:20], said("one of {known}", known=", ".join(MEDIA)))
    made = sheets.sheet(kind, form, visit.language, visit.shop_name)
    headers = {"Content-Disposition": f'inline; filename="underset-{kind}.{form}"'}
    if form == "html":
        headers["Content-Security-Policy"] = "default-src 'none'; style-src 'unsafe-inline'"
    return Response(made, media_type=MEDIA[form], headers=headers)
