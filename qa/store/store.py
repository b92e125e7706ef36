"""The store: a database and the two ways into it, reading and writing."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field

from sqlalchemy import Connection, Engine, event
from sqlalchemy.orm import Session

from qa.store.engine import WRITES

Database = Session | Connection
"""Whatever sends statements in one transaction: a session, or for the ledger its connection."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Store:
    """A database that is open.

    Attributes:
        engine: see `qa.store.engine.open_engine`.
    """

    engine: Engine
    _writing: threading.RLock = field(default_factory=threading.RLock, repr=False, compare=False)
    _kept: _KeptWriter | None = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        """Keeps a writer where that is of use."""
        object.__setattr__(self, "_kept", _kept_writer(self.engine))

    @contextmanager
    def reading(self) -> Iterator[Session]:
        """A session that sees one state of the database and changes nothing."""
        with self.engine.connect() as connection, Session(connection) as session:
            yield session
            session.rollback()

    @contextmanager
    def writing(self) -> Iterator[Session]:
        """The one transaction of a use case: kept whole at the end, or not at all.

        Writers of one process take turns, so that none of them waits in SQLite's own queue, whose
        waits grow; writers of other processes wait there.
        """
        with self._writer() as connection, Session(connection) as session, session.begin():
            yield session

    @contextmanager
    def adding(self) -> Iterator[Connection]:
        """As `writing`, without what a session does beyond its connection: for the ledger."""
        with self._writer() as connection, connection.begin():
            yield connection

    @contextmanager
    def _writer(self) -> Iterator[Connection]:
        with self._writing:
            if self._kept is None:
                with _connected(self.engine) as connection:
                    yield connection
            else:
                yield self._kept.connection(self.engine)


class _KeptWriter:
    """SQLite's one writer, kept between transactions: fetching it takes longer than an insert."""

    def __init__(self) -> None:
        self._connection: Connection | None = None

    def connection(self, engine: Engine) -> Connection:
        """The connection, opened at its first use, apart from the pool."""
        if self._connection is None or self._connection.closed:
            self._connection = _connected(engine)
            self._connection.detach()
        return self._connection

    def close(self, _: Engine) -> None:
        """Gives it back, together with the engine's others."""
        if self._connection is not None:
            self._connection.close()


def _connected(engine: Engine) -> Connection:
    return engine.connect().execution_options(**{WRITES: True})


def _kept_writer(engine: Engine) -> _KeptWriter | None:
    """On PostgreSQL none: a connection that the server has dropped is noticed by the pool."""
    if engine.dialect.name != "sqlite":
        return None
    kept = _KeptWriter()
    event.listen(engine, "engine_disposed", kept.close)
    return kept
