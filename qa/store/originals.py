"""Rows of original photographs: which firm holds which, and which job shows which.

Everything is asked with the firm: that another firm holds the same photograph must not be told.
"""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import delete, select
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from qa.record.sealing import PhotoFile
from qa.store.store import Database
from qa.store.tables import JobRow, OriginalRow, PhotoRow


def add_original(
    session: Session, photo: PhotoFile, *, firm_id: str, received_at: datetime
) -> bool:
    """Notes that a firm holds an original; answers whether it is new to that firm."""
    row = OriginalRow(
        firm_id=firm_id,
        sha256=photo.sha256,
        bytes=photo.bytes,
        media_type=photo.media_type,
        received_at=received_at,
    )
    try:
        with session.begin_nested():
            session.add(row)
    except IntegrityError:
        return False
    return True


def find_original(database: Database, sha256: str, *, firm_id: str) -> PhotoFile | None:
    """A firm's original, or None where the firm holds none of that digest."""
    columns = (OriginalRow.sha256, OriginalRow.bytes, OriginalRow.media_type)
    held = select(*columns).where(OriginalRow.firm_id == firm_id, OriginalRow.sha256 == sha256)
    row = database.execute(held).first()
    return None if row is None else PhotoFile(sha256=row[0], bytes=row[1], media_type=row[2])


def shown_original(session: Session, sha256: str, *, firm_id: str, job_id: str) -> PhotoFile | None:
    """An original that a firm's job shows, or None; as `find_original`."""
    row = session.scalars(
        select(OriginalRow)
        .join(PhotoRow, PhotoRow.sha256 == OriginalRow.sha256)
        .join(JobRow, JobRow.id == PhotoRow.job_id)
        .where(
            OriginalRow.firm_id == firm_id,
            OriginalRow.sha256 == sha256,
            JobRow.firm_id == firm_id,
            JobRow.id == job_id,
        )
        .limit(1)
    ).first()
    return None if row is None else _photo_file(row)


def shown_originals(session: Session, *, firm_id: str, job_id: str) -> tuple[tuple[str, str], ...]:
    """Name in the record and digest of every original that a firm's job shows; not the erased."""
    rows = session.execute(
        select(PhotoRow.file, PhotoRow.sha256)
        .join(OriginalRow, OriginalRow.sha256 == PhotoRow.sha256)
        .where(OriginalRow.firm_id == firm_id, PhotoRow.job_id == job_id)
        .order_by(PhotoRow.file)
        .distinct()
    )
    return tuple((file, sha256) for file, sha256 in rows)


def remove_original(database: Database, sha256: str, *, firm_id: str) -> None:
    """Takes an original from a firm, for an erasure; its file may belong to another firm too."""
    database.execute(
        delete(OriginalRow).where(OriginalRow.firm_id == firm_id, OriginalRow.sha256 == sha256)
    )


def is_held(session: Session, sha256: str) -> bool:
    """Whether any firm holds an original; only for deciding whether its file may go."""
    held = select(OriginalRow.firm_id).where(OriginalRow.sha256 == sha256).limit(1)
    return session.scalars(held).first() is not None


def is_shown(database: Database, sha256: str, *, firm_id: str) -> bool:
    """Whether any job of a firm shows an original."""
    shown = (
        select(PhotoRow.job_id)
        .join(JobRow, JobRow.id == PhotoRow.job_id)
        .where(PhotoRow.sha256 == sha256, JobRow.firm_id == firm_id)
        .limit(1)
    )
    return database.scalars(shown).first() is not None


def _photo_file(row: OriginalRow) -> PhotoFile:
    return PhotoFile(sha256=row.sha256, bytes=row.bytes, media_type=row.media_type)
