"""Which messages wait for an answer: a column of the message, since the desk asks for it often."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from sqlalchemy import select, update

from qa.store.store import Database
from qa.store.tables.links import MessageRow


def settle_answers(database: Database, *, job_id: str, notes: Callable[[], Iterable[str]]) -> bool:
    """Notes which messages of a job the record answers; answers whether that is a change.

    Args:
        database: the transaction.
        job_id: the job.
        notes: answers the ids of the job's notes that stand; asked only where the job has messages.
    """
    row = MessageRow
    written = database.execute(
        select(row.id, row.answer_id, row.answered).where(row.job_id == job_id)
    ).all()
    if not written:
        return False
    there = set(notes())
    changed = [id_ for id_, answer, answered in written if answered != (answer in there)]
    if changed:
        database.execute(update(row).where(row.id.in_(changed)).values(answered=~row.answered))
    return bool(changed)
