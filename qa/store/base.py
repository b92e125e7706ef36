"""The base of every table: names of constraints, and the one column type for times."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

from sqlalchemy import DateTime, MetaData, String
from sqlalchemy.engine import Dialect
from sqlalchemy.orm import DeclarativeBase
from sqlalchemy.types import TypeDecorator

NAMING = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_N_name)s_%(referred_table_name)s",
    "pk": "pk_%(table_name)s",
}
"""So that a migration can name what it changes, on every database."""


class UtcTime(TypeDecorator[datetime]):
    """A moment: aware on the way in, UTC in the database, UTC on the way out.

    SQLite answers naive times; this type is why nobody else has to know that.
    """

    impl = DateTime(timezone=True)
    cache_ok = True

    def process_bind_param(
        self,
        value: datetime | None,
        dialect: Dialect,  # noqa: ARG002 - SQLAlchemy hands it to every type
    ) -> Any:
        """The moment in UTC; a time without an offset is a fault of the program.

        Raises:
            ValueError: a naive time.
        """
        if value is None:
            return None
        if value.tzinfo is None:
            raise ValueError(f"{value} has no offset; a moment in the database needs one.")
        return value.astimezone(UTC)

    def process_result_value(
        self,
        value: Any,
        dialect: Dialect,  # noqa: ARG002 - SQLAlchemy hands it to every type
    ) -> datetime | None:
        """The moment, aware."""
        if value is None:
            return None
        moment: datetime = value
        return moment.replace(tzinfo=UTC) if moment.tzinfo is None else moment.astimezone(UTC)


class Base(DeclarativeBase):
    """Base of every table."""

    metadata = MetaData(naming_convention=NAMING)
    type_annotation_map = {datetime: UtcTime}  # noqa: RUF012 - the library reads it from the class


BY_CODE_POINT = String(160).with_variant(String(160, collation="C"), "postgresql")
"""Text that both databases order by code point, so that a prefix is one stretch of its index."""
