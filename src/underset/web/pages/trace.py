"""A diagram traced: the picture stays on the device, its marks come here, points go to the form."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated

from fastapi import APIRouter, Query, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from underset.app import entry, showing, tracing, wording
from underset.app.tracing import Trace
from underset.errors import InputError
from underset.web.page import show
from underset.web.pages.entry import Sent
from underset.web.visit import Visit, Visitor
from underset.web.words import words_in

router = APIRouter(include_in_schema=False)
Name = Annotated[str, Query(max_length=63)]
FIELDS = ("vehicle", "wheelbase", "kind", "document", "check", "click")


@dataclass(frozen=True, slots=True)
class TracedLine:
    """One point in words."""

    corner: str
    aft: str
    side: str


@dataclass(frozen=True, slots=True)
class TraceView:
    """The page: what was marked and what came of it."""

    sent: Mapping[str, str]
    marks: tuple[tuple[str, str, str, bool], ...]
    kinds: tuple[str, ...]
    result: tuple[TracedLine, ...] = ()
    trace: Trace | None = None
    parts: Mapping[str, str] | None = None
    error: str = ""


@router.get("/vehicles/trace", response_class=HTMLResponse)
def opened(visit: Visitor, vehicle: Name = "") -> HTMLResponse:
    """An empty tracing page, or one for a vehicle on file, whose wheelbase is known."""
    sent = {"kind": "drawing", "click": "3", "vehicle": vehicle}
    if vehicle:
        record = visit.shop.workshop().vehicle(vehicle)
        sent["wheelbase"] = str(record.sizes.wheelbase)
    return _page(visit, sent)


@router.post("/vehicles/trace")
def worked_out(request: Request, visit: Visitor, sent: Sent) -> Response:
    """The points of the marks; with `use` they go into a draft of the vehicle form.

    Decision: a script that swaps in part of the page gets a refusal as 200, so that the picture,
    which only the browser has, stays where it is.
    """
    try:
        trace = tracing.traced(tracing.read_marks(sent), tracing.read_ruler(sent))
        if not sent.get("document", "").strip():
            raise InputError("document", "", "the name of the document, as its source")
    except InputError as error:
        code = 200 if request.headers.get("hx-request") else 422
        return _page(visit, sent, error=error, code=code)
    if sent.get("use"):
        return RedirectResponse(f"/vehicles/new?draft={_drafted(visit, sent, trace)}", 303)
    return _page(visit, sent, trace=trace)


def _drafted(visit: Visit, sent: Mapping[str, str], trace: Trace) -> str:
    who, day, vehicle = visit.person_label, visit.shop.day(), sent.get("vehicle", "")
    form = entry.edit_form(visit.shop, vehicle, who, day) if vehicle else entry.new_form(who, day)
    fields = tracing.fields_of(trace)
    if not vehicle:
        fields["wheelbase"] = sent["wheelbase"]
    document = "".join(c for c in sent["document"] if c.isprintable()).strip()
    drafted = entry.save_draft(visit.shop, entry.with_traced(form, fields, document), visit.by)
    return drafted.draft


def _page(
    visit: Visit,
    sent: Mapping[str, str],
    *,
    trace: Trace | None = None,
    error: InputError | None = None,
    code: int = 200,
) -> HTMLResponse:
    shown = {n: sent.get(n, "")[:200] for n in FIELDS}
    marks = tuple(
        (n, sent.get(f"{n}_x", "")[:12], sent.get(f"{n}_y", "")[:12], n in tracing.NEEDED)
        for n in tracing.MARKS
    )
    view = TraceView(
        shown,
        marks,
        tuple(tracing.TRUST),
        _lines(visit, trace),
        trace,
        _parts(visit, trace),
        _refused(visit, error) if error else "",
    )
    return show(
        visit, "trace.html", view, title="trace.title", here="vehicles", scripts=("trace.js",),
        code=code,
    )  # fmt: skip


def _refused(visit: Visit, error: InputError) -> str:
    words = words_in(visit.language)
    mark, _, axis = error.field.partition("_")
    key = f"trace.mark.{mark if axis in ('x', 'y') else error.field}"
    named = words.get(key) or words.get(f"trace.{error.field}") or error.field
    told = InputError(named, error.value or "–", error.allowed, error.remedy)
    return wording.refused(told, visit.language)


def _lines(visit: Visit, trace: Trace | None) -> tuple[TracedLine, ...]:
    points = trace.points if trace else ()
    return tuple(TracedLine(p.corner, *p.texts) for p in points)


def _parts(visit: Visit, trace: Trace | None) -> dict[str, str] | None:
    if trace is None:
        return None
    named = {"click": trace.click, "scale": trace.scale, "picture": trace.picture}
    told = {k: "± " + showing.length(v, visit.units, visit.language) for k, v in named.items()}
    if trace.checked is not None:
        told["found"] = showing.length(trace.checked, visit.units, visit.language)
    return told | {"share": f"{100 * trace.share:.1f} %"}
