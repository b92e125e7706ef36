"""What left a batch's container for an area: used, and the part of it that was wasted."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import ClassVar

from flask import request, url_for
from flask.typing import ResponseReturnValue

from qa.assess.frame import when
from qa.assess.lot_balance import lot_books
from qa.record.registry import Kind
from qa.services.reading import ReadJob, read_job
from qa.services.recording import Receipt, record
from qa.services.remembering import last_recorded
from qa.texts.saying import say, to_say
from qa.trade.notation import number_text
from qa.trade.vocabulary import Stage
from qa.web.dates import time_text
from qa.web.form_fields import ChoiceField, EarlierField, NumberField, Option
from qa.web.forms import SiteForm
from qa.web.frame import actor, house, render_page
from qa.web.roof.drafting import draft
from qa.web.roof.job_top import JobTop, job_top, site_day
from qa.web.roof.lot_form import UNIT_WORDS, amount_text
from qa.web.roof.outside import after_saving
from qa.web.roof.routing import blueprint
from qa.web.roof.wording import area_text, begun, person_text, stage_title
from qa.web.saving import Moment, saved
from qa.web.stage_names import stage_name


@dataclass(frozen=True, slots=True, kw_only=True)
class UsageLine:
    """What was used, as a page shows it."""

    address: str
    text: str
    told: str


@dataclass(frozen=True, slots=True, kw_only=True)
class UsagePage:
    """What was used of every batch.

    Attributes:
        units: the unit of each batch for the script, as JSON.
    """

    top: JobTop
    form: UsageForm
    units: str
    usages: tuple[UsageLine, ...]
    lots_address: str


class UsageForm(SiteForm):
    """One use of one batch."""

    PATHS: ClassVar = {}

    lot = ChoiceField(to_say("Batch"), required=True)
    used = NumberField(
        to_say("Used"),
        required=True,
        hint=to_say("All that left the container, in the batch’s own unit."),
    )
    wasted = NumberField(
        to_say("Of that, wasted"), optional_word=to_say("set, spilt or thrown away")
    )
    area = ChoiceField(to_say("Area"), required=True)
    stage = ChoiceField(to_say("Stage"), required=True)
    instrument = ChoiceField(to_say("Weighed with"), optional_word=to_say("if it was weighed"))
    earlier = EarlierField(to_say("It was earlier"))


@blueprint.route("/jobs/<job>/usage", methods=["GET", "POST"])
def usage(job: str) -> ResponseReturnValue:
    """Records what was used of a batch."""
    read = read_job(house(), actor(), job)
    form = _form(read)

    def save(moment: Moment) -> tuple[Receipt, ...]:
        lot = next(lot.body for lot in read.job.lots if lot.body.lot == form.lot.data)
        names = ("lot", "used", "wasted", "area", "stage", "instrument")
        body = {name: form[name].data for name in names} | {"unit": lot.unit.value}
        drafts = [draft(form, moment, Kind.USAGE, body)]
        return record(house(), actor(), job, drafts, now=moment.now)

    here = url_for("roof.usage", job=job)
    return saved(
        form,
        save,
        after_saving(job, here),
        lambda: render_page("roof/usage.html", _page(read, form)),
        zone=read.job.time_zone,
    )


def _form(read: ReadJob) -> UsageForm:
    job = read.job
    last = last_recorded(job.usages, actor().key)
    areas = [area.body.area for area in job.areas]
    stage = read.stage_in_hand or Stage.COMPLETION
    form = UsageForm(
        data={
            "lot": request.args.get("lot"),
            "area": (last.body.area if last else None) or (areas[0] if len(areas) == 1 else None),
            "stage": stage.value,
            "instrument": last.body.instrument if last else None,
        }
    )
    form.lot.options = tuple(_lot_options(read))
    units = _units(read)
    form.used.unit = form.wasted.unit = units.get(form.lot.data or "", say("in its unit"))
    form.area.options = tuple(Option(value=a.body.area, label=a.body.name) for a in job.areas)
    form.stage.options = tuple(Option(value=one, label=stage_title(read, one)) for one in Stage)
    form.instrument.options = tuple(
        Option(value=one.body.instrument, label=one.body.name) for one in job.instruments
    )
    return form


def _lot_options(read: ReadJob) -> list[Option]:
    options = []
    for book in lot_books(read.frame):
        lot = book.lot.body
        label = f"{begun(lot.material.value)}: {lot.product}, {lot.batch_number}"
        hint = str(UNIT_WORDS[lot.unit])
        if book.balance is not None:
            left = amount_text(book.balance.left_by_book, lot.unit)
            label, hint = say("%(batch)s, %(amount)s left", batch=label, amount=left), ""
        options.append(Option(value=lot.lot, label=label, hint=hint))
    return options


def _units(read: ReadJob) -> dict[str, str]:
    """The unit of each batch, by its key."""
    return {lot.body.lot: str(UNIT_WORDS[lot.body.unit]) for lot in read.job.lots}


def _page(read: ReadJob, form: UsageForm) -> UsagePage:
    lots = {lot.body.lot: lot.body for lot in read.job.lots}
    lines = []
    for one in sorted(read.job.usages, key=when, reverse=True):
        body, lot = one.body, lots[one.body.lot]
        wasted = (
            say(", %(used)s of it wasted", used=number_text(body.wasted)) if body.wasted else ""
        )
        where = ", ".join(filter(None, (lot.product, area_text(read.job, body.area))))
        at = time_text(one.at, read.job.time_zone, site_day(read))
        lines.append(
            UsageLine(
                address=url_for("roof.entry", job=read.id, entry=one.id),
                text=f"{amount_text(body.used, body.unit)}{wasted}: {where}",
                told=f"{stage_name(body.stage)}, {person_text(read.job, one.by)}, {at}",
            )
        )
    return UsagePage(
        top=job_top(read),
        form=form,
        units=json.dumps(_units(read), ensure_ascii=False),
        usages=tuple(lines),
        lots_address=url_for("roof.lots", job=read.id),
    )
