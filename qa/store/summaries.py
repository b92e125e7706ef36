"""What lists show, kept in the transaction of the entries that changed it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime
from functools import cache
from typing import TypeVar, cast

from sqlalchemy import Table, and_, bindparam, case, delete, func, insert, select, update

from qa.store.base import Base
from qa.store.columns import columns_of
from qa.store.packs_due import settle_pack_due
from qa.store.prepared import Prepared
from qa.store.store import Database
from qa.store.summary_lines import (
    FactsLine,
    FindingKey,
    FindingLine,
    JobLine,
    LaidLine,
    LotLine,
    PhotoLine,
    ReleaseLine,
    Summary,
    WordLine,
)
from qa.store.tables.ledger import JobRow, PhotoRow
from qa.store.tables.summaries import (
    JobFactsRow,
    JobWordRow,
    LotLaidRow,
    LotUsedRow,
    OpenFindingRow,
    ReleaseWaitingRow,
)

Line = JobLine | FindingLine | LotLine | LaidLine | ReleaseLine | PhotoLine | WordLine | FactsLine

_OF_A_JOB: tuple[type[Base], ...] = (
    OpenFindingRow,
    LotUsedRow,
    LotLaidRow,
    ReleaseWaitingRow,
    PhotoRow,
    JobWordRow,
    JobFactsRow,
)


def open_job_row(
    database: Database, *, job_id: str, firm_id: str, opening_id: str, line: JobLine
) -> None:
    """Inserts the row of a job that begins."""
    values = columns_of(line) | {"id": job_id, "firm_id": firm_id, "opening_id": opening_id}
    database.execute(insert(_table(JobRow)), {**values, "outside": 0})


def put_whole(database: Database, *, job_id: str, firm_id: str, summary: Summary) -> None:
    """Replaces everything that lists show of a job."""
    for table in _OF_A_JOB:
        database.execute(delete(_table(table)).where(_table(table).c.job_id == job_id))
    own, of_firm = {"job_id": job_id}, {"job_id": job_id, "firm_id": firm_id}
    _insert(database, OpenFindingRow, of_firm, summary.findings)
    _insert(database, LotUsedRow, of_firm, summary.lots)
    _insert(database, LotLaidRow, own, summary.laid)
    _insert(database, ReleaseWaitingRow, of_firm, summary.releases)
    _insert(database, PhotoRow, own, summary.photos)
    _insert(database, JobWordRow, of_firm, summary.words)
    _insert(database, JobFactsRow, own, summary.facts)
    values = columns_of(summary.job) | {"outside": len(summary.findings)}
    database.execute(update(_table(JobRow)).where(_table(JobRow).c.id == job_id), values)
    settle_pack_due(database, job_id=job_id)


def read_whole(database: Database, *, job_id: str) -> Summary:
    """Everything that lists show of a job, as it stands."""
    job = _table(JobRow)
    names = JobLine.__slots__
    row = database.execute(
        select(*(getattr(JobRow, name) for name in names)).where(job.c.id == job_id)
    ).one()
    return Summary(
        job=JobLine(**dict(zip(names, row, strict=True))),
        findings=_read(database, OpenFindingRow, FindingLine, job_id),
        lots=_read(database, LotUsedRow, LotLine, job_id),
        laid=_read(database, LotLaidRow, LaidLine, job_id),
        releases=_read(database, ReleaseWaitingRow, ReleaseLine, job_id),
        photos=_read(database, PhotoRow, PhotoLine, job_id),
        words=_read(database, JobWordRow, WordLine, job_id),
        facts=_read(database, JobFactsRow, FactsLine, job_id),
    )


L = TypeVar("L", FindingLine, LotLine, LaidLine, ReleaseLine, PhotoLine, WordLine, FactsLine)


def _read(database: Database, row: type[Base], line: type[L], job_id: str) -> tuple[L, ...]:
    """The lines of a job in one table, in the order of their first field."""
    names = line.__slots__
    columns = [getattr(row, name) for name in names]
    rows = database.execute(
        select(*columns).where(_table(row).c.job_id == job_id).order_by(*columns)
    )
    return tuple(line(**dict(zip(names, found, strict=True))) for found in rows)


_GROWTH = Prepared(
    update(cast(Table, JobRow.__table__))
    .where(JobRow.id == bindparam("job_id"))
    .values(
        {
            name: bindparam(f"new_{name}")
            for name in ("entries", "head", "last_received_at", "outside")
        }
        | {
            "told": func.coalesce(bindparam("new_told"), JobRow.told),
            "pack_due": case((bindparam("tells"), JobRow.complete), else_=JobRow.pack_due),
        }
    )
)


def put_growth(
    database: Database,
    *,
    job_id: str,
    entries: int,
    head: str,
    last_received_at: datetime,
    outside: int,
    told: int | None,
) -> None:
    """Notes that a job has grown, how many findings are open then, and what a pack must cover.

    Args:
        database: the transaction.
        job_id: the job.
        entries: how many it has now.
        head: hash of the last one.
        last_received_at: when that arrived.
        outside: how many findings are open.
        told: how many entries a handover pack must cover from now on; None for as many as before.
    """
    _GROWTH.run(
        database,
        {
            "job_id": job_id,
            "new_entries": entries,
            "new_head": head,
            "new_last_received_at": last_received_at,
            "new_outside": outside,
            "new_told": told,
            "tells": told is not None,
        },
    )


def add_lots(database: Database, *, job_id: str, firm_id: str, lots: Sequence[LotLine]) -> None:
    """Notes batches that a job holds from now on."""
    _insert(database, LotUsedRow, {"job_id": job_id, "firm_id": firm_id}, lots)


def add_laid(database: Database, *, job_id: str, laid: Sequence[LaidLine]) -> None:
    """Notes where batches of a job went."""
    _insert(database, LotLaidRow, {"job_id": job_id}, laid)


def add_photos(database: Database, *, job_id: str, photos: Sequence[PhotoLine]) -> None:
    """Notes photos that a job shows from now on."""
    _insert(database, PhotoRow, {"job_id": job_id}, photos)


def open_findings(database: Database, *, job_id: str) -> tuple[FindingLine, ...]:
    """The findings of a job that are open."""
    return _read(database, OpenFindingRow, FindingLine, job_id)


def put_findings(
    database: Database,
    *,
    job_id: str,
    firm_id: str,
    outside: Sequence[FindingLine],
    gone: Iterable[FindingKey],
) -> None:
    """Takes findings of a job away by their keys, then opens others."""
    table = _table(OpenFindingRow)
    for key in gone:
        columns = (table.c.check, table.c.stage, table.c.area, table.c.bay, table.c.subject)
        same = and_(*(column == value for column, value in zip(columns, key, strict=True)))
        database.execute(delete(table).where(table.c.job_id == job_id, same))
    _insert(database, OpenFindingRow, {"job_id": job_id, "firm_id": firm_id}, outside)


def _table(row: type[Base]) -> Table:
    return cast(Table, row.__table__)


def _insert(
    database: Database, row: type[Base], of: Mapping[str, str], lines: Sequence[Line]
) -> None:
    if lines:
        statement = _insertion(row, (*of, *lines[0].__slots__))
        statement.run(database, *({**of, **columns_of(line)} for line in lines))


@cache
def _insertion(row: type[Base], names: tuple[str, ...]) -> Prepared:
    return Prepared(insert(_table(row)).values({name: bindparam(name) for name in names}))
