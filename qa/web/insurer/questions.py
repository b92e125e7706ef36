"""Questions to the firm, and what it answers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from flask import url_for
from flask.typing import ResponseReturnValue

from qa.services.linking import Face
from qa.services.messages import messages_by, write_message
from qa.services.shared_reading import read_shared_job
from qa.texts.saying import say, to_say
from qa.web.form_fields import WordsField
from qa.web.forms import SiteForm
from qa.web.frame import house, render_page
from qa.web.insurer.front import reader_top
from qa.web.insurer.routing import blueprint
from qa.web.roof.message_views import MessageView, Sent, message_view
from qa.web.saving import Moment, saved
from qa.web.shared_links import FaceTop, opened


class QuestionForm(SiteForm):
    """What somebody wants to know."""

    PATHS: ClassVar = {}

    text = WordsField(
        to_say("Your question"),
        lines=6,
        required=True,
        hint=to_say("Name the entry that it is about by its number."),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class QuestionsPage:
    """The page."""

    top: FaceTop
    form: QuestionForm
    messages: tuple[MessageView, ...]


@blueprint.route("/e/<reader_token>/questions", methods=["GET", "POST"], endpoint="questions")
def show_questions(reader_token: str) -> ResponseReturnValue:
    """Asks a question; those asked before stand below with their answers."""
    link = opened(Face.INSURER, reader_token)
    read = read_shared_job(house(), link)
    form = QuestionForm()

    def save(moment: Moment) -> Sequence[Sent]:
        write_message(house(), link, str(form.text.data), now=moment.now)
        return (Sent(entry=str(form.entry_id.data)),)

    def page() -> str:
        told = messages_by(house(), link, read.job)
        context = QuestionsPage(
            top=reader_top(read, reader_token),
            form=form,
            messages=tuple(message_view(read, one, photo="") for one in told),
        )
        return render_page("insurer/questions.html", context)

    then = url_for("insurer.questions", reader_token=reader_token)
    return saved(form, save, then, page, zone=read.job.time_zone, word=say("Sent to the firm"))
