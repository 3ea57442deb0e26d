"""Runs the tests against one change after another, each in a fork of a process that stands ready.

Decision: a start of Python, of pytest and of the heavy libraries costs more than the tests that
tell. So the tests are collected once; for each change the process forks, the changed function gets
its new code (it stays the same object, whoever imported it), and the tests that reach the changed
lines run until one fails. No compiled copy of a kernel takes part: tests that compile are left out,
and nothing is kept from one change to the next.
"""

from __future__ import annotations

import functools
import gc
import importlib
import json
import os
import resource
import signal
import sys
import time
import types
import warnings
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from benchmarks.mutants.changes import ROOT, Change, files

TESTS = [
    "tests/unit/geometry", "tests/unit/statics", "tests/unit/setting", "tests/unit/planner",
    "tests/unit/job", "tests/reference", "tests/properties", "tests/cross", "tests/golden",
]  # fmt: skip
# Other programs' work, or a compiler's: no judge of a change that only this process has.
LEFT_OUT = [
    "tests/cross/test_batch_equals_planner.py", "tests/cross/test_kit_enumeration.py",
    "tests/cross/test_day.py", "tests/properties/test_records.py",
    "tests/properties/test_fuzz_readers.py",
]  # fmt: skip
OPTIONS = [
    "-p", "no:xdist", "-p", "no:cacheprovider", "-p", "no:randomly", "-q",
    "-k", "not compiles_unchanged and not kernel_is_left_out and not bench",
    *(f"--ignore={path}" for path in LEFT_OUT),
]  # fmt: skip
CALLS = 40  # of one function in one test are followed line by line; then all its lines count
OURS = ("underset", "tests", "benchmarks")


@dataclass(frozen=True)
class Answer:
    """What became of a change: "found", "missed", "endless" (its time ran out) or "no test"."""

    outcome: str
    by: str
    seconds: float


@dataclass(frozen=True)
class Known:
    """Of each test that passes unchanged: its processor time and the lines it reaches."""

    seconds: dict[str, float]
    lines: dict[str, dict[str, set[int]]]  # module, test, lines
    modules: list[str]

    def reaching(self, change: Change) -> list[str]:
        """The tests that reach a change: its own package's unit tests, other quick ones, cards.

        The first case of every test comes before the second of any, as those are much alike.
        """
        low, high = change.lines
        wanted = set(range(low, high + 1))
        found = [t for t, lines in self.lines[change.module].items() if lines & wanted]
        own, seen = f"tests/unit/{change.part}/", Counter[str]()
        keys: dict[str, tuple[int, int, float]] = {}
        for test in sorted(found, key=lambda t: self.seconds[t]):
            seen[test.partition("[")[0]] += 1
            tier = 0 if own in test else 2 if "/golden/" in test else 1
            keys[test] = (tier, seen[test.partition("[")[0]], self.seconds[test])
        return sorted(found, key=lambda t: keys[t])


# --- pytest ---------------------------------------------------------------------------------------


class Ready:
    """The plugin that does `work` with the collected tests in place of running them."""

    def __init__(self, work: Callable[[list[pytest.Item]], None]) -> None:
        self.work = work
        self.failed = False

    @pytest.hookimpl(tryfirst=True)
    def pytest_collection(self) -> None:
        from hypothesis import Phase, settings

        like_the_gate = settings(
            deadline=None, derandomize=True, database=None, phases=[Phase.explicit, Phase.generate]
        )
        settings.register_profile("mutants", like_the_gate)
        settings.load_profile("mutants")

    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        self.work(session.items)
        return True

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        self.failed = self.failed or report.failed

    def runs(self, item: pytest.Item, following: pytest.Item | None) -> bool:
        """Whether a test passes."""
        self.failed = False
        item.config.hook.pytest_runtest_protocol(item=item, nextitem=following)
        return not self.failed


def collected(work: Callable[[Ready, list[pytest.Item]], None], tests: list[str]) -> None:
    """Collect the tests and do the work with them."""
    os.environ["UNDERSET_GATE"] = "0"
    os.chdir(ROOT)
    ready = Ready(lambda items: work(ready, items))
    code = pytest.main([*OPTIONS, *tests], plugins=[ready])
    if code not in (pytest.ExitCode.OK, pytest.ExitCode.NO_TESTS_COLLECTED):
        raise SystemExit(f"The tests could not be collected: pytest ended with {code!r}")


