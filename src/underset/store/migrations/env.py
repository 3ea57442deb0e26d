"""Run by alembic: takes the open transaction of `underset.store.migrate` and works inside it."""

from __future__ import annotations

from alembic import context

from underset.store.tables import METADATA

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=METADATA,
    transactional_ddl=True,
)
context.run_migrations()
