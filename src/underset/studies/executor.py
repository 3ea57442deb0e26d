"""Running a study's tasks: here, on a pool of processes, or on any Dask cluster by address.

One interface, one answer: results come in the order of the tasks and equal those of running here.
Only so many tasks are under way that memory does not grow with their number. A worker that dies
costs time, not results: what it had in hand is done again. `work` must be importable by name, as it
travels to other processes; a cluster's workers need this package installed.

With a journal a run that was broken off goes on where it stopped.
"""

from __future__ import annotations

import os
import signal
import time
from collections import deque
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass, field
from itertools import islice
from multiprocessing import get_context
from typing import Any, Generic, TypeVar
from uuid import uuid4

from underset.errors import InputError, InternalError
from underset.studies.journal import Journal
from underset.studies.proof import require_extra

T = TypeVar("T")
R = TypeVar("R")
Work = Callable[[T], R]
AHEAD = 4  # tasks under way for each worker


@dataclass(frozen=True, slots=True)
class Here:
    """In this process, one task after the other."""


@dataclass(frozen=True, slots=True)
class Pool:
    """On processes of this machine: as many as it has processors unless said otherwise."""

    workers: int | None = None
    attempts: int = 3

    def __post_init__(self) -> None:
        """Refuse a pool without workers."""
        if self.workers is not None and not 1 <= self.workers <= 1024:
            raise InputError("workers", self.workers, "a pool has from 1 to 1024 workers")


@dataclass(frozen=True, slots=True)
class Cluster:
    """On a Dask cluster, by the address of its scheduler; needs the extra "cluster".

    How often it tries a task that ends its worker is the cluster's own setting.
    """

    address: str
    patience: float = 10.0


Place = Here | Pool | Cluster
HERE = Here()


@dataclass(frozen=True, slots=True)
class Progress:
    """How far a run is. `kept` tasks came out of the journal and count in no rate."""

    done: int
    total: int
    kept: int
    seconds: float

    @property
    def rate(self) -> float | None:
        """Tasks a second since this run began; None before the first."""
        fresh = self.done - self.kept
        return fresh / self.seconds if fresh and self.seconds > 0.0 else None

    @property
    def left(self) -> float | None:
        """Seconds left at this rate; None before there is a rate."""
        return (self.total - self.done) / self.rate if self.rate else None


def _one(task: object) -> int:
    return 1


@dataclass(slots=True)
class Watch(Generic[T]):
    """Tells somebody how a run goes; `size` is how much one task counts."""

    tell: Callable[[Progress], None]
    total: int
    size: Callable[[T], int] = _one
    clock: Callable[[], float] = time.monotonic
    _done: int = 0
    _kept: int = 0
    _began: float = field(default=0.0)

    def begin(self) -> None:
        """The run begins now."""
        self._done = self._kept = 0
        self._began = self.clock()

    def count(self, task: T, *, kept: bool) -> None:
        """One task more is done."""
        size = self.size(task)
        self._done += size
        self._kept += size if kept else 0
        seconds = self.clock() - self._began
        self.tell(Progress(self._done, self.total, self._kept, seconds))


def run(
    work: Work[T, R],
    tasks: Iterable[T],
    on: Place = HERE,
    watch: Watch[T] | None = None,
    journal: Journal[R] | None = None,
) -> Iterator[R]:
    """Results of all tasks, in their order.

    Raises what the first failing task raised; InputError when a cluster cannot be reached;
    InternalError when a task ends its worker again and again.
    """
    tasks = iter(tasks)
    if watch:
        watch.begin()
    for task, result in _kept(tasks, journal):
        if watch:
            watch.count(task, kept=True)
        yield result
    given: deque[T] = deque()
    fresh = _on(on, work, _remembering(tasks, given))
    try:
        for result in fresh:
            task, told = given.popleft(), result
            if journal is not None:
                told = journal.add(result)
            if watch:
                watch.count(task, kept=False)
            yield told
    finally:
        fresh.close()
        if journal is not None:
            journal.close()


@dataclass(frozen=True, slots=True)
class Spread:
    """How a study spreads its tasks, when they are too small to travel alone: `batch` together."""

    on: Place = HERE
    batch: int = 1
    watch: Watch[Any] | None = None

    def __call__(self, work: Work[T, R], tasks: Iterable[T]) -> Iterator[R]:
        """Results one by one, in the order of the tasks; `watch` counts tasks."""
        if self.watch:
            self.watch.size = len
        for results in run(_Many(work), _batches(tasks, self.batch), self.on, self.watch):
            yield from results


@dataclass(frozen=True, slots=True)
class _Many(Generic[T, R]):
    work: Work[T, R]

    def __call__(self, tasks: Sequence[T]) -> list[R]:
        return [self.work(t) for t in tasks]


def _batches(tasks: Iterable[T], size: int) -> Iterator[list[T]]:
    rest = iter(tasks)
    while batch := list(islice(rest, size)):
        yield batch


