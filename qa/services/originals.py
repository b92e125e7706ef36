"""Original photographs: handing them in, and showing them to the firm that holds them.

The order that keeps evidence whole: the file is on the disk before its row is written, the row is
there before an entry can name it, and the entry is committed before anybody is told that it is.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from typing import BinaryIO

from qa.errors import NotFoundError, TooLargeError
from qa.photos.intake import read_photo
from qa.photos.renditions import Original, RenditionCache, Size
from qa.record.sealing import PhotoFile
from qa.services.access import Act, Actor, require
from qa.services.installation import Installation
from qa.services.waking import wake
from qa.store.originals import add_original, find_original, remove_original, shown_original
from qa.store.outbox import enqueue
from qa.store.store import Database

PHOTO_LIMIT_BYTES = 64 * 1024 * 1024
"""Longest photo taken from a phone; its longest, of 200 megapixels, stay below."""
RENDITIONS = "renditions"
"""Task: make the copies of an original; its subject is `firm/sha256`."""
FORGET = "forget"
"""Task: delete the file of an original that nobody holds any more; its subject is the SHA-256."""

_CHUNK_BYTES = 1024 * 1024


def hand_in(
    installation: Installation,
    actor: Actor,
    source: Path | BinaryIO,
    *,
    name: str,
    now: datetime,
) -> PhotoFile:
    """Takes an original photograph in, so that an entry may name it; twice is once.

    Args:
        installation: where.
        actor: who; they may record work.
        source: a file, or a stream that is read to its end.
        name: the file's name where it comes from, for sentences.
        now: the time.

    Raises:
        PhotoError: it is no photograph, or a damaged one; nothing is kept.
        TooLargeError: it is longer than `PHOTO_LIMIT_BYTES`; nothing is kept.
        StoreError: the disk is full or at fault; nothing is kept.
    """
    require(actor, Act.RECORD_WORK)
    return take_for_firm(installation, actor.firm_id, source, name=name, now=now)


def take_for_firm(
    installation: Installation,
    firm_id: str,
    source: Path | BinaryIO,
    *,
    name: str,
    now: datetime,
) -> PhotoFile:
    """As `hand_in`, for what reaches the firm from somebody who is not of it."""
    if isinstance(source, Path):
        require_length(source.stat().st_size, name=name)
        photo = keep(installation, firm_id, source, name=name, now=now)
    else:
        with installation.pieces.copied(_chunks(source, name=name)) as copy:
            photo = keep(installation, firm_id, copy, name=name, now=now)
    wake(installation)
    return photo


def keep(
    installation: Installation, firm_id: str, path: Path, *, name: str, now: datetime
) -> PhotoFile:
    """Keeps a photograph for a firm, file first and row after; as `hand_in`, for services."""
    facts = read_photo(path, name=name)
    photo = PhotoFile(sha256=facts.sha256, bytes=facts.bytes, media_type=facts.media_type)
    installation.originals.put(path, sha256=photo.sha256)
    with installation.store.writing() as session:
        if add_original(session, photo, firm_id=firm_id, received_at=now):
            enqueue(session, RENDITIONS, f"{firm_id}/{photo.sha256}", now)
        # An erasure in between may have taken the file, since nobody held it then.
        if not installation.originals.exists(photo.sha256):
            installation.originals.put(path, sha256=photo.sha256)
    return photo


def original_path(installation: Installation, actor: Actor, job_id: str, sha256: str) -> Path:
    """The file of an original that a job of the actor's firm shows.

    Raises:
        NotFoundError: the job shows none of that digest, or it was erased.
        StoreError: the file is missing though the record names it.
    """
    require(actor, Act.READ_JOBS)
    with installation.store.reading() as session:
        shown = shown_original(session, sha256, firm_id=actor.firm_id, job_id=job_id)
    if shown is None:
        raise NotFoundError("This job shows no such photo, or it was erased.")
    return installation.originals.path(sha256)


def rendition_path(
    installation: Installation, actor: Actor, job_id: str, sha256: str, size: Size
) -> Path:
    """The file of a clean copy of such an original, made now if the background has not yet.

    Raises:
        NotFoundError, StoreError: as `original_path`.
        PhotoError: the copy cannot be made.
    """
    path = original_path(installation, actor, job_id, sha256)
    photo = Original(name=sha256, path=path, sha256=sha256)
    cache = RenditionCache(installation.settings.renditions)
    return cache.ensure([photo], sizes=(size,))[0].path


def erase_original(database: Database, sha256: str, *, firm_id: str, now: datetime) -> None:
    """Takes an original from a firm in the transaction of its erasure.

    The file itself goes in the background, if no other firm holds it; call `wake` afterwards.

    Raises:
        NotFoundError: the firm holds none of that digest.
    """
    if find_original(database, sha256, firm_id=firm_id) is None:
        raise NotFoundError("The firm holds no such photo; it may have been erased already.")
    remove_original(database, sha256, firm_id=firm_id)
    enqueue(database, FORGET, sha256, now)


def require_length(length: int, *, name: str) -> None:
    """Refuses what is longer than a photo.

    Raises:
        TooLargeError: it is; says how much is taken.
    """
    if length > PHOTO_LIMIT_BYTES:
        raise TooLargeError(
            f"{name} is {length / 1024**2:,.0f} MB long; at most {PHOTO_LIMIT_BYTES // 1024**2} "
            "MB are taken. Send the photo as the camera made it, not a film; nothing was kept."
        )


def _chunks(stream: BinaryIO, *, name: str) -> Iterator[bytes]:
    length = 0
    while chunk := stream.read(_CHUNK_BYTES):
        length += len(chunk)
        require_length(length, name=name)
        yield chunk
