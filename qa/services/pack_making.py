"""Packs of jobs in the ledger: asked for, made in the background, and kept with what they show."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from sqlalchemy.orm import Session

from qa.errors import ConflictError, LaidtrueError, NotFoundError, StoreError
from qa.packs.source import PackPhoto, PackSource
from qa.photos.intake import read_facts
from qa.record.job import Job
from qa.record.marked import drawn_upon
from qa.services.access import Act, Actor, require
from qa.services.installation import Installation
from qa.services.loading import Progress
from qa.services.mail_tasks import Mail, MailKind, enqueue_mail
from qa.services.packing import PROGRAM, PackKind, pack_photos, render_pack
from qa.services.waking import wake
from qa.services.webhook_events import of_pack, tell
from qa.store import papers
from qa.store.erased_packs import is_behind_erasure, is_paper_held
from qa.store.ledger import KeptJob, find_job
from qa.store.originals import shown_originals
from qa.store.outbox import enqueue
from qa.store.papers import MadePack, PackEdition

PACK = "pack"
"""Task: make a pack; its subject is the pack's row."""

FORGET_PAPER = "forget-paper"
"""Task: delete the PDF of a pack; its subject is the SHA-256."""
_ERASED_MEANWHILE = (
    "Something was erased from the record while this pack was being made. Ask for it again."
)
_NO_JOB = "This job is not there, or it belongs to another firm."


def ask_for_pack(
    installation: Installation, actor: Actor, job_id: str, kind: PackKind, *, now: datetime
) -> int:
    """Has a pack of a job made; the same pack of the same record is made once.

    Returns:
        The number of the pack in the job, new or standing.

    Raises:
        NotFoundError: the actor's firm has no such job.
    """
    require(actor, Act.MAKE_PACKS)
    with installation.store.writing() as session:
        job = find_job(session, firm_id=actor.firm_id, job_id=job_id, to_append=True)
        if job is None:
            raise NotFoundError(_NO_JOB)
        edition = PackEdition(program=PROGRAM, entries=job.entries, head=job.head)
        number = papers.standing_pack(session, job_id=job_id, kind=kind, edition=edition)
        if number is not None:
            return number
        pack = installation.new_id()
        number = papers.order_pack(
            session, id_=pack, job_id=job_id, kind=kind, asked_by=actor.person_id, now=now
        )
        enqueue(session, PACK, pack, now)
    wake(installation)
    return number


def packs_of(installation: Installation, actor: Actor, job_id: str) -> tuple[MadePack, ...]:
    """Every pack of a job, newest first.

    Raises:
        NotFoundError: the actor's firm has no such job.
    """
    require(actor, Act.READ_JOBS)
    with installation.store.reading() as session:
        if find_job(session, firm_id=actor.firm_id, job_id=job_id) is None:
            raise NotFoundError(_NO_JOB)
        return papers.packs_of_job(session, firm_id=actor.firm_id, job_id=job_id)


def pack_of(installation: Installation, actor: Actor, job_id: str, number: int) -> MadePack:
    """One pack of a job, made or on its way.

    Raises:
        NotFoundError: the job has none of that number, or the firm no such job.
    """
    require(actor, Act.READ_JOBS)
    with installation.store.reading() as session:
        pack = papers.find_pack(session, number, firm_id=actor.firm_id, job_id=job_id)
    if pack is None:
        raise NotFoundError(f"This job has no pack {number}.")
    return pack


def pack_path(installation: Installation, actor: Actor, job_id: str, number: int) -> Path:
    """The PDF of a pack.

    Raises:
        NotFoundError: as `pack_of`, or it is not made.
        StoreError: the file is missing though the pack was made.
    """
    pack = pack_of(installation, actor, job_id, number)
    if pack.is_erased:
        raise NotFoundError(
            f"Pack {number} was made before something was erased from the record, and its PDF was "
            "erased with it. Ask for a new one: it shows what is left."
        )
    if pack.sha256 is None:
        raise NotFoundError(f"Pack {number} is not made yet. Wait, or ask for it again.")
    return installation.papers.path(pack.sha256)


