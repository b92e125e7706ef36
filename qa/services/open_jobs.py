"""Jobs held in memory, so that neither a page nor the next entry reads a whole record again.

The database is the truth: every use compares the number of entries with it and reads what is
missing, so several processes may serve one installation. What is held is thrown away whenever a
transaction fails.
"""

from __future__ import annotations

import json
import threading
from collections import OrderedDict
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field

from qa.assess.assessment import assess_frame
from qa.assess.finding import Assessment
from qa.assess.frame import Frame, frame_of
from qa.record.folder import disclosure_text
from qa.record.growing import GrowingRecord
from qa.record.job import Job
from qa.record.reading import Record, read_record
from qa.record.registry import Kind
from qa.services.loading import without_collecting
from qa.services.specifications import pinned_specification
from qa.services.summarising import Teller
from qa.specification.model import Specification
from qa.store.ledger import KeptJob, disclosures_of, lines_from
from qa.store.store import Database
from qa.store.summaries import open_findings
from qa.store.summary_lines import FindingKey

MOST_ENTRIES = 200_000
"""Held in all; an entry takes some four kilobytes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """A job as it stands after its last entry: record, fold, laid out for judging, judged."""

    record: Record
    job: Job
    frame: Frame
    assessment: Assessment


@dataclass(slots=True, kw_only=True)
class OpenJob:
    """One job in memory; whoever touches it holds its lock.

    Attributes:
        growing: its record.
        specification, specification_bytes: the one that it pins.
        teller: tells findings at once.
        outside: keys of the findings that are open, as the database has them.
    """

    growing: GrowingRecord
    specification: Specification
    specification_bytes: bytes
    teller: Teller
    outside: set[FindingKey]
    lock: threading.RLock = field(default_factory=threading.RLock)
    _standing: Standing | None = None
    _stands_for: tuple[str, int] | None = None

    def standing(self) -> Standing:
        """The job as it stands; judged once for each state of the record."""
        with self.lock:
            state = (self.growing.head, len(self.growing.disclosures))
            if self._standing is not None and self._stands_for == state:
                return self._standing
            record, job = self.growing.record, self.growing.job()
        with without_collecting():
            frame = frame_of(job, self.specification)
            assessment = assess_frame(frame)
        standing = Standing(record=record, job=job, frame=frame, assessment=assessment)
        with self.lock:
            self._standing, self._stands_for = standing, state
        return standing


class OpenJobs:
    """The jobs of an installation that are held in memory, the longest unused given up first."""

    def __init__(self) -> None:
        """Holds none."""
        self._jobs: OrderedDict[str, OpenJob] = OrderedDict()
        self._lock = threading.Lock()

    def at(self, database: Database, kept: KeptJob) -> OpenJob:
        """A job in memory, with every entry that the database shows."""
        while True:
            held = self._held(kept.id) or self._hold(kept.id, _load(database, kept))
            with held.lock:
                if not _catch_up(database, kept, held):
                    return held
            self.forget(kept.id)  # another process erased something of it: read it again

    def _held(self, job_id: str) -> OpenJob | None:
        with self._lock:
            held = self._jobs.get(job_id)
            if held is not None:
                self._jobs.move_to_end(job_id)
            return held

    def _hold(self, job_id: str, loaded: OpenJob) -> OpenJob:
        with self._lock:
            held = self._jobs.setdefault(job_id, loaded)
            self._give_up_beyond_bound()
            return held

    def apart(self, database: Database, kept: KeptJob) -> OpenJob:
        """A job as `at` answers it, but not held where it was not: for work through all jobs."""
        with self._lock:
            is_held = kept.id in self._jobs
        return self.at(database, kept) if is_held else _load(database, kept)

    @contextmanager
    def growing(self, database: Database, kept: KeptJob) -> Iterator[OpenJob]:
        """A job in memory to which entries are added; forgotten where that does not succeed.

        The caller keeps the transaction open inside, and ends it before this ends.
        """
        open_job = self.at(database, kept)
        with open_job.lock:
            try:
                yield open_job
            except BaseException:
                self.forget(kept.id)
                raise

    def forget(self, job_id: str) -> None:
        """Gives a job up, so that it is read from the database again."""
        with self._lock:
            self._jobs.pop(job_id, None)

    def _give_up_beyond_bound(self) -> None:
        total = sum(len(job.growing.entries) for job in self._jobs.values())
        while total > MOST_ENTRIES and len(self._jobs) > 1:
            _, given_up = self._jobs.popitem(last=False)
            total -= len(given_up.growing.entries)


def _load(database: Database, kept: KeptJob) -> OpenJob:
    """A job from the database, every entry read and every link of the chain checked."""
    with without_collecting():
        record = read_record(
            "\n".join(lines_from(database, job_id=kept.id, seq=0)),
            disclosure_text(disclosures_of(database, job_id=kept.id)),
        )
        growing = GrowingRecord(record)
    content, specification = pinned_specification(
        database, firm_id=kept.firm_id, name=kept.specification
    )
    return OpenJob(
        growing=growing,
        specification=specification,
        specification_bytes=content,
        teller=Teller(specification),
        outside=_outside(database, kept.id),
    )


def _outside(database: Database, job_id: str) -> set[FindingKey]:
    return {line.key for line in open_findings(database, job_id=job_id)}


def _catch_up(database: Database, kept: KeptJob, open_job: OpenJob) -> bool:
    """Takes the entries that other processes have added since.

    Returns:
        Whether one of them erased something, so that what is held here must be forgotten.
    """
    growing = open_job.growing
    if len(growing.entries) >= kept.entries:
        return False
    erased = False
    for line in lines_from(database, job_id=kept.id, seq=len(growing.entries)):
        written = json.loads(line)
        apart = disclosures_of(database, job_id=kept.id, entries=[written["id"]])
        erased |= growing.take_kept(written, apart).kind is Kind.ERASURE
    open_job.outside = _outside(database, kept.id)
    return erased
