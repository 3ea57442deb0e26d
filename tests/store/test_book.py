"""The book: what goes in comes out, once, in order, and is found again."""

from __future__ import annotations

import itertools
import random
from datetime import UTC, datetime, timedelta

import pytest

from tests.store_cases import DAY, JORUN, PAYLOADS, TAVI, check
from underset.errors import ConflictError, InputError, InternalError, NotFoundError, StoreError
from underset.store import (
    KINDS,
    Actor,
    DailyCheck,
    Entry,
    Event,
    Payload,
    Query,
    Remark,
    Store,
    Training,
)


def all_events(store: Store) -> list[Event]:
    with store.read() as tx:
        return list(tx.book.find(Query(oldest_first=True), limit=500).events)


# --- what goes in comes out -----------------------------------------------------------------------


def test_the_cases_cover_every_kind_of_event() -> None:
    assert set(PAYLOADS) == set(KINDS)


def test_every_kind_of_event_reads_back_as_it_was_said(store: Store) -> None:
    with store.write(JORUN) as tx:
        said = [tx.book.append(payload) for payload in PAYLOADS.values()]
    found = all_events(store)
    assert [event.read() for event in found] == list(PAYLOADS.values())
    assert found == said
    assert [event.seq for event in found] == list(range(1, len(PAYLOADS) + 1))


def test_an_event_names_person_device_and_time_in_utc(store: Store, clock: object) -> None:
    clock.now = datetime(2026, 3, 1, 9, 30, 0, 42, tzinfo=UTC) + timedelta(hours=0)
    with store.write(JORUN) as tx:
        tx.book.append(check())
    (event,) = all_events(store)
    assert (event.person, event.device) == ("jorun", "tablet-2")
    assert event.at == datetime(2026, 3, 1, 9, 30, 0, 42, tzinfo=UTC)


def test_events_follow_each_other_by_hash(store: Store) -> None:
    with store.write(JORUN) as tx:
        for day in range(3):
            tx.book.append(check(day))
        head = tx.book.head()
    events = all_events(store)
    assert all(b.previous == a.hash for a, b in itertools.pairwise(events))
    assert (head.seq, head.hash) == (events[-1].seq, events[-1].hash)


def test_two_books_never_share_a_first_link(store: Store, tmp_path) -> None:
    from underset.store import open_store

    with open_store(tmp_path / "other.db") as other:
        links = set()
        for one in (store, other):
            with one.write(JORUN) as tx:
                links.add(tx.book.append(check()).previous)
    assert len(links) == 2


def test_a_reading_transaction_cannot_append(local: Store) -> None:
    with pytest.raises(InternalError), local.read() as tx:
        tx.book.append(check())
    assert all_events(local) == []


def test_reading_transactions_are_refused_by_the_database_too(store: Store) -> None:
    from sqlalchemy import text

    with pytest.raises(StoreError, match="may only be read"), store.read() as tx:
        tx.work.conn.execute(text("UPDATE book SET seq = 7"))


@pytest.mark.parametrize("person", ["", "a\nb", "x" * 121, "nul\0"])
def test_a_person_has_a_printable_name(person: str) -> None:
    with pytest.raises(InputError, match="person"):
        Actor(person)


def test_an_unknown_number_is_told_with_what_there_is(local: Store) -> None:
    with local.read() as tx, pytest.raises(NotFoundError, match="1 to 0"):
        tx.book.get(1)


# --- once, however often it is sent ---------------------------------------------------------------


def test_an_event_sent_again_with_its_key_counts_once(store: Store) -> None:
    with store.write(JORUN) as tx:
        first = tx.book.append(check(), key="tablet-2/17")
    with store.write(JORUN) as tx:
        again = tx.book.append(check(), key="tablet-2/17")
        assert tx.book.under_key("tablet-2/17") == first
    assert again == first
    assert all_events(store) == [first]


def test_a_key_twice_in_one_batch_counts_once(store: Store) -> None:
    with store.write(JORUN) as tx:
        events = tx.book.append_all(
            [Entry(check(), "a"), Entry(check(1), "b"), Entry(check(), "a"), Entry(check(2))]
        )
    assert [event.seq for event in events] == [1, 2, 1, 3]
    assert len(all_events(store)) == 3


@pytest.mark.parametrize(
    ("other", "by"),
    [(check(1), JORUN), (Training(person="tavi", on=DAY, by="x"), JORUN), (check(), TAVI)],
    ids=["other content", "other kind", "other person"],
)
def test_a_key_never_stands_for_two_things(store: Store, other: Payload, by: Actor) -> None:
    with store.write(JORUN) as tx:
        tx.book.append(check(), key="k")
    with pytest.raises(ConflictError, match="already stands for event 1"), store.write(by) as tx:
        tx.book.append(check(5))
        tx.book.append(other, key="k")
    assert len(all_events(store)) == 1


# --- found again ----------------------------------------------------------------------------------

BAYS, PEOPLE = ("north", "south", "yard"), (JORUN, TAVI, Actor("oleva"))


@pytest.fixture
def mixed(store: Store, clock: object) -> list[Event]:
    """Two hundred events of three kinds; the clock goes back twice, as clocks do."""
    draw = random.Random(11)
    for number in range(50):
        clock.move(minutes=-90 if number in (15, 35) else draw.choice([0, 1, 7]))
        with store.write(draw.choice(PEOPLE)) as tx:
            for _ in range(4):
                tx.book.append(anything(draw))
    return all_events(store)


