"""Plans of the book: written down with all they were made from, and made again from that.

Kept with a plan: its records by their hashes, the question, the papers of the day, the result in
its published form, and its figures as the card shows them. Made again, an old card shows the
figures of then, always; where this program comes to others, it says which.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from importlib.metadata import version
from itertools import zip_longest
from math import isclose
from platform import python_version
from secrets import token_hex
from typing import TYPE_CHECKING, Any, Final

from underset import __version__
from underset.app.planning import Planned, Wish, make_plan
from underset.app.shop import Actor, Shop
from underset.errors import ConflictError, InputError, NotFoundError, StoreError, said
from underset.records import Workshop
from underset.setting import Plan, Standing
from underset.store import (
    RECORD_KINDS,
    Event,
    PlanMade,
    Query,
    Transaction,
    body_of,
)

if TYPE_CHECKING:
    from pydantic import TypeAdapter

Json = dict[str, Any]
_TABLES: Final = {"vehicle": "vehicles", "bay": "bays", "adapter": "adapters", "job": "jobs"}
_ALONE: Final = {"workshop": "about", "policy": "policy"}
_QUESTION, _PAPERS = "wish", "standing"
# Decision: what a last digit of a float may be on another machine is no other figure.
_ROUNDING: Final = 1e-9
_NEAREST = 20
TOLD: Final = {
    "en": "Version {now} of this program comes to other figures than version {then} did on "
    "{day}: {count} differ, the first at {place} (then {was}, now {found}). All figures on this "
    "card are those of then.",
    "de": "Version {now} dieses Programms kommt zu anderen Zahlen als Version {then} am {day}: "
    "{count} weichen ab, die erste bei {place} (damals {was}, jetzt {found}). Alle Zahlen auf "
    "dieser Karte sind die von damals.",
}


# --- writing down ---------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Papers:
    """What is kept with a plan: documents by what they are, and the whole of its result."""

    inputs: Json
    result: Json
    figures: Json


def papers_of(workshop: Workshop, planned: Planned) -> Papers:
    """Everything that a plan was made from and what came out, as JSON documents.

    The whole shelf and every bay are among it, because what would make a plan work is sought there.
    """
    from underset.card import plan_json

    wish, standing = planned.wish, next(iter(planned.cases.values())).standing
    inputs = {
        _QUESTION: _form(Wish).dump_python(wish, mode="json"),
        _PAPERS: _standing_json(standing),
        "workshop workshop": body_of(workshop.about),
        "policy policy": body_of(workshop.policy),
        f"vehicle {wish.vehicle}": body_of(workshop.vehicle(wish.vehicle)),
        **{f"bay {id}": body_of(bay) for id, bay in workshop.bays.items()},
        **{f"adapter {id}": body_of(adapter) for id, adapter in workshop.adapters.items()},
    }
    if wish.job:
        inputs[f"job {wish.job}"] = body_of(workshop.job(wish.job))
    return Papers(inputs, plan_json(planned.plan), _figures_json(planned.plan))


def _figures_json(plan: Plan) -> Json:
    """Decision: other choices stand in the result; their every check would fill the store."""
    remedies = tuple(replace(r, evaluation=None) for r in plan.remedies)
    shown = replace(plan, choices=(), remedies=remedies)
    document: Json = _form(Plan).dump_python(shown, mode="json")
    return document


def _standing_json(standing: Standing) -> Json:
    document: Json = _form(Standing).dump_python(standing, mode="json")
    kinds = {person: sorted(kinds) for person, kinds in standing.authorised.items()}
    return {**document, "authorised": kinds}  # a set has no order, and the hash needs one


def keep(shop: Shop, wish: Wish, by: Actor, *, key: str = "") -> str:
    """Write the plan of now down for its own sake, once under one key; its name.

    A plan that is refused is kept too: what stood against a lift is worth having. Raises
    ConflictError for a key that stands for something else.
    """
    key = key or token_hex(8)
    with shop.store.read() as tx:
        if name := _kept_under(tx, key, wish, by):
            return name
    workshop, planned = shop.plan_now(wish, by.person)
    papers = papers_of(workshop, planned)
    with shop.store.write(by) as tx:
        return _kept_under(tx, key, wish, by) or write_plan(tx, planned, papers, key=key)


def _kept_under(tx: Transaction, key: str, wish: Wish, by: Actor) -> str:
    """The plan that was kept under a key, or nothing."""
    event = tx.book.under_key(key)
    if event is None:
        return ""
    made, question = event.read(), _form(Wish).dump_python(wish, mode="json")
    if (
        not isinstance(made, PlanMade)
        or event.person != by.person
        or tx.book.document(made.inputs[_QUESTION]) != question
    ):
        raise ConflictError(
            said(
                "The key {key!r} stands for another entry of the book, number {seq}. "
                "Nothing was kept; open the plan anew and keep it from there.",
                key=key, seq=event.seq,
            )
        )  # fmt: skip
    return made.plan


def write_plan(tx: Transaction, planned: Planned, papers: Papers, *, key: str = "") -> str:
    """Write a plan down with its papers, and return its name."""
    name, wish, best = f"plan-{token_hex(6)}", planned.wish, planned.plan.best
    made = PlanMade(
        plan=name,
        vehicle=wish.vehicle,
        bay=best.setting.bay if best else None,
        job=wish.job,
        outcome=planned.plan.outcome.value,
        status=best.status.value if best else "",
        invented=planned.plan.invented,
        inputs={what: tx.book.keep(document) for what, document in papers.inputs.items()},
        versions={
            "underset": __version__,
            "python": python_version(),
            "numpy": version("numpy"),
        },
        result=tx.book.keep(papers.result),
        figures=tx.book.keep(papers.figures),
    )
    tx.book.append(made, key=key)
    return name


_FORMS: dict[type[Any], TypeAdapter[Any]] = {}


def _form(model: type[Any]) -> TypeAdapter[Any]:
    """How a kind of result becomes JSON and comes back; made at the first use."""
    from pydantic import TypeAdapter

    if model not in _FORMS:
        _FORMS[model] = TypeAdapter(model)
    return _FORMS[model]


# --- making again ---------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Differs:
    """One figure or word of a result that this program finds otherwise."""

    place: str
    then: str
    now: str


@dataclass(frozen=True, slots=True)
class PlanAgain:
    """A plan of the book: what was said then, and what this program finds otherwise.

    `planned` and `result` are those of then, whatever `differs` holds.
    """

    event: Event
    made: PlanMade
    workshop: Workshop
    planned: Planned
    standing: Standing
    result: Json = field(repr=False)
    differs: tuple[Differs, ...]

    @property
    def version(self) -> str:
        """Version of the program that made it."""
        return self.made.versions.get("underset", "")

    @property
    def version_now(self) -> str:
        """Version of this program."""
        return __version__

    @property
    def day(self) -> date:
        """The day on which its ages were counted."""
        return self.standing.today

    @property
    def at(self) -> datetime:
        """When it was written down."""
        return self.event.at


def plan_again(shop: Shop, name: str) -> PlanAgain:
    """Read a plan back with its records of then, make it anew from them and compare.

    Raises NotFoundError for a name the book does not have, InputError for a plan that was written
    down without all it was made from, StoreError for one that this version cannot read.
    """
    with shop.store.read() as tx:
        event, made = _found(tx, name)
        if made.figures is None or made.result is None or _PAPERS not in made.inputs:
            raise InputError(
                "plan", name, "a plan that was written down with all its papers",
                said("This one has only its result; its entry is number {seq}.", seq=event.seq),
            )  # fmt: skip
        workshop = _workshop(tx, made)
        wish = _read(Wish, tx.book.document(made.inputs[_QUESTION]), made)
        standing = _read(Standing, tx.book.document(made.inputs[_PAPERS]), made)
        figures = _read(Plan, tx.book.document(made.figures), made)
        result = tx.book.document(made.result)
    now = make_plan(workshop, wish, standing.today, standing)
    differs = tuple(differences(result, _found_now(now)))
    then = Planned(wish, figures, now.cases, {})
    return PlanAgain(event, made, workshop, then, standing, result, differs)


@dataclass(frozen=True, slots=True)
class KeptPlan:
    """A plan of the book as it was written down."""

    event: Event
    made: PlanMade
    result: Json = field(repr=False)


def kept_plan(shop: Shop, name: str) -> KeptPlan:
    """A plan with its result as it was written down: readable by every version.

    Raises NotFoundError for a name the book does not have, InputError for a plan without a result.
    """
    with shop.store.read() as tx:
        event, made = _found(tx, name)
        if made.result is None:
            raise InputError(
                "plan", name, "a plan with a result", said("See entry {seq}.", seq=event.seq)
            )
        return KeptPlan(event, made, tx.book.document(made.result))


def result_of(shop: Shop, name: str) -> Json:
    """Its result alone."""
    return kept_plan(shop, name).result


def _found(tx: Transaction, name: str) -> tuple[Event, PlanMade]:
    query = Query(kinds=(PlanMade.KIND,), subject=f"plan/{name}", oldest_first=True)
    event = next(iter(tx.book.find(query, limit=1).events), None)
    made = event.read() if event else None
    if event is None or not isinstance(made, PlanMade):
        newest = tx.book.find(Query(kinds=(PlanMade.KIND,)), limit=_NEAREST).events
        raise NotFoundError("plan", name, [str(e.payload["plan"]) for e in newest])
    return event, made


def _workshop(tx: Transaction, made: PlanMade) -> Workshop:
    """The records of then, by the hashes of their content."""
    parts: dict[str, Any] = {table: {} for table in _TABLES.values()}
    for what, sha in sorted(made.inputs.items()):
        kind, _, id = what.partition(" ")
        if kind not in RECORD_KINDS:
            continue
        record = tx.records.content(RECORD_KINDS[kind], sha)  # type: ignore[type-var]
        if kind in _ALONE:
            parts[_ALONE[kind]] = record
        else:
            parts[_TABLES[kind]][id] = record
    return Workshop(**parts)


def _read(model: type[Any], document: Any, made: PlanMade) -> Any:
    from pydantic import ValidationError

    try:
        return _form(model).validate_python(document)
    except ValidationError as error:
        raise StoreError(
            said(
                "{plan} was made by version {then} and cannot be drawn by version {now} ({count} "
                "fields do not fit). Its result can still be written as .json; draw its card with "
                "the version that made it.",
                plan=made.plan, then=made.versions.get("underset", "–"), now=__version__,
                count=error.error_count(),
            )
        ) from error  # fmt: skip


def _found_now(planned: Planned) -> Json:
    from underset.card import plan_json

    found: Json = json.loads(json.dumps(plan_json(planned.plan)))
    return found


def differences(then: Any, now: Any, place: str = "") -> Iterator[Differs]:
    """Where two results say different things; the name of the program itself is no figure."""
    if isinstance(then, dict) and isinstance(now, dict):
        for key in sorted({*then, *now} - ({"tool"} if not place else set())):
            at = f"{place}.{key}" if place else key
            yield from differences(then.get(key), now.get(key), at)
    elif isinstance(then, list) and isinstance(now, list):
        for n, (a, b) in enumerate(zip_longest(then, now)):
            yield from differences(a, b, f"{place}[{n}]")
    elif not _same(then, now):
        yield Differs(place, _short(then), _short(now))


def _same(then: Any, now: Any) -> bool:
    numbers = (int, float)
    if isinstance(then, bool) or isinstance(now, bool):
        return then is now
    if isinstance(then, numbers) and isinstance(now, numbers):
        return isclose(then, now, rel_tol=_ROUNDING, abs_tol=_ROUNDING)
    return bool(then == now)


def _short(value: Any) -> str:
    text = json.dumps(value, ensure_ascii=False)
    return text if len(text) <= 60 else text[:57] + "..."


# --- its card -------------------------------------------------------------------------------------


def card_again(again: PlanAgain, units: str, language: str, kind: str) -> bytes:
    """The card as .pdf, .svg or .html with the figures of then, signed by the version of then."""
    from underset.app import rendering
    from underset.app.plan_words import plan_in

    planned = again.planned
    if not again.differs:  # else its hold points too stay as they were written down
        planned = replace(planned, plan=plan_in(planned, language))
    else:
        note = _note(again, language)
        planned = replace(planned, plan=replace(planned.plan, notes=(*planned.plan.notes, note)))
    return rendering.card_of_then(
        again.workshop, planned, again.day.isoformat(), (units, language, kind), again.result
    )


def _note(again: PlanAgain, language: str) -> str:
    first = again.differs[0]
    return TOLD[language].format(
        now=__version__, then=again.version, day=again.day, count=len(again.differs),
        place=first.place, was=first.then, found=first.now,
    )  # fmt: skip
