"""Tasks for the executor's tests: importable by name in any process."""

from __future__ import annotations

import os
import signal
import time
from pathlib import Path


def square(x: int) -> int:
    return x * x


def slow_first(x: int) -> int:
    """The first tasks take longest, so that results come back out of order."""
    time.sleep(max(0, 5 - x) * 0.02)
    return x


def fails_at_seven(x: int) -> int:
    if x == 7:
        raise ValueError("seven")
    return x


def dies_once(task: tuple[int, str]) -> int:
    """Ends its own process without a word the first time it is asked for the marked number."""
    x, marker = task
    if x == 5 and not Path(marker).exists():
        Path(marker).touch()
        os.kill(os.getpid(), signal.SIGKILL)
    return x * x


def dies_always(x: int) -> int:
    if x == 5:
        os.kill(os.getpid(), signal.SIGKILL)
    return x


def process(x: int) -> int:
    time.sleep(0.02)
    return os.getpid()


def slow_square(x: int) -> int:
    time.sleep(0.02)
    return x * x
