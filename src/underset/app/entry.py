"""The vehicle form: opened new, over a record, as a copy or from a draft; checked; stored.

What is typed stays text until it is stored. A figure that was not touched keeps its source; one
that was gets the source named in the form; a copied one stays "not verified" until someone checks
it.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping
from copy import deepcopy
from dataclasses import dataclass, field, replace
from datetime import date
from secrets import token_hex
from typing import Any, Final

from underset.app.entry_fields import (
    BY_PATH,
    ENTRIES,
    LISTS,
    LOOKED,
    SOURCE,
    Entry,
    at,
    clean,
    put,
    same,
    set_name,
    shown,
)
from underset.app.entry_rows import field_of_row, outline_errors, rows_of, with_rows
from underset.app.entry_sets import Slot, entries_of, name_sets, slots_of, told, with_sets
from underset.app.shop import Actor, Shop
from underset.errors import ConflictError, InputError, InputErrors, NotFoundError
from underset.records import Vehicle, from_json, to_json
from underset.store import Draft, Kept

COPIED: Final = "copied"
TRACED: Final = "traced"
KIND: Final = "vehicle"
_ID = re.compile(r"^[a-z0-9][a-z0-9-]{0,62}$")
_SLUG = re.compile(r"[^a-z0-9]+")


@dataclass(frozen=True, slots=True)
class Base:
    """What a form stands on: nothing, a record that is changed, or one that is copied."""

    mode: str = "new"  # new, edit, copy
    id: str = ""
    version: int = 0
    data: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Form:
    """A form as somebody left it: its base, what is typed, what came from a diagram, its draft."""

    base: Base
    fields: Mapping[str, str]
    traced: Mapping[str, Any] = field(default_factory=dict)
    draft: str = ""
    draft_version: int = 0

    def text(self, name: str) -> str:
        """What is typed in a field."""
        return self.fields.get(name, "")

    @property
    def slots(self) -> tuple[Slot, ...]:
        """The sets of lifting points in the form."""
        return slots_of(self.fields, self.base.data)

    @property
    def entries(self) -> tuple[Entry, ...]:
        """Every single figure of the form."""
        return entries_of(self.slots)


# --- opening --------------------------------------------------------------------------------------


def new_form(by: str, today: date) -> Form:
    """An empty form; who and when are filled in."""
    return Form(Base(), {"source_by": by, "source_date": today.isoformat(), "mirrored": "yes"})


def edit_form(shop: Shop, id: str, by: str, today: date) -> Form:
    """The newest version of a vehicle to be changed."""
    return filled(_base(shop, "edit", id, 0), by, today)


def copy_form(shop: Shop, id: str, by: str, today: date) -> Form:
    """A similar vehicle as a start: every figure of it is an estimate until it is checked."""
    return filled(_base(shop, "copy", id, 0), by, today)


def filled(base: Base, by: str, today: date) -> Form:
    """The form of a record's figures."""
    slots = slots_of({}, base.data)
    fields = {e.name: shown(at(base.data, e.before)) for e in entries_of(slots)}
    fields |= rows_of(base.data) | {"sets": told(slots)}
    for part, name in LOOKED.items():
        fields[name] = "yes" if LISTS[part] in base.data else "no"
    for slot in slots:
        name = set_name(slot.number, "mirrored")
        fields[name] = "yes" if _mirrors(fields, slot.number) else "no"
    fields |= {"source_by": by, "source_date": today.isoformat()}
    if base.mode == "edit":
        fields["id"] = base.id
    if base.mode == "copy":
        fields |= {"id": "", "label": ""}
    return Form(base, fields)


def _base(shop: Shop, mode: str, id: str, version: int) -> Base:
    with shop.store.read() as tx:
        kept = tx.records.version(Vehicle, id, version) if version else tx.records.get(Vehicle, id)
    data = to_json(kept.record)
    return Base(mode, kept.id, kept.version, data if mode == "edit" else _copied(data))


def _copied(data: dict[str, Any]) -> dict[str, Any]:
    """A record's figures without their sources: they stand for another vehicle."""
    told = f"copied from {data['label']}, not verified"[:120]
    bare = _without_sources({k: v for k, v in data.items() if k != "sources"})
    bare.pop("intake", None)
    for points in bare.get("point_sets", ()):
        points["source"] = COPIED
    return {**bare, "source": COPIED,
            "sources": {COPIED: {"kind": "estimate", "document": told, "seen": True}}}  # fmt: skip


def _without_sources(data: Any) -> Any:
    if isinstance(data, dict):
        if set(data) == {"value", "source"}:
            return data["value"]
        return {k: _without_sources(v) for k, v in data.items()}
    return [_without_sources(v) for v in data] if isinstance(data, list) else data


