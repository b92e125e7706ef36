"""The ledger's rows: jobs of a firm, entries only ever inserted, disclosures apart.

What may be added is decided by `qa.record.growing`; here it is only kept. The database itself
refuses to change or remove an entry, or to add one that does not continue the chain, see
`qa.store.guards`.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any, cast

from sqlalchemy import Table, bindparam, delete, insert, select, tuple_

from qa.record.canonical import canonical_json
from qa.record.disclosure import Disclosure
from qa.record.entry import Entry
from qa.store.prepared import Prepared
from qa.store.store import Database
from qa.store.tables.ledger import DisclosureRow, EntryRow, JobRow

_INSERT_ENTRY = Prepared(insert(cast(Table, EntryRow.__table__)))
_INSERT_DISCLOSURE = insert(cast(Table, DisclosureRow.__table__))


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptJob:
    """A job as the ledger knows it before its entries are read.

    Attributes:
        entries: how many there are.
        head: hash of the last one.
    """

    id: str
    firm_id: str
    opening_id: str
    reference: str
    specification: str
    entries: int
    head: str


_KEPT = (
    JobRow.id,
    JobRow.firm_id,
    JobRow.opening_id,
    JobRow.reference,
    JobRow.specification,
    JobRow.entries,
    JobRow.head,
)


_FIRM = JobRow.firm_id == bindparam("firm_id")
_OF_ID = select(*_KEPT).where(_FIRM, JobRow.id == bindparam("job_id"))
_BY_ID = Prepared(_OF_ID)
_BY_ID_TO_APPEND = Prepared(_OF_ID.with_for_update())
_BY_OPENING = Prepared(select(*_KEPT).where(_FIRM, JobRow.opening_id == bindparam("opening_id")))
_BY_REFERENCE = Prepared(select(*_KEPT).where(_FIRM, JobRow.reference == bindparam("reference")))


def find_job(
    database: Database, *, firm_id: str, job_id: str, to_append: bool = False
) -> KeptJob | None:
    """A firm's job, or None where the firm has none of that id.

    Args:
        database: of the store.
        firm_id: the firm.
        job_id: the installation's id of the job.
        to_append: keeps other writers from the job until the transaction ends, where the database
            does not already let one writer in at a time.
    """
    query = _BY_ID_TO_APPEND if to_append else _BY_ID
    return _find(database, query, firm_id=firm_id, job_id=job_id)


def find_by_opening(database: Database, *, firm_id: str, opening_id: str) -> KeptJob | None:
    """A firm's job by the id of its first entry, or None."""
    return _find(database, _BY_OPENING, firm_id=firm_id, opening_id=opening_id)


def find_by_reference(database: Database, *, firm_id: str, reference: str) -> KeptJob | None:
    """A firm's job by its reference, or None."""
    return _find(database, _BY_REFERENCE, firm_id=firm_id, reference=reference)


def _find(database: Database, query: Prepared, **values: str) -> KeptJob | None:
    row = query.first(database, values)
    return None if row is None else _kept(row)


def _kept(row: Sequence[Any]) -> KeptJob:
    return KeptJob(**dict(zip(KeptJob.__slots__, row, strict=True)))


def all_jobs(database: Database) -> tuple[KeptJob, ...]:
    """Every job of every firm, for the upkeep of the installation."""
    return tuple(map(_kept, database.execute(select(*_KEPT).order_by(JobRow.firm_id, JobRow.id))))


def lines_from(database: Database, *, job_id: str, seq: int) -> tuple[str, ...]:
    """The entries of a job from `seq` on, each as its line of canonical JSON, in order."""
    rows = database.scalars(
        select(EntryRow.written)
        .where(EntryRow.job_id == job_id, EntryRow.seq >= seq)
        .order_by(EntryRow.seq)
    )
    return tuple(rows)


def disclosures_of(
    database: Database, *, job_id: str, entries: Iterable[str] | None = None
) -> tuple[Disclosure, ...]:
    """The disclosures of a job that are left, or of some of its entries, in a fixed order."""
    query = select(
        DisclosureRow.entry_id, DisclosureRow.field, DisclosureRow.salt, DisclosureRow.value
    ).where(DisclosureRow.job_id == job_id)
    if entries is not None:
        query = query.where(DisclosureRow.entry_id.in_(list(entries)))
    rows = database.execute(query.order_by(DisclosureRow.entry_id, DisclosureRow.field))
    return tuple(Disclosure(entry=e, field=f, salt=s, value=v) for e, f, s, v in rows)


def append(
    database: Database, *, job_id: str, entries: Iterable[Entry], disclosures: Iterable[Disclosure]
) -> None:
    """Inserts sealed entries with their disclosures; the summary of the job is the caller's."""
    _INSERT_ENTRY.run(database, *(_entry_row(job_id, entry) for entry in entries))
    rows = [
        {"job_id": job_id, "entry_id": d.entry, "field": d.field, "salt": d.salt, "value": d.value}
        for d in disclosures
    ]
    if rows:
        database.execute(_INSERT_DISCLOSURE, rows)


def _entry_row(job_id: str, entry: Entry) -> dict[str, object]:
    return {
        "job_id": job_id,
        "id": entry.id,
        "seq": entry.seq,
        "kind": entry.kind.value,
        "by": entry.by,
        "at": entry.at,
        "received_at": entry.received_at,
        "prev": entry.prev,
        "hash": entry.hash,
        "written": canonical_json(entry.written).decode(),
    }


def erase_disclosures(
    database: Database, *, job_id: str, erased: Iterable[tuple[str, str]]
) -> None:
    """Deletes personal values by entry and field; the entry that says so is the caller's."""
    pairs = list(erased)
    database.execute(
        delete(DisclosureRow).where(
            DisclosureRow.job_id == job_id,
            tuple_(DisclosureRow.entry_id, DisclosureRow.field).in_(pairs),
        )
    )


def firm_of_job(database: Database, job_id: str) -> str | None:
    """Whose job it is, for the installation's own work in the background."""
    found: str | None = database.scalar(select(JobRow.firm_id).where(JobRow.id == job_id))
    return found
