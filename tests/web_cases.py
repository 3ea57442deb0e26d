"""The bay app on a store of its own, asked in this process or served to a browser."""

from __future__ import annotations

import re
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from socket import AF_INET, SOCK_STREAM, socket

import uvicorn
from fastapi.testclient import TestClient

from underset.app import Shop, open_shop, sample_folder
from underset.web import ServeOptions, create_app

TODAY = date(2026, 11, 20)
PERSON = "jorun"
OPEN = ServeOptions(hosts=("testserver", "127.0.0.1"), rate_per_minute=1_000_000)


@contextmanager
def shop_in(folder: Path) -> Iterator[Shop]:
    """The invented sample workshop in a new store."""
    shop = open_shop(folder / "book.db", seed=sample_folder(), clock=lambda: TODAY)
    try:
        yield shop
    finally:
        shop.close()


def client_of(shop: Shop, options: ServeOptions = OPEN, person: str = PERSON) -> TestClient:
    """A client that carries person and token as pages and programs do."""
    client = TestClient(create_app(shop, options), follow_redirects=False)
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
        create_app(shop, options), log_level="warning", server_header=False, lifespan="off"
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
