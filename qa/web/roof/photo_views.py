"""Photographs as pages show them: small, with what they show, when taken and when received."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from flask import url_for

from qa.photos.renditions import Size
from qa.record.job import Recorded
from qa.record.kinds.papers import Photo
from qa.record.marked import Marked, bodies, marked_photos, marks_query, photo_key
from qa.services.access import Act
from qa.services.reading import ReadJob
from qa.texts.saying import say
from qa.web.dates import time_text
from qa.web.frame import actor
from qa.web.roof.job_top import site_day
from qa.web.roof.marks_view import marked_text
from qa.web.roof.wording import area_text, begun, person_text
from qa.web.stage_names import stage_name


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoView:
    """One photograph.

    Attributes:
        sha256: of the original.
        small: address of the small copy.
        large: address of the copy for the screen.
        shows: what it shows, in words; the alternative text too.
        told: who took it and when, when it was received, and who drew upon it.
        draw: address of the page that draws upon it; nothing for who may not.
    """

    sha256: str
    small: str
    large: str
    shows: str
    told: str
    draw: str = ""


def photo_views(read: ReadJob, photos: Iterable[Recorded[Photo]]) -> tuple[PhotoView, ...]:
    """Photographs as a page shows them; those whose original was erased are left out."""
    erased = {sha256 for one in read.job.erasures for sha256 in one.body.photos or ()}
    marked = marked_photos(read.job)
    return tuple(
        _view(read, photo, marked.get(photo_key(photo.body), ()))
        for photo in photos
        if photo.body.sha256 and photo.body.sha256 not in erased
    )


def shown_text(read: ReadJob, photo: Photo) -> str:
    """What a photograph shows, in words."""
    check = read.specification.checks.get(photo.check) if photo.check else None
    named = (
        photo.caption,
        begun(check.quantity) if check and not photo.caption else None,
        area_text(read.job, photo.area),
        say("bay %(bay)s", bay=photo.bay) if photo.bay else None,
        say("edge %(edge)s", edge=photo.edge) if photo.edge else None,
        say("lot %(lot)s", lot=photo.lot) if photo.lot else None,
        photo.mix,
        say("nonconformity %(number)s", number=photo.nonconformity)
        if photo.nonconformity
        else None,
    )
    return ", ".join(filter(None, named)) or stage_name(photo.stage)


def _view(read: ReadJob, photo: Recorded[Photo], marked: Marked) -> PhotoView:
    zone, today = read.job.time_zone, site_day(read)
    received = photo.entry.received_at
    told = say(
        "%(person)s, taken %(received)s",
        person=person_text(read.job, photo.by),
        received=time_text(photo.at, zone, today),
    )
    if received is not None:
        told += say(", received %(received)s", received=time_text(received, zone, today))
    if marked:
        told += f". {marked_text(read, marked)}"
    small, large = (
        url_for("roof.photo", job=read.id, sha256=photo.body.sha256, size=size.value)
        + marks_query(bodies(marked))
        for size in (Size.LIST, Size.SCREEN)
    )
    return PhotoView(
        sha256=str(photo.body.sha256),
        small=small,
        large=large,
        shows=shown_text(read, photo.body),
        told=told,
        draw=draw_address(read, photo.body),
    )


def draw_address(read: ReadJob, photo: Photo) -> str:
    """The address of the page that draws upon a photograph; nothing for who may not."""
    if not actor().may(Act.MARK_PHOTOS):
        return ""
    return url_for("roof.marks", job=read.id, sha256=photo.sha256)