# --- which test reaches which line ----------------------------------------------------------------


class Follower:
    """Follows the changed modules line by line."""

    def __init__(self) -> None:
        self.paths = {str(ROOT / "src" / module): module for module in files()}
        self.seen: dict[str, set[int]] = {}
        self._unseen: dict[types.CodeType, set[int]] = {}
        self._calls: dict[types.CodeType, int] = {}

    def follow(self, work: Callable[[], Any]) -> tuple[Any, dict[str, set[int]]]:
        """Do the work; also which lines of which module were reached."""
        outer = self.seen, self._unseen, self._calls
        self.seen, self._unseen, self._calls = {}, {}, {}
        sys.settrace(self._called)
        try:
            return work(), self.seen
        finally:
            inner = self.seen
            self.seen, self._unseen, self._calls = outer
            for module, lines in inner.items():
                self.seen.setdefault(module, set()).update(lines)

    def _called(self, frame: types.FrameType, _: str, __: Any) -> Any:
        code = frame.f_code
        module = self.paths.get(code.co_filename)
        if module is None:
            return None
        if code not in self._unseen:
            self._unseen[code] = {line for *_, line in code.co_lines() if line}
        unseen, seen = self._unseen[code], self.seen.setdefault(module, set())
        self._calls[code] = self._calls.get(code, 0) + 1
        if self._calls[code] > CALLS:
            seen |= unseen
            unseen.clear()
        if not unseen:
            return None

        def line(frame: types.FrameType, event: str, _: Any) -> Any:
            seen.add(frame.f_lineno)
            unseen.discard(frame.f_lineno)
            return line

        return line


def learn(ready: Ready, items: list[pytest.Item]) -> dict[str, Any]:
    """Run every test once, unchanged, and say which lines it reaches and how long it takes.

    What a fixture of wider scope reaches counts for every test that uses it.
    """
    follower = Follower()
    fixtures: dict[int, dict[str, set[int]]] = {}

    class Fixtures:
        @pytest.hookimpl(wrapper=True)
        def pytest_fixture_setup(self, fixturedef: Any) -> Iterator[None]:
            before = follower.seen
            follower.seen = {}
            try:
                return (yield)
            finally:
                found = fixtures.setdefault(id(fixturedef), {})
                for module, lines in follower.seen.items():
                    found.setdefault(module, set()).update(lines)
                follower.seen = before

    items[0].config.pluginmanager.unregister(name="terminalreporter")
    items[0].config.pluginmanager.register(Fixtures())
    stores = caches()
    seconds, lines = {}, {m: {} for m in files()}  # type: dict[str, float], dict[str, Any]
    for item, following in zip(items, [*items[1:], None], strict=True):
        for store in stores:
            store.cache_clear()
        start = time.process_time()
        passed, seen = follower.follow(lambda i=item, f=following: ready.runs(i, f))
        sys.settrace(None)
        if not passed:
            continue
        seconds[item.nodeid] = time.process_time() - start
        for found in [seen, *(fixtures.get(id(f), {}) for f in used(item))]:
            for module, reached in found.items():
                lines[module].setdefault(item.nodeid, set()).update(reached)
    told = {m: {t: sorted(found) for t, found in of.items()} for m, of in lines.items()}
    heavy = sorted(m for m in sys.modules if m.split(".")[0] not in (*OURS, "__main__"))
    return {"seconds": seconds, "lines": told, "modules": heavy}


def used(item: pytest.Item) -> Iterator[Any]:
    """The fixtures that a test uses, those that they use in turn among them."""
    known: dict[str, Any] = item._fixtureinfo.name2fixturedefs  # type: ignore[attr-defined]
    for definitions in known.values():
        yield from definitions


def caches() -> list[Any]:
    """Every store of answers that our functions keep."""
    kept = [o for o in gc.get_objects() if isinstance(o, functools._lru_cache_wrapper)]
    return [o for o in kept if str(getattr(o, "__module__", "")).split(".")[0] in OURS]


