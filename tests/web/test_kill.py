"""kill -9 of the server, and many tablets at once: what was acknowledged is kept, each once."""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
import threading
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from pathlib import Path

import httpx
import pytest

from tests.store_cases import ROOT
from tests.web_cases import TODAY, served, token_in
from underset.app import Shop, Wish, open_shop, runs, sample_folder
from underset.app.shop import Actor
from underset.store import DefectReported, Query, open_store
from underset.web import ServeOptions

WRITES = int(os.environ.get("UNDERSET_KILL_WRITES", "60"))
CLIENTS = 30
FREE = ServeOptions(hosts=("127.0.0.1",), rate_per_minute=1_000_000)

SERVER = """
import socket, sys, uvicorn
from underset.app import open_shop, sample_folder
from underset.web import ServeOptions, create_app
listening = socket.socket()
listening.bind(("127.0.0.1", 0))
port = listening.getsockname()[1]
shop = open_shop(sys.argv[1], seed=sample_folder())
options = ServeOptions(port=port, hosts=("127.0.0.1",), rate_per_minute=1_000_000)
config = uvicorn.Config(create_app(shop, options), log_level="error")
listening.listen(100)
print(port, flush=True)
uvicorn.Server(config).run(sockets=[listening])
"""


@pytest.fixture(params=["sqlite", pytest.param("postgresql", marks=pytest.mark.postgres)])
def place(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """Where the shop's store is made, on either engine."""
    if request.param == "sqlite":
        return str(tmp_path / "book.db")
    return str(request.getfixturevalue("postgres_url"))


class Server:
    """The bay app in a process of its own, to be killed."""

    def __init__(self, place: str) -> None:
        self.process = subprocess.Popen(
            [sys.executable, "-c", SERVER, place],
            env={**os.environ, "PYTHONPATH": str(ROOT / "src")},
            stdout=subprocess.PIPE,
            text=True,
        )
        assert self.process.stdout is not None
        with self.process.stdout as said:
            self.address = f"http://127.0.0.1:{int(said.readline())}"

    def client(self) -> httpx.Client:
        """A tablet with the page's token."""
        who = {"underset-person": "jorun"}
        client = httpx.Client(base_url=self.address, cookies=who, timeout=60)
        client.headers["x-underset-token"] = token_in(client.get("/settings").text)
        return client

    def kill(self) -> None:
        self.process.send_signal(signal.SIGKILL)
        assert self.process.wait() == -signal.SIGKILL


def report(client: httpx.Client, key: str) -> bool:
    """Report a defect; whether the server has acknowledged it."""
    said = {"key": key, "text": f"Found: {key}", "stops_use": "no"}
    try:
        return client.post("/lifts/north/defect", data=said).status_code == 303
    except httpx.TransportError:
        return False


def defects(place: str) -> list[str]:
    """Keys of the defects in the book, whose chain is whole."""
    with open_store(place, create=False) as store, store.read() as tx:
        verdict = tx.verify()
        assert verdict.whole, verdict.broken
        return [e.key for e in tx.book.all_of([DefectReported.KIND])]


def test_a_killed_server_loses_nothing_acknowledged_and_a_tick_sent_again_counts_once(
    place: str,
) -> None:
    draw, acknowledged, sent = random.Random(7), [], 0
    unsure: list[str] = []
    while len(acknowledged) < WRITES:
        server = Server(place)
        with closing(server.client()) as client:
            again = [key for key in unsure if report(client, key)]
            acknowledged += again
            unsure = []
            enough = len(acknowledged) + draw.randint(34, 45)
            killer = threading.Timer(draw.uniform(0.0, 0.1), server.kill)
            while server.process.poll() is None:
                key = f"writer-key-{sent}"
                sent += 1
                (acknowledged if report(client, key) else unsure).append(key)
                if killer.ident is None and len(acknowledged) >= enough:
                    killer.start()
            killer.join()
        stored = defects(place)
        assert set(acknowledged) <= set(stored)
        assert len(stored) == len(set(stored)), "an event counted twice"
        assert set(stored) <= {*acknowledged, *unsure}
    assert len(acknowledged) >= WRITES


def started(shop: Shop) -> tuple[str, list[str]]:
    """A run, and its hold points that are signed."""
    name = runs.start_run(shop, Wish("harbour-hatch", None, ("north",)), Actor("jorun"))
    return name, [p.point.id for p in runs.run_of(shop, name).points if p.point.sign]


def test_thirty_tablets_signing_at_once_are_each_heard_once(place: str) -> None:
    shop = open_shop(place, seed=sample_folder(), clock=lambda: TODAY)
    try:
        run, points = started(shop)
        people = [p.id for p in shop.workshop().about.people]
        with served(shop, FREE) as address:
            codes = signed_at_once(address, run, points[0], people)
        assert codes == {303}
        with shop.store.read() as tx:
            page = tx.book.find(Query(kinds=("hold point signed",)), limit=500)
            verdict = tx.verify()
        assert verdict.whole, verdict.broken
        assert sorted(e.key for e in page.events) == sorted(f"sign-key-{n}" for n in range(CLIENTS))
        assert {e.key: e.person for e in page.events} == {
            f"sign-key-{n}": people[n % len(people)] for n in range(CLIENTS)
        }
    finally:
        shop.close()


def signed_at_once(address: str, run: str, point: str, people: list[str]) -> set[int]:
    """Every tablet signs, and sends it a second time as after a lost answer."""
    together = threading.Barrier(CLIENTS)

    def tablet(n: int) -> list[int]:
        who = {"underset-person": people[n % len(people)]}
        with httpx.Client(base_url=address, cookies=who, timeout=60) as client:
            client.headers["x-underset-token"] = token_in(client.get("/settings").text)
            together.wait(60)
            said = {"point": point, "right": "yes", "key": f"sign-key-{n}"}
            return [client.post(f"/run/{run}/answer", data=said).status_code for _ in range(2)]

    with ThreadPoolExecutor(CLIENTS) as pool:
        return {code for codes in pool.map(tablet, range(CLIENTS)) for code in codes}
