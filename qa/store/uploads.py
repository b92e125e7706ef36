"""Rows of photos that arrive in pieces: what each is to become, and whose it is."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import delete, select, update
from sqlalchemy.orm import Session

from qa.store.tables import UploadRow


@dataclass(frozen=True, slots=True, kw_only=True)
class Upload:
    """A photo that arrives in pieces.

    Attributes:
        sha256: the digest that it will have, as the phone states it.
        bytes: how long it will be.
        name: the file's name on the phone, for sentences.
        finished_at: when it was taken in whole; its file has gone to the originals.
    """

    id: str
    sha256: str
    bytes: int
    name: str
    finished_at: datetime | None


def add_upload(
    session: Session, upload: Upload, *, firm_id: str, person_id: str, created_at: datetime
) -> None:
    """Notes a new upload."""
    row = UploadRow(
        id=upload.id,
        firm_id=firm_id,
        person_id=person_id,
        sha256=upload.sha256,
        length=upload.bytes,
        name=upload.name,
        created_at=created_at,
        finished_at=upload.finished_at,
    )
    session.add(row)
    session.flush()


def find_upload(session: Session, upload: str, *, firm_id: str, person_id: str) -> Upload | None:
    """A person's upload, or None where they have none of that id."""
    row = session.get(UploadRow, upload)
    if row is None or (row.firm_id, row.person_id) != (firm_id, person_id):
        return None
    return _upload(row)


def begun_upload(
    session: Session, sha256: str, length: int, *, firm_id: str, person_id: str
) -> Upload | None:
    """A person's upload of the same photo that is still arriving, or None."""
    row = session.scalars(
        select(UploadRow)
        .where(
            UploadRow.firm_id == firm_id,
            UploadRow.person_id == person_id,
            UploadRow.sha256 == sha256,
            UploadRow.length == length,
            UploadRow.finished_at.is_(None),
        )
        .limit(1)
    ).first()
    return None if row is None else _upload(row)


def finish_upload(session: Session, upload: str, now: datetime) -> None:
    """Notes that an upload was taken in."""
    session.execute(update(UploadRow).where(UploadRow.id == upload).values(finished_at=now))


def drop_upload(session: Session, upload: str) -> None:
    """Removes an upload."""
    session.execute(delete(UploadRow).where(UploadRow.id == upload))


def stale_uploads(session: Session, before: datetime) -> tuple[str, ...]:
    """Ids of the uploads that began before that time, finished or not."""
    return tuple(session.scalars(select(UploadRow.id).where(UploadRow.created_at < before)))


def known_uploads(session: Session) -> frozenset[str]:
    """Ids of all uploads."""
    return frozenset(session.scalars(select(UploadRow.id)))


def _upload(row: UploadRow) -> Upload:
    return Upload(
        id=row.id,
        sha256=row.sha256,
        bytes=row.length,
        name=row.name,
        finished_at=row.finished_at,
    )
