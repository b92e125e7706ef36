"""Asking the roof for one more photograph: a note in words that the job's page shows as to do."""

from __future__ import annotations

from dataclasses import dataclass

from flask import request, url_for
from flask.typing import ResponseReturnValue

from qa.assess.asked_photos import ASKED
from qa.record.registry import Kind
from qa.services.reading import ReadJob, read_job
from qa.services.recording import Receipt, record
from qa.texts.saying import say, to_say
from qa.trade.vocabulary import Stage
from qa.web.desk.routing import blueprint
from qa.web.form_fields import ChoiceField, Option, WordsField
from qa.web.forms import SiteForm
from qa.web.frame import actor, house, render_page
from qa.web.roof.drafting import draft
from qa.web.roof.job_top import JobTop, job_top
from qa.web.roof.wording import stage_title
from qa.web.saving import Moment, saved


@dataclass(frozen=True, slots=True, kw_only=True)
class AskPage:
    """A photograph that is about to be asked for."""

    top: JobTop
    form: AskForm


class AskForm(SiteForm):
    """What the photograph must show, and where."""

    text = WordsField(to_say("What it must show"), lines=3, required=True)
    stage = ChoiceField(to_say("Stage"), required=True)
    area = ChoiceField(to_say("Area"), optional_word=to_say("if it is about one"))


@blueprint.route("/desk/jobs/<job>/photos/ask", methods=["GET", "POST"])
def ask_photo(job: str) -> ResponseReturnValue:
    """Asks for one more photograph."""
    read = read_job(house(), actor(), job)
    form = _form(read)

    def save(moment: Moment) -> tuple[Receipt, ...]:
        body = {
            "text": f"{ASKED}{form.text.data}",
            "stage": form.stage.data,
            "area": form.area.data,
        }
        return record(house(), actor(), job, [draft(form, moment, Kind.NOTE, body)], now=moment.now)

    return saved(
        form,
        save,
        url_for("desk.job", job=job),
        lambda: render_page("desk/ask_photo.html", AskPage(top=job_top(read), form=form)),
        zone=read.job.time_zone,
        word=say("Asked for"),
    )


def _form(read: ReadJob) -> AskForm:
    hand = read.stage_in_hand or Stage.COMPLETION
    asked = {name: request.args.get(name) for name in ("stage", "area")}
    form = AskForm(data=asked | {"stage": asked["stage"] or hand.value})
    form.stage.options = tuple(Option(value=one, label=stage_title(read, one)) for one in Stage)
    form.area.options = tuple(
        Option(value=one.body.area, label=one.body.name) for one in read.job.areas
    )
    return form
