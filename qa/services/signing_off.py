"""Signing a stage off: once for one state of the work, however many people sign at a time.

A stage that stands signed off is not signed again until work was recorded after it. That is looked
at in the transaction that would add the signature, so it holds over threads and processes.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime
from typing import TYPE_CHECKING

from qa.assess.finding import Assessment
from qa.assess.frame import when
from qa.assess.stages import SIGNED_OFF
from qa.errors import ConflictError
from qa.record.job import Job, Recorded
from qa.record.kinds.decisions import SignOff, SignOffDecision
from qa.services.access import Actor
from qa.services.recording import Draft, Receipt, record
from qa.trade.conformity import Verdict
from qa.trade.vocabulary import Stage

if TYPE_CHECKING:
    from qa.services.installation import Installation
    from qa.services.open_jobs import Standing


def sign_stage_off(
    installation: Installation,
    actor: Actor,
    job_id: str,
    draft: Draft,
    *,
    second: Callable[[Recorded[SignOff]], str],
    now: datetime,
) -> tuple[Receipt, ...]:
    """Records that an installer calls a stage complete.

    Args:
        installation: where.
        actor: the installer.
        job_id: the installation's id of the job.
        draft: the signature.
        second: what is told to whoever signs second, from the signature that stands.
        now: the server's clock.

    Raises:
        ConflictError: the stage stands signed off, and nothing was recorded since.
        LaidtrueError: as `qa.services.recording.record`.
    """

    def refuse_second(standing: Standing) -> None:
        stage = Stage(str(draft.body["stage"]))
        signed = standing_signature(standing.job, standing.assessment, stage)
        if signed is not None and signed.id != draft.id:
            raise ConflictError(second(signed), entry=signed.id)

    return record(installation, actor, job_id, [draft], now=now, provided=refuse_second)


def standing_signature(job: Job, assessment: Assessment, stage: Stage) -> Recorded[SignOff] | None:
    """The signature under which a stage stands complete, with no work recorded since; or None."""
    said = signatures(job, stage)
    if not said or said[-1].body.decision is not SignOffDecision.COMPLETE:
        return None
    return None if worked_since(assessment, stage) else said[-1]


def signatures(job: Job, stage: Stage) -> Sequence[Recorded[SignOff]]:
    """What was signed for a stage, in order of time."""
    return [s for s in sorted(job.sign_offs, key=when) if s.body.stage is stage]


def worked_since(assessment: Assessment, stage: Stage) -> str:
    """That work was recorded after the sign-off, in the assessment's own words; or nothing."""
    for found in assessment.of_stage(stage):
        if found.check == SIGNED_OFF and found.verdict is Verdict.OUTSIDE:
            return found.telling.remark
    return ""
