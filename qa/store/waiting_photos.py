"""Rows of photographs that wait to be placed; every question takes the firm."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import func, select, update
from sqlalchemy.orm import Session

from qa.store.tables import MessageRow, OriginalRow, PersonRow, WaitingPhotoRow

PLACED, LEFT_OUT, EXPIRED = "placed", "left out", "expired"


@dataclass(frozen=True, slots=True, kw_only=True)
class WaitingPhoto:
    """A photograph that waits, or waited; see `qa.store.tables.waiting.WaitingPhotoRow`.

    Attributes:
        brought_by: name of whoever brought it.
    """

    id: str
    sha256: str
    name: str
    brought_by: str
    taken_clock: str | None
    taken_at: datetime | None
    gps_at: datetime | None
    said_at: datetime | None
    clock_slow_min: int
    chosen: str | None
    arrived_at: datetime
    expires_at: datetime
    ended_at: datetime | None


@dataclass(frozen=True, slots=True, kw_only=True)
class NewWaitingPhoto:
    """A photograph that has just been brought in."""

    id: str
    firm_id: str
    job_id: str
    person_id: str
    sha256: str
    name: str
    taken_clock: str | None
    taken_at: datetime | None
    gps_at: datetime | None
    arrived_at: datetime
    expires_at: datetime


_OWN = tuple(name for name in WaitingPhoto.__slots__ if name != "brought_by")


def put_waiting(session: Session, new: NewWaitingPhoto) -> bool:
    """Lets a photograph wait; one that waited once and was ended waits again.

    The camera's clock is taken to be as far off as that of those that wait already.

    Returns:
        Whether it is new; not where it waits already.
    """
    row = session.scalar(
        select(WaitingPhotoRow).where(
            WaitingPhotoRow.job_id == new.job_id, WaitingPhotoRow.sha256 == new.sha256
        )
    )
    if row is not None and row.ended is None:
        return False
    slow = session.scalar(
        select(WaitingPhotoRow.clock_slow_min)
        .where(WaitingPhotoRow.job_id == new.job_id, WaitingPhotoRow.ended.is_(None))
        .order_by(WaitingPhotoRow.arrived_at.desc())
        .limit(1)
    )
    if row is None:
        row = WaitingPhotoRow(id=new.id, firm_id=new.firm_id, job_id=new.job_id, sha256=new.sha256)
        session.add(row)
    for name in ("person_id", "name", "taken_clock", "taken_at", "gps_at", "arrived_at",
                 "expires_at"):  # fmt: skip
        setattr(row, name, getattr(new, name))
    row.clock_slow_min = slow or 0
    row.said_at = row.chosen = row.ended = row.ended_at = None
    session.flush()
    return True


def waiting_photos(session: Session, *, firm_id: str, job_id: str) -> tuple[WaitingPhoto, ...]:
    """What waits in a job, in the order of arrival; what was erased meanwhile is left out."""
    return _found(session, firm_id, job_id, WaitingPhotoRow.ended.is_(None), has_original=True)


def expired_photos(
    session: Session, *, firm_id: str, job_id: str, since: datetime
) -> tuple[WaitingPhoto, ...]:
    """What was dropped since a time because nobody had placed it."""
    is_expired = (WaitingPhotoRow.ended == EXPIRED) & (WaitingPhotoRow.ended_at >= since)
    return _found(session, firm_id, job_id, is_expired, has_original=False)


def _found(
    session: Session, firm_id: str, job_id: str, narrowed: object, *, has_original: bool
) -> tuple[WaitingPhoto, ...]:
    row = WaitingPhotoRow
    query = (
        select(*(getattr(row, name) for name in _OWN), PersonRow.name)
        .join(PersonRow, PersonRow.id == row.person_id)
        .where(row.firm_id == firm_id, row.job_id == job_id, narrowed)  # type: ignore[arg-type]
        .order_by(row.arrived_at, row.id)
    )
    if has_original:
        query = query.join(
            OriginalRow,
            (OriginalRow.firm_id == row.firm_id) & (OriginalRow.sha256 == row.sha256),
        )
    return tuple(
        WaitingPhoto(**dict(zip(_OWN, found, strict=False)), brought_by=found[-1])
        for found in session.execute(query)
    )


def count_waiting(session: Session, *, firm_id: str, job_id: str) -> int:
    """How many wait in a job."""
    row = WaitingPhotoRow
    query = select(func.count()).where(
        row.firm_id == firm_id, row.job_id == job_id, row.ended.is_(None)
    )
    return session.scalar(query) or 0


def set_waiting(
    session: Session,
    waiting: Collection[str],
    *,
    job_id: str,
    clock_slow_min: int | None = None,
    said_at: datetime | None = None,
    chosen: str | None = None,
) -> None:
    """Notes of photographs that wait what is given; None leaves as it is."""
    given = {"clock_slow_min": clock_slow_min, "said_at": said_at, "chosen": chosen}
    values = {name: value for name, value in given.items() if value is not None}
    if values:
        session.execute(
            update(WaitingPhotoRow)
            .where(
                WaitingPhotoRow.job_id == job_id,
                WaitingPhotoRow.id.in_(waiting),
                WaitingPhotoRow.ended.is_(None),
            )
            .values(**values)
        )


def end_waiting(
    session: Session, waiting: Collection[str], *, job_id: str, ended: str, now: datetime
) -> None:
    """Notes that photographs wait no more."""
    session.execute(
        update(WaitingPhotoRow)
        .where(
            WaitingPhotoRow.job_id == job_id,
            WaitingPhotoRow.id.in_(waiting),
            WaitingPhotoRow.ended.is_(None),
        )
        .values(ended=ended, ended_at=now)
    )


def due_to_expire(session: Session, now: datetime) -> tuple[tuple[str, str, str, str], ...]:
    """Id, firm, job and digest of everything that has waited too long."""
    row = WaitingPhotoRow
    query = select(row.id, row.firm_id, row.job_id, row.sha256).where(
        row.ended.is_(None), row.expires_at <= now
    )
    return tuple((one[0], one[1], one[2], one[3]) for one in session.execute(query))


def is_wanted(session: Session, sha256: str, *, firm_id: str) -> bool:
    """Whether an original waits in any job of a firm, or came with a message to it."""
    waits = select(WaitingPhotoRow.id).where(
        WaitingPhotoRow.firm_id == firm_id,
        WaitingPhotoRow.sha256 == sha256,
        WaitingPhotoRow.ended.is_(None),
    )
    came = select(MessageRow.id).where(MessageRow.firm_id == firm_id, MessageRow.photo == sha256)
    return any(session.scalars(query.limit(1)).first() is not None for query in (waits, came))
