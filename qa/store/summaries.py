"""What lists show, kept in the transaction of the entries that changed it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import asdict, dataclass, fields
from datetime import date, datetime
from typing import TypeVar, cast

from sqlalchemy import Table, and_, bindparam, delete, func, insert, select, update

from qa.store.base import Base
from qa.store.store import Database
from qa.store.tables.ledger import DisclosureRow, JobRow, PhotoRow
from qa.store.tables.summaries import LotUsedRow, OpenFindingRow, ReleaseWaitingRow

FindingKey = tuple[str, str, str, str, str]
"""Check, stage, area, bay and subject: what is judged."""


@dataclass(frozen=True, slots=True, kw_only=True)
class JobLine:
    """A job as its row sums it up; the attributes are those of `JobRow`."""

    reference: str
    title: str
    specification: str
    time_zone: str
    entries: int
    head: str
    opened_at: datetime
    last_received_at: datetime
    address_entry: str | None
    address_field: str | None
    stage: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class FindingLine:
    """Something outside its limits; empty text stands for what it does not name."""

    check: str
    stage: str
    area: str
    bay: str
    subject: str
    entry_id: str | None
    exact: str

    @property
    def key(self) -> FindingKey:
        """What is judged."""
        return (self.check, self.stage, self.area, self.bay, self.subject)


@dataclass(frozen=True, slots=True, kw_only=True)
class LotLine:
    """A batch that a job holds."""

    lot: str
    material: str
    product: str
    batch_number: str
    use_by: date | None


@dataclass(frozen=True, slots=True, kw_only=True)
class ReleaseLine:
    """A stage that waits for a supervisor."""

    stage: str
    signed_at: datetime
    signed_by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoLine:
    """A photo entry and the original that it names."""

    entry_id: str
    file: str
    sha256: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Summary:
    """Everything that lists show of one job."""

    job: JobLine
    findings: tuple[FindingLine, ...]
    lots: tuple[LotLine, ...]
    releases: tuple[ReleaseLine, ...]
    photos: tuple[PhotoLine, ...]


_OF_A_JOB: tuple[type[Base], ...] = (OpenFindingRow, LotUsedRow, ReleaseWaitingRow, PhotoRow)


def open_job_row(
    database: Database, *, job_id: str, firm_id: str, opening_id: str, line: JobLine
) -> None:
    """Inserts the row of a job that begins."""
    values = asdict(line) | {"id": job_id, "firm_id": firm_id, "opening_id": opening_id}
    database.execute(insert(_table(JobRow)), {**values, "outside": 0})


def put_whole(database: Database, *, job_id: str, summary: Summary) -> None:
    """Replaces everything that lists show of a job."""
    for table in _OF_A_JOB:
        database.execute(delete(_table(table)).where(_table(table).c.job_id == job_id))
    _insert(database, OpenFindingRow, job_id, summary.findings)
    _insert(database, LotUsedRow, job_id, summary.lots)
    _insert(database, ReleaseWaitingRow, job_id, summary.releases)
    _insert(database, PhotoRow, job_id, summary.photos)
    values = asdict(summary.job) | {"outside": len(summary.findings)}
    database.execute(update(_table(JobRow)).where(_table(JobRow).c.id == job_id), values)


def read_whole(database: Database, *, job_id: str) -> Summary:
    """Everything that lists show of a job, as it stands."""
    job = _table(JobRow)
    names = [field.name for field in fields(JobLine)]
    row = database.execute(
        select(*(getattr(JobRow, name) for name in names)).where(job.c.id == job_id)
    ).one()
    return Summary(
        job=JobLine(**dict(zip(names, row, strict=True))),
        findings=_read(database, OpenFindingRow, FindingLine, job_id),
        lots=_read(database, LotUsedRow, LotLine, job_id),
        releases=_read(database, ReleaseWaitingRow, ReleaseLine, job_id),
        photos=_read(database, PhotoRow, PhotoLine, job_id),
    )


L = TypeVar("L", FindingLine, LotLine, ReleaseLine, PhotoLine)


def _read(database: Database, row: type[Base], line: type[L], job_id: str) -> tuple[L, ...]:
    """The lines of a job in one table, in the order of their first field."""
    names = [field.name for field in fields(line)]
    columns = [getattr(row, name) for name in names]
    rows = database.execute(
        select(*columns).where(_table(row).c.job_id == job_id).order_by(*columns)
    )
    return tuple(line(**dict(zip(names, found, strict=True))) for found in rows)


_GROWTH = (
    update(cast(Table, JobRow.__table__))
    .where(JobRow.id == bindparam("job_id"))
    .values(
        {
            name: bindparam(f"new_{name}")
            for name in ("entries", "head", "last_received_at", "outside")
        }
    )
)
"""Made once: putting a statement together takes longer than running it."""


def put_growth(
    database: Database,
    *,
    job_id: str,
    entries: int,
    head: str,
    last_received_at: datetime,
    outside: int,
) -> None:
    """Notes that a job has grown, and how many findings are open then."""
    database.execute(
        _GROWTH,
        {
            "job_id": job_id,
            "new_entries": entries,
            "new_head": head,
            "new_last_received_at": last_received_at,
            "new_outside": outside,
        },
    )


def add_lots(database: Database, *, job_id: str, lots: Sequence[LotLine]) -> None:
    """Notes batches that a job holds from now on."""
    _insert(database, LotUsedRow, job_id, lots)


def add_photos(database: Database, *, job_id: str, photos: Sequence[PhotoLine]) -> None:
    """Notes photos that a job shows from now on."""
    _insert(database, PhotoRow, job_id, photos)


def open_findings(database: Database, *, job_id: str) -> tuple[FindingLine, ...]:
    """The findings of a job that are open."""
    return _read(database, OpenFindingRow, FindingLine, job_id)


def put_findings(
    database: Database,
    *,
    job_id: str,
    outside: Sequence[FindingLine],
    gone: Iterable[FindingKey],
) -> None:
    """Takes findings of a job away by their keys, then opens others."""
    table = _table(OpenFindingRow)
    for key in gone:
        columns = (table.c.check, table.c.stage, table.c.area, table.c.bay, table.c.subject)
        same = and_(*(column == value for column, value in zip(columns, key, strict=True)))
        database.execute(delete(table).where(table.c.job_id == job_id, same))
    _insert(database, OpenFindingRow, job_id, outside)


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


def _table(row: type[Base]) -> Table:
    return cast(Table, row.__table__)


def _insert(database: Database, row: type[Base], job_id: str, lines: Sequence[object]) -> None:
    if lines:
        values = [{"job_id": job_id, **asdict(line)} for line in lines]  # type: ignore[call-overload]
        database.execute(insert(_table(row)), values)
