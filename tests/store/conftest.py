"""Every test of the store that takes `place` runs on both engines."""

from __future__ import annotations

import os
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from uuid import uuid4

import pytest

from underset.store import Store, open_store


class Clock:
    """A clock that stands still until it is moved."""

    def __init__(self) -> None:
        self.now = datetime(2026, 11, 20, 8, 0, tzinfo=UTC)

    def __call__(self) -> datetime:
        return self.now

    def move(self, **by: float) -> None:
        self.now += timedelta(**by)


@pytest.fixture(scope="session")
def postgres_database() -> Iterator[str]:
    """One database for all tests of the store: one for each would take most of their time."""
    server = os.environ.get("UNDERSET_TEST_POSTGRES", "")
    if not server:
        pytest.skip("no PostgreSQL server is named in UNDERSET_TEST_POSTGRES; check.py provides it")
    import psycopg

    name = f"underset_{uuid4().hex}"
    with psycopg.connect(server, autocommit=True) as connection:
        connection.execute(f"CREATE DATABASE {name}".encode())
        yield server.rpartition("/")[0] + f"/{name}"
        connection.execute(f"DROP DATABASE {name} WITH (FORCE)".encode())


@pytest.fixture
def postgres_place(postgres_database: str) -> Iterator[str]:
    """The address of an empty schema of its own, removed afterwards."""
    import psycopg

    name = f"s{uuid4().hex}"
    with psycopg.connect(postgres_database, autocommit=True) as connection:
        connection.execute(f"CREATE SCHEMA {name}".encode())
        yield f"{postgres_database}?options=-csearch_path%3D{name}"
        connection.execute(f"DROP SCHEMA {name} CASCADE".encode())


@pytest.fixture(params=["sqlite", pytest.param("postgresql", marks=pytest.mark.postgres)])
def place(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """Where a store may be made: a path, or the address of an empty schema."""
    if request.param == "sqlite":
        return str(tmp_path / "book.db")
    return str(request.getfixturevalue("postgres_place"))


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def local(tmp_path: Path, clock: Clock) -> Iterator[Store]:
    """A new, empty SQLite store, for what has nothing to do with the engine."""
    with open_store(tmp_path / "local.db", clock=clock) as opened:
        yield opened


@pytest.fixture
def store(place: str, clock: Clock) -> Iterator[Store]:
    """A new, empty store on either engine."""
    with open_store(place, clock=clock) as opened:
        yield opened
