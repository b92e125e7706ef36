"""What the page of readings shows: the last answer, the limits, and what was read before."""

from __future__ import annotations

import json
from dataclasses import dataclass

from flask import url_for

from qa.assess.answers import MOISTURE
from qa.assess.conditions import AIR, DECK, HUMIDITY, MARGIN
from qa.assess.frame import when
from qa.assess.wording import limits_text
from qa.errors import DomainError
from qa.record.job import Recorded
from qa.record.kinds.readings import Conditions
from qa.services.dew_point import advise_dew_point
from qa.services.laying import Laying, lay_answer
from qa.services.reading import ReadJob
from qa.specification.model import Check, Specification
from qa.texts.saying import say
from qa.trade.notation import quantity_text, unit_text
from qa.trade.vocabulary import WET_STAGES, Stage
from qa.web.dates import time_text
from qa.web.roof.conditions_form import ConditionsForm
from qa.web.roof.job_top import JobTop, job_top, site_day
from qa.web.roof.wording import area_text, limit_text, person_text, stage_title

_CHECKS = {"deck_c": DECK, "air_c": AIR, "humidity_pct": HUMIDITY, "moisture_pct": MOISTURE}
_SHOWN = 5
"""How many earlier readings the page shows."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingLine:
    """One earlier reading.

    Attributes:
        told: when, by whom, where.
        figures: what was read.
        dew: dew point and margin, or nothing.
        answer: “Lay”, “Do not lay, because …”.
        mark: class of the answer in the style sheet.
        address: of the entry.
    """

    told: str
    figures: str
    dew: str
    answer: str
    mark: str
    address: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ConditionsPage:
    """The page of readings.

    Attributes:
        action: where the form is sent to.
        limits: limit, basis and source of each figure, by the form's field.
        margin_limit: the same of the margin above the dew point.
        checks: the limits for the script, as JSON.
        readings: the last readings of the stage, the newest first.
        outside: address of the page that asks for a photo and a word about the newest, or nothing.
        mix: address of the next mix.
    """

    top: JobTop
    form: ConditionsForm
    stage: str
    action: str
    limits: dict[str, str]
    margin_limit: str
    checks: str
    readings: tuple[ReadingLine, ...]
    outside: str
    mix: str


def conditions_page(read: ReadJob, stage: Stage, form: ConditionsForm) -> ConditionsPage:
    """The page of readings of one stage."""
    specification = read.specification
    of_stage = [one for one in read.job.conditions if one.body.stage is stage]
    newest = sorted(of_stage, key=when, reverse=True)[:_SHOWN]
    lines = tuple(_line(read, one) for one in newest)
    checks = {name: specification.checks[key] for name, key in _CHECKS.items()}
    margin = specification.checks[MARGIN]
    is_outside = bool(newest) and lines[0].mark == "outside"
    return ConditionsPage(
        top=job_top(read),
        form=form,
        stage=stage_title(read, stage),
        action=url_for("roof.conditions", job=read.id, stage=stage.value),
        limits={name: _limit(check) for name, check in checks.items()},
        margin_limit=_limit(margin),
        checks=_checks_json(specification, stage, checks | {"margin_k": margin}),
        readings=lines,
        outside=url_for("roof.outside", job=read.id, entry=newest[0].id) if is_outside else "",
        mix=url_for("roof.mix", job=read.id, stage=stage.value if stage in WET_STAGES else None),
    )


def _limit(check: Check) -> str:
    return limit_text(check.limits, check.unit, check)


def _checks_json(specification: Specification, stage: Stage, checks: dict[str, Check]) -> str:
    """The limits and the words of each figure, for the page's script."""
    answer = {
        "rule": specification.rule.value,
        "wet": stage in WET_STAGES,
        "checks": {
            name: {
                "quantity": check.quantity,
                "unit": unit_text(check.unit),
                "lower": check.limits.lower,
                "upper": check.limits.upper,
                "limits": limits_text(check.limits, check.unit),
            }
            for name, check in checks.items()
        },
    }
    return json.dumps(answer, ensure_ascii=False, separators=(",", ":"))


_MARKS = {Laying.LAY: "within", Laying.DO_NOT: "outside", Laying.UNKNOWN: "undecided"}


def _line(read: ReadJob, reading: Recorded[Conditions]) -> ReadingLine:
    answer = None
    if reading.body.stage in WET_STAGES and _decides(reading.body):
        answer = lay_answer(read.specification, reading, read.assessment.findings)
    zone = read.job.time_zone
    told = (
        time_text(reading.at, zone, site_day(read)),
        person_text(read.job, reading.by),
        area_text(read.job, reading.body.area),
    )
    return ReadingLine(
        told=", ".join(part for part in told if part),
        figures=_figures(reading.body),
        dew=_dew(read.specification, reading.body),
        answer=answer.sentence if answer else "",
        mark=_MARKS[answer.answer] if answer else "",
        address=url_for("roof.entry", job=read.id, entry=reading.id),
    )


def _decides(body: Conditions) -> bool:
    """Whether a reading says anything about laying; “no rain” alone does not."""
    figures = (body.air_c, body.humidity_pct, body.deck_c, body.moisture_pct)
    return bool(body.rain) or any(figure is not None for figure in figures)


def _figures(body: Conditions) -> str:
    figures = (
        (say("air"), body.air_c, "°C"),
        (say("humidity"), body.humidity_pct, "%"),
        (say("deck"), body.deck_c, "°C"),
        (say("boards"), body.moisture_pct, "%"),
        (say("wind"), body.wind_m_per_s, "m/s"),
    )
    told = [f"{name} {quantity_text(v, unit)}" for name, v, unit in figures if v is not None]
    if body.rain is not None:
        told.append(say("rain") if body.rain else say("no rain"))
    return ", ".join(told)


def _dew(specification: Specification, body: Conditions) -> str:
    if body.air_c is None or body.humidity_pct is None:
        return ""
    try:
        advice = advise_dew_point(
            specification, air_c=body.air_c, humidity_pct=body.humidity_pct, deck_c=body.deck_c
        )
    except DomainError as error:
        return say("The dew point cannot be reckoned: %(error)s", error=error)
    dew_point_c = f"{advice.dew_point_c:.1f}".replace("-", "−")
    dew = say("Dew point %(dew_point_c)s °C", dew_point_c=dew_point_c)
    if advice.margin_k is None:
        return f"{dew}."
    margin_k = f"{abs(advice.margin_k):.1f}"
    if advice.margin_k >= 0:
        return say("%(dew)s; the deck is %(margin_k)s K above it.", dew=dew, margin_k=margin_k)
    return say("%(dew)s; the deck is %(margin_k)s K below it.", dew=dew, margin_k=margin_k)
