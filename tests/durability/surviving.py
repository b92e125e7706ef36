"""Opens what a cut left by the program's own code, and says what is missing."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from sqlalchemy import select
from sqlalchemy.orm import Session

from qa.errors import LaidtrueError
from qa.record.chain import head_of
from qa.record.folder import disclosure_text
from qa.record.reading import Record, read_record
from qa.settings import Settings
from qa.store.blobs import BlobStore
from qa.store.engine import open_engine
from qa.store.guards import require_guards
from qa.store.ledger import all_jobs, disclosures_of, lines_from
from qa.store.store import Store
from qa.store.tables import OriginalRow, PhotoRow


def losses(instance: Path, acknowledged: frozenset[str]) -> list[str]:
    """What is wrong with an installation after a cut; nothing where all is well."""
    settings = Settings(instance=instance)
    engine = open_engine(settings.database_url)
    try:
        require_guards(engine)
        return list(_losses(Store(engine=engine), BlobStore(settings.originals), acknowledged))
    except LaidtrueError as error:
        return [str(error)]
    finally:
        engine.dispose()


def _record(session: Session, job_id: str) -> Record:
    """A job's record; reading it checks every entry and every link of the chain."""
    lines = "\n".join(lines_from(session, job_id=job_id, seq=0))
    return read_record(lines, disclosure_text(disclosures_of(session, job_id=job_id)))


def _losses(store: Store, originals: BlobStore, acknowledged: frozenset[str]) -> Iterator[str]:
    with store.reading() as session:
        held: set[str] = set()
        for kept in all_jobs(session):
            record = _record(session, kept.id)
            held |= {entry.id for entry in record.entries}
            if (kept.entries, kept.head) != (len(record.entries), head_of(record.entries)):
                yield f"job {kept.id} has another head than its last entry"
        named = set(session.scalars(select(OriginalRow.sha256)))
        shown = set(session.scalars(select(PhotoRow.sha256)))
    sound = set(originals.digests()) - {each.path.name for each in originals.damaged()}
    for sha256 in sorted((named | shown) - sound):
        yield f"photo {sha256} has a row and no sound file"
    for each in sorted(acknowledged - held - named):
        yield f"{each} was acknowledged and is not there"
