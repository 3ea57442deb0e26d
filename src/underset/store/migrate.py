"""Brings the tables of a store to the newest form; the only place that makes tables.

Each migration is one file of `migrations/versions`. All pending ones run in one transaction with
the note that they ran, so that a store is either before or after, never between.
"""

from __future__ import annotations

from enum import Enum
from pathlib import Path
from typing import TYPE_CHECKING, Final

from sqlalchemy import Connection, Engine, inspect, text

from underset.errors import StoreError
from underset.store.engines import is_postgres

if TYPE_CHECKING:
    from alembic.config import Config

FOLDER: Final = Path(__file__).with_name("migrations")
NEWEST: Final = "r0001"
_LOCK = 8_317_402_115  # any number that no other program takes: PostgreSQL's lock while migrating


class Form(Enum):
    """What the tables of a database look like."""

    EMPTY = "holds no tables"
    OLD = "was made by an older version"
    NEWEST = "is in the newest form"
    UNKNOWN = "was made by a newer version"
    FOREIGN = "holds tables of something else"


def form_of(conn: Connection) -> Form:
    """Read only: which form the tables have."""
    names = inspect(conn).get_table_names()
    if not names:
        return Form.EMPTY
    if "alembic_version" not in names:
        return Form.FOREIGN
    revision = conn.scalar(text("SELECT version_num FROM alembic_version"))
    if revision == NEWEST:
        return Form.NEWEST
    if revision is None and names == ["alembic_version"]:
        return Form.EMPTY
    return Form.OLD if revision in _known() else Form.UNKNOWN


def pending(conn: Connection) -> tuple[str, ...]:
    """Read only: names of the migrations still to run, oldest first."""
    form = form_of(conn)
    if form is Form.NEWEST:
        return ()
    if form is Form.EMPTY:
        return _known()
    revision = conn.scalar(text("SELECT version_num FROM alembic_version"))
    known = _known()
    return known[known.index(revision) + 1 :] if revision in known else ()


def bring_up(engine: Engine, place: str) -> tuple[str, ...]:
    """Run what is pending, all or nothing; the names that ran are returned.

    Raises StoreError when the tables are not ours or newer than this version.
    """
    with engine.begin() as conn:
        if is_postgres(conn):
            conn.execute(text("SELECT pg_advisory_xact_lock(:n)"), {"n": _LOCK})
        form, names = form_of(conn), pending(conn)
        refuse_form(form, place)
        if names:
            _upgrade(conn)
    return names


def refuse_form(form: Form, place: str) -> None:
    """Raise StoreError for tables that this version must not touch."""
    if form is Form.UNKNOWN:
        raise StoreError(f"{place} {form.value} of Underset. Update Underset, then open it again.")
    if form is Form.FOREIGN:
        raise StoreError(f"{place} {form.value}. Name an empty database or a file not yet there.")


def _upgrade(conn: Connection) -> None:
    from alembic import command

    config = _config()
    config.attributes["connection"] = conn
    command.upgrade(config, NEWEST)


def _known() -> tuple[str, ...]:
    from alembic.script import ScriptDirectory

    scripts = ScriptDirectory.from_config(_config())
    return tuple(reversed([script.revision for script in scripts.walk_revisions()]))


def _config() -> Config:
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(FOLDER).replace("%", "%%"))
    config.set_main_option("path_separator", "os")
    return config
