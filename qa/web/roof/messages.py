"""What homeowners and insurers wrote about a job: taken into the record, and answered."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from flask import Response, url_for
from flask.typing import ResponseReturnValue

from qa.photos.renditions import Size
from qa.services.access import Act
from qa.services.messages import (
    ToldMessage,
    message_of,
    message_photo,
    messages_of,
    take_message,
)
from qa.services.reading import ReadJob, read_job
from qa.services.recording import Receipt
from qa.services.shared_reading import clean_copy
from qa.web.form_fields import WordsField
from qa.web.forms import SiteForm
from qa.web.frame import actor, house, render_page
from qa.web.roof.job_top import JobTop, job_top, site_day
from qa.web.roof.message_views import MessageView, message_view
from qa.web.roof.routing import blueprint
from qa.web.roof.wording import begun, time_text
from qa.web.saving import Moment, saved
from qa.web.shared_links import sent_file


class AnswerForm(SiteForm):
    """What the firm says to a message."""

    PATHS: ClassVar = {"answer": "answer"}

    answer = WordsField(
        "Your answer",
        lines=5,
        optional_word="leave it empty to take it into the record first",
        hint="It goes into the record as a note, and is shown to whoever wrote.",
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class MessageLine:
    """One message in the list."""

    address: str
    title: str
    words: str
    state: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MessagesPage:
    """The page of all."""

    top: JobTop
    lines: tuple[MessageLine, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class MessagePage:
    """The page of one.

    Attributes:
        form: None where it is answered and wholly in the record, or the person may not.
        waits_for_photo: whether its photograph waits for somebody who may record work.
    """

    top: JobTop
    title: str
    view: MessageView
    form: AnswerForm | None
    is_answered: bool
    waits_for_photo: bool
    back: str


@blueprint.get("/jobs/<job>/messages", endpoint="messages")
def show_messages(job: str) -> str:
    """What was written about a job, the newest first."""
    read = read_job(house(), actor(), job)
    lines = tuple(_line(read, one) for one in messages_of(house(), actor(), read))
    return render_page("roof/messages.html", MessagesPage(top=job_top(read), lines=lines))


@blueprint.route("/jobs/<job>/messages/<message>", methods=["GET", "POST"], endpoint="message")
def show_message(job: str, message: str) -> ResponseReturnValue:
    """One message, with a form to take it in and to answer."""
    read, someone = read_job(house(), actor(), job), actor()
    told = message_of(house(), someone, read, message)
    form = AnswerForm()

    def save(moment: Moment) -> tuple[Receipt, ...]:
        return take_message(house(), someone, job, message, answer=form.answer.data, now=moment.now)

    return saved(
        form,
        save,
        url_for("roof.message", job=job, message=message),
        lambda: render_page("roof/message.html", _page(read, told, form)),
        zone=read.job.time_zone,
    )


@blueprint.get("/jobs/<job>/messages/<message>/photo", endpoint="message_photo")
def send_message_photo(job: str, message: str) -> Response:
    """A copy of the photograph that came with a message."""
    read = read_job(house(), actor(), job)
    original = message_photo(house(), actor().firm_id, read.id, message)
    path = clean_copy(house(), original, Size.PRINT)
    return sent_file(path, media_type="image/jpeg", etag=message)


def _page(read: ReadJob, told: ToldMessage, form: AnswerForm) -> MessagePage:
    someone = actor()
    photo = url_for("roof.message_photo", job=read.id, message=told.id)
    waits = told.has_photo and not told.photo_is_taken
    is_done = told.answer is not None and not (waits and someone.may(Act.RECORD_WORK))
    may = someone.may(Act.WRITE_NOTES) and not is_done
    return MessagePage(
        top=job_top(read),
        title=_title(told),
        view=message_view(read, told, photo=photo),
        form=form if may else None,
        is_answered=told.answer is not None,
        waits_for_photo=waits,
        back=url_for("roof.messages", job=read.id),
    )


def _line(read: ReadJob, told: ToldMessage) -> MessageLine:
    state = "Not in the record yet"
    if told.answer is not None:
        state = "Answered"
    elif told.taken is not None:
        state = "In the record, not answered"
    received = time_text(told.received_at, read.job.time_zone, site_day(read))
    return MessageLine(
        address=url_for("roof.message", job=read.id, message=told.id),
        title=_title(told),
        words=told.text,
        state=f"{state}; came {received}",
    )


def _title(told: ToldMessage) -> str:
    return f"{begun(told.word)} {told.number}, from {told.recipient}"
