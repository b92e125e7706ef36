"""Runs migrations on the connection that the program hands over."""

from __future__ import annotations

from alembic import context

from qa.store import tables
from qa.store.base import Base
from qa.store.migrating import CONNECTION

connection = context.config.attributes.get(CONNECTION)
if connection is None:
    raise SystemExit("Laidtrue migrates its own database when it starts; nothing is to be done.")
assert tables.__all__
# Never in batches: on SQLite a batch copies the table, and its guards are silently gone.
context.configure(
    connection=connection, target_metadata=Base.metadata, render_as_batch=False, compare_type=True
)
with context.begin_transaction():
    context.run_migrations()
