"""Statements that are sent for every entry, put together once and handed to the driver as they are.

The library takes some thirty microseconds to look a statement up, to wrap its parameters and its
answer, where SQLite takes four to run it; of the time of an entry that was a fifth. What is
prepared here is still the library's own text with its own rules for values, and what the database
refuses becomes what `qa.store.faults` makes of it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection
from sqlalchemy.engine import Dialect
from sqlalchemy.sql import ClauseElement

from qa.store.faults import refusal_of
from qa.store.store import Database

Values = Mapping[str, object]
Row = tuple[Any, ...]


class Prepared:
    """A statement of which every value is a named parameter."""

    def __init__(self, statement: ClauseElement) -> None:
        """From an insert, an update, or a query of text and whole numbers.

        Args:
            statement: of the library's expression language. What a query answers is not
                translated back, so it must ask for nothing that a driver does not know by itself.
        """
        self._statement = statement
        self._texts: dict[str, _Text] = {}

    def run(self, database: Database, *rows: Values) -> None:
        """Sends the statement, once for each row of values.

        Raises:
            StoreError: a guard or the machine refuses it.
            IntegrityError: it contradicts a constraint.
        """
        self._send(database, rows)

    def first(self, database: Database, values: Values) -> Row | None:
        """The first row that a query answers, or None; raises as `run`."""
        rows = self._send(database, (values,), _first)
        return rows[0] if rows else None

    def all(self, database: Database, values: Values) -> Sequence[Row]:
        """Every row that a query answers; raises as `run`."""
        return self._send(database, (values,), _all)

    def _send(
        self,
        database: Database,
        rows: Sequence[Values],
        answer: Callable[[Any], Sequence[Row]] = lambda _: (),
    ) -> Sequence[Row]:
        connection = database if isinstance(database, Connection) else database.connection()
        dialect = connection.dialect
        text = self._texts.get(dialect.name)
        if text is None:
            text = self._texts[dialect.name] = _text(self._statement, dialect)
        driver: Any = connection.connection
        cursor = driver.cursor()
        try:
            for values in rows:
                cursor.execute(text.sql, text.row(values))
            return answer(cursor)
        except dialect.loaded_dbapi.Error as fault:
            raise refusal_of(fault, dialect) from fault
        finally:
            cursor.close()


def _first(cursor: Any) -> Sequence[Row]:
    row = cursor.fetchone()
    return () if row is None else (row,)


def _all(cursor: Any) -> Sequence[Row]:
    rows: Sequence[Row] = cursor.fetchall()
    return rows


@dataclass(frozen=True, slots=True, kw_only=True)
class _Text:
    """A statement as one kind of database takes it.

    Attributes:
        row: the parameters as the driver wants them.
    """

    sql: str
    row: Callable[[Values], Any]


Turned = Mapping[str, Callable[[Any], Any] | None]


def _text(statement: ClauseElement, dialect: Dialect) -> _Text:
    compiled: Any = statement.compile(dialect=dialect)
    turned: Turned = {
        name: bind.type.dialect_impl(dialect).bind_processor(dialect)
        for name, bind in compiled.binds.items()
    }
    row = _in_order(compiled.positiontup, turned) if compiled.positional else _by_name(turned)
    return _Text(sql=str(compiled), row=row)


def _in_order(names: Sequence[str], turned: Turned) -> Callable[[Values], Any]:
    pairs = [(name, turned[name]) for name in names]

    def row(values: Values) -> list[Any]:
        return [turn(values[name]) if turn else values[name] for name, turn in pairs]

    return row


def _by_name(turned: Turned) -> Callable[[Values], Any]:
    pairs = tuple(turned.items())

    def row(values: Values) -> dict[str, Any]:
        return {name: turn(values[name]) if turn else values[name] for name, turn in pairs}

    return row
