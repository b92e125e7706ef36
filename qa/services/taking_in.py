"""Taking a job folder in: all of it or nothing.

A folder that has passed through a ledger keeps its chain, arrivals and devices, all of which were
checked on reading. A folder written by hand is sealed here, and arrives now.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from qa.errors import ConflictError, UsageError
from qa.photos.facts import PhotoFacts
from qa.record.entry import Entry
from qa.record.folder import JobFolder
from qa.record.kinds.papers import Photo
from qa.record.reading import Record
from qa.record.sealing import Arrival, PhotoFile, seal
from qa.services.access import Act, Actor, require
from qa.services.carried import carried_specification, require_same
from qa.services.loading import LoadedJob, load_job
from qa.services.recording import content_digest
from qa.services.specifications import is_known, keep_brought, pinned_specification
from qa.services.starting import put_new_job
from qa.specification.model import Specification
from qa.store import ledger
from qa.store.originals import add_original
from qa.store.specifications import versions_of

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

    from qa.services.installation import Installation


def take_in(installation: Installation, actor: Actor, folder: Path, *, now: datetime) -> str:
    """Takes a job folder into the actor's firm and answers the installation's id of the job.

    The same folder taken in twice has the effect of once. A specification that the folder carries
    is kept with it where the firm has none of its name; it judges such jobs, and no new ones.

    Raises:
        NotAllowedError: the actor's roles do not allow it.
        RecordError: with every fault of the record or its photos.
        ConflictError: the firm has the job already, with another record, or another of its
            reference.
        SpecificationError: the one that the job pins is not known and not in the folder, or the
            folder carries another file of its name.
    """
    require(actor, Act.TAKE_IN)
    return take_job_in(
        installation, firm_id=actor.firm_id, folder=folder, now=now, person_id=actor.person_id
    )


def take_job_in(
    installation: Installation,
    *,
    firm_id: str,
    folder: Path,
    now: datetime,
    person_id: str | None = None,
) -> str:
    """As `take_in`, for whoever keeps the installation itself, where nobody of the firm acts."""
    loaded = load_job(folder, named=partial(_pinned, installation, firm_id))
    files = _photo_files(loaded.photos)
    record = _sealed(installation, loaded, files, now)
    for name, path in loaded.folder.photos:
        if name in files:
            installation.originals.put(path, sha256=files[name].sha256)
    with installation.store.writing() as session:
        held = _held(installation, session, firm_id, loaded.folder.record, files)
        if held is not None:
            return held
        _bring(session, loaded, firm_id=firm_id, person_id=person_id, now=now)
        for file in {file.sha256: file for file in files.values()}.values():
            add_original(session, file, firm_id=firm_id, received_at=now)
        return put_new_job(installation, session, firm_id=firm_id, record=record, now=now)


def brought_along(installation: Installation, *, firm_id: str, job_id: str) -> str | None:
    """Name of the specification that a job's folder brought into the firm, or None."""
    with installation.store.reading() as session:
        job = ledger.find_job(session, firm_id=firm_id, job_id=job_id)
        if job is None:
            return None
        versions = versions_of(session, firm_id=firm_id)
    came = ((one.name, one.came_with) for one in versions)
    return job.specification if (job.specification, job.reference) in came else None


def _pinned(
    installation: Installation, firm_id: str, folder: JobFolder, name: str
) -> tuple[bytes, Specification]:
    """The firm's own file of a name, or what the folder carries where the firm has none."""
    carried = folder.specification
    with installation.store.reading() as session:
        if carried is not None and not is_known(session, firm_id=firm_id, name=name):
            return carried, carried_specification(carried, name)
        known, specification = pinned_specification(session, firm_id=firm_id, name=name)
    require_same(name, known, carried)
    return known, specification


def _bring(
    session: Session, loaded: LoadedJob, *, firm_id: str, person_id: str | None, now: datetime
) -> None:
    """Keeps the specification that a folder carries, where the firm has none of its name."""
    name, content = loaded.specification.name, loaded.specification_bytes
    if is_known(session, firm_id=firm_id, name=name):
        known, _ = pinned_specification(session, firm_id=firm_id, name=name)
        require_same(name, known, content)
        return
    came_with = loaded.job.reference
    keep_brought(
        session, content, firm_id=firm_id, person_id=person_id, came_with=came_with, now=now
    )


def _photo_files(photos: Mapping[str, PhotoFacts]) -> dict[str, PhotoFile]:
    return {
        name: PhotoFile(sha256=facts.sha256, bytes=facts.bytes, media_type=facts.media_type)
        for name, facts in photos.items()
    }


def _sealed(
    installation: Installation, loaded: LoadedJob, files: Mapping[str, PhotoFile], now: datetime
) -> Record:
    record = loaded.folder.record
    if record.is_sealed:
        return record
    if any(photo.body.file not in files for photo in loaded.job.photos):
        raise UsageError(
            "The folder was written by hand and lacks a photo that it names as erased; only a "
            "folder that was taken out of a ledger can leave out an original."
        )
    arrival = Arrival(received_at=now)
    return seal(
        [(entry, arrival) for entry in record.entries],
        photos=files,
        new_salt=installation.new_salt,
    )


def _held(
    installation: Installation,
    session: Session,
    firm_id: str,
    record: Record,
    files: Mapping[str, PhotoFile],
) -> str | None:
    """The id of the same job where the firm has it already.

    Raises:
        ConflictError: the firm has the job with another record, or another of its reference.
    """
    opening = record.entries[0]
    held = ledger.find_by_opening(session, firm_id=firm_id, opening_id=opening.id)
    if held is None:
        reference = record.opening.job
        if ledger.find_by_reference(session, firm_id=firm_id, reference=reference) is None:
            return None
        raise ConflictError(
            f"The firm has another job of the reference “{reference}”. Nothing was taken in; "
            "put the reference of one of them right first."
        )
    here = installation.open_jobs.at(session, held).growing.entries
    if len(record.entries) <= len(here) and all(
        map(partial(_is_same, files), record.entries, here)
    ):
        return held.id
    raise ConflictError(
        f"The job “{held.reference}” is here already with another record of {held.entries} "
        "entries. Nothing was taken in.",
        entry=opening.id,
        held=held.head,
        sent=record.entries[-1].hash,
    )


def _is_same(files: Mapping[str, PhotoFile], sent: Entry, held: Entry) -> bool:
    """Whether the ledger holds an entry: by its hash, or by what it says where it has none yet."""
    if sent.hash is not None:
        return sent.hash == held.hash
    if isinstance(held.body, Photo) and isinstance(sent.body, Photo):
        file = files.get(sent.body.file)
        if file is None or file.sha256 != held.body.sha256:
            return False
    return content_digest(sent) == content_digest(held)
