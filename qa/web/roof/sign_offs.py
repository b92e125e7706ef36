"""Signing a stage off, and releasing it: what is missing, what is outside, a statement, done.

The record never refuses a signature because something is missing; whoever signs sees what it is.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial

from flask import request, url_for
from flask.typing import ResponseReturnValue

from qa.assess.frame import when
from qa.record.job import Recorded
from qa.record.kinds.decisions import SignOff, SignOffDecision
from qa.record.registry import Kind
from qa.services.reading import ReadJob, read_job
from qa.services.recording import Draft, Receipt, record
from qa.services.signing_off import sign_stage_off, signatures, worked_since
from qa.texts.saying import say, to_say
from qa.trade.conformity import Verdict
from qa.trade.vocabulary import Stage
from qa.web.dates import time_text
from qa.web.form_fields import ChoiceField, EarlierField, Option, WordsField
from qa.web.forms import SiteForm
from qa.web.frame import actor, house, render_page
from qa.web.roof.drafting import draft, part_id
from qa.web.roof.finding_views import FindingGroup, asks_most_first, finding_groups
from qa.web.roof.job_paths import stage_named
from qa.web.roof.job_top import JobTop, job_top, site_day
from qa.web.roof.photo_views import PhotoView, photo_views
from qa.web.roof.routing import blueprint
from qa.web.roof.stage_views import NextStep, StageView, stage_folds, stage_view
from qa.web.roof.wording import person_text, stage_title
from qa.web.saving import Moment, saved

_LEAST_SHOWN = 12
"""Photographs of the stage that a supervisor sees before deciding, beside those of findings."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SignOffPage:
    """A stage that is about to be signed off.

    Attributes:
        view: the stage as the job's page shows it, with who signed so far.
        asked: what is still to record, the signature aside.
        worked_since: what was recorded after the last sign-off, in a sentence, or nothing.
    """

    top: JobTop
    stage: str
    view: StageView
    asked: tuple[NextStep, ...]
    findings: tuple[FindingGroup, ...]
    worked_since: str
    form: SignOffForm


@dataclass(frozen=True, slots=True, kw_only=True)
class ReleasePage:
    """A stage on which a supervisor decides.

    Attributes:
        photos: photographs of the stage that no finding shows.
        all_photos: address of the others.
        is_signed_off: whether an installer has signed it off.
        from_desk: whether it is one of the desk's list, and the next one is offered afterwards.
    """

    top: JobTop
    stage: str
    view: StageView
    asked: tuple[NextStep, ...]
    findings: tuple[FindingGroup, ...]
    worked_since: str
    photos: tuple[PhotoView, ...]
    all_photos: str
    is_signed_off: bool
    from_desk: bool
    form: ReleaseForm


class SignOffForm(SiteForm):
    """What an installer signs."""

    statement = WordsField(to_say("What you sign"), lines=4, required=True)
    earlier = EarlierField(to_say("It was done earlier"))


class ReleaseForm(SiteForm):
    """What a supervisor decides."""

    decision = ChoiceField(
        to_say("Decision"),
        options=(
            Option(
                value=SignOffDecision.RELEASED,
                label=to_say("Release"),
                hint=to_say("The next stage may begin and cover this one up."),
            ),
            Option(
                value=SignOffDecision.REFUSED,
                label=to_say("Refuse"),
                hint=to_say("Say what must be done first; the stage is in hand again."),
            ),
        ),
        required=True,
    )
    statement = WordsField(to_say("What you sign"), lines=4, required=True)
    earlier = EarlierField(to_say("It was decided earlier"))


@blueprint.route("/jobs/<job>/stages/<stage>/sign-off", methods=["GET", "POST"])
def sign_off(job: str, stage: str) -> ResponseReturnValue:
    """An installer signs a stage off as complete."""
    read, of = read_job(house(), actor(), job), stage_named(stage)
    view = _view(read, of)
    asked = tuple(step for step in view.asked if step.address not in _signing(job, of))
    form = SignOffForm(data={"statement": _proposed(read, of, asked)})
    _one_for_this_state(form, read, of, "sign-off")

    def save(moment: Moment) -> tuple[Receipt, ...]:
        signed = _signature(of, form, moment, SignOffDecision.COMPLETE)
        return sign_stage_off(
            house(), actor(), job, signed, second=partial(_second, read, of), now=moment.now
        )

    page = SignOffPage(
        top=job_top(read),
        stage=stage_title(read, of),
        view=view,
        asked=asked,
        findings=finding_groups(
            read,
            sorted((f for f in read.assessment.of_stage(of) if f.is_open), key=asks_most_first),
        ),
        worked_since=worked_since(read.assessment, of),
        form=form,
    )
    return saved(
        form,
        save,
        url_for("roof.stage", job=job, stage=of),
        lambda: render_page("roof/sign_off.html", page),
        zone=read.job.time_zone,
        word=say("%(stage)s signed off", stage=stage_title(read, of)),
    )


