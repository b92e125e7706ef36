"""Interruptions: one touch stops the work, the cover is asked for, and what got wet in the end.

The first touch makes the entry; all that is told later corrects it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from flask import flash, redirect, request, url_for
from flask.typing import ResponseReturnValue

from qa.errors import NotFoundError
from qa.record.fields import Json
from qa.record.job import Recorded
from qa.record.kinds.readings import Cause, Interruption
from qa.record.registry import Kind
from qa.record.schema import written
from qa.services.access import Act
from qa.services.reading import ReadJob, read_job
from qa.services.recording import Receipt, record
from qa.texts.saying import say
from qa.trade.vocabulary import WET_STAGES, Stage
from qa.web.dates import time_text
from qa.web.form_fields import Option
from qa.web.forms import SiteForm
from qa.web.frame import actor, house, render_page
from qa.web.roof.drafting import draft
from qa.web.roof.interruption_forms import (
    NO_COVER_YET,
    CoverForm,
    DryForm,
    StopForm,
    bay_options,
)
from qa.web.roof.job_top import CAUSE_WORDS, JobTop, job_top, open_interruption, site_day
from qa.web.roof.routing import blueprint
from qa.web.roof.wording import area_text, person_text
from qa.web.saving import Moment, saved
from qa.web.stage_names import stage_name


@dataclass(frozen=True, slots=True, kw_only=True)
class StopPage:
    """Why the work stops."""

    top: JobTop
    form: StopForm


@dataclass(frozen=True, slots=True, kw_only=True)
class InterruptionPage:
    """One interruption.

    Attributes:
        cover: the form that asks for the cover, or None.
        dry: the form that ends it, or None.
        change_cover: address of this page with the cover's form, or nothing.
        correct: address of the page that corrects the entry, or nothing.
    """

    top: JobTop
    title: str
    facts: tuple[tuple[str, str], ...]
    told: str
    cover: CoverForm | None
    dry: DryForm | None
    change_cover: str
    correct: str


@blueprint.route("/jobs/<job>/interruptions", methods=["GET", "POST"])
def stop(job: str) -> ResponseReturnValue:
    """Stops the work: by one touch for rain, or for another cause from its own page."""
    read = read_job(house(), actor(), job)
    form = StopForm(data={"cause": Cause.RAIN.value})
    already = open_interruption(read.job)
    if form.sent and already is not None and already.id != form.entry_id.data:
        since = time_text(already.body.from_, read.job.time_zone, site_day(read))
        flash(say("The work is stopped already, since %(since)s.", since=since))
        return redirect(url_for("roof.interruption", job=job, entry=already.id), 303)

    def save(moment: Moment) -> tuple[Receipt, ...]:
        body = {
            "stage": (read.stage_in_hand or Stage.COMPLETION).value,
            "cause": form.cause.data,
            "from": _first_time(read, form, moment),
            "protection": NO_COVER_YET,
        }
        drafts = [draft(form, moment, Kind.INTERRUPTION, body)]
        return record(house(), actor(), job, drafts, now=moment.now)

    return saved(
        form,
        save,
        lambda receipts: url_for("roof.interruption", job=job, entry=receipts[0].entry),
        lambda: render_page("roof/stop.html", StopPage(top=job_top(read), form=form)),
        zone=read.job.time_zone,
        word=say("Stopped"),
    )


@blueprint.route("/jobs/<job>/interruptions/<entry>", methods=["GET", "POST"])
def interruption(job: str, entry: str) -> ResponseReturnValue:
    """Goes on with an interruption: its cover, then its end."""
    read = read_job(house(), actor(), job)
    found = _named(read, entry)
    if _asks_cover(found):
        return _cover(read, found)
    if found.body.until is None:
        return _dry(read, found)
    return render_page("roof/interruption.html", _page(read, found))


def _first_time(read: ReadJob, form: SiteForm, moment: Moment) -> str:
    """When it began; for a form that was sent before, what the record holds of it."""
    held = next((one for one in read.job.interruptions if one.id == form.entry_id.data), None)
    if held is None or not isinstance(held.entry.body, Interruption):
        return moment.at.isoformat()
    return held.entry.body.from_.isoformat()


def _named(read: ReadJob, entry: str) -> Recorded[Interruption]:
    for one in read.job.interruptions:
        if one.id == entry:
            return one
    raise NotFoundError(say("There is no such interruption, or it was withdrawn."))


def _asks_cover(found: Recorded[Interruption]) -> bool:
    """Whether the cover's form is asked for: sent, chosen, or the cover was never told."""
    if request.method == "POST":
        return "cover" in request.form
    return request.args.get("cover") == "again" or (
        found.body.until is None and found.body.protection == NO_COVER_YET
    )


