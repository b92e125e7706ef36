"""What other programs are told of, and how it is said: ids, kinds, times and digests only.

An event names no person and no place, holds no word that anybody typed, and is the same at every
attempt. Whoever wants more asks the interface for it, by the ids, with a token.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from enum import StrEnum
from functools import partial

from qa.record.entry import Entry
from qa.record.kinds.decisions import SignOff, SignOffDecision
from qa.record.reading import Record
from qa.store.deliveries import ToWrite, listening, write_deliveries
from qa.store.store import Database
from qa.store.summary_lines import FindingLine


class Event(StrEnum):
    """Something that a program can ask to be told of."""

    JOB_STARTED = "job_started"
    ENTRY_RECORDED = "entry_recorded"
    STAGE_SIGNED = "stage_signed"
    STAGE_DECIDED = "stage_decided"
    FINDING_OUTSIDE = "finding_outside"
    PACK_READY = "pack_ready"
    MESSAGE_ARRIVED = "message_arrived"


TRIAL = "trial"
"""Kind of an event that tells of nothing: somebody wants to see whether one arrives."""

Fact = str | int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Happening:
    """An event that is to be told.

    Attributes:
        kind: an `Event`, or `TRIAL`.
        facts: what there is to say of it.
    """

    kind: str
    facts: Mapping[str, Fact]


def tell(
    database: Database,
    firm_id: str,
    happenings: Iterable[Happening],
    *,
    new_id: Callable[[], str],
    now: datetime,
) -> None:
    """Writes events into the caller's transaction, for the firm's webhooks that ask for them.

    Args:
        database: the transaction in which they happen.
        firm_id: whose they are.
        happenings: in their order; not looked at where the firm has no webhook.
        new_id: makes an id for each delivery.
        now: the time.
    """
    webhooks = listening(database, firm_id)
    if not webhooks:
        return
    told = tuple(happenings)
    for webhook_id, events in webhooks:
        new = [deliverable(one, new_id(), now) for one in told if one.kind in events]
        if new:
            write_deliveries(database, webhook_id, new, now)


def deliverable(happening: Happening, id_: str, now: datetime) -> ToWrite:
    """The delivery of an event."""
    return ToWrite(id=id_, event=happening.kind, body=partial(_body, happening, id_, now))


def _body(happening: Happening, id_: str, now: datetime, number: int) -> str:
    envelope = {"id": id_, "number": number, "kind": happening.kind, "at": _utc(now)}
    facts = {name: value for name, value in happening.facts.items() if value is not None}
    return json.dumps(envelope | facts, separators=(",", ":"))


def of_new_job(job_id: str, record: Record) -> tuple[Happening, ...]:
    """That a job was started, or was taken in with a record that it had already."""
    head = record.entries[-1].hash
    facts: dict[str, Fact] = {"job": job_id, "entries": len(record.entries), "head": head}
    return (Happening(kind=Event.JOB_STARTED, facts=facts),)


def of_entries(
    job_id: str, entries: Sequence[Entry], outside: Iterable[FindingLine]
) -> Iterable[Happening]:
    """What new entries of a job tell, and what they were found to be outside.

    Args:
        job_id: the installation's id of the job.
        entries: sealed, in their order.
        outside: what is outside its limits since they came.
    """
    for entry in entries:
        yield Happening(kind=Event.ENTRY_RECORDED, facts=_entry(job_id, entry))
        if isinstance(entry.body, SignOff):
            yield _signature(job_id, entry, entry.body)
    for line in outside:
        facts: dict[str, Fact] = {
            "job": job_id,
            "check": line.check,
            "stage": line.stage,
            "entry": line.entry_id,
        }
        yield Happening(kind=Event.FINDING_OUTSIDE, facts=facts)


def _entry(job_id: str, entry: Entry) -> dict[str, Fact]:
    return {
        "job": job_id,
        "entry": entry.id,
        "entry_kind": entry.kind.value,
        "seq": entry.seq,
        "hash": entry.hash,
        "seen_at": _utc(entry.at),
    }


def _signature(job_id: str, entry: Entry, body: SignOff) -> Happening:
    facts: dict[str, Fact] = {"job": job_id, "stage": body.stage.value, "entry": entry.id}
    if body.decision is SignOffDecision.COMPLETE:
        return Happening(kind=Event.STAGE_SIGNED, facts=facts)
    decided = facts | {"decision": body.decision.value}
    return Happening(kind=Event.STAGE_DECIDED, facts=decided)


def of_pack(
    job_id: str, *, number: int, pack_kind: str, sha256: str, entries: int, head: str
) -> tuple[Happening, ...]:
    """That a pack of a job is made, of the record up to its head then."""
    facts: dict[str, Fact] = {
        "job": job_id, "pack": number, "pack_kind": pack_kind, "sha256": sha256,
        "entries": entries, "head": head,
    }  # fmt: skip
    return (Happening(kind=Event.PACK_READY, facts=facts),)


def of_message(job_id: str, message_id: str, face: str) -> tuple[Happening, ...]:
    """That somebody has written by a link."""
    facts = {"job": job_id, "message": message_id, "face": face}
    return (Happening(kind=Event.MESSAGE_ARRIVED, facts=facts),)


def of_trial() -> Happening:
    """An event that tells of nothing."""
    return Happening(kind=TRIAL, facts={})


def _utc(moment: datetime) -> str:
    return moment.astimezone(UTC).isoformat().replace("+00:00", "Z")
