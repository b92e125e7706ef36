"""Photographs brought in together: they wait for their place, and become entries when it is said.

Nothing of them is in the record before. The id of an entry follows from job and file, so that the
same picture twice is once. What nobody places is dropped after a while, and that is said.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, tzinfo
from typing import TYPE_CHECKING
from uuid import NAMESPACE_OID, uuid5

from qa.errors import NotFoundError, Problem, RecordError
from qa.photos.intake import read_facts
from qa.photos.renditions import Original, RenditionCache, Size
from qa.record.registry import Kind
from qa.services.access import Act, Actor, require
from qa.services.photo_targets import PhotoTarget
from qa.services.reading import ReadJob, read_job
from qa.services.recording import Draft, Receipt, record
from qa.store import waiting_photos as rows
from qa.store.originals import find_original
from qa.store.waiting_photos import PLACED, NewWaitingPhoto, WaitingPhoto

if TYPE_CHECKING:
    from pathlib import Path

    from qa.services.installation import Installation

MOST_WAITING = 200
"""Photographs of one job that may wait at once."""
WAITS = timedelta(days=14)
"""How long a photograph waits for its place."""
TOLD = timedelta(days=30)
"""How long it is told that some were dropped."""
SLOWEST_MIN = 366 * 24 * 60
"""A clock that is off by more is said photograph by photograph."""
CLOCK_TOLERANCE = timedelta(minutes=5)


@dataclass(frozen=True, slots=True, kw_only=True)
class Placing:
    """That a photograph goes into the record as showing something."""

    waiting: str
    target: PhotoTarget


@dataclass(frozen=True, slots=True, kw_only=True)
class Waiting:
    """What waits in a job.

    Attributes:
        photos: that have no place yet.
        held: those of them whose picture the record shows already, by id, with the entry that does.
        expired: what was dropped lately since nobody had placed it.
    """

    photos: tuple[WaitingPhoto, ...]
    held: Mapping[str, str]
    expired: tuple[WaitingPhoto, ...]


def bring_in(
    installation: Installation, actor: Actor, job_id: str, sha256: str, *, name: str, now: datetime
) -> bool:
    """Lets a photograph that was handed in wait in a job; answers whether it is new there.

    Raises:
        NotAllowedError: the actor may not record work.
        NotFoundError: the firm has no such job, or no such original.
        RecordError: as many wait as may.
    """
    require(actor, Act.RECORD_WORK)
    read_job(installation, actor, job_id)
    with installation.store.reading() as session:
        if find_original(session, sha256, firm_id=actor.firm_id) is None:
            raise NotFoundError("This photo has not arrived whole. Bring it in again.")
    facts = read_facts(installation.originals.path(sha256), name=name or "The photo")
    new = NewWaitingPhoto(
        id=installation.new_id(),
        firm_id=actor.firm_id,
        job_id=job_id,
        person_id=actor.person_id,
        sha256=sha256,
        name=name,
        taken_clock=facts.taken_at_naive.isoformat() if facts.taken_at_naive else None,
        taken_at=facts.taken_at,
        gps_at=facts.gps_at,
        arrived_at=now,
        expires_at=now + WAITS,
    )
    with installation.store.writing() as session:
        is_new = rows.put_waiting(session, new)
        waiting = rows.count_waiting(session, firm_id=actor.firm_id, job_id=job_id)
        if is_new and waiting > MOST_WAITING:
            sentence = (
                f"{MOST_WAITING} photos of this job wait to be placed already. Place some of them, "
                "or leave them out; then bring in the others."
            )
            raise RecordError((Problem(place="photo", sentence=sentence, field="photo.photos"),))
    return is_new


def waiting_in(
    installation: Installation, actor: Actor, read: ReadJob, *, now: datetime
) -> Waiting:
    """What waits in a job, in the order of arrival."""
    require(actor, Act.READ_JOBS)
    whose = {"firm_id": actor.firm_id, "job_id": read.id}
    with installation.store.reading() as session:
        photos = rows.waiting_photos(session, **whose)
        expired = rows.expired_photos(session, **whose, since=now - TOLD)
    shown = {photo.body.sha256: photo.id for photo in read.job.photos}
    return Waiting(
        photos=photos,
        held={one.id: shown[one.sha256] for one in photos if one.sha256 in shown},
        expired=expired,
    )


def waiting_count(installation: Installation, actor: Actor, job_id: str) -> int:
    """How many photographs wait in a job of the actor's firm."""
    require(actor, Act.READ_JOBS)
    with installation.store.reading() as session:
        return rows.count_waiting(session, firm_id=actor.firm_id, job_id=job_id)


def waiting_photo(
    installation: Installation, actor: Actor, job_id: str, waiting: str
) -> WaitingPhoto:
    """One photograph that waits.

    Raises:
        NotFoundError: none of that id waits in a job of the actor's firm.
    """
    require(actor, Act.RECORD_WORK)
    with installation.store.reading() as session:
        found = rows.waiting_photos(session, firm_id=actor.firm_id, job_id=job_id)
    for one in found:
        if one.id == waiting:
            return one
    raise NotFoundError("No such photo waits here: it was placed, left out, or waited too long.")


