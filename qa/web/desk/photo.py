"""One photograph looked at closely, alone or beside another of the same thing."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from flask import request, url_for

from qa.assess.finding import Finding
from qa.assess.frame import when
from qa.errors import NotFoundError
from qa.photos.facts import PhotoFacts
from qa.photos.renditions import Size
from qa.record.job import Recorded
from qa.record.kinds.papers import Photo
from qa.record.marked import ESTIMATE, MARKS
from qa.services.field_words import FieldText
from qa.services.original_facts import original_facts
from qa.services.reading import ReadJob, read_job
from qa.texts.saying import say
from qa.trade.notation import number_text
from qa.web.dates import exact_text
from qa.web.desk.routing import blueprint
from qa.web.frame import actor, house, render_page
from qa.web.insurer.record import difference_text
from qa.web.roof.finding_views import asks_most_first
from qa.web.roof.job_top import JobTop, job_top
from qa.web.roof.marks import DESK
from qa.web.roof.marks_view import MarksView, marks_views
from qa.web.roof.photo_views import PhotoView, draw_address, photo_views
from qa.web.roof.wording import Judged, judged, person_text

WITHOUT = "without"
"""Value of `marks` in the address: the photographs as they are, with nothing drawn upon them."""
MOST_OFFERED = 24
"""Photographs that are offered for comparing; the nearest in time first."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LookedAt:
    """One photograph, whole.

    Attributes:
        large: address of the copy for the screen, with or without what was drawn upon it.
        width, height: of the original once upright, px.
        shows: what it shows, in words.
        times: claimed, by the camera, received, and what lies between.
        camera: what the file says of itself.
        proves: the findings that it shows.
        original: address of the file as it came.
        entry: address of its entry.
        marks: what was drawn upon it, and by whom.
        draw: address of the page that draws upon it; nothing for who may not.
    """

    large: str
    width: int
    height: int
    shows: str
    times: tuple[FieldText, ...]
    camera: tuple[FieldText, ...]
    proves: tuple[Judged, ...]
    original: str
    digest: str
    entry: str
    marks: tuple[MarksView, ...]
    draw: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoPage:
    """The page.

    Attributes:
        shown: one photograph, or two that are compared.
        others: photographs of the same check, bay or mix; each leads to this page with both.
        alone: address of this page with the first alone, or nothing.
        is_marked: whether the photographs are shown with what was drawn upon them.
        switch: address of this page the other way; nothing where nothing was drawn.
        estimate: what is said of lengths by a reference; nothing where there are none.
    """

    top: JobTop
    shown: tuple[LookedAt, ...]
    others: tuple[PhotoView, ...]
    alone: str
    is_marked: bool
    switch: str
    estimate: str
    job: str


@blueprint.get("/desk/jobs/<job>/photos/<sha256>", endpoint="photo")
def show_photo(job: str, sha256: str) -> str:
    """A photograph, and another beside it where one is asked for."""
    read = read_job(house(), actor(), job)
    first = _photo(read, sha256)
    beside = request.args.get("beside", "")
    second = _photo(read, beside) if beside else None
    shown = tuple(_looked_at(read, one) for one in (first, second) if one is not None)
    page = PhotoPage(
        top=job_top(read),
        shown=shown,
        others=tuple(_others(read, first)),
        alone=url_for("desk.photo", job=job, sha256=sha256) if second else "",
        is_marked=_is_marked(),
        switch=_switch(job, sha256, beside) if any(one.marks for one in shown) else "",
        estimate=ESTIMATE if any(m.is_estimate for one in shown for m in one.marks) else "",
        job=url_for("desk.job", job=job),
    )
    return render_page("desk/photo.html", page)


def _is_marked() -> bool:
    return request.args.get(MARKS) != WITHOUT


def _switch(job: str, sha256: str, beside: str) -> str:
    return url_for(
        "desk.photo",
        job=job,
        sha256=sha256,
        beside=beside or None,
        marks=WITHOUT if _is_marked() else None,
    )


def _photo(read: ReadJob, sha256: str) -> Recorded[Photo]:
    """The photograph of a digest.

    Raises:
        NotFoundError: the job shows none.
    """
    for photo in read.job.photos:
        if photo.body.sha256 == sha256:
            return photo
    raise NotFoundError(say("This job shows no such photo, or it was erased."))