def _cover(read: ReadJob, found: Recorded[Interruption]) -> ResponseReturnValue:
    form = CoverForm(data={"cause": found.body.cause.value, "area": found.body.area})
    form.area.options = tuple(Option(value=a.body.area, label=a.body.name) for a in read.job.areas)

    def save(moment: Moment) -> tuple[Receipt, ...]:
        protection = ". ".join(filter(None, (form.cover.data, form.words.data)))
        change = {"protection": protection, "cause": form.cause.data, "area": form.area.data}
        return _correct(read, found, form, moment, change, reason="The cover was recorded.")

    return saved(
        form,
        save,
        url_for("roof.interruption", job=read.id, entry=found.id),
        lambda: render_page("roof/interruption.html", _page(read, found, cover=form)),
        zone=read.job.time_zone,
    )


def _dry(read: ReadJob, found: Recorded[Interruption]) -> ResponseReturnValue:
    form = DryForm()
    is_wet_work = found.body.stage in WET_STAGES
    form.bays.options = tuple(bay_options(read.frame, found.body.area)) if is_wet_work else ()

    def save(moment: Moment) -> tuple[Receipt, ...]:
        area, bays = form.bays_named()
        ended = ". ".join(filter(None, (form.ending.data, form.words.data)))
        change = {
            "until": moment.at.isoformat(),
            "protection": f"{found.body.protection.rstrip('.')}. Afterwards: {ended}",
            "area": area or found.body.area,
            "bays": list(bays) or None,
        }
        return _correct(read, found, form, moment, change, reason="It is dry again.")

    then = "roof.conditions" if is_wet_work else "roof.job"
    return saved(
        form,
        save,
        url_for(then, job=read.id),
        lambda: render_page("roof/interruption.html", _page(read, found, dry=form)),
        zone=read.job.time_zone,
        word=say("Dry again. Read the conditions before work goes on. Saved")
        if is_wet_work
        else say("Saved"),
    )


def _correct(
    read: ReadJob,
    found: Recorded[Interruption],
    form: SiteForm,
    moment: Moment,
    change: Mapping[str, Json],
    *,
    reason: str,
) -> tuple[Receipt, ...]:
    body = {**written(found.body), **change}
    whole = {name: value for name, value in body.items() if value is not None}
    corrected = {"corrects": found.id, "reason": reason, "body": whole}
    drafts = [draft(form, moment, Kind.CORRECTION, corrected)]
    return record(house(), actor(), read.id, drafts, now=moment.now)


def _page(
    read: ReadJob,
    found: Recorded[Interruption],
    *,
    cover: CoverForm | None = None,
    dry: DryForm | None = None,
) -> InterruptionPage:
    body, zone, today = found.body, read.job.time_zone, site_day(read)
    may_record = actor().may(Act.RECORD_WORK)
    here = url_for("roof.interruption", job=read.id, entry=found.id)
    facts = (
        (say("Stopped"), time_text(body.from_, zone, today)),
        (say("Dry again"), time_text(body.until, zone, today) if body.until else say("not yet")),
        (say("Stage"), stage_name(body.stage)),
        (say("Area"), area_text(read.job, body.area)),
        (say("Bays"), ", ".join(body.bays or ())),
        (say("Cover"), body.protection),
    )
    is_over = body.until is not None
    return InterruptionPage(
        top=job_top(read),
        title=say("Was stopped for %(cause)s", cause=CAUSE_WORDS[body.cause])
        if is_over
        else say("Stopped for %(cause)s", cause=CAUSE_WORDS[body.cause]),
        facts=tuple((name, text) for name, text in facts if text),
        told=f"{person_text(read.job, found.by)}, {time_text(found.at, zone, today)}",
        cover=cover if may_record else None,
        dry=dry if may_record else None,
        change_cover=f"{here}?cover=again" if dry and may_record else "",
        correct=url_for("roof.correct", job=read.id, entry=found.id) if is_over else "",
    )
