"""Notes, and inspections after handover: words for the record, with photographs."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import ClassVar

from flask import request, url_for
from flask.typing import ResponseReturnValue

from qa.assess.frame import when
from qa.record.registry import Kind
from qa.services.reading import ReadJob, read_job
from qa.services.recording import Receipt, record
from qa.texts.saying import to_say
from qa.trade.vocabulary import Stage
from qa.web.dates import time_text
from qa.web.form_fields import ChoiceField, EarlierField, Option, WordsField
from qa.web.frame import actor, house, render_page
from qa.web.roof.day_field import DayField
from qa.web.roof.drafting import draft
from qa.web.roof.job_top import JobTop, job_top, site_day
from qa.web.roof.kept_photos import PhotoForm
from qa.web.roof.routing import blueprint
from qa.web.roof.wording import person_text, stage_title
from qa.web.saving import Moment, saved


@dataclass(frozen=True, slots=True, kw_only=True)
class SaidLine:
    """A note or an inspection that stands in the record."""

    address: str
    words: str
    told: str


@dataclass(frozen=True, slots=True, kw_only=True)
class NotePage:
    """A note that is about to be written, and those that stand."""

    top: JobTop
    form: NoteForm
    notes: tuple[SaidLine, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class InspectionPage:
    """An inspection that is about to be recorded, and those that stand."""

    top: JobTop
    form: InspectionForm
    is_handed_over: bool
    inspections: tuple[SaidLine, ...]


class NoteForm(PhotoForm):
    """A few words for the record."""

    PATHS: ClassVar = {"photos": "file"}

    text = WordsField(to_say("Note"), lines=5, required=True)
    stage = ChoiceField(to_say("Stage"), optional_word=to_say("if it is about one"))
    area = ChoiceField(to_say("Area"), optional_word=to_say("if it is about one"))
    earlier = EarlierField(to_say("It was earlier"))


class InspectionForm(PhotoForm):
    """What was found on a look at the finished roof."""

    PATHS: ClassVar = {"photos": "file"}

    finding = WordsField(to_say("What was found"), lines=5, required=True)
    defect = ChoiceField(
        to_say("Is it a defect?"),
        options=(
            Option(value="no", label=to_say("No")),
            Option(
                value="yes", label=to_say("Yes"), hint=to_say("Something must be done about it.")
            ),
        ),
    )
    area = ChoiceField(to_say("Area"), optional_word=to_say("if it is about one"))
    next_due = DayField(to_say("Next inspection due"), optional_word=to_say("if a day is agreed"))
    earlier = EarlierField(to_say("It was earlier"))


@blueprint.route("/jobs/<job>/notes/new", methods=["GET", "POST"])
def note(job: str) -> ResponseReturnValue:
    """Writes a note."""
    read = read_job(house(), actor(), job)
    form = NoteForm(data={"stage": request.args.get("stage"), "area": request.args.get("area")})
    form.stage.options = tuple(Option(value=one, label=stage_title(read, one)) for one in Stage)
    form.area.options = _areas(read)
    form.hand_in()

    def save(moment: Moment) -> tuple[Receipt, ...]:
        body = {name: form[name].data for name in ("text", "stage", "area")}
        shown = {"stage": form.stage.data or _stage(read), "area": form.area.data}
        drafts = [draft(form, moment, Kind.NOTE, body)]
        drafts += form.photo_drafts(moment, shown | {"caption": form.text.data})
        return record(house(), actor(), job, drafts, now=moment.now)

    lines = tuple(
        _line(read, one.id, one.body.text, _told(read, one.by, one.at))
        for one in sorted(read.job.notes, key=when, reverse=True)
    )
    return saved(
        form,
        save,
        url_for("roof.job", job=job),
        lambda: render_page("roof/note.html", NotePage(top=job_top(read), form=form, notes=lines)),
        zone=read.job.time_zone,
    )


@blueprint.route("/jobs/<job>/inspections/new", methods=["GET", "POST"])
def inspection(job: str) -> ResponseReturnValue:
    """Records an inspection of the finished roof."""
    read = read_job(house(), actor(), job)
    form = InspectionForm()
    form.area.options = _areas(read)
    form.hand_in()

    def save(moment: Moment) -> tuple[Receipt, ...]:
        body = {name: form[name].data for name in ("finding", "area", "next_due")}
        body["defect"] = None if form.defect.data is None else form.defect.data == "yes"
        shown = {"stage": Stage.COMPLETION.value, "area": form.area.data}
        drafts = [draft(form, moment, Kind.INSPECTION, body)]
        drafts += form.photo_drafts(moment, shown | {"caption": f"Inspection: {form.finding.data}"})
        return record(house(), actor(), job, drafts, now=moment.now)

    lines = tuple(
        _line(read, one.id, one.body.finding, _told(read, one.by, one.at))
        for one in sorted(read.job.inspections, key=when, reverse=True)
    )
    page = InspectionPage(
        top=job_top(read),
        form=form,
        is_handed_over=bool(read.job.handovers),
        inspections=lines,
    )
    return saved(
        form,
        save,
        url_for("roof.inspection", job=job),
        lambda: render_page("roof/inspection.html", page),
        zone=read.job.time_zone,
    )


def _areas(read: ReadJob) -> tuple[Option, ...]:
    return tuple(Option(value=one.body.area, label=one.body.name) for one in read.job.areas)


def _stage(read: ReadJob) -> str:
    return (read.stage_in_hand or Stage.COMPLETION).value


def _told(read: ReadJob, by: str, at: datetime) -> str:
    return f"{person_text(read.job, by)}, {time_text(at, read.job.time_zone, site_day(read))}"


def _line(read: ReadJob, entry: str, words: str, told: str) -> SaidLine:
    address = url_for("roof.entry", job=read.id, entry=entry)
    return SaidLine(address=address, words=words, told=told)
