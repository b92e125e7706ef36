"""A job's page: the stage in hand open, the other six folded away."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import timedelta
from typing import Any

from flask import url_for

from qa.record.kinds.place import Area
from qa.record.schema import Withheld
from qa.services.access import Act, Actor
from qa.services.reading import ReadJob, read_job
from qa.services.telling import ERASED
from qa.services.waiting_photos import waiting_count
from qa.texts.saying import say, say_count
from qa.trade.notation import quantity_text
from qa.trade.vocabulary import WET_STAGES, Stage
from qa.web import clock
from qa.web.frame import actor, house, render_page
from qa.web.roof.job_paths import stage_named
from qa.web.roof.job_top import JobTop, job_top, open_interruption
from qa.web.roof.routing import blueprint
from qa.web.roof.stage_views import (
    NextStep,
    StageFold,
    StageView,
    asked_in_others,
    stage_folds,
    stage_view,
)

_BUCKET_FORGOTTEN = timedelta(hours=13)
"""By then every phone has forgotten a bucket by itself (clocks.js)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class JobPage:
    """The page.

    Attributes:
        address, client, phone: personal; where they were erased, that is said.
        phone_address: the phone as an address takes it.
        is_crew: whether the person may record here; else `crew` leads to adding them.
        open: the stage that is open.
        is_in_hand: whether it is the stage in hand; None where every stage is signed off.
        asked: photographs that somebody asked for in the other stages.
        others: the other stages, folded.
        areas: the roof's areas.
        ways: the other pages of the job.
        photo, mix, conditions, stop, interruption: the thumb bar; nothing where it does not apply.
        emptied: ids of the mixes of late whose buckets are empty, so that no phone's clock warns of
            a bucket that another phone called empty.
        stop_id: id of the interruption that one touch would open, so that two touches open one.
    """

    top: JobTop
    reference: str
    address: str
    client: str
    phone: str
    phone_address: str
    is_crew: bool
    crew: str
    open: StageView
    in_hand: str
    is_in_hand: bool
    asked: tuple[NextStep, ...]
    others: tuple[StageFold, ...]
    areas: tuple[NextStep, ...]
    new_area: str
    ways: tuple[NextStep, ...]
    may_record: bool
    photo: str
    mix: str
    conditions: str
    emptied: tuple[str, ...]
    stop: str
    stop_id: str
    interruption: str


@blueprint.get("/jobs/<job>", endpoint="job")
def show_job(job: str) -> str:
    """The job with its stage in hand."""
    read = read_job(house(), actor(), job)
    return _page(read, read.stage_in_hand or Stage.COMPLETION)


@blueprint.get("/jobs/<job>/stages/<stage>", endpoint="stage")
def show_stage(job: str, stage: str) -> str:
    """The job with one stage open."""
    read = read_job(house(), actor(), job)
    return _page(read, stage_named(stage))


def _page(read: ReadJob, stage: Stage) -> str:
    return render_page("roof/job.html", _context(read, stage, actor()))


def _context(read: ReadJob, stage: Stage, someone: Actor) -> JobPage:
    opening, hand = read.job.opening.body, read.stage_in_hand
    today = clock.now().astimezone(read.job.time_zone).date()
    phone = opening.client.phone if isinstance(opening.client.phone, str) else ""
    is_wet, stopped = stage in WET_STAGES, open_interruption(read.job)
    folds = stage_folds(read, today)
    here: dict[str, Any] = {"job": read.id, "stage": stage.value}
    return JobPage(
        top=job_top(read),
        reference=opening.job,
        address=_shown(opening.site.address),
        client=_shown(opening.client.name),
        phone=phone,
        phone_address=re.sub(r"[^0-9+]", "", phone),
        is_crew=someone.key in read.job.crew,
        crew=url_for("roof.crew", job=read.id),
        open=stage_view(read, stage, folds[stage], today),
        in_hand=read.specification.stage_rule(hand).title if hand else "",
        is_in_hand=stage is hand,
        asked=asked_in_others(read, stage),
        others=tuple(fold for one, fold in folds.items() if one is not stage),
        areas=tuple(_area(read.id, area.body) for area in read.job.areas),
        new_area=url_for("roof.new_area", job=read.id) if someone.may(Act.START_JOB) else "",
        ways=tuple(_ways(read, someone)),
        may_record=someone.may(Act.RECORD_WORK),
        photo=url_for("roof.new_photo", **here),
        mix=url_for("roof.mix", **here) if is_wet else "",
        conditions=url_for("roof.conditions", **here),
        emptied=_emptied(read),
        stop="" if stopped else url_for("roof.stop", job=read.id),
        stop_id=house().new_id(),
        interruption=url_for("roof.interruption", job=read.id, entry=stopped.id) if stopped else "",
    )


def _emptied(read: ReadJob) -> tuple[str, ...]:
    since = clock.now() - _BUCKET_FORGOTTEN
    return tuple(mix.id for mix in read.job.mixes if mix.body.emptied_at and mix.at > since)


def _shown(value: str | Withheld) -> str:
    return ERASED if isinstance(value, Withheld) else value


def _area(job: str, area: Area) -> NextStep:
    size = quantity_text(round(area.roof.net_area_m2, 1), "m2")
    return NextStep(
        text=f"{area.name}, {size}", address=url_for("roof.area", job=job, area=area.area)
    )


def _bulk_words(read: ReadJob, someone: Actor) -> str:
    """The way to photographs that were brought in together, and whether some wait."""
    waiting = waiting_count(house(), someone, read.id)
    if not waiting:
        return say("Many photos at once")
    return say_count(
        "%(number)s photo waits to be placed", "%(number)s photos wait to be placed", waiting
    )


def _ways(read: ReadJob, someone: Actor) -> list[NextStep]:
    """The other pages of the job, for who may use them."""
    job: dict[str, Any] = {"job": read.id}
    handed_over = bool(read.job.handovers)
    pages = [
        (say("The whole job on one page"), "desk.job", Act.SEE_DESK),
        (say("The record"), "roof.record", Act.READ_JOBS),
        (say("Batches"), "roof.lots", Act.READ_JOBS),
        (say("Instruments"), "roof.instruments", Act.READ_JOBS),
        (say("What was used"), "roof.usage", Act.RECORD_WORK),
        (say("Readings of a logger"), "roof.logger", Act.RECORD_WORK),
        (_bulk_words(read, someone), "roof.bulk", Act.RECORD_WORK),
        (say("Findings and nonconformities"), "roof.findings", Act.READ_JOBS),
        (say("Write a note"), "roof.note", Act.WRITE_NOTES),
        (say("Crew"), "roof.crew", Act.READ_JOBS),
        (say("Packs"), "roof.packs", Act.READ_JOBS),
        (say("Hand over"), "roof.hand_over", Act.MAKE_PACKS),
        *(
            ((say("Inspect after handover"), "roof.inspection", Act.WRITE_NOTES),)
            if handed_over
            else ()
        ),
        (say("Links for the homeowner and the insurer"), "roof.links", Act.SHARE),
        (say("Reports and questions"), "roof.messages", Act.READ_JOBS),
        (say("Take the job out as a folder"), "roof.take_out", Act.TAKE_OUT),
        (say("Erase personal values"), "roof.erasure", Act.ERASE),
    ]
    bays = [
        NextStep(
            text=say("Bays of %(name)s", name=area.body.name),
            address=url_for("roof.bays", **job, area=area.body.area),
        )
        for area in read.job.areas
    ]
    return bays + [
        NextStep(text=text, address=url_for(endpoint, **job))
        for text, endpoint, act in pages
        if someone.may(act)
    ]
