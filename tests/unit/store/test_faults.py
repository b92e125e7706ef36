"""What a database or a machine refuses is told in a sentence, with what caused it behind it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import text
from sqlalchemy.exc import IntegrityError, ProgrammingError

from qa.errors import StoreError
from qa.store.engine import WRITES, open_engine
from qa.store.store import Store
from tests.postgres import PostgresServer
from tests.unit.store.entry_rows import ON_SQLITE


def _is_a_folder(path: Path) -> None:
    path.mkdir()


def _is_no_database(path: Path) -> None:
    path.write_bytes(b"this was never a database" * 100)


def _is_cut_off(path: Path) -> None:
    engine = open_engine(f"sqlite:///{path}")
    with engine.begin() as connection:
        connection.exec_driver_sql("CREATE TABLE mark (word TEXT)")
        connection.exec_driver_sql("INSERT INTO mark VALUES (hex(zeroblob(100000)))")
    engine.dispose()
    path.write_bytes(path.read_bytes()[:50_000])


@pytest.mark.parametrize("spoil", [_is_a_folder, _is_no_database, _is_cut_off])
def test_file_that_is_no_database_is_told(spoil: Callable[[Path], None], tmp_path: Path) -> None:
    spoil(tmp_path / "laidtrue.db")
    engine = open_engine(f"sqlite:///{tmp_path / 'laidtrue.db'}")
    with (
        pytest.raises(StoreError, match=r"^The database cannot be used: .* Nothing was saved"),
        engine.connect() as connection,
    ):
        connection.execute(text("SELECT * FROM mark"))
    engine.dispose()


def test_place_that_is_not_there_is_told(tmp_path: Path) -> None:
    engine = open_engine(f"sqlite:///{tmp_path / 'nowhere' / 'laidtrue.db'}")
    with pytest.raises(StoreError, match="unable to open database file"):
        engine.connect()


def test_server_that_does_not_answer_is_told(tmp_path: Path) -> None:
    engine = open_engine(f"postgresql+psycopg:///laidtrue?host={tmp_path}")
    with pytest.raises(StoreError, match=r"^The database cannot be used: "):
        engine.connect()


def test_server_that_lost_a_connection_is_asked_again(postgres: PostgresServer) -> None:
    with postgres.database() as url:
        engine = open_engine(url)
        with engine.connect() as connection:
            connection.execute(text("SELECT 1"))
        with postgres.connect(engine.url.database or "") as other:
            other.execute(
                "SELECT pg_terminate_backend(pid) FROM pg_stat_activity"
                " WHERE datname = current_database() AND pid <> pg_backend_pid()"
            )
        with engine.connect() as connection:
            assert connection.execute(text("SELECT 1")).scalar() == 1
        engine.dispose()


def test_fault_of_the_program_stays_what_it_is(store: Store) -> None:
    with store.engine.connect() as connection, pytest.raises((ProgrammingError, StoreError)):
        connection.execute(text("SELECT nothing FROM nowhere"))
    with pytest.raises(IntegrityError), store.engine.connect() as connection, connection.begin():
        connection.execute(text("INSERT INTO upload (id) VALUES ('one')"))


@ON_SQLITE
def test_database_that_stays_locked_is_told(store: Store) -> None:
    with store.writing() as session:
        session.execute(text("SELECT 1"))
        other = open_engine(str(store.engine.url))
        with other.connect().execution_options(**{WRITES: True}) as connection:
            driver: Any = connection.connection.driver_connection
            driver.execute("PRAGMA busy_timeout=1")
            with pytest.raises(StoreError, match="database is locked"):
                connection.begin()
        other.dispose()


def test_unknown_kind_of_database_is_refused() -> None:
    with pytest.raises(StoreError, match="mysql is no database that Laidtrue knows"):
        open_engine("mysql://somewhere/laidtrue")
