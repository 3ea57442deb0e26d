"""Tables taken in: first a look at every row, then all of them or none."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from fastapi import APIRouter, Depends, Query, Request
from fastapi.responses import HTMLResponse, PlainTextResponse
from starlette.datastructures import UploadFile

from underset.app import imports, wording
from underset.app.imports import ImportLine, Preview
from underset.errors import InputError, said
from underset.web.page import show
from underset.web.pages.entry import Sent
from underset.web.visit import Visit, Visitor

router = APIRouter(include_in_schema=False)
HELD = imports.Held()
LARGEST = 10_000_000  # bytes
MOST_SHOWN = 500
Kind = Annotated[str, Query(max_length=20)]


@dataclass(frozen=True, slots=True)
class Upload:
    """One file of a form: its name as sent, never used as a path, and its content."""

    name: str
    content: bytes


@dataclass(frozen=True, slots=True)
class ImportView:
    """The page: what the table holds, what it would do, or what is wrong."""

    kind: str
    kinds: tuple[str, ...]
    columns: tuple[tuple[str, str, str, bool], ...]
    seen: Preview | None = None
    key: str = ""
    taken: int | None = None
    most: int = MOST_SHOWN
    language: str = "en"

    def say_wrong(self, error: InputError) -> str:
        """What is allowed where a cell was refused."""
        told = wording.worded_error(error, self.language)
        return f"{told.allowed}. {told.remedy}" if told.remedy else told.allowed

    def say_looks(self, line: ImportLine) -> str:
        """What looks odd in a row."""
        return " · ".join(wording.doubted(c, self.language) for c in line.looks)


async def sent_file(request: Request) -> Upload:
    """The file of a form; InputError when there is none or it is too large."""
    form = await request.form(max_fields=20, max_files=1)
    sent = form.get("file")
    if not isinstance(sent, UploadFile) or not sent.filename:
        raise InputError("file", "nothing", "a CSV or XLSX file")
    content = await sent.read(LARGEST + 1)
    await sent.close()
    if len(content) > LARGEST:
        raise InputError(
            "file",
            said("more than {most} bytes", most=LARGEST),
            said("at most {most} bytes", most=LARGEST),
        )
    return Upload(sent.filename, content)


File = Annotated[Upload, Depends(sent_file)]


@router.get("/import", response_class=HTMLResponse)
def opened(visit: Visitor, kind: Kind = "vehicle") -> HTMLResponse:
    """Where a table is chosen, with the columns it may have."""
    return _page(visit, _known(kind))


@router.get("/import/empty-{kind}.csv")
def empty(visit: Visitor, kind: str) -> PlainTextResponse:
    """A table with every column and no row."""
    del visit
    headers = {"Content-Disposition": f'attachment; filename="{_known(kind)}.csv"'}
    return PlainTextResponse(imports.empty_table(kind), media_type="text/csv", headers=headers)


@router.post("/import", response_class=HTMLResponse)
def looked(visit: Visitor, file: File, sent: Sent) -> HTMLResponse:
    """Every row looked at; nothing is stored yet."""
    by, kind = visit.by, _known(sent.get("kind", ""))
    seen = imports.preview(visit.shop, kind, file.content, file.name)
    key = HELD.hold(seen, by.person) if seen.useful else ""
    return _page(visit, kind, seen=seen, key=key, code=422 if seen.wrong else 200)


@router.post("/import/take", response_class=HTMLResponse)
def taken(visit: Visitor, sent: Sent) -> HTMLResponse:
    """All rows that were looked at, or none."""
    by = visit.by
    seen = HELD.take(sent.get("key", "")[:64], by.person)
    return _page(visit, seen.kind, taken=imports.take_in(visit.shop, seen, by))


def _known(kind: str) -> str:
    if kind not in imports.MODELS:
        raise InputError("kind", kind[:40], said("one of {known}", known=", ".join(imports.MODELS)))
    return kind


def _page(
    visit: Visit,
    kind: str,
    *,
    seen: Preview | None = None,
    key: str = "",
    taken: int | None = None,
    code: int = 200,
) -> HTMLResponse:
    columns = tuple((c.name, c.kind, c.meaning, c.required) for c in imports.columns(kind))
    view = ImportView(
        kind, tuple(imports.MODELS), columns, seen, key, taken, language=visit.language
    )
    return show(visit, "imports.html", view, title="import.title", here="vehicles", code=code)
