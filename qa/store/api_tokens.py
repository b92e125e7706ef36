"""Tokens of other programs in the database."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime, timedelta

from sqlalchemy import CursorResult, or_, select, update
from sqlalchemy.orm import Session

from qa.store.columns import columns_of, value_of
from qa.store.tables import ApiTokenRow

USE_IS_KEPT_EVERY = timedelta(minutes=1)
"""A program that asks each second must not write a row each second."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ApiToken:
    """A token as the database holds it; of the token itself it holds the digest only."""

    id: str
    firm_id: str
    person_id: str
    token_hash: str = field(repr=False)
    name: str
    created_at: datetime
    expires_at: datetime
    ended_at: datetime | None = None
    used_at: datetime | None = None

    def works(self, now: datetime) -> bool:
        """Whether a program may still use it."""
        return self.ended_at is None and now < self.expires_at


def add_token(session: Session, token: ApiToken) -> None:
    """Adds a token."""
    session.add(ApiTokenRow(**columns_of(token)))
    session.flush()


def tokens_of(session: Session, person_id: str) -> tuple[ApiToken, ...]:
    """A person's tokens, ended ones too, the newest first."""
    rows = session.scalars(
        select(ApiTokenRow)
        .where(ApiTokenRow.person_id == person_id)
        .order_by(ApiTokenRow.created_at.desc(), ApiTokenRow.id.desc())
    )
    return tuple(_token(row) for row in rows)


def token_by_hash(session: Session, token_hash: str) -> ApiToken | None:
    """The token of that digest, whoever's it is."""
    row = session.scalar(select(ApiTokenRow).where(ApiTokenRow.token_hash == token_hash))
    return None if row is None else _token(row)


def end_token(session: Session, person_id: str, token_id: str, *, now: datetime) -> bool:
    """Ends one of a person's tokens; False where none of theirs works under that id."""
    ended = session.execute(
        update(ApiTokenRow)
        .where(
            ApiTokenRow.id == token_id,
            ApiTokenRow.person_id == person_id,
            ApiTokenRow.ended_at.is_(None),
        )
        .values(ended_at=now)
    )
    assert isinstance(ended, CursorResult)
    return ended.rowcount == 1


def note_use(session: Session, token_id: str, *, now: datetime) -> None:
    """Keeps that a token was used, to the minute."""
    session.execute(
        update(ApiTokenRow)
        .where(
            ApiTokenRow.id == token_id,
            or_(ApiTokenRow.used_at.is_(None), ApiTokenRow.used_at <= now - USE_IS_KEPT_EVERY),
        )
        .values(used_at=now)
    )


def _token(row: ApiTokenRow) -> ApiToken:
    return value_of(ApiToken, row)
