"""Drawing an audit: a plan for the complete jobs of a time, and a sample that nobody chose.

The sample follows from the seed and the references alone, so anybody can draw it again: the jobs
stand in the order of SHA-256 over the seed, a line end and the reference; the first are taken.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from hashlib import sha256
from typing import TYPE_CHECKING

from qa.errors import NotFoundError
from qa.record.registry import Kind
from qa.services.access import Act, Actor, require
from qa.services.auditing import Audit, plan_audit
from qa.services.recording import Draft, Receipt, record
from qa.store.audit_lots import AuditableJob, complete_jobs

if TYPE_CHECKING:
    from qa.services.installation import Installation

LEAST_JOBS = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class AuditAsked:
    """What is to be audited.

    Attributes:
        since, until: first and last day on which the jobs were opened, UTC.
        share_bad_pct: share of bad ones that must not pass unseen, above 0 to 100 %.
        risk_pct: greatest accepted chance of seeing none of them, above 0 and below 100 %.
        seed: from which the sample follows.
    """

    since: date
    until: date
    share_bad_pct: float
    risk_pct: float
    seed: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnAudit:
    """A plan and its sample.

    Attributes:
        lot_size: how many jobs there are.
        plan: None where there are fewer than `LEAST_JOBS`, all of which are looked at.
        sample: in the order in which they were drawn.
    """

    asked: AuditAsked
    lot_size: int
    plan: Audit | None
    sample: tuple[AuditableJob, ...]


def draw_audit(installation: Installation, actor: Actor, asked: AuditAsked) -> DrawnAudit:
    """The plan for the complete jobs of the actor's firm, and the sample that it asks for.

    Raises:
        DomainError: a share or a risk lies outside its range.
    """
    require(actor, Act.SEE_DESK)
    since = datetime.combine(asked.since, time(), UTC)
    until = datetime.combine(asked.until, time(), UTC) + timedelta(days=1)
    with installation.store.reading() as session:
        jobs = complete_jobs(session, firm_id=actor.firm_id, since=since, until=until)
    plan = None
    if len(jobs) >= LEAST_JOBS:
        plan = plan_audit(
            len(jobs), items="jobs", share_bad_pct=asked.share_bad_pct, risk_pct=asked.risk_pct
        )
    drawn = sorted(jobs, key=lambda job: _rank(asked.seed, job.reference))
    size = plan.zero_size if plan else len(jobs)
    return DrawnAudit(asked=asked, lot_size=len(jobs), plan=plan, sample=tuple(drawn[:size]))


def _rank(seed: str, reference: str) -> bytes:
    return sha256(f"{seed}\n{reference}".encode()).digest()


def record_result(
    installation: Installation,
    actor: Actor,
    asked: AuditAsked,
    job_id: str,
    *,
    words: str,
    entry_id: str,
    at: datetime,
    now: datetime,
) -> tuple[Receipt, ...]:
    """Records what an audit of one drawn job has found, as a note in its record.

    Raises:
        NotFoundError: the job was not drawn.
        RecordError: with every fault of the note.
    """
    drawn = draw_audit(installation, actor, asked)
    if job_id not in {job.id for job in drawn.sample}:
        raise NotFoundError("This audit did not draw this job. Nothing was recorded.")
    text = (
        f"Audit, {len(drawn.sample)} of {drawn.lot_size} jobs opened {asked.since} to "
        f"{asked.until}, drawn by the seed “{asked.seed}”: {words}"
    )
    note = Draft(id=entry_id, kind=Kind.NOTE, at=at, body={"text": text}, at_is_reckoned=True)
    return record(installation, actor, job_id, [note], now=now)
