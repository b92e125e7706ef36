"""Jobs of a firm by words that they hold, each by how it begins."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sqlalchemy import and_, select

from qa.store.prefixes import begins_with
from qa.store.store import Database
from qa.store.tables.ledger import DisclosureRow, JobRow
from qa.store.tables.summaries import JobWordRow


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundJob:
    """A job that holds the words.

    Attributes:
        address: the site's address, or None where it was erased.
        stage: the stage in hand, or None where all are signed off.
    """

    id: str
    reference: str
    title: str
    address: str | None
    stage: str | None


def find_jobs(
    database: Database, words: Sequence[str], *, firm_id: str, most: int, skip: int = 0
) -> tuple[FoundJob, ...]:
    """A firm's jobs that hold every word or one that begins so, the latest first.

    Args:
        database: of the store.
        words: as `qa.services.finding_words.words_in` makes them; none finds nothing.
        firm_id: the firm.
        most: how many to answer.
        skip: how many to leave out before.
    """
    if not words:
        return ()
    holding = (
        select(JobWordRow.job_id).where(
            JobWordRow.firm_id == firm_id, begins_with(JobWordRow.word, word)
        )
        for word in words
    )
    address = and_(
        DisclosureRow.job_id == JobRow.id,
        DisclosureRow.entry_id == JobRow.address_entry,
        DisclosureRow.field == JobRow.address_field,
    )
    query = (
        select(JobRow.id, JobRow.reference, JobRow.title, DisclosureRow.value, JobRow.stage)
        .outerjoin(DisclosureRow, address)
        .where(JobRow.firm_id == firm_id, *(JobRow.id.in_(ids) for ids in holding))
        .order_by(JobRow.last_received_at.desc(), JobRow.id)
        .limit(most)
        .offset(skip)
    )
    return tuple(
        FoundJob(id=id_, reference=reference, title=title, address=address, stage=stage)
        for id_, reference, title, address, stage in database.execute(query)
    )
