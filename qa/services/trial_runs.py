"""Trial runs: which findings of the firm's jobs another specification would change.

The jobs are judged in the background, a stretch at a time, and what would change is kept by the
digest of the file that was tried: a draft's run is its version's once that is published. A job
stays judged by the version that it pins.
"""

from __future__ import annotations

import hashlib
import json
from collections import Counter
from collections.abc import Callable
from dataclasses import asdict, dataclass
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from qa.assess.assessment import assess
from qa.assess.fitting import require_fitting_checks
from qa.errors import RecordError
from qa.services.access import Act, Actor, require
from qa.services.changed_findings import ChangedFinding, changed_findings
from qa.services.loading import without_collecting
from qa.services.waking import wake
from qa.specification.loader import parse_specification
from qa.specification.model import Specification
from qa.store import accounts, ledger
from qa.store import specification_trials as store
from qa.store.outbox import enqueue
from qa.store.specification_trials import KeptTrial, TriedNow

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

    from qa.services.installation import Installation

TRIAL = "trial"
"""Task: judge the next jobs of a trial run; its subject is the run."""

A_STRETCH = 20
"""Jobs of one task; judging a record of 5,000 entries takes about a second."""
_LETS_OTHERS_GO_FIRST = timedelta(milliseconds=1)
"""What is due already, such as a pack, is done between two stretches."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TrialRun:
    """How far a trial run is, and what it has found.

    Attributes:
        kept: how far it is.
        turns: how many findings would go from one state to another, the most first.
    """

    kept: KeptTrial
    turns: tuple[tuple[str, str, int], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class TriedJob:
    """A job that would be touched.

    Attributes:
        pinned: name of the version that it pins and keeps.
        fault: why it cannot be judged by the other one, or nothing.
    """

    id: str
    title: str
    reference: str
    pinned: str
    changes: tuple[ChangedFinding, ...]
    fault: str


def ask_for_trial(
    installation: Installation, actor: Actor, content: bytes, *, now: datetime
) -> None:
    """Has a file tried on all jobs of the firm; one that is under way goes on.

    Args:
        installation: where.
        actor: who asks.
        content: the file: of a version or of a draft that the actor may read.
        now: the server's clock.
    """
    require(actor, Act.SEE_DESK)
    sha256 = hashlib.sha256(content).hexdigest()
    with installation.store.writing() as session:
        accounts.hold_firm(session, actor.firm_id)
        held = store.trial_of(session, firm_id=actor.firm_id, sha256=sha256)
        if held is not None and held.is_under_way:
            return
        trial = installation.new_id()
        store.begin_trial(
            session, id_=trial, firm_id=actor.firm_id, sha256=sha256, content=content,
            asked_by=actor.person_id, now=now,
        )  # fmt: skip
        enqueue(session, TRIAL, trial, now)
    wake(installation)


def trial_of(installation: Installation, actor: Actor, content: bytes) -> TrialRun | None:
    """The firm's trial run of a file, or None where nobody has asked for one."""
    require(actor, Act.SEE_DESK)
    sha256 = hashlib.sha256(content).hexdigest()
    with installation.store.reading() as session:
        kept = store.trial_of(session, firm_id=actor.firm_id, sha256=sha256)
    return None if kept is None else TrialRun(kept=kept, turns=_turns(kept))


def tried_jobs(
    installation: Installation, actor: Actor, run: TrialRun, *, skip: int, most: int
) -> tuple[TriedJob, ...]:
    """The jobs that a run of the actor's firm would touch, the one with the latest entry first."""
    require(actor, Act.SEE_DESK)
    if run.kept.firm_id != actor.firm_id:
        return ()
    with installation.store.reading() as session:
        rows = store.tried_jobs(session, run.kept.id, skip=skip, most=most)
    return tuple(
        TriedJob(
            id=row.job_id,
            title=row.title,
            reference=row.reference,
            pinned=row.pinned,
            changes=tuple(ChangedFinding(**one) for one in json.loads(row.changes)),
            fault=row.fault,
        )
        for row in rows
    )


def try_next_jobs(
    installation: Installation, subject: str, now: datetime
) -> Callable[[Session], None]:
    """Judges the next jobs of a trial run; the background's work.

    Args:
        installation: where.
        subject: id of the run.
        now: the time.
    """
    with installation.store.reading() as session:
        run = store.trial_by_id(session, subject)
        jobs = () if run is None else store.next_jobs(session, run, most=A_STRETCH)
    if run is None or not run.is_under_way:
        return _nothing_more
    tried = parse_specification(run.content, file="the file that is tried")
    found = tuple(_try_job(installation, run, job, tried) for job in jobs)
    turns = _with_turns(run, found)
    is_last = len(jobs) < A_STRETCH
    kept = tuple(one for one, _ in found)

    def keep(session: Session) -> None:
        finished_at = now if is_last else None
        store.keep_tried(session, subject, kept, turns=turns, finished_at=finished_at)
        if not is_last:
            enqueue(session, TRIAL, subject, now + _LETS_OTHERS_GO_FIRST)
            wake(installation)

    return keep


def give_up_trial(session: Session, subject: str, fault: str) -> None:
    """Says on the page of a trial run that it could not be ended."""
    store.fail_trial(session, subject, f"{fault} Ask for the trial run again.")


_Found = tuple[TriedNow, tuple[ChangedFinding, ...]]


def _try_job(
    installation: Installation, run: KeptTrial, job_id: str, tried: Specification
) -> _Found:
    """What a job's findings would be, beside what they are."""
    with installation.store.reading() as session:
        kept = ledger.find_job(session, firm_id=run.firm_id, job_id=job_id)
        assert kept is not None
        open_job = installation.open_jobs.apart(session, kept)
        standing = open_job.standing()
    fault, changes = "", tuple[ChangedFinding, ...]()
    try:
        with without_collecting():
            require_fitting_checks(standing.job, tried)
            after = assess(standing.job, tried).findings
        changes = changed_findings(standing.assessment.findings, after)
    except RecordError as error:
        fault = error.problems[0].sentence
    now = TriedNow(
        job_id=job_id,
        pinned=open_job.specification.name,
        changes=json.dumps([asdict(one) for one in changes], ensure_ascii=False),
        findings=len(changes),
        fault=fault,
    )
    return now, changes


def _turns(run: KeptTrial) -> tuple[tuple[str, str, int], ...]:
    return tuple((before, after, count) for before, after, count in json.loads(run.turns))


def _with_turns(run: KeptTrial, found: tuple[_Found, ...]) -> str:
    """The sum of a run and of what was found now, the most first."""
    counted = Counter({(before, after): count for before, after, count in _turns(run)})
    counted.update((one.before, one.after) for _, changes in found for one in changes)
    return json.dumps(
        [[before, after, count] for (before, after), count in counted.most_common()],
        ensure_ascii=False,
    )


def _nothing_more(session: Session) -> None:
    """The run is ended, or was begun anew."""
