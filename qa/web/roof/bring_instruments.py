"""Bringing in what the crew used on earlier roofs: every instrument a tick, all saved at once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from flask import url_for
from flask.typing import ResponseReturnValue

from qa.record.fields import Json
from qa.record.kinds.supplies import Instrument
from qa.record.registry import Kind
from qa.record.schema import written
from qa.services.earlier_supplies import earlier_instruments
from qa.services.reading import ReadJob, read_job
from qa.services.recording import Draft, Receipt, record
from qa.texts.saying import say, to_say
from qa.web.form_fields import Option
from qa.web.forms import SiteForm
from qa.web.frame import actor, house, render_page
from qa.web.roof.drafting import draft, part_id
from qa.web.roof.job_top import JobTop, job_top, site_day
from qa.web.roof.lot_form import free_key
from qa.web.roof.routing import blueprint
from qa.web.roof.several import SeveralField
from qa.web.saving import Moment, saved


@dataclass(frozen=True, slots=True, kw_only=True)
class BringPage:
    """What may be brought in."""

    top: JobTop
    form: BringForm
    new: str


class BringForm(SiteForm):
    """What of earlier roofs is on this one, too."""

    PATHS: ClassVar = {}

    chosen = SeveralField(to_say("On this roof, too"), required=True)


@blueprint.route("/jobs/<job>/instruments/earlier", methods=["GET", "POST"])
def bring_instruments(job: str) -> ResponseReturnValue:
    """Registers every instrument that was ticked as it was registered before."""
    read = read_job(house(), actor(), job)
    form = BringForm()
    known = to_bring(read, form.entry_id.data if form.sent else None)
    form.chosen.options = tuple(_option(read, one) for one in known)

    def save(moment: Moment) -> tuple[Receipt, ...]:
        chosen = [one for one in known if name_of(one) in form.chosen.data]
        return record(house(), actor(), job, _drafts(read, form, moment, chosen), now=moment.now)

    page = BringPage(top=job_top(read), form=form, new=url_for("roof.new_instrument", job=job))
    return saved(
        form,
        save,
        url_for("roof.instruments", job=job),
        lambda: render_page("roof/bring_instruments.html", page),
        zone=read.job.time_zone,
    )


def to_bring(read: ReadJob, sent: str | None = None) -> tuple[Instrument, ...]:
    """Instruments of the firm's other jobs that this one has not registered.

    Args:
        read: the job.
        sent: id of a form that may have registered some of them already; those stay offered to it.
    """
    own = {
        name_of(one.body)
        for one in read.job.instruments
        if sent is None or one.id != _id(sent, name_of(one.body))
    }
    known = earlier_instruments(house(), actor(), read.id)
    return tuple(one for one in known if name_of(one) not in own)


def name_of(one: Instrument) -> str:
    """By what an instrument is known from job to job."""
    return f"{one.name}/{one.serial or ''}"


def _id(form: str, name: str) -> str:
    return part_id(form, f"instrument-{name}")


def _option(read: ReadJob, one: Instrument) -> Option:
    due = one.calibration_due
    hint = one.measures
    if due is not None and due < site_day(read):
        hint = say("%(measures)s; its calibration is overdue", measures=one.measures)
    return Option(
        value=name_of(one), label=", ".join(filter(None, (one.name, one.serial))), hint=hint
    )


def _drafts(
    read: ReadJob, form: BringForm, moment: Moment, chosen: Sequence[Instrument]
) -> list[Draft]:
    keys = {one.id: one.body.instrument for one in read.job.instruments}
    taken = list(keys.values())
    drafts = []
    for one in chosen:
        part = f"instrument-{name_of(one)}"
        held = keys.get(part_id(str(form.entry_id.data), part))
        key = held or free_key(one.name, taken)
        taken.append(key)
        body: dict[str, Json] = {**written(one), "instrument": key}
        drafts.append(draft(form, moment, Kind.INSTRUMENT, body, part=part))
    return drafts