def anything(draw: random.Random) -> Payload:
    kind, bay, person = draw.choice("ctr"), draw.choice(BAYS), draw.choice(PEOPLE).person
    if kind == "c":
        return check(bay=bay)
    if kind == "t":
        return Training(person=person, on=DAY, by="x")
    return Remark(subject=f"bay/{bay}", text=person)


def wanted(events: list[Event], query: Query) -> list[Event]:
    """The same search done in plain Python: the oracle."""
    found = [
        event
        for event in events
        if (not query.kinds or event.kind in query.kinds)
        and (not query.subject or query.subject in event.read().about())
        and (not query.person or event.person == query.person)
        and (query.since is None or event.at >= query.since)
        and (query.until is None or event.at < query.until)
    ]
    return sorted(found, key=lambda e: (e.at, e.seq), reverse=not query.oldest_first)


def paged(store: Store, query: Query, size: int) -> list[Event]:
    events: list[Event] = []
    after = ""
    while True:
        with store.read() as tx:
            page = tx.book.find(query, after=after, limit=size)
        events += page.events
        if not page.more:
            return events
        assert len(page.events) == size
        after = page.more


def test_every_combination_of_search_and_page_agrees_with_a_plain_filter(
    store: Store, mixed: list[Event]
) -> None:
    middle, later = mixed[70].at, mixed[150].at
    combinations = itertools.product(
        [(), ("daily check",), ("training", "remark")],
        ["", "bay/north", "person/tavi"],
        ["", "jorun"],
        [(None, None), (middle, later)],
        [False, True],
    )
    sizes = itertools.cycle([1, 7, 50, 500])
    for (kinds, subject, person, (since, until), oldest), size in zip(
        combinations, sizes, strict=False
    ):
        query = Query(kinds, subject, person, since, until, oldest)
        if size == 1 and not subject:
            size = 9
        assert paged(store, query, size) == wanted(mixed, query), (query, size)


def test_events_stored_between_two_pages_neither_repeat_nor_hide_others(
    store: Store, mixed: list[Event], clock: object
) -> None:
    with store.read() as tx:
        first = tx.book.find(Query(), limit=50)
    clock.move(days=1)
    with store.write(JORUN) as tx:
        tx.book.append(check())
    with store.read() as tx:
        second = tx.book.find(Query(), after=first.more, limit=50)
    assert [*first.events, *second.events] == wanted(mixed, Query())[:100]


def test_the_last_event_on_each_subject(store: Store, mixed: list[Event]) -> None:
    with store.read() as tx:
        found = tx.book.latest_of("daily check", ["bay/north", "bay/south", "bay/nowhere"])
    checks = [e for e in mixed if e.kind == "daily check"]
    last = [max((e for e in checks if e.subject == s), key=lambda e: (e.at, e.seq)) for s in
            ("bay/north", "bay/south")]  # fmt: skip
    assert list(found) == sorted(last, key=lambda e: e.seq)


@pytest.mark.parametrize(
    "after",
    ["nonsense", "2026-01-01_5", "2026-01-01T00:00:00.000000Z_x", "_", "\0", "1' OR '1'='1"],
)
def test_a_cursor_that_was_never_given_is_refused(local: Store, after: str) -> None:
    with local.read() as tx, pytest.raises(InputError, match="cursor"):
        tx.book.find(Query(), after=after)


@pytest.mark.parametrize(
    "query", [Query(kinds=("gossip",)), Query(subject="a\0b"), Query(person="\n")]
)
def test_a_search_that_makes_no_sense_is_refused(local: Store, query: Query) -> None:
    with local.read() as tx, pytest.raises(InputError):
        tx.book.find(query)


@pytest.mark.parametrize("limit", [0, -1, 501])
def test_a_page_has_a_sensible_size(local: Store, limit: int) -> None:
    with local.read() as tx, pytest.raises(InputError, match="limit"):
        tx.book.find(Query(), limit=limit)


# --- documents ------------------------------------------------------------------------------------


def test_a_document_is_kept_once_under_its_hash(store: Store) -> None:
    with store.write(JORUN) as tx:
        one = tx.book.keep({"b": 1, "a": [1.5, "ü", None]})
        two = tx.book.keep({"a": [1.5, "ü", None], "b": 1})
        other = tx.book.keep({"b": 2})
    assert one == two != other
    with store.read() as tx:
        assert tx.book.document(one) == {"a": [1.5, "ü", None], "b": 1}
        with pytest.raises(NotFoundError):
            tx.book.document("0" * 64)


@pytest.mark.parametrize("content", [float("nan"), {"x": float("inf")}, "\ud800", {1, 2}])
def test_what_json_cannot_hold_is_refused(local: Store, content: object) -> None:
    with pytest.raises(InputError, match="plain JSON"), local.write(JORUN) as tx:
        tx.book.keep(content)


def test_endless_nesting_is_refused(local: Store) -> None:
    nested: list[object] = []
    for _ in range(100_000):
        nested = [nested]
    with pytest.raises(InputError, match="plain JSON"), local.write(JORUN) as tx:
        tx.book.keep(nested)


def test_daily_check_of_the_cases_is_typed() -> None:
    assert isinstance(PAYLOADS["daily check"], DailyCheck)
