"""The marks upon a photograph as pages tell of them: who drew what, and when."""

from __future__ import annotations

from dataclasses import dataclass

from flask import url_for

from qa.photos.facts import PhotoFacts
from qa.record.job import Recorded
from qa.record.kinds.marks import Annotation
from qa.record.kinds.papers import Photo
from qa.record.marked import Marked, has_estimate, last_drawn, marked_photos, photo_key, told_marks
from qa.services.access import Act
from qa.services.reading import ReadJob
from qa.texts.saying import say
from qa.trade.picture_scale import PictureShape
from qa.web.dates import time_text
from qa.web.frame import actor
from qa.web.roof.job_top import site_day
from qa.web.roof.wording import person_text


@dataclass(frozen=True, slots=True, kw_only=True)
class MarksView:
    """What one person drew upon a photograph.

    Attributes:
        entry: id of the entry.
        told: who drew it and when.
        marks: the marks, in words.
        is_estimate: whether a length among them is reckoned from a reference.
        change: address of the page that changes it; nothing for who may not.
    """

    entry: str
    told: str
    marks: str
    is_estimate: bool
    change: str


def marks_views(read: ReadJob, photo: Photo, facts: PhotoFacts) -> tuple[MarksView, ...]:
    """All marks that stand upon a photograph."""
    shape = PictureShape(width=facts.width_px, height=facts.height_px)
    standing = marked_photos(read.job).get(photo_key(photo), ())
    return tuple(_view(read, photo, one, shape) for one in standing)


def marked_text(read: ReadJob, marked: Marked) -> str:
    """Who marked a photograph, and when: "Marked by Nell Sample, 10:42."; or nothing."""
    told = "; ".join(_told(read, one) for one in marked)
    return say("Marked by %(told)s", told=told) if told else ""


def _told(read: ReadJob, annotation: Recorded[Annotation]) -> str:
    last = last_drawn(annotation)
    when = time_text(last.at, read.job.time_zone, site_day(read))
    return f"{person_text(read.job, last.by)}, {when}"


def _view(
    read: ReadJob, photo: Photo, annotation: Recorded[Annotation], shape: PictureShape
) -> MarksView:
    change = ""
    if actor().may(Act.MARK_PHOTOS):
        change = url_for("roof.marks", job=read.id, sha256=photo.sha256, entry=annotation.id)
    return MarksView(
        entry=annotation.id,
        told=_told(read, annotation),
        marks=told_marks(annotation.body, shape),
        is_estimate=has_estimate([annotation.body]),
        change=change,
    )
