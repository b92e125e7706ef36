"""Photographs: taken, named for what they show, and shown again."""

from __future__ import annotations

from dataclasses import dataclass

from flask import request, url_for
from flask.typing import ResponseReturnValue

from qa.assess.frame import Frame, when
from qa.assess.photo_requests import PhotoPlace, missing_photos
from qa.record.kinds.papers import Photo
from qa.services.access import Act, require
from qa.services.reading import ReadJob, read_job
from qa.services.recording import Receipt, record
from qa.texts.saying import say
from qa.trade.vocabulary import Stage
from qa.web.form_fields import Option
from qa.web.forms import SiteForm
from qa.web.frame import actor, house, render_page
from qa.web.roof.job_paths import stage_named
from qa.web.roof.job_top import JobTop, job_top
from qa.web.roof.photo_form import OTHER, NewPhotosForm, missing_options, place_value
from qa.web.roof.photo_views import PhotoView, photo_views
from qa.web.roof.routing import blueprint
from qa.web.roof.wording import begun, edge_text, stage_title
from qa.web.saving import Moment, saved


@dataclass(frozen=True, slots=True, kw_only=True)
class StageTab:
    """A stage whose photographs may be looked at."""

    address: str
    title: str
    is_shown: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotosPage:
    """Photographs of a stage.

    Attributes:
        asks_camera: whether the person may add photographs.
        still: how many requests of the stage are not met.
        here: address of this page.
        bulk: address of the page that takes many at once.
    """

    top: JobTop
    stage: str
    stages: tuple[StageTab, ...]
    asks_camera: bool
    still: int
    here: str
    bulk: str
    form: NewPhotosForm
    photos: tuple[PhotoView, ...]


@blueprint.route("/jobs/<job>/photos", methods=["GET", "POST"])
def new_photo(job: str) -> ResponseReturnValue:
    """Takes photographs, and shows those of the stage."""
    if request.method == "POST":
        require(actor(), Act.RECORD_WORK)
    read = read_job(house(), actor(), job)
    stage = _stage(read)
    frame = read.frame
    form = _form(read, frame, stage)
    form.hand_in()

    lots = {lot.id: lot.body.lot for lot in read.job.lots}
    raised = {one.id: one.body.number for one in read.job.nonconformities}

    def save(moment: Moment) -> tuple[Receipt, ...]:
        drafts = form.photo_drafts(moment, form.named(lots, raised))
        return record(house(), actor(), job, drafts, now=moment.now)

    return saved(
        form,
        save,
        lambda _: url_for("roof.new_photo", job=job, stage=form.stage.data),
        lambda: render_page("roof/photos.html", _page(read, stage, form)),
        zone=read.job.time_zone,
    )


def _stage(read: ReadJob) -> Stage:
    named = request.args.get("stage")
    return stage_named(named) if named else read.stage_in_hand or Stage.COMPLETION


def _form(read: ReadJob, frame: Frame, stage: Stage) -> NewPhotosForm:
    asked = PhotoPlace(
        **{name: request.args.get(name) or None for name in PhotoPlace.__dataclass_fields__}
    )
    options = missing_options(missing_photos(frame, stage))
    offered = place_value(asked) in {option.value for option in options}
    details = {} if offered else {name: getattr(asked, name) for name in asked.__slots__}
    shows = place_value(asked) if offered else OTHER if any(details.values()) else None
    form = NewPhotosForm(
        data={
            "stage": stage.value,
            "shows": shows or options[0].value,
            "mix": request.args.get("mix"),
            "nonconformity": request.args.get("nonconformity", type=int),
            **details,
        }
    )
    form.shows.options = options
    form.photos.label.text = say("Photograph, or several")
    form.photos.optional_word = ""
    form.photos.required = form.sent and not form.digests
    offer_places(form, read, stage)
    return form


def offer_places(form: SiteForm, read: ReadJob, stage: Stage | None) -> None:
    """Fills the lists of what a photograph may name.

    Args:
        form: with the fields area, edge, lot, mix and check.
        read: the job.
        stage: whose checks are offered; None for all.
    """
    job = read.job
    form.area.options = tuple(Option(value=a.body.area, label=a.body.name) for a in job.areas)
    edges = {edge.edge: edge_text(edge) for area in job.areas for edge in area.body.edges}
    form.edge.options = tuple(Option(value=key, label=text) for key, text in edges.items())
    form.lot.options = tuple(
        Option(value=lot.body.lot, label=f"{lot.body.product}, {lot.body.batch_number}")
        for lot in job.lots
    )
    form.mix.options = tuple(
        Option(value=mix.body.mix, label=mix.body.mix)
        for mix in sorted(job.mixes, key=when, reverse=True)
    )
    form.check.options = tuple(
        Option(value=check.key, label=begun(check.quantity))
        for check in read.specification.checks.values()
        if stage is None or stage in check.stages
    )


def _page(read: ReadJob, stage: Stage, form: NewPhotosForm) -> PhotosPage:
    of_stage = [photo for photo in read.job.photos if _belongs(photo.body, stage)]
    return PhotosPage(
        top=job_top(read),
        stage=stage_title(read, stage),
        stages=tuple(
            StageTab(
                address=url_for("roof.new_photo", job=read.id, stage=one),
                title=stage_title(read, one),
                is_shown=one is stage,
            )
            for one in Stage
        ),
        asks_camera=form.takes_photos,
        still=len(form.shows.options) - 1,
        here=url_for("roof.new_photo", job=read.id, stage=stage),
        bulk=url_for("roof.bulk", job=read.id),
        form=form,
        photos=photo_views(read, sorted(of_stage, key=when, reverse=True)),
    )


def _belongs(photo: Photo, stage: Stage) -> bool:
    return photo.stage is stage