@blueprint.route("/jobs/<job>/stages/<stage>/release", methods=["GET", "POST"])
def release(job: str, stage: str) -> ResponseReturnValue:
    """A supervisor releases a stage or refuses it."""
    read, of = read_job(house(), actor(), job), stage_named(stage)
    from_desk = request.args.get("from") == "desk"
    proposed = say(
        "%(stage)s: I have looked at the record of this stage.",
        stage=stage_title(read, of),
    )
    form = ReleaseForm(data={"statement": proposed} if from_desk else None)
    _one_for_this_state(form, read, of, "release")

    def save(moment: Moment) -> tuple[Receipt, ...]:
        decided = _signature(of, form, moment, SignOffDecision(str(form.decision.data)))
        return record(house(), actor(), job, [decided], now=moment.now)

    return saved(
        form,
        save,
        url_for("desk.next_release") if from_desk else url_for("roof.stage", job=job, stage=of),
        lambda: render_page("roof/release.html", _release_page(read, of, form, from_desk)),
        zone=read.job.time_zone,
        word=say("Decided"),
    )


def _view(read: ReadJob, stage: Stage) -> StageView:
    today = site_day(read)
    return stage_view(read, stage, stage_folds(read, today)[stage], today)


def _release_page(read: ReadJob, stage: Stage, form: ReleaseForm, from_desk: bool) -> ReleasePage:
    view = _view(read, stage)
    of_stage = read.assessment.of_stage(stage)
    findings = [f for f in of_stage if f.verdict in (Verdict.OUTSIDE, Verdict.UNDECIDED)]
    findings.sort(key=asks_most_first)
    shown = {file for found in findings for file in found.photos}
    others = [
        photo
        for photo in sorted(read.job.photos, key=when, reverse=True)
        if photo.body.stage is stage and photo.body.file not in shown
    ]
    return ReleasePage(
        top=job_top(read),
        stage=stage_title(read, stage),
        view=view,
        asked=tuple(step for step in view.asked if step.address not in _signing(read.id, stage)),
        findings=finding_groups(read, findings),
        worked_since=worked_since(read.assessment, stage),
        photos=photo_views(read, others[:_LEAST_SHOWN]),
        all_photos=url_for("roof.new_photo", job=read.id, stage=stage),
        is_signed_off=any(
            s.body.decision is SignOffDecision.COMPLETE for s in signatures(read.job, stage)
        ),
        from_desk=from_desk,
        form=form,
    )


def _signature(
    stage: Stage, form: SignOffForm | ReleaseForm, moment: Moment, decision: SignOffDecision
) -> Draft:
    body = {
        "stage": stage.value,
        "decision": decision.value,
        "statement": str(form.statement.data),
    }
    return draft(form, moment, Kind.SIGN_OFF, body)


def _one_for_this_state(form: SiteForm, read: ReadJob, stage: Stage, what: str) -> None:
    """Gives the form an id that follows from the signatures so far.

    Two tabs that saw the same state sign the same entry: the second is a repeat, or a conflict.
    """
    if not form.sent:
        so_far = len(signatures(read.job, stage))
        form.entry_id.data = part_id(read.id, f"{stage}/{what}/{so_far}/{actor().key}")


def _second(read: ReadJob, stage: Stage, signed: Recorded[SignOff]) -> str:
    """What is told to whoever signs what stands signed off."""
    return say(
        "%(stage)s is signed off already, by %(person)s, %(at)s, and nothing "
        "was recorded since. That sign-off stands; yours was not added.",
        stage=stage_title(read, stage),
        person=person_text(read.job, signed.by),
        at=time_text(signed.at, read.job.time_zone, site_day(read)),
    )


def _signing(job: str, stage: Stage) -> frozenset[str]:
    return frozenset(
        url_for(endpoint, job=job, stage=stage.value)
        for endpoint in ("roof.sign_off", "roof.release")
    )


def _proposed(read: ReadJob, stage: Stage, asked: Sequence[NextStep]) -> str:
    """A statement that says what one signs; it may be changed."""
    open_findings = sum(found.is_open for found in read.assessment.of_stage(stage))
    silent = sum(max(1, len(step.places)) for step in asked)
    parts = [say("I have checked the work of this stage, and it is complete.")]
    if open_findings:
        parts.append(
            say(
                "Outside limits, as the record says: %(open_findings)s.",
                open_findings=open_findings,
            )
        )
    if silent:
        parts.append(say("Not recorded: %(silent)s.", silent=silent))
    return " ".join(parts)
