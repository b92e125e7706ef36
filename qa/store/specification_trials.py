"""Trial runs of specifications in the database: how far each is, and what it would change."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import ColumnElement, delete, func, insert, select, update
from sqlalchemy.orm import Session

from qa.store.columns import value_of
from qa.store.tables import JobRow, PersonRow, SpecificationTrialRow, TriedJobRow


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptTrial:
    """A trial run; see `qa.store.tables.specifications.SpecificationTrialRow`.

    Attributes:
        asked_by: name of the person.
    """

    id: str
    firm_id: str
    content: bytes
    asked_by: str
    asked_at: datetime
    after: str | None
    jobs_done: int
    jobs_of: int
    findings: int
    touched: int
    turns: str
    finished_at: datetime | None
    fault: str | None

    @property
    def is_under_way(self) -> bool:
        """Whether it goes on by itself."""
        return self.finished_at is None and self.fault is None


@dataclass(frozen=True, slots=True, kw_only=True)
class TriedRow:
    """A job that a trial run would touch; `changes` is JSON."""

    job_id: str
    title: str
    reference: str
    pinned: str
    changes: str
    fault: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TriedNow:
    """What judging one job has given; `findings` counts its changes."""

    job_id: str
    pinned: str
    changes: str
    findings: int
    fault: str

    @property
    def is_touched(self) -> bool:
        """Whether there is anything to tell of it."""
        return bool(self.findings or self.fault)


def trial_of(session: Session, *, firm_id: str, sha256: str) -> KeptTrial | None:
    """The firm's trial run of a file, or None."""
    row = SpecificationTrialRow
    return _one(session, row.firm_id == firm_id, row.sha256 == sha256)


def trial_by_id(session: Session, trial: str) -> KeptTrial | None:
    """A trial run, for whoever works in the background, or None."""
    return _one(session, SpecificationTrialRow.id == trial)


def begin_trial(
    session: Session, *, id_: str, firm_id: str, sha256: str, content: bytes, asked_by: str,
    now: datetime,
) -> None:  # fmt: skip
    """Begins a trial run, or begins the one of this file anew; what it had found is dropped."""
    row = SpecificationTrialRow
    held = session.scalar(select(row.id).where(row.firm_id == firm_id, row.sha256 == sha256))
    if held is not None:
        session.execute(delete(TriedJobRow).where(TriedJobRow.trial_id == held))
        session.execute(delete(row).where(row.id == held))
    jobs = session.scalar(select(func.count()).where(JobRow.firm_id == firm_id)) or 0
    session.execute(
        insert(row).values(
            id=id_,
            firm_id=firm_id,
            sha256=sha256,
            content=content,
            asked_by=asked_by,
            asked_at=now,
            jobs_done=0,
            jobs_of=jobs,
            findings=0,
            touched=0,
            turns="[]",
        )
    )


def next_jobs(session: Session, trial: KeptTrial, *, most: int) -> tuple[str, ...]:
    """Ids of the jobs that come after the last one that was judged."""
    query = select(JobRow.id).where(JobRow.firm_id == trial.firm_id).order_by(JobRow.id)
    if trial.after is not None:
        query = query.where(JobRow.id > trial.after)
    return tuple(session.scalars(query.limit(most)))


def keep_tried(
    session: Session,
    trial: str,
    tried: tuple[TriedNow, ...],
    *,
    turns: str,
    finished_at: datetime | None,
) -> None:
    """Keeps what a stretch of jobs has given, how far the run is, and its sum so far."""
    touched = [one for one in tried if one.is_touched]
    for one in touched:
        session.execute(
            insert(TriedJobRow).values(
                trial_id=trial,
                job_id=one.job_id,
                pinned=one.pinned,
                changes=one.changes,
                fault=one.fault,
            )
        )
    row = SpecificationTrialRow
    done: dict[str, object] = {
        "jobs_done": row.jobs_done + len(tried),
        "findings": row.findings + sum(one.findings for one in tried),
        "touched": row.touched + len(touched),
        "turns": turns,
        "finished_at": finished_at,
    }
    if finished_at is not None:
        done["jobs_of"] = row.jobs_done + len(tried)  # some may have come while it ran
    if tried:
        done["after"] = tried[-1].job_id
    session.execute(update(row).where(row.id == trial).values(**done))


def fail_trial(session: Session, trial: str, fault: str) -> None:
    """Says why a trial run was given up."""
    row = SpecificationTrialRow
    session.execute(update(row).where(row.id == trial).values(fault=fault))


def tried_jobs(session: Session, trial: str, *, skip: int, most: int) -> tuple[TriedRow, ...]:
    """The jobs that a trial run would touch, the one with the latest entry first."""
    row = TriedJobRow
    query = (
        select(row.job_id, JobRow.title, JobRow.reference, row.pinned, row.changes, row.fault)
        .join(JobRow, JobRow.id == row.job_id)
        .where(row.trial_id == trial)
        .order_by(JobRow.last_received_at.desc(), JobRow.id)
        .offset(skip)
        .limit(most)
    )
    return tuple(
        TriedRow(
            job_id=job_id,
            title=title,
            reference=reference,
            pinned=pinned,
            changes=changes,
            fault=fault,
        )
        for job_id, title, reference, pinned, changes, fault in session.execute(query)
    )


def _one(session: Session, *where: ColumnElement[bool]) -> KeptTrial | None:
    row = SpecificationTrialRow
    query = select(row, PersonRow.name).join(PersonRow, PersonRow.id == row.asked_by)
    found = session.execute(query.where(*where)).first()
    if found is None:
        return None
    trial, asked_by = found
    return value_of(KeptTrial, trial, asked_by=asked_by)
