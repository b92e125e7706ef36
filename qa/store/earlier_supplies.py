"""Lots and instruments of a firm's other jobs, as their entries stand in the record."""

from __future__ import annotations

import json
from dataclasses import dataclass

from sqlalchemy import select
from sqlalchemy.orm import Session

from qa.record.fields import Json
from qa.store.tables import EntryRow, JobRow, LotUsedRow

MOST = 200
"""Entries looked at, the latest first: whoever bought more batches since types the oldest."""


@dataclass(frozen=True, slots=True, kw_only=True)
class EarlierEntry:
    """The body of an entry of another job, as JSON.

    Attributes:
        job_id: the installation's id of that job.
    """

    job_id: str
    body: Json


def earlier_entries(
    session: Session, *, firm_id: str, but_job_id: str, kind: str
) -> tuple[EarlierEntry, ...]:
    """The entries of a kind in the other jobs of a firm, the latest first, as first written."""
    rows = session.execute(
        select(EntryRow.job_id, EntryRow.written)
        .join(JobRow, JobRow.id == EntryRow.job_id)
        .where(JobRow.firm_id == firm_id, EntryRow.job_id != but_job_id, EntryRow.kind == kind)
        .order_by(EntryRow.received_at.desc(), EntryRow.job_id, EntryRow.seq.desc())
        .limit(MOST)
    )
    return tuple(
        EarlierEntry(job_id=job_id, body=json.loads(written)["body"]) for job_id, written in rows
    )


def lots_in_force(session: Session, *, firm_id: str) -> frozenset[tuple[str, str, str]]:
    """Job, key and batch number of every lot of a firm that no correction has withdrawn."""
    rows = session.execute(
        select(LotUsedRow.job_id, LotUsedRow.lot, LotUsedRow.batch_number)
        .join(JobRow, JobRow.id == LotUsedRow.job_id)
        .where(JobRow.firm_id == firm_id)
    )
    return frozenset((job_id, lot, batch) for job_id, lot, batch in rows)
