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
from qa.texts.saying import say, to_say
from qa.web.dates import time_text
from qa.web.form_fields import WordsField
from qa.web.forms import SiteForm
from qa.web.frame import actor, house, render_page
from qa.web.roof.job_top import JobTop, job_top, site_day
from qa.web.roof.message_views import MessageView, message_view
from qa.web.roof.routing import blueprint
from qa.web.roof.wording import begun
from qa.web.saving import Moment, saved
from qa.web.shared_links import sent_file


class AnswerForm(SiteForm):
    """What the firm says to a message."""

    PATHS: ClassVar = {"answer": "answer"}

    answer = WordsField(
        to_say("Your answer"),
        lines=5,
        optional_word=to_say("leave it empty to take it into the record first"),
        hint=to_say("It goes into the record as a note, and is shown to whoever wrote."),
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
    state = say("Not in the record yet")
    if told.answer is not None:
        state = say("Answered")
    elif told.taken is not None:
        state = say("In the record, not answered")
    received = time_text(told.received_at, read.job.time_zone, site_day(read))
    return MessageLine(
        address=url_for("roof.message", job=read.id, message=told.id),
        title=_title(told),
        words=told.text,
        state=say("%(state)s; came %(received)s", state=state, received=received),
    )


def _title(told: ToldMessage) -> str:
    return say(
        "%(word)s %(number)s, from %(recipient)s",
        word=begun(told.word),
        number=told.number,
        recipient=told.recipient,
    )
