"""One entry of the record: what it says, what became of it, what rests on it, how it is sealed."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime

from flask import url_for

from qa.record.chain import link_hashes
from qa.record.entry import Entry
from qa.record.job import Job, Recorded
from qa.record.kinds.marks import Annotation
from qa.record.kinds.papers import Correction, Photo
from qa.record.marked import ESTIMATE
from qa.record.registry import Kind
from qa.record.schema import Body
from qa.services.access import Actor
from qa.services.field_words import KIND_WORDS, FieldText, fields_text
from qa.services.original_facts import original_facts
from qa.services.permissions import act_of
from qa.services.reading import ReadJob, read_job
from qa.services.telling import Telling
from qa.texts.saying import say
from qa.web.dates import moment_text
from qa.web.frame import actor, house, render_page
from qa.web.roof.job_paths import entry_named
from qa.web.roof.job_top import JobTop, job_top
from qa.web.roof.marks_view import MarksView, marks_views
from qa.web.roof.photo_views import PhotoView, draw_address, photo_views
from qa.web.roof.routing import blueprint
from qa.web.roof.stage_views import telling_of
from qa.web.roof.wording import Judged, judged, person_text

_SHORT = 12
"""Digits of a digest that are shown at first."""
NONE = "–"


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangeRow:
    """One field with its value before and after a correction."""

    label: str
    before: str
    after: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CorrectionView:
    """One correction of the entry.

    Attributes:
        told: who made it and when.
        is_withdrawal: whether it takes the entry back.
        address: of the correction's own page.
    """

    told: str
    reason: str
    is_withdrawal: bool
    changes: tuple[ChangeRow, ...]
    address: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SealView:
    """How the entry stands in the chain; short and whole."""

    number: int
    hash_short: str
    prev_short: str
    facts: tuple[FieldText, ...]
    written: str


@dataclass(frozen=True, slots=True, kw_only=True)
class EntryPage:
    """The page.

    Attributes:
        told: who recorded it, and when they say it was.
        arrived: when it arrived.
        fields: what is in force.
        first: what was written first, where it was corrected since.
        state: "put right", "withdrawn", or nothing.
        original: address of the original of a photo, or nothing.
        corrected: address of the entry that a correction corrects, or nothing.
        marks: what was drawn upon a photo, and by whom.
        estimate: what is said of lengths by a reference.
        draw: address of the page that draws upon it; nothing for who may not.
        put_right: address of the page that corrects it; nothing for who may not.
        case: address of the nonconformity that it speaks of, or nothing.
    """

    top: JobTop
    kind: str
    line: str
    told: str
    arrived: str
    fields: tuple[FieldText, ...]
    first: tuple[FieldText, ...]
    state: str
    photos: tuple[PhotoView, ...]
    original: str
    corrections: tuple[CorrectionView, ...]
    findings: tuple[Judged, ...]
    corrected: str
    seal: SealView
    marks: tuple[MarksView, ...]
    estimate: str
    draw: str
    put_right: str
    case: str


@blueprint.get("/jobs/<job>/record/<entry>", endpoint="entry")
def show_entry(job: str, entry: str) -> str:
    """One entry, whole."""
    read = read_job(house(), actor(), job)
    return render_page("roof/entry.html", _page(read, entry_named(read, entry), actor()))


def _page(read: ReadJob, entry: Entry, someone: Actor) -> EntryPage:
    telling = telling_of(read)
    corrections = tuple(_corrections(read, entry, telling))
    body = body_in_force(read.job, entry)
    is_corrected = bool(corrections)
    photos = _photos(read, entry, body)
    return EntryPage(
        top=job_top(read),
        kind=KIND_WORDS[entry.kind],
        line=telling.body(body or entry.body),
        told=f"{person_text(read.job, entry.by)}, {_time(entry.at, telling)}",
        arrived=_time(entry.received_at, telling) if entry.received_at else "",
        fields=fields_text(body, telling) if body else (),
        first=fields_text(entry.body, telling) if is_corrected else (),
        state="" if not is_corrected else say("withdrawn") if body is None else say("put right"),
        photos=photos,
        original=_original(read, body),
        corrections=corrections,
        findings=tuple(judged(f) for f in read.assessment.findings if entry.id in f.entries),
        corrected=_corrected(read, entry),
        seal=seal_view(read, entry),
        marks=_marks(read, body, photos),
        estimate=ESTIMATE,
        draw=draw_address(read, body) if isinstance(body, Photo) and photos else "",
        put_right=_put_right(read, entry, someone),
        case=_case(read, body or entry.body),
    )


def _case(read: ReadJob, body: Body) -> str:
    known = {one.body.number for one in read.job.nonconformities}
    named = getattr(body, "number", None) or getattr(body, "nonconformity", None)
    return url_for("roof.nonconformity", job=read.id, number=named) if named in known else ""


def body_in_force(job: Job, entry: Entry) -> Body | None:
    """The body that stands in an entry's place now, or None where it was withdrawn."""
    body: Body | None = entry.body
    for other in job.entries:
        if isinstance(other.body, Correction) and other.body.corrects == entry.id:
            body = other.new_body
    return body


