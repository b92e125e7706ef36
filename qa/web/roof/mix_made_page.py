"""What the page of a mix that was made shows: the verdict, the gel clock, what was mixed."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from flask import url_for

from qa.assess.finding import Finding
from qa.assess.wording import limits_text
from qa.errors import DomainError
from qa.record.job import Recorded
from qa.record.kinds.supplies import Mix
from qa.services.deck_looks import span_text
from qa.services.dosing_text import CAUTIONS
from qa.services.reading import ReadJob
from qa.texts.saying import say, say_count
from qa.trade.catalyst import dose_ml_per_kg
from qa.trade.conformity import Verdict
from qa.trade.gel_time import GelEstimate
from qa.trade.notation import quantity_text
from qa.trade.vocabulary import Stage
from qa.web.dates import time_text
from qa.web.forms import SiteForm
from qa.web.roof.job_top import JobTop, job_top
from qa.web.roof.wording import (
    Judged,
    area_text,
    begun,
    judged,
    person_text,
    stage_title,
)

_AT_FAULT = (Verdict.OUTSIDE, Verdict.UNDECIDED)


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
class OutsideMix:
    """Something of a mix that is outside its limits.

    Attributes:
        short: value and limit, for a glance.
        judged: with basis and source.
    """

    short: str
    judged: Judged


@dataclass(frozen=True, slots=True, kw_only=True)
class MadeMixPage:
    """The page that tells of a mix that was made.

    Attributes:
        key: the mix's key.
        told: what was mixed, in words.
        outside: what is outside its limits.
        judged: everything that was judged, with basis and source.
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
    outside: tuple[OutsideMix, ...]
    judged: tuple[Judged, ...]
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
        outside=tuple(OutsideMix(short=_short(one), judged=judged(one)) for one in at_fault),
        judged=tuple(judged(one) for one in (*at_fault, *rest)),
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


def _short(found: Finding) -> str:
    """Value and limit at a glance: “Dose: 40 ml/kg; between 25.5 and 34.5 ml/kg is asked”."""
    quantity = begun(found.telling.check.quantity)
    asked = limits_text(found.limits, found.unit)
    value = "" if found.value is None else f": {quantity_text(found.value, found.unit)}"
    return f"{quantity}{value}{say('; asked is %(asked)s', asked=asked) if asked else ''}."


def _told(read: ReadJob, mix: Recorded[Mix], today: date) -> list[str]:
    body = mix.body
    lots = {lot.body.lot: lot.body.batch_number for lot in read.job.lots}
    dose = dose_ml_per_kg(catalyst_ml=body.catalyst_ml, resin_kg=body.kg)
    bays = body.bays or ()
    named = (
        say_count("bay %(keys)s", "bays %(keys)s", len(bays), keys=", ".join(bays)) if bays else ""
    )
    where = [area_text(read.job, body.area), named]
    ml_per_kg = quantity_text(dose, "ml/kg")
    of_lot, of_catalyst = (lots.get(key, key) for key in (body.lot, body.catalyst_lot))
    return [
        say(
            "%(quantity)s of batch %(batch)s",
            quantity=quantity_text(body.kg, "kg"),
            batch=of_lot,
        ),
        say(
            "%(quantity)s of catalyst %(batch)s: %(ml_per_kg)s",
            quantity=quantity_text(body.catalyst_ml, "ml"),
            batch=of_catalyst,
            ml_per_kg=ml_per_kg,
        ),
        say("Deck %(deck)s", deck=quantity_text(body.deck_c, "°C")),
        *(part for part in where if part),
        f"{time_text(mix.at, read.job.time_zone, today)}, {person_text(read.job, mix.by)}",
    ]


def _remarks(read: ReadJob, mix: Recorded[Mix]) -> tuple[str, ...]:
    """That photographs show a mix, and how many."""
    shown = sum(photo.body.mix == mix.body.mix for photo in read.job.photos)
    if not shown:
        return ()
    return (say_count("%(number)s photograph of it.", "%(number)s photographs of it.", shown),)


def _emptied(read: ReadJob, mix: Recorded[Mix], today: date) -> str:
    emptied = mix.body.emptied_at
    if emptied is None:
        return ""
    after = span_text(max(emptied - mix.at, timedelta(0)))
    return say(
        "Bucket empty at %(time)s, after %(after)s.",
        time=time_text(emptied, read.job.time_zone, today),
        after=after,
    )


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
    beyond = say(" It lies beyond the published points.") if gel.extrapolated else ""
    return GelClock(
        words=say(
            "Gels about %(likely)s, perhaps from %(low)s and by %(high)s: an estimate, never "
            "exact.%(beyond)s",
            likely=likely,
            low=low,
            high=high,
            beyond=beyond,
        ),
        data=json.dumps(data, separators=(",", ":")),
    )
