"""A workshop kept in the store: records with versions, the book, plans and settings on demand.

One Shop serves many threads. What was read is kept until the book grows, so that a drag or a page
asks the database one small question only.
"""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import Any, Self, TypeVar

from underset.app.planning import Planned, Wish, cases_for, make_plan
from underset.app.setting_at import At, Held, There, held, judged_at
from underset.app.workshops import home, today
from underset.errors import InputErrors
from underset.records import done_ahead, done_ahead_in
from underset.records.policy import Policy
from underset.records.reading import read_workshop
from underset.records.workshop import Workshop
from underset.setting.standing import Standing
from underset.store import (
    Account,
    Actor,
    Change,
    Event,
    Kept,
    Listed,
    Page,
    Payload,
    Query,
    Store,
    open_store,
    standing_events,
    standing_of,
)
from underset.store.records import RECORD_KINDS

__all__ = ["Account", "Actor", "Moment", "Shop", "open_shop"]

FILE_NAME = "underset.db"
KEPT_PLANS, KEPT_STOPS = 64, 256
T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Moment:
    """The workshop and its papers at one length of the book.

    `serial` counts how often they really changed: a tick in the book changes no plan.
    """

    head: int
    day: date
    workshop: Workshop
    events: tuple[Event, ...]
    serial: int = 0


class Keeper:
    """The newest results by what they were made from; each is made once, others wait for it."""

    def __init__(self, most: int) -> None:
        self._most, self._lock = most, threading.Lock()
        self._kept: OrderedDict[object, Any] = OrderedDict()
        self._making: dict[object, threading.Lock] = {}

    def get(self, key: object, make: Callable[[], T]) -> T:
        """What is kept under a key; made and kept when it is not there."""
        with self._lock:
            if key in self._kept:
                there: T = self._found(key)
                return there
            turn = self._making.setdefault(key, threading.Lock())
        with turn:
            with self._lock:
                if key in self._kept:
                    meanwhile: T = self._found(key)
                    return meanwhile
            try:
                return self._keep(key, make())
            finally:
                with self._lock:
                    self._making.pop(key, None)

    def _found(self, key: object) -> Any:
        self._kept.move_to_end(key)
        return self._kept[key]

    def _keep(self, key: object, made: T) -> T:
        with self._lock:
            self._kept[key] = made
            while len(self._kept) > self._most:
                self._kept.popitem(last=False)
        return made


