"""What a photograph that waits would show, and when it was taken, in words."""

from __future__ import annotations

from datetime import datetime, timedelta

from qa.services.deck_looks import span_text
from qa.services.photo_targets import PhotoTarget
from qa.services.reading import ReadJob
from qa.services.waiting_photos import CLOCK_TOLERANCE, moment_of
from qa.store.waiting_photos import WaitingPhoto
from qa.texts.saying import say
from qa.web.dates import time_text
from qa.web.roof.job_top import site_day
from qa.web.roof.wording import area_text, begun, stage_title


def target_text(read: ReadJob, target: PhotoTarget) -> str:
    """What a photograph would show, in words."""
    check = read.specification.checks.get(target.check) if target.check else None
    named = (
        stage_title(read, target.stage),
        area_text(read.job, target.area),
        f"bay {target.bay}" if target.bay else None,
        f"edge {target.edge}" if target.edge else None,
        check.quantity if check else None,
        f"batch {target.lot}" if target.lot else None,
        target.mix,
        target.caption,
    )
    return ", ".join(filter(None, named))


def taken_text(read: ReadJob, photo: WaitingPhoto, now: datetime) -> str:
    """When a photograph was taken, and how far that can be trusted."""
    at = moment_of(photo, read.job.time_zone)
    if at is None:
        return say("No time in the file: say when it was taken.")
    told = begun(time_text(at, read.job.time_zone, site_day(read)))
    if at > now + CLOCK_TOLERANCE:
        return say("%(time)s, which has not been yet: the camera’s clock was wrong.", time=told)
    return f"{told}, {_trust(photo)}"


def _trust(photo: WaitingPhoto) -> str:
    if photo.said_at is not None:
        return say("as somebody said here")
    off = f", {clock_text(photo.clock_slow_min)}" if photo.clock_slow_min else ""
    if photo.taken_at is not None:
        return say("by the camera, which says its zone%(off)s", off=off)
    if photo.taken_clock is not None:
        return say("by the camera; it does not say its zone, taken as the site’s%(off)s", off=off)
    return say("by its satellites; it may be older than the photo")


def clock_text(slow_min: int) -> str:
    """How far a camera's clock is reckoned to be off."""
    length = span_text(timedelta(minutes=abs(slow_min)))
    if slow_min > 0:
        return say("its clock reckoned %(length)s slow", length=length)
    return say("its clock reckoned %(length)s fast", length=length)
