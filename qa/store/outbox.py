"""The outbox: tasks written in the transaction that made them needful, and who works on them.

A worker takes a lease on a task; if it dies, the lease runs out and another takes the task. Each
lease has a higher fence than the one before, and only the highest may finish: a worker that was
thought dead and was only slow changes nothing any more.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from sqlalchemy import (
    ColumnElement,
    CursorResult,
    Update,
    and_,
    delete,
    insert,
    or_,
    select,
    update,
)
from sqlalchemy.orm import Session

from qa.errors import ConflictError
from qa.store.columns import value_of
from qa.store.store import Database
from qa.store.tables import OutboxRow

LEASE = timedelta(minutes=15)
"""How long a worker has a task: longer than the largest pack takes on a slow machine."""
MOST_ATTEMPTS = 6
"""After so many a task is given up; its row stays, with the last fault."""
FIRST_DELAY = timedelta(seconds=30)
"""Before the second attempt; four times as long before each that follows."""
KEPT = timedelta(days=30)
"""How long a task that is done stays for whoever looks for it."""

WORKER_STOPPED = "The worker stopped before it had finished."


@dataclass(frozen=True, slots=True, kw_only=True)
class Lease:
    """A task that a worker has for a while.

    Attributes:
        id: the task's row.
        task: what to do.
        subject: what to do it to.
        fence: which lease of the task this is, from 1.
        attempt: which attempt this is, from 1.
        given_up: no further attempt is made: all that is left is to say so where people look.
    """

    id: int
    task: str
    subject: str
    fence: int
    attempt: int
    given_up: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """A task as the office sees it."""

    id: int
    task: str
    subject: str
    attempts: int
    due_at: datetime
    done_at: datetime | None
    gave_up_at: datetime | None
    last_fault: str | None


def enqueue(database: Database, task: str, subject: str, now: datetime) -> int:
    """Writes a task into the caller's transaction.

    Args:
        database: the transaction of what made the task needful.
        task: what to do; see `qa.services.tasks`.
        subject: what to do it to, by id only.
        now: from when on it may be done.

    Returns:
        The task's id.
    """
    row = {
        "task": task,
        "subject": subject,
        "created_at": now,
        "due_at": now,
        "attempts": 0,
        "fence": 0,
    }
    written = database.execute(insert(OutboxRow).values(row).returning(OutboxRow.id))
    return written.scalar_one()


def take(session: Session, now: datetime, *, for_: timedelta = LEASE) -> Lease | None:
    """A lease on the task that has been due for longest, or None where none is.

    Args:
        session: a transaction of its own, committed before the work begins.
        now: the time.
        for_: how long the lease holds.
    """
    row = session.scalars(
        select(OutboxRow)
        .where(_is_due(now))
        .order_by(OutboxRow.due_at, OutboxRow.id)
        .limit(1)
        .with_for_update(skip_locked=True)
    ).first()
    if row is None:
        return None
    row.fence += 1
    row.lease_until = now + for_
    given_up = row.attempts >= MOST_ATTEMPTS
    if given_up:
        row.last_fault = row.last_fault or WORKER_STOPPED
    else:
        row.attempts += 1
    session.flush()
    return Lease(
        id=row.id,
        task=row.task,
        subject=row.subject,
        fence=row.fence,
        attempt=row.attempts,
        given_up=given_up,
    )


def finish(session: Session, lease: Lease, now: datetime) -> None:
    """Marks a task as done, in the transaction of its effect.

    Raises:
        ConflictError: the lease is no longer the task's last, or the task is done.
    """
    _fenced(session, lease, update(OutboxRow).values(done_at=now, lease_until=None))


def put_off(session: Session, lease: Lease, now: datetime, fault: str) -> None:
    """Gives a task back to be tried later, each time after a longer while.

    Raises:
        ConflictError: as `finish`.
    """
    due_at = now + FIRST_DELAY * 4 ** (lease.attempt - 1)
    again = update(OutboxRow).values(due_at=due_at, lease_until=None, last_fault=fault)
    _fenced(session, lease, again)


def give_up(session: Session, lease: Lease, now: datetime, fault: str) -> None:
    """Ends a task that cannot be done; its row stays.

    Raises:
        ConflictError: as `finish`.
    """
    ended = update(OutboxRow).values(gave_up_at=now, lease_until=None, last_fault=fault)
    _fenced(session, lease, ended)


def due(session: Session, now: datetime) -> tuple[int, ...]:
    """Ids of the tasks that somebody should take now, longest due first."""
    return tuple(
        session.scalars(
            select(OutboxRow.id).where(_is_due(now)).order_by(OutboxRow.due_at, OutboxRow.id)
        )
    )


def tasks(session: Session) -> tuple[Task, ...]:
    """Every task that is kept, oldest first."""
    rows = session.scalars(select(OutboxRow).order_by(OutboxRow.id))
    return tuple(value_of(Task, row) for row in rows)


def forget_done(session: Session, now: datetime) -> None:
    """Removes tasks that were done long ago; those given up stay."""
    session.execute(delete(OutboxRow).where(OutboxRow.done_at < now - KEPT))


def _is_due(now: datetime) -> ColumnElement[bool]:
    return and_(
        OutboxRow.done_at.is_(None),
        OutboxRow.gave_up_at.is_(None),
        OutboxRow.due_at <= now,
        or_(OutboxRow.lease_until.is_(None), OutboxRow.lease_until <= now),
    )


def _fenced(session: Session, lease: Lease, change: Update) -> None:
    changed = session.execute(
        change.where(
            OutboxRow.id == lease.id,
            OutboxRow.fence == lease.fence,
            OutboxRow.done_at.is_(None),
            OutboxRow.gave_up_at.is_(None),
        )
    )
    assert isinstance(changed, CursorResult)
    if changed.rowcount != 1:
        raise ConflictError(
            f"Task {lease.id} ({lease.task}) was taken over by another worker or is done; what "
            "this one did was dropped."
        )