def make_pack_of_job(
    installation: Installation, subject: str, now: datetime
) -> Callable[[Session], None]:
    """Makes a pack that was asked for; the background's work.

    What a person can mend (a photo that is missing, a specification that is not here) ends the
    pack with its sentence. Anything else is raised, and tried again.

    Args:
        installation: where.
        subject: id of the pack's row.
        now: the time.
    """
    with installation.store.reading() as session:
        order = papers.find_order(session, subject)
        if order is None:
            return _nothing_more
        job = find_job(session, firm_id=order.firm_id, job_id=order.job_id)
    if job is None:
        return _nothing_more
    told = _Steps(installation, subject)
    try:
        source = _source(installation, job, subject, told)
        content = render_pack(PackKind(order.kind), source, progress=told)
    except (ConflictError, StoreError):
        raise
    except LaidtrueError as error:
        sentence = str(error)
        return lambda session: papers.fail_pack(session, subject, sentence)
    paper = installation.papers.put(content)

    def finish(session: Session) -> None:
        if is_behind_erasure(session, subject):
            papers.fail_pack(session, subject, _ERASED_MEANWHILE)
            enqueue(session, FORGET_PAPER, paper.sha256, now)
            return
        papers.finish_pack(session, subject, sha256=paper.sha256, length=paper.bytes, now=now)
        ready = Mail(kind=MailKind.PACK_READY, about=subject)
        enqueue_mail(installation, session, ready, now=now)
        _tell(session, installation, papers.ready_pack(session, subject), source, paper.sha256, now)

    return finish


def _tell(
    session: Session,
    installation: Installation,
    pack: papers.ReadyPack | None,
    source: PackSource,
    sha256: str,
    now: datetime,
) -> None:
    """Tells other programs that a pack is made."""
    if pack is None:
        return
    told = of_pack(
        pack.job_id, number=pack.number, pack_kind=pack.kind, sha256=sha256,
        entries=source.assessment.entries, head=source.assessment.head,
    )  # fmt: skip
    tell(session, pack.firm_id, told, new_id=installation.new_id, now=now)


def forget_paper(
    installation: Installation, subject: str, _now: datetime
) -> Callable[[Session], None]:
    """Deletes the PDF of a pack that shows what was erased since; the background's work.

    Args:
        installation: where.
        subject: its SHA-256.
        _now: of no matter here.
    """

    def forget(session: Session) -> None:
        # Inside the transaction: a pack that is finished at this moment waits, and looks again.
        if not is_paper_held(session, subject):
            installation.papers.delete(subject)

    return forget


def give_up_pack(session: Session, subject: str, fault: str) -> None:
    """Says on the page of a pack that it could not be made."""
    papers.fail_pack(session, subject, f"{fault} Ask for the pack again.")


class _Steps:
    """Keeps how far a pack is, in transactions of their own, but not at every photo."""

    def __init__(self, installation: Installation, pack: str) -> None:
        self._installation = installation
        self._pack = pack
        self._kept: tuple[str, int] = ("", -1)

    def __call__(self, step: str, done: int, of: int) -> None:
        tenth = 10 * done // max(of, 1)
        if (step, tenth) == self._kept:
            return
        self._kept = (step, tenth)
        with self._installation.store.writing() as session:
            papers.note_step(session, self._pack, step, done, of)


def _source(installation: Installation, kept: KeptJob, pack: str, told: Progress) -> PackSource:
    """What a pack of a job in the ledger is made from, of the record as it is now."""
    with installation.store.reading() as session:
        current = find_job(session, firm_id=kept.firm_id, job_id=kept.id) or kept
        open_job = installation.open_jobs.at(session, current)
        standing = open_job.standing()
        shown = shown_originals(session, firm_id=kept.firm_id, job_id=kept.id)
    edition = PackEdition(
        program=PROGRAM, entries=standing.assessment.entries, head=standing.assessment.head
    )
    with installation.store.writing() as session:
        papers.begin_pack(session, pack, edition)
    told("reading the record", 1, 1)
    return PackSource(
        record=standing.record,
        job=standing.job,
        specification=open_job.specification,
        specification_bytes=open_job.specification_bytes,
        assessment=standing.assessment,
        photos=_photos(installation, standing.job, shown, told),
        program=PROGRAM,
    )


def _photos(
    installation: Installation, job: Job, shown: tuple[tuple[str, str], ...], told: Progress
) -> dict[str, PackPhoto]:
    paths = [(name, installation.originals.path(sha256)) for name, sha256 in shown]
    photos = [(path, read_facts(path, name=name), name) for name, path in paths]
    return pack_photos(
        photos,
        renditions=installation.settings.renditions,
        drawn=drawn_upon(job),
        progress=told,
    )


def _nothing_more(session: Session) -> None:
    """The pack is made already, or was asked for in a job that is gone."""
