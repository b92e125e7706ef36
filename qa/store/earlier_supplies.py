"""Lots and instruments of a firm's other jobs, as their entries stand in the record."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

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
        seq: place in its record.
    """

    job_id: str
    seq: int
    body: Json


@dataclass(frozen=True, slots=True, kw_only=True)
class LotInForce:
    """What a lot of a firm is called now, corrections applied."""

    material: str
    product: str
    batch_number: str
    use_by: date | None


def earlier_entries(
    session: Session, *, firm_id: str, but_job_id: str, kind: str
) -> tuple[EarlierEntry, ...]:
    """The entries of a kind in the other jobs of a firm, the latest first, as first written."""
    rows = session.execute(
        select(EntryRow.job_id, EntryRow.seq, EntryRow.written)
        .join(JobRow, JobRow.id == EntryRow.job_id)
        .where(JobRow.firm_id == firm_id, EntryRow.job_id != but_job_id, EntryRow.kind == kind)
        .order_by(EntryRow.received_at.desc(), EntryRow.job_id, EntryRow.seq.desc())
        .limit(MOST)
    )
    return tuple(
        EarlierEntry(job_id=job_id, seq=seq, body=json.loads(written)["body"])
        for job_id, seq, written in rows
    )


def lots_in_force(session: Session, *, firm_id: str) -> Mapping[tuple[str, int], LotInForce]:
    """Every lot of a firm that no correction has withdrawn, by its job and its entry's place."""
    lot = LotUsedRow
    rows = session.execute(
        select(lot.job_id, lot.seq, lot.material, lot.product, lot.batch_number, lot.use_by)
        .join(JobRow, JobRow.id == lot.job_id)
        .where(JobRow.firm_id == firm_id)
    )
    return {
        (job_id, seq): LotInForce(
            material=material, product=product, batch_number=batch_number, use_by=use_by
        )
        for job_id, seq, material, product, batch_number, use_by in rows
    }
