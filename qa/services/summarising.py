"""What lists show of a job, as a pure function of its record and specification.

Findings are of two kinds. Some rest on one entry and are told at once; others, such as consumption,
need the whole record, and the whole record is judged again at every sign-off, decision and
correction, which are few. So the time to add an entry does not grow with the record, and going
through the record again gives the same rows.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import astuple, dataclass
from datetime import UTC, datetime
from typing import TypeVar

from qa.assess.assessment import assess
from qa.assess.at_once import ground_frame, judge_at_once
from qa.assess.finding import Finding
from qa.assess.frame import Frame
from qa.assess.stages import releases_waiting, stage_in_hand
from qa.record.entry import Entry
from qa.record.growing import GrowingRecord
from qa.record.job import Job, Recorded, fold
from qa.record.kinds.papers import Photo
from qa.record.kinds.supplies import Lot, Mix
from qa.record.reading import Record
from qa.record.registry import Kind
from qa.specification.model import Specification
from qa.store.summaries import (
    FindingKey,
    FindingLine,
    JobLine,
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
    }
)
"""Kinds of entry at which the whole record is judged again."""


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
    return Summary(
        job=_job_line(record, job),
        findings=_findings(record, specification),
        lots=_in_order(lot_line(lot.body) for lot in job.lots),
        releases=_in_order(
            ReleaseLine(stage=s.body.stage, signed_at=s.at.astimezone(UTC), signed_by=s.by)
            for s in releases_waiting(job, specification)
        ),
        photos=_in_order(
            photo_line(photo.id, photo.body)
            for photo in job.photos
            if photo.body.sha256 and photo.body.sha256 not in erased
        ),
    )


L = TypeVar("L", LotLine, ReleaseLine, PhotoLine)


def _in_order(lines: Iterable[L]) -> tuple[L, ...]:
    """Lines in the order in which the store answers them: by their first field, a key."""
    return tuple(sorted(lines, key=lambda line: astuple(line)[0]))


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


def change_of(findings: Iterable[Finding]) -> FindingChange:
    """What findings told at once change among the open ones."""
    outside = [found for found in findings if found.verdict is Verdict.OUTSIDE]
    others = [found for found in findings if found.verdict is not Verdict.OUTSIDE]
    return FindingChange(outside=_lines(outside), settled=tuple(map(_key, others)))


def _findings(record: Record, specification: Specification) -> tuple[FindingLine, ...]:
    """The open findings after the last entry, as they came about entry by entry."""
    last = max(
        position for position, entry in enumerate(record.entries) if entry.kind in JUDGED_WHOLE
    )
    judged = Record(entries=record.entries[: last + 1], disclosures=record.disclosures)
    opened = assess(fold(judged), specification).findings
    lines = {line.key: line for line in _lines(found for found in opened if found.is_open)}
    growing, teller = GrowingRecord(judged), Teller(specification)
    for entry in record.entries[last + 1 :]:
        growing.take(entry, ())
        change = change_of(teller.told_by(growing, entry))
        for key in change.settled:
            lines.pop(key, None)
        lines |= {line.key: line for line in change.outside}
    return tuple(lines[key] for key in sorted(lines))


def _lines(findings: Iterable[Finding]) -> tuple[FindingLine, ...]:
    """One line for each thing judged; where two findings judge the same, the first stands."""
    lines: dict[FindingKey, FindingLine] = {}
    for found in findings:
        line = _line(found)
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


def _line(found: Finding) -> FindingLine:
    check, stage, area, bay, subject = _key(found)
    return FindingLine(
        check=check,
        stage=stage,
        area=area,
        bay=bay,
        subject=subject,
        entry_id=found.entries[0] if found.entries else None,
        exact=found.exact,
    )


def lot_line(lot: Lot) -> LotLine:
    """A batch as lists show it."""
    return LotLine(
        lot=lot.lot,
        material=lot.material,
        product=lot.product,
        batch_number=lot.batch_number,
        use_by=lot.use_by,
    )


def photo_line(entry_id: str, photo: Photo) -> PhotoLine:
    """A photo as lists show it; it must have passed through a ledger."""
    return PhotoLine(entry_id=entry_id, file=photo.file, sha256=photo.sha256 or "")


def _job_line(record: Record, job: Job) -> JobLine:
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
    )


def _arrival(entry: Entry) -> datetime:
    if entry.received_at is None:
        raise ValueError(f"entry {entry.id} has not passed through a ledger")
    return entry.received_at
