"""Reporting a problem with the roof, and what the firm says to it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from flask import Response, url_for
from flask.typing import ResponseReturnValue

from qa.errors import NotFoundError
from qa.photos.renditions import Size
from qa.services.linking import Face
from qa.services.messages import message_photo, messages_by, write_message
from qa.services.shared_reading import clean_copy, read_shared_job
from qa.texts.saying import say, to_say
from qa.web.form_fields import PhotosField, WordsField
from qa.web.forms import SiteForm
from qa.web.frame import house, render_page
from qa.web.owner.pack import owner_top
from qa.web.owner.routing import blueprint
from qa.web.roof.message_views import MessageView, Sent, message_view
from qa.web.saving import Moment, saved
from qa.web.shared_links import FaceTop, opened, sent_file


class ReportForm(SiteForm):
    """What somebody sees on or below their roof."""

    PATHS: ClassVar = {}

    text = WordsField(
        to_say("What do you see?"),
        lines=6,
        required=True,
        hint=to_say("Since when, where, and in what weather. Do not climb up to look."),
    )
    photo = PhotosField(to_say("Photograph"), camera=False, optional_word=to_say("if you have one"))


@dataclass(frozen=True, slots=True, kw_only=True)
class ReportPage:
    """The page.

    Attributes:
        phone: the firm's telephone, or nothing.
    """

    top: FaceTop
    form: ReportForm
    phone: str
    messages: tuple[MessageView, ...]


@blueprint.route("/h/<owner_token>/report", methods=["GET", "POST"], endpoint="report")
def show_report(owner_token: str) -> ResponseReturnValue:
    """Reports a problem; what was reported before stands below."""
    link = opened(Face.HOMEOWNER, owner_token)
    read = read_shared_job(house(), link)
    form = ReportForm()

    def save(moment: Moment) -> Sequence[Sent]:
        photo = form.photo.data[0].stream if form.photo.data else None
        write_message(house(), link, str(form.text.data), photo, now=moment.now)
        return (Sent(entry=str(form.entry_id.data)),)

    def page() -> str:
        told = messages_by(house(), link, read.job)
        views = (
            message_view(
                read, one,
                photo=url_for("owner.report_photo", owner_token=owner_token, message=one.id),
            )
            for one in told
        )  # fmt: skip
        context = ReportPage(
            top=owner_top(read, owner_token),
            form=form,
            phone=read.job.opening.body.firm.phone or "",
            messages=tuple(views),
        )
        return render_page("owner/report.html", context)

    then = url_for("owner.report", owner_token=owner_token)
    return saved(form, save, then, page, zone=read.job.time_zone, word=say("Sent to the firm"))


@blueprint.get("/h/<owner_token>/report/<message>/photo", endpoint="report_photo")
def send_report_photo(owner_token: str, message: str) -> Response:
    """A fresh copy of the photograph that came with a report of this link."""
    link = opened(Face.HOMEOWNER, owner_token)
    told = messages_by(house(), link, read_shared_job(house(), link).job)
    if message not in {one.id for one in told}:
        raise NotFoundError(say("There is no such photograph."))
    original = message_photo(house(), link.firm_id, link.job_id, message)
    path = clean_copy(house(), original, Size.PRINT)
    return sent_file(path, media_type="image/jpeg", etag=message)
