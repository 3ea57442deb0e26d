"""Every change of the store, committed, rolled back, and as a part of a greater one.

Each is read back through a second store on the same place, so that nothing counts that is not on
the disk.
"""

from __future__ import annotations

import json
import threading
from collections.abc import Callable, Iterator
from datetime import timedelta
from typing import Any

import pytest

from tests.store_cases import JORUN, TAVI, check, quayside
from underset.errors import AppError
from underset.records import Bay, Vehicle
from underset.store import Change, Store, Transaction, open_store

SHOP = quayside()
HATCH, SALOON = SHOP.vehicles["harbour-hatch"], SHOP.vehicles["ferry-saloon"]


def prepare(tx: Transaction) -> None:
    """What the changes below need to be there already."""
    tx.records.put("harbour-hatch", HATCH, version=0)
    tx.drafts.save("vehicle", "old", {"label": "old"}, version=0)
    tx.accounts.add("jorun", "Jorun", "834512", ["lead"])
    tx.accounts.begin_session("jorun", "tablet-2", timedelta(hours=1))


def changed_hatch() -> Vehicle:
    return HATCH.model_copy(update={"notes": "longer"})


CHANGES: dict[str, Callable[[Transaction], Any]] = {
    "append": lambda tx: tx.book.append(check()),
    "keep": lambda tx: tx.book.keep({"a": 1}),
    "put new": lambda tx: tx.records.put("ferry-saloon", SALOON, version=0),
    "put over": lambda tx: tx.records.put("harbour-hatch", changed_hatch(), version=1),
    "put all": lambda tx: tx.records.put_all(
        Bay, [Change(id, bay) for id, bay in SHOP.bays.items()]
    ),
    "remove": lambda tx: tx.records.remove(Vehicle, "harbour-hatch", version=1),
    "save draft": lambda tx: tx.drafts.save("vehicle", "new", {"label": "x"}, version=0),
    "save draft over": lambda tx: tx.drafts.save("vehicle", "old", {"label": "y"}, version=1),
    "discard draft": lambda tx: tx.drafts.discard("vehicle", "old", version=1),
    "add account": lambda tx: tx.accounts.add("tavi", "Tavi", "918273", ["technician"]),
    "set secret": lambda tx: tx.accounts.set_secret("jorun", "555123", version=1),
    "set roles": lambda tx: tx.accounts.set_roles("jorun", ["technician"], version=1),
    "close account": lambda tx: tx.accounts.set_active("jorun", False, version=1),
    "begin attempt": lambda tx: tx.accounts.begin_attempt("jorun"),
    "begin session": lambda tx: tx.accounts.begin_session("jorun", "", timedelta(hours=1)),
    "end sessions": lambda tx: tx.accounts.end_all("jorun"),
}


class Abandoned(Exception):
    """Raised in the middle of a transaction."""


@pytest.fixture
def prepared(store: Store) -> Store:
    with store.write(JORUN) as tx:
        prepare(tx)
    return store


@pytest.fixture
def second(place: str, prepared: Store) -> Iterator[Store]:
    """The same store opened once more: what others see."""
    with open_store(place) as opened:
        yield opened


def seen(store: Store) -> dict[str, list[tuple[Any, ...]]]:
    """Every row of every table."""
    from underset.store.tables import METADATA

    with store.read() as tx:
        return {
            table.name: [tuple(row) for row in tx.work.conn.execute(table.select())]
            for table in METADATA.sorted_tables
        }


@pytest.mark.parametrize("what", CHANGES)
def test_a_change_is_there_once_committed_and_not_before(
    prepared: Store, second: Store, what: str
) -> None:
    before = seen(second)
    with prepared.write(JORUN) as tx:
        CHANGES[what](tx)
        assert seen(second) == before
    assert seen(second) != before
    with second.read() as tx:
        assert tx.verify().whole


def test_nothing_of_an_abandoned_change_is_left(prepared: Store, second: Store) -> None:
    before = seen(second)
    for what, change in CHANGES.items():
        with pytest.raises(Abandoned), prepared.write(JORUN) as tx:
            change(tx)
            raise Abandoned
        assert seen(second) == before, what


def test_a_part_may_fail_alone_and_the_rest_is_stored(prepared: Store, second: Store) -> None:
    for what, change in CHANGES.items():
        before = seen(second)
        with prepared.write(JORUN) as tx:
            tx.book.append(check(1))
            with pytest.raises(Abandoned), prepared.write(TAVI) as part:
                change(part)
                raise Abandoned
            tx.book.append(check(2))
        assert added(before, seen(second)) == ["2026-11-21", "2026-11-22"], what
    with second.read() as tx:
        assert tx.verify().whole


def added(before: dict[str, Any], after: dict[str, Any]) -> list[str]:
    """Days of the events that were added, when events are all that changed."""
    told = {"book", "events", "event_subjects"}
    assert {k: v for k, v in before.items() if k not in told} == {
        k: v for k, v in after.items() if k not in told
    }
    rows = after["events"][len(before["events"]) :]
    return [json.loads(payload)["on"] for (*_, payload, _, _) in rows]


def test_a_part_that_ends_well_goes_when_the_whole_goes(prepared: Store, second: Store) -> None:
    before = seen(second)
    for what, change in CHANGES.items():
        with pytest.raises(Abandoned), prepared.write(JORUN):
            with prepared.write(TAVI) as part:
                change(part)
            raise Abandoned
        assert seen(second) == before, what


def test_a_part_is_signed_by_whoever_does_it(prepared: Store) -> None:
    with prepared.write(JORUN) as tx:
        with prepared.write(TAVI) as part:
            inner = part.book.append(check())
        outer = tx.book.append(check(1))
    assert (inner.person, outer.person) == ("tavi", "jorun")
    assert outer.previous == inner.hash


def test_the_error_that_ended_a_transaction_is_the_one_that_is_told(prepared: Store) -> None:
    with pytest.raises(AppError, match="has an account already"), prepared.write(JORUN) as tx:
        tx.accounts.add("jorun", "Jorun", "834512", ["lead"])
    with prepared.write(JORUN) as tx:  # and the store goes on
        tx.book.append(check())


def test_a_reader_sees_one_moment_throughout(prepared: Store, second: Store) -> None:
    with second.read() as tx:
        before = tx.book.head()
        with prepared.write(JORUN) as writing:
            writing.book.append(check())
        assert tx.book.head() == before
    with second.read() as tx:
        assert tx.book.head().seq == before.seq + 1


def test_a_writer_in_one_thread_does_not_become_part_of_another(prepared: Store) -> None:
    order: list[str] = []

    def other() -> None:
        with prepared.write(TAVI) as tx:
            order.append("other began")
            tx.book.append(check(1))

    with prepared.write(JORUN) as tx:
        thread = threading.Thread(target=other)
        thread.start()
        thread.join(timeout=0.2)
        tx.book.append(check())
        order.append("first ends")
    thread.join()
    assert order == ["first ends", "other began"]
    with prepared.read() as tx:
        assert [e.person for e in tx.book.find(limit=2).events] == ["tavi", "jorun"]
