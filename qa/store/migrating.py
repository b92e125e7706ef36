"""Bringing a database to the tables that this program knows, one migration after the other.

Alembic runs the files of `migrations/` in the order that they name. All of them run in one
transaction, on both databases: a migration that fails leaves the database as it was.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from alembic import command
from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from alembic.util import CommandError
from sqlalchemy import Engine, text

from qa.errors import StoreError
from qa.store.engine import WRITES

CONNECTION = "connection"
"""Under this name `migrations/env.py` finds the connection that it runs on."""

_PACKAGE = Path(__file__).resolve().parents[1]
_PLACES = (_PACKAGE.parent / "migrations", _PACKAGE / "_migrations")
"""At the top of a checkout, or inside the package as a wheel brings them."""

_TURN = 5_318_008_321
"""The number under which processes that start at once take turns on PostgreSQL."""


def migrations_folder() -> Path:
    """Where the migrations are.

    Raises:
        StoreError: neither place has them; the installation is not whole.
    """
    for place in _PLACES:
        if (place / "versions").is_dir():
            return place
    raise StoreError("The migrations of the database are missing; install Laidtrue again.")


def migrate_to_head(engine: Engine) -> None:
    """Bring the database to the newest tables; an empty one gets all of them.

    Raises:
        StoreError: another Laidtrue made the database.
    """
    _run(engine, command.upgrade, "head")


def migrate_back(engine: Engine, revision: str) -> None:
    """Take migrations back, with what they made and all that was kept in it.

    Args:
        engine: the database.
        revision: the last one to leave, or "base" for an empty database.

    Raises:
        StoreError: another Laidtrue made the database.
    """
    _run(engine, command.downgrade, revision)


def require_head(engine: Engine) -> None:
    """Refuses a database whose tables are not those that this program knows.

    Raises:
        StoreError: says which tables it has and which are needed.
    """
    with engine.connect() as connection:
        found = MigrationContext.configure(connection).get_current_revision()
    needed = ScriptDirectory.from_config(_configuration()).get_current_head()
    if found != needed:
        raise StoreError(
            f"The tables of the database are those of {found or 'no migration'}, and this Laidtrue "
            f"needs those of {needed}. Run laidtrue serve once; it brings them up to date."
        )


def _run(engine: Engine, run: Callable[[Config, str], None], revision: str) -> None:
    writing = engine.connect().execution_options(**{WRITES: True})
    with writing as connection, connection.begin():
        if engine.dialect.name == "postgresql":
            connection.execute(text("SELECT pg_advisory_xact_lock(:turn)"), {"turn": _TURN})
        configuration = _configuration()
        configuration.attributes[CONNECTION] = connection
        try:
            run(configuration, revision)
        except CommandError as error:
            raise StoreError(
                f"The database was made by another Laidtrue than this one: {error}. Nothing was "
                "changed; run the version that made it, or a newer one."
            ) from error


def _configuration() -> Config:
    configuration = Config()
    configuration.set_main_option("script_location", str(migrations_folder()).replace("%", "%%"))
    configuration.set_main_option("path_separator", "os")
    return configuration
