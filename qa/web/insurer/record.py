"""The record in its order, and one entry of it whole, as an insurer reads them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta

from flask import request, url_for

from qa.record.chain import chain_fault
from qa.record.entry import Entry
from qa.record.kinds.papers import Correction, Photo
from qa.record.schema import Body
from qa.services.field_words import KIND_WORDS, FieldText, fields_text
from qa.services.linking import Face
from qa.services.reading import ReadJob
from qa.services.shared_reading import read_shared_job
from qa.services.telling import Telling
from qa.texts.saying import say, say_count
from qa.web.dates import moment_text
from qa.web.frame import house, render_page
from qa.web.insurer.findings import gravest_by_entry
from qa.web.insurer.front import NO_DEVICE, reader_top, who_text
from qa.web.insurer.marks import ShownCopy, shown_copy, shown_photo, small_copy
from qa.web.insurer.routing import blueprint
from qa.web.roof.entry import ChangeRow, SealView, body_in_force, changes, seal_view
from qa.web.roof.job_paths import entry_named
from qa.web.roof.paging import Pages, page_number, pages
from qa.web.roof.record import changed_entries
from qa.web.roof.stage_views import telling_of
from qa.web.roof.wording import Judged, judged
from qa.web.shared_links import FaceTop, opened

A_PAGE = 40
ORIGINAL = "original"
_SOON = timedelta(minutes=2)
"""Less than this between claimed and received is said to be at once; project choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TimesView:
    """The two times of an entry.

    Attributes:
        claimed: when the person says that it was.
        received: when it reached the record, by the server's own clock.
        difference: how far they lie apart, in words.
    """

    claimed: str
    received: str
    difference: str


@dataclass(frozen=True, slots=True, kw_only=True)
class EntryRow:
    """One entry in the list.

    Attributes:
        judged: what makes it stand out, or None.
        photo: address of a small copy of what it shows, or nothing.
    """

    number: int
    judged: Judged | None
    photo: str
    line: str
    who: str
    times: TimesView
    device: str
    changed: str
    address: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordPage:
    """The record, first entry first."""

    top: FaceTop
    total: int
    rows: tuple[EntryRow, ...]
    pages: Pages


@dataclass(frozen=True, slots=True, kw_only=True)
class CorrectionView:
    """One correction of the entry, with both versions."""

    number: int
    who: str
    times: TimesView
    reason: str
    is_withdrawal: bool
    changes: tuple[ChangeRow, ...]
    address: str


@dataclass(frozen=True, slots=True, kw_only=True)
class EntryPage:
    """One entry, whole.

    Attributes:
        fields: what counts now; empty where it was withdrawn.
        first: what was written first, where it was corrected since.
        state: "put right", "withdrawn", or nothing.
        photo: a copy to look at, or None.
        original: address of the file as it came, or nothing.
        original_digest: its SHA-256.
        fault: why the entry does not continue the chain, or nothing.
        earlier, later: addresses of its neighbours, or nothing.
    """

    top: FaceTop
    kind: str
    line: str
    who: str
    times: TimesView
    device: str
    fields: tuple[FieldText, ...]
    first: tuple[FieldText, ...]
    state: str
    photo: ShownCopy | None
    original: str
    original_digest: str
    corrected: str
    corrections: tuple[CorrectionView, ...]
    findings: tuple[Judged, ...]
    seal: SealView
    fault: str
    record: str
    earlier: str
    later: str


@blueprint.get("/e/<reader_token>/record", endpoint="record")
def show_record(reader_token: str) -> str:
    """The entries in their order."""
    link = opened(Face.INSURER, reader_token)
    read = read_shared_job(house(), link)
    number, telling = page_number(request.args.get("page")), telling_of(read)
    start, changed, gravest = (number - 1) * A_PAGE, changed_entries(read), gravest_by_entry(read)
    shown = list(enumerate(read.job.entries))[start : start + A_PAGE]
    page = RecordPage(
        top=reader_top(read, reader_token),
        total=len(read.job.entries),
        rows=tuple(
            EntryRow(
                number=place,
                judged=gravest.get(entry.id),
                photo=small_copy(read, entry, reader_token),
                line=telling.line(entry),
                who=who_text(read, entry.by),
                times=times_of(read, entry),
                device=entry.device or NO_DEVICE,
                changed=changed.get(entry.id, ""),
                address=_address(reader_token, entry),
            )
            for place, entry in shown
        ),
        pages=pages(
            "insurer.record",
            number,
            has_more=len(read.job.entries) > start + A_PAGE,
            reader_token=reader_token,
        ),
    )
    return render_page("insurer/record.html", page)


