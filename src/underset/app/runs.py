"""Hold-point runs: a plan kept with its inputs, then ticks and signatures until arms out."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from secrets import token_hex
from typing import Any

from underset.app.kept_plans import papers_of, write_plan
from underset.app.planning import Wish
from underset.app.shop import Actor, Shop
from underset.errors import ConflictError, InputError, NotFoundError
from underset.errors import said as told
from underset.job import hold_points
from underset.setting import HoldPoint, Outcome
from underset.store import (
    Event,
    HoldPointSigned,
    HoldPointTicked,
    Query,
    RunFinished,
    RunStarted,
    Transaction,
)

MOST_EVENTS = 500


@dataclass(frozen=True, slots=True)
class PointDone:
    """One hold point of a run and what people said at it; `answer` is empty while it is open."""

    point: HoldPoint
    answer: str
    person: str
    at: datetime | None
    note: str


@dataclass(frozen=True, slots=True)
class Run:
    """A run as the book tells it."""

    id: str
    vehicle: str
    bay: str
    job: str | None
    plan: str | None
    invented: bool
    points: tuple[PointDone, ...]
    ended: str

    @property
    def next_open(self) -> int | None:
        """Index of the first point nobody has answered."""
        return next((i for i, p in enumerate(self.points) if not p.answer), None)

    @property
    def stopped(self) -> PointDone | None:
        """The first point that was found not right: down and begin again."""
        return next((p for p in self.points if p.answer == "not right"), None)


def start_run(shop: Shop, wish: Wish, by: Actor, language: str = "en", *, key: str = "") -> str:
    """Start the run of a planned lift in one bay; under one key it is started once.

    Raises InputError when the plan is not usable (a run is for settings that hold or want
    watching), ConflictError for a key that stands for something else.
    """
    key = key or token_hex(8)
    with shop.store.read() as tx:
        if name := _started(tx, key, wish, by):
            return name
    workshop, planned = shop.plan_now(wish, by.person)
    best, case = planned.plan.best, planned.case
    if planned.plan.outcome is not Outcome.FOUND or best is None or case is None:
        raise InputError(
            "plan", planned.plan.outcome.value, "only a usable setting is lifted",
            "Open the plan and read what stops it.",
        )  # fmt: skip
    papers, points = papers_of(workshop, planned), hold_points(case, best, language)
    with shop.store.write(by) as tx:
        if name := _started(tx, key, wish, by):  # by the same tablet, meanwhile
            return name
        started = RunStarted(
            run=f"run-{token_hex(6)}", plan=write_plan(tx, planned, papers), vehicle=wish.vehicle,
            bay=best.setting.bay, job=wish.job, points=tuple(p.id for p in points),
            invented=planned.plan.invented,
        )  # fmt: skip
        tx.book.append(started, key=key)
    return started.run


def _started(tx: Transaction, key: str, wish: Wish, by: Actor) -> str:
    """The run that was started under a key, or nothing."""
    event = tx.book.under_key(key)
    if event is None:
        return ""
    said = event.read()
    asked = (by.person, wish.vehicle, wish.job, wish.bays)
    if not isinstance(said, RunStarted) or asked != (
        event.person, said.vehicle, said.job, (said.bay,)
    ):  # fmt: skip
        raise ConflictError(
            told(
                "The key {key!r} stands for another entry of the book, number {seq}. "
                "Nothing was started; open the plan anew and start from there.",
                key=key, seq=event.seq,
            )
        )  # fmt: skip
    return said.run


def run_of(shop: Shop, name: str, language: str = "en") -> Run:
    """A run with every answer so far. Raises NotFoundError for a name the book does not have."""
    events = _events(shop, name)
    started = next((e.read() for e in events if e.kind == RunStarted.KIND), None)
    if not isinstance(started, RunStarted):
        raise NotFoundError("run", name, [w.id for w in waiting(shop)])
    known = {p.id: p for p in _points(shop, started, language)}
    answers = {e.read().point: e for e in events if e.kind in _ANSWERS}  # type: ignore[attr-defined]
    ended = next((e.read() for e in events if e.kind == RunFinished.KIND), None)
    return Run(
        id=name,
        vehicle=started.vehicle,
        bay=started.bay,
        job=started.job,
        plan=started.plan,
        invented=started.invented,
        points=tuple(
            _done(known.get(p, HoldPoint(p, p, "")), answers.get(p)) for p in started.points
        ),
        ended=ended.ended if isinstance(ended, RunFinished) else "",
    )


_ANSWERS = (HoldPointTicked.KIND, HoldPointSigned.KIND)


def _events(shop: Shop, run: str) -> tuple[Event, ...]:
    page = shop.events(Query(subject=f"run/{run}", oldest_first=True), limit=MOST_EVENTS)
    return page.events


def _points(shop: Shop, started: RunStarted, language: str) -> tuple[HoldPoint, ...]:
    """The points in words, from the plan made again; a point that has changed shows its id."""
    wish = Wish(started.vehicle, started.job, (started.bay,))
    planned = shop.plan(wish)
    if planned.case is None or planned.plan.best is None:
        return ()
    return hold_points(planned.case, planned.plan.best, language)


def _done(point: HoldPoint, event: Event | None) -> PointDone:
    if event is None:
        return PointDone(point, "", "", None, "")
    said: Any = event.read()
    answer = said.answer if isinstance(said, HoldPointTicked) else "signed"
    person = said.person if isinstance(said, HoldPointSigned) else event.person
    return PointDone(point, answer, person, event.at, said.note)


def answer(  # noqa: PLR0913  (Decision: an answer is these six things)
    shop: Shop, run: str, point: str, right: bool, by: Actor, *, key: str, note: str = ""
) -> Run:
    """Tick a hold point, or say that it is not right. Under one key it counts once."""
    now = _open_run(shop, run, point)
    if now.point.sign and right:
        said: Any = HoldPointSigned(
            run=run,
            point=point,
            person=by.person,
            means="session",
            note=note,
            shown=now.point.facts,
        )
    else:
        said = HoldPointTicked(
            run=run, point=point, answer="done" if right else "not right", note=note,
            shown=now.point.facts,
        )  # fmt: skip
    shop.write_down(said, by, key)
    return run_of(shop, run)


def _open_run(shop: Shop, run: str, point: str) -> PointDone:
    told = run_of(shop, run)
    if told.ended:
        raise InputError("run", run, "this run has ended", "Start a new one.")
    found = next((p for p in told.points if p.point.id == point), None)
    if found is None:
        raise NotFoundError("hold point", point, [p.point.id for p in told.points])
    return found


def finish(shop: Shop, run: str, by: Actor, *, key: str, note: str = "") -> Run:
    """End a run: down when every point is answered right, else stopped."""
    told = run_of(shop, run)
    down = told.next_open is None and told.stopped is None
    shop.write_down(RunFinished(run=run, ended="down" if down else "stopped", note=note), by, key)
    return run_of(shop, run)


@dataclass(frozen=True, slots=True)
class Waiting:
    """A run that has not ended, as a list shows it."""

    id: str
    vehicle: str
    bay: str
    job: str
    person: str
    at: datetime


def waiting(shop: Shop, most: int = 50) -> tuple[Waiting, ...]:
    """Runs among the newest `most` that have not ended, newest first."""
    started = shop.events(Query(kinds=(RunStarted.KIND,)), limit=most).events
    ended = shop.events(Query(kinds=(RunFinished.KIND,)), limit=MOST_EVENTS).events
    over = {str(e.payload["run"]) for e in ended}
    lines = ((e, e.payload) for e in started if str(e.payload["run"]) not in over)
    return tuple(
        Waiting(p["run"], p["vehicle"], p["bay"], p.get("job") or "", e.person, e.at)
        for e, p in lines
    )


def open_runs(shop: Shop, most: int = 50) -> tuple[Run, ...]:
    """Runs among the newest `most` that have not ended, with every answer, newest first."""
    return tuple(run_of(shop, w.id) for w in waiting(shop, most))
