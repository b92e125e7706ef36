"""Rows of packs: asked for, being made, made or failed, numbered within their job."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import ColumnElement, and_, bindparam, func, or_, select, update
from sqlalchemy.orm import Session

from qa.store.columns import value_of
from qa.store.erased_packs import IS_ERASED
from qa.store.packs_due import settle_pack_due
from qa.store.tables import JobRow, PackRow, PersonRow

WAITING = "waiting"
"""The step of a pack that nobody has begun to make."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MadePack:
    """A pack of a job, made or on its way.

    Attributes:
        number: from 1 within the job.
        kind: "handover" or "warranty".
        asked_by: name of the person who asked for it.
        step: what is being done, in words; `step_done` of `step_of`.
        program: name and version of the program that made it.
        entries, head: of the record that it shows.
        sha256, bytes: of the PDF, once made.
        fault: why it could not be made, in a sentence.
        is_erased: whether something was erased from the record after the state that it shows. Its
            file is gone then; number, digest and edition tell what was handed out.
    """

    number: int
    kind: str
    asked_by: str
    asked_at: datetime
    step: str
    step_done: int
    step_of: int
    program: str | None
    entries: int | None
    head: str | None
    sha256: str | None
    bytes: int | None
    made_at: datetime | None
    fault: str | None
    is_erased: bool

    @property
    def is_made(self) -> bool:
        """Whether there is a PDF."""
        return self.sha256 is not None and not self.is_erased

    @property
    def is_on_its_way(self) -> bool:
        """Whether it will come of itself."""
        return self.sha256 is None and self.fault is None


@dataclass(frozen=True, slots=True, kw_only=True)
class PackOrder:
    """What whoever makes a pack needs to know of it."""

    job_id: str
    firm_id: str
    kind: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PackEdition:
    """From what a pack is made."""

    program: str
    entries: int
    head: str


def order_pack(
    session: Session, *, id_: str, job_id: str, kind: str, asked_by: str, now: datetime
) -> int:
    """Writes a pack that waits to be made; answers its number in the job.

    The caller has locked the job's row, see `qa.store.ledger.find_job`.
    """
    last = session.scalar(select(func.max(PackRow.number)).where(PackRow.job_id == job_id))
    row = PackRow(
        id=id_,
        job_id=job_id,
        number=(last or 0) + 1,
        kind=kind,
        asked_by=asked_by,
        asked_at=now,
        step=WAITING,
        step_done=0,
        step_of=1,
    )
    session.add(row)
    session.flush()
    return row.number


def standing_pack(session: Session, *, job_id: str, kind: str, edition: PackEdition) -> int | None:
    """Number of the pack that answers the same order: of this edition, or not yet begun."""
    same = and_(PackRow.head == edition.head, PackRow.program == edition.program)
    return session.scalars(
        select(PackRow.number)
        .where(
            PackRow.job_id == job_id,
            PackRow.kind == kind,
            PackRow.fault.is_(None),
            or_(same, PackRow.step == WAITING),
        )
        .order_by(PackRow.number.desc())
        .limit(1)
    ).first()


def find_order(session: Session, pack: str) -> PackOrder | None:
    """What a pack is to be made of; None where it is made, has failed or is not there."""
    found = session.execute(
        select(PackRow.job_id, JobRow.firm_id, PackRow.kind)
        .join(JobRow, JobRow.id == PackRow.job_id)
        .where(PackRow.id == pack, PackRow.sha256.is_(None), PackRow.fault.is_(None))
    ).first()
    if found is None:
        return None
    job_id, firm_id, kind = found
    return PackOrder(job_id=job_id, firm_id=firm_id, kind=kind)


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadyPack:
    """A pack that is made, for whoever tells the person who asked for it."""

    job_id: str
    firm_id: str
    asked_by: str
    kind: str
    number: int


def ready_pack(session: Session, pack: str) -> ReadyPack | None:
    """A pack that is made; None where it is not, or is gone."""
    found = session.execute(
        select(PackRow.job_id, JobRow.firm_id, PackRow.asked_by, PackRow.kind, PackRow.number)
        .join(JobRow, JobRow.id == PackRow.job_id)
        .where(PackRow.id == pack, PackRow.sha256.is_not(None))
    ).first()
    if found is None:
        return None
    job_id, firm_id, asked_by, kind, number = found
    return ReadyPack(job_id=job_id, firm_id=firm_id, asked_by=asked_by, kind=kind, number=number)


def begin_pack(session: Session, pack: str, edition: PackEdition) -> None:
    """Notes from what a pack is made."""
    _change(session, pack, program=edition.program, entries=edition.entries, head=edition.head)


def note_step(session: Session, pack: str, step: str, done: int, of: int) -> None:
    """Notes how far a pack is."""
    _change(session, pack, step=step, step_done=done, step_of=of)


def finish_pack(session: Session, pack: str, *, sha256: str, length: int, now: datetime) -> None:
    """Notes that a pack is made."""
    _change(session, pack, sha256=sha256, bytes=length, made_at=now, step="made", step_done=1,
            step_of=1)  # fmt: skip
    settle_pack_due(session, job_id=session.scalars(_JOB_OF, {"pack": pack}).one())


_JOB_OF = select(PackRow.job_id).where(PackRow.id == bindparam("pack"))


def fail_pack(session: Session, pack: str, fault: str) -> None:
    """Notes why a pack could not be made."""
    _change(session, pack, fault=fault)


def packs_of_job(session: Session, *, firm_id: str, job_id: str) -> tuple[MadePack, ...]:
    """Every pack of a firm's job, newest first."""
    return _packs(session, JobRow.firm_id == firm_id, PackRow.job_id == job_id)


def find_pack(session: Session, number: int, *, firm_id: str, job_id: str) -> MadePack | None:
    """One of them, or None."""
    found = _packs(
        session, JobRow.firm_id == firm_id, PackRow.job_id == job_id, PackRow.number == number
    )
    return found[0] if found else None


def _packs(session: Session, *where: ColumnElement[bool]) -> tuple[MadePack, ...]:
    rows = session.execute(
        select(PackRow, PersonRow.name, IS_ERASED)
        .join(JobRow, JobRow.id == PackRow.job_id)
        .join(PersonRow, PersonRow.id == PackRow.asked_by)
        .where(*where)
        .order_by(PackRow.number.desc())
    )
    return tuple(_pack(*row) for row in rows)


def _pack(row: PackRow, asked_by: str, is_erased: bool) -> MadePack:
    gone = is_erased and row.sha256 is not None
    return value_of(MadePack, row, asked_by=asked_by, is_erased=gone)


def _change(session: Session, pack: str, **values: object) -> None:
    session.execute(update(PackRow).where(PackRow.id == pack).values(**values))
