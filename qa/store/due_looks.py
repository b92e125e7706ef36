"""The looks at roofs that are due, across the firms: for the installation's own clock."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from sqlalchemy import or_, select, update

from qa.store.store import Database
from qa.store.tables.ledger import JobRow


@dataclass(frozen=True, slots=True, kw_only=True)
class DueLook:
    """A day on which somebody is to look at a job's roof."""

    job_id: str
    day: date


def take_due_looks(database: Database, *, first: date, last: date) -> tuple[DueLook, ...]:
    """The looks that are due in these days and of which nobody was told; each is answered once.

    Args:
        database: the transaction in which they are told.
        first: the first of the days.
        last: the last of them.
    """
    row = JobRow
    found = database.execute(
        select(row.id, row.next_look)
        .where(
            row.next_look.between(first, last),
            or_(row.look_told.is_(None), row.look_told != row.next_look),
        )
        .order_by(row.next_look, row.id)
        .with_for_update()
    ).all()
    for job_id, day in found:
        database.execute(update(row).where(row.id == job_id).values(look_told=day))
    return tuple(DueLook(job_id=job_id, day=day) for job_id, day in found)
