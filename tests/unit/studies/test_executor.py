"""Running tasks anywhere: same results in order, dead workers, progress, journals."""

from __future__ import annotations

import itertools
import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests import executor_work as tasks_of
from underset.errors import InputError, InternalError
from underset.studies.executor import Cluster, Here, Place, Pool, Progress, Spread, Watch, run
from underset.studies.journal import Journal


@pytest.fixture(scope="module")
def cluster() -> Iterator[Cluster]:
    distributed = pytest.importorskip("distributed")
    import dask

    with (
        dask.config.set({"distributed.scheduler.allowed-failures": 1}),
        distributed.LocalCluster(
            n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None
        ) as local,
    ):
        yield Cluster(local.scheduler_address)


@pytest.fixture(params=["here", "pool", "cluster"])
def place(request: pytest.FixtureRequest) -> Place:
    if request.param == "cluster":
        return request.getfixturevalue("cluster")
    return {"here": Here(), "pool": Pool(2)}[request.param]


def test_results_come_in_the_order_of_the_tasks_wherever_they_are_made(place: Place):
    assert list(run(tasks_of.slow_first, range(12), place)) == list(range(12))


def test_an_error_of_a_task_is_raised_as_it_was_after_the_results_before_it(place: Place):
    results = run(tasks_of.fails_at_seven, range(20), place)
    assert list(itertools.islice(results, 7)) == list(range(7))
    with pytest.raises(ValueError, match="seven"):
        next(results)


def test_no_tasks_no_results(place: Place):
    assert list(run(tasks_of.square, [], place)) == []


@pytest.mark.parametrize("kind", ["pool", "cluster"])
def test_a_worker_killed_in_the_middle_costs_no_results(kind: str, tmp_path: Path, request):
    where = Pool(2) if kind == "pool" else request.getfixturevalue("cluster")
    marker = tmp_path / "died"
    tasks = [(x, str(marker)) for x in range(30)]
    assert list(run(tasks_of.dies_once, tasks, where)) == [x * x for x in range(30)]
    assert marker.exists()


def test_a_task_that_always_ends_its_worker_is_told_and_not_tried_for_ever():
    results = run(tasks_of.dies_always, range(9), Pool(2))
    assert list(itertools.islice(results, 5)) == [0, 1, 2, 3, 4]
    with pytest.raises(InternalError, match="died 3 times"):
        next(results)


def test_a_cluster_gives_up_on_such_a_task_too(cluster: Cluster):
    with pytest.raises(InternalError, match="died again and again"):
        list(run(tasks_of.dies_always, range(9), cluster))


def test_a_pool_works_in_other_processes_and_more_than_one():
    seen = set(run(tasks_of.process, range(24), Pool(2)))
    assert os.getpid() not in seen
    assert len(seen) == 2


def test_tasks_are_taken_only_a_little_ahead():
    taken = 0

    def endless() -> Iterator[int]:
        nonlocal taken
        while True:
            taken += 1
            yield taken

    results = run(tasks_of.square, endless(), Pool(2))
    for _ in range(20):
        next(results)
    results.close()
    assert taken <= 20 + 4 * 2


def test_a_cluster_that_is_not_there_is_told_with_its_address():
    pytest.importorskip("distributed")
    nowhere = Cluster("tcp://127.0.0.1:9", patience=0.5)
    with pytest.raises(InputError, match=r"tcp://127\.0\.0\.1:9"):
        list(run(tasks_of.square, range(3), nowhere))


def test_a_pool_without_workers_is_refused():
    with pytest.raises(InputError):
        Pool(0)


