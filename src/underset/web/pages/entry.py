"""The vehicle form: checked while it is typed, kept as a draft, stored over the version it saw."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated

from fastapi import APIRouter, Depends, Query, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from underset.app import entry, entry_check, entry_fields, entry_rows
from underset.app.entry import Difference, Form
from underset.app.entry_check import Checked, Remark
from underset.errors import ConflictError, InputError, InputErrors
from underset.web.page import environment, show
from underset.web.pages.vehicles import drawing_words
from underset.web.visit import Visit, Visitor
from underset.web.words import words_in

router = APIRouter(include_in_schema=False)
Name = Annotated[str, Query(max_length=63)]
SPARE_ROWS = 3


async def sent_fields(request: Request) -> dict[str, str]:
    """The text fields of a form; of a name sent twice the last counts."""
    form = await request.form(max_fields=900)
    return {k: v for k, v in form.items() if isinstance(v, str)}


Sent = Annotated[dict[str, str], Depends(sent_fields)]


@dataclass(frozen=True, slots=True)
class FieldView:
    """One field as the page shows it."""

    name: str
    word: str
    text: str
    choices: tuple[str, ...] = ()
    required: bool = False
    error: str = ""
    remark: str = ""
    unverified: bool = False
    traced: bool = False


@dataclass(frozen=True, slots=True)
class Conflict:
    """What stands on file now, where somebody else was faster."""

    version: int
    person: str
    differences: tuple[Difference, ...]


@dataclass(frozen=True, slots=True)
class Said:
    """What the form is told: drawing, errors, remarks."""

    drawing: str
    errors: Mapping[str, str]
    remarks: tuple[Remark, ...]
    elsewhere: tuple[str, ...]
    complete: bool
    refused: bool


@dataclass(frozen=True, slots=True)
class EntryView:
    """The whole form."""

    form: Form
    base_label: str
    groups: Mapping[str, tuple[FieldView, ...]]
    points: Mapping[str, tuple[FieldView, ...]]
    source: tuple[FieldView, ...]
    rows: Mapping[str, tuple[tuple[FieldView, ...], ...]]
    looked: Mapping[str, tuple[str, str]]
    said: Said
    other_sets: int
    other_zones: int
    may_store: bool
    kept: bool = False
    conflict: Conflict | None = None


# --- pages ----------------------------------------------------------------------------------------


@router.get("/vehicles/new", response_class=HTMLResponse)
def opened(
    visit: Visitor, edit: Name = "", copy: Name = "", draft: Name = "", kept: int = 0
) -> HTMLResponse:
    """An empty form, or one over a record, a copy, a draft."""
    who, day = visit.person_label, visit.shop.day()
    if draft:
        form = entry.draft_form(visit.shop, draft)
    elif edit:
        form = entry.edit_form(visit.shop, edit, who, day)
    elif copy:
        form = entry.copy_form(visit.shop, copy, who, day)
    else:
        form = entry.new_form(who, day)
    return _page(visit, form, entry_check.checked(form, whole=False), kept=kept > 0)


@router.post("/vehicles/check", response_class=HTMLResponse)
def check(visit: Visitor, sent: Sent) -> HTMLResponse:
    """What is wrong or odd so far, and the drawing: part of the page."""
    form = entry.sent_form(visit.shop, sent)
    said = _said(visit, form, entry_check.checked(form, whole=False))
    template = environment().get_template("entry_said.html")
    return HTMLResponse(template.render(said=said, words=words_in(visit.language)))


@router.post("/vehicles/draft")
def draft(visit: Visitor, sent: Sent) -> RedirectResponse:
    """Keep the form as it is."""
    form = entry.save_draft(visit.shop, entry.sent_form(visit.shop, sent), visit.by)
    return RedirectResponse(f"/vehicles/new?draft={form.draft}&kept=1", status_code=303)


@router.post("/vehicles/discard")
def discard(visit: Visitor, sent: Sent) -> RedirectResponse:
    """Throw a draft away."""
    id, version = sent.get("draft", ""), sent.get("draft_version", "")
    if not version.isdigit() or len(version) > 8:
        raise InputError("draft_version", version, "a whole number")
    entry.discard(visit.shop, id, int(version), visit.by)
    return RedirectResponse("/vehicles", status_code=303)


@router.post("/vehicles/store")
def store(visit: Visitor, sent: Sent) -> Response:
    """Store the record, or say field by field what is wrong; 409 when someone else was faster."""
    by, form = visit.by, entry.sent_form(visit.shop, sent)
    try:
        kept = entry.store(visit.shop, form, by)
    except InputErrors:
        return _page(visit, form, entry_check.checked(form, whole=True), code=422)
    except ConflictError:
        told = Conflict(*entry.differences(visit.shop, form))
        if not told.version:
            raise
        return _page(visit, form, entry_check.checked(form, whole=True), code=409, conflict=told)
    return RedirectResponse(f"/vehicles/{kept.id}?stored=1", status_code=303)


# --- the view -------------------------------------------------------------------------------------


def _page(
    visit: Visit,
    form: Form,
    checked: Checked,
    *,
    code: int = 200,
    kept: bool = False,
    conflict: Conflict | None = None,
) -> HTMLResponse:
    said = _said(visit, form, checked, refused=code == 422)
    view = _view(visit, form, said, kept=kept, conflict=conflict)
    scripts = ("entry.js",)
    title = f"entry.{form.base.mode}"
    return show(visit, "entry.html", view, title=title, here="vehicles", scripts=scripts, code=code)


def _said(visit: Visit, form: Form, checked: Checked, refused: bool = False) -> Said:
    words = words_in(visit.language)
    told = {
        name: " ".join(_told(e, words) for e in found) for name, found in checked.errors.items()
    }
    elsewhere = tuple(f"{name}: {text}" for name, text in told.items() if not _has_field(name))
    drawing = entry_check.drawing(form, drawing_words(visit.language))
    return Said(drawing, told, checked.remarks, elsewhere, checked.complete, refused)


def _told(error: InputError, words: Mapping[str, str]) -> str:
    return f"{words['entry.allowed']}: {error.allowed}. {error.remedy}".rstrip()


def _has_field(name: str) -> bool:
    return entry_fields.allowed(name)


def _view(
    visit: Visit, form: Form, said: Said, *, kept: bool, conflict: Conflict | None
) -> EntryView:
    make = _Fields(form, said)
    entries = entry_fields.ENTRIES
    groups = {
        g: tuple(make.of(e) for e in entries if e.group == g and not e.corner and e.name != "notes")
        for g in entry_fields.GROUPS
    }
    sets, zones = form.base.data.get("point_sets", ()), form.base.data.get("zones") or ()
    return EntryView(
        form=form,
        base_label=str(form.base.data.get("label", "")),
        groups=groups,
        points={
            c: tuple(make.of(e) for e in entries if e.corner == c) for c in entry_fields.CORNERS
        },
        source=tuple(
            make.plain(n, n, "source_kind" if n == "source_kind" else "")
            for n in entry_fields.SOURCE
        ),
        rows={part: make.rows(part) for part in entry_fields.ROWS},
        looked={p: (n, form.text(n) or "no") for p, n in entry_fields.LOOKED.items()},
        said=said,
        other_sets=max(0, len(sets) - 1),
        other_zones=sum(not entry_rows.is_rectangle(z) for z in zones),
        may_store=bool(visit.person),
        kept=kept,
        conflict=conflict,
    )


@dataclass(frozen=True, slots=True)
class _Fields:
    """Makes fields of a form with what was said of them."""

    form: Form
    said: Said

    def of(self, e: entry_fields.Entry) -> FieldView:
        """A field of a single figure."""
        unverified = e.name in entry.unverified(self.form)
        text = self.form.text(e.name)
        traced = bool(text) and self.form.traced.get("fields", {}).get(e.name) == text
        return self._field(e.name, f"entry.f.{e.word}", e.choices, e.required, (unverified, traced))

    def plain(self, name: str, word: str, kind: str) -> FieldView:
        """A field without a source of its own."""
        return self._field(name, f"entry.f.{word}", entry_fields.CHOICES.get(kind, ()), False)

    def rows(self, part: str) -> tuple[tuple[FieldView, ...], ...]:
        """The rows of a list, with a few empty ones."""
        used = entry_rows.row_numbers(part, self.form.fields)
        count = min((used[-1] + 1 if used else 0) + SPARE_ROWS, entry_fields.MOST_ROWS)
        return tuple(
            tuple(
                self._field(
                    f"{part}-{n}-{column}", f"entry.r.{part}.{column}",
                    entry_fields.CHOICES.get(kind, ()), False,
                )
                for column, kind in entry_fields.ROWS[part]
            )
            for n in range(count)
        )  # fmt: skip

    def _field(
        self,
        name: str,
        word: str,
        choices: tuple[str, ...],
        required: bool,
        marks: tuple[bool, bool] = (False, False),
    ) -> FieldView:
        remarks = [r.looks for r in self.said.remarks if r.name == name]
        return FieldView(
            name, word, self.form.text(name), choices, required,
            self.said.errors.get(name, ""), "; ".join(remarks), *marks,
        )  # fmt: skip
