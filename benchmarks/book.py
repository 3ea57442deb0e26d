"""How fast the book lists, searches, grows and is checked, at 2,000, 20,000 and 200,000 events.

    python benchmarks/book.py                      an SQLite store in a temporary folder
    python benchmarks/book.py postgresql://...     an empty PostgreSQL database

Prints the median of each search in milliseconds; a good index keeps a row of the table level.
"""

from __future__ import annotations

import random
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

from underset.store import (
    Actor,
    DailyCheck,
    Entry,
    HoldPointSigned,
    HoldPointTicked,
    Payload,
    PlanMade,
    Query,
    RunStarted,
    Store,
    TakenOut,
    Training,
    open_store,
)

SIZES = (2_000, 20_000, 200_000)
BAYS = [f"bay-{n}" for n in range(8)]
PEOPLE = [f"person-{n}" for n in range(12)]
VEHICLES = [f"vehicle-{n}" for n in range(300)]
START = datetime(2020, 1, 1, 7, 0, tzinfo=UTC)
SHA = "0" * 64
ROUNDS = 60


class Clock:
    """A working day's clock: moves on by some seconds with every look."""

    def __init__(self) -> None:
        self.now = START

    def __call__(self) -> datetime:
        self.now += timedelta(minutes=30)
        return self.now


def main(arguments: list[str]) -> None:
    with tempfile.TemporaryDirectory(prefix="underset-bench-") as folder:
        place = arguments[0] if arguments else str(Path(folder) / "book.db")
        clock = Clock()
        with open_store(place, clock=clock) as store:
            columns = []
            for size in SIZES:
                seconds = fill(store, size)
                print(f"{size} events, filled at {seconds * 1000:.2f} ms an event")
                columns.append(measure(store, clock))
            show(columns)
            check(store)


# --- filling --------------------------------------------------------------------------------------


def fill(store: Store, size: int) -> float:
    """Grow the book to a size in batches by one person each; seconds for each new event."""
    draw = random.Random(size)
    with store.read() as tx:
        there = tx.book.head().seq
    began = time.perf_counter()
    for at in range(there, size, 500):
        with store.write(Actor(draw.choice(PEOPLE), "tablet")) as tx:
            count = min(500, size - at)
            tx.book.append_all([Entry(anything(draw, at + n)) for n in range(count)])
    return (time.perf_counter() - began) / max(size - there, 1)


def anything(draw: random.Random, number: int) -> Payload:
    """Mostly ticks, as in a real book; rarely what changes the standing."""
    run, bay, vehicle = f"run-{number // 12}", draw.choice(BAYS), draw.choice(VEHICLES)
    day = date(2020, 1, 1) + timedelta(days=number // 100)
    kind = draw.choices(range(7), (70, 12, 8, 5, 4, 0.5, 0.5))[0]
    makers: list[Callable[[], Payload]] = [
        lambda: HoldPointTicked(run=run, point=f"p-{number % 12}", answer="done"),
        lambda: HoldPointSigned(run=run, point="p", person=draw.choice(PEOPLE), means="PIN"),
        lambda: RunStarted(run=run, vehicle=vehicle, bay=bay, points=("touch", "rock")),
        lambda: PlanMade(
            plan=f"plan-{number}",
            vehicle=vehicle,
            bay=bay,
            outcome="found",
            inputs={"vehicle": SHA},
            versions={"underset": "0"},
        ),
        lambda: DailyCheck(bay=bay, on=day, fit=True),
        lambda: TakenOut(thing="adapter", id="pad", reason="worn", count=1),
        lambda: Training(person=draw.choice(PEOPLE), on=day, by="lead"),
    ]
    return makers[kind]()


# --- measuring ------------------------------------------------------------------------------------


def measure(store: Store, clock: Clock) -> dict[str, float]:
    """Medians in milliseconds of each way to look into the book."""
    since = START + (clock.now - START) / 2
    rare = ("taken out of service", "training")
    deep = cursor_in_the_middle(store)
    lists: dict[str, Callable[[], Query]] = {
        "newest": Query,
        "one kind": lambda: Query(kinds=("hold point ticked",)),
        "rare kinds": lambda: Query(kinds=rare),
        "a vehicle": lambda: Query(subject=f"vehicle/{random.choice(VEHICLES)}"),
        "a bay": lambda: Query(subject=f"bay/{random.choice(BAYS)}"),
        "a person": lambda: Query(person=random.choice(PEOPLE)),
        "a person's signatures": lambda: Query(
            kinds=("hold point signed",), subject=f"person/{random.choice(PEOPLE)}"
        ),
        "a rare kind at a bay": lambda: Query(
            kinds=("examination",), subject=f"bay/{random.choice(BAYS)}"
        ),
        "a rare kind by a person": lambda: Query(kinds=rare[:1], person=random.choice(PEOPLE)),
        "a week in the middle": lambda: Query(since=since, until=since + timedelta(days=7)),
        "a kind in that week": lambda: Query(
            kinds=("daily check",), since=since, until=since + timedelta(days=7)
        ),
    }
    found = {name: median(lambda q=query: listed(store, q())) for name, query in lists.items()}
    found["a page in the middle"] = median(lambda: listed(store, Query(), after=deep))
    found["last daily check of 8 bays"] = median(lambda: last_checks(store))
    found["append one event"] = median(lambda: append(store))
    return found


def cursor_in_the_middle(store: Store) -> str:
    with store.read() as tx:
        event = tx.book.get(tx.book.head().seq // 2)
    return f"{event.at:%Y-%m-%dT%H:%M:%S.%fZ}_{event.seq}"


def listed(store: Store, query: Query, after: str = "") -> None:
    with store.read() as tx:
        tx.book.find(query, after=after, limit=50)


def last_checks(store: Store) -> None:
    with store.read() as tx:
        tx.book.latest_of("daily check", [f"bay/{bay}" for bay in BAYS])


def append(store: Store) -> None:
    with store.write(Actor("person-0", "tablet")) as tx:
        tx.book.append(HoldPointTicked(run="run-x", point="p", answer="done"))


def median(action: Callable[[], None]) -> float:
    times = []
    for _ in range(ROUNDS):
        began = time.perf_counter()
        action()
        times.append((time.perf_counter() - began) * 1000)
    return statistics.median(times)


def show(columns: list[dict[str, float]]) -> None:
    print(f"\n{'median ms, 50 events a page':32}" + "".join(f"{size:>10}" for size in SIZES))
    for name in columns[0]:
        print(f"{name:32}" + "".join(f"{column[name]:10.2f}" for column in columns))


def check(store: Store) -> None:
    began = time.perf_counter()
    with store.read() as tx:
        verdict = tx.verify()
    seconds = time.perf_counter() - began
    print(f"\nchecked {verdict.events} events in {seconds:.1f} s: whole {verdict.whole}")


if __name__ == "__main__":
    main(sys.argv[1:])
