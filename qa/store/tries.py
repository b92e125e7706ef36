"""Counts of tries, kept in the database so that they hold over several processes."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from sqlalchemy import delete, select, update
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from qa.store.tables import TryRow


@dataclass(frozen=True, slots=True, kw_only=True)
class Tries:
    """How often something was tried.

    Attributes:
        count: with the try that was just counted.
        began_at: when the count began.
    """

    count: int
    began_at: datetime


def count_try(session: Session, subject: str, *, span: timedelta, now: datetime) -> Tries:
    """Counts one more try of `subject`; the count starts anew when its span is over."""
    row = _held(session, subject, now)
    if row.began_at + span <= now:
        row.began_at, row.tries = now, 0
    row.tries += 1
    session.flush()
    return Tries(count=row.tries, began_at=row.began_at)


def standing_count(session: Session, subject: str, *, span: timedelta, now: datetime) -> Tries:
    """How often `subject` was tried in its span, without counting anything."""
    row = session.get(TryRow, subject)
    if row is None or row.began_at + span <= now:
        return Tries(count=0, began_at=now)
    return Tries(count=row.tries, began_at=row.began_at)


def give_back(session: Session, subject: str) -> None:
    """Takes one try off the count: it was none to be counted."""
    session.execute(
        update(TryRow)
        .where(TryRow.subject == subject, TryRow.tries > 0)
        .values(tries=TryRow.tries - 1)
    )


def forget(session: Session, subject: str) -> None:
    """Forgets the count of `subject`."""
    session.execute(delete(TryRow).where(TryRow.subject == subject))


def forget_before(session: Session, moment: datetime) -> None:
    """Forgets every count that began before `moment`."""
    session.execute(delete(TryRow).where(TryRow.began_at < moment))


def _held(session: Session, subject: str, now: datetime) -> TryRow:
    """The row of `subject`, which no other process changes until this transaction ends."""
    query = select(TryRow).where(TryRow.subject == subject).with_for_update()
    row = session.scalar(query)
    if row is not None:
        return row
    try:
        with session.begin_nested():
            session.add(TryRow(subject=subject, began_at=now, tries=0))
    except IntegrityError:  # another process was quicker, and its row is there now
        pass
    return session.scalars(query).one()
