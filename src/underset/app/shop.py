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
from typing import Any, TypeVar

from underset.app.planning import Planned, Wish, cases_for, make_plan
from underset.app.setting_at import At, judged_at
from underset.app.workshops import home, today
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
KEPT_PLANS = 64
T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Moment:
    """The workshop and its papers at one length of the book."""

    head: int
    day: date
    workshop: Workshop
    events: tuple[Event, ...]


class Shop:
    """Use cases on one store; see `open_shop`."""

    def __init__(self, store: Store, clock: Callable[[], date] = today) -> None:
        self.store, self._clock = store, clock
        self._lock = threading.Lock()
        self._moment: Moment | None = None
        self._plans: OrderedDict[object, Any] = OrderedDict()

    def close(self) -> None:
        """Close the store."""
        self.store.close()

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
            self._moment = fresh
            self._plans.clear()
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
        now = self.moment()
        day = now.workshop.day(now.day)
        standing = standing_of(now.workshop, now.events, today=day, person=person)
        rules = now.workshop.about
        return replace(
            standing,
            require_daily_check=rules.require_daily_check,
            require_authorisation=rules.require_authorisation,
        )

    # --- plans and settings ----------------------------------------------------------------------

    def plan(self, wish: Wish, person: str | None = None) -> Planned:
        """A plan against the book's standing, kept while nothing changes."""
        now = self.moment()
        make = lambda: make_plan(now.workshop, wish, now.day, self.standing(person))  # noqa: E731
        return self._kept(("plan", now.head, now.day, wish, person), make)

    def at(self, wish: Wish, at: At, person: str | None = None) -> Any:
        """The setting at one stop of one bay, judged: what a drag asks for."""
        now = self.moment()
        key = ("cases", now.head, now.day, wish, person)
        make = lambda: cases_for(now.workshop, wish, self.standing(person))  # noqa: E731
        return judged_at(self._kept(key, make)[at.bay], at)

    def _kept(self, key: object, make: Callable[[], T]) -> T:
        with self._lock:
            if key in self._plans:
                self._plans.move_to_end(key)
                found: T = self._plans[key]
                return found
        made = make()
        with self._lock:
            self._plans[key] = made
            while len(self._plans) > KEPT_PLANS:
                self._plans.popitem(last=False)
        return made

    # --- records ---------------------------------------------------------------------------------

    def record(self, kind: str, id: str) -> Kept[Any]:
        """A record with its version; NotFoundError names what is on file."""
        with self.store.read() as tx:
            return tx.records.get(RECORD_KINDS[kind], id)  # type: ignore[type-var]

    def listed(self, kind: str) -> tuple[Listed, ...]:
        """Records of one kind by id."""
        with self.store.read() as tx:
            return tx.records.listed(RECORD_KINDS[kind])  # type: ignore[type-var]

    def save(self, kind: str, id: str, record: Any, version: int, by: Actor) -> Kept[Any]:
        """Store a record over the version its author has read (0: new).

        Raises ConflictError when somebody else changed it meanwhile; nothing is overwritten.
        """
        del kind
        with self.store.write(by) as tx:
            return tx.records.put(id, record, version=version)

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
        """Put a whole workshop on file, all or nothing; returns how many records changed."""
        with self.store.write(by) as tx:
            count = 0
            for kind, table in _tables(workshop):
                heads = {x.id: x.version for x in tx.records.listed(kind)}
                changes = [Change(id, r, heads.get(id, 0)) for id, r in table.items()]
                count += tx.records.put_all(kind, changes)
            return count


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
) -> Shop:
    """Open the shop's store (UNDERSET_HOME, a path or a postgresql:// address).

    An empty store takes in the workshop of `seed`, when one is named.
    """
    place = where if where is not None else home() / FILE_NAME
    if isinstance(place, Path):
        place.parent.mkdir(parents=True, exist_ok=True)
    shop = Shop(open_store(place), clock)
    if seed is not None and shop.empty:
        shop.take_in(read_workshop(seed), Actor("underset", "first start"))
    return shop
