"""The lists of one job as tables: what the pages show, whole, with the format's own names.

Times are those of the site, with their offset. A value that was erased says so.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, fields
from datetime import datetime
from types import MappingProxyType
from typing import Any, cast

from qa.assess.finding import finding_json
from qa.assess.frame import frame_of
from qa.assess.lot_balance import lot_books
from qa.assess.nonconformities import cases
from qa.record.job import Recorded
from qa.record.kinds.papers import Photo
from qa.record.kinds.readings import Conditions, Examination, Measurement, Observation
from qa.record.kinds.supplies import Instrument, Lot, Mix, Usage
from qa.record.schema import Body
from qa.record.schema import written as as_json
from qa.services.csv_text import Cell
from qa.services.messages import messages_of
from qa.services.pack_making import packs_of
from qa.services.reading import ReadJob
from qa.services.telling import ERASED
from qa.services.waiting_photos import moment_of, waiting_in
from qa.web import clock
from qa.web.frame import actor, house
from qa.web.roof.nonconformity_pages import STATE_WORDS
from qa.web.roof.record import changed_entries
from qa.web.roof.stage_views import telling_of
from qa.web.roof.wording import person_text

Row = Sequence[Cell]


@dataclass(frozen=True, slots=True, kw_only=True)
class JobList:
    """A list of a job.

    Attributes:
        header: names of its columns.
        rows: makes them, in order.
    """

    header: tuple[str, ...]
    rows: Callable[[ReadJob], Iterator[Row]]


_OF_ENTRY = ("entry", "at", "by")


def _entries(attribute: str, kind: type[Body]) -> JobList:
    """Entries of one kind as they are in force, a column for each field of the format."""
    names = tuple(field.name.rstrip("_") for field in fields(cast("Any", kind)))

    def rows(read: ReadJob) -> Iterator[Row]:
        for recorded in getattr(read.job, attribute):
            yield (*_head(read, recorded), *_body(recorded.body, names))

    return JobList(header=(*_OF_ENTRY, *names), rows=rows)


def _head(read: ReadJob, recorded: Recorded[Body]) -> Row:
    return recorded.id, _time(read, recorded.at), recorded.by


def _body(body: Body, names: Sequence[str]) -> Row:
    held = as_json(body)
    return tuple(_cell(held.get(name)) for name in names)


def _cell(value: object) -> Cell:
    """A value of the format in one cell: lists by blanks, truth as yes and no."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if value is None or isinstance(value, str | int | float):
        return value
    if isinstance(value, list | tuple):
        return " ".join(str(_cell(one)) for one in value)
    return ERASED


def _time(read: ReadJob, at: datetime | None) -> Cell:
    return None if at is None else at.astimezone(read.job.time_zone).isoformat()


def _record(read: ReadJob) -> Iterator[Row]:
    telling, changed = telling_of(read), changed_entries(read)
    for place, entry in enumerate(read.job.entries):
        yield (
            place, entry.id, entry.kind.value, _time(read, entry.at), entry.by,
            person_text(read.job, entry.by), telling.line(entry), changed.get(entry.id),
            _time(read, entry.received_at), entry.hash,
        )  # fmt: skip


_FINDING = (
    "stage", "check", "area", "bay", "subject", "value", "unit", "expanded_uncertainty", "lower",
    "upper", "verdict", "put_right", "conceded", "basis", "source", "exact", "entries",
)  # fmt: skip


def _findings(read: ReadJob) -> Iterator[Row]:
    for found in read.assessment.findings:
        held = finding_json(found)
        yield tuple(_cell(held[name]) for name in _FINDING)


def _nonconformities(read: ReadJob) -> Iterator[Row]:
    for case in cases(read.job):
        body, decided, closed = case.raised.body, case.disposition, case.closure
        yield (
            body.number, body.stage, body.check, body.area, body.bay, body.description,
            _time(read, case.raised.at), case.raised.by, STATE_WORDS[case.state],
            *((decided.body.decision, decided.body.reason, _time(read, decided.at), decided.by)
              if decided else (None,) * 4),
            *((closed.body.statement, _time(read, closed.at)) if closed else (None, None)),
        )  # fmt: skip


