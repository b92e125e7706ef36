"""Opening the database: SQLite so that it keeps what it acknowledged, or PostgreSQL.

WAL with `synchronous=NORMAL` loses acknowledged entries at a power cut; FULL loses none. The
settings are made on every connection and read back, since SQLite does not say when it ignores one.
"""

from __future__ import annotations

import sqlite3
from typing import Any

from sqlalchemy import Engine, Pool, create_engine, event
from sqlalchemy.engine import Connection

from qa.errors import StoreError
from qa.store.faults import cannot_be_used, translate_faults

_SQLITE_SETTINGS = (
    ("journal_mode", "WAL", "wal"),
    ("synchronous", "FULL", 2),
    ("foreign_keys", "ON", 1),
    # What was erased must not be found in the pages that it left.
    ("secure_delete", "ON", 1),
    ("busy_timeout", "20000", 20000),
)

WRITES = "laidtrue_writes"
"""Execution option of a connection that will write, so that SQLite locks at once."""


def open_engine(url: str) -> Engine:
    """An engine for `url`, `sqlite:///…` or `postgresql+psycopg://…`.

    Raises:
        StoreError: a kind of database that Laidtrue does not know.
    """
    if url.startswith("sqlite:"):
        engine = create_engine(url, connect_args={"check_same_thread": False}, hide_parameters=True)
        event.listen(engine, "connect", _set_up_sqlite)
        event.listen(engine, "begin", _begin_sqlite)
    elif url.startswith("postgresql+psycopg:"):
        engine = create_engine(url, pool_pre_ping=True, hide_parameters=True)
    else:
        raise StoreError(
            f"{url.split(':', 1)[0]} is no database that Laidtrue knows; "
            "give sqlite:///FILE or postgresql+psycopg://…"
        )
    translate_faults(engine)
    return engine


def _set_up_sqlite(connection: Any, _: Pool) -> None:
    # The driver begins no transaction of its own: a deferred one would fail where two write.
    connection.isolation_level = None
    for name, value, expected in _SQLITE_SETTINGS:
        try:
            connection.execute(f"PRAGMA {name}={value}")
            found = connection.execute(f"PRAGMA {name}").fetchone()[0]
        except sqlite3.Error as error:
            connection.close()
            raise cannot_be_used(str(error)) from error
        if found != expected:
            connection.close()
            raise StoreError(
                f"SQLite did not take {name}={value} (it says {found}); without it an "
                "acknowledged entry could be lost. Put the database on a local disk."
            )


def _begin_sqlite(connection: Connection) -> None:
    writes = connection.get_execution_options().get(WRITES, False)
    driver: Any = connection.connection.dbapi_connection
    try:
        driver.execute("BEGIN IMMEDIATE" if writes else "BEGIN")
    except sqlite3.Error as error:
        raise cannot_be_used(str(error)) from error
