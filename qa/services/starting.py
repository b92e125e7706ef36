"""Starting a job: the first entry of a record."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import TYPE_CHECKING

from sqlalchemy.orm import Session

from qa.errors import ConflictError, Problem, RecordError
from qa.record.entry import Entry
from qa.record.fields import Json
from qa.record.growing import GrowingRecord
from qa.record.reading import Record
from qa.record.registry import Kind
from qa.record.schema import written as as_json
from qa.record.sealing import Arrival
from qa.services.access import Act, Actor, require
from qa.services.specifications import pinned_specification
from qa.services.summarising import summary_of
from qa.services.webhook_events import of_new_job, tell
from qa.store import ledger, summaries
from qa.store.ledger import KeptJob

if TYPE_CHECKING:
    from qa.services.installation import Installation


def start_job(
    installation: Installation,
    actor: Actor,
    opening: Mapping[str, Json],
    *,
    entry_id: str,
    at: datetime,
    now: datetime,
    device: str | None = None,
) -> str:
    """Opens the record of a job and answers the installation's id of it.

    Sent twice with the same content, it answers the same job.

    Args:
        installation: where.
        actor: who starts it; one of the crew.
        opening: the body of kind `job`.
        entry_id: id of the first entry.
        at: when it was started.
        now: the server's clock.
        device: what it comes from, or None.

    Raises:
        NotAllowedError: the actor's roles do not allow it.
        RecordError: with every fault; also where the firm has a job of this reference.
        ConflictError: the id was used before for another content.
        SpecificationError: the specification that it pins is not there.
    """
    require(actor, Act.START_JOB)
    growing = GrowingRecord(Record(entries=()))
    entry = growing.read(
        {
            "id": entry_id,
            "kind": Kind.JOB.value,
            "at": at.isoformat(),
            "by": actor.key,
            "body": dict(opening),
        }
    )
    with installation.store.writing() as session:
        held = ledger.find_by_opening(session, firm_id=actor.firm_id, opening_id=entry_id)
        if held is not None:
            return _held(installation, session, held, entry)
        _require_new_reference(session, actor, Record(entries=(entry,)).opening.job)
        sealed, disclosures = growing.seal(
            entry,
            Arrival(received_at=now, device=device),
            photos={},
            new_salt=installation.new_salt,
        )
        record = Record(entries=(sealed,), disclosures=disclosures)
        return put_new_job(installation, session, firm_id=actor.firm_id, record=record, now=now)


def put_new_job(
    installation: Installation, session: Session, *, firm_id: str, record: Record, now: datetime
) -> str:
    """Inserts the whole sealed record of a job that the firm does not have yet, and tells of it.

    Returns:
        The installation's id of the job.

    Raises:
        SpecificationError: the specification that it pins is not there.
    """
    _, specification = pinned_specification(
        session, firm_id=firm_id, name=record.opening.specification
    )
    summary = summary_of(record, specification)
    job_id = installation.new_id()
    summaries.open_job_row(
        session,
        job_id=job_id,
        firm_id=firm_id,
        opening_id=record.entries[0].id,
        line=summary.job,
    )
    ledger.append(session, job_id=job_id, entries=record.entries, disclosures=record.disclosures)
    summaries.put_whole(session, job_id=job_id, firm_id=firm_id, summary=summary)
    told = of_new_job(job_id, record)
    tell(session, firm_id, told, new_id=installation.new_id, now=now)
    return job_id


def _held(installation: Installation, session: Session, held: KeptJob, sent: Entry) -> str:
    first = installation.open_jobs.at(session, held).growing.entries[0]
    if as_json(first.body) != as_json(sent.body):
        raise ConflictError(
            f"This job was started before as “{held.reference}” with another content. What the "
            "record holds stays; to change it, put its first entry right.",
            entry=first.id,
        )
    return held.id


def _require_new_reference(session: Session, actor: Actor, reference: str) -> None:
    if ledger.find_by_reference(session, firm_id=actor.firm_id, reference=reference):
        raise RecordError(
            (
                Problem(
                    place="entry",
                    sentence=f"job.job is “{reference}”, which another job of the firm has; "
                    "choose another reference.",
                    field="job.job",
                ),
            )
        )