def sent_form(shop: Shop, sent: Mapping[str, str]) -> Form:
    """The form as a page sent it: hidden fields say what it stands on.

    `over` names a newer version that the sender has seen: what the sender did not touch is taken
    from it.
    """
    mode, id = sent.get("base_mode", "new"), sent.get("base_id", "")
    seen, over = _whole_number(sent, "base_version"), _whole_number(sent, "over")
    fields, base = clean(dict(sent)), Base()
    if mode in ("edit", "copy"):
        base = _base(shop, mode, id, seen)
    if mode == "edit" and over > seen:
        newer = _base(shop, mode, id, over)
        fields, base = _onto(fields, base, newer), newer
    draft = sent.get("draft", "")
    traced = draft_of(shop, draft).body.get("traced", {}) if draft else {}
    return Form(base, fields, traced, draft, _whole_number(sent, "draft_version"))


def _onto(fields: Mapping[str, str], old: Base, newer: Base) -> dict[str, str]:
    """What was typed over an old version, put onto a newer one."""
    before, now = (clean(dict(filled(b, "", date.min).fields)) for b in (old, newer))
    changed = {n: t for n, t in fields.items() if t != before.get(n, "")}
    for part in (*LISTS, "sets"):
        # Lists are told by their place: where both changed one, nobody knows which entry is meant.
        if _touched(part, changed) and _fields_of_list(part, before) != _fields_of_list(part, now):
            raise ConflictError(
                "Both have changed this list. Open the vehicle anew and type your changes into it."
            )
    mine = {n: t for n, t in fields.items() if n in changed or n not in before}
    return {**now, **mine}


def _touched(part: str, changed: Mapping[str, str]) -> bool:
    if part == "sets":
        return "sets" in changed or any(n.startswith("set-") for n in changed)
    return any(n.startswith(f"{part}-") for n in changed)


def _fields_of_list(part: str, fields: Mapping[str, str]) -> dict[str, str]:
    if part == "sets":
        return {n: t for n, t in fields.items() if n == "sets" or n.endswith("points_id")}
    return {n: t for n, t in fields.items() if n.startswith(f"{part}-")}


def _whole_number(sent: Mapping[str, str], name: str) -> int:
    text = sent.get(name, "") or "0"
    if not (text.isascii() and text.isdigit() and len(text) < 9):
        raise InputError(name, text, "a whole number")
    return int(text)


def _mirrors(fields: Mapping[str, str], slot: int) -> bool:
    """Whether the right side says what the left side says."""
    return all(
        fields.get(set_name(slot, f"r{end}_{word}"), "")
        == _other_side(word, fields.get(set_name(slot, f"l{end}_{word}"), ""))
        for end in "fr"
        for word in _POINT_WORDS
    )


_POINT_WORDS: Final = tuple(dict.fromkeys(e.word for e in ENTRIES if e.corner))


def _other_side(word: str, text: str) -> str:
    if word != "side" or not text or text[0].isalpha():
        return text
    return text[1:] if text.startswith("-") else "-" + text.removeprefix("+")


# --- from fields to a record ----------------------------------------------------------------------


def record_data(form: Form) -> dict[str, Any]:
    """The record as plain data, not yet checked."""
    data = deepcopy(dict(form.base.data))
    with_sets(data, form.slots)
    typed = _Typed(form, _own_source(data))
    for entry in form.entries:
        if entry.name != "id":
            put(data, entry.path, typed.leaf(entry))
    name_sets(data)
    with_rows(data, form.fields, typed.quantity)
    _with_sources(data, typed)
    needed: dict[str, Any] = {"sizes": {}, "weights": {}}
    return needed | {k: v for k, v in data.items() if v not in ({}, "")}


def _own_source(data: Mapping[str, Any]) -> str:
    taken, n = data.get("sources", {}), 1
    while f"entered-{n}" in taken:
        n += 1
    return f"entered-{n}"


