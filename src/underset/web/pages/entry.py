"""The vehicle form: checked while it is typed, kept as a draft, stored over the version it saw."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Annotated

from fastapi import APIRouter, Depends, Query, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from underset.app import entry, entry_check, entry_fields, entry_rows, entry_sets, wording
from underset.app.entry import Difference, Form
from underset.app.entry_check import Checked, Remark
from underset.app.entry_sets import Slot
from underset.errors import ConflictError, InputError, InputErrors
from underset.web.page import environment, show
from underset.web.pages.vehicles import drawing_words
from underset.web.visit import Visit, Visitor
from underset.web.words import Words, words_in

router = APIRouter(include_in_schema=False)
Name = Annotated[str, Query(max_length=63)]
SPARE_ROWS = 3


async def sent_fields(request: Request) -> dict[str, str]:
    """The text fields of a form; of a name sent twice the last counts."""
    form = await request.form(max_fields=2000)
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
    lines: bool = False


@dataclass(frozen=True, slots=True)
class SetView:
    """One set of lifting points: its own fields and those of its corners."""

    number: int
    label: str
    fields: tuple[FieldView, ...]
    corners: Mapping[str, tuple[FieldView, ...]]
    mirrored: str
    is_mirrored: bool


@dataclass(frozen=True, slots=True)
class Progress:
    """How far the form is: figures typed, needed ones still missing, figures to be corrected."""

    typed: int
    missing: int
    wrong: int


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
    labels: Mapping[str, str]
    elsewhere: tuple[str, ...]
    complete: bool
    refused: bool
    progress: Progress


@dataclass(frozen=True, slots=True)
class EntryView:
    """The whole form."""

    form: Form
    base_label: str
    groups: Mapping[str, tuple[FieldView, ...]]
    sets: tuple[SetView, ...]
    set_list: str
    more_sets: bool
    source: tuple[FieldView, ...]
    rows: Mapping[str, tuple[tuple[FieldView, ...], ...]]
    looked: Mapping[str, tuple[str, str]]
    said: Said
    kept_aside: int
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
    words = words_in(visit.language)
    parts = ("entry_said.html", "entry_progress.html")
    told = [environment().get_template(p).render(said=said, words=words, oob=True) for p in parts]
    return HTMLResponse("".join(told))


@router.post("/vehicles/sets", response_class=HTMLResponse)
def sets(visit: Visitor, sent: Sent) -> HTMLResponse:
    """One more set of lifting points, a copy of one, or one less; nothing is stored."""
    form = entry.sent_form(visit.shop, sent)
    fields = entry_sets.changed(form.fields, form.base.data, sent.get("set_do", ""))
    form = replace(form, fields=fields)
    return _page(visit, form, entry_check.checked(form, whole=False))


@router.post("/vehicles/draft")
def draft(visit: Visitor, sent: Sent) -> RedirectResponse:
    """Keep the form as it is."""
    form = entry.save_draft(visit.shop, entry.sent_form(visit.shop, sent), visit.by)
    return RedirectResponse(f"/vehicles/new?draft={form.draft}&kept=1", status_code=303)


@router.post("/vehicles/discard")
def discard(visit: Visitor, sent: Sent) -> RedirectResponse:
    """Throw a draft away."""
    id, version = sent.get("draft", ""), sent.get("draft_version", "")
    if not (version.isascii() and version.isdigit() and len(version) < 9):
        raise InputError("draft_version", version, "a whole number")
    entry.discard(visit.shop, id, int(version), visit.by)
    return RedirectResponse("/vehicles", status_code=303)


@router.post("/vehicles/store")
def store(visit: Visitor, sent: Sent) -> Response:
    """Store the record, or say field by field what is wrong; 409 when someone else was faster."""
    by, form = visit.by, entry.sent_form(visit.shop, sent)
    try:
        kept = entry.store(visit.shop, form, by)
    except InputErrors as wrong:
        checked = entry_check.checked(form, whole=True)
        found = checked.errors or {e.field: (e,) for e in wrong.errors}
        return _page(visit, form, replace(checked, errors=found), code=422)
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
    remarks = tuple(remark_in(r, words) for r in checked.remarks)
    elsewhere = tuple(f"{name}: {text}" for name, text in told.items() if not _has_field(name))
    drawing = entry_check.drawing(form, drawing_words(visit.language))
    labels = {n: field_word(n, words) for n in (*told, *(r.name for r in remarks))}
    typed = sum(1 for e in form.entries if e.measured and form.text(e.name))
    progress = Progress(typed, checked.missing, len(told))
    return Said(
        drawing, told, remarks, labels, elsewhere, checked.complete, refused, progress
    )  # fmt: skip


def _told(error: InputError, words: Words) -> str:
    e = wording.worded_error(error, words.language)
    return f"{words['entry.allowed']}: {e.allowed}. {e.remedy}".rstrip()


def remark_in(remark: Remark, words: Words) -> Remark:
    """A remark in the language of the page."""
    told = {k: wording.worded(getattr(remark, k), words.language) for k in _REMARKED}
    return replace(remark, **told)


_REMARKED = ("value", "looks", "slip", "remedy")


def field_word(name: str, words: Mapping[str, str]) -> str:
    """What a field of the form is called on the page; its own name when it has none there."""
    e = entry_fields.entry_of(name)
    if e is not None:
        corner = f"{words['entry.corner.' + e.corner]}: " if e.corner else ""
        return f"{corner}{words['entry.f.' + e.word]}"
    if name in entry_fields.SOURCE:
        return words[f"entry.f.{name}"]
    part, _, rest = name.partition("-")
    number, _, column = rest.partition("-")
    word = words.get(f"entry.r.{part}.{column}")
    return f"{words[f'entry.group.{part}']} {int(number) + 1}: {word}" if word else name


def _has_field(name: str) -> bool:
    return entry_fields.allowed(name)


def _view(
    visit: Visit, form: Form, said: Said, *, kept: bool, conflict: Conflict | None
) -> EntryView:
    make = _Fields(form, said)
    groups = {
        g: tuple(make.of(e) for e in form.entries if e.group == g and e.name != "notes")
        for g in entry_fields.GROUPS
        if g != "points"
    }
    return EntryView(
        form=form,
        base_label=str(form.base.data.get("label", "")),
        groups=groups,
        sets=tuple(make.set(slot) for slot in form.slots),
        set_list=entry_sets.told(form.slots),
        more_sets=len(form.slots) < entry_fields.MOST_SETS,
        source=tuple(
            make.plain(n, n, "source_kind" if n == "source_kind" else "")
            for n in entry_fields.SOURCE
        ),
        rows={part: make.rows(part) for part in entry_fields.ROWS},
        looked={p: (n, form.text(n) or "no") for p, n in entry_fields.LOOKED.items()},
        said=said,
        kept_aside=entry_rows.kept_aside(form.base.data)
        + max(0, len(form.base.data.get("point_sets", ())) - entry_fields.MOST_SETS),
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

    def set(self, slot: Slot) -> SetView:
        """One set of lifting points."""
        entries = [e for e in self.form.entries if e.group == "points" and e.slot == slot.number]
        mirrored = entry_fields.set_name(slot.number, "mirrored")
        label = self.form.text(entry_fields.set_name(slot.number, "points_label"))
        return SetView(
            slot.number, label, tuple(self.of(e) for e in entries if not e.corner),
            {c: tuple(self.of(e) for e in entries if e.corner == c) for c in entry_fields.CORNERS},
            mirrored, self.form.text(mirrored) == "yes",
        )  # fmt: skip

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
            self.said.errors.get(name, ""), "; ".join(remarks), *marks, name.endswith("-outline"),
        )  # fmt: skip
