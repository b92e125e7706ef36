"""Taking a job out of the installation as an open folder."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from qa.errors import NotFoundError
from qa.record.folder import write_folder
from qa.record.reading import Record
from qa.services.access import Act, Actor, require
from qa.services.appending import NO_SUCH_JOB
from qa.services.carried import to_carry
from qa.services.reading import read_any_job
from qa.store import ledger

if TYPE_CHECKING:
    from qa.services.installation import Installation


def take_out(installation: Installation, actor: Actor, job_id: str, folder: Path) -> None:
    """Writes a job folder: every entry, the disclosures that are left, the originals.

    It carries the specification that the job pins, unless the program brings that one along.

    Args:
        installation: where.
        actor: who takes it out.
        job_id: the installation's id of the job.
        folder: the folder to make; it must not exist.

    Raises:
        NotFoundError: the actor's firm has no such job.
        UsageError: the folder exists or cannot be written; nothing is left behind.
    """
    require(actor, Act.TAKE_OUT)
    write_job_folder(installation, firm_id=actor.firm_id, job_id=job_id, folder=folder)


def write_job_folder(
    installation: Installation, *, firm_id: str, job_id: str, folder: Path
) -> None:
    """As `take_out`, for whoever keeps the installation itself."""
    read = read_any_job(installation, firm_id=firm_id, job_id=job_id)
    write_folder(
        read.record,
        original_files(installation, read.record),
        folder,
        specification=to_carry(read.specification, read.specification_bytes),
    )


def original_files(installation: Installation, record: Record) -> tuple[tuple[str, Path], ...]:
    """Name in the record and path of every original that is still here, in the record's order."""
    files: dict[str, Path] = {}
    for entry in record.entries:
        photo = entry.new_body or entry.body
        sha256, name = getattr(photo, "sha256", None), getattr(photo, "file", None)
        if sha256 and name and installation.originals.exists(sha256):
            files.setdefault(name, installation.originals.path(sha256))
    return tuple(files.items())


def job_of_reference(installation: Installation, *, firm_id: str, reference: str) -> str:
    """The installation's id of a firm's job by its reference.

    Raises:
        NotFoundError: the firm has no such job.
    """
    with installation.store.reading() as session:
        kept = ledger.find_by_reference(session, firm_id=firm_id, reference=reference)
    if kept is None:
        raise NotFoundError(NO_SUCH_JOB)
    return kept.id
