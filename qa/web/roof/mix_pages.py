"""What the two pages of a mix show: the one it is made on, and the one that judges it."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from flask import url_for

from qa.errors import DomainError
from qa.record.job import Recorded
from qa.record.kinds.supplies import Mix
from qa.services.deck_looks import span_text
from qa.services.dosing_text import AT_THE_CATALYST, CAUTIONS
from qa.services.mix_table import MixTable, bays_for
from qa.services.reading import ReadJob
from qa.specification.model import Specification
from qa.trade.catalyst import dose_ml_per_kg
from qa.trade.conformity import Verdict
from qa.trade.gel_time import GelEstimate
from qa.trade.notation import number_text, quantity_text
from qa.trade.vocabulary import WET_STAGES, Stage
from qa.web.forms import SiteForm
from qa.web.roof.job_top import JobTop, job_top
from qa.web.roof.mix_form import MixForm
from qa.web.roof.targets import SUPPLIER_WINS, Target, chart_json, target_of
from qa.web.roof.wording import Judged, area_text, judged, person_text, stage_title, time_text


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """A way to another page: its address and what it is called."""

    address: str
    label: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MixPage:
    """The page on which a mix is made.

    Attributes:
        stage: title of the stage.
        action: where the form is sent to.
        masses: masses offered at one touch, kg.
        first_mix: a sentence about the first mix of the day, or nothing.
        looked: the last deck temperature with its age, in words.
        asks_deck: whether a new deck temperature is asked for.
        drift: that the deck's temperature moves, or nothing.
        target: what to measure out.
        basis: where the chart comes from.
        wins: on what the chart rests, and what goes before it.
        chart: chart, gel times and bays for the script, as JSON.
        bays: the next bays in order that the mass serves.
        stir_before_s, stir_after_s: least times of stirring.
        stages: ways to the same page for the other wet stages.
        new_lot: address of the page that registers a batch.
        at_hand: what can hurt the hand that doses.
        cautions: what can hurt besides.
    """

    top: JobTop
    form: MixForm
    stage: str
    action: str
    masses: tuple[str, ...]
    first_mix: str
    looked: str
    asks_deck: bool
    drift: str
    target: Target
    basis: str
    wins: str
    chart: str
    bays: tuple[str, ...]
    stir_before_s: float
    stir_after_s: float
    stages: tuple[Way, ...]
    new_lot: str
    at_hand: str
    cautions: tuple[str, ...]


def mix_page(read: ReadJob, table: MixTable, form: MixForm) -> MixPage:
    """The page of the next mix."""
    chart = table.chart
    return MixPage(
        top=job_top(read),
        form=form,
        stage=stage_title(read, table.stage),
        action=url_for("roof.mix", job=read.id, stage=table.stage.value),
        masses=_masses(table),
        first_mix=_first_mix(read.specification, table),
        looked=table.looks.sentence,
        asks_deck=table.looks.in_force is None,
        drift=table.looks.drift(chart.chart),
        target=target_of(
            read.specification,
            table,
            kg=form.kg.data,
            deck_c=form.deck_c.data,
            catalyst_lot=form.catalyst_lot.data,
        ),
        basis=chart.source,
        wins=f"{chart.basis.value.capitalize()}. {SUPPLIER_WINS}",
        chart=chart_json(read.specification, table),
        bays=bays_for(table.left, form.kg.data),
        stir_before_s=table.stir_before_s,
        stir_after_s=table.stir_after_s,
        stages=tuple(
            Way(
                address=url_for("roof.mix", job=read.id, stage=stage.value),
                label=stage_title(read, stage),
            )
            for stage in WET_STAGES
            if stage is not table.stage
        ),
        new_lot=url_for("roof.new_lot", job=read.id),
        at_hand=" ".join(AT_THE_CATALYST),
        cautions=tuple(caution for caution in CAUTIONS if caution not in AT_THE_CATALYST),
    )


def _masses(table: MixTable) -> tuple[str, ...]:
    masses = {*table.masses_kg}
    if table.first_mix_kg:
        masses.add(table.first_mix_kg)
    return tuple(number_text(kg) for kg in sorted(masses))


def _first_mix(specification: Specification, table: MixTable) -> str:
    if table.first_mix_kg is None:
        return ""
    upper = specification.checks["laminate.first_mix_area"].limits.upper or 0.0
    return (
        f"First mix of the day: at most {quantity_text(upper, 'm2')}, which is about "
        f"{quantity_text(table.first_mix_kg, 'kg')}."
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class GelClock:
    """The gel clock of a bucket.

    Attributes:
        words: the estimate as times of day, for pages without script.
        data: the same for the script, as JSON.
    """

    words: str
    data: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MadeMixPage:
    """The page that tells of a mix that was made.

    Attributes:
        key: the mix's key.
        told: what was mixed, in words.
        outside: what is outside its limits.
        rest: everything else that was judged.
        clock: the gel clock; None where the bucket is empty or no estimate is known.
        emptied: when it was empty, in words, or nothing.
        form: says that the bucket is empty.
        remark: address of the page that asks for a photo and a word where something is outside,
            or nothing.
        remarks: what was said and shown of the mix so far.
    """

    top: JobTop
    key: str
    stage: str
    told: tuple[str, ...]
    outside: tuple[Judged, ...]
    rest: tuple[Judged, ...]
    clock: GelClock | None
    emptied: str
    form: SiteForm
    empty_action: str
    remark: str
    remarks: tuple[str, ...]
    entry: str
    entry_id: str
    next_mix: str
    cautions: tuple[str, ...]


def made_mix_page(
    read: ReadJob, mix: Recorded[Mix], form: SiteForm, *, now: datetime
) -> MadeMixPage:
    """The page of a mix that was made."""
    found = [
        one
        for one in read.assessment.findings
        if one.subject == mix.body.mix and mix.id in one.entries
    ]
    at_fault = [one for one in found if one.verdict in _AT_FAULT]
    rest = [one for one in found if one.verdict not in (*_AT_FAULT, Verdict.NOT_RECORDED)]
    is_outside = any(one.verdict is Verdict.OUTSIDE for one in at_fault)
    today = now.astimezone(read.job.time_zone).date()
    return MadeMixPage(
        top=job_top(read),
        key=mix.body.mix,
        stage=stage_title(read, mix.body.stage),
        told=tuple(_told(read, mix, today)),
        outside=tuple(judged(f) for f in at_fault),
        rest=tuple(judged(f) for f in rest),
        clock=None if mix.body.emptied_at else _gel_clock(read, mix, now),
        emptied=_emptied(read, mix, today),
        form=form,
        empty_action=url_for("roof.mix_emptied", job=read.id, mix=mix.body.mix),
        remark=url_for("roof.outside", job=read.id, entry=mix.id) if is_outside else "",
        remarks=_remarks(read, mix),
        entry=url_for("roof.entry", job=read.id, entry=mix.id),
        entry_id=mix.id,
        next_mix=url_for("roof.mix", job=read.id, stage=mix.body.stage.value),
        cautions=CAUTIONS,
    )


_AT_FAULT = (Verdict.OUTSIDE, Verdict.UNDECIDED)


def _told(read: ReadJob, mix: Recorded[Mix], today: date) -> list[str]:
    body = mix.body
    lots = {lot.body.lot: lot.body.batch_number for lot in read.job.lots}
    dose = dose_ml_per_kg(catalyst_ml=body.catalyst_ml, resin_kg=body.kg)
    where = [area_text(read.job, body.area), ", ".join(body.bays or ())]
    of_lot, of_catalyst = (lots.get(key, key) for key in (body.lot, body.catalyst_lot))
    return [
        f"{quantity_text(body.kg, 'kg')} of batch {of_lot}",
        f"{quantity_text(body.catalyst_ml, 'ml')} of catalyst {of_catalyst}: "
        + quantity_text(dose, "ml/kg"),
        f"Deck {quantity_text(body.deck_c, '°C')}",
        *(part for part in where if part),
        f"{time_text(mix.at, read.job.time_zone, today)}, {person_text(read.job, mix.by)}",
    ]


def _remarks(read: ReadJob, mix: Recorded[Mix]) -> tuple[str, ...]:
    """That photographs show a mix, and how many."""
    shown = sum(photo.body.mix == mix.body.mix for photo in read.job.photos)
    if not shown:
        return ()
    return (f"{shown} photograph{'s' if shown > 1 else ''} of it.",)


def _emptied(read: ReadJob, mix: Recorded[Mix], today: date) -> str:
    emptied = mix.body.emptied_at
    if emptied is None:
        return ""
    after = span_text(max(emptied - mix.at, timedelta(0)))
    return f"Bucket empty at {time_text(emptied, read.job.time_zone, today)}, after {after}."


def gel_of(read: ReadJob, mix: Recorded[Mix]) -> GelEstimate | None:
    """The estimated gel time of a mix of resin, or None where nothing is known of it."""
    if mix.body.stage is Stage.TOPCOAT:
        return None
    body = mix.body
    dose = dose_ml_per_kg(catalyst_ml=body.catalyst_ml, resin_kg=body.kg)
    try:
        return read.specification.gel_time.model.estimate(body.deck_c, dose)
    except DomainError:
        return None


def _gel_clock(read: ReadJob, mix: Recorded[Mix], now: datetime) -> GelClock | None:
    gel = gel_of(read, mix)
    if gel is None:
        return None
    at = mix.at.astimezone(read.job.time_zone)
    low, likely, high = (
        f"{at + timedelta(minutes=minutes):%H:%M}"
        for minutes in (gel.low_min, gel.gel_min, gel.high_min)
    )
    data = {
        "entry": mix.id,
        "key": mix.body.mix,
        "kg": mix.body.kg,
        "address": url_for("roof.mix_made", job=read.id, mix=mix.body.mix),
        "now": now.timestamp() * 1000,
        "from": mix.at.timestamp() * 1000,
        "low": gel.low_min,
        "gel": gel.gel_min,
        "high": gel.high_min,
    }
    beyond = " It lies beyond the published points." if gel.extrapolated else ""
    return GelClock(
        words=f"Gels about {likely}, perhaps from {low} and by {high}: an estimate, never exact."
        f"{beyond}",
        data=json.dumps(data, separators=(",", ":")),
    )
