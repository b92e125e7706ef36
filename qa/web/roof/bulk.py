"""Photographs brought in together: dropped or picked, shown in order of time, placed at once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from flask import Response, flash, redirect, request, send_file, url_for
from flask.typing import ResponseReturnValue

from qa.assess.frame import frame_of
from qa.assess.photo_requests import missing_photos
from qa.errors import Problem, RecordError
from qa.photos.renditions import Size
from qa.services.leaving_out import leave_out
from qa.services.photo_targets import PhotoTarget, target_of
from qa.services.reading import ReadJob, read_job
from qa.services.waiting_photos import (
    bring_in,
    moment_of,
    place,
    say_of,
    set_clock,
    waiting_copy,
    waiting_in,
    waiting_photo,
)
from qa.store.waiting_photos import WaitingPhoto
from qa.texts.saying import say, say_count
from qa.trade.vocabulary import Stage
from qa.web import clock
from qa.web.form_fields import Option
from qa.web.frame import SAVED, actor, house, render_page
from qa.web.roof.bulk_form import BulkForm, ClockForm, OnePhotoForm, PlacingForm, TimesForm
from qa.web.roof.bulk_page import BulkForms, bulk_page, proposals_of
from qa.web.roof.bulk_words import taken_text
from qa.web.roof.job_top import JobTop, job_top
from qa.web.roof.photo_form import missing_options
from qa.web.roof.photos import offer_places
from qa.web.roof.routing import blueprint
from qa.web.roof.wording import stage_title
from qa.web.saving import Moment, Receipt, saved

KEPT_S = 3600
SAID = f"{SAVED}:"
LEAVE = "leave"
"""What the button sends that leaves the ticked out; the other one places them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Brought:
    """The receipt of a photograph that waits."""

    entry: str
    repeated: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class OnePhotoPage:
    """The page on which one photograph is placed by hand."""

    top: JobTop
    form: OnePhotoForm
    id: str
    name: str
    large: str
    taken: str
    back: str


@blueprint.route("/jobs/<job>/waiting-photos", methods=["GET", "POST"])
def bulk(job: str) -> ResponseReturnValue:
    """Shows what waits, and takes more in."""
    read, form = read_job(house(), actor(), job), BulkForm()

    def save(moment: Moment) -> Sequence[Receipt]:
        found = form.handed_in()
        brought = [
            _Brought(
                entry=sha256,
                repeated=not bring_in(house(), actor(), job, sha256, name=name, now=moment.now),
            )
            for sha256, name in found
        ]
        if form.photos.errors:
            raise RecordError(())
        return brought

    here = url_for("roof.bulk", job=job)
    return saved(
        form, save, here, lambda: _page(read, form), zone=read.job.time_zone, word=say("Arrived")
    )


@blueprint.post("/jobs/<job>/waiting-photos/place", endpoint="bulk_place")
def place_ticked(job: str) -> ResponseReturnValue:
    """Takes the ticked photographs into the record, or leaves them out."""
    read, form = read_job(house(), actor(), job), PlacingForm()
    here = url_for("roof.bulk", job=job)
    if request.form.get("do") == LEAVE:
        return _left_out(job, here)

    def save(moment: Moment) -> Sequence[Receipt]:
        return place(house(), actor(), job, form.place.data, now=moment.now)

    return saved(
        form, save, here, lambda: _page(read, placing=form), zone=read.job.time_zone,
        word=say("%(number)s in the record", number=len(form.place.data or ())),
    )  # fmt: skip


def _left_out(job: str, here: str) -> ResponseReturnValue:
    ids = [value.partition(" ")[0] for value in request.form.getlist("place")]
    ids += request.form.getlist("leave")
    number = leave_out(house(), actor(), job, ids, now=clock.now())
    flash(say_count("%(number)s photo left out.", "%(number)s photos left out.", number), SAID)
    return redirect(here, 303)


@blueprint.post("/jobs/<job>/waiting-photos/clock", endpoint="bulk_clock")
def correct_clock(job: str) -> ResponseReturnValue:
    """Reckons with a clock that was off; the proposals are made anew."""
    read, form = read_job(house(), actor(), job), ClockForm()

    def save(moment: Moment) -> Sequence[Receipt]:
        set_clock(house(), actor(), job, slow_min=form.slow_min, now=moment.now)
        return ()

    here = url_for("roof.bulk", job=job)
    return saved(
        form, save, here, lambda: _page(read, clock_form=form), zone=read.job.time_zone,
        word=say("Reckoned anew"),
    )  # fmt: skip


