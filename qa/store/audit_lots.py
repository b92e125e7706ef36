"""The complete jobs of a firm in a stretch of time: what an audit is drawn from."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import select

from qa.store.store import Database
from qa.store.tables.ledger import JobRow


@dataclass(frozen=True, slots=True, kw_only=True)
class AuditableJob:
    """A job that may be drawn."""

    id: str
    reference: str
    title: str


def complete_jobs(
    database: Database, *, firm_id: str, since: datetime, until: datetime
) -> tuple[AuditableJob, ...]:
    """A firm's complete jobs that were opened from one moment to before another, by reference."""
    query = (
        select(JobRow.id, JobRow.reference, JobRow.title)
        .where(
            JobRow.firm_id == firm_id,
            JobRow.complete.is_(True),
            JobRow.opened_at >= since,
            JobRow.opened_at < until,
        )
        .order_by(JobRow.reference)
    )
    rows = database.execute(query)
    return tuple(AuditableJob(id=id_, reference=ref, title=title) for id_, ref, title in rows)
