"""Power cuts and kill -9: nothing that was acknowledged is lost, and the chain stays whole."""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
import time

from tests.store_cases import DAY, ROOT
from underset.store import DailyCheck, Query, open_store
from underset.store.store import Transaction

WRITES = 300

# Appends until it is killed; a line is printed only after the event was acknowledged.
WRITER = """
import sys
from datetime import date
from underset.store import Actor, DailyCheck, open_store

place, name = sys.argv[1:]
with open_store(place) as store:
    count = 0
    while True:
        key = f"{name}-{count}"
        with store.write(Actor("jorun", "tablet-2")) as tx:
            said = DailyCheck(bay="north", on=date(2026, 11, 20), fit=True, note=key)
            tx.book.append(said, key=key)
        print(key, flush=True)
        count += 1
"""


def acknowledged_before_kill(place: str, name: str, enough: int, delay: float) -> list[str]:
    """Start a writer, kill it once it has written enough, at a random moment of its next write."""
    process = subprocess.Popen(
        [sys.executable, "-c", WRITER, place, name],
        env={**os.environ, "PYTHONPATH": str(ROOT / "src")},
        stdout=subprocess.PIPE,
        text=True,
    )
    assert process.stdout is not None
    lines = [process.stdout.readline() for _ in range(enough)]
    time.sleep(delay)
    process.send_signal(signal.SIGKILL)
    lines += process.stdout.read().splitlines(keepends=True)
    process.stdout.close()
    assert process.wait() == -signal.SIGKILL
    # A line cut by the kill was not acknowledged in full.
    return [line.strip() for line in lines if line.endswith("\n")]


def test_killed_writers_lose_nothing_acknowledged_and_leave_a_whole_chain(place: str) -> None:
    draw = random.Random(5)
    acknowledged: list[str] = []
    while len(acknowledged) < WRITES:
        name = f"writer{len(acknowledged)}"
        enough, delay = draw.randint(45, 75), draw.uniform(0.0, 0.02)
        acknowledged += acknowledged_before_kill(place, name, enough, delay)
        with open_store(place, create=False) as store, store.read() as tx:
            stored = keys(tx)
            verdict = tx.verify()
        assert verdict.whole, verdict.broken
        assert set(acknowledged) <= set(stored)
        assert verdict.events == len(stored)
        # Beyond what was acknowledged there can be one event for each writer that was killed.
        assert len(set(stored) - set(acknowledged)) <= len({k.split("-")[0] for k in stored})


def keys(tx: Transaction) -> list[str]:
    found: list[str] = []
    after, more = "", True
    while more:
        page = tx.book.find(Query(oldest_first=True), after=after, limit=500)
        found += [event.key for event in page.events]
        after, more = page.more, bool(page.more)
    return found


def test_a_tick_sent_again_after_a_kill_counts_once(place: str) -> None:
    """The client cannot know whether its last event was stored: it sends it again by its key."""
    done = acknowledged_before_kill(place, "writer", 5, 0.003)
    unsure = f"writer-{len(done)}"
    said = DailyCheck(bay="north", on=DAY, fit=True, note=unsure)
    from tests.store_cases import JORUN

    with open_store(place) as store:
        for _ in range(2):
            with store.write(JORUN) as tx:
                tx.book.append(said, key=unsure)
        with store.read() as tx:
            assert sorted(keys(tx)) == sorted([*done, unsure])
            assert tx.verify().whole
