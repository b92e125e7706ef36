"""Which jobs wait for their handover pack: a column of the job, since a list asks for it often."""

from __future__ import annotations

from sqlalchemy import and_, select, update

from qa.store.erased_packs import IS_ERASED
from qa.store.store import Database
from qa.store.tables.ledger import JobRow
from qa.store.tables.work import PackRow


def settle_pack_due(database: Database, *, job_id: str) -> bool:
    """Notes whether a job waits for its handover pack; answers whether that is a change."""
    covered = (
        select(PackRow.id)
        .where(
            PackRow.job_id == JobRow.id,
            PackRow.kind == "handover",
            PackRow.made_at.is_not(None),
            PackRow.entries >= JobRow.told,
            ~IS_ERASED,
        )
        .correlate(JobRow)
        .exists()
    )
    due = and_(JobRow.complete, ~covered)
    changed = database.execute(
        update(JobRow)
        .where(JobRow.id == job_id, JobRow.pack_due != due)
        .values(pack_due=~JobRow.pack_due)
        .returning(JobRow.id)
    )
    return changed.first() is not None