def _kept(tasks: Iterator[T], journal: Journal[R] | None) -> Iterator[tuple[T, R]]:
    """Tasks whose results are in the journal, with them."""
    for result in journal.results() if journal is not None else ():
        task = next(tasks, _NO_TASK)
        if task is _NO_TASK:
            raise InputError("journal", str(journal), "a journal holds no more results than tasks")
        yield task, result  # type: ignore[misc]


_NO_TASK = object()


def _remembering(tasks: Iterator[T], given: deque[T]) -> Iterator[T]:
    for task in tasks:
        given.append(task)
        yield task


def _on(place: Place, work: Work[T, R], tasks: Iterator[T]) -> Any:
    """A generator of results on one of the places."""
    if isinstance(place, Pool):
        return _on_pool(place, work, tasks)
    if isinstance(place, Cluster):
        return _on_cluster(place, work, tasks)
    return (work(t) for t in tasks)


# --- a pool of processes -------------------------------------------------------------------------


@dataclass(slots=True)
class _Task(Generic[T, R]):
    task: T
    future: Future[R]
    attempts: int = 1


class _Crew(Generic[T, R]):
    """A pool that is replaced when a worker has died, and the tasks under way, in order."""

    def __init__(self, place: Pool, work: Work[T, R]) -> None:
        self.workers = place.workers or os.cpu_count() or 1
        self.attempts, self.work = place.attempts, work
        self.tasks: deque[_Task[T, R]] = deque()
        self.pool = self._new()

    def _new(self) -> ProcessPoolExecutor:
        # Decision: processes start afresh, as a forked copy of a process with threads may hang.
        return ProcessPoolExecutor(self.workers, get_context("spawn"), _quietly)

    def add(self, task: T) -> None:
        """One task more under way."""
        self.tasks.append(_Task(task, self._submit(task)))

    def _submit(self, task: T) -> Future[R]:
        try:
            return self.pool.submit(self.work, task)
        except BrokenProcessPool as died:
            lost: Future[R] = Future()
            lost.set_exception(died)
            return lost

    def first(self) -> R:
        """Result of the first task under way, done again as often as its worker dies."""
        head = self.tasks[0]
        while True:
            try:
                result = head.future.result()
            except BrokenProcessPool as died:
                self._again(head, died)
            else:
                self.tasks.popleft()
                return result

    def _again(self, head: _Task[T, R], died: BrokenProcessPool) -> None:
        """A new pool for what was lost.

        The pool does not say which task ended the worker. After the first time all that was lost
        goes again; then the first task goes alone, and is the one to blame if it happens again.
        """
        if head.attempts >= self.attempts:
            raise InternalError(
                f"a worker died {head.attempts} times on the same part of the study; "
                "memory may be too small for it."
            ) from died
        self.pool.shutdown(wait=True, cancel_futures=True)
        self.pool = self._new()
        head.attempts += 1
        head.future = self._submit(head.task)
        if head.attempts > 2:
            head.future.exception()  # alone: the others wait until it is through
        for other in islice(self.tasks, 1, None):
            if _is_lost(other.future):
                other.future = self._submit(other.task)

    def stop(self) -> None:
        """No more tasks; those that run are waited for."""
        self.pool.shutdown(wait=True, cancel_futures=True)


def _is_lost(future: Future[R]) -> bool:
    return future.cancelled() or (
        future.done() and isinstance(future.exception(), BrokenProcessPool)
    )


def _quietly() -> None:
    """A worker leaves Ctrl-C to the process that started it."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)


def _on_pool(place: Pool, work: Work[T, R], tasks: Iterator[T]) -> Iterator[R]:
    crew: _Crew[T, R] = _Crew(place, work)
    try:
        while True:
            for task in islice(tasks, AHEAD * crew.workers - len(crew.tasks)):
                crew.add(task)
            if not crew.tasks:
                return
            yield crew.first()
    finally:
        crew.stop()


# --- a Dask cluster ------------------------------------------------------------------------------


def _on_cluster(place: Cluster, work: Work[T, R], tasks: Iterator[T]) -> Iterator[R]:
    """Tasks on a cluster, which itself does again what a dead worker had in hand."""
    require_extra("distributed", "cluster")
    from distributed import Client, KilledWorker

    study, under_way, number = uuid4().hex, deque[Any](), 0
    connect: Callable[..., Any] = Client
    try:
        client = connect(place.address, timeout=place.patience, set_as_default=False)
    except (OSError, TimeoutError, ValueError) as error:
        allowed = "a cluster is named by the address of its scheduler, such as tcp://host:8786"
        raise InputError("cluster", place.address, allowed, "Is it running?") from error
    with client:
        while True:
            # A cluster grows and shrinks: what is under way may be more than it now has room for.
            room = AHEAD * max(1, sum(client.nthreads().values())) - len(under_way)
            for task in islice(tasks, max(0, room)):
                key = f"underset-{study}-{number}"
                under_way.append(client.submit(work, task, key=key, pure=False))
                number += 1
            if not under_way:
                return
            try:
                yield under_way.popleft().result()
            except KilledWorker as died:
                raise InternalError(
                    "workers of the cluster died again and again on the same part of the study; "
                    "memory may be too small for it."
                ) from died
