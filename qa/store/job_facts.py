"""What a firm's jobs have to tell beside each other, as it was kept when they were judged."""

from __future__ import annotations

from sqlalchemy import select

from qa.store.store import Database
from qa.store.tables.ledger import JobRow
from qa.store.tables.summaries import JobFactsRow


def newest_facts(database: Database, *, firm_id: str, most: int) -> tuple[str, ...]:
    """The facts of a firm's jobs as JSON, those with the latest entries first."""
    query = (
        select(JobFactsRow.facts)
        .join(JobRow, JobRow.id == JobFactsRow.job_id)
        .where(JobRow.firm_id == firm_id)
        .order_by(JobRow.last_received_at.desc(), JobRow.id)
        .limit(most)
    )
    return tuple(database.scalars(query))