@dataclass
class _Typed:
    """What the form says of single figures; `used` holds the sources that figures named."""

    form: Form
    source: str
    used: set[str] = field(default_factory=set)

    def leaf(self, entry: Entry) -> Any:
        """What stands in the record for one field; None when nothing does."""
        name, form = entry.name, self.form
        text = form.text(name)
        mirrored = form.text(set_name(entry.slot, "mirrored")) == "yes"
        if entry.corner.startswith("r") and mirrored:
            name = set_name(entry.slot, f"l{entry.corner[1:]}_{entry.word}")
            text = _other_side(entry.word, form.text(name))
        before = at(form.base.data, entry.before)
        if not text:
            return None
        if not entry.measured:
            return before if same(name, shown(before), text) else text
        if form.traced.get("fields", {}).get(name) == form.text(name):
            return self._of(text, TRACED)
        kept = before is not None and same(name, shown(before), text)
        return before if kept and not form.text(f"checked_{name}") else self.quantity(text)

    def quantity(self, text: str, before: Any = None) -> Any:
        """A figure with the source of the form, or as it was when nobody touched it."""
        if before is not None and same("", shown(before), text):
            return before
        if text.lower().startswith(("not given", "none")):
            return text
        return self._of(text, self.source)

    def _of(self, text: str, source: str) -> dict[str, str]:
        self.used.add(source)
        return {"value": text, "source": source}


def _with_sources(data: dict[str, Any], typed: _Typed) -> None:
    form, sources = typed.form, dict(data.get("sources", {}))
    if typed.source in typed.used:
        fields = [k for k in form.fields if k.startswith("source_")]
        told = {k.removeprefix("source_"): form.text(k) for k in fields}
        sources[typed.source] = {k: v for k, v in told.items() if v}
    if TRACED in typed.used:
        sources[TRACED] = dict(form.traced["source"])
    data["sources"] = sources
    if form.base.mode == "copy":
        data["intake"] = {k: v for k, v in data.get("intake", {}).items() if v}


def record_of(form: Form) -> Vehicle:
    """The record; InputErrors tell each complaint by the field of the form."""
    wrong = outline_errors(form.fields)
    known = {e.field for e in wrong}
    try:
        record = from_json(Vehicle, record_data(form))
    except InputErrors as errors:
        more = [replaced(e, form) for e in errors.errors]
        raise InputErrors([*wrong, *(e for e in more if e.field not in known)]) from None
    if wrong:
        raise InputErrors(wrong)
    return record


def replaced(error: InputError, form: Form) -> InputError:
    """The same complaint by the field of the form where it can be mended."""
    return InputError(field_of(error.field, form), error.value, error.allowed, error.remedy)


_OF_SET: Final = re.compile(r"^point_sets\[(\d+)\]\.(.*)$")
_OF_PAIR: Final = re.compile(r"^points (L[FR]) and R[FR], ([a-z]+)$")
_WHOLE: Final = {
    "weights": "front_axle", "body_twist": "body_twist_low", "point_sets": "points_id",
    "source": "source_document", "points": "lf_aft",
}  # fmt: skip


def field_of(path: str, form: Form) -> str:
    """The form's field for a place in the record; the place itself when no field holds it."""
    match = _OF_SET.match(path)
    if match and int(match[1]) < len(form.slots):
        slot, inside = form.slots[int(match[1])].number, match[2]
        pair = _OF_PAIR.match(inside)
        name = f"{pair[1].lower()}_{pair[2]}" if pair else _WHOLE.get(inside, "")
        name = name or _field_at(f"point_sets[0].{inside}")
        return set_name(slot, name) if name else path
    return _WHOLE.get(path) or _field_at(path) or field_of_row(path, form.fields) or path


def _field_at(path: str) -> str:
    if path in BY_PATH:
        return BY_PATH[path]
    if path.startswith("sources.entered-"):
        last = path.rpartition(".")[2]
        return "source_document" if last.startswith("entered-") else f"source_{last}"
    for name in (path.removesuffix(".value"), path.removesuffix(".source")):
        if name in BY_PATH:
            return BY_PATH[name]
    return ""


def unverified(form: Form) -> frozenset[str]:
    """Fields whose figure was copied and that nobody has checked or typed anew."""
    if COPIED not in form.base.data.get("sources", {}):
        return frozenset()
    whole = form.base.data.get("source") == COPIED
    found = set()
    for e in form.entries:
        leaf = at(form.base.data, e.before)
        copied = leaf.get("source") == COPIED if isinstance(leaf, dict) else whole
        if e.measured and leaf is not None and copied and shown(leaf) == form.text(e.name):
            found.add(e.name)
    return frozenset(n for n in found if not form.text(f"checked_{n}"))


# --- drafts and storing ---------------------------------------------------------------------------


def draft_of(shop: Shop, id: str) -> Draft:
    """A draft by id; NotFoundError when there is none."""
    with shop.store.read() as tx:
        return tx.drafts.get(KIND, id)


def drafts(shop: Shop) -> tuple[Draft, ...]:
    """All drafts, the one saved last first."""
    with shop.store.read() as tx:
        return tx.drafts.listed(KIND)