# --- one change -----------------------------------------------------------------------------------


def put(change: Change) -> None:
    """Give the changed function its new code."""
    path = str(ROOT / "src" / change.module)
    new = _code(compile(change.applied(), path, "exec", dont_inherit=True), change)
    found = [f for f in _functions(change) if f.__code__.co_firstlineno == change.first_line]
    if len(found) != 1:
        raise SystemExit(f"{change.name}: {len(found)} functions stand there")
    found[0].__code__ = new


def _code(code: types.CodeType, change: Change) -> types.CodeType:
    left = [code]
    while left:
        code = left.pop()
        if code.co_qualname == change.function and code.co_firstlineno == change.first_line:
            return code
        left += [c for c in code.co_consts if isinstance(c, types.CodeType)]
    raise SystemExit(f"{change.name}: no such function in the changed source")


def _functions(change: Change) -> Iterator[types.FunctionType]:
    """The functions under a name, out of whatever wraps them."""
    name = change.module.removesuffix(".py").replace("/", ".").removesuffix(".__init__")
    thing: Any = importlib.import_module(name)
    for part in change.function.split("."):
        thing = vars(thing)[part]
    left = [thing]
    while left:
        thing = left.pop()
        if isinstance(thing, types.FunctionType):
            yield thing
        ways = ("fget", "fset", "func", "__func__", "__wrapped__")
        left += [inner for way in ways if (inner := getattr(thing, way, None)) is not None]


def tried(
    change: Change, ready: Ready, items: dict[str, pytest.Item], known: Known, most: float
) -> Answer:
    """Run the tests that reach a change, in a fork, up to so many seconds of their usual time."""
    tests, spent = [], 0.0
    for test in known.reaching(change):
        spent += known.seconds[test]
        if test in items and (spent <= most or not tests):
            tests.append(test)
    if not tests:
        return Answer("no test", "", 0.0)
    out, back = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(out)
        _in_fork(change, ready, [items[t] for t in tests], known, back)
    os.close(back)
    said = b"".join(iter(functools.partial(os.read, out, 4096), b"")).decode()
    os.close(out)
    _, status, usage = os.wait4(child, 0)
    seconds = usage.ru_utime + usage.ru_stime
    last = said.strip().split("\n")[-1]
    if os.WIFSIGNALED(status):
        endless = os.WTERMSIG(status) in (signal.SIGXCPU, signal.SIGKILL)
        return Answer("endless" if endless else "found", last, seconds)
    return (
        Answer("found", last, seconds) if os.WEXITSTATUS(status) else Answer("missed", "", seconds)
    )


def _in_fork(
    change: Change, ready: Ready, tests: list[pytest.Item], known: Known, back: int
) -> None:
    code = 1
    try:
        nothing = os.open(os.devnull, os.O_RDWR)
        for stream in (1, 2):
            os.dup2(nothing, stream)
        tests[0].config.pluginmanager.unregister(name="terminalreporter")
        resource.setrlimit(resource.RLIMIT_AS, (12 << 30, resource.RLIM_INFINITY))
        put(change)
        for test, following in zip(tests, [*tests[1:], None], strict=True):
            os.write(back, f"{test.nodeid}\n".encode())
            used = time.process_time()
            most = int(used + 10 + 10 * known.seconds[test.nodeid])
            resource.setrlimit(resource.RLIMIT_CPU, (most, resource.RLIM_INFINITY))
            if not ready.runs(test, following):
                break
        else:
            code = 0
    finally:
        os._exit(code)


# --- everything -----------------------------------------------------------------------------------


def known_from(file: Path) -> Known:
    """What an earlier run over the very same files has learnt."""
    told = json.loads(file.read_text("utf-8"))
    lines = {m: {t: set(found) for t, found in of.items()} for m, of in told["lines"].items()}
    return Known(told["seconds"], lines, told["modules"])


def warm(modules: Iterable[str]) -> None:
    """Import what the tests will need, and let forks share it."""
    for name in (*modules, *(m.removesuffix(".py").replace("/", ".") for m in files())):
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            try:
                importlib.import_module(name)
            except (ImportError, AttributeError):
                continue
    gc.collect()
    gc.freeze()