@pytest.mark.parametrize(("batch", "where"), [(1, Here()), (7, Pool(2)), (100, Here())])
def test_small_tasks_travel_in_batches_with_the_same_results(batch: int, where: Place):
    told: list[Progress] = []
    spread = Spread(where, batch, Watch(told.append, 40))
    assert list(spread(tasks_of.square, range(40))) == [x * x for x in range(40)]
    assert told[-1].done == 40
    assert len(told) == -(-40 // batch)


# --- progress ------------------------------------------------------------------------------------


def test_progress_tells_rate_and_time_left():
    times = iter((100.0, 102.0, 104.0, 106.0))
    told: list[Progress] = []
    watch = Watch(told.append, total=60, size=lambda x: x, clock=lambda: next(times))
    list(run(tasks_of.square, [10, 20, 30], watch=watch))
    assert [p.done for p in told] == [10, 30, 60]
    assert [p.rate for p in told] == [5.0, 7.5, 10.0]
    assert [p.left for p in told] == [10.0, 4.0, 0.0]


def test_before_the_first_result_there_is_no_rate():
    assert Progress(0, 10, 0, 0.0).rate is None
    assert Progress(3, 10, 3, 5.0).left is None


# --- journal -------------------------------------------------------------------------------------


def counting(calls: list[int]):
    def work(x: int) -> dict[str, float]:
        calls.append(x)
        return {"x": x, "root": x**0.5}

    return work


def test_a_run_broken_off_goes_on_where_it_stopped(tmp_path: Path):
    calls: list[int] = []
    path = tmp_path / "journal"
    first = run(counting(calls), range(10), journal=Journal(path, "study"))
    begun = [next(first) for _ in range(4)]
    first.close()
    told: list[Progress] = []
    again = run(
        counting(calls), range(10), watch=Watch(told.append, 10), journal=Journal(path, "study")
    )
    results = list(again)
    assert results[:4] == begun
    assert results == [{"x": x, "root": x**0.5} for x in range(10)]
    assert calls == list(range(10))
    assert [p.kept for p in told] == [1, 2, 3, 4, 4, 4, 4, 4, 4, 4]
    assert list(run(counting(calls), range(10), journal=Journal(path, "study"))) == results
    assert len(calls) == 10


def test_results_are_the_same_with_and_without_a_break(tmp_path: Path):
    place = Pool(2)

    def journal(name: str) -> Journal[int]:
        return Journal(tmp_path / name, "squares")

    whole = list(run(tasks_of.square, range(12), place, journal=journal("whole")))
    part = run(tasks_of.square, range(12), place, journal=journal("part"))
    next(part)
    part.close()
    assert list(run(tasks_of.square, range(12), place, journal=journal("part"))) == whole
    assert (tmp_path / "whole").read_bytes() == (tmp_path / "part").read_bytes()


@pytest.mark.parametrize("cut", [1, 5, 12])
def test_a_torn_last_line_is_dropped_and_done_again(tmp_path: Path, cut: int):
    path = tmp_path / "journal"
    list(run(tasks_of.square, range(100, 106), journal=Journal(path, "study")))
    whole = path.read_bytes()
    path.write_bytes(whole[:-cut])
    calls: list[int] = []

    def work(x: int) -> int:
        calls.append(x)
        return x * x

    again = list(run(work, range(100, 106), journal=Journal(path, "study")))
    assert again == [x * x for x in range(100, 106)]
    assert calls == [105]
    assert path.read_bytes() == whole


def test_a_line_changed_by_hand_is_not_believed(tmp_path: Path):
    path = tmp_path / "journal"
    list(run(tasks_of.square, range(6), journal=Journal(path, "study")))
    path.write_text(path.read_text().replace(" 9\n", " 8\n"))
    assert list(run(tasks_of.square, range(6), journal=Journal(path, "study"))) == [
        0,
        1,
        4,
        9,
        16,
        25,
    ]


def test_a_head_torn_at_birth_begins_anew(tmp_path: Path):
    path = tmp_path / "journal"
    path.write_text('{"form": "unders')
    assert list(run(tasks_of.square, range(3), journal=Journal(path, "study"))) == [0, 1, 4]


def test_journals_of_another_study_and_other_files_are_refused(tmp_path: Path):
    path = tmp_path / "journal"
    list(run(tasks_of.square, range(3), journal=Journal(path, "study")))
    kept = path.read_bytes()
    with pytest.raises(InputError, match="another study"):
        list(run(tasks_of.square, range(3), journal=Journal(path, "other")))
    with pytest.raises(InputError, match="no more results than tasks"):
        list(run(tasks_of.square, range(2), journal=Journal(path, "study")))
    assert path.read_bytes() == kept
    letter = tmp_path / "letter"
    letter.write_text("Dear all,\n")
    with pytest.raises(InputError, match="not a journal"):
        list(run(tasks_of.square, range(3), journal=Journal(letter, "study")))
    assert letter.read_text() == "Dear all,\n"


def test_figures_read_back_exactly(tmp_path: Path):
    figures = [0.1, 1 / 3, 1e-300, float("inf"), 2**53 + 1]
    path = tmp_path / "journal"
    list(run(lambda x: x, figures, journal=Journal(path, "study")))
    journal = Journal[float](path, "study")
    assert list(journal.results()) == figures
    journal.close()


def test_what_json_cannot_hold_is_encoded_and_decoded(tmp_path: Path):
    path = tmp_path / "journal"
    journal = Journal(path, "pairs", encode=list, decode=tuple)
    assert list(run(lambda x: (x, x + 1), range(3), journal=journal)) == [(0, 1), (1, 2), (2, 3)]
    assert json.loads(path.read_text().splitlines()[1].split(" ", 1)[1]) == [0, 1]


def test_ctrl_c_leaves_a_journal_to_go_on_from(tmp_path: Path):
    path = tmp_path / "journal"
    code = (
        "from tests.executor_work import slow_square; from underset.studies.executor import *; "
        "from underset.studies.journal import Journal; from pathlib import Path\n"
        f"journal = Journal(Path({str(path)!r}), 's')\n"
        "if __name__ == '__main__':\n"
        "    list(run(slow_square, range(200), Pool(2), journal=journal))"
    )
    script = tmp_path / "study.py"
    script.write_text(code)
    env = {**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)}
    begun = subprocess.Popen([sys.executable, str(script)], env=env, stderr=subprocess.PIPE)
    until = time.monotonic() + 120.0
    while time.monotonic() < until and (not path.exists() or path.read_bytes().count(b"\n") < 5):
        time.sleep(0.02)
    begun.send_signal(signal.SIGINT)
    _, said = begun.communicate(timeout=120)
    assert begun.returncode != 0
    assert b"KeyboardInterrupt" in said
    lines = path.read_bytes().count(b"\n") - 1
    assert 4 <= lines < 200
    calls: list[int] = []

    def work(x: int) -> int:
        calls.append(x)
        return x * x

    assert list(run(work, range(200), journal=Journal(path, "s"))) == [x * x for x in range(200)]
    assert calls == list(range(lines, 200))
