"""What lists show of a job, as a pure function of its record and specification.

Findings are of two kinds. Some rest on one entry and are told at once; others, such as consumption,
need the whole record, and the whole record is judged again at every sign-off, decision, correction
and look after the handover, which are few. So the time to add an entry does not grow with the
record, and going through the record again gives the same rows.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import astuple, dataclass
from datetime import UTC, datetime
from typing import TypeVar

from qa.assess.assessment import assess
from qa.assess.at_once import ground_frame, judge_at_once
from qa.assess.fact_text import facts_text
from qa.assess.finding import Assessment, Finding
from qa.assess.frame import Frame
from qa.assess.gleaning import glean
from qa.assess.lateness import TIMELY
from qa.assess.stages import releases_waiting, stage_in_hand
from qa.record.entry import Entry
from qa.record.growing import GrowingRecord
from qa.record.job import Job, Recorded, fold
from qa.record.kinds.papers import Photo
from qa.record.kinds.supplies import Mix
from qa.record.reading import Record
from qa.record.registry import Kind
from qa.services.batch_lines import laid_lines, lot_line
from qa.services.finding_words import word_lines
from qa.services.look_dates import next_look
from qa.specification.model import Specification
from qa.store.summary_lines import (
    FactsLine,
    FindingKey,
    FindingLine,
    JobLine,
    LaidLine,
    LotLine,
    PhotoLine,
    ReleaseLine,
    Summary,
)
from qa.trade.conformity import Verdict

JUDGED_WHOLE = frozenset(
    {
        Kind.JOB,
        Kind.AREA,
        Kind.SIGN_OFF,
        Kind.NONCONFORMITY,
        Kind.DISPOSITION,
        Kind.CLOSURE,
        Kind.CORRECTION,
        Kind.ERASURE,
        Kind.INSPECTION,
    }
)
"""Kinds of entry at which the whole record is judged again."""

AFTER_HANDOVER = frozenset({Kind.HANDOVER, Kind.INSPECTION})
"""Kinds of entry of which the pack that was handed over need not tell."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FindingChange:
    """What one entry changes among the open findings."""

    outside: tuple[FindingLine, ...]
    settled: tuple[FindingKey, ...]


def summary_of(record: Record, specification: Specification) -> Summary:
    """Everything that lists show of a job.

    Args:
        record: sealed, not empty.
        specification: the one that the job pins.
    """
    job = fold(record)
    erased = {sha256 for erasure in job.erasures for sha256 in erasure.body.photos or ()}
    whole, since = _judged_whole(record, specification)
    waiting = releases_waiting(job, specification)
    return Summary(
        job=_job_line(record, job, is_waiting=bool(waiting)),
        findings=_findings(whole, since, specification),
        lots=_in_order(lot_line(lot.body, seq=lot.position) for lot in job.lots),
        laid=_in_order(
            line
            for used in (*job.mixes, *job.usages)
            for line in laid_lines(used.id, used.at, used.body)
        ),
        releases=_in_order(
            ReleaseLine(stage=s.body.stage, signed_at=s.at.astimezone(UTC), signed_by=s.by)
            for s in waiting
        ),
        photos=_in_order(
            photo_line(photo.id, photo.body)
            for photo in job.photos
            if photo.body.sha256 and photo.body.sha256 not in erased
        ),
        words=word_lines(job),
        facts=(FactsLine(facts=facts_text(glean(whole.job, specification, whole.assessment))),),
    )


L = TypeVar("L", LotLine, LaidLine, ReleaseLine, PhotoLine)


def _in_order(lines: Iterable[L]) -> tuple[L, ...]:
    """Lines in the order in which the store answers them: by their first fields, a key."""
    return tuple(sorted(lines, key=lambda line: astuple(line)[:2]))


class Teller:
    """Tells the findings of single entries, keeping the frame as long as the ground is the same."""

    def __init__(self, specification: Specification) -> None:
        """By the specification that the job pins."""
        self._specification = specification
        self._ground: Job | None = None
        self._frame: Frame | None = None

    def told_by(self, growing: GrowingRecord, entry: Entry) -> tuple[Finding, ...]:
        """The findings that rest on one entry of a growing record.

        Args:
            growing: the record, with the entry or just before it is taken.
            entry: the entry.
        """
        if growing.ground is None:
            return ()
        if self._frame is None or growing.ground is not self._ground:
            self._ground = growing.ground
            self._frame = ground_frame(growing.ground, self._specification)
        recorded = Recorded(position=entry.seq or 0, entry=entry, body=entry.body)
        reading = (
            growing.last_readings.get(entry.body.stage) if isinstance(entry.body, Mix) else None
        )
        return judge_at_once(self._frame, recorded, reading=reading)