@blueprint.get("/e/<reader_token>/record/<entry>", endpoint="entry")
def show_entry(reader_token: str, entry: str) -> str:
    """One entry, with every version of it."""
    link = opened(Face.INSURER, reader_token)
    read = read_shared_job(house(), link)
    return render_page(
        "insurer/entry.html", _entry_page(read, entry_named(read, entry), reader_token)
    )


def times_of(read: ReadJob, entry: Entry) -> TimesView:
    """Both times of an entry and what lies between them."""
    zone = read.job.time_zone
    if entry.received_at is None:
        return TimesView(
            claimed=moment_text(entry.at, zone),
            received=say("not noted"),
            difference=say("not known"),
        )
    return TimesView(
        claimed=moment_text(entry.at, zone),
        received=moment_text(entry.received_at, zone),
        difference=difference_text(entry.received_at - entry.at),
    )


def difference_text(apart: timedelta, *, by_camera: bool = False) -> str:
    """How much later something was received than it is said to have been.

    >>> difference_text(timedelta(hours=26, minutes=5))
    'received 1 day 2 h later'
    """
    if abs(apart) < _SOON:
        return say("received at once")
    minutes = int(abs(apart).total_seconds() // 60)
    days, rest = divmod(minutes, 24 * 60)
    hours, minutes = divmod(rest, 60)
    parts = [
        say_count("%(number)s day", "%(number)s days", days) if days else "",
        f"{hours} h" if hours else "",
        f"{minutes} min" if minutes and not days else "",
    ]
    length = " ".join(filter(None, parts))
    if apart < timedelta(0):
        if by_camera:
            return say("noted %(length)s ahead of its receipt, which cannot be", length=length)
        return say("claimed %(length)s ahead of its receipt, which cannot be", length=length)
    return say("received %(length)s later", length=length)


def _entry_page(read: ReadJob, entry: Entry, token: str) -> EntryPage:
    telling, entries = telling_of(read), read.job.entries
    place = next(number for number, one in enumerate(entries) if one.id == entry.id)
    corrections = tuple(_corrections(read, entry, telling, token))
    body = body_in_force(read.job, entry)
    photo = shown_photo(read.job, entry)
    return EntryPage(
        top=reader_top(read, token),
        kind=KIND_WORDS[entry.kind],
        line=telling.body(body or entry.body),
        who=who_text(read, entry.by),
        times=times_of(read, entry),
        device=entry.device or NO_DEVICE,
        fields=fields_text(body, telling) if body else (),
        first=fields_text(entry.body, telling) if corrections else (),
        state="" if not corrections else say("withdrawn") if body is None else say("put right"),
        photo=shown_copy(read, photo, token) if photo else None,
        original=_original(token, photo),
        original_digest=(photo.sha256 or "") if photo else "",
        corrected=_corrected(entry, token),
        corrections=corrections,
        findings=tuple(judged(f) for f in read.assessment.findings if entry.id in f.entries),
        seal=seal_view(read, entry),
        fault=_fault(entries, place),
        record=url_for("insurer.record", reader_token=token, page=place // A_PAGE + 1),
        earlier=_address(token, entries[place - 1]) if place else "",
        later=_address(token, entries[place + 1]) if place + 1 < len(entries) else "",
    )


def _corrections(
    read: ReadJob, entry: Entry, telling: Telling, token: str
) -> Iterator[CorrectionView]:
    before: Body | None = entry.body
    for number, other in enumerate(read.job.entries):
        if not isinstance(other.body, Correction) or other.body.corrects != entry.id:
            continue
        after = other.new_body
        yield CorrectionView(
            number=number,
            who=who_text(read, other.by),
            times=times_of(read, other),
            reason=other.body.reason,
            is_withdrawal=after is None,
            changes=tuple(changes(before, after, telling)) if after else (),
            address=_address(token, other),
        )
        before = after


def _corrected(entry: Entry, token: str) -> str:
    if not isinstance(entry.body, Correction):
        return ""
    return url_for("insurer.entry", reader_token=token, entry=entry.body.corrects)


def _address(token: str, entry: Entry) -> str:
    return url_for("insurer.entry", reader_token=token, entry=entry.id)


def _original(token: str, photo: Photo | None) -> str:
    if photo is None:
        return ""
    return url_for("insurer.photo", reader_token=token, sha256=photo.sha256, size=ORIGINAL)


def _fault(entries: tuple[Entry, ...], place: int) -> str:
    """Why the entry does not continue the chain, reckoned now."""
    entry = entries[place]
    if not entry.is_sealed:
        return say("The entry has no place in a chain.")
    before = entries[place - 1].hash if place else "0" * 64
    return chain_fault(entry, seq=place, prev=before or "") or ""
