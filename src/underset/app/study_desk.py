"""Studies that take longer than a page may: worked out behind it, one after another.

A page asks, waits a moment, and is told how far the study is; it asks again until the answer is
there. Answers are kept by what they were made from, and the oldest go first.
"""

from __future__ import annotations

import threading
import time
from collections import OrderedDict
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import Future
from concurrent.futures import TimeoutError as NotYet
from dataclasses import dataclass, field
from typing import Any, TypeVar
from weakref import WeakKeyDictionary

from underset.app.shop import Moment, Shop
from underset.errors import AppError, InternalError

T = TypeVar("T")
R = TypeVar("R")
PATIENCE = 0.5  # seconds that a page waits before it says that the study is at work
KEPT = 12


@dataclass(slots=True)
class Count:
    """How far a study is; `total` 0 while nobody can say."""

    done: int = 0
    total: int = 0

    def run(self, work: Callable[[T], R], tasks: Sequence[T]) -> Iterator[R]:
        """Results one by one, counted."""
        self.total = max(self.total, self.done + len(tasks))
        for task in tasks:
            yield work(task)
            self.done += 1


@dataclass(frozen=True, slots=True)
class Working:
    """A study that is at work: since how many seconds, and how far."""

    seconds: float
    done: int
    total: int


@dataclass(slots=True)
class _Running:
    future: Future[Any] = field(default_factory=Future)
    count: Count = field(default_factory=Count)
    began: float = field(default_factory=time.monotonic)


class Desk:
    """The studies of one shop. Safe to ask from many threads."""

    def __init__(self) -> None:
        self._lock, self._turn = threading.Lock(), threading.Lock()
        self._running: OrderedDict[object, _Running] = OrderedDict()

    def ask(
        self, key: object, make: Callable[[Count], T], patience: float = PATIENCE
    ) -> T | Working:
        """The answer, or how far it is. Raises what the study raised; then it may be asked anew."""
        with self._lock:
            running = self._running.get(key)
            if running is None:
                running = self._running[key] = self._start(make)
            self._running.move_to_end(key)
            self._forget()
        try:
            answer: T = running.future.result(patience)
        except NotYet:
            return Working(
                time.monotonic() - running.began, running.count.done, running.count.total
            )
        except AppError:
            with self._lock:
                self._running.pop(key, None)
            raise
        return answer

    def _start(self, make: Callable[[Count], Any]) -> _Running:
        running = _Running()
        threading.Thread(target=self._work, args=(running, make), daemon=True).start()
        return running

    def _work(self, running: _Running, make: Callable[[Count], Any]) -> None:
        try:
            with self._turn:
                running.future.set_result(make(running.count))
        except AppError as error:
            running.future.set_exception(error)
        finally:
            if not running.future.done():
                running.future.set_exception(InternalError("a study ended without an answer."))

    def _forget(self) -> None:
        done = [k for k, r in self._running.items() if r.future.done()]
        for key in done[: max(0, len(self._running) - KEPT)]:
            del self._running[key]


_DESKS: WeakKeyDictionary[Shop, Desk] = WeakKeyDictionary()
_FIRST = threading.Lock()


def ask(shop: Shop, name: Iterable[object], make: Callable[[Moment, Count], T]) -> T | Working:
    """A study of what is on file now, by its name and what was asked of it."""
    with _FIRST:
        desk = _DESKS.setdefault(shop, Desk())
    now = shop.moment()
    return desk.ask((now.serial, now.day, *name), lambda count: make(now, count))