@blueprint.post("/jobs/<job>/waiting-photos/times", endpoint="bulk_times")
def say_times(job: str) -> ResponseReturnValue:
    """Takes one time for all whose files say none."""
    read, form = read_job(house(), actor(), job), TimesForm()

    def save(moment: Moment) -> Sequence[Receipt]:
        said_at = form.taken.in_zone(read.job.time_zone)
        waiting = waiting_in(house(), actor(), read, now=moment.now).photos
        timeless = [one.id for one in waiting if moment_of(one, read.job.time_zone) is None]
        if said_at is None:
            sentence = say("Give the day and the time.")
            raise RecordError((Problem(place="photo", sentence=sentence, field="photo.taken"),))
        say_of(house(), actor(), job, timeless, said_at=said_at)
        return ()

    here = url_for("roof.bulk", job=job)
    return saved(
        form, save, here, lambda: _page(read, times=form), zone=read.job.time_zone,
        word=say("Noted"),
    )  # fmt: skip


@blueprint.route(
    "/jobs/<job>/waiting-photos/<waiting_photo>", methods=["GET", "POST"], endpoint="bulk_one"
)
def place_one(job: str, waiting_photo: str) -> ResponseReturnValue:
    """Says of one photograph what it shows and when it was taken; it is placed with the others."""
    read = read_job(house(), actor(), job)
    photo = _found(job, waiting_photo)
    form = _one_form(read, photo)
    here = url_for("roof.bulk", job=job)
    if request.form.get("do") == LEAVE:
        return _left_out(job, here)

    def save(_: Moment) -> Sequence[Receipt]:
        said_at = form.taken.in_zone(read.job.time_zone)
        _require_bay(read, form)
        say_of(house(), actor(), job, [photo.id], target=form.target(), said_at=said_at)
        return ()

    page = OnePhotoPage(
        top=job_top(read),
        form=form,
        id=photo.id,
        name=photo.name,
        large=url_for("roof.bulk_picture", job=job, waiting_photo=photo.id, size="screen"),
        taken=taken_text(read, photo, clock.now()),
        back=here,
    )
    return saved(
        form, save, here, lambda: render_page("roof/bulk_one.html", page),
        zone=read.job.time_zone, word=say("Noted"),
    )  # fmt: skip


@blueprint.get("/jobs/<job>/waiting-photos/<waiting_photo>/picture", endpoint="bulk_picture")
def send_picture(job: str, waiting_photo: str) -> Response:
    """A clean copy of a photograph that waits."""
    size = Size.SCREEN if request.args.get("size") == Size.SCREEN.value else Size.LIST
    path = waiting_copy(house(), actor(), job, waiting_photo, size)
    answer = send_file(
        path, mimetype="image/jpeg", conditional=True, last_modified=None,
        etag=f"{waiting_photo}-{size.value}",
    )  # fmt: skip
    answer.headers["Cache-Control"] = f"private, max-age={KEPT_S}"
    return answer


def _found(job: str, waiting: str) -> WaitingPhoto:
    return waiting_photo(house(), actor(), job, waiting)


def _page(
    read: ReadJob,
    form: BulkForm | None = None,
    *,
    placing: PlacingForm | None = None,
    clock_form: ClockForm | None = None,
    times: TimesForm | None = None,
) -> str:
    now = clock.now()
    waiting = waiting_in(house(), actor(), read, now=now)
    forms = BulkForms(
        bring=form or BulkForm(formdata=None),
        placing=placing or PlacingForm(formdata=None),
        clock=clock_form or ClockForm(formdata=None),
        times=times or TimesForm(formdata=None),
    )
    page = bulk_page(read, waiting, forms, now=now)
    return render_page("roof/bulk.html", page)


def _one_form(read: ReadJob, photo: WaitingPhoto) -> OnePhotoForm:
    zone = read.job.time_zone
    at = moment_of(photo, zone)
    target = target_of(photo.chosen) if photo.chosen else None
    if target is None:
        proposal = proposals_of(read, {photo.id: at}, now=clock.now()).get(photo.id)
        stage = read.stage_in_hand or Stage.COMPLETION
        target = proposal.target if proposal else PhotoTarget(stage=stage)
    form = OnePhotoForm(
        data=target.body | {"taken": photo.said_at and photo.said_at.astimezone(zone)}
    )
    form.stage.options = tuple(Option(value=s, label=stage_title(read, s)) for s in Stage)
    frame = frame_of(read.job, read.specification)
    asked = [one for stage in Stage for one in missing_photos(frame, stage)]
    form.shows.options = missing_options(tuple(asked))
    offer_places(form, read, None)
    return form


def _require_bay(read: ReadJob, form: OnePhotoForm) -> None:
    """Refuses a bay that no area has, before it waits with the others.

    Raises:
        RecordError: says so at the field.
    """
    frame = frame_of(read.job, read.specification)
    target = form.target()
    areas = [target.area] if target.area else list(frame.areas)
    known = any(target.bay in frame.areas[area].bays for area in areas if area in frame.areas)
    if target.bay and not known:
        sentence = "is no bay of this roof; look it up on the bay plan, such as r2b3."
        raise RecordError(
            (Problem(place="photo", sentence=f"photo.bay {sentence}", field="photo.bay"),)
        )