class Shop:
    """Use cases on one store; see `open_shop`."""

    def __init__(self, store: Store, clock: Callable[[], date] = today) -> None:
        self.store, self._clock = store, clock
        self._lock = threading.Lock()
        self._moment: Moment | None = None
        self._plans, self._stops = Keeper(KEPT_PLANS), Keeper(KEPT_STOPS)

    def close(self) -> None:
        """Close the store."""
        self.store.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    # --- what is true now ------------------------------------------------------------------------

    def moment(self) -> Moment:
        """The workshop as it is now; read again only when the book has grown or the day changed."""
        with self.store.read() as tx:
            head, day = tx.book.head().seq, self._clock()
            kept = self._moment
            if kept is not None and (kept.head, kept.day) == (head, day):
                return kept
            workshop = tx.records.workshop()
            fresh = Moment(head, day, workshop, standing_events(tx.book, workshop))
        with self._lock:
            return self._take(fresh)

    def _take(self, fresh: Moment) -> Moment:
        kept = self._moment
        if kept is None or _papers(kept) != _papers(fresh):
            self._plans, self._stops = Keeper(KEPT_PLANS), Keeper(KEPT_STOPS)
            fresh = replace(fresh, serial=kept.serial + 1 if kept else 0)
        else:
            fresh = replace(fresh, serial=kept.serial)
        self._moment = fresh
        return fresh

    def workshop(self) -> Workshop:
        """Everything on file."""
        return self.moment().workshop

    @property
    def empty(self) -> bool:
        """Whether nothing is on file yet."""
        with self.store.read() as tx:
            return not any(tx.records.listed(kind) for kind in RECORD_KINDS.values())  # type: ignore[type-var]

    def day(self) -> date:
        """The day on which ages are counted."""
        now = self.moment()
        return now.workshop.day(now.day)

    def standing(self, person: str | None = None) -> Standing:
        """What the book says today: out of service, overdue, authorised."""
        return _standing(self.moment(), person)

    # --- plans and settings ----------------------------------------------------------------------

    def plan(self, wish: Wish, person: str | None = None) -> Planned:
        """A plan against the book's standing, kept while nothing changes."""
        return self.plan_now(wish, person)[1]

    def plan_now(self, wish: Wish, person: str | None = None) -> tuple[Workshop, Planned]:
        """A plan with the very records it was made from."""
        now = self.moment()
        make = lambda: make_plan(now.workshop, wish, now.day, _standing(now, person))  # noqa: E731
        return now.workshop, self._plans.get(("plan", now.serial, wish, person), make)

    def study(self, name: str, make: Callable[[Moment], T]) -> T:
        """A study of everything on file, kept while nothing changes."""
        now = self.moment()
        return self._plans.get(("study", now.serial, name), lambda: make(now))

    def at(self, wish: Wish, at: At, person: str | None = None) -> There:
        """The setting at one stop of one bay, judged: what a drag asks for."""
        now = self.moment()
        approach = (wish, person, at.bay, at.heading, at.point_set)

        def make() -> Held:
            case = cases_for(now.workshop, wish, _standing(now, person))[at.bay]
            return held(case, at.heading, at.point_set)

        def judge() -> There:
            return judged_at(self._plans.get(("held", now.serial, *approach), make), at)

        return self._stops.get((now.serial, wish, person, at), judge)

    def kept(self, key: tuple[object, ...], make: Callable[[], T]) -> T:
        """A dear result of some other use case, kept while workshop and papers stay the same."""
        return self._plans.get(("kept", self.moment().serial, *key), make)

    # --- records ---------------------------------------------------------------------------------

    def record(self, kind: str, id: str) -> Kept[Any]:
        """A record with its version; NotFoundError names what is on file."""
        with self.store.read() as tx:
            return tx.records.get(RECORD_KINDS[kind], id)

    def listed(self, kind: str) -> tuple[Listed, ...]:
        """Records of one kind by id."""
        with self.store.read() as tx:
            return tx.records.listed(RECORD_KINDS[kind])  # type: ignore[type-var]

    def save(self, kind: str, id: str, record: Any, version: int, by: Actor) -> Kept[Any]:
        """Store a record over the version its author has read (0: new).

        Raises ConflictError when somebody else changed it meanwhile; nothing is overwritten.
        InputErrors for what it says was done on a day to come.
        """
        del kind
        self.refuse_ahead(record)
        with self.store.write(by) as tx:
            return tx.records.put(id, record, version=version)

    def refuse_ahead(self, record: Any) -> None:
        """Raise InputErrors for what a record says was done on a day after the shop's own."""
        if wrong := done_ahead(record, self.day()):
            raise InputErrors(wrong)

    def remove(self, kind: str, id: str, version: int, by: Actor) -> None:
        """Take a record off the file; its versions stay in the book."""
        with self.store.write(by) as tx:
            tx.records.remove(RECORD_KINDS[kind], id, version=version)  # type: ignore[type-var]

    # --- the book --------------------------------------------------------------------------------

    def write_down(self, payload: Payload, by: Actor, key: str = "") -> Event:
        """Append one event; under the same key it counts once, however often sent."""
        with self.store.write(by) as tx:
            return tx.book.append(payload, key=key)

    def events(self, query: Query, after: str = "", limit: int = 50) -> Page:
        """A page of the book."""
        with self.store.read() as tx:
            return tx.book.find(query, after=after, limit=limit)

    # --- who -------------------------------------------------------------------------------------

    def account(self, token: str) -> Account | None:
        """The account signed in under a token, or nobody."""
        if not token:
            return None
        with self.store.read() as tx:
            session = tx.accounts.session(token)
        return session.account if session else None

    def has_accounts(self) -> bool:
        """Whether anybody may sign in."""
        with self.store.read() as tx:
            return any(a.active for a in tx.accounts.listed())

    # --- whole workshops -------------------------------------------------------------------------

    def take_in(self, workshop: Workshop, by: Actor) -> int:
        """Put a whole workshop on file, all or nothing; returns how many records changed.

        Raises InputErrors for what its records say was done on a day to come.
        """
        if wrong := done_ahead_in(workshop, workshop.day(self._clock())):
            raise InputErrors(wrong)
        with self.store.write(by) as tx:
            count = 0
            for kind, table in _tables(workshop):
                heads = {x.id: x.version for x in tx.records.listed(kind)}
                changes = [Change(id, r, heads.get(id, 0)) for id, r in table.items()]
                count += tx.records.put_all(kind, changes)
            return count


def _standing(now: Moment, person: str | None) -> Standing:
    day, rules = now.workshop.day(now.day), now.workshop.about
    return replace(
        standing_of(now.workshop, now.events, today=day, person=person),
        require_daily_check=rules.require_daily_check,
        require_authorisation=rules.require_authorisation,
    )


def _papers(moment: Moment) -> tuple[date, Workshop, tuple[Event, ...]]:
    return moment.day, moment.workshop, moment.events


def _tables(workshop: Workshop) -> list[tuple[Any, dict[str, Any]]]:
    kinds = RECORD_KINDS
    return [
        (kinds["workshop"], {"workshop": workshop.about}),
        (Policy, {"policy": workshop.policy}),
        (kinds["adapter"], dict(workshop.adapters)),
        (kinds["bay"], dict(workshop.bays)),
        (kinds["vehicle"], dict(workshop.vehicles)),
        (kinds["job"], dict(workshop.jobs)),
    ]


def open_shop(
    where: str | Path | None = None,
    *,
    seed: Path | None = None,
    clock: Callable[[], date] = today,
    create: bool = True,
) -> Shop:
    """Open the shop's store (UNDERSET_HOME, a path or a postgresql:// address).

    An empty store takes in the workshop of `seed`, when one is named; `create=False` refuses one
    that is not there.
    """
    place = where if where is not None else home() / FILE_NAME
    if isinstance(place, Path):
        place.parent.mkdir(parents=True, exist_ok=True)
    shop = Shop(open_store(place, create=create), clock)
    if seed is not None and shop.empty:
        shop.take_in(read_workshop(seed), Actor("underset", "first start"))
    return shop
