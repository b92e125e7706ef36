"""A firm's jobs as its list shows them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import and_, func, select

from qa.store.store import Database
from qa.store.tables.ledger import DisclosureRow, JobRow
from qa.store.tables.summaries import ReleaseWaitingRow


@dataclass(frozen=True, slots=True, kw_only=True)
class ListedJob:
    """A job in a list.

    Attributes:
        address: the site's address, or None where it was erased.
        stage: the stage in hand, or None where all are signed off.
        outside: how many findings are open.
        waiting: how many stages wait for a supervisor.
    """

    id: str
    reference: str
    title: str
    address: str | None
    stage: str | None
    outside: int
    waiting: int
    last_received_at: datetime
    time_zone: str


def list_jobs(
    database: Database, *, firm_id: str, most: int, skip: int = 0
) -> tuple[ListedJob, ...]:
    """A firm's jobs, the one with the latest entry first."""
    waiting = (
        select(func.count())
        .where(ReleaseWaitingRow.job_id == JobRow.id)
        .correlate(JobRow)
        .scalar_subquery()
    )
    query = (
        select(
            JobRow.id,
            JobRow.reference,
            JobRow.title,
            DisclosureRow.value,
            JobRow.stage,
            JobRow.outside,
            waiting,
            JobRow.last_received_at,
            JobRow.time_zone,
        )
        .outerjoin(
            DisclosureRow,
            and_(
                DisclosureRow.job_id == JobRow.id,
                DisclosureRow.entry_id == JobRow.address_entry,
                DisclosureRow.field == JobRow.address_field,
            ),
        )
        .where(JobRow.firm_id == firm_id)
        .order_by(JobRow.last_received_at.desc(), JobRow.id)
        .limit(most)
        .offset(skip)
    )
    return tuple(
        ListedJob(
            id=row[0],
            reference=row[1],
            title=row[2],
            address=row[3],
            stage=row[4],
            outside=row[5],
            waiting=row[6],
            last_received_at=row[7],
            time_zone=row[8],
        )
        for row in database.execute(query)
    )