def change_of(findings: Iterable[Finding], *, noted_at: datetime) -> FindingChange:
    """What findings told at once change among the open ones.

    Args:
        findings: told by one entry, or by some that arrived together.
        noted_at: when those arrived.
    """
    told = tuple(findings)
    outside = _lines((f, noted_at) for f in told if f.verdict is Verdict.OUTSIDE)
    others = (found for found in told if found.verdict is not Verdict.OUTSIDE)
    return FindingChange(outside=outside, settled=tuple(map(_key, others)))


@dataclass(frozen=True, slots=True, kw_only=True)
class _JudgedWhole:
    """A record up to the last entry at which it was judged whole."""

    record: Record
    job: Job
    assessment: Assessment


def _judged_whole(
    record: Record, specification: Specification
) -> tuple[_JudgedWhole, tuple[Entry, ...]]:
    """The record as it was last judged whole, and the entries since."""
    last = max(
        position for position, entry in enumerate(record.entries) if entry.kind in JUDGED_WHOLE
    )
    judged = Record(entries=record.entries[: last + 1], disclosures=record.disclosures)
    job = fold(judged)
    whole = _JudgedWhole(record=judged, job=job, assessment=assess(job, specification))
    return whole, record.entries[last + 1 :]


def _findings(
    whole: _JudgedWhole, since: Iterable[Entry], specification: Specification
) -> tuple[FindingLine, ...]:
    """The open findings after the last entry, as they came about entry by entry."""
    arrivals = {entry.id: _arrival(entry) for entry in whole.record.entries}
    latest = _arrival(whole.record.entries[-1])
    opened = [
        (found, arrivals.get(found.entries[0], latest) if found.entries else latest)
        for found in whole.assessment.findings
        if found.is_open
    ]
    lines = {line.key: line for line in _lines(opened)}
    growing, teller = GrowingRecord(whole.record), Teller(specification)
    for entry in since:
        growing.take(entry, ())
        change = change_of(teller.told_by(growing, entry), noted_at=_arrival(entry))
        for key in change.settled:
            lines.pop(key, None)
        lines |= {line.key: line for line in change.outside}
    return tuple(lines[key] for key in sorted(lines))


def _lines(findings: Iterable[tuple[Finding, datetime]]) -> tuple[FindingLine, ...]:
    """One line for each thing judged; where two findings judge the same, the first stands."""
    lines: dict[FindingKey, FindingLine] = {}
    for found, noted_at in findings:
        line = _line(found, noted_at)
        lines.setdefault(line.key, line)
    return tuple(lines.values())


def _key(found: Finding) -> FindingKey:
    return (
        found.check,
        found.stage,
        found.area or "",
        found.bay or "",
        found.subject or "",
    )


def _line(found: Finding, noted_at: datetime) -> FindingLine:
    check, stage, area, bay, subject = _key(found)
    return FindingLine(
        check=check,
        stage=stage,
        area=area,
        bay=bay,
        subject=subject,
        entry_id=found.entries[0] if found.entries else None,
        exact=found.exact,
        late=found.check == TIMELY,
        noted_at=noted_at,
    )


def photo_line(entry_id: str, photo: Photo) -> PhotoLine:
    """A photo as lists show it; it must have passed through a ledger."""
    return PhotoLine(entry_id=entry_id, file=photo.file, sha256=photo.sha256 or "")


def _job_line(record: Record, job: Job, *, is_waiting: bool) -> JobLine:
    opening = job.opening
    source = opening.corrections[-1] if opening.corrections else opening.entry
    first, last = record.entries[0], record.entries[-1]
    field = "/body/site/address" if opening.corrections else "/site/address"
    hand = stage_in_hand(job)
    return JobLine(
        reference=opening.body.job,
        title=opening.body.title,
        specification=opening.body.specification,
        time_zone=opening.body.time_zone,
        entries=len(record.entries),
        head=job.head,
        opened_at=_arrival(first),
        last_received_at=_arrival(last),
        address_entry=source.id,
        address_field=field,
        stage=None if hand is None else hand.value,
        told=max(number for number, entry in enumerate(record.entries, 1) if is_told(entry)),
        complete=hand is None and not is_waiting,
        next_look=next_look(job),
    )


def is_told(entry: Entry) -> bool:
    """Whether a handover pack made before this entry lacks something."""
    return entry.kind not in AFTER_HANDOVER


def _arrival(entry: Entry) -> datetime:
    if entry.received_at is None:
        raise ValueError(f"entry {entry.id} has not passed through a ledger")
    return entry.received_at
