"""How fast the bay app answers on loopback: drags, pages, the card; one client, one server process.

    python benchmarks/web.py            60 stops of a drag, 12 visits of each page

Prints median and 95th percentile of the time a client waits and of the processor time the server
spends on each answer, which a busy machine inflates less. Aims: a drag 50 ms, a page 150 ms, a card
500 ms, each at the 95th percentile of the wait on an idle machine.
"""

from __future__ import annotations

import http.client
import os
import re
import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from statistics import median

LIFT = "vehicle=harbour-hatch&bay=north"
DRAGS, VISITS = 60, 12
DRAG, CARD = "drag, through the whole window", f"/card.pdf?{LIFT}"
PAGES = (
    *("/", "/plan?vehicle=harbour-hatch", f"/setting?{LIFT}&spot=1.25", "/vehicles", "/jobs"),
    *("/lifts", "/shelf", "/people", "/book", "/settings"),
)


@dataclass(frozen=True)
class Server:
    """A running server: its process and port."""

    pid: int
    port: int

    def computing(self) -> float:
        """Seconds of processor time used so far."""
        threads = Path(f"/proc/{self.pid}/task").glob("*/schedstat")
        return sum(int(t.read_text("utf-8").split()[0]) for t in threads) / 1e9


@contextmanager
def serving() -> Iterator[Server]:
    """The sample workshop served from a new store."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = int(probe.getsockname()[1])
    with tempfile.TemporaryDirectory() as folder:
        command = [sys.executable, "-m", "underset", "serve", "--port", str(port)]
        store = ["--store", str(Path(folder) / "book.db")]
        process = subprocess.Popen([*command, *store], stdout=subprocess.DEVNULL)
        try:
            _await(port)
            yield Server(process.pid, port)
        finally:
            process.terminate()
            process.wait(20)


def _await(port: int) -> None:
    for _ in range(600):
        with socket.socket() as probe:
            if probe.connect_ex(("127.0.0.1", port)) == 0:
                return
        time.sleep(0.1)
    raise TimeoutError(f"no server on port {port} after a minute")


@dataclass(frozen=True)
class Row:
    """One kind of request: median and 95th percentile of waits and of processor time, s."""

    name: str
    wait: tuple[float, float]
    computing: tuple[float, float]

    def __str__(self) -> str:
        figures = (*self.wait, *self.computing)
        return f"{self.name:<34}" + " ".join(f"{1e3 * x:8.1f}" for x in figures)


def measured(server: Server, name: str, path: Callable[[int], str], count: int) -> Row:
    """Waits and processor times of `count` requests after one to warm up."""
    line = http.client.HTTPConnection("127.0.0.1", server.port, timeout=120)
    waits, own = [], []
    _got(line, path(0))
    for i in range(count):
        before, start = server.computing(), time.perf_counter()
        _got(line, path(i))
        waits.append(time.perf_counter() - start)
        own.append(server.computing() - before)
    return Row(name, _shares(waits), _shares(own))


def _shares(times: list[float]) -> tuple[float, float]:
    """Median and 95th percentile."""
    return median(times), sorted(times)[int(0.95 * len(times))]


def _got(line: http.client.HTTPConnection, path: str) -> bytes:
    line.request("GET", path)
    answer = line.getresponse()
    body = answer.read()
    if answer.status != 200:
        raise RuntimeError(f"{path}: {answer.status}")
    return body


def rows() -> Iterator[Row]:
    """Drags through the whole window and a little beyond, each page, and the card."""
    with serving() as server:
        line = http.client.HTTPConnection("127.0.0.1", server.port, timeout=120)
        page = _got(line, f"/setting?{LIFT}").decode()
        found = re.search(r'data-windows="\[\[([\d.]+), ([\d.]+)\]', page)
        low, high = (float(x) for x in found.groups()) if found else (0.9, 1.3)

        def drag(i: int) -> str:
            spot = low - 0.1 + (high - low + 0.2) * i / DRAGS
            return f"/setting/part?{LIFT}&spot={spot:.4f}"

        yield measured(server, DRAG, drag, DRAGS)
        for path in (*PAGES, CARD):
            yield measured(server, path, lambda _, p=path: p, VISITS)  # type: ignore[misc]


def main() -> None:
    print(f"load before: {os.getloadavg()[0]:.1f}")
    print(f"{'ms':<34}{'wait':>8} {'95th':>8} {'computes':>8} {'95th':>8}")
    for row in rows():
        print(row, flush=True)


if __name__ == "__main__":
    main()
