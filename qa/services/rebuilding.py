"""Making every summary again from the entries: to the same rows, or something was wrong."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

from qa.services.open_jobs import OpenJob
from qa.services.summarising import summary_of
from qa.store import ledger, summaries
from qa.store.answers import settle_answers
from qa.store.packs_due import settle_pack_due

if TYPE_CHECKING:
    from collections.abc import Callable

    from qa.services.installation import Installation


@dataclass(frozen=True, slots=True, kw_only=True)
class Rebuilt:
    """What was rebuilt.

    Attributes:
        jobs: how many jobs were read.
        changed: references of those whose rows were others than now.
    """

    jobs: int
    changed: tuple[str, ...]


def rebuild(
    installation: Installation, *, progress: Callable[[str, int, int], None] | None = None
) -> Rebuilt:
    """Reads every job from its entries and puts its summary anew, one transaction a job.

    Raises:
        RecordError: a job whose chain does not hold; what was rebuilt before it stays.
    """
    with installation.store.reading() as session:
        jobs = ledger.all_jobs(session)
    changed = []
    for done, kept in enumerate(jobs, start=1):
        installation.open_jobs.forget(kept.id)
        with installation.store.writing() as session:
            now = ledger.find_job(session, firm_id=kept.firm_id, job_id=kept.id, to_append=True)
            if now is None:
                continue
            open_job = installation.open_jobs.at(session, now)
            before = summaries.read_whole(session, job_id=kept.id)
            after = summary_of(open_job.growing.record, open_job.specification)
            if before != after:
                summaries.put_whole(session, job_id=kept.id, firm_id=kept.firm_id, summary=after)
            is_other = before != after
            is_other |= settle_pack_due(session, job_id=kept.id)
            is_other |= settle_answers(session, job_id=kept.id, notes=partial(_notes, open_job))
            if is_other:
                changed.append(kept.reference)
        installation.open_jobs.forget(kept.id)
        if progress is not None:
            progress("rebuilding what lists show", done, len(jobs))
    return Rebuilt(jobs=len(jobs), changed=tuple(changed))


def _notes(open_job: OpenJob) -> Iterator[str]:
    """Ids of the notes that stand."""
    return (note.id for note in open_job.growing.job().notes)
