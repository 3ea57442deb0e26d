"""The bay app on a store of its own, asked in this process or served to a browser."""

from __future__ import annotations

import re
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from functools import cache
from pathlib import Path
from socket import AF_INET, SOCK_STREAM, socket
from tempfile import TemporaryDirectory
from weakref import WeakKeyDictionary

import uvicorn
from fastapi import FastAPI
from fastapi.testclient import TestClient

from underset.app import Shop, open_shop, sample_folder
from underset.web import ServeOptions, create_app
from underset.web.guard import TRIES_A_MINUTE, Rate

TODAY = date(2026, 11, 20)
PERSON = "jorun"
OPEN = ServeOptions(hosts=("testserver", "127.0.0.1"), rate_per_minute=1_000_000)


@cache
def _sample_book() -> bytes:
    """A store that has just taken in the sample workshop: made once, then copied."""
    with TemporaryDirectory() as folder:
        place = Path(folder) / "book.db"
        open_shop(place, seed=sample_folder(), clock=lambda: TODAY).close()
        return place.read_bytes()


@contextmanager
def shop_in(folder: Path) -> Iterator[Shop]:
    """The invented sample workshop in a new store."""
    (folder / "book.db").write_bytes(_sample_book())
    shop = open_shop(folder / "book.db", clock=lambda: TODAY)
    try:
        yield shop
    finally:
        shop.close()
        for options, app in _APPS.pop(shop, {}).items():
            _SPARE.setdefault(options, []).append(app)


_APPS: WeakKeyDictionary[Shop, dict[ServeOptions, FastAPI]] = WeakKeyDictionary()
_SPARE: dict[ServeOptions, list[FastAPI]] = {}  # apps whose shop is closed: to be used again


def app_of(shop: Shop, options: ServeOptions = OPEN) -> FastAPI:
    """The one app of a shop and these options, because a new one takes its time; no tries counted.

    Requests are counted for as long as the shop is open: a test of that makes an app of its own.
    """
    apps = _APPS.setdefault(shop, {})
    if options not in apps:
        spare = _SPARE.get(options)
        apps[options] = spare.pop() if spare else create_app(shop, options)
    apps[options].state.shop = shop
    apps[options].state.sign_in_rate = Rate(TRIES_A_MINUTE)
    return apps[options]


def client_of(shop: Shop, options: ServeOptions = OPEN, person: str = PERSON) -> TestClient:
    """A client that carries person and token as pages and programs do."""
    client = TestClient(app_of(shop, options), follow_redirects=False)
    client.cookies.set("underset-person", person)
    if not options.lan:
        client.headers["x-underset-token"] = client.get("/api/v1/token").json()["token"]
    return client


def token_in(page: str) -> str:
    """The token a page carries."""
    found = re.search(r'name="underset-token" content="([0-9a-f]{64})"', page)
    assert found, "the page carries no token"
    return found.group(1)


@contextmanager
def served(shop: Shop, options: ServeOptions = OPEN) -> Iterator[str]:
    """The address of a real server on loopback, in a thread of this process."""
    listening = socket(AF_INET, SOCK_STREAM)
    listening.bind(("127.0.0.1", 0))
    config = uvicorn.Config(
        app_of(shop, options), log_level="warning", server_header=False, lifespan="off"
    )
    server = uvicorn.Server(config)
    thread = threading.Thread(target=server.run, kwargs={"sockets": [listening]}, daemon=True)
    thread.start()
    while not server.started:
        time.sleep(0.01)
    try:
        yield f"http://127.0.0.1:{listening.getsockname()[1]}"
    finally:
        server.should_exit = True
        thread.join(10)
        listening.close()