def _looked_at(read: ReadJob, photo: Recorded[Photo]) -> LookedAt:
    sha256 = str(photo.body.sha256)
    facts = original_facts(house(), actor(), read.id, sha256)
    (view,) = photo_views(read, [photo])
    clean = url_for("roof.photo", job=read.id, sha256=sha256, size=Size.SCREEN.value)
    draw = draw_address(read, photo.body)
    return LookedAt(
        large=view.large if _is_marked() else clean,
        width=facts.width_px,
        height=facts.height_px,
        shows=view.shows,
        times=tuple(_times(read, photo, facts)),
        camera=tuple(_camera(facts)),
        proves=tuple(map(judged, _proved(read, photo))),
        original=url_for("roof.photo", job=read.id, sha256=sha256, size="original"),
        digest=sha256,
        entry=url_for("roof.entry", job=read.id, entry=photo.id),
        marks=marks_views(read, photo.body, facts),
        draw=f"{draw}?from={DESK}" if draw else "",
    )


def _proved(read: ReadJob, photo: Recorded[Photo]) -> list[Finding]:
    found = (one for one in read.assessment.findings if photo.body.file in one.photos)
    return sorted(found, key=asks_most_first)


def _times(read: ReadJob, photo: Recorded[Photo], facts: PhotoFacts) -> Iterator[FieldText]:
    """Claimed by the person, noted by the camera, received by the site."""
    zone, received = read.job.time_zone, photo.entry.received_at
    yield FieldText(label=say("Recorded by"), text=person_text(read.job, photo.by))
    yield FieldText(label=say("Claimed"), text=exact_text(photo.at, zone))
    yield FieldText(label=say("By the camera"), text=_camera_time(read, facts))
    if received is None:
        yield FieldText(label=say("Received"), text=say("not noted"))
        return
    words = difference_text(received - photo.at)
    yield FieldText(label=say("Received"), text=f"{exact_text(received, zone)}; {words}")
    if facts.taken_at is not None:
        apart = difference_text(received - facts.taken_at, by_camera=True)
        yield FieldText(label=say("After the camera’s time"), text=apart)


def _camera_time(read: ReadJob, facts: PhotoFacts) -> str:
    if facts.taken_at is not None:
        return exact_text(facts.taken_at, read.job.time_zone)
    if facts.taken_at_naive is not None:
        return say(
            "%(time)s, by a clock whose zone the file does not say",
            time=exact_text(facts.taken_at_naive, None),
        )
    return say("not said in the file")


def _camera(facts: PhotoFacts) -> Iterator[FieldText]:
    """What the original says of itself; a claim of the camera, no proof."""
    camera = " ".join(filter(None, (facts.camera_make, facts.camera_model)))
    size = say(
        "%(width_px)s × %(height_px)s px, %(length)s",
        width_px=facts.width_px,
        height_px=facts.height_px,
        length=_length(facts.bytes),
    )
    yield FieldText(label=say("Picture"), text=f"{size}, {facts.media_type}")
    yield FieldText(label=say("Camera"), text=camera or say("not said in the file"))
    yield FieldText(label=say("Place"), text=_place(facts))


def _length(length_bytes: int) -> str:
    if length_bytes >= 1e6:
        return f"{number_text(length_bytes / 1e6, 3)} MB"
    return f"{number_text(length_bytes / 1e3, 3)} kB"


def _place(facts: PhotoFacts) -> str:
    if facts.latitude_deg is None or facts.longitude_deg is None:
        return say("not said in the file")
    place = f"{facts.latitude_deg:.5f}°, {facts.longitude_deg:.5f}°"
    error = facts.position_error_m
    return (
        place
        if error is None
        else say(
            "%(place)s, give or take %(figure)s m",
            place=place,
            figure=number_text(error, 2),
        )
    )


def _others(read: ReadJob, first: Recorded[Photo]) -> Iterator[PhotoView]:
    """Photographs of the same check, bay or mix, each leading to both side by side."""
    alike = [one for one in read.job.photos if one.id != first.id and _is_alike(one, first)]
    alike.sort(key=lambda one: abs(one.at - first.at))
    for view in photo_views(read, sorted(alike[:MOST_OFFERED], key=when)):
        address = url_for("desk.photo", job=read.id, sha256=first.body.sha256, beside=view.sha256)
        yield PhotoView(
            sha256=view.sha256, small=view.small, large=address, shows=view.shows, told=view.told
        )


def _is_alike(one: Recorded[Photo], other: Recorded[Photo]) -> bool:
    a, b = one.body, other.body
    same_bay = a.bay is not None and (a.area, a.bay) == (b.area, b.bay)
    same_check = a.check is not None and a.check == b.check
    return same_bay or same_check or (a.mix is not None and a.mix == b.mix)
