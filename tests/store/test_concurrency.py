"""Thirty clients at once: each event once, one unbroken chain, on both engines."""

from __future__ import annotations

import os
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor

from tests.store_cases import JORUN, ROOT, check, quayside
from underset.errors import ConflictError
from underset.records import Vehicle
from underset.store import Actor, HoldPointTicked, Query, Store, open_store

CLIENTS, EACH = 30, 5
HATCH = quayside().vehicles["harbour-hatch"]

# A process of its own: opens the store, appends from several threads, then prints what was
# accepted. Decision: in one write at the end, as threads that print at once may share a line.
CLIENT = f"""
import sys
from concurrent.futures import ThreadPoolExecutor
from datetime import date
from underset.store import Actor, DailyCheck, open_store

place, name, threads = sys.argv[1], sys.argv[2], int(sys.argv[3])

def client(number):
    accepted = []
    for count in range({EACH}):
        key = f"{{name}}-{{number}}-{{count}}"
        with store.write(Actor(name, f"tablet-{{number}}")) as tx:
            said = DailyCheck(bay="north", on=date(2026, 11, 20), fit=True, note=key)
            tx.book.append(said, key=key)
        accepted.append(key)
    return accepted

with open_store(place, wait=60) as store, ThreadPoolExecutor(threads) as pool:
    print("\\n".join(key for keys in pool.map(client, range(threads)) for key in keys))
"""


def started(program: str, *arguments: str) -> subprocess.Popen[str]:
    variables = {**os.environ, "PYTHONPATH": str(ROOT / "src")}
    command = [sys.executable, "-c", program, *arguments]
    return subprocess.Popen(command, env=variables, stdout=subprocess.PIPE, text=True)


def finished(process: subprocess.Popen[str]) -> list[str]:
    said, _ = process.communicate(timeout=120)
    assert process.returncode == 0
    return said.split()


def test_thirty_clients_in_three_processes_append_each_event_once(place: str) -> None:
    processes = [started(CLIENT, place, f"person-{n}", "10") for n in range(3)]
    accepted = [key for process in processes for key in finished(process)]
    with open_store(place) as store, store.read() as tx:
        verdict = tx.verify()
        stored = [e.key for e in tx.book.find(Query(), limit=500).events]
    assert len(accepted) == CLIENTS * EACH
    assert sorted(stored) == sorted(accepted)
    assert (verdict.events, verdict.broken) == (CLIENTS * EACH, None)


def test_thirty_threads_that_send_the_same_ticks_count_each_once(place: str) -> None:
    ticks = [HoldPointTicked(run="run-1", point=f"point-{n}", answer="done") for n in range(6)]

    def client(_: int) -> set[int]:
        numbers = set()
        for tick in ticks:
            with store.write(JORUN) as tx:
                numbers.add(tx.book.append(tick, key=f"run-1/{tick.point}").seq)
        return numbers

    with open_store(place, wait=60) as store, ThreadPoolExecutor(CLIENTS) as pool:
        answers = list(pool.map(client, range(CLIENTS)))
        with store.read() as tx:
            assert tx.verify().whole
            assert tx.book.head().seq == len(ticks)
    assert answers == [set(range(1, len(ticks) + 1))] * CLIENTS


def test_of_thirty_who_change_one_record_one_wins_and_the_others_are_told(store: Store) -> None:
    with store.write(JORUN) as tx:
        tx.records.put("harbour-hatch", HATCH, version=0)

    def client(number: int) -> str:
        changed = HATCH.model_copy(update={"notes": f"by {number}"})
        try:
            with store.write(Actor(f"person-{number}")) as tx:
                tx.records.put("harbour-hatch", changed, version=1)
        except ConflictError as told:
            return told.message
        return f"person-{number} won"

    with ThreadPoolExecutor(CLIENTS) as pool:
        answers = list(pool.map(client, range(CLIENTS)))
    (winner,) = [answer.split()[0] for answer in answers if answer.endswith("won")]
    told = [answer for answer in answers if not answer.endswith("won")]
    assert len(told) == CLIENTS - 1
    assert all(f"changed by {winner}" in answer for answer in told)
    with store.read() as tx:
        assert tx.records.get(Vehicle, "harbour-hatch").version == 2


def test_readers_go_on_while_somebody_writes(store: Store) -> None:
    with store.write(JORUN) as tx:
        tx.book.append(check())

    def reader(_: int) -> int:
        with store.read() as tx:
            return len(tx.book.find(Query(kinds=("daily check",))).events)

    with store.write(JORUN) as tx, ThreadPoolExecutor(10) as pool:
        tx.book.append(check(1))
        assert list(pool.map(reader, range(20))) == [1] * 20


def test_a_new_store_opened_by_several_at_once_is_made_once(place: str) -> None:
    program = "import sys; from underset.store import open_store; open_store(sys.argv[1]).close()"
    processes = [started(program, place) for _ in range(2)]
    assert [finished(process) for process in processes] == [[]] * 2
    with open_store(place, create=False) as store, store.read() as tx:
        assert tx.verify().events == 0
