"""Fixtures and rules for every test.

In the gate (UNDERSET_GATE=1) a skipped test counts as failed: what a machine lacks must be told.
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from functools import partial
from typing import TYPE_CHECKING, Any
from uuid import uuid4

import pytest
from hypothesis import settings

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

IN_GATE = os.environ.get("UNDERSET_GATE") == "1"

# Decision: on a shared machine a time limit per example fails at random, so there is none; the gate
# draws the same examples every time, everyone else new ones.
settings.register_profile("gate", deadline=None, derandomize=True)
settings.register_profile("here", deadline=None)
settings.load_profile("gate" if IN_GATE else "here")


# --- nothing is skipped silently ------------------------------------------------------------------


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(item: pytest.Item) -> Iterator[None]:
    return refuse_skip((yield))


@pytest.hookimpl(wrapper=True)
def pytest_make_collect_report(collector: pytest.Collector) -> Iterator[None]:
    return refuse_skip((yield))


def refuse_skip(report: Any) -> Any:
    """In the gate, turn a skip into a failure that gives the reason for the skip."""
    if IN_GATE and report.skipped and not hasattr(report, "wasxfail"):
        reason = report.longrepr[2] if isinstance(report.longrepr, tuple) else report.longrepr
        report.outcome = "failed"
        report.longrepr = f"Skipped, and the gate allows none. {reason}"
    return report


def lacking(what: str) -> None:
    """End this test because the machine lacks something: skipped here, failed in the gate."""
    pytest.skip(f"{what}. The gate (check.py) provides it")


# --- secrets --------------------------------------------------------------------------------------


@pytest.fixture(scope="session", autouse=True)
def cheap_hashes() -> Iterator[None]:
    """The real hash of secrets at the least cost; what it costs in use is tested with accounts."""
    import argon2

    cheap = partial(argon2.PasswordHasher, time_cost=1, memory_cost=8, parallelism=1)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(argon2, "PasswordHasher", cheap)
        yield


# --- PostgreSQL -----------------------------------------------------------------------------------


@pytest.fixture
def postgres_url() -> Iterator[str]:
    """The address of a new, empty PostgreSQL database, removed afterwards."""
    server = os.environ.get("UNDERSET_TEST_POSTGRES", "")
    if not server:
        lacking("no PostgreSQL server is named in UNDERSET_TEST_POSTGRES")
    import psycopg

    name = f"underset_{uuid4().hex}"
    with psycopg.connect(server, autocommit=True) as connection:
        connection.execute(f"CREATE DATABASE {name}".encode())
        yield server.rpartition("/")[0] + f"/{name}"
        connection.execute(f"DROP DATABASE {name} WITH (FORCE)".encode())


# --- Chromium -------------------------------------------------------------------------------------

CHROMIUM_ARGUMENTS = [
    "--no-sandbox",  # the gate may run as root, which Chromium's sandbox refuses
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    """One headless Chromium for all browser tests of a process."""
    program = shutil.which("chromium")
    if program is None:
        lacking("no program chromium on the path")
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=program, args=CHROMIUM_ARGUMENTS)
        yield browser
        browser.close()


@pytest.fixture
def page(chromium: Browser) -> Iterator[Page]:
    """A fresh page in a context of its own, at a tablet's size."""
    context = chromium.new_context(viewport={"width": 768, "height": 1024})
    yield context.new_page()
    context.close()
