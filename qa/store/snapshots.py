"""A copy of the whole database in one state, taken while others write."""

from __future__ import annotations

import sqlite3
from pathlib import Path

from sqlalchemy import Engine, make_url

from qa.errors import StoreError
from qa.store.durably import sync


def sqlite_file(url: str) -> Path | None:
    """The file of a SQLite database, or None for a server's."""
    parts = make_url(url)
    return Path(parts.database) if parts.get_backend_name() == "sqlite" and parts.database else None


def copy_database(engine: Engine, path: Path) -> None:
    """Writes a SQLite database anew into a file that must not exist.

    What was deleted is not in the copy, not even in its free pages; the guards are.

    Raises:
        StoreError: it could not be written.
    """
    pooled = engine.raw_connection()
    try:
        # No transaction may be open, and the engine's own connections always begin one.
        pooled.driver_connection.execute("VACUUM INTO ?", (str(path),))  # type: ignore[union-attr]
        sync(path)
    except (sqlite3.Error, OSError) as error:
        raise StoreError(f"{path} cannot be written: {error}. Make room there.") from error
    finally:
        pooled.close()