def _corrections(read: ReadJob, entry: Entry, telling: Telling) -> Iterator[CorrectionView]:
    before: Body | None = entry.body
    for other in read.job.entries:
        if not isinstance(other.body, Correction) or other.body.corrects != entry.id:
            continue
        yield CorrectionView(
            told=f"{person_text(read.job, other.by)}, {_time(other.at, telling)}",
            reason=other.body.reason,
            is_withdrawal=other.new_body is None,
            changes=tuple(changes(before, other.new_body, telling)) if other.new_body else (),
            address=url_for("roof.entry", job=read.id, entry=other.id),
        )
        before = other.new_body


def changes(before: Body | None, after: Body, telling: Telling) -> Iterator[ChangeRow]:
    """The fields in which two bodies differ, each with both values."""
    old = {row.label: row.text for row in fields_text(before, telling)} if before else {}
    new = {row.label: row.text for row in fields_text(after, telling)}
    for label in dict.fromkeys((*old, *new)):
        if old.get(label) != new.get(label):
            yield ChangeRow(label=label, before=old.get(label, NONE), after=new.get(label, NONE))


def _photos(read: ReadJob, entry: Entry, body: Body | None) -> tuple[PhotoView, ...]:
    """The photograph itself, or those that show what was judged by the entry."""
    if isinstance(body, Photo):
        return photo_views(read, [Recorded(position=0, entry=entry, body=body)])
    if isinstance(body, Annotation):
        return photo_views(read, [photo for photo in read.job.photos if photo.id == body.photo])
    files = {file for f in read.assessment.findings if entry.id in f.entries for file in f.photos}
    return photo_views(read, [photo for photo in read.job.photos if photo.body.file in files])


def _marks(
    read: ReadJob, body: Body | None, photos: tuple[PhotoView, ...]
) -> tuple[MarksView, ...]:
    """What was drawn upon the photograph that the entry is, where it can be shown."""
    if not isinstance(body, Photo) or not photos:
        return ()
    facts = original_facts(house(), actor(), read.id, str(body.sha256))
    return marks_views(read, body, facts)


def _original(read: ReadJob, body: Body | None) -> str:
    if not isinstance(body, Photo) or body.sha256 is None:
        return ""
    return url_for("roof.photo", job=read.id, sha256=body.sha256, size="original")


def _corrected(read: ReadJob, entry: Entry) -> str:
    if not isinstance(entry.body, Correction):
        return ""
    return url_for("roof.entry", job=read.id, entry=entry.body.corrects)


def _put_right(read: ReadJob, entry: Entry, someone: Actor) -> str:
    """The address of the correction page, where there is one and the person may use it."""
    if entry.kind in (Kind.CORRECTION, Kind.ERASURE) or not someone.may(act_of(entry, None)):
        return ""
    body = body_in_force(read.job, entry)
    if isinstance(body, Annotation):
        return redraw_address(read, entry, body)
    return url_for("roof.correct", job=read.id, entry=entry.id)


def redraw_address(read: ReadJob, entry: Entry, body: Annotation) -> str:
    """The address of the page that draws an annotation anew; nothing where the photo is gone."""
    photo = next((one.body for one in read.job.photos if one.id == body.photo), None)
    if photo is None or photo.sha256 is None:
        return ""
    return url_for("roof.marks", job=read.id, sha256=photo.sha256, entry=entry.id)


def seal_view(read: ReadJob, entry: Entry) -> SealView:
    """How an entry stands in the chain."""
    number = next(n for n, other in enumerate(read.job.entries) if other.id == entry.id)
    own = entry.hash or link_hashes(read.job.entries)[number]
    facts = (
        (say("Entry"), entry.id),
        (say("Stated time"), entry.at.isoformat()),
        (
            say("Received"),
            entry.received_at.astimezone(UTC).isoformat() if entry.received_at else NONE,
        ),
        (say("Device"), entry.device or NONE),
        (say("Signed by a device"), say("yes") if entry.signature else say("no")),
        (say("SHA-256 of the entry"), own),
        (say("SHA-256 of the one before"), entry.prev or NONE),
    )
    return SealView(
        number=number,
        hash_short=own[:_SHORT],
        prev_short=(entry.prev or "")[:_SHORT],
        facts=tuple(FieldText(label=label, text=text) for label, text in facts),
        written=json.dumps(entry.written, ensure_ascii=False, indent=1),
    )


def _time(when: datetime, telling: Telling) -> str:
    return moment_text(when, telling.zone)
