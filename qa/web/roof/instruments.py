"""Instruments: what was measured with, and how well it measures."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import ClassVar

from flask import request, url_for
from flask.typing import ResponseReturnValue

from qa.record.fields import Json
from qa.record.kinds.supplies import Instrument
from qa.record.registry import Kind
from qa.record.schema import written
from qa.services.access import Act
from qa.services.earlier_supplies import earlier_instruments
from qa.services.reading import read_job
from qa.services.recording import Receipt, record
from qa.texts.saying import say, to_say
from qa.trade.notation import number_text
from qa.web.dates import day_text
from qa.web.form_fields import NumberField, WordsField
from qa.web.forms import SiteForm
from qa.web.frame import actor, house, render_page
from qa.web.roof.bring_instruments import name_of, to_bring
from qa.web.roof.day_field import DayField
from qa.web.roof.drafting import draft
from qa.web.roof.job_top import JobTop, job_top, site_day
from qa.web.roof.lot_form import free_key
from qa.web.roof.routing import blueprint
from qa.web.saving import Moment, saved

_PROPOSED = (
    "name", "measures", "serial", "calibrated_on", "calibration_due", "expanded_uncertainty",
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class InstrumentLine:
    """An instrument in a list.

    Attributes:
        told: serial number, calibration, uncertainty.
        is_overdue: whether its calibration has run out.
    """

    text: str
    told: str
    is_overdue: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class InstrumentsPage:
    """The instruments of a job.

    Attributes:
        bring: address of the page that brings in those of earlier roofs, or nothing.
    """

    top: JobTop
    instruments: tuple[InstrumentLine, ...]
    may_record: bool
    new: str
    bring: str


@dataclass(frozen=True, slots=True, kw_only=True)
class EarlierInstrument:
    """An instrument of an earlier job that is offered."""

    address: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class NewInstrumentPage:
    """An instrument that is about to be registered."""

    top: JobTop
    form: InstrumentForm
    earlier: tuple[EarlierInstrument, ...]


class InstrumentForm(SiteForm):
    """One instrument."""

    PATHS: ClassVar = {}

    name = WordsField(to_say("Name"), required=True, hint=to_say("Such as “surface thermometer”."))
    measures = WordsField(
        to_say("What it measures"), required=True, hint=to_say("Such as “deck temperature”.")
    )
    serial = WordsField(to_say("Serial number"), optional_word=to_say("if it has one"))
    calibrated_on = DayField(to_say("Calibrated on"), optional_word=to_say("if it was"))
    calibration_due = DayField(to_say("Calibration due"), optional_word=to_say("if there is a day"))
    expanded_uncertainty = NumberField(
        to_say("Uncertainty, plus or minus"),
        optional_word=to_say("from its certificate"),
        hint=to_say("Expanded, k = 2, in the unit that it measures in."),
    )


@blueprint.get("/jobs/<job>/instruments")
def instruments(job: str) -> str:
    """The instruments of the job."""
    read = read_job(house(), actor(), job)
    today, may_record = site_day(read), actor().may(Act.RECORD_WORK)
    page = InstrumentsPage(
        top=job_top(read),
        instruments=tuple(_line(one.body, today) for one in read.job.instruments),
        may_record=may_record,
        new=url_for("roof.new_instrument", job=job),
        bring=url_for("roof.bring_instruments", job=job) if may_record and to_bring(read) else "",
    )
    return render_page("roof/instruments.html", page)


@blueprint.route("/jobs/<job>/instruments/new", methods=["GET", "POST"])
def new_instrument(job: str) -> ResponseReturnValue:
    """Registers an instrument, proposed from an earlier job where one is chosen."""
    read = read_job(house(), actor(), job)
    known = earlier_instruments(house(), actor(), job)
    chosen = next((one for one in known if name_of(one) == request.args.get("earlier")), None)
    proposed = written(chosen) if chosen else {}
    form = InstrumentForm(data={name: proposed.get(name) for name in _PROPOSED})

    def save(moment: Moment) -> tuple[Receipt, ...]:
        registered = read.job.instruments
        held = next((i.body.instrument for i in registered if i.id == form.entry_id.data), None)
        key = held or free_key(form.name.data, [one.body.instrument for one in registered])
        body: dict[str, Json] = {name: form[name].data for name in _PROPOSED}
        drafts = [draft(form, moment, Kind.INSTRUMENT, {"instrument": key, **body})]
        return record(house(), actor(), job, drafts, now=moment.now)

    page = NewInstrumentPage(
        top=job_top(read),
        form=form,
        earlier=tuple(
            EarlierInstrument(
                address=url_for("roof.new_instrument", job=job, earlier=name_of(one)),
                text=", ".join(filter(None, (one.name, one.serial))),
            )
            for one in known
        ),
    )
    return saved(
        form,
        save,
        url_for("roof.instruments", job=job),
        lambda: render_page("roof/new_instrument.html", page),
        zone=read.job.time_zone,
    )


def _line(one: Instrument, today: date) -> InstrumentLine:
    due, spread = one.calibration_due, one.expanded_uncertainty
    told = (
        say("serial number %(serial)s", serial=one.serial) if one.serial else None,
        _calibration(one),
        f"± {number_text(spread)} (k = 2)" if spread is not None else say("uncertainty not known"),
    )
    return InstrumentLine(
        text=f"{one.name}: {one.measures}",
        told=", ".join(filter(None, told)),
        is_overdue=due is not None and due < today,
    )


def _calibration(one: Instrument) -> str:
    due, done = one.calibration_due, one.calibrated_on
    if due:
        return say("calibration due %(day)s", day=day_text(due))
    return (
        say("calibrated on %(day)s", day=day_text(done)) if done else say("no calibration recorded")
    )