def waiting_copy(
    installation: Installation, actor: Actor, job_id: str, waiting: str, size: Size
) -> Path:
    """The file of a clean copy of a photograph that waits; as `waiting_photo`."""
    found = waiting_photo(installation, actor, job_id, waiting)
    path = installation.originals.path(found.sha256)
    cache = RenditionCache(installation.settings.renditions)
    photo = Original(name=found.name or found.sha256, path=path, sha256=found.sha256)
    return cache.ensure([photo], sizes=(size,))[0].path


def moment_of(photo: WaitingPhoto, zone: tzinfo) -> datetime | None:
    """When a photograph was taken, UTC: as somebody says, by the camera, or by its satellites.

    A camera's time without a zone is read as the site's, and both with what its clock was behind.
    """
    if photo.said_at is not None:
        return photo.said_at
    taken = photo.taken_at
    if taken is None and photo.taken_clock is not None:
        taken = datetime.fromisoformat(photo.taken_clock).replace(tzinfo=zone)
    if taken is None:
        return photo.gps_at
    try:
        return taken.astimezone(UTC) + timedelta(minutes=photo.clock_slow_min)
    except OverflowError:
        return None


def set_clock(
    installation: Installation, actor: Actor, job_id: str, *, slow_min: int, now: datetime
) -> None:
    """Notes how far the camera's clock was behind, for everything that waits in a job.

    Raises:
        NotFoundError: the firm has no such job.
        RecordError: by more than `SLOWEST_MIN`.
    """
    require(actor, Act.RECORD_WORK)
    read = read_job(installation, actor, job_id)
    if abs(slow_min) > SLOWEST_MIN:
        sentence = "off by more than a year; give the day of each photo instead."
        raise RecordError((Problem(place="clock", sentence=sentence, field="clock.hours"),))
    ids = [one.id for one in waiting_in(installation, actor, read, now=now).photos]
    with installation.store.writing() as session:
        rows.set_waiting(session, ids, job_id=job_id, clock_slow_min=slow_min)


def say_of(
    installation: Installation,
    actor: Actor,
    job_id: str,
    waiting: Collection[str],
    *,
    target: PhotoTarget | None = None,
    said_at: datetime | None = None,
) -> None:
    """Notes what photographs show or when they were taken, as somebody says; None: as it was.

    Raises:
        NotFoundError: the firm has no such job.
    """
    require(actor, Act.RECORD_WORK)
    read_job(installation, actor, job_id)
    chosen = None if target is None else target.text
    with installation.store.writing() as session:
        rows.set_waiting(session, waiting, job_id=job_id, said_at=said_at, chosen=chosen)


def place(
    installation: Installation,
    actor: Actor,
    job_id: str,
    placings: Sequence[Placing],
    *,
    now: datetime,
) -> tuple[Receipt, ...]:
    """Takes photographs into the record, all or none; those that were placed before stay as placed.

    Raises:
        RecordError: one has no time yet or one that has not been, or names what is not there.
        NotAllowedError, NotFoundError, ConflictError: as `qa.services.recording.record`.
    """
    require(actor, Act.RECORD_WORK)
    read = read_job(installation, actor, job_id)
    waits = {one.id: one for one in waiting_in(installation, actor, read, now=now).photos}
    held = {entry.id for entry in read.record.entries}
    drafts = [
        _draft(read, waits[one.waiting], one.target, now)
        for one in {one.waiting: one for one in placings}.values()
        if one.waiting in waits
    ]
    new = [draft for draft in drafts if draft.id not in held]
    receipts = record(installation, actor, job_id, new, now=now)
    placed = {draft.original for draft in drafts}
    ids = [one.id for one in waits.values() if one.sha256 in placed]
    with installation.store.writing() as session:
        rows.end_waiting(session, ids, job_id=job_id, ended=PLACED, now=now)
    return receipts


def _draft(read: ReadJob, photo: WaitingPhoto, target: PhotoTarget, now: datetime) -> Draft:
    at = moment_of(photo, read.job.time_zone)
    if at is None or at > now + CLOCK_TOLERANCE:
        word = "has no time yet" if at is None else "was taken at a time that has not been yet"
        sentence = f"{photo.name or 'A photo'} {word}. Say when it was taken, then place it."
        raise RecordError((Problem(place="photo", sentence=sentence),))
    return Draft(
        id=_entry_id(read, photo.sha256),
        kind=Kind.PHOTO,
        at=min(at, now).astimezone(read.job.time_zone).replace(microsecond=0),
        body=target.body,
        original=photo.sha256,
    )


def _entry_id(read: ReadJob, sha256: str) -> str:
    """The entry of a file; one that was taken back does not keep the file from coming again."""
    withdrawn = {one.id for one in read.job.withdrawn}
    number = 0
    while (entry := str(uuid5(NAMESPACE_OID, f"{read.id}/{sha256}/{number}"))) in withdrawn:
        number += 1
    return entry