_LOT = tuple(field.name for field in fields(Lot))


def _lots(read: ReadJob) -> Iterator[Row]:
    photographed = {photo.body.lot for photo in read.job.photos}
    for book in lot_books(frame_of(read.job, read.specification)):
        left = book.balance.left_by_book if book.balance else None
        label = "yes" if book.lot.body.lot in photographed else "no"
        yield (*_head(read, book.lot), *_body(book.lot.body, _LOT), left, label)


def _crew(read: ReadJob) -> Iterator[Row]:
    for one in read.job.opening.body.crew:
        name = one.name if isinstance(one.name, str) else ERASED
        yield one.person, name, one.role.value, one.competence


def _packs(read: ReadJob) -> Iterator[Row]:
    for pack in packs_of(house(), actor(), read.id):
        yield (
            pack.number, pack.kind, pack.asked_by, _time(read, pack.asked_at),
            _time(read, pack.made_at), pack.program, pack.entries, pack.head, pack.sha256,
            pack.bytes, pack.fault,
        )  # fmt: skip


def _messages(read: ReadJob) -> Iterator[Row]:
    for told in messages_of(house(), actor(), read):
        yield (
            told.number, told.word, told.recipient, told.text, _time(read, told.received_at),
            "yes" if told.taken is not None else "no",
            "yes" if told.answer is not None else "no",
        )  # fmt: skip


def _waiting_photos(read: ReadJob) -> Iterator[Row]:
    waiting = waiting_in(house(), actor(), read, now=clock.now())
    for one in waiting.photos:
        yield (
            one.name, one.sha256, one.brought_by, _time(read, moment_of(one, read.job.time_zone)),
            one.taken_clock, one.clock_slow_min, one.chosen, waiting.held.get(one.id),
            _time(read, one.arrived_at), _time(read, one.expires_at),
        )  # fmt: skip


LISTS: Mapping[str, JobList] = MappingProxyType(
    {
        "record": JobList(
            header=("number", "entry", "kind", "at", "by", "name", "says", "changed",
                    "received_at", "hash"),
            rows=_record,
        ),
        "findings": JobList(header=_FINDING, rows=_findings),
        "nonconformities": JobList(
            header=("number", "stage", "check", "area", "bay", "description", "raised_at",
                    "raised_by", "state", "decision", "reason", "decided_at", "decided_by",
                    "closed", "closed_at"),
            rows=_nonconformities,
        ),
        "lots": JobList(header=(*_OF_ENTRY, *_LOT, "left_by_book", "label"), rows=_lots),
        "crew": JobList(header=("person", "name", "role", "competence"), rows=_crew),
        "packs": JobList(
            header=("number", "kind", "asked_by", "asked_at", "made_at", "program", "entries",
                    "head", "sha256", "bytes", "fault"),
            rows=_packs,
        ),
        "messages": JobList(
            header=("number", "what", "from", "words", "received_at", "in_the_record", "answered"),
            rows=_messages,
        ),
        "waiting_photos": JobList(
            header=("name", "sha256", "brought_by", "taken_at", "camera_clock", "clock_slow_min",
                    "chosen", "entry", "arrived_at", "expires_at"),
            rows=_waiting_photos,
        ),
        "instruments": _entries("instruments", Instrument),
        "usages": _entries("usages", Usage),
        "mixes": _entries("mixes", Mix),
        "conditions": _entries("conditions", Conditions),
        "measurements": _entries("measurements", Measurement),
        "observations": _entries("observations", Observation),
        "examinations": _entries("examinations", Examination),
        "photos": _entries("photos", Photo),
    }
)  # fmt: skip
"""Every list of a job, by the name in its address."""
