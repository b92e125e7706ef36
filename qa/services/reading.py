"""Reading a job: folded and judged, from memory where nothing has been added since."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from qa.assess.finding import Assessment
from qa.assess.frame import Frame
from qa.assess.stages import stage_in_hand
from qa.errors import NotFoundError
from qa.record.job import Job
from qa.record.reading import Record
from qa.services.access import Act, Actor, require
from qa.services.appending import NO_SUCH_JOB
from qa.specification.model import Specification
from qa.store import ledger
from qa.store.ledger import KeptJob
from qa.trade.vocabulary import Stage

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

    from qa.services.installation import Installation


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadJob:
    """A job as it stands.

    Attributes:
        id: the installation's id.
        specification, specification_bytes: the one that the job pins.
        frame: the job laid out for judging, and for looking up what was judged.
    """

    id: str
    record: Record
    job: Job
    specification: Specification
    specification_bytes: bytes
    frame: Frame
    assessment: Assessment

    @property
    def stage_in_hand(self) -> Stage | None:
        """The first stage that is not signed off, or None."""
        return stage_in_hand(self.job)


def read_job(installation: Installation, actor: Actor, job_id: str) -> ReadJob:
    """A job of the actor's firm.

    Raises:
        NotFoundError: the firm has no such job.
    """
    require(actor, Act.READ_JOBS)
    with installation.store.reading() as session:
        kept = ledger.find_job(session, firm_id=actor.firm_id, job_id=job_id)
        return _read(installation, session, kept)


def read_any_job(installation: Installation, *, firm_id: str, job_id: str) -> ReadJob:
    """A job for the installation's own work in the background, where nobody acts.

    Raises:
        NotFoundError: the firm has no such job.
    """
    with installation.store.reading() as session:
        kept = ledger.find_job(session, firm_id=firm_id, job_id=job_id)
        return _read(installation, session, kept)


def _read(installation: Installation, session: Session, kept: KeptJob | None) -> ReadJob:
    if kept is None:
        raise NotFoundError(NO_SUCH_JOB)
    open_job = installation.open_jobs.at(session, kept)
    standing = open_job.standing()
    return ReadJob(
        id=kept.id,
        record=standing.record,
        job=standing.job,
        specification=open_job.specification,
        specification_bytes=open_job.specification_bytes,
        frame=standing.frame,
        assessment=standing.assessment,
    )
