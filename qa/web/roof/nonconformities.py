"""Nonconformities: raised, decided by a supervisor, closed with evidence."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from flask import redirect, request, url_for
from flask.typing import ResponseReturnValue

from qa.assess.finding import Finding
from qa.assess.nonconformities import Case
from qa.record.fields import Json
from qa.record.registry import Kind
from qa.services.reading import ReadJob, read_job
from qa.services.recording import Receipt, record
from qa.texts.saying import say
from qa.web.form_fields import Option
from qa.web.frame import actor, house, render_page
from qa.web.roof.drafting import draft
from qa.web.roof.job_top import JobTop, job_top
from qa.web.roof.nonconformity_forms import CloseForm, DecideForm, RaiseForm
from qa.web.roof.nonconformity_pages import case_numbered, case_page, evidence_options
from qa.web.roof.raising import NAMED
from qa.web.roof.routing import blueprint
from qa.web.roof.wording import begun
from qa.web.saving import Moment, saved


@dataclass(frozen=True, slots=True, kw_only=True)
class RaisePage:
    """A nonconformity that is about to be raised.

    Attributes:
        about: the finding that it is about, in the expert's words, or nothing.
        shows: what photographs of it name, "@" before the name of a field.
    """

    top: JobTop
    form: RaiseForm
    about: str
    shows: Mapping[str, str]


@blueprint.route("/jobs/<job>/nonconformities/new", methods=["GET", "POST"])
def raise_nonconformity(job: str) -> ResponseReturnValue:
    """Raises a nonconformity; filled in from a finding where one led here."""
    read = read_job(house(), actor(), job)
    about = _finding_asked_for(read)
    form = _raise_form(read, about)
    form.hand_in()

    def save(moment: Moment) -> tuple[Receipt, ...]:
        body: dict[str, Json] = {name: form[name].data for name in (*NAMED, "description")}
        body["number"] = form.number.data
        drafts = [draft(form, moment, Kind.NONCONFORMITY, body)]
        shown = {"stage": body["stage"], "area": body["area"], "bay": body["bay"]}
        shown |= {"check": body["check"], "nonconformity": form.number.data}
        drafts += form.photo_drafts(moment, shown)
        return record(house(), actor(), job, drafts, now=moment.now)

    shows = {name: f"@{name}" for name in ("stage", "area", "bay", "check")}
    page = RaisePage(
        top=job_top(read),
        form=form,
        about=begun(about.exact) if about else "",
        shows=shows | {"nonconformity_entry": "@entry_id"},
    )
    return saved(
        form,
        save,
        lambda _: url_for("roof.nonconformity", job=job, number=form.number.data),
        lambda: render_page("roof/raise_nonconformity.html", page),
        zone=read.job.time_zone,
        word=say("Raised as number %(number)s", number=form.number.data),
    )


@blueprint.get("/jobs/<job>/nonconformities/<int:number>")
def nonconformity(job: str, number: int) -> str:
    """One nonconformity with all that was said of it."""
    read = read_job(house(), actor(), job)
    again = DecideForm() if request.args.get("decide") == "again" else None
    page = case_page(read, case_numbered(read, number), decide=again)
    return render_page("roof/nonconformity.html", page)


@blueprint.route("/jobs/<job>/nonconformities/<int:number>/decide", methods=["GET", "POST"])
def decide(job: str, number: int) -> ResponseReturnValue:
    """A supervisor's decision on it."""
    here = url_for("roof.nonconformity", job=job, number=number)
    if request.method == "GET":
        return redirect(here, 303)
    read = read_job(house(), actor(), job)
    case = case_numbered(read, number)
    form = DecideForm()

    def save(moment: Moment) -> tuple[Receipt, ...]:
        body = {
            "nonconformity": number,
            "decision": form.decision.data,
            "reason": form.reason.data,
            "authority": form.authority.data,
            "limit": form.limit.data,
        }
        decided = draft(form, moment, Kind.DISPOSITION, body)
        return record(house(), actor(), job, [decided], now=moment.now)

    def page() -> ResponseReturnValue:
        return render_page("roof/nonconformity.html", case_page(read, case, decide=form))

    return saved(form, save, here, page, zone=read.job.time_zone, word=say("Decided"))


@blueprint.route("/jobs/<job>/nonconformities/<int:number>/close", methods=["GET", "POST"])
def close(job: str, number: int) -> ResponseReturnValue:
    """Closes it with what shows that it was put right."""
    here = url_for("roof.nonconformity", job=job, number=number)
    if request.method == "GET":
        return redirect(here, 303)
    read = read_job(house(), actor(), job)
    case = case_numbered(read, number)
    form = CloseForm()
    form.entries.options = tuple(evidence_options(read, case))
    form.hand_in()

    def save(moment: Moment) -> tuple[Receipt, ...]:
        return _close(form, moment, read, case)

    def page() -> ResponseReturnValue:
        return render_page("roof/nonconformity.html", case_page(read, case, close=form))

    return saved(form, save, here, page, zone=read.job.time_zone, word=say("Closed"))


def _close(form: CloseForm, moment: Moment, read: ReadJob, case: Case) -> tuple[Receipt, ...]:
    raised = case.raised.body
    shown: dict[str, Json] = {"stage": raised.stage.value, "check": raised.check}
    shown["area"] = raised.area
    shown |= {"bay": raised.bay, "nonconformity": raised.number, "caption": form.statement.data}
    photos = form.photo_drafts(moment, shown)
    body = {
        "nonconformity": raised.number,
        "statement": form.statement.data,
        "entries": [*form.entries.data, *(photo.id for photo in photos)],
    }
    closed = draft(form, moment, Kind.CLOSURE, body)
    return record(house(), actor(), read.id, [*photos, closed], now=moment.now)


def _finding_asked_for(read: ReadJob) -> Finding | None:
    """The finding that the address names."""
    named = {name: request.args.get(name) or None for name in NAMED}
    if named["check"] is None:
        return None
    return next(
        (
            found
            for found in read.assessment.findings
            if {name: getattr(found, name) for name in NAMED} == named
        ),
        None,
    )


def _raise_form(read: ReadJob, about: Finding | None) -> RaiseForm:
    numbers = [one.body.number for one in read.job.nonconformities]
    stage = read.stage_in_hand
    proposed = {
        "number": max(numbers, default=0) + 1,
        "stage": request.args.get("stage") or (stage.value if stage else None),
        "description": begun(about.exact) if about else None,
        **{name: request.args.get(name) for name in ("check", "area", "bay", "subject")},
    }
    form = RaiseForm(data=proposed)
    form.area.options = tuple(
        Option(value=area.body.area, label=area.body.name) for area in read.job.areas
    )
    return form
