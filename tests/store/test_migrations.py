"""Tables are made by migrations, to exactly the form the code expects, all or nothing."""

from __future__ import annotations

import importlib.util
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.runtime.migration import MigrationContext
from sqlalchemy import inspect, text

from tests.store_cases import JORUN, check
from underset.errors import StoreError
from underset.store import Store, migrate, open_store
from underset.store.engines import make_sqlite_file, open_engines
from underset.store.tables import APPEND_ONLY, METADATA


def test_the_migrations_make_the_tables_that_the_code_expects(store: Store) -> None:
    with store.read() as tx:
        context = MigrationContext.configure(tx.work.conn)
        assert compare_metadata(context, METADATA) == []


def test_a_table_the_migrations_forgot_would_be_found(store: Store) -> None:
    from sqlalchemy import Column, Integer, MetaData, Table

    wanted = MetaData()
    for table in METADATA.tables.values():
        table.to_metadata(wanted)
    Table("forgotten", wanted, Column("id", Integer, primary_key=True))
    with store.read() as tx:
        differences = compare_metadata(MigrationContext.configure(tx.work.conn), wanted)
    assert [difference[0] for difference in differences] == ["add_table"]


def test_the_newest_migration_is_the_one_the_code_names() -> None:
    files = sorted((migrate.FOLDER / "versions").glob("r*.py"))
    modules = []
    for path in files:
        spec = importlib.util.spec_from_file_location(path.stem, path)
        assert spec is not None
        assert spec.loader is not None
        module = importlib.util.module_from_spec(spec)
        spec.loader.exec_module(module)
        modules.append(module)
    revisions = [module.revision for module in modules]
    assert revisions[-1] == migrate.NEWEST
    assert [module.down_revision for module in modules] == [None, *revisions[:-1]]
    assert all(
        path.name.startswith(f"{name}_") for path, name in zip(files, revisions, strict=True)
    )


def test_what_is_pending_is_listed_without_touching_anything(place: str) -> None:
    engines = open_engines(place)
    if engines.path:
        make_sqlite_file(engines.path)
    with engines.reader.connect() as conn:
        assert migrate.pending(conn)[-1] == migrate.NEWEST
        assert inspect(conn).get_table_names() == []
    assert migrate.bring_up(engines.writer, place)[-1] == migrate.NEWEST
    with engines.reader.connect() as conn:
        assert migrate.pending(conn) == ()
    assert migrate.bring_up(engines.writer, place) == ()
    engines.dispose()


def test_a_migration_that_fails_leaves_nothing(place: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """The note that a migration ran and what it did are one transaction, on SQLite too."""
    monkeypatch.setattr("underset.store.canonical.first_link", lambda _: 1 / 0)  # its last step
    with pytest.raises(ZeroDivisionError):
        open_store(place)
    monkeypatch.undo()
    engines = open_engines(place)
    with engines.reader.connect() as conn:
        assert inspect(conn).get_table_names() == []
    engines.dispose()
    with open_store(place) as store, store.write(JORUN) as tx:
        assert tx.book.append(check()).seq == 1


def test_a_store_opened_again_is_as_it_was(place: str) -> None:
    with open_store(place) as store, store.write(JORUN) as tx:
        head = tx.book.head()
        event = tx.book.append(check())
    with open_store(place) as store, store.read() as tx:
        assert tx.book.head().book == head.book
        assert tx.book.get(1) == event


def test_an_empty_file_is_made_a_store(tmp_path: Path) -> None:
    (tmp_path / "book.db").touch()
    with open_store(tmp_path / "book.db") as store, store.read() as tx:
        assert tx.verify().events == 0


def test_a_store_that_needs_bringing_up_is_not_brought_up_by_reading_it(place: str) -> None:
    engines = open_engines(place)
    if engines.path:
        make_sqlite_file(engines.path)
    for options in ({"read_only": True}, {"create": False}):
        with pytest.raises(StoreError, match="Open it for writing once"):
            open_store(place, **options)
    with engines.reader.connect() as conn:
        assert inspect(conn).get_table_names() == []
    engines.dispose()


def test_sqlite_keeps_what_it_acknowledged_through_a_power_cut(tmp_path: Path) -> None:
    with open_store(tmp_path / "book.db") as store, store.write(JORUN) as tx:
        found = {
            name: tx.work.conn.exec_driver_sql(f"PRAGMA {name}").scalar_one()
            for name in ("journal_mode", "synchronous", "foreign_keys", "fullfsync")
        }
    assert found == {"journal_mode": "wal", "synchronous": 2, "foreign_keys": 1, "fullfsync": 1}


def test_postgresql_keeps_what_it_acknowledged_whatever_the_server_says(
    postgres_place: str,
) -> None:
    with open_store(postgres_place) as store, store.write(JORUN) as tx:
        found = tx.work.conn.scalar(text("SHOW synchronous_commit"))
        waits = tx.work.conn.scalar(text("SHOW lock_timeout"))
    assert (found, waits) == ("on", "15s")


def test_the_guards_stand_on_the_tables_that_only_grow() -> None:
    from underset.store.migrations.versions import r0001_book_and_records as first

    assert first.APPEND_ONLY == APPEND_ONLY
