"""The process that is recorded, filled up or killed: it records entries and photographs.

    python -m tests.durability.worker INSTANCE ACKNOWLEDGED ROUNDS [MUTANT]

Whatever the services have answered is written to ACKNOWLEDGED, one line each: the id of an entry,
or the digest of an original.
"""

from __future__ import annotations

import hashlib
import io
import os
import sys
from collections.abc import Callable
from datetime import timedelta
from functools import partial
from pathlib import Path

from sqlalchemy import event

from qa.record.registry import Kind
from qa.services.access import Actor, Role
from qa.services.installation import Installation, open_installation
from qa.services.originals import hand_in
from qa.services.recording import Draft, record
from qa.services.starting import start_job
from qa.services.uploading import begin_upload, take_piece
from qa.settings import Settings
from qa.store import blobs
from tests.examples import minimal
from tests.house import NOON, jpeg

INES = Actor(
    firm_id="firm-1", person_id="firm-1-ines", key="ines", name="Ines",
    roles=frozenset({Role.INSTALLER, Role.SUPERVISOR}),
)  # fmt: skip
PIECE_BYTES = 512

Acknowledge = Callable[[str], None]


def _main(instance: str, acknowledged: str, rounds: str, mutant: str = "") -> None:
    descriptor = os.open(acknowledged, os.O_WRONLY | os.O_CREAT | os.O_APPEND, 0o600)
    work(instance, descriptor, int(rounds), mutant)


def work(instance: str, descriptor: int, rounds: int, mutant: str = "") -> None:
    """Records so many rounds, and writes what was acknowledged to an open file."""
    installation = open_installation(Settings(instance=Path(instance)))

    def acknowledge(what: str) -> None:
        os.write(descriptor, f"{what}\n".encode())

    after_photo = MUTANTS[mutant](installation)
    job_id = begin_job(installation, acknowledge)
    for number in range(rounds):
        record_round(installation, job_id, number, acknowledge, after_photo)
    installation.store.engine.dispose()


def begin_job(installation: Installation, acknowledge: Acknowledge) -> str:
    """Starts a job of its own."""
    entry_id = installation.new_id()
    opening = minimal("job") | {"job": f"job {entry_id}"}
    job_id = start_job(installation, INES, opening, entry_id=entry_id, at=NOON, now=NOON)
    acknowledge(entry_id)
    return job_id


def record_round(
    installation: Installation,
    job_id: str,
    number: int,
    acknowledge: Acknowledge,
    after_photo: Callable[[], None] = lambda: None,
) -> None:
    """Records a note and, every second time, a photograph in one of the two ways it may come."""
    now = NOON + timedelta(minutes=number)
    write = partial(_write, installation, job_id, now, acknowledge)
    write(Kind.NOTE, {"text": f"note {number}"}, None)
    if number % 2:
        content = jpeg(os.getpid() * 1000 + number)
        bring = _in_pieces if number % 4 == 1 else _whole
        sha256 = bring(installation, content, now)
        acknowledge(sha256)
        write(Kind.PHOTO, {"stage": "laminate"}, sha256, after_photo)


def _write(
    installation: Installation,
    job_id: str,
    now: object,
    acknowledge: Acknowledge,
    kind: Kind,
    body: dict[str, object],
    original: str | None,
    after: Callable[[], None] = lambda: None,
) -> None:
    draft = Draft(id=installation.new_id(), kind=kind, at=now, body=body, original=original)
    (receipt,) = record(installation, INES, job_id, [draft], now=now)
    after()
    acknowledge(receipt.entry)


def _whole(installation: Installation, content: bytes, now: object) -> str:
    stream = io.BytesIO(content)
    return hand_in(installation, INES, stream, name="photo.jpg", now=now).sha256


def _in_pieces(installation: Installation, content: bytes, now: object) -> str:
    sha256 = hashlib.sha256(content).hexdigest()
    state = begin_upload(
        installation, INES, sha256=sha256, length=len(content), name="photo.jpg", now=now
    )
    while not state.is_finished:
        at = state.arrived_bytes
        piece = content[at : at + PIECE_BYTES]
        state = take_piece(installation, INES, state.id, piece, offset=at, now=now)
    return sha256


def _nothing(installation: Installation) -> Callable[[], None]:
    return lambda: None


def _sync_normal(installation: Installation) -> Callable[[], None]:
    """SQLite does not sync at each commit."""

    def weaken(connection, _) -> None:
        connection.execute("PRAGMA synchronous=NORMAL")

    installation.store.engine.dispose()
    event.listen(installation.store.engine, "connect", weaken)
    return lambda: None


def _late_photo(installation: Installation) -> Callable[[], None]:
    """The photograph is synced only after the entry that names it was committed."""
    real, late = blobs.sync, []

    def sync_late() -> None:
        for folder in filter(Path.is_dir, late):
            for path in (*filter(Path.is_file, folder.iterdir()), folder):
                real(path)
        late.clear()

    blobs.sync = late.append
    return sync_late


MUTANTS: dict[str, Callable[[Installation], Callable[[], None]]] = {
    "": _nothing,
    "normal": _sync_normal,
    "late-photo": _late_photo,
}

if __name__ == "__main__":
    _main(*sys.argv[1:])
