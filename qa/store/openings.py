"""What the openings of a firm's jobs tell about the next one."""

from __future__ import annotations

from dataclasses import dataclass

from sqlalchemy import select
from sqlalchemy.orm import Session

from qa.store.tables import JobRow


@dataclass(frozen=True, slots=True, kw_only=True)
class LastOpening:
    """What a firm's newest job was opened with."""

    time_zone: str
    specification: str


def last_opening(session: Session, *, firm_id: str) -> LastOpening | None:
    """The opening of the firm's newest job, or None where it has none."""
    row = session.execute(
        select(JobRow.time_zone, JobRow.specification)
        .where(JobRow.firm_id == firm_id)
        .order_by(JobRow.opened_at.desc(), JobRow.id)
        .limit(1)
    ).first()
    return None if row is None else LastOpening(time_zone=row[0], specification=row[1])


def references_from(session: Session, *, firm_id: str, prefix: str) -> tuple[str, ...]:
    """The references of the firm's jobs that begin with `prefix`."""
    found = session.scalars(
        select(JobRow.reference).where(
            JobRow.firm_id == firm_id, JobRow.reference.startswith(prefix, autoescape=True)
        )
    )
    return tuple(found)
