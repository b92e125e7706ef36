"""The store: a database and the two ways into it, reading and writing."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field

from sqlalchemy import Connection, Engine
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
        with (
            self._writing,
            self.engine.connect().execution_options(**{WRITES: True}) as connection,
            Session(connection) as session,
            session.begin(),
        ):
            yield session

    @contextmanager
    def adding(self) -> Iterator[Connection]:
        """As `writing`, without what a session does beyond its connection: for the ledger."""
        with (
            self._writing,
            self.engine.connect().execution_options(**{WRITES: True}) as connection,
            connection.begin(),
        ):
            yield connection
