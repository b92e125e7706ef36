"""The frame of every transaction that adds to a job.

The job is locked and in memory; where the transaction does not end well, it is forgotten there.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence, Set
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from sqlalchemy import Connection

from qa.assess.finding import Finding
from qa.errors import NotFoundError
from qa.record.disclosure import Disclosure
from qa.record.entry import Entry
from qa.record.kinds.papers import Photo
from qa.record.kinds.supplies import Lot
from qa.record.registry import Kind
from qa.services.batch_lines import laid_lines, lot_line
from qa.services.open_jobs import OpenJob
from qa.services.summarising import (
    JUDGED_WHOLE,
    FindingChange,
    change_of,
    is_told,
    photo_line,
    summary_of,
)
from qa.services.webhook_events import of_entries, tell
from qa.store import ledger, summaries
from qa.store.answers import settle_answers
from qa.store.summary_lines import FindingKey, FindingLine

if TYPE_CHECKING:
    from qa.services.installation import Installation

_CHANGE_ANSWERS = frozenset({Kind.NOTE, Kind.CORRECTION})
NO_SUCH_JOB = "This job is not there. Look for it in the list of jobs."


@dataclass(slots=True, kw_only=True)
class Appending:
    """A job to which entries are being added.

    Attributes:
        database: the transaction.
        job_id: the installation's id.
        firm_id: the job's firm.
        open_job: the job in memory.
        new_id: makes ids for what other programs are told.
    """

    database: Connection
    job_id: str
    firm_id: str
    open_job: OpenJob
    new_id: Callable[[], str]

    def keep(self, sealed: Entry, disclosures: Sequence[Disclosure]) -> tuple[Finding, ...]:
        """Inserts one entry that `open_job.growing` has sealed, and takes it in memory.

        Returns:
            What it says of the roof at once.
        """
        ledger.append(self.database, job_id=self.job_id, entries=(sealed,), disclosures=disclosures)
        findings = self.open_job.teller.told_by(self.open_job.growing, sealed)
        self.open_job.growing.take(sealed, disclosures)
        return findings

    def sum_up(
        self, entries: Sequence[Entry], findings: Iterable[Finding], *, received_at: datetime
    ) -> None:
        """Keeps what lists show of the job after these entries, and tells other programs."""
        outside = self._sum_up(entries, findings, received_at)
        told = of_entries(self.job_id, entries, outside)
        tell(self.database, self.firm_id, told, new_id=self.new_id, now=received_at)

    def _sum_up(
        self, entries: Sequence[Entry], findings: Iterable[Finding], received_at: datetime
    ) -> tuple[FindingLine, ...]:
        """Keeps what lists show; answers what is outside its limits and was not before."""
        before = self.open_job.outside  # never changed in place
        if any(entry.kind in _CHANGE_ANSWERS for entry in entries):
            settle_answers(self.database, job_id=self.job_id, notes=self._notes)
        if any(entry.kind in JUDGED_WHOLE for entry in entries):
            record, specification = self.open_job.growing.record, self.open_job.specification
            summary = summary_of(record, specification)
            summaries.put_whole(
                self.database, job_id=self.job_id, firm_id=self.firm_id, summary=summary
            )
            self.open_job.outside = {line.key for line in summary.findings}
            return _new_outside(summary.findings, before)
        self._add_lines(entries)
        change = change_of(findings, noted_at=received_at)
        told = [entry.seq + 1 for entry in entries if entry.seq is not None and is_told(entry)]
        summaries.put_growth(
            self.database,
            job_id=self.job_id,
            entries=len(self.open_job.growing.entries),
            head=self.open_job.growing.head,
            last_received_at=received_at,
            outside=self._put_findings(change),
            told=max(told, default=None),
        )
        return _new_outside(change.outside, before)

    def _notes(self) -> Iterator[str]:
        """Ids of the notes that stand."""
        return (note.id for note in self.open_job.growing.job().notes)

    def _add_lines(self, entries: Sequence[Entry]) -> None:
        """Keeps the lines that single entries add to lists."""
        database, job_id = self.database, self.job_id
        lots = [lot_line(e.body, seq=e.seq or 0) for e in entries if isinstance(e.body, Lot)]
        photos = [photo_line(e.id, e.body) for e in entries if isinstance(e.body, Photo)]
        laid = [line for e in entries for line in laid_lines(e.id, e.at, e.body)]
        summaries.add_lots(database, job_id=job_id, firm_id=self.firm_id, lots=lots)
        summaries.add_photos(database, job_id=job_id, photos=photos)
        summaries.add_laid(database, job_id=job_id, laid=laid)

    def _put_findings(self, change: FindingChange) -> int:
        """Opens and settles findings; answers how many are open then."""
        opened = {line.key for line in change.outside}
        outside = self.open_job.outside
        gone = outside & (opened | set(change.settled))
        if opened or gone:
            summaries.put_findings(
                self.database,
                job_id=self.job_id,
                firm_id=self.firm_id,
                outside=change.outside,
                gone=gone,
            )
            self.open_job.outside = (outside - gone) | opened
        return len(self.open_job.outside)


def _new_outside(lines: Iterable[FindingLine], before: Set[FindingKey]) -> tuple[FindingLine, ...]:
    """What is outside its limits and was not before; what was recorded late is none of it."""
    return tuple(line for line in lines if not line.late and line.key not in before)


@contextmanager
def appending(installation: Installation, *, firm_id: str, job_id: str) -> Iterator[Appending]:
    """The transaction in which entries are added to a firm's job.

    Raises:
        NotFoundError: the firm has no such job.
    """
    # The job's lock is given back last, after the transaction has ended.
    with ExitStack() as held, installation.store.adding() as database:
        kept = ledger.find_job(database, firm_id=firm_id, job_id=job_id, to_append=True)
        if kept is None:
            raise NotFoundError(NO_SUCH_JOB)
        open_job = held.enter_context(installation.open_jobs.growing(database, kept))
        yield Appending(
            database=database,
            job_id=job_id,
            firm_id=firm_id,
            open_job=open_job,
            new_id=installation.new_id,
        )
