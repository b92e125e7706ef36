"""Photos that arrive in pieces over a link that breaks: begun, asked about, gone on with, taken in.

The phone states the SHA-256 before it sends the first byte. When the last piece is there the digest
is compared and the picture decoded; what is no photograph is dropped whole.
"""

from __future__ import annotations

import hashlib
import re
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import NoReturn

from qa.errors import ConflictError, NotFoundError, PhotoError, TooLargeError
from qa.services.access import Act, Actor, require
from qa.services.installation import Installation
from qa.services.originals import keep, require_length
from qa.services.waking import wake
from qa.store import uploads
from qa.store.originals import find_original
from qa.store.uploads import Upload

PIECE_BYTES = 256 * 1024
"""How much a phone sends at once: little enough to lose little when the link breaks."""
LARGEST_PIECE_BYTES = 4 * 1024 * 1024
"""Largest piece that is taken from whoever sends larger ones."""
STALE_AFTER = timedelta(days=7)
"""An upload that began so long ago is dropped; the phone begins again if it still has the photo."""

_SHA256 = re.compile(r"[0-9a-f]{64}")


@dataclass(frozen=True, slots=True, kw_only=True)
class UploadState:
    """How far an upload is.

    Attributes:
        arrived_bytes: how much has arrived and is on the disk.
        bytes: how much there is.
        is_finished: whether the photo was taken in, so that an entry may name it.
    """

    id: str
    sha256: str
    arrived_bytes: int
    bytes: int
    is_finished: bool


def begin_upload(
    installation: Installation, actor: Actor, *, sha256: str, length: int, name: str, now: datetime
) -> UploadState:
    """Begins an upload, or answers the one that the same person has begun of the same photo.

    A photo that the firm holds already is finished at once. That another firm holds it makes no
    difference, so that nobody learns of it.

    Args:
        installation: where.
        actor: who; they may record work.
        sha256: the digest that the photo will have.
        length: how many bytes it has.
        name: its name on the phone.
        now: the time.

    Raises:
        PhotoError: no digest, or no byte.
        TooLargeError: longer than a photo is taken.
    """
    require(actor, Act.RECORD_WORK)
    if not _SHA256.fullmatch(sha256):
        raise PhotoError(name, "comes without its SHA-256 of 64 small hexadecimal digits.")
    if length < 1:
        raise PhotoError(name, "is empty. Take the photo again.")
    require_length(length, name=name)
    whose = {"firm_id": actor.firm_id, "person_id": actor.person_id}
    with installation.store.writing() as session:
        begun = uploads.begun_upload(session, sha256, length, **whose)
        if begun is None:
            held = find_original(session, sha256, firm_id=actor.firm_id)
            begun = Upload(
                id=installation.new_id(),
                sha256=sha256,
                bytes=length,
                name=name,
                finished_at=None if held is None else now,
            )
            uploads.add_upload(session, begun, **whose, created_at=now)
    if begun.finished_at is None:
        installation.pieces.begin(begun.id)
    return _state(installation, begun)


def upload_state(installation: Installation, actor: Actor, upload: str) -> UploadState:
    """How far an upload is.

    Raises:
        NotFoundError: the person has none of that id, or it was dropped.
    """
    require(actor, Act.RECORD_WORK)
    return _state(installation, _find(installation, actor, upload))


def take_piece(
    installation: Installation,
    actor: Actor,
    upload: str,
    piece: bytes,
    *,
    offset: int,
    now: datetime,
) -> UploadState:
    """Takes the next piece; with the last one the photo is taken in.

    Args:
        installation: where.
        actor: who began the upload.
        upload: its id.
        piece: the bytes; none, where all had arrived and the photo still waits to be taken in.
        offset: where the sender believes the end to be.
        now: the time.

    Raises:
        NotFoundError: as `upload_state`.
        ConflictError: the end is elsewhere, or the photo was taken in already.
        TooLargeError: more than was announced, or a piece larger than is taken.
        PhotoError: whole, and not the photo that was announced, or no photograph; it is dropped.
        StoreError: the disk is full or at fault; what had arrived before is kept.
    """
    require(actor, Act.RECORD_WORK)
    found = _find(installation, actor, upload)
    if found.finished_at is not None:
        return (
            _state(installation, found) if offset == found.bytes and not piece else _refuse(found)
        )
    if offset + len(piece) > found.bytes or len(piece) > LARGEST_PIECE_BYTES:
        raise TooLargeError(
            f"The piece has {len(piece)} bytes; {found.name} was announced with {found.bytes} "
            f"bytes, and a piece has at most {LARGEST_PIECE_BYTES}. Begin the upload again."
        )
    arrived = installation.pieces.append(upload, piece, offset=offset)
    if arrived == found.bytes:
        _take_in(installation, actor, found, now)
    return upload_state(installation, actor, upload)


def sweep_uploads(installation: Installation, *, now: datetime) -> int:
    """Drops uploads that began long ago, and files that belong to none; answers how many."""
    before = now - STALE_AFTER
    with installation.store.writing() as session:
        stale = uploads.stale_uploads(session, before)
        for upload in stale:
            uploads.drop_upload(session, upload)
        known = uploads.known_uploads(session)
    strays = {upload for upload in installation.pieces.ids(before=before) if upload not in known}
    dropped = {*stale, *strays}
    for upload in dropped:
        installation.pieces.drop(upload)
    installation.originals.sweep(before=before)
    installation.papers.sweep(before=before)
    return len(dropped)


def _find(installation: Installation, actor: Actor, upload: str) -> Upload:
    with installation.store.reading() as session:
        found = uploads.find_upload(
            session, upload, firm_id=actor.firm_id, person_id=actor.person_id
        )
    if found is None:
        raise NotFoundError("There is no such upload, or it was dropped. Begin it again.")
    return found


def _state(installation: Installation, upload: Upload) -> UploadState:
    is_finished = upload.finished_at is not None
    arrived = upload.bytes if is_finished else installation.pieces.arrived_bytes(upload.id)
    return UploadState(
        id=upload.id,
        sha256=upload.sha256,
        arrived_bytes=arrived,
        bytes=upload.bytes,
        is_finished=is_finished,
    )


def _refuse(upload: Upload) -> NoReturn:
    raise ConflictError(f"{upload.name} has arrived whole already; nothing more is to send.")


def _take_in(installation: Installation, actor: Actor, upload: Upload, now: datetime) -> None:
    with installation.pieces.held(upload.id) as path:
        # Sent twice at once: the other one took it in while this one waited.
        if _find(installation, actor, upload.id).finished_at is None:
            _take_in_held(installation, actor, upload, path, now)


def _take_in_held(
    installation: Installation, actor: Actor, upload: Upload, path: Path, now: datetime
) -> None:
    try:
        _require_announced(path, upload)
        keep(installation, actor.firm_id, path, name=upload.name, now=now)
    except PhotoError:
        with installation.store.writing() as session:
            uploads.drop_upload(session, upload.id)
        installation.pieces.drop(upload.id)
        raise
    with installation.store.writing() as session:
        uploads.finish_upload(session, upload.id, now)
    installation.pieces.drop(upload.id)
    wake(installation)


def _require_announced(path: Path, upload: Upload) -> None:
    with path.open("rb") as file:
        found = hashlib.file_digest(file, "sha256").hexdigest()
    if found != upload.sha256:
        raise PhotoError(
            upload.name,
            f"arrived with the SHA-256 {found}, {upload.sha256} was announced: it changed on its "
            "way. Send it again; nothing was kept.",
        )
