"""What waits at the desk, across a firm's jobs; every list is a stretch of an index."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import ColumnElement, Select, and_, select

from qa.store.store import Database
from qa.store.tables.ledger import DisclosureRow, JobRow
from qa.store.tables.links import LinkRow, MessageRow
from qa.store.tables.summaries import OpenFindingRow, ReleaseWaitingRow


@dataclass(frozen=True, slots=True, kw_only=True)
class OfJob:
    """The job of a line.

    Attributes:
        address: the site's address, or None where it was erased.
    """

    id: str
    reference: str
    title: str
    time_zone: str
    address: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class ListedRelease:
    """A stage that waits for a supervisor."""

    job: OfJob
    stage: str
    signed_at: datetime
    signed_by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ListedFinding:
    """Something that is open; empty text stands for what it does not name."""

    job: OfJob
    check: str
    stage: str
    area: str
    bay: str
    subject: str
    entry_id: str | None
    exact: str
    late: bool
    noted_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class ListedPackDue:
    """A job that is complete and has no handover pack that tells everything."""

    job: OfJob
    last_received_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class ListedMessage:
    """What was written by a link of that face, and waits for an answer."""

    job: OfJob
    id: str
    face: str
    text: str
    received_at: datetime


_JOB = (JobRow.id, JobRow.reference, JobRow.title, JobRow.time_zone, DisclosureRow.value)
_ADDRESS = and_(
    DisclosureRow.job_id == JobRow.id,
    DisclosureRow.entry_id == JobRow.address_entry,
    DisclosureRow.field == JobRow.address_field,
)


def list_releases(
    database: Database, *, firm_id: str, most: int, skip: int = 0
) -> tuple[ListedRelease, ...]:
    """The stages of a firm that wait for a supervisor, the oldest sign-off first."""
    row = ReleaseWaitingRow
    query = (
        select(*_JOB, row.stage, row.signed_at, row.signed_by)
        .select_from(row)
        .join(JobRow, JobRow.id == row.job_id)
        .outerjoin(DisclosureRow, _ADDRESS)
        .where(row.firm_id == firm_id)
        .order_by(row.signed_at, row.job_id, row.stage)
    )
    return tuple(
        ListedRelease(job=_of_job(found), stage=found[5], signed_at=found[6], signed_by=found[7])
        for found in database.execute(query.limit(most).offset(skip))
    )


def list_findings(
    database: Database,
    *,
    firm_id: str,
    late: bool | None = None,
    check: str | None = None,
    most: int,
    skip: int = 0,
) -> tuple[ListedFinding, ...]:
    """What is open in a firm's jobs, the newest first.

    Args:
        database: of the store.
        firm_id: the firm.
        late: whether entries recorded late are asked for, or all others; None for both.
        check: the key of one check, or None for all.
        most: how many to answer.
        skip: how many to leave out before.
    """
    row = OpenFindingRow
    narrowed: list[ColumnElement[bool]] = [row.firm_id == firm_id]
    if check is not None:
        narrowed.append(row.check == check)
    elif late is not None:
        narrowed.append(row.late == late)
    names = ("check", "stage", "area", "bay", "subject", "entry_id", "exact", "late", "noted_at")
    query: Select[Any] = (
        select(*_JOB, *(getattr(row, name) for name in names))
        .select_from(row)
        .join(JobRow, JobRow.id == row.job_id)
        .outerjoin(DisclosureRow, _ADDRESS)
        .where(*narrowed)
        .order_by(row.noted_at.desc())
    )
    return tuple(
        ListedFinding(job=_of_job(found), **dict(zip(names, found[5:], strict=True)))
        for found in database.execute(query.limit(most).offset(skip))
    )


def list_packs_due(
    database: Database, *, firm_id: str, most: int, skip: int = 0
) -> tuple[ListedPackDue, ...]:
    """The jobs of a firm that wait for their handover pack, the longest waiting first."""
    query = (
        select(*_JOB, JobRow.last_received_at)
        .outerjoin(DisclosureRow, _ADDRESS)
        .where(JobRow.firm_id == firm_id, JobRow.pack_due.is_(True))
        .order_by(JobRow.last_received_at)
    )
    return tuple(
        ListedPackDue(job=_of_job(found), last_received_at=found[5])
        for found in database.execute(query.limit(most).offset(skip))
    )


def list_messages(
    database: Database, *, firm_id: str, most: int, skip: int = 0
) -> tuple[ListedMessage, ...]:
    """What was written by links to a firm's jobs and is not answered, the longest waiting first."""
    row = MessageRow
    query = (
        select(*_JOB, row.id, LinkRow.face, row.text, row.received_at)
        .select_from(row)
        .join(JobRow, JobRow.id == row.job_id)
        .join(LinkRow, LinkRow.id == row.link_id)
        .outerjoin(DisclosureRow, _ADDRESS)
        .where(row.firm_id == firm_id, row.answered.is_(False))
        .order_by(row.received_at, row.id)
    )
    return tuple(
        ListedMessage(
            job=_of_job(found), id=found[5], face=found[6], text=found[7], received_at=found[8]
        )
        for found in database.execute(query.limit(most).offset(skip))
    )


def _of_job(row: Any) -> OfJob:
    return OfJob(id=row[0], reference=row[1], title=row[2], time_zone=row[3], address=row[4])
