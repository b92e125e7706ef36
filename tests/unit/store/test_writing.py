"""The one transaction of a use case: kept whole, or not at all."""

from __future__ import annotations

from pathlib import Path
from sqlite3 import ProgrammingError

import pytest
from sqlalchemy import text

from qa.store.engine import open_engine
from qa.store.store import Store


@pytest.fixture
def store(tmp_path: Path) -> Store:
    store = Store(engine=open_engine(f"sqlite:///{tmp_path / 'laidtrue.db'}"))
    with store.writing() as session:
        session.execute(text("CREATE TABLE mark (n INTEGER)"))
    return store


def _marks(store: Store) -> int:
    with store.reading() as session:
        return int(session.execute(text("SELECT count(*) FROM mark")).scalar_one())


def test_what_was_written_stays(store: Store) -> None:
    with store.writing() as session:
        session.execute(text("INSERT INTO mark VALUES (1)"))
    assert _marks(store) == 1


def test_nothing_stays_of_a_failed_use_case(store: Store) -> None:
    def fail() -> None:
        with store.writing() as session:
            session.execute(text("INSERT INTO mark VALUES (1)"))
            raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        fail()
    assert _marks(store) == 0


def test_reading_changes_nothing(store: Store) -> None:
    with store.reading() as session:
        session.execute(text("INSERT INTO mark VALUES (1)"))
    assert _marks(store) == 0


def test_writer_is_kept_and_closed_with_the_others(store: Store) -> None:
    with store.adding() as connection:
        first = connection.connection.dbapi_connection
    with store.adding() as connection:
        assert connection.connection.dbapi_connection is first
    store.engine.dispose()
    with pytest.raises(ProgrammingError):
        first.execute("SELECT 1")  # type: ignore[union-attr]
    with store.adding() as connection:
        connection.execute(text("INSERT INTO mark VALUES (2)"))
    assert _marks(store) == 1