def draft_form(shop: Shop, id: str) -> Form:
    """The form of a draft."""
    draft = draft_of(shop, id)
    told = draft.body.get("base", {})
    base = Base()
    if told.get("mode") in ("edit", "copy"):
        base = _base(shop, told["mode"], told["id"], int(told["version"]))
    fields = clean({k: str(v) for k, v in draft.body.get("fields", {}).items()})
    return Form(base, fields, draft.body.get("traced", {}), draft.id, draft.version)


def save_draft(shop: Shop, form: Form, by: Actor) -> Form:
    """Keep the form as it is; ConflictError when someone else saved the same draft meanwhile."""
    id = form.draft or f"draft-{token_hex(4)}"
    b = form.base
    body = {"base": {"mode": b.mode, "id": b.id, "version": b.version},
            "fields": dict(form.fields), "traced": dict(form.traced)}  # fmt: skip
    with shop.store.write(by) as tx:
        draft = tx.drafts.save(KIND, id, body, version=form.draft_version)
    return replace(form, draft=draft.id, draft_version=draft.version)


def with_traced(form: Form, fields: Mapping[str, str], document: str) -> Form:
    """The form with figures read off a diagram, which name it as their source."""
    told = f"{document}, traced from its diagram"[:120]
    source = {"kind": "maker's document", "document": told, "by": form.text("source_by"),
              "date": form.text("source_date")}  # fmt: skip
    kept = {k: v for k, v in source.items() if v}
    points = {k: v for k, v in fields.items() if k != "wheelbase"}
    mirrored = {**form.fields, **clean(dict(fields)), "mirrored": "no"}
    return replace(form, fields=mirrored, traced={"fields": points, "source": kept})


def discard(shop: Shop, id: str, version: int, by: Actor) -> None:
    """Throw a draft away."""
    with shop.store.write(by) as tx:
        tx.drafts.discard(KIND, id, version=version)


def id_for(form: Form) -> str:
    """The id typed, or one made of the label."""
    if form.base.mode == "edit":
        return form.base.id
    return form.text("id") or slug(form.text("label"))


def slug(label: str) -> str:
    """Small letters, digits and hyphens out of what people call a thing."""
    plain = unicodedata.normalize("NFKD", label.lower().replace("ß", "ss"))
    bare = "".join(c for c in plain if not unicodedata.combining(c))
    return _SLUG.sub("-", bare).strip("-")[:63].strip("-")


def _id_checked(form: Form) -> str:
    id = id_for(form)
    if not _ID.match(id):
        allowed = "a name is lower-case letters, digits and hyphens, such as screw-pad-long"
        raise InputErrors([InputError("id", id or form.text("label"), allowed)])
    return id


def store(shop: Shop, form: Form, by: Actor) -> Kept[Vehicle]:
    """Store the record over the version it was made from, and drop its draft, in one go.

    Raises InputErrors by field, or ConflictError when the vehicle was changed meanwhile; nothing
    is overwritten.
    """
    record, id = record_of(form), _id_checked(form)
    shop.refuse_ahead(record)
    version = form.base.version if form.base.mode == "edit" else 0
    with shop.store.write(by) as tx:
        kept = tx.records.put(id, record, version=version)
        if form.draft:
            tx.drafts.discard(KIND, form.draft, version=form.draft_version)
    return kept


@dataclass(frozen=True, slots=True)
class Difference:
    """One figure that stands differently on file and in the form."""

    name: str
    on_file: str
    yours: str


def differences(shop: Shop, form: Form) -> tuple[int, str, tuple[Difference, ...]]:
    """The version on file now, who made it, and where it differs from what is typed."""
    try:
        with shop.store.read() as tx:
            kept = tx.records.get(Vehicle, id_for(form))
    except NotFoundError:
        return 0, "", ()
    there = filled(Base("edit", kept.id, kept.version, to_json(kept.record)), "", date.min).fields
    skip = {"id", "sets", "drawn", *SOURCE, *(n for n in form.fields if n.endswith("mirrored"))}
    old = filled(form.base, "", date.min).fields if form.base.mode == "edit" else {}
    names = [
        n for n in dict.fromkeys([*there, *form.fields])
        if n not in skip and form.text(n) not in (there.get(n, ""), old.get(n))
    ]  # fmt: skip
    told = tuple(Difference(n, there.get(n, ""), form.text(n)) for n in names)
    return kept.version, kept.person, told


__all__ = [
    "Base",
    "ConflictError",
    "Difference",
    "Form",
    "copy_form",
    "differences",
    "discard",
    "draft_form",
    "drafts",
    "edit_form",
    "new_form",
    "record_of",
    "save_draft",
    "sent_form",
    "store",
    "unverified",
    "with_traced",
]
