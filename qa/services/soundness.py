"""Whether an installation is sound: every chain, every row of it, every file that rows name."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from sqlalchemy.orm import Session

from qa.errors import RecordError
from qa.record.folder import disclosure_text
from qa.record.reading import Record, read_record
from qa.services.loading import Progress
from qa.store import ledger, whole
from qa.store.blobs import BlobStore
from qa.store.ledger import KeptJob
from qa.store.store import Store
from qa.store.whole import Link

READING = "reading every chain"


@dataclass(frozen=True, slots=True, kw_only=True)
class Soundness:
    """What was looked at, and what was wrong with it.

    Attributes:
        originals, papers: how many files their rows name.
        faults: sentences; empty where all is as it must be.
    """

    jobs: int
    entries: int
    originals: int
    papers: int
    faults: tuple[str, ...]


def look_through(
    store: Store,
    *,
    photographs: BlobStore,
    packs: BlobStore,
    progress: Progress | None = None,
) -> Soundness:
    """Reads every job with its chain, and every file whole.

    Args:
        store: the database.
        photographs: the originals.
        packs: the packs that were made.
        progress: told how many jobs have been read.
    """
    faults: list[str] = []
    with store.reading() as session:
        jobs = ledger.all_jobs(session)
        for done, job in enumerate(jobs, start=1):
            faults.extend(_faults_of(session, job))
            if progress is not None:
                progress(READING, done, len(jobs))
        named = whole.held_digests(session)
        made = whole.made_digests(session)
    faults.extend(_missing("original", photographs, named))
    faults.extend(_missing("pack", packs, made))
    faults.extend(found.sentence for blobs in (photographs, packs) for found in blobs.damaged())
    return Soundness(
        jobs=len(jobs),
        entries=sum(job.entries for job in jobs),
        originals=len(named),
        papers=len(made),
        faults=tuple(faults),
    )


def _faults_of(session: Session, job: KeptJob) -> Iterator[str]:
    lines = ledger.lines_from(session, job_id=job.id, seq=0)
    apart = disclosure_text(ledger.disclosures_of(session, job_id=job.id))
    try:
        record = read_record("\n".join(lines), apart)
    except RecordError as error:
        yield f"Job “{job.reference}”: {error.problems[0]}"
        return
    if _links(record) != whole.links_of(session, job_id=job.id):
        yield f"Job “{job.reference}”: its rows are not those of the entries that they hold."
    last = record.entries[-1]
    if (job.entries, job.head) != (len(record.entries), last.hash):
        yield (
            f"Job “{job.reference}” has {len(record.entries)} entries and says {job.entries}; "
            "entries are missing at its end."
        )


def _links(record: Record) -> tuple[Link, ...]:
    return tuple(Link(entry.id, entry.seq, entry.prev, entry.hash) for entry in record.entries)


def _missing(what: str, blobs: BlobStore, digests: tuple[str, ...]) -> Iterator[str]:
    for digest in digests:
        if not blobs.exists(digest):
            yield f"The {what} {digest} is missing."
