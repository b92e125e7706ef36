"""What was drawn upon a photograph, as an insurer sees it: with the marks, and without them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from flask import url_for

from qa.photos.renditions import Size
from qa.record.entry import Entry
from qa.record.job import Job, Recorded
from qa.record.kinds.marks import Annotation
from qa.record.kinds.papers import Photo
from qa.record.marked import (
    ESTIMATE,
    bodies,
    has_estimate,
    last_drawn,
    marked_photos,
    marks_query,
    photo_key,
    told_marks,
)
from qa.services.original_facts import facts_of
from qa.services.reading import ReadJob
from qa.trade.picture_scale import PictureShape
from qa.web.dates import moment_text
from qa.web.frame import house
from qa.web.insurer.front import who_text
from qa.web.roof.entry import body_in_force


@dataclass(frozen=True, slots=True, kw_only=True)
class ShownCopy:
    """The copy of a photograph that is looked at.

    Attributes:
        address: of the copy, with what was drawn upon it.
        clean: of the same copy with nothing drawn upon it; nothing where nothing was.
        drawn: who drew what, and when.
        estimate: what is said of lengths by a reference; nothing where there are none.
    """

    address: str
    clean: str
    drawn: tuple[str, ...]
    estimate: str


def shown_copy(read: ReadJob, photo: Photo, token: str) -> ShownCopy:
    """The copy of a photograph whose original is there."""
    sha256 = str(photo.sha256)
    marked = marked_photos(read.job).get(photo_key(photo), ())
    clean = url_for("insurer.photo", reader_token=token, sha256=sha256, size=Size.PRINT.value)
    facts = facts_of(house().originals.path(sha256))
    shape = PictureShape(width=facts.width_px, height=facts.height_px)
    return ShownCopy(
        address=clean + marks_query(bodies(marked)),
        clean=clean if marked else "",
        drawn=tuple(_drawn(read, one, shape) for one in marked),
        estimate=ESTIMATE if has_estimate(bodies(marked)) else "",
    )


def shown_photo(job: Job, entry: Entry) -> Photo | None:
    """The photograph of an entry that counts and whose original is there; or None."""
    body = body_in_force(job, entry)
    is_there = isinstance(body, Photo) and body.sha256 and house().originals.exists(body.sha256)
    return body if isinstance(body, Photo) and is_there else None


def small_copy(read: ReadJob, entry: Entry, token: str) -> str:
    """Address of the small copy of what an entry shows, with what was drawn upon it, or nothing."""
    photo = shown_photo(read.job, entry)
    if photo is None:
        return ""
    marked = marked_photos(read.job).get(photo_key(photo), ())
    place: dict[str, Any] = {"sha256": photo.sha256, "size": Size.LIST.value}
    return url_for("insurer.photo", reader_token=token, **place) + marks_query(bodies(marked))


def _drawn(read: ReadJob, annotation: Recorded[Annotation], shape: PictureShape) -> str:
    last = last_drawn(annotation)
    marks = told_marks(annotation.body, shape)
    return f"{who_text(read, last.by)}, {moment_text(last.at, read.job.time_zone)}: {marks}"
